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
    replace(file, text).map_err(|source| OutputError {
        file: file.to_owned(),
        source,
    })
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

fn replace(file: &Path, text: &str) -> io::Result<()> {
    let target = match fs::canonicalize(file) {
        // A pipe or a terminal takes what is written to it; a file must not be put in its place.
        Ok(place) if !place.is_file() => return fs::write(place, text),
        // A link goes on pointing to the file it points to.
        Ok(place) => place,
        Err(_) => file.to_owned(),
    };
    let draft = draft_beside(&target, text)?;
    draft.persist(target).map_err(|error| error.error)?;
    Ok(())
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
