//! A year of several passages, for a terminal and as CSV: which way on which day, stage by stage.

use super::csv::{optional, written};
use super::notes::{AboutRoutes, bullets, cautions, voyage_heading};
use super::summary::{CAUTION, short_heading};
use super::table::{layout, wrap};
use super::wording::{date, grouped, heads, number, percent, percent_met};
use crate::route::{Goods, spreadsheet_text};
use crate::study::{FailingStage, Obstacle, PLAN_MONTHS, Plan, PlanStage, StageChoice, YearPlan};

/// The plans on one screen.
pub fn plan_summary(plan: &YearPlan) -> String {
    let mut parts = vec![short_heading(&plan.voyage, &tried(plan))];
    parts.extend(body(plan));
    parts.extend(plan.noticed().said_of_land());
    parts.push(wrap(CAUTION, ""));
    parts.join("\n\n") + "\n"
}

/// The plans, with the stages as they were read, notes and cautions.
pub fn plan_text(plan: &YearPlan) -> String {
    let mut parts = vec![voyage_heading(&plan.voyage), wrap(&made_from(plan), "")];
    parts.extend(body(plan));
    let stages = plan.stages.iter().map(stage_words);
    let stages: Vec<String> = stages.collect();
    parts.push(format!("The stages\n{}", bullets(&stages)));
    parts.extend(plan.noticed().under_headings());
    parts.push(cautions(&plan.voyage));
    parts.join("\n\n") + "\n"
}

fn tried(plan: &YearPlan) -> String {
    format!(
        "leaving between {} and {}",
        date(plan.first),
        date(plan.last)
    )
}

/// From what the plans were made.
fn made_from(plan: &YearPlan) -> String {
    let ways = plan.stages.iter().flat_map(|stage| &stage.ways);
    let departures: usize = ways.map(|way| way.departures.len()).sum();
    format!(
        "{} departures of all ways together, from {} to {}, {} simulated passages each.",
        grouped(departures as f64),
        date(plan.first),
        date(plan.last),
        grouped(plan.simulated.members as f64)
    )
}

/// The verdict, the plans and what their columns are; why there is no plan where there is none.
fn body(plan: &YearPlan) -> Vec<String> {
    let [Some(by_time), Some(by_hardship)] = [&plan.by_time, &plan.by_hardship] else {
        return plan_fails(plan)
            .map(|words| wrap(&words, ""))
            .into_iter()
            .collect();
    };
    let mut parts = vec![format!(
        "{}\n{}",
        wrap(&time_words(by_time), ""),
        table(by_time)
    )];
    if by_time.stages == by_hardship.stages {
        parts.push(wrap(&hardship_words(plan, by_hardship), ""));
    } else {
        parts.push(format!(
            "{}\n{}",
            wrap(&hardship_words(plan, by_hardship), ""),
            table(by_hardship)
        ));
    }
    let stormy = storm_words(plan).into_iter();
    parts.extend(stormy.map(|words| wrap(&words, "")));
    parts.extend(harbour_words(plan).map(|words| wrap(&words, "")));
    parts.push(wrap(&legend(plan), ""));
    parts
}

/// What the quickest plan comes to.
pub(super) fn time_words(plan: &Plan) -> String {
    format!(
        "By time: {:.1} days at sea, {:.0} hours of hardship, ending {}.",
        plan.days_at_sea,
        plan.hard_hours,
        date(plan.ends)
    )
}

/// What the gentlest plan comes to, or that it is the quickest.
pub(super) fn hardship_words(year: &YearPlan, plan: &Plan) -> String {
    let same = year
        .by_time
        .as_ref()
        .is_some_and(|other| other.stages == plan.stages);
    if same {
        return "By hardship: the same plan.".to_owned();
    }
    format!(
        "By hardship: {:.0} hours of it, {:.1} days at sea, ending {}.",
        plan.hard_hours,
        plan.days_at_sea,
        date(plan.ends)
    )
}

