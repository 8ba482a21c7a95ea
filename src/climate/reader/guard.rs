//! Reading a file in a process of its own, so that no file can crash or hang the one that asks.

use std::io::{self, Read, Write};
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::answer::{CurrentsRead, Request, WindsRead, YearsRead};
use super::open::{currents_in, winds_in, years_in};
use super::wire;
use crate::climate::error::ClimateFault;
use crate::climate::source::Guard;

/// No answer is longer: the most nodes there may be, by month, with fourteen numbers and a flag each,
/// and room for what is said about them.
const MOST_ANSWER_BYTES: u64 = crate::climate::gridded::MOST_NODES as u64 * 12 * 57 + (1 << 20);

/// A process that is ending is looked at this often.
const LOOK_AGAIN: Duration = Duration::from_millis(1);

impl Guard {
    /// What the guarded process does: takes a request from `input`, reads the file at `path` and
    /// writes to `output` what it found. On Unix the process can take 2 GiB of memory from now on,
    /// and a minute of its processor, whatever becomes of the one that asked; elsewhere there is
    /// only the asker's limit of time.
    ///
    /// # Errors
    /// A request that makes no sense; an answer that cannot be written.
    pub fn serve(path: &Path, input: impl Read, output: impl Write) -> io::Result<()> {
        limit_this_process();
        answer(path, input, output)
    }

    /// Has the file at `path` read, and takes the answer for what was asked for, where it can be that.
    pub(super) fn ask<R, T>(&self, path: &Path, request: &Request) -> Result<T, ClimateFault>
    where
        R: DeserializeOwned + TryInto<T>,
    {
        let deadline = Instant::now() + self.time_limit;
        let not_started = |error| ClimateFault::NotStarted {
            program: self.program.clone(),
            error,
        };
        let mut message = Vec::new();
        wire::send(request, &mut message).map_err(not_started)?;
        let mut child = Command::new(&self.program)
            .arg(Self::COMMAND)
            .arg(path)
            // A file in the folder could lead the NetCDF library astray.
            .env("NCRCENV_IGNORE", "1")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            // The libraries print there what only they understand.
            .stderr(Stdio::null())
            .spawn()
            .map(Reaped)
            .map_err(not_started)?;
        let (input, output) = (child.0.stdin.take(), child.0.stdout.take());
        let (sender, receiver) = mpsc::channel();
        thread::Builder::new()
            .spawn(move || sender.send(exchanged(&message, input, output)))
            .map_err(not_started)?;
        let too_slow = || ClimateFault::TooSlow {
            most_seconds: self.time_limit.as_secs(),
        };
        let answer = receiver
            .recv_timeout(deadline.saturating_duration_since(Instant::now()))
            .map_err(|_| too_slow())?;
        let status = child.ended_by(deadline)?.ok_or_else(too_slow)?;
        let crashed = || crashed(&format!("the NetCDF library failed on it ({status})"));
        if !status.success() {
            return Err(crashed());
        }
        let answer = answer.map_err(|_| crashed())?;
        let read =
            wire::received::<Result<R, ClimateFault>>(&answer).map_err(|_| senseless())??;
        read.try_into().map_err(|_| senseless())
    }
}

/// The fault of an answer that cannot be one.
fn senseless() -> ClimateFault {
    crashed("the NetCDF library made no sense of it")
}

fn crashed(reason: &str) -> ClimateFault {
    ClimateFault::Damaged {
        doing: "reading it".to_owned(),
        reason: reason.to_owned(),
    }
}

/// Sends the message and takes all that comes back, up to the most an answer may have.
fn exchanged(
    message: &[u8],
    input: Option<impl Write>,
    output: Option<impl Read>,
) -> io::Result<Vec<u8>> {
    if let Some(mut input) = input {
        input.write_all(message)?;
    }
    let mut answer = Vec::new();
    if let Some(output) = output {
        output.take(MOST_ANSWER_BYTES).read_to_end(&mut answer)?;
    }
    Ok(answer)
}

/// A process that does not outlive the question.
struct Reaped(Child);

impl Reaped {
    /// How it ended; `None` where it still runs at the deadline.
    fn ended_by(&mut self, deadline: Instant) -> io::Result<Option<ExitStatus>> {
        loop {
            let ended = self.0.try_wait()?;
            if ended.is_some() || Instant::now() >= deadline {
                return Ok(ended);
            }
            thread::sleep(LOOK_AGAIN);
        }
    }
}

impl Drop for Reaped {
    fn drop(&mut self) {
        // It may have ended by itself; then there is nothing to stop.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn answer(path: &Path, mut input: impl Read, output: impl Write) -> io::Result<()> {
    let mut message = Vec::new();
    input.read_to_end(&mut message)?;
    let request = wire::received(&message)
        .map_err(|_| io::Error::new(io::ErrorKind::InvalidInput, "not a request"))?;
    fn found<T: Serialize>(read: Result<T, ClimateFault>, output: impl Write) -> io::Result<()> {
        wire::send(&read, output)
    }
    match request {
        Request::Winds(options, region) => found(
            winds_in(path, &options, &region).map(WindsRead::from),
            output,
        ),
        Request::Currents(options, region) => found(
            currents_in(path, &options, &region).map(CurrentsRead::from),
            output,
        ),
        Request::Years(options, region) => found(
            years_in(path, &options, &region).map(YearsRead::from),
            output,
        ),
    }
}

/// Bounds what this process can take, as far as the system has such bounds.
fn limit_this_process() {
    #[cfg(unix)]
    {
        use rlimit::Resource;

        const MOST_MEMORY_BYTES: u64 = 2 << 30;
        const MOST_PROCESSOR_SECONDS: u64 = 60;
        for (resource, most) in [
            (Resource::AS, MOST_MEMORY_BYTES),
            (Resource::CPU, MOST_PROCESSOR_SECONDS),
            // It writes no files, and leaves no image of its memory behind.
            (Resource::FSIZE, 0),
            (Resource::CORE, 0),
        ] {
            // Where the system has no such bound there is still the asker's limit of time.
            let _ = resource
                .get()
                .and_then(|(soft, hard)| resource.set(most.min(soft), most.min(hard)));
        }
    }
}
