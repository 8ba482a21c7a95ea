//! The loading lists as text: the routes side by side, then each route's list, then subject by
//! subject where each figure comes from.

use super::super::compare::spread_note;
use super::super::notes::{AboutRoutes, bullets, cautions, voyage_heading};
use super::super::table::{WIDTH, layout, wrap};
use super::super::wording::heads;
use super::cautions::caution;
use super::figures;
use super::places::{AT_ONE_PLACE, costs_note, costs_section, places_section};
use super::words::{amount, basis, figure, item, kept, per, questions, rule};
use crate::stores::{
    DENSITY_BASIS, DaysAndLitres, FuelPlan, Item, Line, LoadingPlan, RoutePlan, ThresholdTrial,
    TooFewArrive, Turn,
};
use crate::study::Loading;
use crate::units::{OutputUnits, Unit};

/// Read before the figures, since they are about staying alive.
const FIRST: &str = "Minimums, not targets: what a healthy crew would use if the passage went as \
    the simulated passages do. Water, medicine and the state of the boat are not arithmetic. The \
    skipper decides.";

/// Where the amounts end in the list's lines.
const AMOUNTS_END: usize = 62;

/// The loading lists of all routes, every line with its rule and origin.
pub fn loading_text(loading: &Loading) -> String {
    let (boat, units) = (&loading.voyage.boat, loading.voyage.units);
    let mut parts = vec![voyage_heading(&loading.voyage), wrap(FIRST, "")];
    if loading.routes.len() > 1 {
        parts.push(figures::table(loading, true));
    }
    let plans = loading
        .routes
        .iter()
        .filter_map(|route| route.loading.planned());
    let plans: Vec<&LoadingPlan> = plans.collect();
    if plans.iter().any(|plan| plan.staged.is_some()) {
        parts.push(wrap(AT_ONE_PLACE, ""));
    }
    for route in &loading.routes {
        match &route.loading {
            RoutePlan::Planned(plan) => {
                parts.extend(head(plan, units));
                parts.extend(places_section(plan, units));
                parts.extend(costs_section(plan, units));
                parts.extend(subjects(plan, boat.motor_below_kn, units));
            }
            RoutePlan::TooFewArrive(few) => parts.push(too_few(&route.name, few)),
        }
    }
    parts.extend(costs_note(&plans));
    parts.push(wrap(
        &spread_note(&loading.simulated, &loading.voyage.winds),
        "",
    ));
    parts.extend(loading.noticed().under_headings());
    parts.push(cautions(&loading.voyage));
    parts.join("\n\n") + "\n"
}

pub(super) fn too_few(route: &str, few: &TooFewArrive) -> String {
    wrap(
        &format!(
            "{route}: no list. The days of {} % of the passages were asked for, and {:.1} % \
             arrive; ask for fewer, or leave in another season.",
            few.confidence_percent, few.arrived_percent
        ),
        "",
    )
}

/// A route's list, and what to know before acting on it.
fn head(plan: &LoadingPlan, units: OutputUnits) -> [String; 2] {
    let title = format!(
        "{}: to load for {} % of passages",
        plan.route, plan.chosen.percent
    );
    let line = "=".repeat(textwrap::core::display_width(&title).min(80));
    let own = plan.cautions.iter().map(|said| caution(said, units));
    [
        format!("{}\n{line}\n{}", wrap(&title, ""), list(plan, units)),
        format!("Before acting on it\n{}", bullets(&own.collect::<Vec<_>>())),
    ]
}

