//! The command line: arguments, options, one file per command.

mod arguments;
mod boat;
mod check;
mod climate;
mod compare;
mod error;
mod guarded;
mod handbook;
mod legs;
mod new;
mod schema;
mod season;
mod shape;
mod shape_options;
mod stores;
mod typed;
mod values;
mod voyage;

use std::io::{self, Write as _};

use clap::Parser as _;

use arguments::{Arguments, Command};
pub use error::CliError;

/// Reads the command line and does what it says.
///
/// # Errors
/// Anything wrong with the input; nothing has been written then.
pub fn run() -> Result<(), CliError> {
    if let Some(file) = guarded::file_to_read() {
        return guarded::read(&file);
    }
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        // Help and version.
        Err(error) if !error.use_stderr() => {
            return reached(error.print().and_then(|()| io::stdout().flush()));
        }
        Err(error) => return Err(misunderstood(error)),
    };
    // Left to itself, rayon panics where the system has no threads to give.
    rayon::ThreadPoolBuilder::new()
        .build_global()
        .map_err(CliError::Threads)?;
    match arguments.command {
        Command::Compare(options) => compare::run(&options),
        Command::Legs(options) => legs::run(&options),
        Command::Check(options) => check::run(&options),
        Command::Shape(options) => shape::run(&options),
        Command::Boat(options) => boat::run(&options),
        Command::Season(options) => season::run(&options),
        Command::Climate(options) => climate::run(&options),
        Command::Stores(options) => stores::run(&options),
        Command::New(options) => new::run(&options),
        Command::Schema(options) => schema::run(&options),
        Command::Completions(options) => handbook::completions(&options),
        Command::Man(options) => handbook::man(&options),
    }
}

/// An error of the command line, laid out as all others.
fn misunderstood(error: clap::Error) -> CliError {
    let text = error.to_string();
    let Some(message) = text.strip_prefix("error: ") else {
        // The help on standard error, where there is no command.
        error.exit();
    };
    let message = message
        .replace("\n\n  tip: ", "\nhint: ")
        .replace("\n  tip: ", "\nhint: ")
        .replace(
            "For more information, try '--help'.",
            "hint: for more, add `--help`",
        );
    CliError::Arguments(message.trim_end().to_owned())
}

/// Prints a result.
fn print(text: &str) -> Result<(), CliError> {
    let mut stdout = io::stdout().lock();
    reached(
        stdout
            .write_all(text.as_bytes())
            .and_then(|()| stdout.flush()),
    )
}

/// Says something beside the result. Where standard error takes nothing there is nobody to tell.
pub fn complain(line: &str) {
    let _ = writeln!(io::stderr(), "{line}");
}

/// Whether what was printed got there. A reader that has seen enough, such as `head`, is no error.
fn reached(printed: io::Result<()>) -> Result<(), CliError> {
    match printed {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(CliError::Stdout(error)),
        _ => Ok(()),
    }
}
