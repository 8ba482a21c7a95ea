//! The loading lists on one page: what decides, a column a route.

use super::super::notes::{AboutRoutes as _, leaving};
use super::super::table::{layout, wrap};
use super::cautions::caution_in_short;
use super::figures::{diesel, table, water_in_tanks};
use super::places::{AT_ONE_PLACE, costs_note, costs_section, places_section};
use super::text::{threshold, too_few};
use super::words::{Need, amount, figure, item};
use crate::stores::{FuelPlan, LoadingPlan, RoutePlan};
use crate::study::Loading;
use crate::units::{OutputUnits, Unit};

/// Under that table where a route has stops.
const OF_ONE_FILLING: &str =
    "Where diesel is had on the way both are of the filling that asks most.";

/// How many routes the table of thresholds shows side by side.
const TRIED_ABREAST: usize = 2;

/// What the figures are, and where the rest stands.
const LAST: &str = "Minimums for a healthy crew, from averages: a planning aid, not a forecast. \
     Check pilot charts, warnings and local rules; the skipper decides. Each kind of food, power, \
     watches, and every figure's rule and source: --full.";

/// The loading lists of all routes on one page.
pub fn loading_summary(loading: &Loading) -> String {
    let plans: Vec<&LoadingPlan> = loading
        .routes
        .iter()
        .filter_map(|route| route.loading.planned())
        .collect();
    let units = loading.voyage.units;
    let mut parts = vec![heading(loading, &plans), table(loading, false)];
    if plans.iter().any(|plan| plan.staged.is_some()) {
        parts.push(wrap(AT_ONE_PLACE, ""));
    }
    parts.extend(plans.iter().filter_map(|plan| places_section(plan, units)));
    parts.extend(plans.iter().filter_map(|plan| costs_section(plan, units)));
    for route in &loading.routes {
        if let RoutePlan::TooFewArrive(few) = &route.loading {
            parts.push(too_few(&route.name, few));
        }
    }
    parts.extend(costs_note(&plans));
    if !plans.is_empty() {
        let own_kn = loading.voyage.boat.motor_below_kn;
        parts.push(fit(&plans, own_kn, units));
        parts.extend(patience(&plans, own_kn, units));
        parts.extend(spares(&plans, units));
    }
    parts.extend(loading.noticed().said_of_land());
    parts.push(last(&plans));
    parts.join("\n\n") + "\n"
}

fn heading(loading: &Loading, plans: &[&LoadingPlan]) -> String {
    let voyage = &loading.voyage;
    let enough = plans.first().map_or(String::new(), |plan| {
        format!(": stores for {} % of passages", plan.chosen.percent)
    });
    let heading = format!("{}, {}{enough}", voyage.name, leaving(voyage));
    wrap(&heading, "  ")
}

/// What does not fit on which route, or that all fits, as far as that is known.
fn fit(plans: &[&LoadingPlan], own_kn: Option<f64>, units: OutputUnits) -> String {
    let lacking = |need: fn(&LoadingPlan) -> Option<Need>| {
        let of_route = |plan: &&LoadingPlan| {
            let need = need(plan).filter(|need| need.short > 0.0)?;
            let over = if need.is_least { "over " } else { "" };
            let short = amount(need.short, need.unit, units);
            let asked = if need.is_least {
                with_all_she_asks_for(plan, own_kn, units).unwrap_or_default()
            } else {
                String::new()
            };
            Some(format!("{} {over}{short}{asked}", plan.route))
        };
        plans.iter().filter_map(of_route).collect::<Vec<_>>()
    };
    let diesel = lacking(|plan| plan.fuel.as_ref().map(diesel));
    let water = lacking(|plan| Some(water_in_tanks(&plan.water)));
    let unknown = plans.iter().any(|plan| plan.water.stock_litres.is_none());
    let mut said = Vec::new();
    if !diesel.is_empty() {
        said.push(format!(
            "Diesel that does not fit: {}. Carry more, motor later, charge otherwise, or sail \
             through the light air.",
            diesel.join(", ")
        ));
    }
    if !water.is_empty() {
        said.push(format!(
            "Water that does not fit: {}. Carry more, make it, or use less.",
            water.join(", ")
        ));
    }
    if unknown {
        said.push("Whether the water fits is not known: no size of tank is given.".to_owned());
    }
    if said.is_empty() {
        let fuel = plans.iter().any(|plan| plan.fuel.is_some());
        said.push(if fuel {
            "Diesel and water fit tanks, cans and bottles.".to_owned()
        } else {
            "The water fits tanks and bottles.".to_owned()
        });
    }
    let lines: Vec<String> = said.iter().map(|line| wrap(line, "  ")).collect();
    lines.join("\n")
}

