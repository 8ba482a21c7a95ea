//! Departures through the year on one screen: when to leave, and the months side by side.

use super::keeping::keeping_sentences;
use super::notes::AboutRoutes as _;
use super::season::{days_tried, window_rule, window_sentence};
use super::side_by_side::{COUNT, SideBySide};
use super::summary::{CAUTION, short_heading};
use super::table::{Screen, layout, width, wrap};
use super::wording::{date, heads, percent, percent_met};
use crate::passage::Window;
use crate::study::{MonthOfDeparture, Season, SeasonRoute};

/// The longest name that stands over one of a route's columns.
const LONGEST_NAME: usize = 7;
/// The figures of a month on a route.
const FIGURES: [&str; COUNT] = ["P90", "Headwind", "Gale", "Storm"];
/// What stands behind the shortest P90 of a route.
const MARK: &str = "*";

/// The year in 40 lines for two routes; [`super::season_text`] says all.
pub fn season_summary(season: &Season, screen: Screen) -> String {
    let days = days_tried(season).join(" and ");
    let mut parts = vec![short_heading(
        &season.voyage,
        &format!("leaving between {days}"),
    )];
    parts.push(wrap(&verdict(season), ""));
    let keeping = keeping_sentences(season);
    if !keeping.is_empty() {
        let lines: Vec<String> = keeping.iter().map(|line| wrap(line, "  ")).collect();
        parts.push(lines.join("\n"));
    }
    parts.push(windows(season));
    parts.extend(months(season, screen));
    parts.push(wrap(LEGEND, ""));
    parts.extend(season.noticed().said_of_land());
    parts.push(wrap(CAUTION, ""));
    parts.join("\n\n") + "\n"
}

/// What the columns are.
const LEGEND: &str = "Means by the month of departure: P90, the days that 10 % of passages exceed; \
     Gale, the chance of 34 kn or more for six hours on end; Storm, the chance of a tropical storm \
     centre within 200 nm.";

/// When to leave, by which route where there are several.
fn verdict(season: &Season) -> String {
    let Some((route, window)) = season.best() else {
        return "In every thirty days of the year there is a departure on which 10 % of passages or \
                more do not arrive, on every route."
            .to_owned();
    };
    let leave = if season.routes.len() > 1 {
        format!("Best on time: {}, leaving", route.name)
    } else {
        "Best on time: leave".to_owned()
    };
    let chance = percent_met(window.storm_chance);
    let storms = if window.storm_chance <= season.most_storm_chance {
        format!("The chance of a tropical storm on the way is then {chance} at most.")
    } else {
        format!(
            "But the chance of a tropical storm on the way is then up to {chance}, and no thirty days \
             have less."
        )
    };
    format!(
        "{leave} between {} and {}. Nine passages in ten then take {:.1} days or less, against {:.1} in \
         the worst thirty days. {storms}",
        date(window.first),
        date(window.last),
        window.days_p90,
        window.worst_days_p90
    )
}

/// The window of each route, and how it is chosen.
fn windows(season: &Season) -> String {
    let heading = heads(&[
        "When to leave",
        "from",
        "to",
        "P90",
        "worst",
        "Gale",
        "Storm",
    ]);
    let routes = season.routes.iter();
    let row = |(route, window): (&SeasonRoute, &Window)| {
        vec![
            route.name.clone(),
            date(window.first),
            date(window.last),
            format!("{:.1}", window.days_p90),
            format!("{:.1}", window.worst_days_p90),
            percent(window.gale_6h),
            percent_met(window.storm_chance),
        ]
    };
    let found = routes.clone();
    let found = found.filter_map(|route| Some((route, route.window.as_ref()?)));
    let rows: Vec<Vec<String>> = found.map(row).collect();
    let mut lines = Vec::new();
    if !rows.is_empty() {
        lines.push(layout(&heading, &rows, 1));
    }
    let without = routes.filter(|route| route.window.is_none());
    lines.extend(without.map(|route| {
        let said = window_sentence(route, season.most_storm_chance);
        wrap(&said, "  ")
    }));
    if !rows.is_empty() {
        lines.push(wrap(&window_rule(season.most_storm_chance), ""));
    }
    lines.join("\n")
}

/// The months, as many routes side by side as the screen holds.
fn months(season: &Season, screen: Screen) -> Vec<String> {
    let month_names = season.routes.iter().flat_map(|route| &route.months);
    let label = month_names.map(|month| width(month.month.name()));
    let table = SideBySide {
        routes: season
            .routes
            .iter()
            .map(|route| route.name.as_str())
            .collect(),
        longest_name: LONGEST_NAME,
        figures: FIGURES,
        behind_first: &" ".repeat(MARK.len()),
        corner: LEAVING,
        label: label.chain([width(LEAVING)]).max().unwrap_or(0),
        least: [5 + MARK.len(), 8, 6, 6],
    };
    table.tables(screen, |shown| {
        let routes = &season.routes[shown];
        let count = routes.iter().map(|route| route.months.len()).max();
        let row = |index: usize| {
            let month = routes.iter().find_map(|route| route.months.get(index));
            let name = month.map_or("", |month| month.month.name());
            let cells = routes
                .iter()
                .flat_map(|route| figures(&route.months, index));
            std::iter::once(name.to_owned()).chain(cells).collect()
        };
        (0..count.unwrap_or(0)).map(row).collect()
    })
}

/// What heads the months.
const LEAVING: &str = "* shortest";

/// A month's figures, the shortest P90 of all months marked.
fn figures(months: &[MonthOfDeparture], index: usize) -> Vec<String> {
    let Some(month) = months.get(index) else {
        return vec![String::new(); FIGURES.len()];
    };
    let written = |days: Option<f64>| days.map(|days| format!("{days:.1}"));
    let shortest = months.iter().filter_map(|month| month.days_p90);
    let shortest = written(shortest.min_by(f64::total_cmp));
    let p90 = written(month.days_p90);
    let mark = if p90.is_some() && p90 == shortest {
        MARK.to_owned()
    } else {
        " ".repeat(MARK.len())
    };
    vec![
        format!("{}{mark}", p90.unwrap_or("none".to_owned())),
        percent(month.headwind),
        percent(month.gale_6h),
        month.storm_chance.map_or(String::new(), percent_met),
    ]
}
