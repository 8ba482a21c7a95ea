//! Departures through the year in full, for a terminal: a table by month, and the best window.

use super::keeping::{has_stages_or_deadlines, keeping_key, keeping_mark, keeping_sentences};
use super::notes::{AboutRoutes, bullets, cautions, voyage_heading};
use super::table::{layout, wrap};
use super::wording::{date, grouped, heads, percent, percent_met};
use crate::passage::Window;
use crate::study::{MonthOfDeparture, Season, SeasonRoute};
use crate::units::TemperatureScale;

/// The width of the bars, in characters.
const BAR: f64 = 10.0;

/// The year as text: a table a route, the best windows, notes and cautions.
pub fn season_text(season: &Season) -> String {
    let mut parts = vec![voyage_heading(&season.voyage)];
    let days = days_tried(season);
    let about = format!(
        "{} departures from {}, {} simulated passages each; means by the month of departure.",
        season.departures.len(),
        days.join(" to "),
        grouped(season.simulated.members as f64)
    );
    parts.push(wrap(&about, ""));
    let routes = season.routes.iter();
    let scale = season.voyage.temperature;
    parts.extend(routes.map(|route| {
        let marked = has_stages_or_deadlines(season, route);
        let months = month_table(&route.months, scale, marked);
        format!("{}\n{months}", wrap(&route.name, ""))
    }));
    let keeping = keeping_sentences(season);
    let key = (!keeping.is_empty()).then(|| format!(" {}", keeping_key(season)));
    parts.push(wrap(&format!("{LONGER}{}", key.unwrap_or_default()), ""));
    let windows: Vec<String> = season
        .routes
        .iter()
        .map(|route| window_sentence(route, season.most_storm_chance))
        .collect();
    parts.push(format!(
        "When to leave\n{}\n{}",
        bullets(&windows),
        wrap(&window_rule(season.most_storm_chance), "")
    ));
    if !keeping.is_empty() {
        parts.push(format!("Deadlines and stages\n{}", bullets(&keeping)));
    }
    parts.extend(season.noticed().under_headings());
    parts.push(cautions(&season.voyage));
    parts.join("\n\n") + "\n"
}

/// What the bars of the table by month are.
const LONGER: &str = "longer: P90 between the route's shortest month (one mark) and its longest (ten). \
     Gale 6 h: the chance of 34 kn or more for six hours on end. Storm: the chance of a tropical storm \
     centre within 200 nm.";

/// How the days to leave in are chosen.
pub(super) fn window_rule(most_storm_chance: f64) -> String {
    format!(
        "The days to leave in are the thirty with the shortest P90 of those in which the chance of a \
         tropical storm centre within 200 nm never exceeds {} (`--max-storm-chance` sets another limit), \
         or those with the least chance where none keep to that.",
        percent(most_storm_chance)
    )
}

/// The first and the last departure tried.
pub(super) fn days_tried(season: &Season) -> Vec<String> {
    let ends = [season.departures.first(), season.departures.last()];
    let ends = ends.into_iter().flatten();
    ends.map(|departure| date(departure.date)).collect()
}

/// A line a month; where `marked` with a mark for what it keeps.
fn month_table(months: &[MonthOfDeparture], scale: TemperatureScale, marked: bool) -> String {
    let slow = || months.iter().filter_map(|month| month.days_p90);
    let shortest = slow().min_by(f64::total_cmp).unwrap_or(0.0);
    let longest = slow().max_by(f64::total_cmp).unwrap_or(0.0);
    let low = format!("{} low", scale.symbol());
    let heading = heads(&[
        "Leaving in",
        "Days, median",
        "P90",
        "longer",
        "Headwind",
        "Gale 6 h",
        &low,
        "Storm",
    ]);
    let mark = |month: &MonthOfDeparture| {
        if marked {
            keeping_mark(month.keeping)
        } else {
            ""
        }
    };
    let rows = months.iter().map(|month| {
        let optional = |value: Option<f64>, digits: usize| {
            value.map_or(String::new(), |value| format!("{value:.digits$}"))
        };
        let p90 = month.days_p90;
        vec![
            format!("{}{}", month.month.name(), mark(month)),
            optional(month.days_p50, 1),
            p90.map_or("none".to_owned(), |days| format!("{days:.1}")),
            p90.map_or(String::new(), |days| bar(days, shortest, longest)),
            percent(month.headwind),
            percent(month.gale_6h),
            optional(month.lowest_air_c.map(|air| scale.convert(air)), 0),
            month.storm_chance.map_or(String::new(), percent_met),
        ]
    });
    layout(&heading, &rows.collect::<Vec<_>>(), 1)
}

/// A bar from one mark, for the shortest, to all of them for the longest.
fn bar(days: f64, shortest: f64, longest: f64) -> String {
    let share = if longest > shortest {
        (days - shortest) / (longest - shortest)
    } else {
        0.0
    };
    let marks = 1 + (share * (BAR - 1.0)).round() as usize;
    format!("{:<width$}", "=".repeat(marks), width = BAR as usize)
}

/// The best thirty days to leave on a route, in a sentence, with what chance of a storm was allowed.
pub(super) fn window_sentence(route: &SeasonRoute, most_storm_chance: f64) -> String {
    match &route.window {
        Some(window) => window_words(window, &route.name, most_storm_chance),
        None => format!(
            "{}: in every thirty days there is a departure on which 10 % of passages or more do not \
             arrive.",
            route.name
        ),
    }
}

fn window_words(window: &Window, name: &str, most_storm_chance: f64) -> String {
    let chance = percent_met(window.storm_chance);
    let storms = if window.storm_chance <= most_storm_chance {
        format!("and that of a tropical storm centre within 200 nm {chance} at most")
    } else {
        format!(
            "but that of a tropical storm centre within 200 nm is up to {chance}: no thirty days \
             of the year keep it to {}, and none has less",
            percent(most_storm_chance)
        )
    };
    format!(
        "{name}: leave between {} and {}. P90 is then {:.1} days, against {:.1} in the worst thirty \
         days of the year; the chance of a gale of 6 hours is {}, {storms}.",
        date(window.first),
        date(window.last),
        window.days_p90,
        window.worst_days_p90,
        percent(window.gale_6h)
    )
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    #[test]
    fn a_window_says_its_chance_of_a_storm_and_whether_that_is_kept_to() {
        let words = |storm_chance| {
            let window = Window {
                first: date(2027, 6, 1),
                last: date(2027, 6, 30),
                days_p90: 50.0,
                worst_days_p90: 60.0,
                gale_6h: 0.2,
                storm_chance,
            };
            window_words(&window, "Trades", 0.05)
        };
        assert!(words(0.0).contains("within 200 nm 0.0 % at most"));
        assert!(words(0.0001).contains("within 200 nm <0.1 % at most"));
        let much = words(0.3);
        assert!(
            much.contains("is up to 30 %") && much.contains("keep it to 5.0 %"),
            "{much}"
        );
    }
}
