//! Files written together, each whole: all of them or none.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::{fs, io};

use tempfile::NamedTempFile;

use crate::text::visible;

/// Files that were not written.
#[derive(Debug, thiserror::Error)]
pub enum OutputError {
    /// The system does not let a file be written; what stood there before still does.
    #[error("cannot write {}: {}; {}", shown(file), why(*.kind), left(.written))]
    Refused {
        /// The file that was to be written.
        file: PathBuf,
        /// What the system says.
        kind: io::ErrorKind,
        /// The files of the same command that stood in their places before this one failed.
        written: Vec<PathBuf>,
    },
    /// One file for two outputs.
    #[error(
        "two outputs are to be written to {}; nothing was written. Give each a file of its own",
        shown(file)
    )]
    Twice {
        /// The file.
        file: PathBuf,
    },
    /// A file that the command itself read.
    #[error(
        "{} is one of the files read for this; nothing was written. Choose another name",
        shown(file)
    )]
    AlsoRead {
        /// The file.
        file: PathBuf,
    },
    /// A file that was not to be replaced.
    #[error(
        "{} is there already; nothing was written. Choose another folder",
        shown(file)
    )]
    AlreadyThere {
        /// The file.
        file: PathBuf,
    },
    /// A file that nobody may write to, by its permissions.
    #[error(
        "{} is marked as read-only; nothing was written. Choose another name, or allow writing to it",
        shown(file)
    )]
    ReadOnly {
        /// The file.
        file: PathBuf,
    },
    /// A name that can only be a folder's.
    #[error(
        "{} is the name of a folder, since it ends in a slash; nothing was written. Add the file's name",
        shown(file)
    )]
    FolderName {
        /// The name.
        file: PathBuf,
    },
    /// The file that standard output is sent to.
    #[error(
        "{} is where standard output goes; nothing was written. Give it a file of its own",
        shown(file)
    )]
    IsStandardOutput {
        /// The file.
        file: PathBuf,
    },
}

impl OutputError {
    /// A file, or the folder for it, that the system refuses before anything is written.
    pub fn refused(file: &Path, error: &io::Error) -> Self {
        Self::Refused {
            file: file.to_owned(),
            kind: error.kind(),
            written: Vec::new(),
        }
    }
}

/// What a refusal of the system's means to the person who asked.
fn why(kind: io::ErrorKind) -> String {
    use io::ErrorKind as Kind;
    let words = match kind {
        Kind::NotFound => "there is no such folder",
        Kind::NotADirectory => "a part of its path is not a folder",
        Kind::IsADirectory => "it is a folder",
        Kind::PermissionDenied => "it may not be written there",
        Kind::ReadOnlyFilesystem => "the disk may only be read",
        Kind::StorageFull | Kind::QuotaExceeded => "the disk is full",
        Kind::FileTooLarge => "it is larger than a file may be here",
        other => return other.to_string(),
    };
    words.to_owned()
}

fn shown(file: &Path) -> String {
    visible(&file.to_string_lossy()).into_owned()
}

fn left(written: &[PathBuf]) -> String {
    if written.is_empty() {
        return "nothing was written".to_owned();
    }
    let names = written.iter().map(|file| shown(file));
    format!(
        "written before it: {}",
        names.collect::<Vec<_>>().join(", ")
    )
}

/// Files to be written together.
#[derive(Debug)]
pub struct Files {
    replace: bool,
    read: Vec<PathBuf>,
    texts: Vec<(PathBuf, String)>,
}

/// A text written beside its place, under another name.
#[derive(Debug)]
struct Draft {
    file: PathBuf,
    place: PathBuf,
    text: NamedTempFile,
    replace: bool,
}

/// Files that are written, but not yet in their places; copies share them.
#[derive(Debug, Clone, Default)]
pub struct Drafts(Arc<Mutex<Vec<Draft>>>);

impl Files {
    /// No files yet; they take the place of old ones, but of none of those `read` for this.
    pub fn beside_read(read: &[PathBuf]) -> Self {
        Self {
            replace: true,
            read: read.iter().map(|file| place_of(file)).collect(),
            texts: Vec::new(),
        }
    }

    /// No files yet; where one is there already, none is written.
    pub fn beside_old() -> Self {
        Self {
            replace: false,
            read: Vec::new(),
            texts: Vec::new(),
        }
    }

    /// Adds a file; nothing is written yet.
    pub fn add(&mut self, file: &Path, text: String) {
        self.texts.push((file.to_owned(), text));
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.texts.is_empty()
    }

