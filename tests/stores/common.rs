//! A plain crew of two and a plain passage, for the tests of the stores floor.

use jiff::ToSpan;
use jiff::civil::date;
use offing::boat::{Burn, FuelSupply};
use offing::stores::*;

/// A woman of 25 and 55 kg, the body of the published worked example.
pub const BODY: Body = Body {
    sex: Sex::Female,
    age_years: 25.0,
    mass_kg: 55.0,
    height_cm: None,
    activity: Activity::Moderate,
};

/// Two people, an engine of 2 L/h with a 100 L tank, 500 L of water, panels and an alternator.
pub fn settings() -> StoresSettings {
    let crew = CrewSettings {
        people: Person::alike(2, FoodNeed::Body(BODY)),
        pets: Vec::new(),
    };
    let mut settings = StoresSettings::new(crew, WaterSettings::new(Some(500.0)));
    settings.engine = Some(EngineSettings {
        burn: Burn::LitresPerHour(2.0),
        charging_litres_per_hour: None,
        supply: FuelSupply {
            tank_litres: 100.0,
            usable_share: Some(0.9),
            can_litres: 0.0,
        },
        arrival_hours: None,
    });
    settings.power = Some(PowerSettings {
        battery: Some(Battery::new(BatteryKind::Lithium, 4800.0)),
        solar: Some(Solar::new(400.0)),
        alternator: Some(Alternator::new(600.0)),
        ..PowerSettings::default()
    });
    settings
}

/// A passage whose members take these days, in the Indian Ocean in May; each motors, meets gales and
/// beats hard for a share of its time.
pub fn outcome(member_days: &[f64]) -> PassageOutcome {
    let members = member_days
        .iter()
        .map(|&days| MemberOutcome {
            days: Some(days),
            motor_hours: 24.0 * days * 0.05,
            gale_hours: 24.0 * days * 0.04,
            hard_beat_hours: 24.0 * days * 0.02,
            ran_dry: false,
            harbour_days: 0.0,
        })
        .collect();
    let start = date(2026, 5, 1);
    let track = (0..30)
        .map(|day| TrackDay {
            date: start + day.days(),
            latitude_deg: -30.0,
            longitude_deg: 115.0 - 2.8 * day as f64,
            mean_wind_ms: 8.0,
        })
        .collect();
    PassageOutcome {
        route: "trade".to_owned(),
        members,
        mean_air_temperature_c: Some(18.0),
        track,
        thresholds: vec![ThresholdTrial {
            motor_below_kn: Some(3.0),
            p50: Some(DaysAndLitres {
                days: 29.0,
                litres: 60.0,
            }),
            chosen: Some(DaysAndLitres {
                days: 33.0,
                litres: 90.0,
            }),
        }],
        start: "A".to_owned(),
        stages: Vec::new(),
    }
}

/// The loading list; the test fails without one.
pub fn planned(settings: &StoresSettings, outcome: &PassageOutcome) -> LoadingPlan {
    match plan(settings, outcome).unwrap() {
        RoutePlan::Planned(plan) => *plan,
        RoutePlan::TooFewArrive(few) => panic!("{few:?}"),
    }
}

/// The first line of that kind; the test fails without it.
#[allow(dead_code)] // not every test looks at single lines
pub fn line(plan: &LoadingPlan, item: Item) -> &Line {
    let mut lines = plan.lines();
    let found = lines.find(|(_, line)| line.item == item);
    found.unwrap_or_else(|| panic!("no line of {item:?}")).1
}

/// The line of that kind and name; the test fails without it.
#[allow(dead_code)] // not every test looks at single lines
pub fn named<'a>(plan: &'a LoadingPlan, item: Item, name: &str) -> &'a Line {
    let mut lines = plan.lines();
    let found = lines.find(|(_, line)| line.item == item && line.name.as_deref() == Some(name));
    found
        .unwrap_or_else(|| panic!("no line of {item:?} '{name}'"))
        .1
}