/// Days against diesel by the speed below which the engine is started; none where nothing was tried.
fn patience(plans: &[&LoadingPlan], own_kn: Option<f64>, units: OutputUnits) -> Option<String> {
    let tried = |plan: &&&LoadingPlan| {
        let fuel = plan.fuel.as_ref();
        fuel.is_some_and(|fuel| !fuel.thresholds.is_empty())
    };
    let plans: Vec<&LoadingPlan> = plans.iter().filter(tried).copied().collect();
    let tables = plans.chunks(TRIED_ABREAST).map(|abreast| {
        let fuels: Vec<&FuelPlan> = abreast
            .iter()
            .filter_map(|plan| plan.fuel.as_ref())
            .collect();
        let mut heading = vec!["Engine on below".to_owned()];
        heading.extend(abreast.iter().map(|plan| plan.route.clone()));
        let rows = fuels.first().map_or(0, |fuel| fuel.thresholds.len());
        let row = |index: usize| {
            let name = threshold(&fuels[0].thresholds[index], own_kn, units);
            let cell = |fuel: &&FuelPlan| trial(fuel, index, units);
            std::iter::once(name)
                .chain(fuels.iter().map(cell))
                .collect()
        };
        layout(
            &heading,
            &(0..rows).map(row).collect::<Vec<Vec<String>>>(),
            1,
        )
    });
    let tables: Vec<String> = tables.collect();
    let note = format!(
        "Patience with the engine: days at sea and all the diesel she asks for, both at P{}, by the \
         speed made good below which it is started; of fewer passages than above.",
        figure(plans.first()?.chosen.percent)
    );
    let note = if plans.iter().any(|plan| plan.staged.is_some()) {
        note + " " + OF_ONE_FILLING
    } else {
        note
    };
    Some(format!("{}\n{}", wrap(&note, ""), tables.join("\n\n")))
}

/// What would not fit if her tanks held all the diesel that the voyage's own threshold asks for, in
/// brackets: a tank that ran dry shows the least alone.
fn with_all_she_asks_for(
    plan: &LoadingPlan,
    own_kn: Option<f64>,
    units: OutputUnits,
) -> Option<String> {
    let fuel = plan.fuel.as_ref()?;
    let mut trials = fuel.thresholds.iter();
    let own = trials
        .find(|trial| trial.motor_below_kn == own_kn)?
        .chosen?;
    let short_litres = own.litres - fuel.usable_litres;
    (short_litres > 0.0).then(|| {
        let short = amount(short_litres, Unit::Litre, units);
        format!(" ({short} where tanks never run dry)")
    })
}

/// The slow passage with the engine started at one of the thresholds: its days and its diesel.
fn trial(fuel: &FuelPlan, index: usize, units: OutputUnits) -> String {
    let Some(trial) = fuel.thresholds.get(index) else {
        return String::new();
    };
    let Some(slow) = trial.chosen else {
        return "no arrival".to_owned();
    };
    let need = Need {
        quantity: slow.litres,
        unit: Unit::Litre,
        is_least: false,
        short: (slow.litres - fuel.usable_litres).max(0.0),
    };
    format!("{} d, {}", figure(slow.days), need.written(units))
}

/// The spares, once for all routes that ask for the same.
fn spares(plans: &[&LoadingPlan], units: OutputUnits) -> Option<String> {
    let of = |plan: &LoadingPlan| {
        let lines = plan.service.lines.iter();
        let spares: Vec<String> = lines
            .map(|spare| {
                let quantity = match spare.unit {
                    Unit::Piece => figure(spare.quantity),
                    unit => amount(spare.quantity, unit, units),
                };
                format!("{} {quantity}", item(spare))
            })
            .collect();
        spares.join(", ")
    };
    let listed = by_routes(plans, |plan| vec![of(plan)]);
    let said = listed.into_iter().filter(|(spares, _)| !spares.is_empty());
    let said: Vec<String> = said
        .map(|(spares, routes)| match routes {
            Some(routes) => wrap(&format!("Spares, {routes}: {spares}."), "  "),
            None => wrap(&format!("Spares: {spares}."), "  "),
        })
        .collect();
    (!said.is_empty()).then(|| said.join("\n"))
}

/// What the figures are not, and the cautions by their names.
fn last(plans: &[&LoadingPlan]) -> String {
    let named = by_routes(plans, |plan| {
        let cautions = plan.cautions.iter();
        cautions
            .filter_map(caution_in_short)
            .map(str::to_owned)
            .collect()
    });
    let named: Vec<String> = named
        .into_iter()
        .map(|(said, routes)| match routes {
            Some(routes) => format!("{said} ({routes})"),
            None => said,
        })
        .collect();
    let mut lines = Vec::new();
    if !named.is_empty() {
        lines.push(wrap(&format!("Cautions: {}.", named.join("; ")), "  "));
    }
    lines.push(wrap(LAST, ""));
    lines.join("\n")
}

/// What is said of the plans, in the order met, and of which routes where it is not all of them.
fn by_routes(
    plans: &[&LoadingPlan],
    say: impl Fn(&LoadingPlan) -> Vec<String>,
) -> Vec<(String, Option<String>)> {
    let mut found: Vec<(String, Vec<&str>)> = Vec::new();
    for plan in plans {
        for said in say(plan) {
            match found.iter_mut().find(|(other, _)| *other == said) {
                Some((_, routes)) => routes.push(&plan.route),
                None => found.push((said, vec![&plan.route])),
            }
        }
    }
    let found = found.into_iter();
    found
        .map(|(said, routes)| {
            let all = routes.len() == plans.len();
            (said, (!all).then(|| routes.join(", ")))
        })
        .collect()
}
