//! The page's tables: the figures the terminal shows, in groups with headings.

use serde::Serialize;

use crate::passage::{ExpectedLeg, Walk};
use crate::report::Study;
use crate::report::comparison::figures;
use crate::report::legs::{Rows, lines_rows, winds_rows};
use crate::report::loading::loading_figures;
use crate::report::sentences::stalls;

/// Lines under one heading, or under none.
#[derive(Debug, Default, Serialize)]
pub(super) struct Group {
    heading: Option<&'static str>,
    lines: Vec<Line>,
}

/// A name and the routes' figures.
#[derive(Debug, Serialize)]
pub(super) struct Line {
    name: &'static str,
    /// Set in, as a part of the line or heading above it.
    set_in: bool,
    cells: Vec<String>,
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
}

/// How many routes a table has side by side before it goes on in another below.
const ROUTES_ABREAST: usize = 4;

/// From which route to before which each of the tables goes that show so many routes: as few tables
/// as can be, of about as many routes each.
pub(super) fn blocks(routes: usize) -> Vec<[usize; 2]> {
    let count = routes.div_ceil(ROUTES_ABREAST).max(1);
    (0..count)
        .map(|block| [block * routes / count, (block + 1) * routes / count])
        .collect()
}

/// The comparison, its lines gathered under their headings.
pub(super) fn comparison(study: &Study<'_>) -> Vec<Group> {
    grouped(figures(study))
}

/// What the routes ask to be loaded, if the voyage says who is aboard.
pub(super) fn loading(study: &Study<'_>) -> Option<Vec<Group>> {
    let rows = loading_figures(study.loading?, study.voyage.output);
    Some(grouped(
        rows.into_iter()
            .map(|(name, cells)| (name, Some(cells)))
            .collect(),
    ))
}

fn grouped(figures: Vec<(&'static str, Option<Vec<String>>)>) -> Vec<Group> {
    let mut groups = vec![Group::default()];
    for (name, cells) in figures {
        let set_in = name.starts_with(' ');
        let last = groups.len() - 1;
        match cells {
            None => groups.push(Group {
                heading: Some(name),
                lines: Vec::new(),
            }),
            Some(cells) => {
                if !set_in && groups[last].heading.is_some() {
                    groups.push(Group::default());
                }
                let last = groups.len() - 1;
                let name = name.trim_start();
                groups[last].lines.push(Line {
                    name,
                    set_in,
                    cells,
                });
            }
        }
    }
    groups.retain(|group| !group.lines.is_empty());
    groups
}

/// Every route's legs.
pub(super) fn legs(study: &Study<'_>) -> Vec<Legs> {
    let routes = study.voyage.routes.iter().zip(study.walks);
    routes
        .map(|(route, walk)| {
            let name = route.name();
            let (stalls, tables) = match walk {
                Walk::Arrives(passage) => (None, leg_tables(name, &passage.legs)),
                Walk::Stalls(stall) => (Some(stalls(name, stall)), Vec::new()),
            };
            Legs {
                route: name.to_owned(),
                stalls,
                tables,
            }
        })
        .collect()
}

fn leg_tables(route: &str, legs: &[ExpectedLeg]) -> Vec<Table> {
    let table = |caption: String, (mut heading, rows): Rows, text_columns| {
        heading[0] = "Leg".to_owned();
        Table::new(caption, heading, text_columns, vec![rows])
    };
    vec![
        table(format!("{route}: the lines to steer"), lines_rows(legs), 4),
        table(format!("{route}: what to expect"), winds_rows(legs), 1),
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

    #[test]
    fn lines_stand_under_their_headings() {
        let cells = || Some(vec!["1".to_owned()]);
        let groups = grouped(vec![
            ("Distance", cells()),
            ("Days", None),
            ("  median", cells()),
            ("  slow", cells()),
            ("Speed", cells()),
        ]);
        let shape: Vec<(Option<&str>, Vec<&str>)> = groups
            .iter()
            .map(|group| {
                let names = group.lines.iter().map(|line| line.name);
                (group.heading, names.collect())
            })
            .collect();
        assert_eq!(
            shape,
            [
                (None, vec!["Distance"]),
                (Some("Days"), vec!["median", "slow"]),
                (None, vec!["Speed"]),
            ]
        );
    }
}
