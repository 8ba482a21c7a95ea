//! `offing legs`: a voyage leg by leg.

use super::arguments::LegsOptions;
use super::voyage::{open_voyage, warn_of_land};
use super::{CliError, print, show};
use crate::report::{Files, legs_csv, legs_text, to_json};
use crate::route::{geojson_text, gpx_text, waypoints_csv};
use crate::study::compare;

pub(super) fn run(options: &LegsOptions) -> Result<(), CliError> {
    let asked = options.spread.checked()?;
    let voyage = open_voyage(&options.voyage, options.route.as_deref())?;
    let comparison = compare(&voyage, &voyage.open_climate()?, &asked.without_swings())?;
    warn_of_land(&comparison, &options.land)?;
    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, legs_csv(&comparison));
    }
    if let Some(file) = &options.gpx {
        files.add(file, gpx_text(&voyage.routes));
    }
    if let Some(file) = &options.geojson {
        files.add(file, geojson_text(&voyage.routes));
    }
    if let Some(file) = &options.waypoints {
        files.add(file, waypoints_csv(&voyage.routes));
    }
    files.write()?;
    if options.json {
        print(&to_json(&comparison))
    } else {
        show(&legs_text(&comparison))
    }
}
