//! `offing legs`: a voyage leg by leg, or laid off in pieces.

use super::arguments::LegsOptions;
use super::voyage::{open_voyage, warn_of_land};
use super::{CliError, deliver, print_data, show};
use crate::report::{Files, legs_csv, legs_summary, legs_text, to_json};
use crate::route::{geojson_text, gpx_text, waypoints_csv};
use crate::study::legs;

pub(super) fn run(options: &LegsOptions) -> Result<(), CliError> {
    let mut asked = options.spread.checked()?;
    if !options.json {
        // Only the JSON has what to load.
        asked = asked.without_loading();
    }
    let voyage = open_voyage(&options.voyage, options.route.as_deref())?;
    let legs = legs(&voyage, &voyage.open_climate()?, &asked, options.by)?;
    warn_of_land(&legs.comparison, &options.land)?;
    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, legs_csv(&legs));
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
    deliver(files, || {
        if options.json {
            print_data(&to_json(&legs))
        } else if options.full {
            show(&legs_text(&legs))
        } else {
            show(&legs_summary(&legs))
        }
    })
}
