//! A year's plan against what else says the same: the season of one stage, every pair of dates tried, and
//! the calendar of a circumnavigation by the trades.

use std::path::Path;

use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use offing::Voyage;
use offing::passage::EnsembleOptions;
use offing::study::{
    MOST_LATE, Obstacle, Options, PlanOptions, SeasonOptions, StageChoice, WayDeparture, YearPlan,
    season, year_plan,
};

const POLAR: (&str, &str) = (
    "polar.csv",
    include_str!("../../fixtures/demo/cutter-12m.csv"),
);

const HEAD: &str =
    "[voyage]\nname = \"Year\"\ndeparture = 2027-01-01\n[boat]\npolar = \"polar.csv\"\n";

/// Two stages from the Chagos to Madagascar's south, where cyclones come from November to April.
const STAGES: &str = r#"
[[stage]]
name = "West"
stay = "12 days"
[[stage.route]]
name = "North"
[[stage.route.waypoint]]
name = "A"
position = "12 S, 80 E"
[[stage.route.waypoint]]
name = "B"
position = "18 S, 65 E"
[[stage.route]]
name = "South"
[[stage.route.waypoint]]
name = "A"
position = "12 S, 80 E"
[[stage.route.waypoint]]
name = "Turn"
position = "20 S, 74 E"
[[stage.route.waypoint]]
name = "B"
position = "18 S, 65 E"

[[stage]]
name = "South-west"
[[stage.route]]
name = "On"
[[stage.route.waypoint]]
name = "B"
position = "18 S, 65 E"
[[stage.route.waypoint]]
name = "C"
position = "28 S, 48 E"
"#;

fn voyage(text: &str) -> Voyage {
    Voyage::parse("year.toml", &format!("{HEAD}{text}"), &[POLAR]).unwrap()
}

fn few() -> Options {
    Options::default().with_ensemble(EnsembleOptions {
        members: 100,
        ..EnsembleOptions::default()
    })
}

fn plan_every(voyage: &Voyage, every_days: u8) -> YearPlan {
    let options = PlanOptions {
        every_days,
        ..PlanOptions::default()
    };
    let climate = voyage.open_climate().unwrap();
    year_plan(voyage, &climate, &few(), options, || ()).unwrap()
}

#[test]
fn one_stage_with_one_way_is_the_best_departure_of_the_season() {
    let stage = STAGES.split("\n\n").last().unwrap();
    let voyage = voyage(stage);
    let year = plan_every(&voyage, 15);
    let alone = voyage.stage("South-west").unwrap();
    let options = SeasonOptions {
        every_days: 15,
        ..SeasonOptions::default()
    };
    let climate = alone.open_climate().unwrap();
    let season = season(&alone, &climate, &few(), options, || ()).unwrap();
    let clear = season.departures.iter().filter(|departure| {
        let storms = departure.routes[0].ensemble.storms.as_ref().unwrap();
        storms.chance <= season.most_storm_chance
    });
    let tenths = |days: Option<f64>| (days.unwrap() * 10.0).round() as u32;
    let best = clear
        .min_by_key(|departure| {
            let ensemble = &departure.routes[0].ensemble;
            (tenths(ensemble.days.p50), ensemble.arrival.p50)
        })
        .unwrap();
    let planned = &year.by_time.as_ref().unwrap().stages[0].sailed;
    assert_eq!(planned.departure, best.date);
    assert_eq!(planned.days_p50, best.routes[0].ensemble.days.p50);
    assert_eq!(planned.arrival_p90, best.routes[0].ensemble.arrival.p90);
}

/// The departures of a stage, with their ways.
fn departures(stage: &StageChoice) -> impl Iterator<Item = (&str, &WayDeparture)> {
    stage.ways.iter().flat_map(|way| {
        let departures = way.departures.iter();
        departures.map(|sailed| (way.name.as_str(), sailed))
    })
}

/// What a pair of departures comes to, in the order in which plans are compared.
fn price(pair: [&WayDeparture; 2], most: f64) -> (u32, u32, Date) {
    let sum = |figure: &dyn Fn(&WayDeparture) -> u32| pair.iter().map(|one| figure(one)).sum();
    let beyond = |one: &WayDeparture| ((one.storm_chance.unwrap() - most).max(0.0) * 1000.0).ceil();
    (
        sum(&|one| beyond(one) as u32),
        sum(&|one| (one.days_p50.unwrap() * 10.0).round() as u32),
        pair[1].arrival_p50.unwrap(),
    )
}

