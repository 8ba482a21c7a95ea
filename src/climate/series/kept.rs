//! The sums of all months read so far: in memory where they fit, else in a folder; and there too, every so
//! often, so that a run that was ended can be gone on from.
//!
//! A folder holds a file for each part of the sums, and a list of them which is replaced as a whole: whenever
//! the work ends, the folder is in the state of the last list. A file that the list does not name is of no
//! use and is removed. What the sums are of is in the list; of anything else they are not used.

use std::collections::{HashMap, HashSet};
use std::fs::{self, File, TryLockError};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use serde::{Deserialize, Serialize};

use super::error::SeriesError;
use super::sums::YearMean;

/// What a part of the sums is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub(super) enum Leaf {
    /// Of a calendar month over the years.
    Sums { month: usize, segment: usize },
    /// The means of one month of one year.
    Year {
        year: i64,
        month: usize,
        segment: usize,
    },
}

/// Numbers of one part.
#[derive(Clone)]
enum Numbers {
    Double(Vec<f64>),
    Single(Vec<YearMean>),
}

impl Numbers {
    fn bytes(&self) -> usize {
        match self {
            Self::Double(numbers) => size_of_val(&numbers[..]),
            Self::Single(numbers) => size_of_val(&numbers[..]),
        }
    }

    /// Writes them to the file at `path`, and says the sum over its bytes.
    fn write(&self, path: &Path) -> io::Result<u32> {
        const AT_ONCE: usize = 8192;
        let mut file = File::create(path)?;
        let mut sum = crc32fast::Hasher::new();
        let mut put = |bytes: Vec<u8>| {
            sum.update(&bytes);
            file.write_all(&bytes)
        };
        match self {
            Self::Double(numbers) => numbers.chunks(AT_ONCE).try_for_each(|numbers| {
                put(numbers.iter().flat_map(|one| one.to_le_bytes()).collect())
            })?,
            Self::Single(means) => {
                means
                    .as_flattened()
                    .chunks(AT_ONCE)
                    .try_for_each(|numbers| {
                        put(numbers.iter().flat_map(|one| one.to_le_bytes()).collect())
                    })?
            }
        }
        Ok(sum.finalize())
    }

    fn decoded(leaf: Leaf, bytes: &[u8]) -> Self {
        match leaf {
            Leaf::Sums { .. } => {
                let (all, _) = bytes.as_chunks();
                Self::Double(all.iter().map(|&one| f64::from_le_bytes(one)).collect())
            }
            Leaf::Year { .. } => {
                let (all, _) = bytes.as_chunks::<12>();
                let mean = |all: &[u8; 12]| {
                    let (each, _) = all.as_chunks();
                    [each[0], each[1], each[2]].map(f32::from_le_bytes)
                };
                Self::Single(all.iter().map(mean).collect())
            }
        }
    }
}

/// Where a part was written to: the file's number, and the sum over its bytes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
struct Written {
    number: u64,
    crc: u32,
}

/// What the sums are of: all that changes them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Subject {
    /// The version of the program.
    pub(super) version: String,
    /// Each file's path, bytes and time of its last change.
    pub(super) files: Vec<(PathBuf, u64, Option<Duration>)>,
    /// Variables, area and years.
    pub(super) asked: String,
}

#[derive(Serialize, Deserialize)]
struct List {
    subject: Subject,
    months: usize,
    written: Vec<(Leaf, Written)>,
}

/// What became of a folder that was there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Found {
    /// There was none.
    Nothing,
    /// Its months are gone on from.
    Months,
    /// Its sums were of something else.
    Other,
}

/// The sums.
pub(super) struct Kept {
    folder: Option<Folder>,
    with_years: bool,
    /// Months that are whole.
    months: usize,
    held: HashMap<Leaf, Numbers>,
    held_bytes: usize,
}

struct Folder {
    path: PathBuf,
    subject: Subject,
    /// Bytes in memory, at most.
    most_bytes: usize,
    /// The sums are written this often.
    every: Duration,
    last: Instant,
    /// Held while the folder is in use; none as long as it is not there.
    lock: Option<File>,
    /// Parts that were written, and not changed since.
    written: HashMap<Leaf, Written>,
    next: u64,
}

const LIST: &str = "list.json";
const LOCK: &str = "in-use";

