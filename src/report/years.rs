//! The voyage in each real year, for a terminal on one screen, and as CSV.

use super::csv::{optional, written};
use super::notes::AboutRoutes as _;
use super::side_by_side::{COUNT, SideBySide};
use super::summary::short_heading;
use super::table::{Screen, layout, width, wrap};
use super::wording::{date, grouped, heads, number, percent};
use crate::climate::Month;
use crate::route::spreadsheet_text;
use crate::study::{DaysOfYear, RealYear, RealYears, YearsOfRoute};

/// The longest name that stands over one of a route's columns.
const LONGEST_NAME: usize = 6;
/// The figures of a year on a route.
const FIGURES: [&str; COUNT] = ["median", "P10-P90", "Headwind", "Gale"];
/// What stands behind the median of a bad year.
pub(super) const MARK: &str = "!";
/// More years than this are not all shown on one screen: the shortest and the longest of them are.
const MOST_YEARS: usize = 11;

/// The years in 40 lines for two routes and the years in the program.
pub fn years_text(years: &RealYears, screen: Screen) -> String {
    let when = format!("leaving on {} of each year", day_and_month(years));
    let mut parts = vec![short_heading(&years.voyage, &when)];
    if years.years.is_empty() {
        parts.push(wrap("No year has winds in all its months.", ""));
    } else {
        let said: Vec<String> = years.routes.iter().filter_map(answer).collect();
        parts.push(wrap(&said.join(" "), ""));
        parts.push(spreads(years));
        parts.extend(tables(years, screen));
    }
    parts.extend(not_all(years).map(|said| wrap(&said, "")));
    parts.push(wrap(&about(years), ""));
    parts.extend(years.noticed().said_of_land());
    parts.push(wrap(CAUTION, ""));
    parts.join("\n\n") + "\n"
}

/// What the years are, and are not.
const CAUTION: &str = "A planning aid from past winds, not a forecast. The years do not widen the spread of \
     `offing compare`, and differ by more than is shown: those in the program lack what all of a latitude \
     does together, and gales here come from mean winds alone. Ice, squalls and storms are left out. Check \
     official pilot charts, warnings and local rules; the skipper decides.";

fn day_and_month(years: &RealYears) -> String {
    let day = date(years.voyage.departure);
    match day.rsplit_once(' ') {
        Some((day, _)) => day.to_owned(),
        None => day,
    }
}

/// What the years make of a route, in a sentence.
pub(super) fn answer(route: &YearsOfRoute) -> Option<String> {
    let [shortest, longest] = route.extremes()?;
    let days = |year: &RealYear| format!("{:.1}", year.passages.p50.unwrap_or(f64::NAN));
    let range = format!(
        "{}: the median is {} days in {} and {} in {}",
        route.name,
        days(shortest),
        shortest.year,
        days(longest),
        longest.year
    );
    Some(match (route.between_years_days, route.within_year_days) {
        (Some(between), Some(within)) => format!(
            "{range}; years differ by a standard deviation of {between:.1} days, passages within one year \
             by {within:.1}, the boat's own speed included."
        ),
        _ => format!("{range}."),
    })
}

/// The spread between the years beside that within one, a line a route.
fn spreads(years: &RealYears) -> String {
    let heading = heads(&[
        "Days",
        "average",
        "between years",
        "within a year",
        "bad years",
    ]);
    let rows = years.routes.iter().map(spread_row);
    let rows: Vec<Vec<String>> = rows.collect();
    layout(&heading, &rows, 1)
}

fn spread_row(route: &YearsOfRoute) -> Vec<String> {
    let figure = |days: Option<f64>| days.map_or("none".to_owned(), |days| format!("{days:.1}"));
    vec![
        route.name.clone(),
        figure(route.average.p50),
        figure(route.between_years_days),
        figure(route.within_year_days),
        bad_years(route),
    ]
}

/// The worst of the bad years, and how many more there are.
fn bad_years(route: &YearsOfRoute) -> String {
    const NAMED: usize = 4;
    let (named, more) = route.bad_years.split_at(route.bad_years.len().min(NAMED));
    let named: Vec<String> = named.iter().map(i64::to_string).collect();
    match (named.is_empty(), more.len()) {
        (true, _) => "none".to_owned(),
        (_, 0) => named.join(", "),
        (_, more) => format!("{} and {more} more", named.join(", ")),
    }
}

/// The years, as many routes side by side as the screen holds.
fn tables(years: &RealYears, screen: Screen) -> Vec<String> {
    let table = SideBySide {
        routes: years
            .routes
            .iter()
            .map(|route| route.name.as_str())
            .collect(),
        longest_name: LONGEST_NAME,
        figures: FIGURES,
        behind_first: "",
        corner: "",
        label: width(AVERAGE),
        least: [LONGEST_NAME, 9, 8, 5],
    };
    let places = shown(years);
    table.tables(screen, |shown| {
        let routes = &years.routes[shown];
        let average = routes.iter().flat_map(|route| cells(&route.average, false));
        let mut rows = vec![std::iter::once(AVERAGE.to_owned()).chain(average).collect()];
        rows.extend(places.iter().map(|&index| {
            let cells = routes.iter().flat_map(|route| {
                let year = &route.years[index];
                cells(&year.passages, route.bad_years.contains(&year.year))
            });
            let name = years.years[index].to_string();
            std::iter::once(name).chain(cells).collect::<Vec<_>>()
        }));
        rows
    })
}

