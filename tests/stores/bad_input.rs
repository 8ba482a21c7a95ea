//! Bad input: every refusal is typed and names the thing, what was found and what is allowed.

use crate::common::{BODY, outcome, planned, settings};
use offing::boat::{Burn, PowerCurve};
use offing::stores::*;

type Spoil = fn(&mut StoresSettings, &mut PassageOutcome);

/// The thing, a word of the message, and how the input is spoilt.
const CASES: [(&str, &str, Spoil); 25] = [
    ("people aboard", "needed: at least one", |s, _| {
        s.crew.people.clear()
    }),
    ("person 2: body mass", "30 to 250 kg", |s, _| {
        s.crew.people[1].need = FoodNeed::Body(Body {
            mass_kg: f64::NAN,
            ..BODY
        });
    }),
    ("person 1: age", "18 to 100 years", |s, _| {
        s.crew.people[0].need = FoodNeed::Body(Body {
            age_years: 9.0,
            ..BODY
        });
    }),
    ("person 1: physical activity level", "1.4 to 2.4", |s, _| {
        let activity = Activity::Level(3.0);
        s.crew.people[0].need = FoodNeed::Body(Body { activity, ..BODY });
    }),
    ("person 1: food energy", "is -1 kcal/day", |s, _| {
        s.crew.people[0].need = FoodNeed::Given(-1.0);
    }),
    ("watch keepers", "at least one person", |s, _| {
        s.crew
            .people
            .iter_mut()
            .for_each(|person| person.keeps_watch = false);
    }),
    ("passages: percentile", "50 to 99 %", |s, _| {
        s.reserve.confidence_percent = Some(49.9)
    }),
    ("passages: percentile", "is 100 %", |s, _| {
        s.reserve.confidence_percent = Some(100.0)
    }),
    ("passages: percentile", "is NaN %", |s, _| {
        s.reserve.confidence_percent = Some(f64::NAN)
    }),
    ("food: reserve share", "is -0.1", |s, _| {
        s.reserve.food_share = Some(-0.1)
    }),
    ("destination: days until resupply", "is -2 days", |s, _| {
        s.resupply.days = Some(-2.0)
    }),
    ("tanks: fuel carried", "is -5 litres", |s, _| {
        s.engine.as_mut().unwrap().supply.tank_litres = -5.0
    }),
    (
        "engine: fuel burnt under power",
        "0.05 to 200 litres/h",
        |s, _| {
            s.engine.as_mut().unwrap().burn = Burn::LitresPerHour(0.0);
        },
    ),
    ("engine: she cruises at 7 kn", "no higher", |s, _| {
        s.engine.as_mut().unwrap().burn = Burn::FromPower(PowerCurve {
            power_kw: 20.0,
            speed_kn: 6.0,
            cruising_kn: 7.0,
            specific_consumption_g_per_kwh: None,
            density_kg_per_litre: None,
        });
    }),
    ("uses of water", "at least one", |s, _| s.water.uses.clear()),
    ("drinking and cooking: water", "is -3", |s, _| {
        s.water.uses[0].litres_per_person_day = -3.0
    }),
    ("watermaker: hours a day", "0 to 24 h", |s, _| {
        let hours_per_day = Some(25.0);
        s.water.watermaker = Some(Watermaker {
            litres_per_hour: 8.0,
            watts: 50.0,
            hours_per_day,
        });
    }),
    ("size of the water tanks", "with a watermaker", |s, _| {
        s.water.tank_litres = None;
        s.water.watermaker = Some(Watermaker {
            litres_per_hour: 8.0,
            watts: 50.0,
            hours_per_day: None,
        });
    }),
    ("engine", "to turn the alternator", |s, _| s.engine = None),
    ("dry food", "at least one kind", |s, _| {
        s.food.kinds.retain(|kind| kind.keeping != Keeping::Dry)
    }),
    ("engine oil: use since the last change", "is -1", |s, _| {
        s.service.items[0].since_last = -1.0
    }),
    ("passage", "at least one simulated passage", |_, o| {
        o.members.clear()
    }),
    (
        "simulated passage 3: days of passage",
        "0 to 400 days",
        |_, o| o.members[2].days = Some(f64::INFINITY),
    ),
    ("simulated passage 2", "no more hours", |_, o| {
        o.members[1].gale_hours = 1e3
    }),
    ("passage", "at least one day of track", |_, o| {
        o.track.clear()
    }),
];

#[test]
fn each_refusal_names_the_thing_and_what_is_allowed() {
    for (field, word, spoil) in CASES {
        let (mut voyage, mut passage) = (settings(), outcome(&[30.0; 5]));
        spoil(&mut voyage, &mut passage);
        let error = plan(&voyage, &passage).expect_err(field);
        let message = error.to_string();
        assert!(message.contains(word), "'{word}' is not in '{message}'");
        assert!(
            message.starts_with(field),
            "'{message}' is not about '{field}'"
        );
    }
}

#[test]
fn a_crew_is_not_a_regiment() {
    let mut voyage = settings();
    voyage.crew.people = Person::alike(21, FoodNeed::Body(BODY));
    let error = plan(&voyage, &outcome(&[30.0; 5])).unwrap_err();
    assert_eq!(
        error.to_string(),
        "people aboard: crew is 21 people; allowed: 1 to 20 people"
    );
}

#[test]
fn too_few_arrivals_for_the_percentile_are_an_outcome() {
    let mut passage = outcome(&[20.0, 22.0, 24.0, 26.0, 28.0]);
    passage.members[4].days = None;
    passage.members[3].days = None;
    let mut voyage = settings();
    let few = TooFewArrive {
        confidence_percent: 90.0,
        arrived_percent: 60.0,
    };
    let found = plan(&voyage, &passage).unwrap();
    assert_eq!(found, RoutePlan::TooFewArrive(few));
    voyage.reserve.confidence_percent = Some(50.0);
    assert!(plan(&voyage, &passage).unwrap().planned().is_some());
    // Without half of the passages there is no track either.
    passage.members[2].days = None;
    passage.track.clear();
    assert!(plan(&voyage, &passage).unwrap().planned().is_none());
}

#[test]
fn a_tank_too_small_is_a_caution_and_no_error() {
    let mut voyage = settings();
    voyage.engine.as_mut().unwrap().supply.tank_litres = 0.0;
    voyage.water.tank_litres = Some(0.0);
    let plan = planned(&voyage, &outcome(&[30.0; 5]));
    let fuel = plan.fuel.as_ref().unwrap();
    assert_eq!(fuel.shortfall_litres, fuel.chosen.to_load_litres);
    let (percent, diesel) = (90.0, fuel.shortfall_litres);
    let water = plan.water.shortfall_litres.unwrap();
    assert!(diesel > 0.0 && water > 0.0);
    for caution in [
        Caution::DieselShort {
            percent,
            short_litres: diesel,
        },
        Caution::WaterShort {
            short_litres: water,
        },
    ] {
        assert!(plan.cautions.contains(&caution), "{caution:?}");
    }
}
