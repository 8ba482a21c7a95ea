//! The crew's own NetCDF files are read by a second process of this program, which no file can make
//! crash or hang the first. The command for it is the program's own and not the sailor's: it is
//! taken before the command line is parsed, so that no help, completion or manual page has it.

use std::env;
use std::io::{self, Read as _};
use std::panic;
use std::path::{Path, PathBuf};
use std::process::{self, Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use super::{CliError, complain};
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
    // The other process holds the pipe's end as long as it lives, and puts nothing in.
    let ends_with_the_other = || {
        let _ = io::stdin().read(&mut [0]);
        process::exit(REFUSED);
    };
    let _ = thread::Builder::new().spawn(ends_with_the_other);
    Some(draft.into())
}

/// So long a silence means that a file cannot be read, and not that there is much to do: a block of steps
/// takes seconds.
const MOST_SILENCE: Duration = Duration::from_secs(600);

/// Ends this process where it gets no further.
pub(super) struct Watch(Arc<AtomicU64>);

impl Watch {
    /// Begins to watch; where the system has no thread for it, nothing does.
    pub(super) fn new() -> Self {
        let signs = Arc::new(AtomicU64::new(0));
        let watched = Arc::clone(&signs);
        let watch = move || {
            let (mut seen, mut since) = (0, Instant::now());
            loop {
                thread::sleep(Duration::from_secs(1));
                let now = watched.load(Ordering::Relaxed);
                if now != seen {
                    (seen, since) = (now, Instant::now());
                } else if since.elapsed() > MOST_SILENCE {
                    complain(&CliError::Silent {
                        minutes: MOST_SILENCE.as_secs() / 60,
                    });
                    process::exit(REFUSED);
                }
            }
        };
        let _ = thread::Builder::new().spawn(watch);
        Self(signs)
    }

    /// A sign of progress.
    pub(super) fn heard(&self) {
        self.0.fetch_add(1, Ordering::Relaxed);
    }
}

/// Has this same command line filled in by a process of its own, which a damaged file may end. It may
/// take hours over hundreds of files, so that nothing limits its time but a long silence.
pub(super) fn fill(draft: &Path) -> Result<Filled, CliError> {
    let mut child = Command::new(this_program())
        .args(env::args_os().skip(1))
        .env(DRAFT, draft)
        .stdin(Stdio::piped())
        .spawn()
        .map_err(CliError::NotStarted)?;
    // Waiting would close it, and with it the other process.
    let pipe = child.stdin.take();
    let status = child.wait().map_err(CliError::NotStarted)?;
    drop(pipe);
    match status.code() {
        Some(0) => Ok(Filled::Whole),
        Some(REFUSED) => Ok(Filled::Refused(REFUSED)),
        _ => Err(CliError::Crashed(status)),
    }
}