/// The loading list proper: what, how much, where it goes, and what does not fit.
fn list(plan: &LoadingPlan, units: OutputUnits) -> String {
    let litres = |litres: f64| amount(litres, Unit::Litre, units);
    let kilograms = |kg: f64| amount(kg, Unit::Kilogram, units);
    let short = |short: f64| {
        Some(short)
            .filter(|short| *short > 0.0)
            .map_or(String::new(), litres)
    };
    let mut rows = Vec::new();
    let mut row = |what: &str, amount: String, room: String, short: String| {
        rows.push(vec![what.to_owned(), amount, room, short]);
    };
    if let Some(fuel) = &plan.fuel {
        let least = if fuel.chosen.is_least { "over " } else { "" };
        let diesel = format!("{least}{}", litres(fuel.chosen.to_load_litres));
        let room = format!("tanks and cans give {}", litres(fuel.usable_litres));
        row("Diesel", diesel, room, short(fuel.shortfall_litres));
    }
    let (water, food, none) = (&plan.water, &plan.food, String::new);
    let in_tanks = litres(water.tank_minimum_litres);
    let hold = |stock| format!("they hold {}", litres(stock));
    let hold = water.stock_litres.map_or(String::new(), hold);
    let lacking = short(water.shortfall_litres.unwrap_or(0.0));
    row("Water in tanks and bottles", in_tanks, hold, lacking);
    let (emergency, apart) = (litres(water.emergency_litres), "apart from the tanks");
    row("Emergency water", emergency, apart.to_owned(), none());
    let room = format!("takes {}", litres(food.stowed_litres));
    row("Food for people", kilograms(food.people_kg), room, none());
    if food.pet_kg > 0.0 {
        row("Food for pets", kilograms(food.pet_kg), none(), none());
    }
    for spare in &plan.service.lines {
        let what = format!("Spare: {}", item(spare));
        let quantity = amount(spare.quantity, spare.unit, units);
        row(&what, quantity, none(), none());
    }
    let heading = heads(&["What", "Load", "Room for it", "Does not fit"]);
    let days = format!(
        "{} days at sea, food for {}, water for {}",
        figure(plan.chosen.days),
        figure(plan.days.food_days),
        figure(plan.days.water_days)
    );
    format!("{days}\n\n{}", layout(&heading, &rows, 1))
}

/// Every subject that the plan has something to say of; `own_kn` is the voyage's own threshold.
fn subjects(plan: &LoadingPlan, own_kn: Option<f64>, units: OutputUnits) -> Vec<String> {
    let section = |title: &str, lines: &[Line]| {
        let lines = lines.iter().map(|line| lines_of(line, units));
        let parts = std::iter::once(title.to_owned()).chain(lines);
        parts.collect::<Vec<_>>().join("\n")
    };
    let mut parts = vec![section("Days to provide for", &plan.days.lines)];
    match &plan.fuel {
        Some(fuel) => {
            parts.push(section("Diesel", &fuel.lines));
            if !fuel.thresholds.is_empty() {
                parts.push(thresholds(fuel, own_kn, units));
            }
        }
        None => parts.push("Diesel\n  no engine".to_owned()),
    }
    parts.push(section("Water", &plan.water.lines));
    match &plan.power {
        Some(power) => parts.push(section("Power", &power.lines)),
        None => parts.push("Power\n  the voyage says nothing of electricity".to_owned()),
    }
    parts.push(section("Food", &plan.food.lines));
    parts.push(shopping(plan, units));
    parts.push(section("Service and spares", &plan.service.lines));
    parts.push(format!(
        "Questions, not verdicts\n{}",
        bullets(&questions(plan))
    ));
    parts.push(section("Watches and sleep", &plan.watches.lines));
    if !plan.watches.turns.is_empty() {
        parts.push(watch_table(&plan.watches.turns));
    }
    parts
}

/// A line: what it is and how much, then where that comes from.
fn lines_of(line: &Line, units: OutputUnits) -> String {
    let what = item(line);
    let quantity = match line.item {
        // They are counted, not loaded.
        Item::TurnsOnWatch => figure(line.quantity),
        _ => amount(line.quantity, line.unit, units),
    };
    let taken = 2 + [&what, &quantity]
        .map(|text| textwrap::core::display_width(text))
        .iter()
        .sum::<usize>();
    let head = if taken < AMOUNTS_END {
        format!("  {what}{}{quantity}", " ".repeat(AMOUNTS_END - taken))
    } else {
        wrap(&format!("  {what}: {quantity}"), "    ")
    };
    let set_in = textwrap::Options::new(usize::from(WIDTH))
        .initial_indent("      ")
        .subsequent_indent("      ");
    format!("{head}\n{}", textwrap::fill(&origin(line, units), set_in))
}

