//! Whole loading lists against sums done by hand.

use crate::common::{line, named, outcome, planned, settings};
use offing::stores::*;

/// Rounding only.
const ROUNDING: f64 = 1e-9;

fn assert_near(got: f64, expected: f64, what: &str) {
    let tolerance = ROUNDING * expected.abs().max(1.0);
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: got {got}, expected {expected}"
    );
}

#[test]
fn days_and_water_without_a_watermaker() {
    let plan = planned(&settings(), &outcome(&[30.0; 5]));
    assert_near(plan.days.food_days, 45.0, "30 days and half again");
    // Two people, 4 L, 45 days.
    assert_near(plan.water.tank_minimum_litres, 360.0, "water");
    assert_near(plan.water.to_load_litres, 366.0, "with 3 L a person apart");
    assert_near(plan.water.shortfall_litres.unwrap(), 0.0, "tank of 500 L");
    let used = line(&plan, Item::DrinkingAndCookingWater);
    assert_near(used.quantity, 360.0, "drinking and cooking");
    assert_eq!(used.rate.unwrap().per, Per::PersonAndDay);
    assert_eq!(used.basis.status, Status::CommonPractice);
    let mut small = settings();
    small.water.tank_litres = Some(300.0);
    let plan = planned(&small, &outcome(&[30.0; 5]));
    assert_near(plan.water.shortfall_litres.unwrap(), 60.0, "tank of 300 L");
    assert!(plan.cautions.contains(&Caution::WaterShort {
        short_litres: plan.water.shortfall_litres.unwrap()
    }));
}

#[test]
fn resupply_days_are_added_after_the_reserve() {
    let mut voyage = settings();
    voyage.resupply.days = Some(10.0);
    voyage.resupply.sold_there = Some(vec![Supply::Food, Supply::Water, Supply::Spares]);
    let plan = planned(&voyage, &outcome(&[30.0; 5]));
    assert_near(plan.days.food_days, 55.0, "30 x 1.5 + 10");
    let not_sold = |caution: &&Caution| matches!(caution, Caution::NotSoldThere { .. });
    let not_sold: Vec<&Caution> = plan.cautions.iter().filter(not_sold).collect();
    let supply = Supply::Diesel;
    assert_eq!(not_sold, [&Caution::NotSoldThere { supply }]);
}

#[test]
fn with_a_watermaker_the_failure_decides() {
    let mut voyage = settings();
    voyage.water.watermaker = Some(Watermaker {
        litres_per_hour: 8.0,
        watts: 50.0,
        hours_per_day: None,
    });
    voyage.water.tank_litres = Some(120.0);
    let plan = planned(&voyage, &outcome(&[30.0; 5]));
    // No reserve by default; 30 days at two rations of 3 L.
    assert_near(plan.water.tank_minimum_litres, 180.0, "failure on day 0");
    assert_near(plan.water.shortfall_litres.unwrap(), 60.0, "tank of 120 L");
    let maker = plan.water.watermaker.unwrap();
    assert_near(maker.hours_per_day, 1.0, "8 L a day at 8 L an hour");
    assert_near(maker.survival_days, 20.0, "120 L at 6 L a day");
    assert_near(maker.made_litres, 240.0, "30 days of 8 L");
    let power = line(&plan, Item::WatermakerLoad);
    assert_near(power.quantity, 50.0, "an hour at 50 W");
    let short_days = maker.days_to_go - maker.survival_days;
    assert!(
        plan.cautions
            .contains(&Caution::WaterEndsEarly { short_days }),
        "20 days of water for 30 days is a caution"
    );
}