/// The row of the average winds.
pub(super) const AVERAGE: &str = "average";

/// The places of the years that are shown: all, or those with the longest and the shortest medians of the
/// first route.
fn shown(years: &RealYears) -> Vec<usize> {
    let mut places: Vec<usize> = (0..years.years.len()).collect();
    if let Some(route) = years.routes.first().filter(|_| places.len() > MOST_YEARS) {
        let days = |place: &usize| route.years[*place].passages.p50.unwrap_or(f64::INFINITY);
        places.sort_by(|a, b| days(b).total_cmp(&days(a)));
        let shortest = places.split_off(places.len() - MOST_YEARS / 2);
        places.truncate(MOST_YEARS - shortest.len());
        places.extend(shortest);
        places.sort_unstable();
    }
    places
}

fn cells(passages: &DaysOfYear, is_bad: bool) -> [String; COUNT] {
    let days = |days: Option<f64>| days.map_or("none".to_owned(), |days| format!("{days:.1}"));
    let mark = if is_bad { MARK } else { " " };
    [
        format!("{}{mark}", days(passages.p50)),
        format!("{}-{}", days(passages.p10), days(passages.p90)),
        percent(passages.headwind),
        percent(passages.gale),
    ]
}

/// That there are more years than are shown.
fn not_all(years: &RealYears) -> Option<String> {
    let count = years.years.len();
    (count > MOST_YEARS).then(|| {
        format!(
            "Of {count} years those with the longest and the shortest medians are shown; `--json` and \
             `--csv` have all."
        )
    })
}

/// How the figures came about.
pub(super) fn about(years: &RealYears) -> String {
    let mut said = vec![format!(
        "{} passages a year and route, seed {}: the weather about the mean and the boats are the same in \
         each year, so that only the mean winds differ ({}). {MARK}: the median is more than a standard \
         deviation of the medians above their mean.",
        grouped(years.simulated.members as f64),
        years.simulated.seed,
        years.label
    )];
    said.extend(left_out(years));
    said.extend(in_average_winds(years));
    said.join(" ")
}

/// The years that were not sailed.
fn left_out(years: &RealYears) -> Option<String> {
    let names: Vec<String> = years.left_out.iter().map(i64::to_string).collect();
    let verb = if names.len() == 1 { "is" } else { "are" };
    (!names.is_empty()).then(|| {
        format!(
            "{} {verb} left out, for want of winds in some months.",
            names.join(", ")
        )
    })
}

/// The years of which a part is sailed in average winds.
fn in_average_winds(years: &RealYears) -> Option<String> {
    let partly = |place: &usize| {
        let of_routes = years.routes.iter().map(|route| &route.years[*place]);
        let months = of_routes.max_by_key(|year| year.average_months.len())?;
        (!months.average_months.is_empty()).then_some(months)
    };
    let places = 0..years.years.len();
    let named: Vec<String> = places
        .filter_map(|place| partly(&place))
        .map(|year| {
            let months: Vec<&str> = year
                .average_months
                .iter()
                .map(|month| month.name())
                .collect();
            format!("{} ({})", year.year, months.join(", "))
        })
        .collect();
    (!named.is_empty()).then(|| {
        format!(
            "Average winds blow where the year before or after is not there: {}.",
            named.join("; ")
        )
    })
}

/// The years, a row a year and route; the year 'average' is that of average winds.
pub fn years_csv(years: &RealYears) -> String {
    let heading = heads(&[
        "year",
        "route",
        "days_p10",
        "days_p50",
        "days_p90",
        "headwind_share",
        "gale_share",
        "bad_year",
        "average_months",
    ]);
    let row = |year: &str, route: &YearsOfRoute, passages: &DaysOfYear, ends: [String; 2]| {
        let mut row = vec![year.to_owned(), spreadsheet_text(&route.name)];
        row.extend([passages.p10, passages.p50, passages.p90].map(optional));
        row.extend([passages.headwind, passages.gale].map(number));
        row.extend(ends);
        row
    };
    let rows = years.routes.iter().flat_map(|route| {
        let average = row(
            AVERAGE,
            route,
            &route.average,
            [String::new(), String::new()],
        );
        let of_years = route.years.iter().map(move |year| {
            let is_bad = if route.bad_years.contains(&year.year) {
                "yes"
            } else {
                "no"
            };
            let months = year
                .average_months
                .iter()
                .map(|month: &Month| month.number().to_string());
            let months: Vec<String> = months.collect();
            let ends = [is_bad.to_owned(), months.join(" ")];
            row(&year.year.to_string(), route, &year.passages, ends)
        });
        std::iter::once(average).chain(of_years).collect::<Vec<_>>()
    });
    written(&heading, rows)
}

/// The spread between years beside that within one, a line a route: for the whole comparison.
pub(super) fn years_section(years: &RealYears) -> String {
    let title = format!("Real years ({}; `offing years` shows each)", years.label);
    let note = "Standard deviations in days, of the years' medians and within one year: the spread above is \
                within an average season, and the years do not widen it.";
    format!(
        "{}\n{}\n{}",
        wrap(&title, ""),
        spreads(years),
        wrap(note, "")
    )
}
