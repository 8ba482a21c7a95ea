//! What waiting for weather does, for a terminal.

use super::notes::bullets;
use super::table::{layout, wrap};
use super::wording::{grouped, heads, per_cent, percent, short};
use crate::boat::WaitForWeather;
use crate::passage::{StageWaiting, Waiting};
use crate::study::{Comparison, RouteResult};

/// What it does on each route, in a few lines; none where she leaves on the day.
pub(super) fn waiting_lines(comparison: &Comparison) -> Option<String> {
    let crew = comparison.voyage.boat.waiting.as_ref()?;
    let stages = each_stage(comparison, |name, stage| {
        format!(
            "{name}: {} of passages wait, {:.1} days in the mean; in the first three days {:.1} hours of beating \
             in 20 kn or more instead of {:.1}",
            percent(stage.waits),
            stage.waited_days_mean,
            stage.first_days.hard_beat_hours,
            stage.first_days_at_once.hard_beat_hours,
        )
    });
    Some(format!("{}\n{}", wrap(&asked(crew), ""), bullets(&stages)))
}

/// The whole of it, in two tables and a word on what waiting cannot do; none where she leaves on the day.
pub(super) fn waiting_section(comparison: &Comparison) -> Option<String> {
    let crew = comparison.voyage.boat.waiting.as_ref()?;
    let first_days = heads(&[
        "First days",
        "Wait",
        "Days",
        "P90",
        "Left anyway",
        "Knots",
        "Hard beat, h",
        "Gale",
    ]);
    let stages = each_stage(comparison, stage_row);
    let whole = heads(&[
        "Passage",
        "Days at sea",
        "P90",
        "With harbour",
        "P90",
        "Gale",
    ]);
    let routes: Vec<Vec<String>> = waited(comparison)
        .map(|(route, waiting)| route_row(route, waiting))
        .collect();
    let changes = waited(comparison).filter_map(|(route, waiting)| change(route, waiting));
    let said: Vec<String> = changes.chain([WHAT_IT_CANNOT.to_owned()]).collect();
    Some(
        [
            wrap(&asked(crew), ""),
            layout(&first_days, &stages, 1),
            layout(&whole, &routes, 1),
            wrap(&said.join(" "), ""),
        ]
        .join("\n"),
    )
}

/// What the tables are, and what waiting does not change.
const WHAT_IT_CANNOT: &str = "Two figures: waiting / leaving at once, by the same boats on the same days; \
     first days: the first three. Left anyway: left with no fair forecast when the wait was over. Waiting chooses \
     the first days, as well as a forecast knows them. It cannot choose the weather of the third week; and \
     the days waited count toward arrival and deadlines, and leave the season to move on.";

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

/// What is said of each stage that is waited for, by the name of its route, and where it leaves from if
/// there are several.
fn each_stage<T>(comparison: &Comparison, say: impl Fn(String, &StageWaiting) -> T) -> Vec<T> {
    let mut said = Vec::new();
    for (route, waiting) in waited(comparison) {
        for stage in &waiting.stages {
            let name = match waiting.stages.len() {
                1 => route.name.clone(),
                _ => format!("{} from {}", route.name, stage.from),
            };
            said.push(say(name, stage));
        }
    }
    said
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
    ]
}

fn shares(with: f64, at_once: f64) -> String {
    format!("{} / {} %", per_cent(with), per_cent(at_once))
}

/// The mean change of the days at sea.
fn change(route: &RouteResult, waiting: &Waiting) -> Option<String> {
    let days = waiting.sea_days_saved?;
    let se = waiting.sea_days_saved_se;
    let se = se.map_or(String::new(), |se| format!(" (standard error {se:.2})"));
    Some(format!(
        "{}: {:+.2} days at sea in the mean{se}.",
        route.name, -days
    ))
}