#[test]
fn two_stages_are_the_best_of_all_pairs_of_dates() {
    // With a deadline in the storm season the storms decide, with one in winter the days do.
    for by in ["2027-03-20", "2027-10-01"] {
        let deadline = format!("name = \"South-west\"\narrive_by = {by}");
        let text = STAGES.replace("name = \"South-west\"", &deadline);
        let year = plan_every(&voyage(&text), 8);
        let [first, second] = &year.stages[..] else {
            panic!("two stages");
        };
        let in_time = |one: &WayDeparture| one.late_chance.is_none_or(|late| late <= MOST_LATE);
        let mut best = None;
        for (way, a) in departures(first) {
            let Some(days) = a.days_p90 else { continue };
            // Days at sea at P90 and in harbour at least, counted anew.
            let ready = a.departure + ((days + 12.0).ceil() as i64).days();
            assert_eq!(a.ready, Some(ready));
            for (_, b) in departures(second).filter(|(_, b)| b.departure >= ready && in_time(b)) {
                if b.ready.is_none() {
                    continue;
                }
                let price = price([a, b], year.most_storm_chance);
                if best.as_ref().is_none_or(|(least, _)| price < *least) {
                    best = Some((price, way));
                }
            }
        }
        let plan = year.by_time.as_ref().unwrap();
        let [a, b] = [0, 1].map(|stage| &plan.stages[stage].sailed);
        let found = price([a, b], year.most_storm_chance);
        assert_eq!(found, best.unwrap().0, "{by}");
        assert_eq!(found.0 > 0, by == "2027-03-20");
        assert!(b.departure >= a.ready.unwrap() && in_time(b));
        let hardship = year.by_hardship.as_ref().unwrap();
        assert!(hardship.hard_hours <= plan.hard_hours + 0.1);
        assert!(hardship.days_at_sea >= plan.days_at_sea - 0.1);
    }
}

#[test]
fn what_cannot_be_kept_names_its_stage() {
    let deadline = "name = \"South-west\"\narrive_by = 2027-01-20";
    let text = STAGES.replace("name = \"South-west\"", deadline);
    let year = plan_every(&voyage(&text), 15);
    assert!(year.by_time.is_none() && year.by_hardship.is_none());
    let fails = year.fails.unwrap();
    assert_eq!(
        (fails.stage.as_str(), fails.why),
        ("South-west", Obstacle::Deadline)
    );
    let missed = fails.missed.unwrap();
    assert_eq!((missed.at.as_str(), missed.by), ("C", date(2027, 1, 20)));
    assert!(missed.chance > MOST_LATE && missed.departure >= fails.ready);

    let late = STAGES.replace("stay = \"12 days\"", "leave_after = 2028-02-01");
    let fails = plan_every(&voyage(&late), 15).fails.unwrap();
    assert_eq!(fails.stage, "South-west");
    assert_eq!(
        (fails.why, fails.ready),
        (Obstacle::NoDepartureLeft, date(2028, 2, 1))
    );
}

/// A stage of the usual trade-wind circumnavigation: the months in which it is usually begun (common
/// practice, no source), those of them in which the storms exceed the limit by the observed table, and
/// others that must exceed it.
struct Usual {
    file: &'static str,
    stage: &'static str,
    begun: &'static [i8],
    disagreeing: &'static [i8],
    stormy: &'static [i8],
}

const USUAL: [Usual; 6] = [
    Usual {
        file: "atlantic.toml",
        stage: "Atlantic",
        begun: &[11, 12, 1],
        disagreeing: &[],
        stormy: &[7, 8, 9],
    },
    Usual {
        file: "pacific.toml",
        stage: "Panama to the Marquesas",
        begun: &[2, 3, 4, 5],
        disagreeing: &[],
        stormy: &[],
    },
    Usual {
        file: "pacific.toml",
        stage: "Marquesas to Tonga",
        begun: &[4, 5, 6, 7, 8, 9, 10],
        disagreeing: &[],
        stormy: &[1, 2],
    },
    Usual {
        file: "pacific.toml",
        stage: "Tonga to New Zealand",
        begun: &[10, 11],
        disagreeing: &[],
        stormy: &[1, 2, 3],
    },
    Usual {
        file: "indian.toml",
        stage: "Darwin to Mauritius",
        begun: &[4, 5, 6, 7, 8, 10],
        disagreeing: &[4, 10],
        stormy: &[11, 12, 1, 2, 3],
    },
    Usual {
        file: "indian.toml",
        stage: "Cape Town to Grenada",
        begun: &[12, 1, 2, 3],
        disagreeing: &[],
        stormy: &[],
    },
];

#[test]
fn the_calendar_of_a_circumnavigation_by_the_trades() {
    for file in ["atlantic.toml", "pacific.toml", "indian.toml"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/plan");
        let voyage = Voyage::read(&path.join(file)).unwrap();
        let year = plan_every(&voyage, 15);
        for usual in USUAL.iter().filter(|usual| usual.file == file) {
            let stage = year.stages.iter().find(|stage| stage.name == usual.stage);
            let mean = |month: i8| {
                let ways = stage.unwrap().ways.iter().map(|way| {
                    let within = way.departures.iter();
                    let within = within.filter(|sailed| sailed.departure.month() == month);
                    let chances = within.filter_map(|sailed| sailed.storm_chance);
                    let chances: Vec<f64> = chances.collect();
                    chances.iter().sum::<f64>() / chances.len() as f64
                });
                ways.fold(f64::INFINITY, f64::min)
            };
            for &month in usual.begun {
                let exceeds = mean(month) > year.most_storm_chance;
                assert_eq!(
                    exceeds,
                    usual.disagreeing.contains(&month),
                    "{} {month}",
                    usual.stage
                );
            }
            for &month in usual.stormy {
                assert!(
                    mean(month) > year.most_storm_chance,
                    "{} {month}",
                    usual.stage
                );
            }
        }
        let plan = year.by_time.as_ref();
        if file == "pacific.toml" {
            // In New Zealand before the cyclones, by its deadline.
            let last = plan.unwrap().stages.last().unwrap();
            assert!(last.sailed.margin_days_p90.unwrap() >= 0.0, "{last:?}");
        }
    }
}
