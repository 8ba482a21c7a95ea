//! What waiting for weather does, for a terminal.

use super::table::{layout, wrap};
use super::wording::{grouped, heads, per_cent, percent, short};
use crate::boat::WaitForWeather;
use crate::passage::{StageWaiting, Waiting};
use crate::study::{Comparison, RouteResult};

/// What it does on each route, in a few lines; none where she leaves on the day.
pub(super) fn waiting_lines(comparison: &Comparison) -> Option<String> {
    let crew = comparison.voyage.boat.waiting.as_ref()?;
    let routes = waited(comparison).flat_map(|(route, waiting)| {
        let stages = waiting.stages.iter();
        stages.map(move |stage| {
            let [first, at_once] = [stage.first_days, stage.first_days_at_once];
            format!(
                "{} {} of passages wait, {:.1} days in the mean; beating in 20 kn or more in the first three \
                 days {} instead of {} hours, the change of days at sea is {} in the mean.",
                called(route, waiting, stage),
                percent(stage.waits),
                stage.waited_days_mean,
                short(first.hard_beat_hours),
                short(at_once.hard_beat_hours),
                change(waiting)
            )
        })
    });
    let said: Vec<String> = std::iter::once(asked(crew)).chain(routes).collect();
    Some(wrap(&said.join(" "), ""))
}

/// The whole of it, in two tables and a word on what waiting cannot do; none where she leaves on the day.
pub(super) fn waiting_section(comparison: &Comparison) -> Option<String> {
    let crew = comparison.voyage.boat.waiting.as_ref()?;
    let stages: Vec<Vec<String>> = waited(comparison)
        .flat_map(|(route, waiting)| {
            let stages = waiting.stages.iter();
            stages.map(move |stage| stage_row(called(route, waiting, stage), stage))
        })
        .collect();
    let first_days = heads(&[
        "First three days",
        "Wait",
        "Days",
        "P90",
        "Gave up",
        "Knots",
        "Hard beat, h",
        "Gale",
    ]);
    let whole = heads(&[
        "Whole passage",
        "Days at sea",
        "P90",
        "With harbour",
        "P90",
        "Gale",
        "Change, mean",
    ]);
    let routes: Vec<Vec<String>> = waited(comparison)
        .map(|(route, waiting)| route_row(route, waiting))
        .collect();
    Some(
        [
            wrap(&asked(crew), ""),
            format!(
                "{}\n{}",
                layout(&first_days, &stages, 1),
                layout(&whole, &routes, 1)
            ),
            wrap(WHAT_IT_CANNOT, ""),
        ]
        .join("\n"),
    )
}

/// What the tables are, and what waiting does not change.
const WHAT_IT_CANNOT: &str = "Two figures: waiting / leaving at once, by the same boats in the same winds. \
     Change: of the days at sea, with its standard error. Gave up: left with no fair forecast when the wait was over. Waiting chooses the first days, as well as \
     a forecast knows them. It cannot choose the weather of the third week, and its days count toward the \
     arrival, deadlines and the season.";

fn waited(comparison: &Comparison) -> impl Iterator<Item = (&RouteResult, &Waiting)> {
    let routes = comparison.routes.iter();
    routes.filter_map(|route| Some((route, route.ensemble.waiting.as_ref()?)))
}

/// What the crew asks for.
fn asked(crew: &WaitForWeather) -> String {
    format!(
        "Waiting for weather, up to {} days: for forecasts of {} days with no headwind of {} kn or more and \
         {} % of the usual progress.",
        short(crew.wait_up_to_days()),
        short(crew.forecast_days()),
        short(crew.headwind_below_kn()),
        grouped(100.0 * crew.progress_share())
    )
}

/// A stage's name: that of its route, and where it leaves from if there are several.
fn called(route: &RouteResult, waiting: &Waiting, stage: &StageWaiting) -> String {
    if waiting.stages.len() < 2 {
        return route.name.clone();
    }
    format!("{} from {}", route.name, stage.from)
}

fn stage_row(name: String, stage: &StageWaiting) -> Vec<String> {
    let [first, at_once] = [stage.first_days, stage.first_days_at_once];
    vec![
        name,
        percent(stage.waits),
        format!("{:.1}", stage.waited_days_mean),
        short(stage.waited_days_p90),
        percent(stage.gave_up),
        format!("{:.1} / {:.1}", first.progress_kn, at_once.progress_kn),
        format!(
            "{:.1} / {:.1}",
            first.hard_beat_hours, at_once.hard_beat_hours
        ),
        shares(first.gale_6h, at_once.gale_6h),
    ]
}

fn route_row(route: &RouteResult, waiting: &Waiting) -> Vec<String> {
    let (with, at_once) = (&route.ensemble, &waiting.at_once);
    let days = |days: Option<f64>| days.map_or("none".to_owned(), |days| format!("{days:.1}"));
    let both = |with, at_once| format!("{} / {}", days(with), days(at_once));
    let whole = with.whole_days.unwrap_or(with.days);
    vec![
        route.name.clone(),
        both(with.days.p50, at_once.days.p50),
        both(with.days.p90, at_once.days.p90),
        both(whole.p50, at_once.whole_days.p50),
        both(whole.p90, at_once.whole_days.p90),
        shares(with.chance.gale_6h, at_once.chance.gale_6h),
        change(waiting),
    ]
}

fn shares(with: f64, at_once: f64) -> String {
    format!("{} / {} %", per_cent(with), per_cent(at_once))
}

/// The mean change of the days at sea, with its standard error.
fn change(waiting: &Waiting) -> String {
    match (waiting.sea_days_saved, waiting.sea_days_saved_se) {
        (Some(days), Some(se)) => format!("{:+.2} ({se:.2})", -days),
        (Some(days), None) => format!("{:+.2}", -days),
        _ => "none".to_owned(),
    }
}
