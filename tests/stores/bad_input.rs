//! Bad input: every refusal is typed and names the field, what was found and what is allowed.

use crate::common::{BODY, outcome, settings};
use offing::boat::{Burn, PowerCurve};
use offing::stores::*;

type Spoil = fn(&mut StoresSettings, &mut PassageOutcome);

/// The field, a word of the message, and how the input is spoilt.
const CASES: [(&str, &str, Spoil); 25] = [
    ("crew.person", "at least one person", |s, _| {
        s.crew.people.clear()
    }),
    ("crew.person[2].mass", "30 to 250 kg", |s, _| {
        s.crew.people[1].need = FoodNeed::Body(Body {
            mass_kg: f64::NAN,
            ..BODY
        });
    }),
    ("crew.person[1].age_years", "18 to 100 years", |s, _| {
        s.crew.people[0].need = FoodNeed::Body(Body {
            age_years: 9.0,
            ..BODY
        });
    }),
    ("crew.person[1].activity_level", "1.4 to 2.4", |s, _| {
        let activity = Activity::Level(3.0);
        s.crew.people[0].need = FoodNeed::Body(Body { activity, ..BODY });
    }),
    ("crew.person[1].kcal_per_day", "is -1 kcal/day", |s, _| {
        s.crew.people[0].need = FoodNeed::Given(-1.0);
    }),
    ("crew.person.keeps_watch", "at least one person", |s, _| {
        s.crew
            .people
            .iter_mut()
            .for_each(|person| person.keeps_watch = false);
    }),
    ("reserve.confidence_percent", "50 to 99 %", |s, _| {
        s.reserve.confidence_percent = Some(49.9)
    }),
    ("reserve.confidence_percent", "is 100 %", |s, _| {
        s.reserve.confidence_percent = Some(100.0)
    }),
    ("reserve.confidence_percent", "is NaN %", |s, _| {
        s.reserve.confidence_percent = Some(f64::NAN)
    }),
    ("reserve.food_share", "is -0.1", |s, _| {
        s.reserve.food_share = Some(-0.1)
    }),
    ("resupply.days", "is -2 days", |s, _| {
        s.resupply.days = Some(-2.0)
    }),
    ("boat.engine.fuel", "is -5 litres", |s, _| {
        s.engine.as_mut().unwrap().supply.tank_litres = -5.0
    }),
    (
        "boat.engine.litres_per_hour",
        "0.05 to 200 litres/h",
        |s, _| {
            s.engine.as_mut().unwrap().burn = Burn::LitresPerHour(0.0);
        },
    ),
    (
        "boat.engine.motor_speed_kn",
        "at most boat.engine.power_speed_kn",
        |s, _| {
            s.engine.as_mut().unwrap().burn = Burn::FromPower(PowerCurve {
                power_kw: 20.0,
                speed_kn: 6.0,
                cruising_kn: 7.0,
                specific_consumption_g_per_kwh: None,
                density_kg_per_litre: None,
            });
        },
    ),
    ("water.use", "at least one use", |s, _| s.water.uses.clear()),
    ("water.use.drinking.per_person_day", "is -3", |s, _| {
        s.water.uses[0].litres_per_person_day = -3.0
    }),
    ("water.watermaker.hours_per_day", "0 to 24 h", |s, _| {
        let hours_per_day = Some(25.0);
        s.water.watermaker = Some(Watermaker {
            litres_per_hour: 8.0,
            watts: 50.0,
            hours_per_day,
        });
    }),
    ("water.tank", "with a watermaker", |s, _| {
        s.water.tank_litres = None;
        s.water.watermaker = Some(Watermaker {
            litres_per_hour: 8.0,
            watts: 50.0,
            hours_per_day: None,
        });
    }),
    ("power.alternator", "with an engine", |s, _| s.engine = None),
    ("food.kind", "dry food", |s, _| {
        s.food.kinds.retain(|kind| kind.keeping != Keeping::Dry)
    }),
    (
        "service.item.engine oil.engine_hours_since",
        "is -1",
        |s, _| s.service.items[0].since_last = -1.0,
    ),
    (
        "outcome.members",
        "at least one simulated passage",
        |_, o| o.members.clear(),
    ),
    ("outcome.members[2].days", "0 to 400 days", |_, o| {
        o.members[2].days = Some(f64::INFINITY)
    }),
    ("outcome.members[1].gale_hours", "no more hours", |_, o| {
        o.members[1].gale_hours = 1e3
    }),
    ("outcome.track", "at least one day", |_, o| o.track.clear()),
];

#[test]
fn each_refusal_names_its_field_and_what_is_allowed() {
    for (field, word, spoil) in CASES {
        let (mut voyage, mut passage) = (settings(), outcome(&[30.0; 5]));
        spoil(&mut voyage, &mut passage);
        let error = LoadingPlan::of(&voyage, &passage).expect_err(field);
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
    let error = LoadingPlan::of(&voyage, &outcome(&[30.0; 5])).unwrap_err();
    assert_eq!(
        error.to_string(),
        "crew.people: crew is 21 people; allowed: 1 to 20 people"
    );
}

#[test]
fn too_few_arrivals_for_the_percentile_are_refused() {
    let mut passage = outcome(&[20.0, 22.0, 24.0, 26.0, 28.0]);
    passage.members[4].days = None;
    passage.members[3].days = None;
    let mut voyage = settings();
    let error = LoadingPlan::of(&voyage, &passage).unwrap_err();
    let expected = StoresError::NotReached {
        found_percent: 90.0,
        arrived_percent: 60.0,
    };
    assert_eq!(error, expected);
    assert!(
        error.to_string().contains("only 60.0 % of the passages"),
        "{error}"
    );
    voyage.reserve.confidence_percent = Some(50.0);
    assert!(LoadingPlan::of(&voyage, &passage).is_ok());
}

#[test]
fn a_tank_too_small_is_a_caution_and_no_error() {
    let mut voyage = settings();
    voyage.engine.as_mut().unwrap().supply.tank_litres = 0.0;
    voyage.water.tank_litres = Some(0.0);
    let plan = LoadingPlan::of(&voyage, &outcome(&[30.0; 5])).unwrap();
    let short = |subject: Subject, litres: f64| {
        assert!(litres > 0.0);
        assert!(
            plan.cautions
                .iter()
                .any(|caution| caution.subject == subject && caution.quantity == Some(litres))
        );
    };
    let fuel = plan.fuel.as_ref().unwrap();
    assert_eq!(fuel.shortfall_litres, fuel.chosen.litres);
    short(Subject::Fuel, fuel.shortfall_litres);
    short(Subject::Water, plan.water.shortfall_litres.unwrap());
}