#[test]
fn passages_too_slow_for_the_ration_are_named() {
    let mut voyage = settings();
    voyage.water.watermaker = Some(Watermaker {
        litres_per_hour: 8.0,
        watts: 50.0,
        hours_per_day: None,
    });
    voyage.water.tank_litres = Some(210.0);
    let days: Vec<f64> = (0..=10).map(|step| 30.0 + f64::from(step)).collect();
    let told = |voyage: &StoresSettings, days: &[f64]| {
        let plan = planned(voyage, &outcome(days));
        let caution = plan.cautions.iter().find_map(|caution| match caution {
            Caution::SlowPassagesRunOut { share, .. } => Some(*share),
            _ => None,
        });
        (plan.water.watermaker.unwrap(), caution)
    };
    // Eleven passages of 30 to 40 days: 39 days are provided for, and one takes longer. 210 L at 6 L
    // a day last 35 days, and five take longer.
    let (maker, caution) = told(&voyage, &days);
    assert_near(maker.too_slow_share, 1.0 / 11.0, "one of eleven");
    assert_near(maker.too_slow_share_full, 5.0 / 11.0, "five of eleven");
    assert_near(caution.unwrap(), 1.0 / 11.0, "a caution with its share");
    // Half as much again is more than the slowest needs.
    voyage.reserve.water_share = Some(0.5);
    let (maker, caution) = told(&voyage, &days);
    assert_eq!((maker.too_slow_share, caution), (0.0, None));
    // Days until the shops are provided for beside the passage.
    voyage.reserve.water_share = None;
    voyage.resupply.days = Some(4.3);
    let (maker, _) = told(&voyage, &days);
    assert_near(maker.too_slow_share, 1.0 / 11.0, "the same one");
    assert_near(maker.too_slow_share_full, 10.0 / 11.0, "30.7 days at sea");
    // Where all take the same time nobody is slower.
    assert_eq!(told(&voyage, &[30.1; 5]).1, None);
}

#[test]
fn winds_without_air_temperature_are_said_to_add_nothing() {
    let about_air = |plan: &LoadingPlan| plan.cautions.contains(&Caution::AirTemperatureUnknown);
    let mut passage = outcome(&[30.0; 5]);
    assert!(!about_air(&planned(&settings(), &passage)));
    passage.mean_air_temperature_c = None;
    assert!(about_air(&planned(&settings(), &passage)));
}

#[test]
fn a_figure_given_is_the_crews_own_even_where_it_is_the_default() {
    let basis = |voyage: &StoresSettings, item: Item| {
        let mut passage = outcome(&[30.0; 5]);
        passage.mean_air_temperature_c = Some(28.0);
        let plan = planned(voyage, &passage);
        // Of the lines at a percentile the last is that of the crew's choice.
        let lines = plan.lines().filter(|(_, line)| line.item == item);
        let found = match item {
            Item::DaysAtSea | Item::Charging => lines.last(),
            _ => lines.into_iter().next(),
        };
        found.unwrap().1.basis.status
    };
    let mut given = settings();
    given.reserve.confidence_percent = Some(90.0);
    given.reserve.food_share = Some(0.5);
    given.resupply.days = Some(0.0);
    given.water.heat_litres_per_person_day = Some(1.0);
    given.water.emergency_litres_per_person = Some(3.0);
    given.food.least_no_cook_days = Some(2.0);
    given.watches.chores_h = Some(3.0);
    given.service.items[0].basis = Basis::GIVEN;
    let engine = given.engine.as_mut().unwrap();
    engine.charging_litres_per_hour = Some(1.5);
    engine.arrival_hours = Some(12.0);
    let power = given.power.as_mut().unwrap();
    power.loads[0].basis = Basis::GIVEN;
    let battery = power.battery.as_mut().unwrap();
    // As a lead-acid battery's.
    battery.usable_share = Some(0.5);
    power.solar.as_mut().unwrap().clearness = Some(0.5);
    power.alternator.as_mut().unwrap().charge_efficiency = Some(0.85);
    for (item, usual) in [
        (Item::DaysAtSea, Status::CommonPractice),
        (Item::DaysUntilResupply, Status::CommonPractice),
        (Item::DaysOfFood, Status::CommonPractice),
        (Item::Charging, Status::CommonPractice),
        (Item::ArrivalReserve, Status::CommonPractice),
        (Item::HeatWater, Status::CommonPractice),
        (Item::EmergencyWater, Status::FromMemory),
        (Item::ElectricLoad, Status::FromMemory),
        (Item::SolarPower, Status::FromMemory),
        (Item::ChargingHours, Status::CommonPractice),
        (Item::BatteryHours, Status::FromMemory),
        (Item::NoCookDays, Status::CommonPractice),
        (Item::Spare, Status::FromMemory),
        (Item::FairSleep, Status::CommonPractice),
    ] {
        assert_eq!(basis(&settings(), item), usual, "{item:?}");
        assert_eq!(basis(&given, item), Status::Given, "{item:?}");
    }
    let mut lead = settings();
    lead.power.as_mut().unwrap().battery = Some(Battery::new(BatteryKind::Lead, 4800.0));
    let status = basis(&lead, Item::BatteryHours);
    assert_eq!(status, Status::CommonPractice);
}

