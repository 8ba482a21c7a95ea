//! What a command can end with other than its result.

use crate::climate::{ClimateError, ClimateFault, ClimatePart, SeriesError};
use crate::report::OutputError;
use crate::study::StudyError;
use crate::text::{brief, brief_lines, brief_list};
use crate::units::{OutOfRange, nearest};

/// What went wrong, in words for the person at the keyboard.
#[derive(Debug, thiserror::Error)]
pub enum CliError {
    /// The question cannot be answered: its files, its winds or its boat.
    #[error(transparent)]
    Study(Box<StudyError>),
    /// A file that was asked for could not be written.
    #[error(transparent)]
    Output(#[from] OutputError),
    /// A command line that cannot be understood.
    #[error("{0}")]
    Arguments(String),
    /// An option out of its range.
    #[error("{option}: {breach}")]
    Option {
        /// The option, as it is written.
        option: &'static str,
        /// What was found and what is allowed.
        breach: OutOfRange,
    },
    /// A route that the voyage does not have.
    #[error(
        "the voyage has no route '{}'; its routes: {}",
        brief(found),
        brief_list(names)
    )]
    NoSuchRoute {
        /// The name asked for.
        found: String,
        /// The names there are.
        names: Vec<String>,
    },
    /// Stages of which one is to be picked.
    #[error(
        "the voyage has stages, and this command takes one of them: give `--stage` with {}",
        brief_list(names)
    )]
    Stages {
        /// Their names.
        names: Vec<String>,
    },
    /// A stage that the voyage does not have.
    #[error(
        "the voyage has no stage '{}'{}",
        brief(found),
        if names.is_empty() {
            ": it has routes and no stages".to_owned()
        } else {
            format!("; its stages: {}", brief_list(names))
        }
    )]
    NoSuchStage {
        /// The name asked for.
        found: String,
        /// The names there are.
        names: Vec<String>,
    },
    /// An option that only a voyage with stages has a use for.
    #[error("{option}: only for a voyage with stages, and all of them together")]
    OfStages {
        /// The option, as it is written.
        option: &'static str,
    },
    /// A course that the trade-off does not have.
    #[error("--pick: the trade-off has no course {found}; allowed: 1 to {last}")]
    NoSuchCourse {
        /// The number asked for.
        found: usize,
        /// The last number there is.
        last: usize,
    },
    /// Routes over land, where that is not allowed.
    #[error("land in the way:\n  {}", brief_lines(crossings, "\n  "))]
    OverLand {
        /// A line for each crossing.
        crossings: Vec<String>,
    },
    /// Answers that a new voyage needs, and nobody to ask.
    #[error("too little is said for a voyage; still to give: {}", .options.join(", "))]
    Unanswered {
        /// The options for them.
        options: Vec<&'static str>,
    },
    /// A question that could not be asked.
    #[error("cannot ask on this terminal: {0}")]
    Terminal(std::io::Error),
    /// A command that does not exist.
    #[error("no command '{}'; commands: {}", brief(found), .names.join(", "))]
    NoSuchCommand {
        /// The name asked for.
        found: String,
        /// The names there are.
        names: Vec<String>,
    },
    /// The system gives no threads for the work.
    #[error("cannot start the threads to work with: {0}")]
    Threads(rayon::ThreadPoolBuildError),
    /// The process that is to read the files of a series does not start.
    #[error("cannot start this program a second time, to read the files: {0}")]
    NotStarted(std::io::Error),
    /// A file of a series ended the process that read it.
    #[error(
        "one of the files is damaged: the NetCDF library failed on it ({0}); nothing was written. \
         Try them in halves to find which, and fetch it anew"
    )]
    Crashed(std::process::ExitStatus),
    /// The reading of a series got no further.
    #[error(
        "nothing could be read for {minutes} minutes: one of the files is damaged, or its disk or \
         network does not answer; nothing was written"
    )]
    Silent {
        /// How long, in minutes.
        minutes: u64,
    },
    /// What a long series had added up stands in the way.
    #[error("the climate is written, but what it was added up in cannot be removed: {0}")]
    NotRemoved(std::io::Error),
    /// Standard output cannot be written to.
    #[error("cannot write to standard output: {0}")]
    Stdout(std::io::Error),
}

impl CliError {
    /// A value of `option` out of its range.
    pub(super) fn option(option: &'static str) -> impl FnOnce(OutOfRange) -> Self {
        move |breach| Self::Option { option, breach }
    }

    /// What to type or to change instead, where the message does not say it already.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::NoSuchRoute { found, names }
            | Self::NoSuchStage { found, names }
            | Self::NoSuchCommand { found, names } => {
                let nearest = nearest(found, names.iter().map(String::as_str))?;
                Some(format!("did you mean `{nearest}`?"))
            }
            Self::OfStages { option: "--html" } => {
                Some("`offing compare --html` shows departures through the year too".to_owned())
            }
            Self::Unanswered { .. } => {
                Some("or run `offing new` in a terminal, which asks for them".to_owned())
            }
            Self::Threads(_) => Some(
                "end other programs, or ask for one thread: `RAYON_NUM_THREADS=1 offing …`"
                    .to_owned(),
            ),
            Self::OverLand { .. } => {
                Some("move the route, or leave out `--strict` to be warned only".to_owned())
            }
            Self::Study(error) => match error.as_ref() {
                StudyError::Climate(error) => what_to_do(error),
                StudyError::Series(error) => match error.as_ref() {
                    SeriesError::File(error) => what_to_do(error),
                    SeriesError::NoQuantity { standard_name, .. } => Some(format!(
                        "name the variable in a voyage file, in `[climate.variables]` at \
                         `{standard_name}`, and give that file with `--voyage`"
                    )),
                    _ => None,
                },
                _ => None,
            },
            _ => None,
        }
    }
}

fn what_to_do(error: &ClimateError) -> Option<String> {
    if matches!(*error.fault, ClimateFault::NotMonthly { .. }) {
        return Some("make a climate of it with `offing winds`, and name that".to_owned());
    }
    let key = error.fault.quantity_without_variable()?;
    let table = match error.of {
        ClimatePart::Winds => "climate.variables",
        ClimatePart::Currents => "current.variables",
    };
    Some(format!(
        "name the variable in a voyage file, in `[{table}]` at `{key}`"
    ))
}

impl<E: Into<StudyError>> From<E> for CliError {
    fn from(error: E) -> Self {
        Self::Study(Box::new(error.into()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_variable_left_open_is_asked_for_by_its_key() {
        let fault = ClimateFault::Ambiguous {
            quantity: "eastward wind".into(),
            standard_name: "eastward_wind".into(),
            candidates: "u, u10".to_owned(),
        };
        let file = "winds.nc".to_owned();
        let error = ClimateError {
            of: ClimatePart::Winds,
            file,
            fault: Box::new(fault),
        };
        assert_eq!(
            CliError::from(error).hint().unwrap(),
            "name the variable in a voyage file, in `[climate.variables]` at `eastward_wind`"
        );
    }
}
