//! `offing new`, `offing completions` and `offing man`.

use std::fs;
use std::path::Path;

use assert_cmd::Command;

fn offing(folder: &Path, arguments: &[&str]) -> assert_cmd::assert::Assert {
    let mut command = Command::cargo_bin("offing").unwrap();
    command.current_dir(folder).args(arguments).assert()
}

fn printed(folder: &Path, arguments: &[&str]) -> String {
    let output = offing(folder, arguments).success().get_output().clone();
    assert!(output.stderr.is_empty(), "{arguments:?} complains");
    String::from_utf8(output.stdout).unwrap()
}

fn refused(folder: &Path, arguments: &[&str]) -> String {
    let output = offing(folder, arguments).code(2).get_output().clone();
    assert!(output.stdout.is_empty(), "{arguments:?} prints");
    String::from_utf8(output.stderr).unwrap()
}

#[test]
fn a_new_voyage_is_sound_and_clear_of_land() {
    let folder = tempfile::tempdir().unwrap();
    let said = printed(folder.path(), &["new", "atlantic/crossing"]);
    assert!(
        said.contains("offing check atlantic/crossing/voyage.toml"),
        "{said}"
    );
    let checked = printed(
        folder.path(),
        &["check", "atlantic/crossing/voyage.toml", "--strict"],
    );
    assert!(
        checked.starts_with("Sound: every entry can be used."),
        "{checked}"
    );
    let compare = [
        "compare",
        "atlantic/crossing/voyage.toml",
        "--members",
        "20",
    ];
    assert!(printed(folder.path(), &compare).contains("South first"));
}

#[test]
fn what_the_new_voyage_leaves_commented_out_is_sound_too() {
    let folder = tempfile::tempdir().unwrap();
    printed(folder.path(), &["new"]);
    let voyage = folder.path().join("voyage.toml");
    let text = fs::read_to_string(&voyage).unwrap();
    // Keys behind a # are `key = value` or a table's heading; the rest is prose.
    let keys = [
        "step_nm",
        "wind_height_m",
        "[[route]]",
        "name =",
        "file = \"track",
        "file_route",
    ];
    let uncommented: String = text
        .lines()
        .map(|line| match line.strip_prefix("# ") {
            Some(key) if keys.iter().any(|start| key.starts_with(start)) => format!("{key}\n"),
            _ => format!("{line}\n"),
        })
        .filter(|line| !line.starts_with("wind_height_m"))
        .collect();
    assert!(uncommented.contains("\nfile = \"track.gpx\"") && uncommented.contains("\nstep_nm"));
    fs::write(&voyage, uncommented).unwrap();
    let gpx = "<gpx version=\"1.1\" creator=\"test\"><rte><name>Atlantic 2019</name>\
               <rtept lat=\"27\" lon=\"-16.5\"/><rtept lat=\"13\" lon=\"-59\"/></rte></gpx>";
    fs::write(folder.path().join("track.gpx"), gpx).unwrap();
    assert!(printed(folder.path(), &["check", "voyage.toml"]).contains("As last time"));
}

#[test]
fn nothing_is_overwritten() {
    for there in ["voyage.toml", "polar.csv"] {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join(there), "mine").unwrap();
        let said = refused(folder.path(), &["new"]);
        assert!(
            said.contains(there) && said.contains("nothing was written"),
            "{said}"
        );
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        assert_eq!(
            fs::read_to_string(folder.path().join(there)).unwrap(),
            "mine"
        );
    }
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("file"), "").unwrap();
    assert!(refused(folder.path(), &["new", "file/inside"]).contains("cannot write file/inside"));
}

#[test]
fn completions_and_manual_pages_name_the_commands() {
    let folder = tempfile::tempdir().unwrap();
    for shell in ["bash", "zsh", "fish"] {
        let script = printed(folder.path(), &["completions", shell]);
        assert!(
            script.contains("compare") && script.contains("strict"),
            "{shell}"
        );
    }
    assert!(refused(folder.path(), &["completions", "abacus"]).contains("bash"));
    let page = printed(folder.path(), &["man"]);
    assert!(
        page.contains(".TH offing 1") && page.contains("compare"),
        "{page}"
    );
    let page = printed(folder.path(), &["man", "legs"]);
    assert!(
        page.contains(".TH offing-legs 1") && page.contains("geojson"),
        "{page}"
    );
    assert!(refused(folder.path(), &["man", "sail"]).contains("there are: compare, legs, check"));
}