#[test]
fn diesel_is_motoring_charging_and_the_arrival() {
    let plan = planned(&settings(), &outcome(&[30.0; 5]));
    let power = plan.power.as_ref().unwrap();
    let charging_h = power.charging_hours_per_day.unwrap();
    assert_near(
        charging_h,
        power.lacking_wh_per_day / (600.0 * 0.85),
        "charging hours a day",
    );
    let fuel = plan.fuel.as_ref().unwrap();
    // 36 hours under power and 12 kept, at 2 L; charging at 1.5 L an hour.
    let expected = 36.0 * 2.0 + 30.0 * charging_h * 1.5 + 12.0 * 2.0;
    assert_near(fuel.chosen.to_load_litres, expected, "diesel");
    assert_near(fuel.usable_litres, 90.0, "nine tenths of the tank");
    assert_near(fuel.shortfall_litres, expected - 90.0, "shortfall");
    assert_near(fuel.engine_hours, 36.0 + 30.0 * charging_h + 12.0, "hours");
    assert_near(fuel.reserve_broken_chance, 1.0, "every member breaks it");
    let row = fuel.thresholds[0];
    let more = 33.0 * charging_h * 1.5 + 24.0;
    assert_near(row.chosen.unwrap().litres, 90.0 + more, "threshold row");
}

#[test]
fn the_days_balance_by_hand() {
    let mut voyage = settings();
    let load = |name: &str, watts: f64, running: Running| Load {
        name: name.to_owned(),
        watts,
        running,
        basis: Basis::GIVEN,
    };
    voyage.power = Some(PowerSettings {
        loads: vec![
            load("autopilot", 100.0, Running::AllDay),
            load("lamp", 10.0, Running::Dark),
            load("computer", 50.0, Running::Hours(2.0)),
        ],
        battery: Some(Battery::new(BatteryKind::Lithium, 1000.0)),
        solar: Some(Solar::new(200.0)),
        wind: Some(WindGenerator {
            rated_watts: 300.0,
            rated_wind_ms: 12.0,
            starts_at_ms: 3.0,
            wind_share: Some(0.75),
        }),
        alternator: None,
    });
    let mut passage = outcome(&[30.0; 5]);
    passage.track.truncate(1);
    let plan = planned(&voyage, &passage);
    let power = plan.power.as_ref().unwrap();
    let sun = plan.watches.sun[0];
    let used = 2400.0 + 10.0 * (24.0 - sun.daylight_hours) + 100.0;
    assert_near(power.used_wh_per_day, used, "used");
    // Half the sun's energy comes down, six tenths of the rating is in use.
    let solar = sun.above_air_kwh_per_m2 * 0.5 * 0.6 * 200.0;
    assert_near(power.solar_wh_per_day, solar, "sun");
    // 8 m/s x 0.75 = half the rated wind: an eighth of the rating.
    assert_near(power.wind_wh_per_day, 24.0 * 300.0 / 8.0, "wind");
    let lacking = used - solar - 900.0;
    assert_near(power.lacking_wh_per_day, lacking, "lacking");
    assert_near(power.battery_hours.unwrap(), 800.0 * 24.0 / used, "battery");
    assert_eq!(power.charging_hours_per_day, None);
    let (worst_lacking_wh, battery_hours) = (power.worst_lacking_wh, power.battery_hours.unwrap());
    for caution in [
        Caution::PowerShort { worst_lacking_wh },
        Caution::BatteryTooSmall { battery_hours },
    ] {
        assert!(plan.cautions.contains(&caution), "{caution:?}");
    }
    assert_near(
        plan.fuel.unwrap().chosen.charging_litres,
        0.0,
        "no charging",
    );
}

#[test]
fn a_dry_tank_makes_the_diesel_a_least_figure() {
    let mut passage = outcome(&[20.0, 25.0, 30.0, 35.0, 40.0]);
    let calm = planned(&settings(), &passage);
    assert!(!calm.fuel.unwrap().chosen.is_least);
    passage.members[4].ran_dry = true;
    let fuel = planned(&settings(), &passage).fuel.unwrap();
    assert!(
        fuel.chosen.is_least,
        "90 % leans on the member that ran dry"
    );
    assert!(!fuel.median.is_least, "50 % does not");
    assert_near(fuel.dry_tank_chance, 0.2, "one of five");
}

