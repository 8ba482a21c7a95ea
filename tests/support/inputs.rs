//! The inputs that reference rows were made from, which their file names by hash.

use std::fs;
use std::path::Path;

use sha2::{Digest, Sha256};

/// Where the inputs are that rows may be made from.
const INPUTS: [&str; 4] = [
    "demo/fremantle-durban.toml",
    "demo/cutter-12m.csv",
    "climate/ship-winds.nc",
    "climate/currents.nc",
];

/// The rows of a file under `fixtures/reference/` were made from the demonstration as it is now.
pub fn assert_made_from_todays_inputs(rows: &str) {
    let fixtures = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures");
    let text = fs::read_to_string(fixtures.join("reference").join(rows)).unwrap();
    let today = INPUTS.map(|input| {
        let file = fixtures.join(input);
        let digest = Sha256::digest(fs::read(&file).unwrap());
        let hex: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
        let name = file.file_name().unwrap().display();
        format!("{name} sha256 {}", &hex[..16])
    });
    let named = text
        .lines()
        .filter_map(|line| line.strip_prefix("# input: "));
    let named: Vec<&str> = named.collect();
    assert!(named.len() >= 3, "{rows} names too few inputs");
    for input in named {
        assert!(
            today.iter().any(|today| today == input),
            "{rows} was made from other inputs than today's, {input}: make it anew with the script \
             that its heading names"
        );
    }
}
