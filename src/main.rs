//! The `offing` command: a thin face over the library.

use std::process::ExitCode;

use offing::cli::{complain, run};

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            complain(&format!("error: {error}"));
            if let Some(hint) = error.hint() {
                complain(&format!("hint: {hint}"));
            }
            ExitCode::from(2)
        }
    }
}
