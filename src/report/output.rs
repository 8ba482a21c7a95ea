//! Files written whole or not at all.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::{fs, io};

/// A file that could not be written; what stood there before still does.
#[derive(Debug, thiserror::Error)]
#[error("cannot write {}: {source}; nothing was written", .file.display())]
pub struct OutputError {
    /// The file that was to be written.
    pub file: PathBuf,
    /// What the system says.
    pub source: std::io::Error,
}

/// Writes a file whole: first under another name beside it, then in its place.
///
/// # Errors
/// A folder that is missing or may not be written to, a full disk. An old file is left as it was.
pub fn write_whole(file: &Path, text: &str) -> Result<(), OutputError> {
    write_together(&[(file, text.to_owned())])
}

/// As [`write_whole`], several files: none is put in its place before all could be written beside
/// theirs, so that one folder that is missing leaves the others as they were.
///
/// # Errors
/// Those of [`write_whole`], for the first file that could not be written.
pub fn write_together(files: &[(&Path, String)]) -> Result<(), OutputError> {
    let failed = |file: &Path| {
        let file = file.to_owned();
        move |source| OutputError { file, source }
    };
    let mut drafts = Vec::new();
    for (file, text) in files {
        drafts.push((file, Draft::new(file, text).map_err(failed(file))?));
    }
    for (file, draft) in drafts {
        draft.put_in_place().map_err(failed(file))?;
    }
    Ok(())
}

/// As [`write_whole`], but only where nothing stands yet.
///
/// # Errors
/// Those of [`write_whole`], and a file that is there already.
pub fn write_new(file: &Path, text: &str) -> Result<(), OutputError> {
    let written = draft_beside(file, text)
        .and_then(|draft| draft.persist_noclobber(file).map_err(|error| error.error));
    written.map(drop).map_err(|source| OutputError {
        file: file.to_owned(),
        source,
    })
}

/// A text about to be put in its place.
enum Draft<'a> {
    /// Written beside the file it will be.
    Beside(tempfile::NamedTempFile, PathBuf),
    /// For a pipe or a terminal, which takes what is written to it; a file must not be put in its
    /// place.
    ForStream(PathBuf, &'a str),
}

impl<'a> Draft<'a> {
    fn new(file: &Path, text: &'a str) -> io::Result<Self> {
        let target = match fs::canonicalize(file) {
            Ok(place) if !place.is_file() => return Ok(Self::ForStream(place, text)),
            // A link goes on pointing to the file it points to.
            Ok(place) => place,
            Err(_) => file.to_owned(),
        };
        Ok(Self::Beside(draft_beside(&target, text)?, target))
    }

    fn put_in_place(self) -> io::Result<()> {
        match self {
            Self::Beside(draft, target) => {
                draft.persist(target).map_err(|error| error.error)?;
                Ok(())
            }
            Self::ForStream(place, text) => fs::write(place, text),
        }
    }
}

/// The text in a file of another name in the same folder.
fn draft_beside(target: &Path, text: &str) -> io::Result<tempfile::NamedTempFile> {
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As any new file, less the user's umask: a draft of the temporary kind is private.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut draft = builder.tempfile_in(folder)?;
    draft.write_all(text.as_bytes())?;
    draft.as_file().sync_all()?;
    Ok(draft)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_that_is_not_there_is_named_and_nothing_is_left() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("missing").join("out.csv");
        let error = write_whole(&file, "a").unwrap_err();
        assert!(error.to_string().contains("out.csv"), "{error}");
        assert!(!file.exists());
    }

    #[test]
    fn of_several_files_all_are_written_or_none() {
        let folder = tempfile::tempdir().unwrap();
        let (good, bad) = (folder.path().join("out.csv"), folder.path().join("no/out"));
        let both = |bad: &Path| write_together(&[(&good, "a".to_owned()), (bad, "b".to_owned())]);
        let error = both(&bad).unwrap_err();
        assert_eq!(error.file, bad);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
        both(&folder.path().join("other.csv")).unwrap();
        assert_eq!(fs::read_to_string(&good).unwrap(), "a");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_stays_a_link() {
        let folder = tempfile::tempdir().unwrap();
        let (file, link) = (
            folder.path().join("out.csv"),
            folder.path().join("link.csv"),
        );
        write_whole(&file, "old").unwrap();
        std::os::unix::fs::symlink(&file, &link).unwrap();
        write_whole(&link, "new").unwrap();
        assert!(link.is_symlink());
        assert_eq!(fs::read_to_string(&file).unwrap(), "new");
    }

    #[test]
    fn an_old_file_is_replaced_and_no_draft_stays() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("out.csv");
        write_whole(&file, "old").unwrap();
        write_whole(&file, "new").unwrap();
        assert_eq!(fs::read_to_string(&file).unwrap(), "new");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
