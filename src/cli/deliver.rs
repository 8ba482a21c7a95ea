//! What a command ends in: the files it was asked for and what it prints, all of them or none.

use super::CliError;
use crate::report::{Drafts, Files};

/// Writes the files beside their places, prints, and puts the files in their places: where anything of
/// this fails, or an interrupt ends the program, the old files stand as they were.
pub(super) fn deliver(
    files: Files,
    print: impl FnOnce() -> Result<(), CliError>,
) -> Result<(), CliError> {
    if files.is_empty() {
        return print();
    }
    let drafts = no_drafts();
    files.draft(&drafts)?;
    print().inspect_err(|_| drafts.discard())?;
    Ok(drafts.put()?)
}

/// Drafts that do not outlive an interrupt; none yet.
pub(super) fn no_drafts() -> Drafts {
    let drafts = Drafts::default();
    #[cfg(unix)]
    unix::discard_when_interrupted(&drafts);
    drafts
}

#[cfg(unix)]
mod unix {
    use std::sync::mpsc;
    use std::{fs, thread};

    use signal_hook::consts::{SIGINT, SIGTERM, SIGXFSZ};
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;

    use crate::report::Drafts;

    /// From here on an interrupt (Ctrl-C) or a request to end removes the drafts before it ends the
    /// program, as it would have been. Where no thread is to be had it ends the program as before. A
    /// file that grows past the shell's limit is left to the error that the write ends in.
    pub(super) fn discard_when_interrupted(drafts: &Drafts) {
        let mut signals = vec![SIGINT, SIGTERM];
        signals.retain(|signal| !is_ignored(*signal));
        signals.push(SIGXFSZ);
        let drafts = drafts.clone();
        let (ready, watching) = mpsc::channel::<()>();
        let watch = move || {
            let signals = Signals::new(signals);
            drop(ready);
            let Ok(mut signals) = signals else { return };
            if let Some(signal) = signals.forever().find(|signal| *signal != SIGXFSZ) {
                drafts.discard_and(|| {
                    // It does not return for these signals.
                    let _ = emulate_default_handler(signal);
                });
            }
        };
        if thread::Builder::new().spawn(watch).is_ok() {
            // Ends in an error, which says that the watch has begun.
            let _ = watching.recv();
        }
    }

    /// Whether the program was started with a signal ignored, as a shell does in the background; where
    /// the system does not say, it was not.
    fn is_ignored(signal: i32) -> bool {
        let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
        let ignored = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
        let ignored = ignored.and_then(|bits| u64::from_str_radix(bits.trim(), 16).ok());
        ignored.unwrap_or(0) >> (signal - 1) & 1 == 1
    }
}
