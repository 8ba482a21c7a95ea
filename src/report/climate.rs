//! The winds of a place through the months or along a route, for a terminal.

use super::cautions::wind_cautions;
use super::notes::{about_the_winds, bullets};
use super::table::{layout, wrap};
use super::wind_figures::{COUNTED, Figure, SECTOR, SHARES, WIND};
use super::wording::{grouped, heads};
use crate::study::{ForceFigures, PlaceWinds, SurveyedWinds, WindFigures};
use crate::text::visible;

/// The winds of a place through the months, or along a route; for one place in one month also by
/// direction.
pub fn climate_text(winds: &SurveyedWinds) -> String {
    let places = &winds.places;
    let mut parts = vec![heading(winds), speeds(places), shares(places)];
    parts.extend(counted(places));
    if let [
        PlaceWinds {
            wind: Some(wind), ..
        },
    ] = &places[..]
    {
        parts.push(rose(wind));
    }
    if places.iter().any(|place| place.wind.is_none()) {
        parts.push("An empty row is a place or a month without wind data.".to_owned());
    }
    parts.extend(about_the_winds(&winds.winds));
    parts.push(format!("Cautions\n{}", bullets(&wind_cautions())));
    parts.join("\n\n") + "\n"
}

fn heading(winds: &SurveyedWinds) -> String {
    let first = &winds.places[0];
    let what = match &winds.route {
        None => format!("Wind climate around {}", first.position),
        Some(route) => format!("Wind climate along {route} in {}", first.month),
    };
    [what, format!("Winds: {}", visible(&winds.winds.label))]
        .map(|line| wrap(&line, "  "))
        .join("\n")
}

fn speeds(places: &[PlaceWinds]) -> String {
    let mut forces: Vec<ForceFigures> = places
        .iter()
        .filter_map(|place| Some(place.wind.as_ref()?.force))
        .collect();
    forces.sort();
    forces.dedup();
    let forces: Vec<String> = forces.into_iter().map(force_words).collect();
    let meanings = format!("{} ({}).", meanings(&WIND), forces.join(", "));
    format!("{}\n\n{}", table(&WIND, places), wrap(&meanings, ""))
}

fn shares(places: &[PlaceWinds]) -> String {
    let meanings = format!("{}.", meanings(&SHARES));
    format!(
        "Share of time\n{}\n\n{}",
        table(&SHARES, places),
        wrap(&meanings, "")
    )
}

/// What was counted, beside the shares above, which are of Gaussian winds; none where nothing was.
fn counted(places: &[PlaceWinds]) -> Option<String> {
    let any = places.iter().any(|place| place.counted.is_some());
    any.then(|| {
        format!(
            "Share of time as counted in the series\n{}\n\n{}",
            table(&COUNTED, places),
            wrap(&format!("{}.", meanings(&COUNTED)), "")
        )
    })
}

/// A row for each place.
fn table(figures: &[Figure<PlaceWinds>], places: &[PlaceWinds]) -> String {
    let mut heading = where_and_when(&places[0]).0;
    heading.extend(figures.iter().map(|figure| figure.label.to_owned()));
    let rows: Vec<Vec<String>> = places
        .iter()
        .map(|place| {
            let mut row = where_and_when(place).1;
            row.extend(figures.iter().map(|figure| figure.cell(place)));
            row
        })
        .collect();
    layout(&heading, &rows, 1)
}

/// What each figure is, a sentence each; the last without its stop.
fn meanings<T>(figures: &[Figure<T>]) -> String {
    let meanings = figures
        .iter()
        .map(|figure| format!("{}: {}", figure.label, figure.meaning));
    meanings.collect::<Vec<_>>().join(". ")
}

fn rose(wind: &WindFigures) -> String {
    let mut heading = heads(&["From", "Beaufort force"]);
    heading.extend(SECTOR.iter().map(|figure| figure.label.to_owned()));
    let rows: Vec<Vec<String>> = wind
        .rose
        .iter()
        .map(|sector| {
            let force = sector.force.map(force_words);
            let mut row = vec![sector.from.to_owned(), force.unwrap_or_default()];
            row.extend(SECTOR.iter().map(|figure| figure.cell(sector)));
            row
        })
        .collect();
    format!("By direction\n{}", layout(&heading, &rows, 2))
}

fn force_words(force: ForceFigures) -> String {
    format!("{} {}", force.number, force.name)
}

/// The columns that say which place or month a row is of: their headings, and its cells.
fn where_and_when(place: &PlaceWinds) -> (Vec<String>, Vec<String>) {
    match place.distance_nm {
        None => (heads(&["Month"]), vec![place.month.name().to_owned()]),
        Some(distance_nm) => (
            heads(&["Position", "nm"]),
            vec![place.position.to_string(), grouped(distance_nm)],
        ),
    }
}
