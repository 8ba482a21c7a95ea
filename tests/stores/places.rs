//! What to load where, and what it costs, against lists worked out by hand.

use offing::route::Goods;
use offing::stores::*;

use crate::common::{outcome, planned, settings};

/// Relative.
const ROUNDING: f64 = 1e-12;

fn close(found: f64, expected: f64) {
    assert!(
        (found - expected).abs() <= ROUNDING * expected.abs().max(1.0),
        "found {found}, by hand {expected}"
    );
}

/// A stage of members with these days at sea, half an hour under power a day, and a stay after it.
fn stage(
    [from, to]: [&str; 2],
    resupply: &[Goods],
    days: &[f64],
    harbour_days: f64,
) -> StageOutcome {
    let members = days.iter().map(|&days| MemberOutcome {
        days: Some(days),
        motor_hours: 0.5 * days,
        gale_hours: 0.0,
        hard_beat_hours: 0.0,
        ran_dry: false,
        harbour_days,
    });
    StageOutcome {
        from: from.to_owned(),
        to: to.to_owned(),
        resupply: resupply.to_vec(),
        members: members.collect(),
        air_temperature_c: Some(18.0),
    }
}

/// From A to B, a stay of 4 days with these goods, and on to C.
fn passage(resupply: &[Goods], first: &[f64], second: &[f64]) -> PassageOutcome {
    let days: Vec<f64> = first.iter().zip(second).map(|(a, b)| a + b).collect();
    let mut passage = outcome(&days);
    for (member, days) in passage.members.iter_mut().zip(&days) {
        member.motor_hours = 0.5 * days;
        (member.gale_hours, member.hard_beat_hours) = (0.0, 0.0);
    }
    passage.stages = vec![
        stage(["A", "B"], resupply, first, 4.0),
        stage(["B", "C"], &[], second, 0.0),
    ];
    passage
}

/// Two people on 4 L of water a day each, half as much again in reserve; 2 L of diesel an hour, 12 hours
/// of them for the arrival, 90 L usable, and no electricity.
fn crew() -> StoresSettings {
    StoresSettings {
        power: None,
        ..settings()
    }
}

fn staged(resupply: &[Goods]) -> (LoadingPlan, StagedStores) {
    let plan = planned(&crew(), &passage(resupply, &[10.0; 5], &[6.0; 5]));
    let staged = plan.staged.clone().expect("there is a stop");
    (plan, staged)
}

/// By hand, for 10 and 6 days at sea.
#[test]
fn water_and_diesel_had_at_the_stop_are_loaded_for_each_stage() {
    let (plan, staged) = staged(&[Goods::Water, Goods::Diesel]);
    let [start, stop] = &staged.places[..] else {
        panic!("two places")
    };
    assert_eq!((start.place.as_str(), stop.place.as_str()), ("A", "B"));
    let litres = |loaded: &Option<LoadedLitres>| loaded.as_ref().unwrap().litres;
    // 0.5 h x 2 L a day, and 12 h x 2 L to arrive with.
    close(litres(&start.diesel), 10.0 + 24.0);
    close(litres(&stop.diesel), 6.0 + 24.0);
    // 2 people x 4 L, half as much again.
    close(litres(&start.water), 8.0 * 10.0 * 1.5);
    close(litres(&stop.water), 8.0 * 6.0 * 1.5);
    // Food for both stages and the stay between them, which has no reserve.
    let food = start.food.as_ref().unwrap();
    close(food.days, 16.0 * 1.5 + 4.0);
    assert_eq!((food.stages.first, food.stages.last), (1, 2));
    assert_eq!((&stop.food, stop.fresh_food_kg), (&None, None));
    let stay = stop.stay.as_ref().unwrap();
    close(stay.days, 4.0);
    close(stay.water_litres, 8.0 * 4.0);
    assert_eq!(
        (stay.water_from.as_str(), stay.food_from.as_str()),
        ("B", "A")
    );
    // The first stage decides both, and the list is of it.
    let decided = staged.diesel_decided_by.unwrap();
    assert_eq!((decided.from.as_str(), decided.to.as_str()), ("A", "B"));
    close(plan.fuel.unwrap().chosen.to_load_litres, 34.0);
    close(plan.water.tank_minimum_litres, 120.0);
    assert_eq!(staged.diesel_short_chance, Some(0.0));
}

#[test]
fn what_the_stop_does_not_have_is_carried_over_both_stages() {
    let (_, staged) = staged(&[]);
    let [start, stop] = &staged.places[..] else {
        panic!("two places")
    };
    // One arrival, as on a passage without a stop.
    close(start.diesel.as_ref().unwrap().litres, 16.0 + 24.0);
    close(
        start.water.as_ref().unwrap().litres,
        8.0 * (16.0 * 1.5 + 4.0),
    );
    assert_eq!(
        (&stop.diesel, &stop.water, &stop.food),
        (&None, &None, &None)
    );
    assert_eq!(stop.stay.as_ref().unwrap().water_from, "A");
}

#[test]
fn a_stop_with_all_has_food_that_keeps_too() {
    let (_, staged) = staged(&[Goods::All]);
    let days = |place: usize| staged.places[place].food.as_ref().unwrap().days;
    close(days(0), 15.0);
    close(days(1), 9.0);
    assert_eq!(staged.places[1].stay.as_ref().unwrap().food_from, "B");
}

