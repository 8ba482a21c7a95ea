//! The README's output is what the program prints.

use std::fs;
use std::path::Path;

use assert_cmd::Command;

#[test]
fn the_comparison_shown_is_the_comparison_printed() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = fs::read_to_string(readme).unwrap();
    let shown = readme
        .split("```text\n")
        .nth(1)
        .and_then(|rest| rest.split("```").next());
    let run = Command::cargo_bin("offing")
        .unwrap()
        .arg("compare")
        .assert()
        .success();
    let printed = String::from_utf8(run.get_output().stdout.clone()).unwrap();
    assert_eq!(
        shown,
        Some(printed.as_str()),
        "put what `offing compare` prints into README.md"
    );
}