    /// Writes all files, but none in its place yet: that is for [`Drafts::put`]. Pipes, terminals and
    /// the like have no other place: they take their text once all else is written.
    ///
    /// # Errors
    /// A folder that is missing or may not be written to, a full disk, one file for two outputs, a
    /// file that was read for this, that is read-only, or that is there already and not to be
    /// replaced. Old files are left as they were, and no draft stays.
    pub fn draft(self, drafts: &Drafts) -> Result<(), OutputError> {
        self.drafted(drafts).inspect_err(|_| drafts.discard())
    }

    fn drafted(mut self, drafts: &Drafts) -> Result<(), OutputError> {
        let mut through = Vec::new();
        for (file, text) in std::mem::take(&mut self.texts) {
            let place = self.place(&file)?;
            if place.exists() && !place.is_file() {
                through.push((file, place, text));
                continue;
            }
            let mut waiting = drafts.waiting();
            if waiting.iter().any(|draft| draft.place == place) {
                return Err(OutputError::Twice { file });
            }
            let text = draft_beside(&place, &text);
            waiting.push(Draft {
                text: text.map_err(|error| OutputError::refused(&file, &error))?,
                file,
                place,
                replace: self.replace,
            });
        }
        let mut written = Vec::new();
        for (file, place, text) in through {
            if let Err(error) = fs::write(place, text) {
                let kind = error.kind();
                return Err(OutputError::Refused {
                    file,
                    kind,
                    written,
                });
            }
            written.push(file);
        }
        Ok(())
    }

    /// Where a file is in truth, unless it must not be written there.
    fn place(&self, file: &Path) -> Result<PathBuf, OutputError> {
        let owned = || file.to_owned();
        let place = place_of(file);
        if !self.replace && file.symlink_metadata().is_ok() {
            return Err(OutputError::AlreadyThere { file: owned() });
        }
        if self.read.contains(&place) {
            return Err(OutputError::AlsoRead { file: owned() });
        }
        check_name(file, &place)?;
        Ok(place)
    }

    /// A draft of a file that is written by others, and where it stands, empty until then: so what
    /// keeps it from its place is said before the work and not after.
    ///
    /// # Errors
    /// Those of [`Self::draft`], and a pipe, which not everything can be written to.
    pub fn reserve(self, file: &Path, drafts: &Drafts) -> Result<PathBuf, OutputError> {
        let place = self.place(file)?;
        let refused = |error: io::Error| OutputError::refused(file, &error);
        if place.exists() && !place.is_file() {
            return Err(refused(io::ErrorKind::Unsupported.into()));
        }
        let text = draft_beside(&place, "").map_err(refused)?;
        let path = text.path().to_owned();
        drafts.waiting().push(Draft {
            text,
            file: file.to_owned(),
            place,
            replace: self.replace,
        });
        Ok(path)
    }
}

impl Drafts {
    /// Puts every file in its place.
    ///
    /// # Errors
    /// What the system refuses; it is said which files stand in their places.
    pub fn put(&self) -> Result<(), OutputError> {
        let mut written = Vec::new();
        let mut waiting = self.waiting();
        for draft in waiting.drain(..) {
            let put = match draft.replace {
                true => draft.text.persist(draft.place),
                false => draft.text.persist_noclobber(draft.place),
            };
            if let Err(error) = put {
                return Err(OutputError::Refused {
                    file: draft.file,
                    kind: error.error.kind(),
                    written,
                });
            }
            written.push(draft.file);
        }
        Ok(())
    }

    /// Removes every file that is not in its place yet.
    pub fn discard(&self) {
        self.waiting().clear();
    }

    /// The same, then `last`, before which no more is written: for the end of the program.
    pub fn discard_and(&self, last: impl FnOnce()) {
        let mut waiting = self.waiting();
        waiting.clear();
        last();
    }

    fn waiting(&self) -> MutexGuard<'_, Vec<Draft>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Whether a file can be written by its name and by what stands there.
fn check_name(file: &Path, place: &Path) -> Result<(), OutputError> {
    let ends_in_slash = file.to_string_lossy().ends_with(std::path::is_separator);
    if place.is_dir() {
        let folder = io::Error::from(io::ErrorKind::IsADirectory);
        return Err(OutputError::refused(file, &folder));
    }
    if ends_in_slash {
        let file = file.to_owned();
        return Err(OutputError::FolderName { file });
    }
    let refused = |error: io::Error| OutputError::refused(file, &error);
    if place.is_symlink() {
        // Links that lead round in a circle.
        fs::metadata(place).map_err(refused)?;
    }
    if !place.is_file() {
        return Ok(());
    }
    if fs::metadata(place)
        .map_err(refused)?
        .permissions()
        .readonly()
    {
        let file = file.to_owned();
        return Err(OutputError::ReadOnly { file });
    }
    // Another file takes its place, which the system asks only the folder about.
    let old = fs::OpenOptions::new().write(true).open(place);
    if is_standard_output(&old.map_err(refused)?) {
        let file = file.to_owned();
        return Err(OutputError::IsStandardOutput { file });
    }
    Ok(())
}

/// Whether what is printed goes to this file: it would be lost with the old file.
#[cfg(unix)]
fn is_standard_output(old: &fs::File) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    let of = |metadata: fs::Metadata| (metadata.dev(), metadata.ino());
    let old = old.metadata().map(of);
    let printed = fs::metadata("/dev/stdout").map(of);
    matches!((old, printed), (Ok(old), Ok(printed)) if old == printed)
}