#[test]
fn food_covers_the_energy_asked() {
    let per_day = 2.0 * (14.818 * 55.0 + 486.6) * 1.85;
    // On a short passage most fresh food would keep longer than it is needed.
    for days in [4.0, 30.0] {
        let plan = planned(&settings(), &outcome(&[days; 5]));
        assert_near(plan.food.kcal_per_day, per_day, "two worked examples");
        let provisions = &plan.food.provisions;
        let kcal = |wanted: &[Keeping]| -> f64 {
            provisions
                .iter()
                .filter(|provision| wanted.contains(&provision.keeping))
                .map(|provision| provision.kcal)
                .sum()
        };
        // 0.06 of the time is rough; 0.15 more food then.
        let heavy = per_day * 0.15 * (days * 0.06);
        let eaten = kcal(&[Keeping::Fresh, Keeping::Chilled]) / 1.15 + kcal(&[Keeping::Dry]);
        assert_near(eaten, per_day * 1.5 * days + heavy, "cooked food");
        assert_near(kcal(&[Keeping::NoCook]), per_day * 2.0, "two no-cook days");
        let potatoes = provisions
            .iter()
            .find(|food| food.name == "potatoes")
            .unwrap();
        let expected = 0.06 * per_day * (1.5 * days) * 1.15 / 750.0;
        assert_near(potatoes.mass_kg, expected, "potatoes keep 45 days");
        let kg: f64 = provisions.iter().map(|provision| provision.mass_kg).sum();
        assert_near(plan.food.to_load_kg, kg, "no pets");
        assert!(
            provisions
                .windows(2)
                .all(|pair| pair[0].keeps_days <= pair[1].keeps_days),
            "used in the order it keeps"
        );
    }
}

#[test]
fn without_a_refrigerator_nothing_is_chilled() {
    let mut voyage = settings();
    voyage.food.refrigerator = false;
    let with = planned(&settings(), &outcome(&[30.0; 5]));
    let without = planned(&voyage, &outcome(&[30.0; 5]));
    let chilled = |plan: &LoadingPlan| {
        plan.food
            .provisions
            .iter()
            .filter(|provision| provision.keeping == Keeping::Chilled)
            .count()
    };
    assert_eq!((chilled(&with), chilled(&without)), (4, 0));
}

#[test]
fn cold_heat_and_pets_add_to_the_list() {
    let mut voyage = settings();
    voyage.crew.pets.push(Pet {
        name: "Tar".to_owned(),
        animal: Animal::Dog,
        mass_kg: 10.0,
    });
    let mut passage = outcome(&[30.0; 5]);
    passage.mean_air_temperature_c = Some(5.0);
    let cold = planned(&voyage, &passage);
    passage.mean_air_temperature_c = Some(28.0);
    let hot = planned(&voyage, &passage);
    assert_near(cold.food.kcal_per_day, 1.1 * hot.food.kcal_per_day, "cold");
    // One litre more a head in the heat, 45 days.
    assert_near(
        hot.water.to_load_litres - cold.water.to_load_litres,
        90.0,
        "heat",
    );
    // 393.6 kcal x 1.8 a day, 45 days, 3500 kcal/kg.
    let kg = 70.0 * 10f64.powf(0.75) * 1.8 * 45.0 / 3500.0;
    assert_near(hot.food.pet_kg, kg, "dog");
    let water = line(&hot, Item::PetWater).quantity;
    assert_near(water, 0.6 * 45.0, "60 ml a kilogram");
}