/// What the columns and measures are.
pub(super) fn legend(plan: &YearPlan) -> String {
    format!(
        "Arrive: the median, then the day by which 90 % have; each stage waits for that day and its \
         least stay. Harbour: days from the median arrival. Gale: 34 kn or more for six hours on end. \
         Storm: a tropical storm centre within 200 nm, {} at most where there is such a plan. Margin: \
         days from P90 to the end of the deadline; every deadline is kept in nine cases of ten. \
         Hardship: mean hours of beating in 20 kn or more plus mean hours of gale.",
        percent(plan.most_storm_chance)
    )
}

/// Which stages of either plan exceed the chance of a storm, though no plan has less in sum; said once where
/// both have the same.
pub(super) fn storm_words(year: &YearPlan) -> Vec<String> {
    let plans = [&year.by_time, &year.by_hardship].into_iter().flatten();
    let mut said: Vec<String> = plans
        .filter_map(|plan| storms_of_plan(year.most_storm_chance, plan))
        .collect();
    said.dedup();
    said
}

fn storms_of_plan(limit: f64, plan: &Plan) -> Option<String> {
    let beyond = plan.stages.iter().filter_map(|stage| {
        let chance = stage.sailed.storm_chance.filter(|chance| *chance > limit)?;
        Some(format!("{} ({})", stage.stage, percent(chance)))
    });
    let beyond: Vec<String> = beyond.collect();
    (!beyond.is_empty()).then(|| {
        format!(
            "WARNING: no plan keeps every stage's chance of a tropical storm to {}; these exceed it by \
             least: {}.",
            percent(limit),
            beyond.join(", ")
        )
    })
}

/// In which harbours a storm is to be reckoned with, in either plan; none where there is none.
pub(super) fn harbour_words(year: &YearPlan) -> Option<String> {
    let limit = year.most_storm_chance;
    let plans = [("time", &year.by_time), ("hardship", &year.by_hardship)];
    let mut told: Vec<String> = Vec::new();
    for (by, plan) in plans {
        let stages = plan.iter().flat_map(|plan| &plan.stages).enumerate();
        for (number, stage) in stages {
            let chance = stage.harbour_storm_chance.filter(|chance| *chance > limit);
            if let (Some(chance), Some(read)) = (chance, year.stages.get(number)) {
                told.push(format!(
                    "{} in the plan by {by} ({})",
                    read.to,
                    percent(chance)
                ));
            }
        }
    }
    (!told.is_empty()).then(|| {
        format!(
            "WARNING: in harbour too the chance of a tropical storm within 200 nm exceeds {}: {}. The \
             plans do not weigh that; `leave_after` and `arrive_by` keep her away.",
            percent(limit),
            told.join(", ")
        )
    })
}

/// Why there is no plan; none where there is one.
pub(super) fn plan_fails(plan: &YearPlan) -> Option<String> {
    let fails = plan.fails.as_ref()?;
    let FailingStage {
        stage, why, ready, ..
    } = fails;
    Some(match (why, &fails.missed) {
        (Obstacle::Deadline, Some(missed)) => format!(
            "No plan: stage '{stage}' is not at {} by {} in nine cases of ten, whichever way and \
             whenever she leaves. She is ready for it on {} at the earliest; leaving {} comes nearest, \
             with a chance of {} to be late.",
            missed.at,
            date(missed.by),
            date(*ready),
            date(missed.departure),
            percent(missed.chance)
        ),
        (Obstacle::NoDepartureLeft, _) => {
            let more = if f64::from(plan.months) < PLAN_MONTHS.max {
                format!("; `--months {:.0}` tries more", PLAN_MONTHS.max)
            } else {
                String::new()
            };
            format!(
                "No plan: she is ready for stage '{stage}' on {} at the earliest, and the last departure \
                 tried is {}{more}.",
                date(*ready),
                date(plan.last)
            )
        }
        _ => format!(
            "No plan: on stage '{stage}' 10 % of passages or more do not arrive, whichever way and \
             whenever she leaves from {} on.",
            date(*ready)
        ),
    })
}

/// The columns of a plan's table.
pub(super) const COLUMNS: [&str; 8] = [
    "Stage: way",
    "Leave",
    "Arrive",
    "P90",
    "Harbour",
    "Storm",
    "Gale",
    "Margin",
];

fn table(plan: &Plan) -> String {
    layout(&heads(&COLUMNS), &rows(plan), 1)
}

/// A plan's rows, a stage each.
pub(super) fn rows(plan: &Plan) -> Vec<Vec<String>> {
    plan.stages.iter().map(row).collect()
}

