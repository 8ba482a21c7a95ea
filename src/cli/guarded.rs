//! The crew's own NetCDF files are read by a second process of this program, which no file can make
//! crash or hang the first. The command for it is the program's own and not the sailor's: it is
//! taken before the command line is parsed, so that no help, completion or manual page has it.

use std::env;
use std::io;
use std::path::{Path, PathBuf};

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
    // Where the system does not say which file the program is, the name it was called by may do.
    let called = || env::args_os().next().unwrap_or_default().into();
    Guard::new(env::current_exe().unwrap_or_else(|_| called()))
}
