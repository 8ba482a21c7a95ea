//! Route files: GPX 1.1, GeoJSON (RFC 7946) and waypoints as CSV, in and out.
//!
//! A GPX route and a GeoJSON line are lists of points, and neither format says by what line one
//! point is reached from another: a plotter draws what it pleases. They are read as rhumb lines
//! unless the voyage says otherwise, because a straight line on a Mercator chart is what whoever
//! drew the file saw. (RFC 7946 says straight in longitude and latitude, which no one sails; between
//! near points the two are the same.) They are written with so many points that it does not matter:
//! see [`plotted`]. The CSV of waypoints is ours and keeps each leg's kind.

mod csv;
mod geojson;
mod gpx;
mod plotted;
mod problem;
mod read;
mod simplify;
#[cfg(test)]
mod tests;

pub use csv::{spreadsheet_text, waypoints_csv};
pub(crate) use geojson::geojson_line;
pub use geojson::geojson_text;
pub use gpx::gpx_text;
pub use plotted::{MOST_ASTRAY_NM, plotted};
pub use problem::RouteFileProblem;
pub use read::{RouteFile, TRACK_TOLERANCE_NM};

/// Coordinates are written with this many decimals of a degree: a centimetre.
const DECIMALS: usize = 7;

/// Degrees as a file holds them.
fn written_deg(deg: f64) -> f64 {
    let scale = 10f64.powi(DECIMALS as i32);
    (deg * scale).round() / scale
}
