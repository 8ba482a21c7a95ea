//! The wind climate of a place or along a route, for a terminal.

use super::Survey;
use super::comparison::cautions;
use super::notes::about_the_winds;
use super::table::{layout, wrap};
use super::wind_figures::{ForceFigures, WindFigures};
use super::wording::{grouped, heads, percent, three_figures};
use crate::passage::SurveyedPlace;

/// A place with its figures, if there are winds.
type Row<'a> = (&'a SurveyedPlace, Option<WindFigures>);

/// The climate of a place through the months, or along a route; for one place in one month also by
/// direction.
pub fn climate_text(survey: &Survey<'_>) -> String {
    let rows: Vec<Row<'_>> = survey
        .places
        .iter()
        .map(|place| {
            (
                place,
                place.climate.map(|local| WindFigures::of(&local.wind)),
            )
        })
        .collect();
    let mut parts = vec![heading(survey), winds(&rows), shares(&rows)];
    if let [(_, Some(figures))] = &rows[..] {
        parts.push(rose(figures));
    }
    if rows.iter().any(|(_, figures)| figures.is_none()) {
        parts.push("An empty row is a place or a month without wind data.".to_owned());
    }
    parts.extend(about_the_winds(survey.climate));
    parts.push(cautions());
    parts.join("\n\n") + "\n"
}

fn heading(survey: &Survey<'_>) -> String {
    let first = &survey.places[0];
    let what = match survey.route {
        None => format!("Wind climate around {}", first.position),
        Some(route) => format!("Wind climate along {route} in {}", first.month),
    };
    [what, format!("Winds: {}", survey.climate.label())]
        .map(|line| wrap(&line, "  "))
        .join("\n")
}

fn winds(rows: &[Row<'_>]) -> String {
    let mut heading = where_and_when(rows[0].0).0;
    heading.extend(heads(&[
        "From", "Mean", "Vector", "Spread", "Steady", "Force",
    ]));
    let lines: Vec<Vec<String>> = rows
        .iter()
        .map(|(place, figures)| {
            let mut row = where_and_when(place).1;
            let cells = figures.as_ref().map(|wind| {
                [
                    wind.from_deg.map_or(String::new(), three_figures),
                    format!("{:.1}", wind.mean_speed_kn),
                    format!("{:.1}", wind.vector_mean_speed_kn),
                    format!("{:.1}", wind.spread_kn),
                    wind.steadiness.map_or(String::new(), percent),
                    wind.force.number.to_string(),
                ]
            });
            row.extend(cells.unwrap_or_default());
            row
        })
        .collect();
    let mut forces: Vec<ForceFigures> = rows
        .iter()
        .filter_map(|(_, figures)| Some(figures.as_ref()?.force))
        .collect();
    forces.sort();
    forces.dedup();
    let forces: Vec<String> = forces
        .iter()
        .map(|force| format!("{} {}", force.number, force.name))
        .collect();
    format!(
        "{}\n\n{}",
        layout(&heading, &lines, 1),
        wrap(
            &format!(
                "Knots and degrees true. From: where the vector mean comes from. Spread: the \
                 standard deviation of each component. Steady: vector mean over mean speed. Force: \
                 Beaufort, of the mean speed: {}.",
                forces.join(", ")
            ),
            ""
        )
    )
}

fn shares(rows: &[Row<'_>]) -> String {
    let mut heading = where_and_when(rows[0].0).0;
    heading.extend(heads(&[
        "Calm", "Light", "Strong", "Gale", "Air °C", "Replaced",
    ]));
    let lines: Vec<Vec<String>> = rows
        .iter()
        .map(|(place, figures)| {
            let mut row = where_and_when(place).1;
            let shares = figures.as_ref().map(|wind| {
                let share = &wind.share;
                [share.calm, share.light_air, share.strong, share.gale].map(percent)
            });
            row.extend(shares.unwrap_or_default());
            let local = place.climate;
            let air_c = local.and_then(|local| local.air_temperature_c);
            let replaced = local.and_then(|local| local.replaced_share);
            row.push(air_c.map_or(String::new(), |air_c| format!("{air_c:.0}")));
            row.push(replaced.map_or(String::new(), percent));
            row
        })
        .collect();
    format!(
        "Share of time\n{}\n\n{}",
        layout(&heading, &lines, 1),
        wrap(
            "Calm: under 1 kn. Light: under 6 kn, calms included. Strong: 22 kn up, gales \
             included. Gale: 34 kn up. Air: the month's mean. Replaced: how much rests on values \
             smoothed or filled in from elsewhere.",
            ""
        )
    )
}

fn rose(figures: &WindFigures) -> String {
    let heading = heads(&["From", "Force of its mean", "Share", "Mean kn"]);
    let rows: Vec<Vec<String>> = figures
        .rose
        .iter()
        .map(|sector| {
            let force = sector
                .force
                .map(|force| format!("{} {}", force.number, force.name));
            let mean_kn = sector.mean_speed_kn.map(|kn| format!("{kn:.1}"));
            vec![
                sector.from.to_owned(),
                force.unwrap_or_default(),
                percent(sector.share),
                mean_kn.unwrap_or_default(),
            ]
        })
        .collect();
    format!("By direction\n{}", layout(&heading, &rows, 2))
}

/// The columns that say which place or month a row is of: their headings, and its cells.
fn where_and_when(place: &SurveyedPlace) -> (Vec<String>, Vec<String>) {
    match place.run_nm {
        None => (heads(&["Month"]), vec![place.month.name().to_owned()]),
        Some(run_nm) => (
            heads(&["Position", "nm"]),
            vec![place.position.to_string(), grouped(run_nm)],
        ),
    }
}