impl Kept {
    /// Sums in memory alone.
    pub(super) fn in_memory(with_years: bool) -> Self {
        Self {
            folder: None,
            with_years,
            months: 0,
            held: HashMap::new(),
            held_bytes: 0,
        }
    }

    /// Sums that are written to the folder at `path` every so often, and as soon as they take more than
    /// `most_bytes` of memory; those that are there already, of the same subject, are gone on from.
    ///
    /// # Errors
    /// A folder that is in use, or cannot be read.
    pub(super) fn in_folder(
        path: &Path,
        subject: Subject,
        most_bytes: usize,
        every: Duration,
    ) -> Result<(Self, Found), SeriesError> {
        let mut folder = Folder {
            path: path.to_owned(),
            subject,
            most_bytes,
            every,
            last: Instant::now(),
            lock: None,
            written: HashMap::new(),
            next: 0,
        };
        let (mut months, mut found) = (0, Found::Nothing);
        if path.is_dir() {
            folder.take_lock()?;
            let list = fs::read(path.join(LIST));
            match list.map(|list| serde_json::from_slice::<List>(&list)) {
                Ok(Ok(list)) if list.subject == folder.subject => {
                    folder.next = list
                        .written
                        .iter()
                        .map(|(_, one)| one.number + 1)
                        .max()
                        .unwrap_or(0);
                    folder.written = list.written.into_iter().collect();
                    months = list.months;
                    found = Found::Months;
                }
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                Err(error) => return Err(folder.not_kept(&error)),
                Ok(_) => {
                    let removed = fs::remove_file(path.join(LIST));
                    removed.map_err(|error| folder.not_kept(&error))?;
                    found = Found::Other;
                }
            }
            folder.remove_unlisted()?;
        }
        let kept = Self {
            folder: Some(folder),
            months,
            ..Self::in_memory(true)
        };
        Ok((kept, found))
    }

    /// How many months are whole.
    pub(super) fn months(&self) -> usize {
        self.months
    }

    /// Whether the means of each year are kept.
    pub(super) fn with_years(&self) -> bool {
        self.with_years
    }

    /// The sums of a calendar month, which are then no longer held; empty where there are none.
    pub(super) fn take_sums(
        &mut self,
        month: usize,
        segment: usize,
    ) -> Result<Vec<f64>, SeriesError> {
        match self.take(Leaf::Sums { month, segment })? {
            Some(Numbers::Double(numbers)) => Ok(numbers),
            _ => Ok(Vec::new()),
        }
    }

    pub(super) fn put_sums(
        &mut self,
        month: usize,
        segment: usize,
        sums: Vec<f64>,
    ) -> Result<(), SeriesError> {
        self.put(Leaf::Sums { month, segment }, Numbers::Double(sums))
    }

    /// The means of a month of one year, likewise.
    pub(super) fn take_means(&mut self, leaf: Leaf) -> Result<Vec<YearMean>, SeriesError> {
        match self.take(leaf)? {
            Some(Numbers::Single(means)) => Ok(means),
            _ => Ok(Vec::new()),
        }
    }

    pub(super) fn put_means(
        &mut self,
        leaf: Leaf,
        means: Vec<YearMean>,
    ) -> Result<(), SeriesError> {
        self.put(leaf, Numbers::Single(means))
    }

    fn take(&mut self, leaf: Leaf) -> Result<Option<Numbers>, SeriesError> {
        if let Some(numbers) = self.held.remove(&leaf) {
            self.held_bytes -= numbers.bytes();
            return Ok(Some(numbers));
        }
        let Some(folder) = &self.folder else {
            return Ok(None);
        };
        folder
            .written
            .get(&leaf)
            .map(|written| folder.read(leaf, *written))
            .transpose()
    }

    fn put(&mut self, leaf: Leaf, numbers: Numbers) -> Result<(), SeriesError> {
        self.held_bytes += numbers.bytes();
        self.held.insert(leaf, numbers);
        let Some(folder) = &mut self.folder else {
            return Ok(());
        };
        folder.written.remove(&leaf);
        if self.held_bytes > folder.most_bytes {
            for (leaf, numbers) in self.held.drain() {
                if !folder.written.contains_key(&leaf) {
                    folder.write(leaf, &numbers)?;
                }
            }
            self.held_bytes = 0;
        }
        Ok(())
    }

