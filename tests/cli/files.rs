//! The files that commands write: all that a command was asked for, or none.

use std::fs;

#[cfg(unix)]
use crate::command::interruptible;
use crate::command::{offing, printed, refused};

const FEW: [&str; 4] = ["compare", "--members", "20", "--csv"];

fn compare<'a>(more: &[&'a str]) -> Vec<&'a str> {
    [&FEW[..], more].concat()
}

#[test]
fn one_file_that_cannot_be_written_holds_back_the_others() {
    let folder = tempfile::tempdir().unwrap();
    let said = refused(
        folder.path(),
        &compare(&["good.csv", "--html", "missing/page.html"]),
    );
    assert!(
        said.contains("missing/page.html: there is no such folder; nothing was written"),
        "{said}"
    );
}

#[test]
fn two_outputs_are_not_written_to_one_file() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("out"), "old").unwrap();
    let said = refused(folder.path(), &compare(&["out", "--html", "./out"]));
    assert!(
        said.contains("two outputs are to be written to ./out"),
        "{said}"
    );
    assert_eq!(
        fs::read_to_string(folder.path().join("out")).unwrap(),
        "old"
    );
}

/// The crew's only polar is not lost to a slip of the keyboard.
#[test]
fn what_was_read_is_not_written_over() {
    let folder = tempfile::tempdir().unwrap();
    printed(folder.path(), &["new"]);
    let files = ["voyage.toml", "polar.csv"];
    let texts = || files.map(|file| fs::read_to_string(folder.path().join(file)).unwrap());
    let before = texts();
    for arguments in [
        ["compare", "voyage.toml", "--html", "voyage.toml"],
        ["boat", "voyage.toml", "--csv", "polar.csv"],
        ["legs", "voyage.toml", "--gpx", "./polar.csv"],
        ["season", "voyage.toml", "--csv", "polar.csv"],
        ["stores", "voyage.toml", "--csv", "voyage.toml"],
    ] {
        let few = ["--members", "10"];
        let arguments = match arguments[0] {
            "boat" => arguments.to_vec(),
            _ => [&arguments[..], &few].concat(),
        };
        let said = refused(folder.path(), &arguments);
        assert!(
            said.contains("is one of the files read for this; nothing was written"),
            "{said}"
        );
        assert_eq!(texts(), before, "{arguments:?}");
    }
}

#[test]
fn more_passages_than_memory_holds_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let said = refused(
        folder.path(),
        &["season", "--every", "1", "--members", "1000000"],
    );
    assert!(
        said.contains(
            "1000000 passages x 366 departures x 2 stages of routes are more than 20000000"
        ),
        "{said}"
    );
}

/// A device that is always full.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let run = offing(folder.path(), &compare(&["/dev/full"]));
    let output = run.code(2).get_output().clone();
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.contains("cannot write /dev/full: the disk is full"),
        "{said}"
    );
}

/// A run of hours, interrupted as from a keyboard, is over at once and leaves nothing behind.
#[cfg(unix)]
#[test]
fn an_interrupted_run_ends_and_leaves_no_file() {
    use std::os::unix::process::ExitStatusExt as _;
    use std::process::{Command, Stdio};
    use std::thread::sleep;
    use std::time::Duration;

    const INTERRUPT: i32 = 2;
    const GETTING_GOING: Duration = Duration::from_secs(2);

    let folder = tempfile::tempdir().unwrap();
    let long = "season --every 1 --members 20000 --csv season.csv";
    let mut run = interruptible()
        .args(long.split(' '))
        .current_dir(folder.path())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    sleep(GETTING_GOING);
    assert!(run.try_wait().unwrap().is_none(), "it was done too soon");
    let id = run.id().to_string();
    let sent = Command::new("kill").args(["-INT", &id]).status().unwrap();
    assert!(sent.success());
    let output = run.wait_with_output().unwrap();
    assert_eq!(output.status.signal(), Some(INTERRUPT));
    assert!(output.stdout.is_empty(), "it printed");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

/// A full disk behind the output, or behind the errors, is told by the exit code at least.
#[cfg(target_os = "linux")]
#[test]
fn an_output_that_takes_nothing_is_no_panic() {
    let full = || {
        fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .unwrap()
    };
    let run = |arguments: &[&str]| {
        let mut command = std::process::Command::new(assert_cmd::cargo::cargo_bin("offing"));
        command.args(arguments);
        command
    };
    for arguments in [
        &["--help"][..],
        &["--version"],
        &["climate", "10 S, 80 E"],
        &["man"],
    ] {
        let output = run(arguments).stdout(full()).output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(
            said.starts_with("error: cannot write to standard output"),
            "{said}"
        );
    }
    for arguments in [
        &[][..],
        &["nonsense"],
        &["climate", "95 S, 80 E"],
        &["boat", "absent.toml"],
    ] {
        let output = run(arguments).stderr(full()).output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
    }
}
