//! The page's file is written whole or not at all. No browser is needed to see that.

use std::fs;

use assert_cmd::Command;

use crate::page::MEMBERS;

#[test]
fn a_missing_folder_is_named_and_an_old_page_is_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let run = |arguments: &[&str]| {
        let mut command = Command::cargo_bin("offing").unwrap();
        command.current_dir(folder.path());
        command
            .args(arguments)
            .args(["--members", MEMBERS])
            .assert()
    };
    let missing = ["--html", "missing/report.html", "--csv", "rows.csv"];
    for command in [&["compare"][..], &["shape", "--grid", "5"]] {
        let refused = run(&[command, &missing].concat()).code(2);
        let refused = refused.get_output();
        let said = String::from_utf8_lossy(&refused.stderr);
        assert!(said.contains("missing/report.html"), "{said}");
        assert!(refused.stdout.is_empty());
        let left = fs::read_dir(folder.path()).unwrap().count();
        assert_eq!(left, 0, "not even the rows are written");
    }
    let old = folder.path().join("report.html");
    fs::write(&old, "old").unwrap();
    run(&["compare", "--html", "report.html"]).success();
    assert!(
        fs::read_to_string(&old)
            .unwrap()
            .starts_with("<!DOCTYPE html>")
    );
    assert_eq!(
        fs::read_dir(folder.path()).unwrap().count(),
        1,
        "no draft stays"
    );
}
