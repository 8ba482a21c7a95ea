//! The `offing` command: a thin face over the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    match offing::cli::run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            offing::cli::complain(&error);
            ExitCode::from(2)
        }
    }
}
