//! The `offing` command: a thin face over the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    match offing::cli::run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error}");
            if let Some(hint) = error.hint() {
                eprintln!("hint: {hint}");
            }
            ExitCode::from(2)
        }
    }
}