fn row(stage: &PlanStage) -> Vec<String> {
    let sailed = &stage.sailed;
    // The year stands in the departure.
    let day = |day: Option<jiff::civil::Date>| {
        day.map_or("none".to_owned(), |day| day.strftime("%-d %b").to_string())
    };
    vec![
        format!("{}: {}", stage.stage, stage.way),
        date(sailed.departure),
        day(sailed.arrival_p50),
        day(sailed.arrival_p90),
        stage
            .in_harbour_days
            .map_or(String::new(), |days| format!("{days:.0}")),
        sailed.storm_chance.map_or(String::new(), percent_met),
        percent(sailed.gale_6h),
        sailed
            .margin_days_p90
            .map_or(String::new(), |days| format!("{days:.1}")),
    ]
}

/// A stage as it was read.
fn stage_words(stage: &StageChoice) -> String {
    let ways = stage.ways.iter();
    let ways: Vec<String> = ways
        .map(|way| {
            let storms: Vec<&str> = way.storm_months.iter().map(|month| month.name()).collect();
            let storms = if storms.is_empty() {
                "no storm season".to_owned()
            } else {
                format!("storm season {}", storms.join(", "))
            };
            format!("{} ({} nm, {storms})", way.name, grouped(way.distance_nm))
        })
        .collect();
    let mut words = format!(
        "{}: {} to {}, by {}",
        stage.name,
        stage.from,
        stage.to,
        ways.join(" or ")
    );
    if stage.stay_days > 0.0 {
        words += &format!("; then {:.1} days or more in harbour", stage.stay_days);
    }
    if let Some(day) = stage.leave_after {
        words += &format!("; leaving no earlier than {}", date(day));
    }
    if let Some(day) = stage.arrive_by {
        words += &format!("; there by {}", date(day));
    }
    if !stage.resupply.is_empty() {
        let goods: Vec<&str> = stage
            .resupply
            .iter()
            .map(|goods| goods_name(*goods))
            .collect();
        words += &format!("; to be had there: {}", goods.join(", "));
    }
    words + "."
}

fn goods_name(goods: Goods) -> &'static str {
    match goods {
        Goods::Water => "water",
        Goods::Diesel => "diesel",
        Goods::FreshFood => "fresh food",
        Goods::All => "all",
    }
}

/// All that was tried, a row a stage, way and departure; the plans' rows are marked.
pub fn plan_csv(plan: &YearPlan) -> String {
    let heading = heads(&[
        "stage",
        "way",
        "departure",
        "days_p50",
        "days_p90",
        "arrival_p50",
        "arrival_p90",
        "ready",
        "storm_chance",
        "gale_6h_chance",
        "hard_hours",
        "late_chance",
        "margin_days_p90",
        "plan",
    ]);
    let rows = plan.stages.iter().enumerate().flat_map(|(place, stage)| {
        stage.ways.iter().flat_map(move |way| {
            way.departures.iter().map(move |sailed| {
                let of = |one: &Option<Plan>| {
                    let taken = one.as_ref().and_then(|one| one.stages.get(place));
                    taken.is_some_and(|taken| {
                        taken.way == way.name && taken.sailed.departure == sailed.departure
                    })
                };
                let plans = match [of(&plan.by_time), of(&plan.by_hardship)] {
                    [true, true] => "time and hardship",
                    [true, false] => "time",
                    [false, true] => "hardship",
                    [false, false] => "",
                };
                let day = |day: Option<jiff::civil::Date>| {
                    day.map_or(String::new(), |day| day.to_string())
                };
                vec![
                    spreadsheet_text(&stage.name),
                    spreadsheet_text(&way.name),
                    sailed.departure.to_string(),
                    optional(sailed.days_p50),
                    optional(sailed.days_p90),
                    day(sailed.arrival_p50),
                    day(sailed.arrival_p90),
                    day(sailed.ready),
                    optional(sailed.storm_chance),
                    number(sailed.gale_6h),
                    number(sailed.hard_hours),
                    optional(sailed.late_chance),
                    optional(sailed.margin_days_p90),
                    plans.to_owned(),
                ]
            })
        })
    });
    written(&heading, rows)
}
