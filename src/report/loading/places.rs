//! What to load where on a route with stops, and what it costs.

use super::super::notes::bullets;
use super::super::table::{layout, wrap};
use super::super::wording::{grouped, heads};
use super::words::{Need, amount, figure};
use crate::stores::{
    Costs, HarbourStay, LoadedLitres, LoadingPlan, PlaceStores, Priced, Purchase, StagedStores,
    Stages,
};
use crate::units::{OutputUnits, Unit};

/// Under the figures of several routes, where one has stops.
pub(in super::super) const AT_ONE_PLACE: &str = "On a route with stops diesel, water and food are the \
     most to be loaded at one place, and their days are those on that loading.";

/// A table's headings and rows.
pub(in super::super) type Rows = (Vec<String>, Vec<Vec<String>>);

/// The places of a route with stops, what decides, and what its stays are lived on; nothing without.
pub(super) fn places_section(plan: &LoadingPlan, units: OutputUnits) -> Option<String> {
    let staged = plan.staged.as_ref()?;
    let (heading, rows) = places_rows(staged, units);
    Some(format!(
        "{}\n{}\n{}",
        wrap(&places_caption(plan), ""),
        layout(&heading, &rows, 1),
        bullets(&places_said(staged, units))
    ))
}

/// What the table of places shows.
pub(in super::super) fn places_caption(plan: &LoadingPlan) -> String {
    format!(
        "{}: to leave each place with, enough for {} % of passages; an empty cell is not had there",
        plan.route, plan.chosen.percent
    )
}

/// Each place with what to leave it with.
pub(in super::super) fn places_rows(staged: &StagedStores, units: OutputUnits) -> Rows {
    let heading = heads(&[
        "Place",
        "Stay, days",
        "Diesel",
        "Water",
        "Food",
        "Fresh food",
    ]);
    let litres = |loaded: &Option<LoadedLitres>| {
        loaded.as_ref().map_or(String::new(), |loaded| {
            let need = Need {
                quantity: loaded.litres,
                unit: Unit::Litre,
                is_least: loaded.is_least,
                short: loaded.short_litres.unwrap_or(0.0),
            };
            need.written(units)
        })
    };
    let kilograms =
        |kg: Option<f64>| kg.map_or(String::new(), |kg| amount(kg, Unit::Kilogram, units));
    let row = |place: &PlaceStores| {
        let stay = place.stay.as_ref();
        vec![
            place.place.clone(),
            stay.map_or(String::new(), |stay| figure(stay.days)),
            litres(&place.diesel),
            litres(&place.water),
            kilograms(place.food.as_ref().map(|food| food.kg)),
            kilograms(place.fresh_food_kg),
        ]
    };
    (heading, staged.places.iter().map(row).collect())
}

/// Which stages decide, and where what is used in harbour comes from.
pub(in super::super) fn places_said(staged: &StagedStores, units: OutputUnits) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(stages) = &staged.diesel_decided_by {
        said.push(format!(
            "{} the fuel tanks for diesel.",
            ask_most_of(stages)
        ));
    }
    said.push(format!(
        "{} the tanks for water.",
        ask_most_of(&staged.water_decided_by)
    ));
    let stays = staged.places.iter().filter_map(|place| {
        let stay = place.stay.as_ref().filter(|stay| stay.days > 0.0)?;
        Some(in_harbour(&place.place, stay, units))
    });
    said.extend(stays);
    said
}

/// How stages are called whose stores are carried together.
fn ask_most_of(stages: &Stages) -> String {
    let between = format!("{} to {}", stages.from, stages.to);
    if stages.first == stages.last {
        format!("Stage {}, {between}, asks most of", stages.first)
    } else {
        let (first, last) = (stages.first, stages.last);
        format!("Stages {first} to {last}, {between}, on one loading ask most of")
    }
}

fn in_harbour(place: &str, stay: &HarbourStay, units: OutputUnits) -> String {
    let from = |from: &str| match from == place {
        true => "bought there".to_owned(),
        false => format!("carried from {from}, in the amounts above"),
    };
    format!(
        "{place}, {} days in harbour: {} of water, {}; food {}.",
        figure(stay.days),
        amount(stay.water_litres, Unit::Litre, units),
        from(&stay.water_from),
        from(&stay.food_from)
    )
}