    /// Says that so many months are whole: what is kept now can be gone on from.
    ///
    /// # Errors
    /// A folder that cannot be written to.
    pub(super) fn month_is_whole(&mut self, months: usize) -> Result<(), SeriesError> {
        self.months = months;
        let Some(folder) = &mut self.folder else {
            return Ok(());
        };
        if folder.last.elapsed() < folder.every {
            return Ok(());
        }
        for (&leaf, numbers) in &self.held {
            if !folder.written.contains_key(&leaf) {
                folder.write(leaf, numbers)?;
            }
        }
        folder.write_list(months)?;
        folder.last = Instant::now();
        Ok(())
    }
}

impl Folder {
    fn not_kept(&self, error: &io::Error) -> SeriesError {
        SeriesError::NotKept {
            folder: self.path.clone(),
            reason: error.to_string(),
        }
    }

    fn take_lock(&mut self) -> Result<(), SeriesError> {
        let lock = File::create(self.path.join(LOCK)).map_err(|error| self.not_kept(&error))?;
        match lock.try_lock() {
            Ok(()) => {
                self.lock = Some(lock);
                Ok(())
            }
            Err(TryLockError::WouldBlock) => Err(SeriesError::InUse {
                folder: self.path.clone(),
            }),
            Err(TryLockError::Error(error)) => Err(self.not_kept(&error)),
        }
    }

    fn place(&self, number: u64) -> PathBuf {
        self.path.join(format!("{number}.sums"))
    }

    fn write(&mut self, leaf: Leaf, numbers: &Numbers) -> Result<(), SeriesError> {
        if self.lock.is_none() {
            fs::create_dir_all(&self.path).map_err(|error| self.not_kept(&error))?;
            self.take_lock()?;
        }
        let number = self.next;
        let crc = numbers
            .write(&self.place(number))
            .map_err(|error| self.not_kept(&error))?;
        let written = Written { number, crc };
        self.next += 1;
        self.written.insert(leaf, written);
        Ok(())
    }

    fn read(&self, leaf: Leaf, written: Written) -> Result<Numbers, SeriesError> {
        let bytes = fs::read(self.place(written.number)).map_err(|error| self.not_kept(&error))?;
        if crc32fast::hash(&bytes) != written.crc {
            let damaged = "what is kept there is damaged; remove the folder and begin anew";
            return Err(self.not_kept(&io::Error::other(damaged)));
        }
        Ok(Numbers::decoded(leaf, &bytes))
    }

    fn write_list(&mut self, months: usize) -> Result<(), SeriesError> {
        if self.lock.is_none() {
            return Ok(());
        }
        let mut written: Vec<(Leaf, Written)> = self
            .written
            .iter()
            .map(|(leaf, one)| (*leaf, *one))
            .collect();
        written.sort_by_key(|(leaf, _)| *leaf);
        let list = List {
            subject: self.subject.clone(),
            months,
            written,
        };
        let put = || -> io::Result<()> {
            let draft = self.path.join("list.draft");
            fs::write(&draft, serde_json::to_vec(&list)?)?;
            fs::rename(draft, self.path.join(LIST))
        };
        put().map_err(|error| self.not_kept(&error))?;
        self.remove_unlisted()
    }

    /// Removes files of parts that were replaced since.
    fn remove_unlisted(&self) -> Result<(), SeriesError> {
        let listed: HashSet<PathBuf> = self
            .written
            .values()
            .map(|one| self.place(one.number))
            .collect();
        let remove = || -> io::Result<()> {
            for entry in fs::read_dir(&self.path)? {
                let path = entry?.path();
                let is_sums = path.extension().is_some_and(|end| end == "sums");
                if is_sums && !listed.contains(&path) {
                    fs::remove_file(path)?;
                }
            }
            Ok(())
        };
        remove().map_err(|error| self.not_kept(&error))
    }
}

/// Removes what was kept in the folder at `path`, once it is not needed any more; what else is in it stays.
pub(super) fn remove(path: &Path) -> io::Result<()> {
    if !path.join(LOCK).is_file() {
        return Ok(());
    }
    for entry in fs::read_dir(path)? {
        let path = entry?.path();
        let name = path.file_name().unwrap_or_default();
        let is_sums = path.extension().is_some_and(|end| end == "sums");
        if is_sums || [LIST, LOCK, "list.draft"].iter().any(|ours| name == *ours) {
            fs::remove_file(path)?;
        }
    }
    match fs::remove_dir(path) {
        Err(error) if error.kind() == io::ErrorKind::DirectoryNotEmpty => Ok(()),
        done => done,
    }
}
