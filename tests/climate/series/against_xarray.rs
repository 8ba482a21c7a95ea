//! What xarray and NumPy measure in the same series.

use std::collections::BTreeMap;
use std::path::Path;

use sha2::{Digest, Sha256};

use super::writing::{measured, values};
use crate::rows::reference_rows;

const ROWS: &str = "climate/series.csv";

/// How far a figure may be off, in its own unit: half a step of its packing, and the rows' rounding.
fn tolerance(column: &str) -> f64 {
    match column {
        "u_ms" | "v_ms" | "speed_ms" | "u_anomaly_1996" => 0.001 + 2e-6,
        "u_variance" | "v_variance" | "uv_covariance" => 0.01 + 1e-5,
        // scipy's own minimum is flat to this.
        "slow_share" => 0.01,
        lag if lag.starts_with("lag_") => 5e-5 + 2e-6,
        "gale_share" | "calm_share" => 5e-5 + 1e-6,
        other => panic!("no tolerance for {other}"),
    }
}

/// The time constant is found to a hundredth.
const HOURS: f64 = 0.015;

#[test]
fn means_moments_lags_and_memory_are_those_of_xarray_numpy_and_scipy() {
    let folder = tempfile::tempdir().unwrap();
    let fixtures = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/reference");
    let series = fixtures.join("climate/series.nc");
    let digest = Sha256::digest(std::fs::read(&series).unwrap());
    let digest: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    let heading = std::fs::read_to_string(fixtures.join(ROWS)).unwrap();
    assert!(
        heading.contains(&digest),
        "series.nc changed: make {ROWS} anew"
    );

    let winds = measured(folder.path(), &[series]).unwrap();
    assert_eq!((winds.steps, winds.missing_steps), (1096 * 4, 0));
    let rows: Vec<BTreeMap<String, f64>> = reference_rows(ROWS);
    let mut field = BTreeMap::new();
    for row in &rows {
        let place = |name: &str| row[name] as usize;
        let node = (place("month") - 1) * 4 + 2 * place("row") + place("column");
        for (column, &expected) in row {
            let (name, outer) = match column.as_str() {
                "month" | "row" | "column" => continue,
                "u_ms" => ("u", 0),
                "v_ms" => ("v", 0),
                "speed_ms" => ("speed", 0),
                "u_anomaly_1996" => ("u_anomaly", 1),
                "lag_1" => ("lag_correlation", 0),
                "lag_2" => ("lag_correlation", 1),
                "lag_3" => ("lag_correlation", 2),
                "lag_5" => ("lag_correlation", 3),
                "lag_7" => ("lag_correlation", 4),
                "lag_10" => ("lag_correlation", 5),
                other => (other, 0),
            };
            let all = field
                .entry(name.to_owned())
                .or_insert_with(|| values(folder.path(), name));
            let got = all[outer * 48 + node];
            let off = (got - expected).abs();
            if column == "fast_hours" {
                assert!(off < HOURS * expected, "{row:?} {column}: {got}");
            } else {
                assert!(off < tolerance(column), "{row:?} {column}: {got}");
            }
        }
    }
}
