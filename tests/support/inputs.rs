//! The inputs that reference rows were made from, which their file names by hash.

use std::fs;
use std::path::Path;

use sha2::{Digest, Sha256};

/// Where the inputs are, in the order of the rows' headings.
const INPUTS: [&str; 3] = [
    "demo/fremantle-durban.toml",
    "demo/cutter-12m.csv",
    "climate/ship-winds.nc",
];

/// The rows of a file under `fixtures/reference/` were made from the demonstration as it is now.
pub fn assert_made_from_todays_inputs(rows: &str) {
    let fixtures = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures");
    let text = fs::read_to_string(fixtures.join("reference").join(rows)).unwrap();
    let named: Vec<&str> = text
        .lines()
        .filter_map(|line| line.strip_prefix("# input: "))
        .collect();
    let today = INPUTS.map(|input| {
        let file = fixtures.join(input);
        let digest = Sha256::digest(fs::read(&file).unwrap());
        let hex: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
        let name = file.file_name().unwrap().display();
        format!("{name} sha256 {}", &hex[..16])
    });
    assert_eq!(
        named, today,
        "{rows} was made from other inputs: make it anew with the script that its heading names"
    );
}