/// Days, rate, reserve, rule and basis, those that enter.
fn origin(line: &Line, units: OutputUnits) -> String {
    let days = line.days.map(|days| format!("{} days", figure(days)));
    let rate = line
        .rate
        .map(|rate| format!("{} per {}", amount(rate.value, rate.unit, units), per(line)));
    let reserve = line
        .reserve_share
        .map(|share| format!("reserve {} %", figure(100.0 * share)));
    let rule = Some(rule(line)).filter(|rule| !rule.is_empty());
    let parts: Vec<String> = [days, rate, reserve, rule].into_iter().flatten().collect();
    format!("{} [{}]", parts.join("; "), basis(&line.basis))
}

fn thresholds(fuel: &FuelPlan, own_kn: Option<f64>, units: OutputUnits) -> String {
    let chosen = figure(fuel.chosen.percent);
    let heading = heads(&[
        "Engine on below",
        "Days, median",
        "Diesel, median",
        &format!("Days, P{chosen}"),
        &format!("Diesel, P{chosen}"),
    ]);
    let rows = fuel.thresholds.iter().map(|row| {
        let mut cells = vec![threshold(row, own_kn, units)];
        for at in [row.p50, row.chosen] {
            cells.extend(match at {
                Some(DaysAndLitres { days, litres }) => {
                    [figure(days), amount(litres, Unit::Litre, units)]
                }
                None => ["no arrival".to_owned(), String::new()],
            });
        }
        cells
    });
    let note = "Diesel by motoring threshold: the same passage with the engine started at another speed made good, and all the \
                diesel it asks for; charging and the arrival's reserve are in it. Fewer simulated \
                passages stand behind this table than behind the list.";
    let rows: Vec<Vec<String>> = rows.collect();
    format!("{}\n{}", wrap(note, ""), layout(&heading, &rows, 1))
}

/// The threshold of a trial, and whether it is `own_kn`, the voyage's own.
pub(super) fn threshold(row: &ThresholdTrial, own_kn: Option<f64>, units: OutputUnits) -> String {
    let below = row.motor_below_kn.map(|kn| amount(kn, Unit::Knot, units));
    let own = if row.motor_below_kn == own_kn {
        " (this voyage)"
    } else {
        ""
    };
    below.unwrap_or("never".to_owned()) + own
}

/// The food to buy, in the order of use.
fn shopping(plan: &LoadingPlan, units: OutputUnits) -> String {
    let rows = plan.food.provisions.iter().map(|food| {
        vec![
            food.name.clone(),
            kept(food.keeping).to_owned(),
            amount(food.mass_kg, Unit::Kilogram, units),
            amount(food.grams_per_person_day, Unit::Gram, units),
            amount(food.stowed_litres, Unit::Litre, units),
            figure(food.keeps_days),
        ]
    });
    let heading = heads(&[
        "To buy",
        "Kept",
        "Amount",
        "A person, a day",
        "Room",
        "Keeps, days",
    ]);
    let note = format!(
        "To buy, in the order to use it, over {} days. Fresh and chilled: the share of a day's \
         energy while it keeps, more for what spoils. Dry: its part of all that those do not cover. \
         No-cook: its part of the days of gale, on top. Of the usual kinds the energy is by {}, \
         shares, room and keeping are common practice, no source; of others they are given by the \
         crew.",
        figure(plan.days.food_days),
        basis(&DENSITY_BASIS)
    );
    let rows: Vec<Vec<String>> = rows.collect();
    format!("{}\n{}", wrap(&note, ""), layout(&heading, &rows, 2))
}

/// The turns of the cycle, a row a turn and a column a day.
fn watch_table(turns: &[Turn]) -> String {
    let days = turns.iter().map(|turn| turn.day).max().unwrap_or(0);
    let a_day = turns.len() / days.max(1);
    let mut heading = heads(&["Ship's time"]);
    heading.extend((1..=days).map(|day| format!("Day {day}")));
    let rows = turns.iter().take(a_day).enumerate().map(|(index, turn)| {
        let time = format!("{:02}-{:02}", turn.from_hour, turn.to_hour);
        let keepers = turns.iter().skip(index).step_by(a_day);
        let keepers = keepers.map(|turn| turn.keeper.clone());
        std::iter::once(time).chain(keepers).collect()
    });
    let rows: Vec<Vec<String>> = rows.collect();
    format!(
        "On watch, then over again; one at a time, whoever comes next on call\n{}",
        layout(&heading, &rows, heading.len())
    )
}
