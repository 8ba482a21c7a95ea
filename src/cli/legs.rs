//! `offing legs`: a voyage leg by leg.

use super::arguments::LegsOptions;
use super::study::Walked;
use super::{CliError, print};
use crate::report::{Files, document_json, legs_csv, legs_text};
use crate::route::{geojson_text, gpx_text, waypoints_csv};

pub(super) fn run(options: &LegsOptions) -> Result<(), CliError> {
    let walked = Walked::new(
        &options.voyage,
        &options.spread,
        options.route.as_deref(),
        &options.land,
    )?;
    let study = walked.study();
    let mut files = Files::beside_read(&study.voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, legs_csv(&study));
    }
    let routes = &study.voyage.routes;
    if let Some(file) = &options.gpx {
        files.add(file, gpx_text(routes));
    }
    if let Some(file) = &options.geojson {
        files.add(file, geojson_text(routes));
    }
    if let Some(file) = &options.waypoints {
        files.add(file, waypoints_csv(routes));
    }
    files.write()?;
    print(&if options.json {
        document_json(&study)
    } else {
        legs_text(&study)
    })
}
