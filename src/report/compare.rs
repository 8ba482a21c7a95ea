//! The comparison of a voyage's routes, for a terminal.

use super::figures::{Group, Row, groups};
use super::loading::AT_ONE_PLACE;
use super::names::Called;
use super::notes::{AboutRoutes, bullets, cautions, voyage_heading};
use super::second::{about_the_second, second_opinion};
use super::sentences::sentences;
use super::spread_chart::spread_chart;
use super::stages::stages_section;
use super::swings::swings_table;
use super::table::{Screen, WIDTH, layout_on, width, wrap};
use super::waiting::waiting_section;
use super::wording::grouped;
use super::years::years_section;
use crate::climate::MeasuredFigure;
use crate::passage::EnsembleOptions;
use crate::study::{AboutWinds, Comparison, RealYears};

/// How many routes stand side by side before the table breaks into another below, on a wider screen
/// than 80 columns more.
pub(super) const ROUTES_ABREAST: usize = 4;
/// The least columns of a figure's name: narrower it is broken too often to be read.
const LABEL: usize = 28;

/// The whole comparison as text: table, sentences, notes and cautions.
/// With the voyage's real years their spread beside that within one.
pub fn comparison_text(
    comparison: &Comparison,
    years: Option<&RealYears>,
    screen: Screen,
) -> String {
    let mut parts = vec![voyage_heading(&comparison.voyage)];
    parts.extend(side_by_side(comparison, years, screen));
    parts.join("\n\n") + "\n"
}

/// The comparison below its heading: table, sentences, notes and cautions.
pub(super) fn side_by_side(
    comparison: &Comparison,
    years: Option<&RealYears>,
    screen: Screen,
) -> Vec<String> {
    let mut parts = columns_and_spread(comparison, &groups(comparison), "", screen);
    parts.extend(stages_section(comparison));
    parts.extend(waiting_section(comparison));
    parts.extend(swings_table(comparison));
    parts.extend(second_opinion(comparison));
    parts.extend(years.map(years_section));
    let said = sentences(comparison);
    if !said.is_empty() {
        parts.push(bullets(&said));
    }
    parts.push(wrap(
        &spread_note(&comparison.simulated, &comparison.voyage.winds),
        "",
    ));
    parts.push(wrap(&figures_note(comparison), ""));
    parts.extend(comparison.noticed().under_headings());
    parts.extend(about_the_second(comparison));
    parts.push(cautions(&comparison.voyage));
    parts
}

/// Figures, a column a route, `mark` behind the better value of a row; and the picture of the spread.
pub(super) fn columns_and_spread(
    comparison: &Comparison,
    groups: &[Group],
    mark: &str,
    screen: Screen,
) -> Vec<String> {
    let routes = comparison.routes.iter();
    let called = Called::of(routes.map(|route| route.name.as_str()));
    let mut parts: Vec<String> = called.legend.iter().cloned().collect();
    parts.extend(columns(groups, &called.names, mark, screen));
    parts.push(spread_chart(comparison, &called.names, screen));
    parts
}

fn columns(groups: &[Group], names: &[String], mark: &str, screen: Screen) -> Vec<String> {
    // A mark takes room, so the rows under a heading stand in by one less.
    let (legend, step) = match mark {
        "" => (String::new(), "  "),
        _ if names.len() < 2 => (String::new(), " "),
        _ => (format!("{mark} better"), " "),
    };
    let room = " ".repeat(mark.len());
    // Units and what does not fit stand apart where that lets more routes stand side by side.
    let [whole, narrow] =
        [false, true].map(|apart| abreast(groups, names, mark.len(), screen, apart));
    let (apart, abreast) = (narrow > whole, narrow.max(whole));
    let table = |first: usize, abreast: &[String]| {
        let mut heading = vec![legend.clone()];
        heading.extend(abreast.iter().map(|name| format!("{name}{room}")));
        let mut rows = Vec::new();
        for group in groups {
            if let Some(title) = group.heading {
                let mut row = vec![title.to_owned()];
                row.resize(heading.len(), String::new());
                rows.push(row);
            }
            let indent = if group.heading.is_some() { step } else { "" };
            for figure in &group.rows {
                let route = |route: usize| {
                    let marked = figure.best == Some(route);
                    let end = if marked { mark } else { &room };
                    format!("{}{end}", cells(figure, apart)[route])
                };
                let narrow = figure.apart.as_ref().filter(|_| apart);
                let unit = narrow.map_or(String::new(), |narrow| format!(", {}", narrow.unit));
                let mut row = vec![format!("{indent}{}{unit}", figure.label)];
                row.extend((first..first + abreast.len()).map(route));
                rows.push(row);
                let short = narrow.map(|narrow| &narrow.short);
                let short = short.filter(|short| short.iter().any(|cell| !cell.is_empty()));
                rows.extend(short.map(|short| {
                    let cells = short[first..first + abreast.len()].iter();
                    let mut row = vec![format!("{indent}{step}of it does not fit{unit}")];
                    row.extend(cells.map(|cell| format!("{cell}{room}")));
                    row
                }));
            }
        }
        layout_on(screen, &heading, &rows, 1)
    };
    let blocks = names.chunks(abreast).enumerate();
    blocks
        .map(|(block, names)| table(block * abreast, names))
        .collect()
}

/// A figure's cells as they stand in a column: whole, or without the unit and what does not fit.
fn cells(figure: &Row, apart: bool) -> &[String] {
    let narrow = figure.apart.as_ref().filter(|_| apart);
    narrow.map_or(&figure.cells, |apart| &apart.cells)
}

/// How many routes stand side by side with every cell whole.
fn abreast(groups: &[Group], names: &[String], mark: usize, screen: Screen, apart: bool) -> usize {
    let rows = || groups.iter().flat_map(|group| &group.rows);
    let column = |route: usize| {
        let cells = rows().map(|row| width(&cells(row, apart)[route]));
        let name = names[route].split_whitespace().map(width);
        cells.chain(name).max().unwrap_or(0) + mark
    };
    let widths: Vec<usize> = (0..names.len()).map(column).collect();
    let fit = |count: &usize| {
        let mut blocks = widths.chunks(*count);
        blocks.all(|block| screen.fits(std::iter::once(LABEL).chain(block.iter().copied())))
    };
    let most = ROUTES_ABREAST * screen.columns() / usize::from(WIDTH);
    (1..=most.min(names.len())).rev().find(fit).unwrap_or(1)
}

/// How the ensembles came about, so that they can be made again.
pub(super) fn spread_note(made: &EnsembleOptions, winds: &AboutWinds) -> String {
    let (fast, slow) = (made.fast_hours, made.slow_hours);
    let lasts = format!("lasts for {fast:.0} hours in one part and {slow:.0} in the other");
    let lasts = if made.measured_memory && winds.measured.contains(&MeasuredFigure::Memory) {
        format!(
            "lasts as long as these winds have it measured in one part and {slow:.0} hours in the other, of \
             measured size (where it was not, it {lasts})"
        )
    } else {
        lasts
    };
    format!(
        "P10, median and P90 are of {} simulated passages a route, seed {}, through winds whose \
         departure from the mean {lasts}: 10 % of passages are faster than P10, half are faster than \
         the median, 10 % are slower than P90.",
        grouped(made.members as f64),
        made.seed,
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
    let mut plans = comparison
        .routes
        .iter()
        .filter_map(|route| route.loading.as_ref());
    if plans.any(|plan| plan.planned().is_some_and(|plan| plan.staged.is_some())) {
        said.push(AT_ONE_PLACE);
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