/// What the costs of these routes are, once for all of them; nothing without prices.
pub(super) fn costs_note(plans: &[&LoadingPlan]) -> Option<String> {
    let costs: Vec<&Costs> = plans
        .iter()
        .filter_map(|plan| plan.costs.as_ref())
        .collect();
    (!costs.is_empty()).then(|| wrap(&costs_said(&costs), ""))
}

/// What a route costs and where to buy what; nothing without prices.
pub(super) fn costs_section(plan: &LoadingPlan, units: OutputUnits) -> Option<String> {
    let costs = plan.costs.as_ref()?;
    let (heading, rows) = costs_rows(costs, units);
    let caption = format!(
        "{}: where to buy what, each where it is cheapest and there is room for it on the way; in the \
         money of your prices",
        plan.route
    );
    Some(format!(
        "{}\n{}",
        wrap(&caption, ""),
        layout(&heading, &rows, 2)
    ))
}

/// Each purchase, and the total.
pub(in super::super) fn costs_rows(costs: &Costs, units: OutputUnits) -> Rows {
    let heading = heads(&["Place", "What", "Amount", "Price", "Cost"]);
    let row = |bought: &Purchase| {
        vec![
            bought.place.clone(),
            what(bought.what).to_owned(),
            quantity(bought, units),
            bought
                .price
                .map_or("none given".to_owned(), |price| each(bought, price, units)),
            bought.cost.map_or(String::new(), money),
        ]
    };
    let mut rows: Vec<Vec<String>> = costs.purchases.iter().map(row).collect();
    let none = String::new;
    rows.push(vec![
        "Total".to_owned(),
        none(),
        none(),
        none(),
        money(costs.total),
    ]);
    (heading, rows)
}

/// What the costs are, and what is not in them.
pub(in super::super) fn costs_said(costs: &[&Costs]) -> String {
    let mut bought = costs.iter().flat_map(|costs| &costs.purchases);
    let without = bought.any(|bought| bought.cost.is_none());
    let without = if without {
        " What has no price is not in the total."
    } else {
        ""
    };
    format!(
        "All that is needed for a stage, what does not fit too, is reckoned as used on it. Food is bought where it is loaded, and \
         fresh food on the way is within its price.{without}"
    )
}

fn what(priced: Priced) -> &'static str {
    match priced {
        Priced::Diesel => "diesel",
        Priced::Water => "water",
        Priced::Food => "food",
        Priced::Harbour => "berth",
    }
}

fn quantity(bought: &Purchase, units: OutputUnits) -> String {
    match bought.what {
        Priced::Diesel | Priced::Water => amount(bought.quantity, Unit::Litre, units),
        Priced::Food => format!("{} person-days", figure(bought.quantity)),
        Priced::Harbour => format!("{} days", figure(bought.quantity)),
    }
}

/// A price in the unit its amount is shown in.
fn each(bought: &Purchase, price: f64, units: OutputUnits) -> String {
    let per_shown = match bought.what {
        Priced::Diesel | Priced::Water => price / Unit::Litre.convert(1.0, units).0,
        Priced::Food | Priced::Harbour => price,
    };
    if per_shown >= 99.95 || per_shown == 0.0 {
        grouped(per_shown)
    } else if per_shown >= 0.095 {
        format!("{per_shown:.2}")
    } else {
        format!("{per_shown:.4}")
    }
}

/// An amount of money, whole from a thousand on.
fn money(cost: f64) -> String {
    if cost >= 999.5 {
        grouped(cost)
    } else {
        format!("{cost:.2}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_price_stands_by_the_unit_shown() {
        let bought = |what| Purchase {
            place: "A".to_owned(),
            what,
            quantity: 378.541_178_4,
            price: None,
            cost: None,
        };
        let (metric, us) = (OutputUnits::Metric, OutputUnits::Us);
        let diesel = bought(Priced::Diesel);
        assert_eq!(quantity(&diesel, us), "100 US gal");
        assert_eq!(each(&diesel, 1.5, metric), "1.50");
        assert_eq!(each(&diesel, 1.5, us), "5.68");
        assert_eq!(each(&bought(Priced::Water), 0.002, metric), "0.0020");
        assert_eq!(each(&bought(Priced::Harbour), 120.0, us), "120");
        assert_eq!([12.345, 1234.5].map(money), ["12.35", "1,234"]);
    }
}