#[test]
fn spares_follow_the_hours_and_the_litres() {
    let mut voyage = settings();
    voyage.water.watermaker = Some(Watermaker {
        litres_per_hour: 8.0,
        watts: 0.0,
        hours_per_day: Some(24.0),
    });
    voyage.power = None;
    let plan = planned(&voyage, &outcome(&[100.0; 3]));
    // 120 h under power and 12 kept: under 150, so only the change in hand.
    let oil = named(&plan, Item::Spare, "engine oil");
    assert_near(oil.quantity, 4.0, "one change of oil");
    // 192 L a day for 100 days: six changes at 3000 L, and one in hand.
    let filters = named(&plan, Item::Spare, "watermaker pre-filter");
    assert_near(filters.quantity, 7.0, "pre-filters");
    voyage.service.items[0].since_last = 20.0;
    let plan = planned(&voyage, &outcome(&[100.0; 3]));
    let oil = named(&plan, Item::Spare, "engine oil");
    assert_near(oil.quantity, 8.0, "152 h since the last change");
}

#[test]
fn sleep_of_two_people() {
    let plan = planned(&settings(), &outcome(&[30.0; 5]));
    let watches = &plan.watches;
    assert_near(watches.fair_sleep_hours, (24.0 - 12.0 - 3.0) * 0.85, "fair");
    let lost = 0.5 * 0.04 + 0.25 * 0.02;
    assert_near(
        watches.mean_sleep_hours,
        watches.fair_sleep_hours * (1.0 - lost),
        "mean",
    );
    assert_eq!(watches.turns.len(), 14);
    let mut alone = settings();
    alone.crew.people.truncate(1);
    let plan = planned(&alone, &outcome(&[30.0; 5]));
    assert_near(plan.watches.mean_sleep_hours, 0.0, "nobody else on watch");
    assert!(plan.watches.turns.is_empty());
    assert!(plan.cautions.contains(&Caution::LookoutAlone));
}

#[test]
fn json_carries_rule_rate_and_origin() {
    let plan = planned(&settings(), &outcome(&[30.0; 5]));
    let json = serde_json::to_value(&plan).unwrap();
    let drinking = &json["water"]["lines"][0];
    assert_eq!(drinking["item"], "drinking-and-cooking-water");
    assert_eq!(drinking["unit"], "L");
    assert_eq!(drinking["rate"]["value"], 4.0);
    assert_eq!(drinking["rate"]["per"], "person-and-day");
    assert_eq!(drinking["basis"]["status"], "common-practice");
    assert_eq!(drinking["days"], 45.0);
    let autopilot = &json["power"]["lines"][0];
    assert_eq!(autopilot["name"], "autopilot");
    assert_eq!(autopilot["rule"]["kind"], "each-day");
    assert_eq!(autopilot["rule"]["hours"], 24.0);
    assert_eq!(json["cautions"][0]["kind"], "water-is-minimum");
    assert_eq!(json["chosen"]["percent"], 90.0);
}

#[test]
fn cautions_about_water_fit_what_is_reckoned_with() {
    let cautions = |uses: &[(&str, f64)]| {
        let mut voyage = settings();
        let of = |(name, litres): &(&str, f64)| WaterUse {
            purpose: Purpose::from((*name).to_owned()),
            litres_per_person_day: *litres,
            basis: Basis::GIVEN,
        };
        if !uses.is_empty() {
            voyage.water.uses = uses.iter().map(of).collect();
        }
        planned(&voyage, &outcome(&[30.0; 5])).cautions
    };
    let less_than_on_shore = |litres_per_person_day| Caution::LittleWater {
        litres_per_person_day,
    };
    let too_little_to_drink = |litres_per_person_day| Caution::LittleToDrink {
        litres_per_person_day,
    };
    let usual = cautions(&[]);
    assert!(usual.contains(&less_than_on_shore(4.0)), "{usual:?}");
    assert!(!usual.contains(&too_little_to_drink(4.0)), "{usual:?}");
    let washed = cautions(&[("drinking and cooking", 4.0), ("washing", 3.5)]);
    assert!(!washed.contains(&less_than_on_shore(7.5)), "{washed:?}");
    for name in ["drinking", "drinking and cooking"] {
        let dry = cautions(&[(name, 2.0), ("washing", 9.0)]);
        assert!(dry.contains(&too_little_to_drink(2.0)), "{dry:?}");
    }
}

#[test]
fn water_food_and_medical_cautions_are_always_there() {
    let plan = planned(&settings(), &outcome(&[1.0]));
    for caution in [
        Caution::WaterIsMinimum,
        Caution::SparesAreMinimum,
        Caution::FoodIsMinimum,
    ] {
        assert!(plan.cautions.contains(&caution), "{caution:?}");
    }
}