/// Fresh food at the stop stands in for dry food, and for nothing else.
#[test]
fn fresh_food_had_on_the_way_takes_the_place_of_dry_food() {
    let (without, _) = staged(&[]);
    let (with, places) = staged(&[Goods::FreshFood]);
    let all_days = 16.0 * 1.5 + 4.0;
    let kinds = default_kinds();
    let kcal = without.food.kcal_per_day;
    let fresh = || kinds.iter().filter(|kind| kind.keeping == Keeping::Fresh);
    // Days of the first stretch in the median passage, then all the rest.
    let rest = all_days - 10.0;
    let eaten = |days: f64| fresh().map(move |kind| kcal * kind.share * kind.keeps_days.min(days));
    let eaten_kcal = |days: f64| eaten(days).sum::<f64>();
    let dry_kcal = |plan: &LoadingPlan| {
        let dry = plan.food.provisions.iter();
        let dry = dry.filter(|food| food.keeping == Keeping::Dry);
        dry.map(|food| food.kcal).sum::<f64>()
    };
    let more_fresh_kcal = eaten_kcal(10.0) + eaten_kcal(rest) - eaten_kcal(all_days);
    assert!(more_fresh_kcal > 0.0);
    let less_dry_kcal = dry_kcal(&without) - dry_kcal(&with);
    assert!(
        (less_dry_kcal - more_fresh_kcal).abs() < 1e-6,
        "{less_dry_kcal}"
    );
    // A little more is bought than is eaten, for what spoils.
    let spoils = 1.15;
    let kg = fresh()
        .zip(eaten(rest))
        .map(|(kind, kcal)| spoils * kcal / kind.kcal_per_kg);
    close(places.places[1].fresh_food_kg.unwrap(), kg.sum());
    close(with.days.food_days, without.days.food_days);
}

/// Slow on one stage is quick on the other: together no passage takes more than 30 days, though the
/// slow case of each stage is 20.
#[test]
fn goods_for_two_stages_are_counted_together() {
    let mut days = vec![10.0; 5];
    days.extend([20.0; 5]);
    let other: Vec<f64> = days.iter().map(|days| 30.0 - days).collect();
    let together = planned(&crew(), &passage(&[], &days, &other));
    close(together.days.water_days, 30.0 * 1.5 + 4.0);
    let apart = planned(&crew(), &passage(&[Goods::Water], &days, &other));
    close(apart.days.water_days, 20.0 * 1.5);
}

#[test]
fn the_costs_are_those_worked_out_by_hand() {
    let mut settings = crew();
    let usual = Prices {
        diesel_per_litre: Some(1.5),
        water_per_litre: Some(0.01),
        food_per_person_day: Some(12.0),
        harbour_per_day: Some(30.0),
    };
    let at_b = Prices {
        diesel_per_litre: Some(1.2),
        water_per_litre: Some(0.05),
        ..Prices::default()
    };
    settings.prices = Some(PriceSettings {
        usual,
        at: vec![("B".to_owned(), at_b)],
    });
    let passage = passage(&[Goods::Water, Goods::Diesel], &[10.0; 5], &[6.0; 5]);
    let costs = planned(&settings, &passage).costs.unwrap();
    let bought = |place: &str, what| {
        let mut all = costs.purchases.iter();
        all.find(|bought| bought.place == place && bought.what == what)
            .map(|bought| bought.quantity)
    };
    // Diesel is cheaper at B, so that each stage's is bought where it begins.
    close(bought("A", Priced::Diesel).unwrap(), 34.0);
    close(bought("B", Priced::Diesel).unwrap(), 30.0);
    // Water is dearer at B and fits: both stages' at A, with 3 L for each in the grab bag.
    close(bought("A", Priced::Water).unwrap(), 120.0 + 72.0 + 6.0);
    close(bought("B", Priced::Water).unwrap(), 32.0);
    close(bought("A", Priced::Food).unwrap(), 2.0 * 28.0);
    assert_eq!(bought("B", Priced::Food), None);
    close(bought("B", Priced::Harbour).unwrap(), 4.0);
    let total = 34.0 * 1.5 + 30.0 * 1.2 + 198.0 * 0.01 + 32.0 * 0.05 + 56.0 * 12.0 + 4.0 * 30.0;
    close(costs.total, total);
    // Tanks of 150 L have room for 30 L more beside the 120 of the first stage.
    settings.water = WaterSettings::new(Some(150.0));
    let costs = planned(&settings, &passage).costs.unwrap();
    let water = costs.purchases.iter();
    let water: Vec<f64> = water
        .filter(|bought| bought.what == Priced::Water)
        .map(|bought| bought.quantity)
        .collect();
    close(water[0], 150.0 + 6.0);
    close(water[1], 42.0 + 32.0);
}

#[test]
fn a_route_without_a_stop_has_no_places_and_its_costs_at_its_start() {
    let mut settings = crew();
    let passage = outcome(&[10.0; 5]);
    assert_eq!(planned(&settings, &passage).staged, None);
    assert_eq!(planned(&settings, &passage).costs, None);
    settings.prices = Some(PriceSettings::default());
    let costs = planned(&settings, &passage).costs.unwrap();
    assert!(
        costs
            .purchases
            .iter()
            .all(|bought| bought.place == "A" && bought.cost.is_none())
    );
    assert_eq!(costs.total, 0.0);
}

#[test]
fn stages_that_are_not_of_all_members_are_refused() {
    let mut passage = passage(&[], &[10.0; 5], &[6.0; 5]);
    passage.stages[1].members.pop();
    let error = plan(&crew(), &passage).unwrap_err();
    assert_eq!(
        error.to_string(),
        "stage: none; needed: every simulated passage, once"
    );
}
