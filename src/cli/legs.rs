//! `offing legs`: a voyage leg by leg.

use super::arguments::LegsOptions;
use super::study::Walked;
use super::{CliError, print};
use crate::report::{document_json, legs_csv, legs_text, write_together};
use crate::route::{geojson_text, gpx_text, waypoints_csv};

pub(super) fn run(options: &LegsOptions) -> Result<(), CliError> {
    let walked = Walked::new(
        &options.voyage,
        &options.spread,
        options.route.as_deref(),
        &options.land,
    )?;
    let study = walked.study();
    let routes = &study.voyage.routes;
    let mut files = Vec::new();
    files.extend(options.csv.as_deref().map(|file| (file, legs_csv(&study))));
    files.extend(options.gpx.as_deref().map(|file| (file, gpx_text(routes))));
    files.extend(
        options
            .geojson
            .as_deref()
            .map(|file| (file, geojson_text(routes))),
    );
    files.extend(
        options
            .waypoints
            .as_deref()
            .map(|file| (file, waypoints_csv(routes))),
    );
    write_together(&files)?;
    print(&if options.json {
        document_json(&study)
    } else {
        legs_text(&study)
    })
}
