//! A whole text file, if it is one and of a likely length.

use std::fs::File;
use std::io::{Error, ErrorKind, Read as _, Result};
use std::path::Path;
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

/// The longest file that is read, in bytes: a track of three months at a point a minute. A device
/// that never ends is refused by it too.
pub const MOST_BYTES: u64 = 20_000_000;

/// How long to wait for a program that writes to a named pipe (our choice: the other end of a shell's
/// line is there at once).
const PATIENCE: Duration = Duration::from_secs(5);

/// The text of a file, as it stands.
///
/// # Errors
/// A file that cannot be read, that is a pipe nobody writes to, is longer than [`MOST_BYTES`] or is not UTF-8, worded to follow
/// "cannot read (the file): ".
pub fn read_text(path: &Path) -> Result<String> {
    let mut bytes = Vec::new();
    opened(path)?.take(MOST_BYTES + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > MOST_BYTES {
        let most_mb = MOST_BYTES / 1_000_000;
        let reason = format!("it is longer than {most_mb} MB, the most that is read");
        return Err(Error::new(ErrorKind::FileTooLarge, reason));
    }
    String::from_utf8(bytes).map_err(|_| Error::new(ErrorKind::InvalidData, "it is not UTF-8 text"))
}

/// The file, opened. To open a pipe takes as long as it takes another program to open it too, which
/// may be for ever.
fn opened(path: &Path) -> Result<File> {
    if !is_pipe(path) {
        return File::open(path);
    }
    let (sender, receiver) = mpsc::channel();
    let path = path.to_owned();
    let open = move || sender.send(File::open(path));
    thread::Builder::new().spawn(open)?;
    receiver.recv_timeout(PATIENCE).unwrap_or_else(|_| {
        let waited = PATIENCE.as_secs();
        let reason = format!("it is a pipe, and no program wrote to it within {waited} s");
        Err(Error::new(ErrorKind::TimedOut, reason))
    })
}

#[cfg(unix)]
fn is_pipe(path: &Path) -> bool {
    use std::os::unix::fs::FileTypeExt as _;
    std::fs::metadata(path).is_ok_and(|metadata| metadata.file_type().is_fifo())
}

#[cfg(not(unix))]
fn is_pipe(_: &Path) -> bool {
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_of_the_greatest_length_is_read_and_one_longer_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("text");
        let mut bytes = vec![b'x'; MOST_BYTES as usize];
        std::fs::write(&path, &bytes).unwrap();
        assert_eq!(read_text(&path).unwrap().len(), bytes.len());
        bytes.push(b'x');
        std::fs::write(&path, &bytes).unwrap();
        assert_eq!(
            read_text(&path).unwrap_err().to_string(),
            "it is longer than 20 MB, the most that is read"
        );
        std::fs::write(&path, [0xff, 0xfe, 0x00]).unwrap();
        assert_eq!(
            read_text(&path).unwrap_err().to_string(),
            "it is not UTF-8 text"
        );
        assert!(read_text(folder.path()).is_err());
    }
}
