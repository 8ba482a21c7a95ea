//! A route's list subject by subject, each line with where it comes from.

use super::super::notes::bullets;
use super::super::table::{layout, wrap};
use super::amounts::{figure, in_units, lines_of, with_unit};
use crate::stores::{DENSITY_BASIS, DaysAndLitres, FuelPlan, Keeping, Line, LoadingPlan, Turn};
use crate::units::{OutputUnits, Unit};

/// Every subject that the plan has something to say of; `own_kn` is the voyage's own threshold.
pub(super) fn all(plan: &LoadingPlan, own_kn: Option<f64>) -> Vec<String> {
    let mut parts = vec![section("Days to provide for", &plan.days.lines)];
    match &plan.fuel {
        Some(fuel) => {
            parts.push(section("Diesel", &fuel.lines));
            if !fuel.thresholds.is_empty() {
                parts.push(thresholds(fuel, own_kn, plan.output));
            }
        }
        None => parts.push("Diesel\n  no engine".to_owned()),
    }
    parts.push(section("Water", &plan.water.lines));
    match &plan.power {
        Some(power) => parts.push(section("Power", &power.lines)),
        None => parts.push("Power\n  the voyage says nothing of electricity".to_owned()),
    }
    parts.push(food(plan));
    parts.push(section("Service and spares", &plan.service.lines));
    let questions: Vec<&str> = plan
        .service
        .prompts
        .iter()
        .map(|prompt| prompt.question.as_str())
        .collect();
    parts.push(format!("Questions, not verdicts\n{}", bullets(&questions)));
    parts.push(section("Watches and sleep", &plan.watches.lines));
    if !plan.watches.turns.is_empty() {
        parts.push(watch_table(&plan.watches.turns));
    }
    parts
}

fn section<'a>(title: &str, lines: impl IntoIterator<Item = &'a Line>) -> String {
    let lines = lines.into_iter().map(lines_of);
    std::iter::once(title.to_owned())
        .chain(lines)
        .collect::<Vec<_>>()
        .join("\n")
}

fn thresholds(fuel: &FuelPlan, own_kn: Option<f64>, units: OutputUnits) -> String {
    let heading = [
        "Engine on below",
        "Days 50 %",
        "Diesel 50 %",
        "Days 90 %",
        "Diesel 90 %",
    ];
    let rows: Vec<Vec<String>> = fuel
        .thresholds
        .iter()
        .map(|row| {
            let threshold = row
                .motor_below_kn
                .map_or("never".to_owned(), |kn| with_unit(kn, Unit::Knot));
            let mut cells = vec![if row.motor_below_kn == own_kn {
                format!("{threshold} (this voyage)")
            } else {
                threshold
            }];
            for at in [row.p50, row.p90] {
                cells.extend(match at {
                    Some(DaysAndLitres { days, litres }) => {
                        [figure(days), in_units(litres, Unit::Litre, units)]
                    }
                    None => ["no arrival".to_owned(), String::new()],
                });
            }
            cells
        })
        .collect();
    let note = "Diesel against patience: the same passage with the engine started at another speed \
                made good, and all the diesel it asks for; charging and the arrival's reserve are in \
                it. Fewer passages stand behind this table than behind the list.";
    format!(
        "{}\n{}",
        wrap(note, ""),
        layout(&heading.map(str::to_owned), &rows, 1)
    )
}

/// The food's lines, and its shopping list in the order of use.
fn food(plan: &LoadingPlan) -> String {
    let bought = |line: &Line| {
        plan.food
            .provisions
            .iter()
            .find(|provision| provision.name == line.item && line.unit == weight(plan.output))
    };
    let plain = plan.food.lines.iter().filter(|line| bought(line).is_none());
    let rows: Vec<Vec<String>> = plan
        .food
        .lines
        .iter()
        .filter_map(|line| Some((line, bought(line)?)))
        .map(|(line, provision)| {
            vec![
                line.item.clone(),
                kept(provision.keeping).to_owned(),
                with_unit(line.quantity, line.unit),
                line.rate
                    .map_or(String::new(), |rate| with_unit(rate.value, rate.unit)),
                in_units(provision.stowed_litres, Unit::Litre, plan.output),
                figure(provision.keeps_days),
            ]
        })
        .collect();
    let heading = [
        "To buy",
        "Kept",
        "Amount",
        "A person, a day",
        "Room",
        "Keeps, days",
    ];
    let note = format!(
        "To buy, in the order to use it, over {} days. Fresh and chilled: the share of a day's \
         energy while it keeps, more for what spoils. Dry: its part of all that those do not cover. \
         No-cook: its part of the days of gale, on top. Of the usual kinds the energy is by {}, \
         shares, room and keeping are common practice, no source; of others they are given by the \
         crew.",
        figure(plan.days.food_days),
        DENSITY_BASIS
    );
    format!(
        "{}\n\n{}\n{}",
        section("Food", plain),
        wrap(&note, ""),
        layout(&heading.map(str::to_owned), &rows, 2)
    )
}

fn weight(units: OutputUnits) -> Unit {
    Unit::Kilogram.shown_in(units)
}

fn kept(keeping: Keeping) -> &'static str {
    match keeping {
        Keeping::Fresh => "fresh",
        Keeping::Chilled => "chilled",
        Keeping::Dry => "dry",
        Keeping::NoCook => "no-cook",
    }
}

/// The turns of the cycle, a row a turn and a column a day.
fn watch_table(turns: &[Turn]) -> String {
    let days = turns.iter().map(|turn| turn.day).max().unwrap_or(0);
    let mut heading = vec!["Ship's time".to_owned()];
    heading.extend((1..=days).map(|day| format!("Day {day}")));
    let first: Vec<&Turn> = turns.iter().filter(|turn| turn.day == 1).collect();
    let rows: Vec<Vec<String>> = first
        .iter()
        .enumerate()
        .map(|(index, turn)| {
            let mut row = vec![format!("{:02}-{:02}", turn.from_h, turn.to_h)];
            row.extend((0..days).map(|day| {
                turns
                    .get(day * first.len() + index)
                    .map_or(String::new(), |turn| turn.keeper.clone())
            }));
            row
        })
        .collect();
    let columns = heading.len();
    format!(
        "On watch, then over again; one at a time, whoever comes next on call\n{}",
        layout(&heading, &rows, columns)
    )
}
