//! Files written together, each whole: all of them or none.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::{fs, io};

use tempfile::NamedTempFile;

/// Files that were not written.
#[derive(Debug, thiserror::Error)]
pub enum OutputError {
    /// The system does not let a file be written; what stood there before still does.
    #[error("cannot write {}: {}; {}", .file.display(), why(*.kind), left(.written))]
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
        .file.display()
    )]
    Twice {
        /// The file.
        file: PathBuf,
    },
    /// A file that the command itself read.
    #[error(
        "{} is one of the files read for this; nothing was written. Choose another name",
        .file.display()
    )]
    AlsoRead {
        /// The file.
        file: PathBuf,
    },
    /// A file that was not to be replaced.
    #[error("{} is there already; nothing was written. Choose another folder", .file.display())]
    AlreadyThere {
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
        other => return other.to_string(),
    };
    words.to_owned()
}

fn left(written: &[PathBuf]) -> String {
    if written.is_empty() {
        return "nothing was written".to_owned();
    }
    let names = written.iter().map(|file| file.display().to_string());
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
    drafts: Vec<(PathBuf, NamedTempFile)>,
}

/// A text on its way to its place.
enum Draft {
    /// Written beside the place, under another name.
    Beside(NamedTempFile, PathBuf),
    /// A pipe or a terminal takes what is written to it; a file must not be put in its place.
    Through(PathBuf, String),
}

impl Files {
    /// No files yet; they take the place of old ones, but of none of those `read` for this.
    pub fn beside_read(read: &[PathBuf]) -> Self {
        Self {
            replace: true,
            read: read.iter().map(|file| place_of(file)).collect(),
            texts: Vec::new(),
            drafts: Vec::new(),
        }
    }

    /// No files yet; where one is there already, none is written.
    pub fn beside_old() -> Self {
        Self {
            replace: false,
            read: Vec::new(),
            texts: Vec::new(),
            drafts: Vec::new(),
        }
    }

    /// Adds a file that is written by others, and says where: beside its place, under another name, where
    /// an empty file stands until then. It comes into its place with all the rest, or vanishes.
    ///
    /// # Errors
    /// Those of [`Self::write`] that can be told before: so they are, and not after an hour's work.
    pub fn draft(&mut self, file: &Path) -> Result<PathBuf, OutputError> {
        let place = self.free_place(file)?;
        if place.exists() && !place.is_file() {
            // A pipe cannot be written to in the way that a NetCDF file is.
            return Err(OutputError::refused(
                file,
                &io::ErrorKind::Unsupported.into(),
            ));
        }
        let draft = draft_beside(&place, "").map_err(|error| OutputError::refused(file, &error))?;
        let path = draft.path().to_owned();
        self.drafts.push((file.to_owned(), draft));
        Ok(path)
    }

    /// Adds a file; nothing is written yet.
    pub fn add(&mut self, file: &Path, text: String) {
        self.texts.push((file.to_owned(), text));
    }

    /// Writes the files: first all of them under other names, then each in its place.
    ///
    /// # Errors
    /// A folder that is missing or may not be written to, a full disk, one file for two outputs, a
    /// file that was read for this, or that is there already and not to be replaced. Old files are
    /// left as they were.
    pub fn write(mut self) -> Result<(), OutputError> {
        let mut drafts: Vec<(PathBuf, Draft)> = Vec::with_capacity(self.texts.len());
        for (file, draft) in std::mem::take(&mut self.drafts) {
            let place = place_of(&file);
            drafts.push((file, Draft::Beside(draft, place)));
        }
        for (file, text) in std::mem::take(&mut self.texts) {
            let place = self.free_place(&file)?;
            let twice = |(_, draft): &(PathBuf, Draft)| match draft {
                Draft::Beside(_, taken) => *taken == place,
                Draft::Through(..) => false,
            };
            if drafts.iter().any(twice) {
                return Err(OutputError::Twice { file });
            }
            let draft = if place.exists() && !place.is_file() {
                Draft::Through(place, text)
            } else {
                let written = draft_beside(&place, &text);
                Draft::Beside(
                    written.map_err(|error| OutputError::refused(&file, &error))?,
                    place,
                )
            };
            drafts.push((file, draft));
        }
        let mut written = Vec::new();
        for (file, draft) in drafts {
            if let Err(error) = draft.put(self.replace) {
                return Err(OutputError::Refused {
                    file,
                    kind: error.kind(),
                    written,
                });
            }
            written.push(file);
        }
        Ok(())
    }

    /// Where a file is in truth, unless it must not be written there.
    fn free_place(&self, file: &Path) -> Result<PathBuf, OutputError> {
        let file = file.to_owned();
        if !self.replace && file.symlink_metadata().is_ok() {
            return Err(OutputError::AlreadyThere { file });
        }
        let place = place_of(&file);
        if self.read.contains(&place) {
            return Err(OutputError::AlsoRead { file });
        }
        if place.is_dir() {
            return Err(OutputError::refused(
                &file,
                &io::ErrorKind::IsADirectory.into(),
            ));
        }
        Ok(place)
    }
}

impl Draft {
    fn put(self, replace: bool) -> io::Result<()> {
        match self {
            Self::Through(place, text) => fs::write(place, text),
            Self::Beside(draft, place) if replace => {
                draft.persist(place).map(drop).map_err(|error| error.error)
            }
            Self::Beside(draft, place) => draft
                .persist_noclobber(place)
                .map(drop)
                .map_err(|error| error.error),
        }
    }
}

/// Where a file is in truth: a link goes on pointing to the file it points to.
fn place_of(file: &Path) -> PathBuf {
    if let Ok(place) = fs::canonicalize(file) {
        return place;
    }
    let name = file.file_name();
    match (fs::canonicalize(folder_of(file)), name) {
        (Ok(folder), Some(name)) => folder.join(name),
        _ => file.to_owned(),
    }
}

fn folder_of(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// The text in a file of another name in the same folder.
fn draft_beside(place: &Path, text: &str) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As any new file, less the user's umask: a draft of the temporary kind is private.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut draft = builder.tempfile_in(folder_of(place))?;
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
        all.write()
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
        let mut files = Files::beside_read(&[]);
        fs::write(files.draft(&file).unwrap(), "half").unwrap();
        assert!(!file.exists());
        drop(files);
        assert_eq!(names(folder.path()), 0);
        let mut files = Files::beside_read(&[]);
        fs::write(files.draft(&file).unwrap(), "whole").unwrap();
        files.write().unwrap();
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
        let error = files.write().unwrap_err();
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
        let error = files.write().unwrap_err();
        assert!(matches!(error, OutputError::AlreadyThere { .. }), "{error}");
        assert_eq!(fs::read_to_string(&old).unwrap(), "old");
        assert!(!new.exists());
    }
}
