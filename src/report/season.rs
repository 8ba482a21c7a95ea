//! Departures through the year, for a terminal: a table by month, and the best window.

use super::comparison::{bullets, cautions, voyage_heading};
use super::notes::about_the_voyage;
use super::table::{layout, wrap};
use super::wording::{date, grouped, percent, percent_met};
use crate::climate::{Climate, Month};
use crate::passage::{Departure, SeasonPassage, Window, best_window};
use crate::route::LandCheck;
use crate::voyage::Voyage;

/// The width of the bars, in characters.
const BAR: f64 = 10.0;

/// A year of departures, with the voyage and the winds they are for.
#[derive(Debug, Clone, Copy)]
pub struct Year<'a> {
    /// The voyage.
    pub voyage: &'a Voyage,
    /// The winds used.
    pub climate: &'a Climate,
    /// What of each route lies on land, in the voyage's order.
    pub land: &'a [LandCheck],
    /// The departures, in the order of the year.
    pub departures: &'a [Departure],
}

/// The year as text: a table a route, the best windows, notes and cautions.
pub fn season_text(year: &Year<'_>) -> String {
    let Year {
        voyage,
        climate,
        land,
        departures,
    } = *year;
    let mut parts = vec![voyage_heading(voyage, climate)];
    if let Some(spread) = departures.first().and_then(|first| first.routes.first()) {
        parts.push(wrap(
            &format!(
                "{} departures in {}, {} passages each; means by the month of departure.",
                departures.len(),
                voyage.departure.year(),
                grouped(spread.ensemble.members as f64)
            ),
            "",
        ));
    }
    for (index, route) in voyage.routes.iter().enumerate() {
        parts.push(format!(
            "{}\n{}",
            route.name(),
            month_table(departures, index)
        ));
    }
    let windows: Vec<String> = voyage
        .routes
        .iter()
        .enumerate()
        .map(|(index, route)| window_sentence(departures, index, route.name()))
        .collect();
    parts.push(format!("When to leave\n{}", bullets(&windows)));
    parts.extend(about_the_voyage(voyage, climate, land));
    parts.push(cautions());
    parts.join("\n\n") + "\n"
}

/// What a month's departures bring on one route, on average.
struct MonthMeans {
    month: Month,
    days_p50: Option<f64>,
    days_p90: Option<f64>,
    headwind: f64,
    gale_6h: f64,
    lowest_c: Option<f64>,
    cyclone_season: Option<f64>,
}

fn month_means(departures: &[Departure], route: usize, month: Month) -> Option<MonthMeans> {
    let passages: Vec<&SeasonPassage> = departures
        .iter()
        .filter(|departure| departure.date.month().unsigned_abs() == month.number())
        .map(|departure| &departure.routes[route])
        .collect();
    let count = passages.len() as f64;
    // One departure without a figure leaves the month without it.
    let mean = |figure: &dyn Fn(&SeasonPassage) -> Option<f64>| {
        let figures: Option<Vec<f64>> = passages.iter().map(|passage| figure(passage)).collect();
        Some(figures?.iter().sum::<f64>() / count)
    };
    let lowest = passages
        .iter()
        .filter_map(|passage| passage.air_temperature_c);
    Some(MonthMeans {
        month,
        days_p50: mean(&|passage| passage.ensemble.days_at(0.5)),
        days_p90: mean(&|passage| passage.ensemble.days_at(0.9)),
        headwind: mean(&|passage| Some(passage.exposure.headwind))?,
        gale_6h: mean(&|passage| Some(passage.ensemble.chance.gale_6h))?,
        lowest_c: lowest.map(|air| air.lowest).min_by(f64::total_cmp),
        cyclone_season: mean(&|passage| passage.ensemble.cyclone_share()),
    })
    .filter(|_| !passages.is_empty())
}

fn month_table(departures: &[Departure], route: usize) -> String {
    let months: Vec<MonthMeans> = Month::ALL
        .into_iter()
        .filter_map(|month| month_means(departures, route, month))
        .collect();
    let bad_cases = || months.iter().filter_map(|month| month.days_p90);
    let shortest = bad_cases().min_by(f64::total_cmp).unwrap_or(0.0);
    let longest = bad_cases().max_by(f64::total_cmp).unwrap_or(0.0);
    let heading = [
        "Leaving in",
        "Days, 50 %",
        "90 %",
        "longer",
        "Headwind",
        "Gale 6 h",
        "°C low",
        "Cyclones",
    ];
    let rows: Vec<Vec<String>> = months
        .iter()
        .map(|month| {
            let optional = |value: Option<f64>, digits: usize| {
                value.map_or(String::new(), |value| format!("{value:.digits$}"))
            };
            vec![
                month.month.name().to_owned(),
                optional(month.days_p50, 1),
                month
                    .days_p90
                    .map_or("none".to_owned(), |days| format!("{days:.1}")),
                month
                    .days_p90
                    .map_or(String::new(), |days| bar(days, shortest, longest)),
                percent(month.headwind),
                percent(month.gale_6h),
                optional(month.lowest_c, 0),
                match month.cyclone_season {
                    None => String::new(),
                    Some(share) if share <= 0.0 => "-".to_owned(),
                    Some(share) => percent_met(share),
                },
            ]
        })
        .collect();
    layout(&heading.map(str::to_owned), &rows, 1)
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

/// The best thirty days to leave on a route, in a sentence.
pub(super) fn window_sentence(departures: &[Departure], route: usize, name: &str) -> String {
    let Some(window) = best_window(departures, route) else {
        return format!(
            "{name}: in every thirty days some departure has one passage in ten that \
                        does not arrive."
        );
    };
    window_words(&window, name)
}

fn window_words(window: &Window, name: &str) -> String {
    let cyclones = if window.is_clear_of_cyclones() {
        "and it keeps half a month clear of cyclone waters in their season at the pace of the 10, \
         50 and 90 % passages"
            .to_owned()
    } else {
        let but = if window.is_next_to_clear_of_cyclones() {
            "but"
        } else {
            "but no window keeps half a month clear of cyclone waters in their season: in this one"
        };
        format!(
            "{but} up to {} of the time is in cyclone waters in their season, or within half a month \
             of it",
            percent_met(window.near_cyclones)
        )
    };
    format!(
        "{name}: leave between {} and {}. Nine passages in ten then take less than {:.1} days, \
         against {:.1} in the worst thirty days of the year; the chance of a gale of 6 hours is \
         {}, {cyclones}, by basins that are boxes and seasons that are whole months, both from \
         memory: storms stray outside both.",
        date(window.days[0]),
        date(window.days[1]),
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
    fn a_window_is_called_clear_only_where_no_time_at_all_is_near_cyclones() {
        let words = |near_cyclones| {
            let window = Window {
                days: [date(2027, 6, 1), date(2027, 6, 30)],
                days_p90: 50.0,
                worst_days_p90: 60.0,
                gale_6h: 0.2,
                near_cyclones,
            };
            window_words(&window, "Trades")
        };
        assert!(words(0.0).contains("and it keeps half a month clear"));
        let little = words(0.004);
        assert!(little.contains("but up to 0.4 % of the time"), "{little}");
        assert!(words(0.0001).contains("up to <0.1 % of the time"));
        let much = words(0.3);
        assert!(much.contains("no window keeps") && much.contains("up to 30 % of the time"));
    }
}
