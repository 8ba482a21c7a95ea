//! What goes wrong around the program: a full disk, a closed pipe, an interrupt, no network. Old files
//! stay whole, nothing half-done is left, and what happened is said.

use std::fs;
use std::io::Read as _;
use std::os::unix::process::ExitStatusExt as _;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use crate::command::{interruptible, offing, printed, refused};

const FEW: [&str; 3] = ["compare", "--members", "20"];
/// A run that prints more than a pipe holds, so that it waits for its reader with its file written
/// but not yet in its place.
const LONG: [&str; 8] = [
    "legs",
    "--by",
    "60nm",
    "--members",
    "20",
    "--json",
    "--csv",
    "out.csv",
];
/// More than any of these runs takes, on a busy machine too.
const LONG_ENOUGH: Duration = Duration::from_secs(60);

fn program() -> Command {
    Command::new(assert_cmd::cargo::cargo_bin!("offing"))
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let name = |entry: fs::DirEntry| entry.file_name().to_string_lossy().into_owned();
    let mut names: Vec<String> = entries.map(|entry| name(entry.unwrap())).collect();
    names.sort();
    names
}

/// A folder with a file that a run is to replace.
fn folder_with_old() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("out.csv"), "old").unwrap();
    folder
}

fn assert_only_old(folder: &Path) {
    assert_eq!(names(folder), ["out.csv"]);
    assert_eq!(fs::read_to_string(folder.join("out.csv")).unwrap(), "old");
}

fn complaint(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// The run once it has written its file beside the old one.
fn waiting(folder: &Path, mut run: Command) -> Child {
    let run = run.args(LONG).current_dir(folder);
    let mut run = run.stdout(Stdio::piped()).spawn().unwrap();
    let started = Instant::now();
    while names(folder).len() < 2 {
        assert!(run.try_wait().unwrap().is_none(), "it was done too soon");
        assert!(started.elapsed() < LONG_ENOUGH, "it writes nothing");
        sleep(Duration::from_millis(5));
    }
    run
}

fn send(signal: &str, run: &Child) {
    let id = run.id().to_string();
    assert!(
        Command::new("kill")
            .args([signal, &id])
            .status()
            .unwrap()
            .success()
    );
}

#[test]
fn an_interrupt_while_files_are_written_leaves_the_old_ones() {
    for (name, number) in [("-INT", 2), ("-TERM", 15)] {
        let folder = folder_with_old();
        let mut run = waiting(folder.path(), interruptible());
        send(name, &run);
        assert_eq!(run.wait().unwrap().signal(), Some(number));
        assert_only_old(folder.path());
    }
}

/// Nothing can clear up after this; but the old file stands.
#[test]
fn a_kill_while_files_are_written_leaves_the_old_ones() {
    let folder = folder_with_old();
    let mut run = waiting(folder.path(), program());
    send("-KILL", &run);
    run.wait().unwrap();
    assert_eq!(
        fs::read_to_string(folder.path().join("out.csv")).unwrap(),
        "old"
    );
}

/// The same run, read to its end.
#[test]
fn a_reader_that_takes_its_time_gets_all_and_then_the_file() {
    let folder = folder_with_old();
    let mut run = waiting(folder.path(), program());
    let mut text = String::new();
    run.stdout
        .take()
        .unwrap()
        .read_to_string(&mut text)
        .unwrap();
    assert!(run.wait().unwrap().success());
    serde_json::from_str::<serde_json::Value>(&text).unwrap();
    assert_eq!(names(folder.path()), ["out.csv"]);
    assert!(
        fs::read_to_string(folder.path().join("out.csv"))
            .unwrap()
            .len()
            > 1000
    );
}

#[test]
fn a_reader_that_has_seen_enough_is_no_error() {
    let folder = folder_with_old();
    let mut run = waiting(folder.path(), program());
    drop(run.stdout.take());
    assert!(run.wait().unwrap().success());
    assert_eq!(names(folder.path()), ["out.csv"]);
    assert_ne!(
        fs::read_to_string(folder.path().join("out.csv")).unwrap(),
        "old"
    );
}

#[cfg(target_os = "linux")]
#[test]
fn where_nothing_can_be_printed_no_file_is_written() {
    for form in [&[][..], &["--full"], &["--json"]] {
        let folder = folder_with_old();
        let full = fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .unwrap();
        let mut run = program();
        run.args(FEW).args(["--csv", "out.csv"]).args(form);
        let output = run
            .current_dir(folder.path())
            .stdout(full)
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2), "{form:?}");
        let said = complaint(&output);
        assert!(
            said.starts_with("error: cannot write to standard output: "),
            "{said}"
        );
        assert_only_old(folder.path());
    }
}

