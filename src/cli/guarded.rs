//! The crew's own NetCDF files are read by a second process of this program, which no file can make
//! crash or hang the first. The command for it is the program's own and not the sailor's: it is
//! taken before the command line is parsed, so that no help, completion or manual page has it.

use std::env;
use std::io;
use std::panic;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::CliError;
use crate::climate::Guard;

/// The file that this process was started to read for another; none where a sailor started it.
pub(super) fn file_to_read() -> Option<PathBuf> {
    let mut arguments = env::args_os().skip(1);
    let command = arguments.next()?;
    let file = arguments.next()?;
    (command == Guard::COMMAND).then(|| file.into())
}

pub(super) fn read(file: &Path) -> Result<(), CliError> {
    Guard::serve(file, io::stdin().lock(), io::stdout().lock()).map_err(CliError::Stdout)
}

/// A guard by this program.
pub(super) fn guard() -> Guard {
    Guard::new(this_program())
}

fn this_program() -> PathBuf {
    // Where the system does not say which file the program is, the name it was called by may do.
    let called = || env::args_os().next().unwrap_or_default().into();
    env::current_exe().unwrap_or_else(|_| called())
}

/// In a process that measures a series for another: the draft that it is to fill.
const DRAFT: &str = "OFFING_DRAFT";

/// What the program ends with where it has said what is wrong.
const REFUSED: i32 = 2;

/// How a draft was filled.
pub(super) enum Filled {
    /// To the end.
    Whole,
    /// Not: what is wrong has been said, and the program ends with this code.
    Refused(i32),
}

/// The draft that this process was started to fill; none where a sailor started it.
pub(super) fn draft_to_fill() -> Option<PathBuf> {
    let draft = env::var_os(DRAFT)?;
    // What the binding panics with is for its makers; the other process says what it means.
    panic::set_hook(Box::new(|_| {}));
    Some(draft.into())
}

/// Has this same command line filled in by a process of its own, which a damaged file may end. It may
/// take hours over hundreds of files, so nothing limits its time.
pub(super) fn fill(draft: &Path) -> Result<Filled, CliError> {
    let status = Command::new(this_program())
        .args(env::args_os().skip(1))
        .env(DRAFT, draft)
        .status()
        .map_err(CliError::NotStarted)?;
    match status.code() {
        Some(0) => Ok(Filled::Whole),
        Some(REFUSED) => Ok(Filled::Refused(REFUSED)),
        _ => Err(CliError::Crashed(status)),
    }
}
