//! `offing legs`: a voyage leg by leg.

use super::arguments::LegsOptions;
use super::study::Walked;
use super::{CliError, print};
use crate::report::{document_json, legs_csv, legs_text, write_whole};
use crate::route::{geojson_text, gpx_text, waypoints_csv};

pub(super) fn run(options: &LegsOptions) -> Result<(), CliError> {
    let walked = Walked::new(
        &options.voyage,
        &options.spread,
        options.route.as_deref(),
        &options.land,
    )?;
    let study = walked.study();
    if let Some(file) = &options.csv {
        write_whole(file, &legs_csv(&study))?;
    }
    let routes = &study.voyage.routes;
    if let Some(file) = &options.gpx {
        write_whole(file, &gpx_text(routes))?;
    }
    if let Some(file) = &options.geojson {
        write_whole(file, &geojson_text(routes))?;
    }
    if let Some(file) = &options.waypoints {
        write_whole(file, &waypoints_csv(routes))?;
    }
    print(&if options.json {
        document_json(&study)
    } else {
        legs_text(&study)
    })
}
