//! The command line: arguments, options, one file per command.

mod arguments;
mod boat;
mod check;
mod climate;
mod compare;
mod deliver;
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
mod terminal;
mod typed;
mod values;
mod voyage;
mod winds;
mod years;

use std::io::{self, Write as _};

use clap::Parser as _;

use arguments::{Arguments, Command};
use deliver::deliver;
pub use error::CliError;
pub use terminal::complain;
use terminal::{print, print_data, screen, show, warn};

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
            return terminal::written(error.print().and_then(|()| io::stdout().flush()));
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
        Command::Years(options) => years::run(&options),
        Command::Climate(options) => climate::run(&options),
        Command::Winds(options) => winds::run(&options),
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
    CliError::Arguments(terminal::folded(message.trim_end()))
}
