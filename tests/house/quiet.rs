//! Away from the tests of the climate: it runs itself again, and a file that another test of the
//! same program holds open would stay locked.

use std::path::Path;
use std::process::Command;

use offing::climate::{Climate, Region, SourceOptions};

const AGAIN: &str = "OFFING_TEST_READS_ON_A_THREAD";

/// The HDF5 library can print errors of its own, most readily away from the thread that used it
/// first; a sailor must see ours alone.
#[test]
fn reading_prints_nothing_on_any_thread() {
    if std::env::var_os(AGAIN).is_some() {
        read_whole_and_cut_short();
        return;
    }
    let again = Command::new(std::env::current_exe().expect("this program"))
        .args([
            "--exact",
            "quiet::reading_prints_nothing_on_any_thread",
            "--nocapture",
        ])
        .env(AGAIN, "yes")
        .output()
        .expect("the output");
    let stdout = String::from_utf8_lossy(&again.stdout);
    assert!(stdout.contains("1 passed"), "ran another test: {stdout}");
    let stderr = String::from_utf8_lossy(&again.stderr);
    assert!(again.status.success(), "{stderr}");
    assert!(!stderr.contains("HDF5"), "{stderr}");
}

fn read_whole_and_cut_short() {
    Climate::ship_winds(&Region::world()).expect("the ship winds");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/climate/ship-winds.nc");
    let bytes = std::fs::read(path).expect("the file's bytes");
    let folder = tempfile::tempdir().expect("a folder");
    let short = folder.path().join("short.nc");
    std::fs::write(&short, &bytes[..bytes.len() / 2]).expect("write");
    let other_thread = std::thread::spawn(move || {
        Climate::ship_winds(&Region::world()).expect("the ship winds");
        Climate::open(&short, &SourceOptions::default(), &Region::world()).expect_err("a refusal")
    });
    other_thread.join().expect("no panic");
}
