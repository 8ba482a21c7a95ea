//! What `offing new` writes behind a key that is not read, against the defaults themselves.

use super::Voyage;
use super::load_stores::load_stores;
use super::read::Document;
use crate::stores::{
    Activity, FoodNeed, StoresSettings, WaterSettings, days, food, fuel, power_sources, service,
    watches, water,
};

#[test]
fn the_new_voyage_says_what_holds_without_a_key() {
    let template = include_str!("../../fixtures/new/voyage.toml");
    let full: String = template
        .lines()
        .map(|line| match line.strip_prefix('#') {
            Some(key) if !key.starts_with([' ', '#']) => key,
            _ => line,
        })
        .map(|line| format!("{line}\n"))
        .collect();
    let document = Document::parse("voyage.toml".to_owned(), &full).unwrap();
    let engine = Voyage::demo().unwrap().stores.unwrap().engine;
    let polar = include_str!("../../fixtures/demo/cutter-12m.csv");
    let example = Voyage::parse("voyage.toml", template, &[("polar.csv", polar)]).unwrap();
    let settings = load_stores(&document.settings().unwrap(), engine, &example.routes);
    let settings = settings.unwrap().unwrap();
    let (reserve, fresh, eaten) = (&settings.reserve, &settings.water, &settings.food);
    let (habits, power) = (&settings.watches, settings.power.as_ref().unwrap());
    let (solar, wind) = (power.solar.unwrap(), power.wind.unwrap());
    let engine = settings.engine.unwrap();
    let oil = &settings.service.items[0];
    let written = [
        (reserve.confidence_percent, days::DEFAULT_CONFIDENCE),
        (reserve.food_share, days::HALF_AGAIN),
        (reserve.water_share, days::HALF_AGAIN),
        (engine.arrival_hours, fuel::DEFAULT_ARRIVAL_HOURS),
        (engine.charging_litres_per_hour, fuel::DEFAULT_CHARGING_BURN),
        (settings.resupply.days, days::NO_WAIT),
        (fresh.heat_litres_per_person_day, water::HEAT),
        (fresh.ration_litres_per_person_day, water::RATION),
        (fresh.emergency_litres_per_person, water::EMERGENCY_WATER),
        (eaten.cold_share, food::COLD),
        (eaten.heavy_weather_share, food::HEAVY_WEATHER),
        (eaten.spoilage_share, food::SPOILAGE),
        (eaten.least_no_cook_days, food::LEAST_NO_COOK),
        (eaten.pet_food_kcal_per_kg, food::PET_FOOD),
        (
            power.battery.unwrap().usable_share,
            power_sources::LITHIUM_USABLE,
        ),
        (solar.clearness, power_sources::CLEARNESS),
        (solar.in_use_share, power_sources::PANEL_SHARE),
        (wind.wind_share, power_sources::BLADE_WIND_SHARE),
        (
            power.alternator.unwrap().charge_efficiency,
            power_sources::CHARGE_EFFICIENCY,
        ),
        (oil.in_hand, service::ONE_IN_HAND),
        (habits.chores_h, watches::DEFAULT_CHORES),
        (habits.asleep_share, watches::DEFAULT_ASLEEP),
        (habits.gale_lost_share, watches::GALE_LOST),
        (habits.hard_beat_lost_share, watches::BEAT_LOST),
    ];
    for (index, (given, default)) in written.into_iter().enumerate() {
        assert_eq!(given, Some(default.value), "the {index}th");
    }
    let drinking_and_cooking = &fresh.uses[0];
    assert_eq!(
        drinking_and_cooking.litres_per_person_day,
        water::DRINKING_AND_COOKING.value
    );
    let usual = StoresSettings::new(settings.crew.clone(), WaterSettings::new(None));
    assert_eq!(fresh.bottled_litres, usual.water.bottled_litres);
    assert_eq!(eaten.refrigerator, usual.food.refrigerator);
    assert_eq!(oil.interval, usual.service.items[0].interval);
    assert_eq!(oil.since_last, usual.service.items[0].since_last);
    assert_eq!(
        oil.per_change.value,
        usual.service.items[0].per_change.value
    );
    assert!(settings.crew.people.iter().all(|person| person.keeps_watch));
    let FoodNeed::Body(body) = settings.crew.people[0].need else {
        panic!("the skipper has a body");
    };
    assert_eq!(body.activity, Activity::Moderate);
}
