//! The page's tables: the figures the terminal shows, in groups with headings.

use serde::Serialize;

use crate::passage::{ExpectedPassage, LayOff};
use crate::report::compare::ROUTES_ABREAST;
use crate::report::figures;
use crate::report::laid_off::{PLACE_COLUMNS, pieces_rows, rows_of};
use crate::report::legs::{Rows, lines_rows, seas_rows, winds_rows};
use crate::report::loading::{
    costs_rows, costs_said, loading_figures, places_caption, places_rows, places_said,
};
use crate::report::sentences::stalls;
use crate::report::stages::{deadline_rows, sea_rows, when_rows};
use crate::stores::{Costs, LoadingPlan, RoutePlan};
use crate::study::{AboutVoyage, Comparison, LaidOffRoute, RouteResult};

/// Lines under one heading, or under none.
#[derive(Debug, Serialize)]
pub(super) struct Group {
    heading: Option<&'static str>,
    lines: Vec<Line>,
}

impl Group {
    /// How many lines it has.
    pub(super) fn rows(&self) -> usize {
        self.lines.len()
    }
}

/// A name and the routes' figures.
#[derive(Debug, Serialize)]
pub(super) struct Line {
    name: &'static str,
    /// Set in, as a part of the line or heading above it.
    set_in: bool,
    cells: Vec<String>,
    /// The route with the better figure; none where it is not known or the figures are alike.
    best: Option<usize>,
}

/// A table whose first column names its rows.
#[derive(Debug, Serialize)]
pub(super) struct Table {
    caption: String,
    heading: Vec<String>,
    /// How many of the first columns are words.
    text_columns: usize,
    /// The rows, in groups set apart from one another.
    bodies: Vec<Vec<Vec<String>>>,
}

impl Table {
    pub(super) fn new(
        caption: String,
        heading: Vec<String>,
        text_columns: usize,
        mut bodies: Vec<Vec<Vec<String>>>,
    ) -> Self {
        bodies.retain(|rows| !rows.is_empty());
        Self {
            caption,
            heading,
            text_columns,
            bodies,
        }
    }
}

/// A route's legs; without tables where the boat stalls, and `stalls` says where.
#[derive(Debug, Serialize)]
pub(super) struct Legs {
    route: String,
    stalls: Option<String>,
    tables: Vec<Table>,
    /// The median passage noon by noon, if it was laid off.
    by_day: Option<Table>,
}

/// From which route to before which each of the tables goes that show so many routes: as few tables
/// as can be, of about as many routes each.
pub(super) fn blocks(routes: usize) -> Vec<[usize; 2]> {
    let count = routes.div_ceil(ROUTES_ABREAST).max(1);
    (0..count)
        .map(|block| [block * routes / count, (block + 1) * routes / count])
        .collect()
}

/// All figures of the comparison, under their headings.
pub(super) fn comparison(comparison: &Comparison) -> Vec<Group> {
    headed(figures::groups(comparison))
}

/// The few figures that decide.
pub(super) fn deciding(comparison: &Comparison) -> Vec<Group> {
    headed(figures::deciding_groups(comparison))
}

fn headed(groups: Vec<figures::Group>) -> Vec<Group> {
    let group = |group: figures::Group| Group {
        heading: group.heading,
        lines: group
            .rows
            .into_iter()
            .map(|row| Line {
                name: row.label,
                set_in: group.heading.is_some(),
                cells: row.cells,
                best: row.best,
            })
            .collect(),
    };
    groups.into_iter().map(group).collect()
}

/// What the routes ask to be loaded, if the voyage says who is aboard.
pub(super) fn loading(comparison: &Comparison) -> Option<Group> {
    let plans = comparison.routes.iter().map(|route| route.loading.as_ref());
    let plans: Option<Vec<&RoutePlan>> = plans.collect();
    let rows = loading_figures(&plans?, comparison.voyage.units).into_iter();
    Some(Group {
        heading: None,
        lines: rows
            .map(|(name, cells)| Line {
                name: name.trim_start(),
                set_in: name.starts_with(' '),
                cells,
                best: None,
            })
            .collect(),
    })
}

