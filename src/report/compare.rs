//! The comparison of a voyage's routes, for a terminal.

use super::figures::{Group, groups};
use super::notes::{AboutRoutes, bullets, cautions, voyage_heading};
use super::sentences::sentences;
use super::spread_chart::spread_chart;
use super::swings::swings_table;
use super::table::{layout, wrap};
use super::wording::grouped;
use crate::passage::EnsembleOptions;
use crate::study::Comparison;

/// How many routes stand side by side before the table breaks into another below.
pub(super) const ROUTES_ABREAST: usize = 4;

/// The whole comparison as text: table, sentences, notes and cautions.
pub fn comparison_text(comparison: &Comparison) -> String {
    let mut parts = vec![voyage_heading(&comparison.voyage)];
    parts.extend(side_by_side(comparison));
    parts.join("\n\n") + "\n"
}

/// The comparison below its heading: table, sentences, notes and cautions.
pub(super) fn side_by_side(comparison: &Comparison) -> Vec<String> {
    let mut parts = columns(comparison, &groups(comparison), "");
    parts.extend(spread_chart(comparison));
    parts.extend(swings_table(comparison));
    let said = sentences(comparison);
    if !said.is_empty() {
        parts.push(bullets(&said));
    }
    parts.push(wrap(&spread_note(&comparison.simulated), ""));
    parts.push(wrap(&figures_note(comparison), ""));
    parts.extend(comparison.noticed().under_headings());
    parts.push(cautions(&comparison.voyage));
    parts
}

/// Figures, a column a route, `mark` behind the better value of a row.
pub(super) fn columns(comparison: &Comparison, groups: &[Group], mark: &str) -> Vec<String> {
    let names: Vec<&str> = comparison
        .routes
        .iter()
        .map(|route| route.name.as_str())
        .collect();
    // A mark takes room, so the rows under a heading stand in by one less.
    let (legend, step) = match mark {
        "" => (String::new(), "  "),
        _ if names.len() < 2 => (String::new(), " "),
        _ => (format!("{mark} better"), " "),
    };
    let blocks = names.chunks(ROUTES_ABREAST).enumerate();
    let table = |(block, abreast): (usize, &[&str])| {
        let first = block * ROUTES_ABREAST;
        let mut heading = vec![legend.clone()];
        let room = " ".repeat(mark.len());
        heading.extend(abreast.iter().map(|name| format!("{name}{room}")));
        let mut rows = Vec::new();
        for group in groups {
            if let Some(title) = group.heading {
                let mut row = vec![title.to_owned()];
                row.resize(heading.len(), String::new());
                rows.push(row);
            }
            let indent = if group.heading.is_some() { step } else { "" };
            rows.extend(group.rows.iter().map(|figure| {
                let mut row = vec![format!("{indent}{}", figure.label)];
                row.extend((first..first + abreast.len()).map(|route| {
                    let marked = figure.best == Some(route);
                    let end = if marked {
                        mark
                    } else {
                        &" ".repeat(mark.len())
                    };
                    format!("{}{end}", figure.cells[route])
                }));
                row
            }));
        }
        layout(&heading, &rows, 1)
    };
    blocks.map(table).collect()
}

/// How the ensembles came about, so that they can be made again.
pub(super) fn spread_note(made: &EnsembleOptions) -> String {
    format!(
        "P10, median and P90 are of {} simulated passages a route, seed {}, through winds whose \
         departure from the mean lasts for {:.0} hours in one part and {:.0} in the other: 10 % of passages are faster than P10, half are faster than \
         the median, 10 % are slower than P90.",
        grouped(made.members as f64),
        made.seed,
        made.fast_hours,
        made.slow_hours
    )
}

/// What the figures of the comparison are, and are not.
pub(super) fn figures_note(comparison: &Comparison) -> String {
    let mut said = vec![MEAN_WIND_NOTE];
    let loaded = comparison
        .routes
        .iter()
        .any(|route| route.loading.is_some());
    if loaded && comparison.voyage.boat.engine.is_some() {
        said.push(DIESEL_NOTE);
    }
    let groups = groups(comparison);
    let mut rows = groups.iter().flat_map(|group| &group.rows);
    if rows.any(|row| row.cells.iter().any(String::is_empty)) {
        said.push("An empty cell is a figure that is not available.");
    }
    said.join(" ")
}

/// What the two chances of running short of diesel count.
const DIESEL_NOTE: &str = "Needing more diesel than the tanks hold counts motoring, charging and \
     the arrival's reserve; motoring until they are dry, motoring alone.";

/// Which of the figures are not of the ensemble.
const MEAN_WIND_NOTE: &str = "Shares of time, speed and sea are those of the passage on the mean \
     wind; the chance of a storm assumes constant speed: the largest of P10, median and P90.";