/// A file may grow to one block only.
#[test]
fn a_file_that_does_not_fit_leaves_the_old_one() {
    let folder = folder_with_old();
    let program = assert_cmd::cargo::cargo_bin!("offing")
        .display()
        .to_string();
    let script = format!("ulimit -f 1; exec '{program}' compare --members 20 --html out.csv");
    let mut run = Command::new("sh");
    run.args(["-c", &script]).current_dir(folder.path());
    let output = run.output().unwrap();
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    let said = complaint(&output);
    assert!(
        said.contains(
            "cannot write out.csv: it is larger than a file may be here; nothing was written"
        ),
        "{said}"
    );
    assert_only_old(folder.path());
}

#[test]
fn a_file_where_a_folder_should_be_and_a_name_of_a_folder_are_refused() {
    let folder = folder_with_old();
    for (name, expected) in [
        ("out.csv/new.csv", "a part of its path is not a folder"),
        (
            "nodir/",
            "nodir/ is the name of a folder, since it ends in a slash",
        ),
        (
            "out.csv/",
            "out.csv/ is the name of a folder, since it ends in a slash",
        ),
        ("nodir/new.csv", "there is no such folder"),
        (".", "it is a folder"),
    ] {
        let said = refused(folder.path(), &[&FEW[..], &["--csv", name]].concat());
        assert!(said.contains(expected), "{name}: {said}");
    }
    assert_only_old(folder.path());
}

/// What is printed would go to the old file, whose place another takes.
#[cfg(target_os = "linux")]
#[test]
fn the_file_that_is_printed_to_is_no_file_for_an_output() {
    let folder = tempfile::tempdir().unwrap();
    let printed = fs::File::create(folder.path().join("out.txt")).unwrap();
    let mut run = program();
    run.args(FEW)
        .args(["--csv", "out.txt"])
        .current_dir(folder.path());
    let output = run.stdout(printed).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    let said = complaint(&output);
    assert!(
        said.contains("out.txt is where standard output goes"),
        "{said}"
    );
}

#[test]
fn runs_at_once_to_one_file_leave_one_of_their_results() {
    const RUNS: usize = 6;
    let folder = folder_with_old();
    let to = |seed: &str, file: &str| {
        let mut run = program();
        run.args(FEW).args(["--seed", seed, "--csv", file]);
        run.current_dir(folder.path()).stdout(Stdio::null());
        run
    };
    let seeds: Vec<String> = (1..=RUNS).map(|seed| seed.to_string()).collect();
    let runs: Vec<Child> = seeds
        .iter()
        .map(|seed| to(seed, "out.csv").spawn().unwrap())
        .collect();
    for mut run in runs {
        assert!(run.wait().unwrap().success());
    }
    assert_eq!(names(folder.path()), ["out.csv"]);
    let left = fs::read_to_string(folder.path().join("out.csv")).unwrap();
    let alone = |seed: &String| {
        assert!(to(seed, "alone.csv").status().unwrap().success());
        fs::read_to_string(folder.path().join("alone.csv")).unwrap()
    };
    assert_eq!(seeds.iter().filter(|seed| alone(seed) == left).count(), 1);
}

#[test]
fn without_a_home_or_any_setting_the_answer_is_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let mut run = program();
    let output = run
        .args(FEW)
        .current_dir(folder.path())
        .env_clear()
        .output()
        .unwrap();
    assert!(
        output.status.success() && output.stderr.is_empty(),
        "{output:?}"
    );
    assert_eq!(
        String::from_utf8(output.stdout).unwrap(),
        printed(folder.path(), &FEW)
    );
}

#[cfg(target_os = "linux")]
#[test]
fn without_a_network_the_answer_is_the_same() {
    let alone = |program: &str| {
        let mut run = Command::new("unshare");
        run.args(["--map-root-user", "--net", program]);
        run
    };
    if !alone("true")
        .output()
        .is_ok_and(|output| output.status.success())
    {
        println!("skipped: no namespace without a network is to be had here");
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let program = assert_cmd::cargo::cargo_bin!("offing")
        .display()
        .to_string();
    let output = alone(&program)
        .args(FEW)
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert!(output.status.success(), "{output:?}");
    assert_eq!(
        String::from_utf8(output.stdout).unwrap(),
        printed(folder.path(), &FEW)
    );
}

/// `mkfifo` is POSIX's.
#[test]
fn a_pipe_that_nobody_writes_to_is_refused_and_another_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let pipe = folder.path().join("voyage.toml");
    assert!(
        Command::new("mkfifo")
            .arg(&pipe)
            .status()
            .unwrap()
            .success()
    );
    let said = refused(folder.path(), &["check", "voyage.toml"]);
    assert!(
        said.contains("voyage.toml: it is a pipe, and no program wrote to it within 5 s"),
        "{said}"
    );
    let writer = std::thread::spawn(move || fs::write(pipe, "name = 1\n"));
    let output = offing(folder.path(), &["check", "voyage.toml"])
        .code(2)
        .get_output()
        .clone();
    assert!(
        complaint(&output).contains("voyage.toml:1: name: unknown key"),
        "{output:?}"
    );
    writer.join().unwrap().unwrap();
}