#[cfg(not(unix))]
fn is_standard_output(_: &fs::File) -> bool {
    false
}

/// Where a file is in truth: a link goes on pointing to the file it points to, even if that is not
/// there yet.
fn place_of(file: &Path) -> PathBuf {
    /// As many as Linux follows.
    const MOST_LINKS: usize = 40;
    let mut place = file.to_owned();
    for _ in 0..MOST_LINKS {
        if let Ok(place) = fs::canonicalize(&place) {
            return place;
        }
        match fs::read_link(&place) {
            Ok(target) => place = folder_of(&place).join(target),
            Err(_) => break,
        }
    }
    match (fs::canonicalize(folder_of(&place)), place.file_name()) {
        (Ok(folder), Some(name)) => folder.join(name),
        _ => place,
    }
}

fn folder_of(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// The text in a file of another name in the same folder, with the permissions of the file whose place
/// it takes.
fn draft_beside(place: &Path, text: &str) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    let old = fs::metadata(place).ok();
    #[cfg(unix)]
    if old.is_none() {
        use std::os::unix::fs::PermissionsExt as _;
        // As any new file, less the user's umask: a draft of the temporary kind is private.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut draft = builder.tempfile_in(folder_of(place))?;
    if let Some(old) = old {
        draft.as_file().set_permissions(old.permissions())?;
    }
    draft.write_all(text.as_bytes())?;
    draft.as_file().sync_all()?;
    Ok(draft)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn write(files: &[(&Path, &str)]) -> Result<(), OutputError> {
        let mut all = Files::beside_read(&[]);
        for (file, text) in files {
            all.add(file, (*text).to_owned());
        }
        put(all)
    }

    fn put(files: Files) -> Result<(), OutputError> {
        let drafts = Drafts::default();
        files.draft(&drafts)?;
        drafts.put()
    }

    fn names(folder: &Path) -> usize {
        fs::read_dir(folder).unwrap().count()
    }

    #[test]
    fn where_one_cannot_be_written_none_is() {
        let folder = tempfile::tempdir().unwrap();
        let (good, bad) = (
            folder.path().join("good.csv"),
            folder.path().join("missing").join("out.csv"),
        );
        let error = write(&[(&good, "a"), (&bad, "b")]).unwrap_err();
        let said = format!(
            "cannot write {}: there is no such folder; nothing was written",
            bad.display()
        );
        assert_eq!(error.to_string(), said);
        assert_eq!(names(folder.path()), 0);
    }

    #[test]
    fn a_folder_is_not_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let error = write(&[(folder.path(), "a")]).unwrap_err();
        assert!(error.to_string().contains("it is a folder"), "{error}");
    }

    #[test]
    fn one_file_does_not_do_for_two_outputs() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("out.csv");
        let same = folder.path().join(".").join("out.csv");
        let error = write(&[(&file, "a"), (&same, "b")]).unwrap_err();
        assert!(matches!(error, OutputError::Twice { .. }), "{error}");
        assert_eq!(names(folder.path()), 0);
    }

    #[test]
    fn a_draft_comes_into_its_place_or_vanishes() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("winds.nc");
        let reserved = |drafts: &Drafts| {
            let files = Files::beside_read(&[]);
            files.reserve(&file, drafts).unwrap()
        };
        let drafts = Drafts::default();
        fs::write(reserved(&drafts), "half").unwrap();
        assert!(!file.exists());
        drafts.discard();
        assert_eq!(names(folder.path()), 0);
        fs::write(reserved(&drafts), "whole").unwrap();
        drafts.put().unwrap();
        assert_eq!(fs::read_to_string(&file).unwrap(), "whole");
        assert_eq!(names(folder.path()), 1);
    }

    #[test]
    fn what_was_read_is_not_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("polar.csv");
        fs::write(&file, "the crew's only polar").unwrap();
        let mut files = Files::beside_read(std::slice::from_ref(&file));
        files.add(&folder.path().join(".").join("polar.csv"), "new".to_owned());
        let error = put(files).unwrap_err();
        assert!(matches!(error, OutputError::AlsoRead { .. }), "{error}");
        assert_eq!(fs::read_to_string(file).unwrap(), "the crew's only polar");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_stays_a_link() {
        let folder = tempfile::tempdir().unwrap();
        let (file, link) = (
            folder.path().join("out.csv"),
            folder.path().join("link.csv"),
        );
        write(&[(&file, "old")]).unwrap();
        std::os::unix::fs::symlink(&file, &link).unwrap();
        write(&[(&link, "new")]).unwrap();
        assert!(link.is_symlink());
        assert_eq!(fs::read_to_string(&file).unwrap(), "new");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_to_a_file_that_is_not_there_makes_that_file() {
        use std::os::unix::fs::symlink;
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("elsewhere")).unwrap();
        let link = folder.path().join("link.csv");
        symlink("second.csv", &link).unwrap();
        symlink("elsewhere/out.csv", folder.path().join("second.csv")).unwrap();
        write(&[(&link, "new")]).unwrap();
        let made = folder.path().join("elsewhere/out.csv");
        assert_eq!(fs::read_to_string(made).unwrap(), "new");
        assert!(link.is_symlink() && folder.path().join("second.csv").is_symlink());

        let [round, about] = ["round", "about"].map(|name| folder.path().join(name));
        symlink("about", &round).unwrap();
        symlink("round", &about).unwrap();
        write(&[(&round, "new")]).unwrap_err();
        assert!(round.is_symlink() && about.is_symlink());
    }

    #[cfg(unix)]
    #[test]
    fn a_file_keeps_its_permissions_and_a_read_only_one_its_text() {
        use std::os::unix::fs::PermissionsExt as _;
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("out.csv");
        write(&[(&file, "old")]).unwrap();
        let mode = || fs::metadata(&file).unwrap().permissions().mode() & 0o7777;
        for kept in [0o600, 0o640, 0o666, 0o755] {
            fs::set_permissions(&file, fs::Permissions::from_mode(kept)).unwrap();
            write(&[(&file, "old")]).unwrap();
            assert_eq!(mode(), kept);
        }
        fs::set_permissions(&file, fs::Permissions::from_mode(0o444)).unwrap();
        let error = write(&[(&file, "new")]).unwrap_err().to_string();
        assert!(
            error.contains("is marked as read-only; nothing was written"),
            "{error}"
        );
        assert_eq!(fs::read_to_string(&file).unwrap(), "old");
        assert_eq!((mode(), names(folder.path())), (0o444, 1));
    }

    #[test]
    fn a_name_that_ends_in_a_slash_is_no_file() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("nodir/");
        let error = write(&[(&file, "a")]).unwrap_err().to_string();
        assert!(
            error.contains("nodir/ is the name of a folder, since it ends in a slash"),
            "{error}"
        );
        assert_eq!(names(folder.path()), 0);
    }

    #[test]
    fn drafts_that_are_discarded_leave_the_old_files() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("out.csv");
        write(&[(&file, "old")]).unwrap();
        let mut files = Files::beside_read(&[]);
        files.add(&file, "new".to_owned());
        let drafts = Drafts::default();
        files.draft(&drafts).unwrap();
        assert_eq!(names(folder.path()), 2);
        drafts.discard_and(|| assert_eq!(names(folder.path()), 1));
        drafts.put().unwrap();
        assert_eq!(fs::read_to_string(&file).unwrap(), "old");
    }

    #[test]
    fn an_old_file_is_replaced_and_no_draft_stays() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("out.csv");
        write(&[(&file, "old")]).unwrap();
        write(&[(&file, "new")]).unwrap();
        assert_eq!(fs::read_to_string(&file).unwrap(), "new");
        assert_eq!(names(folder.path()), 1);
    }

    #[test]
    fn beside_an_old_file_nothing_is_written() {
        let folder = tempfile::tempdir().unwrap();
        let (old, new) = (folder.path().join("old"), folder.path().join("new"));
        write(&[(&old, "old")]).unwrap();
        let mut files = Files::beside_old();
        files.add(&new, "new".to_owned());
        files.add(&old, "new".to_owned());
        let error = put(files).unwrap_err();
        assert!(matches!(error, OutputError::AlreadyThere { .. }), "{error}");
        assert_eq!(fs::read_to_string(&old).unwrap(), "old");
        assert!(!new.exists());
    }
}
