//! Running the program as a user does, in a folder of the test's own.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use assert_cmd::assert::Assert;
use serde_json::Value;

/// The terminal's width.
pub const WIDTH: usize = 80;

/// A run in `folder`, on a terminal of no width in particular.
pub fn offing(folder: &Path, arguments: &[&str]) -> Assert {
    let mut command = Command::cargo_bin("offing").unwrap();
    command
        .current_dir(folder)
        .env_remove("COLUMNS")
        .args(arguments)
        .assert()
}

/// The program, ended by an interrupt though these tests run where interrupts are ignored, as in the
/// background of a shell: that is inherited, and GNU's `env` puts it right.
#[cfg(unix)]
pub fn interruptible() -> std::process::Command {
    use std::process::Command;

    let program = assert_cmd::cargo::cargo_bin!("offing");
    if cfg!(target_os = "linux") {
        let mut run = Command::new("env");
        run.arg("--default-signal=INT").arg(program);
        run
    } else {
        Command::new(program)
    }
}

/// What a good run prints; it has no complaint.
pub fn printed(folder: &Path, arguments: &[&str]) -> String {
    let output = offing(folder, arguments).success().get_output().clone();
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert_eq!(complaint, "", "{arguments:?} complains");
    String::from_utf8(output.stdout).unwrap()
}

/// The document that a good run prints.
pub fn json(folder: &Path, arguments: &[&str]) -> Value {
    serde_json::from_str(&printed(folder, arguments)).unwrap()
}

/// What a refused run says; it prints and writes nothing.
pub fn refused(folder: &Path, arguments: &[&str]) -> String {
    let files = || fs::read_dir(folder).unwrap().count();
    let before = files();
    let output = offing(folder, arguments).code(2).get_output().clone();
    assert!(output.stdout.is_empty(), "{arguments:?} prints");
    assert_eq!(files(), before, "{arguments:?} writes");
    String::from_utf8(output.stderr).unwrap()
}

/// A run as a reader of the terminal sees it, for a snapshot: the command, then what it printed, what
/// it complained of and the exit code, leaving out what is empty or 0.
pub fn shown(folder: &Path, arguments: &[&str]) -> String {
    let output = offing(folder, arguments).get_output().clone();
    let mut text = format!(
        "$ offing {}\n",
        shlex::try_join(arguments.to_vec()).unwrap()
    );
    text += std::str::from_utf8(&output.stdout).unwrap();
    if !output.stderr.is_empty() {
        text += "--- stderr\n";
        text += std::str::from_utf8(&output.stderr).unwrap();
    }
    match output.status.code() {
        Some(0) => {}
        Some(code) => text += &format!("--- exit code {code}\n"),
        None => text += "--- killed\n",
    }
    text
}

/// Several refused runs, one under another.
pub fn shown_refused(folder: &Path, runs: &[&[&str]]) -> String {
    let show = |arguments: &&[&str]| {
        refused(folder, arguments);
        shown(folder, arguments)
    };
    runs.iter().map(show).collect::<Vec<_>>().join("\n")
}

/// What is not the same on every machine or in every version, and what stands for it in a snapshot.
pub fn snapshot_settings(folder: &Path) -> insta::Settings {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    let version = format!(r"\b{}\b", env!("CARGO_PKG_VERSION").replace('.', r"\."));
    settings.add_filter(&version, "[version]");
    for path in [folder.to_owned(), folder.canonicalize().unwrap()] {
        let name = path.display().to_string();
        if path.is_absolute() {
            settings.add_filter(&name.replace('.', r"\."), "[folder]");
        }
    }
    settings.add_filter(r"[^:\n]+ \(os error \d+\)", " [os error]");
    settings.add_filter(r"(?m)[ \t]+$", "");
    settings
}

/// Prints a text as it was before the filters, should a snapshot differ.
pub struct Unfiltered<'t>(pub &'t str);

impl Drop for Unfiltered<'_> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            eprintln!("before the filters:\n{}", self.0);
        }
    }
}

/// Holds a text to a snapshot, inline after `@` or in a file of `tests/cli/snapshots`, which
/// `cargo insta review` brings up to date.
macro_rules! assert_shown {
    ($folder:expr, $text:expr $(, @$snapshot:literal)?) => {{
        let text: String = $text;
        let _unfiltered = $crate::command::Unfiltered(&text);
        $crate::command::snapshot_settings($folder)
            .bind(|| insta::assert_snapshot!(text $(, @$snapshot)?));
    }};
    ($name:expr, $folder:expr, $text:expr) => {{
        let text: String = $text;
        let _unfiltered = $crate::command::Unfiltered(&text);
        $crate::command::snapshot_settings($folder)
            .bind(|| insta::assert_snapshot!($name, text));
    }};
}
pub(crate) use assert_shown;

/// No line is wider than the terminal.
pub fn assert_fits(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= WIDTH, "wider than {WIDTH}: {line}");
    }
}