/// The stages of the routes with stops, and all deadlines.
pub(super) fn stages(comparison: &Comparison) -> Vec<Table> {
    let units = comparison.voyage.units;
    let mut tables = Vec::new();
    let staged = |route: &&RouteResult| !route.ensemble.stages.is_empty();
    for route in comparison.routes.iter().filter(staged) {
        let (mut heading, rows) = when_rows(&route.ensemble.stages);
        heading[0] = "Stage".to_owned();
        let caption = format!("{}: the stages by the calendar", route.name);
        tables.push(Table::new(caption, heading, 3, vec![rows]));
        let (mut heading, rows) = sea_rows(&route.ensemble.stages, units);
        heading[0] = "Stage".to_owned();
        let caption = format!("{}: the stages at sea", route.name);
        tables.push(Table::new(caption, heading, 1, vec![rows]));
    }
    let (heading, rows) = deadline_rows(comparison);
    if !rows.is_empty() {
        tables.push(Table::new("Deadlines".to_owned(), heading, 1, vec![rows]));
    }
    tables
}

/// What to load where on the routes with stops, what the routes cost, and what is to be said of it.
pub(super) fn places(comparison: &Comparison) -> (Vec<Table>, Vec<String>) {
    let units = comparison.voyage.units;
    let (mut tables, mut said) = (Vec::new(), Vec::new());
    let plans = comparison
        .routes
        .iter()
        .filter_map(|route| route.loading.as_ref());
    let plans: Vec<&LoadingPlan> = plans.filter_map(RoutePlan::planned).collect();
    for plan in &plans {
        if let Some(staged) = &plan.staged {
            let (heading, rows) = places_rows(staged, units);
            tables.push(Table::new(places_caption(plan), heading, 1, vec![rows]));
            let of_route = places_said(staged, units).into_iter();
            said.extend(of_route.map(|text| format!("{}: {text}", plan.route)));
        }
        if let Some(costs) = &plan.costs {
            let (heading, rows) = costs_rows(costs, units);
            let caption = format!("{}: costs, in the money of your prices", plan.route);
            tables.push(Table::new(caption, heading, 2, vec![rows]));
        }
    }
    let costs: Vec<&Costs> = plans
        .iter()
        .filter_map(|plan| plan.costs.as_ref())
        .collect();
    if !costs.is_empty() {
        said.push(costs_said(&costs));
    }
    (tables, said)
}

/// Every route's legs, and the days of those laid off.
pub(super) fn legs(comparison: &Comparison, by_day: &[LaidOffRoute]) -> Vec<Legs> {
    let voyage = &comparison.voyage;
    let days = |route: &RouteResult| {
        let laid_off = by_day.iter().find(|days| days.name == route.name)?;
        let (heading, rows) = pieces_rows(laid_off, LayOff::Day)?;
        let caption = format!("{}: {}", route.name, rows_of(LayOff::Day));
        Some(Table::new(caption, heading, PLACE_COLUMNS, vec![rows]))
    };
    let legs = |route: &RouteResult| Legs {
        route: route.name.clone(),
        stalls: route
            .stalled
            .as_ref()
            .map(|stall| stalls(&route.name, stall)),
        tables: route
            .expected
            .as_ref()
            .map_or(Vec::new(), |passage| leg_tables(voyage, route, passage)),
        by_day: days(route),
    };
    comparison.routes.iter().map(legs).collect()
}

fn leg_tables(voyage: &AboutVoyage, route: &RouteResult, passage: &ExpectedPassage) -> Vec<Table> {
    let legs = &passage.legs;
    let table = |caption: String, (mut heading, rows): Rows, text_columns| {
        heading[0] = "Leg".to_owned();
        Table::new(caption, heading, text_columns, vec![rows])
    };
    let name = &route.name;
    vec![
        table(
            format!("{name}: courses and distances"),
            lines_rows(passage),
            4,
        ),
        table(format!("{name}: time and conditions"), winds_rows(legs), 1),
        table(
            format!("{name}: sea, night and help"),
            seas_rows(voyage.units, voyage.temperature, route, legs),
            1,
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_routes_stand_in_even_tables() {
        assert_eq!(blocks(4), [[0, 4]]);
        assert_eq!(blocks(5), [[0, 2], [2, 5]]);
        assert_eq!(blocks(9), [[0, 3], [3, 6], [6, 9]]);
    }
}
