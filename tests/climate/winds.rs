//! The climate and its wind statistics against independent calculations, and the ship winds
//! carried in the program against what is known of the world's winds.

use std::collections::HashMap;

use offing::climate::{Climate, ClimateGap, LocalClimate, Month, Region, SeasonDay, Wind};
use offing::geodesy::Position;
use offing::units::{Course, MS_PER_KN, WindFrom};

use crate::rows::reference_rows;

/// Nodes are kept in single precision: half a unit in the last place of 20 m/s, and as much again
/// for the mix.
const WIND_TOLERANCE_MS: f64 = 2e-6;

/// The same at 40 degrees C.
const TEMPERATURE_TOLERANCE_C: f64 = 4e-6;

const REPLACED_TOLERANCE: f64 = 1e-8;

/// Accuracy claimed for every share of the wind.
const SHARE_TOLERANCE: f64 = 1e-6;

/// A reference row's fields by column name.
type Row = HashMap<String, String>;

fn number(text: &str) -> f64 {
    text.parse()
        .unwrap_or_else(|_| panic!("a number, found '{text}'"))
}

fn place(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).expect("a place on the Earth")
}

fn world() -> Climate {
    Climate::ship_winds(&Region::world()).expect("the ship winds")
}

#[test]
fn samples_agree_with_an_independent_interpolation() {
    let climate = world();
    for row in reference_rows::<Row>("climate/interpolation.csv") {
        let value = |name| number(&row[name]);
        let (latitude_deg, longitude_deg) = (value("latitude_deg"), value("longitude_deg"));
        let season = SeasonDay::from_days(value("day_of_year"));
        let got = climate.at(place(latitude_deg, longitude_deg), season);
        let at = format!("{latitude_deg} {longitude_deg} day {}", season.days());
        if row["status"] == "gap" {
            assert!(
                matches!(got, Err(ClimateGap::NoData { .. })),
                "{at}: {got:?}"
            );
            continue;
        }
        let got = got.unwrap_or_else(|gap| panic!("{at}: {gap}"));
        for (name, got) in [
            ("u_ms", got.wind.u_ms),
            ("v_ms", got.wind.v_ms),
            ("s_ms", got.wind.s_ms),
        ] {
            let expected = value(name);
            assert!(
                (got - expected).abs() < WIND_TOLERANCE_MS,
                "{at}: {name} {got}, expected {expected}"
            );
        }
        match (row["air_temperature_c"].as_str(), got.air_temperature_c) {
            (expected, None) => assert_eq!(expected, "", "{at}"),
            (expected, Some(got)) => {
                let off = got - number(expected);
                assert!(
                    off.abs() < TEMPERATURE_TOLERANCE_C,
                    "{at}: air off by {off}"
                );
            }
        }
        let off = got.replaced_share.expect("the file tells") - value("replaced_share");
        assert!(
            off.abs() < REPLACED_TOLERANCE,
            "{at}: replaced share off by {off}"
        );
    }
}

#[test]
fn mean_speeds_agree_with_scipy() {
    for row in reference_rows::<Row>("climate/rice.csv")
        .into_iter()
        .filter(|row| row["kind"] == "root")
    {
        let value = |name| number(&row[name]);
        let wind = Wind {
            u_ms: value("m_ms"),
            v_ms: 0.0,
            s_ms: value("s_ms"),
        };
        let (got, expected) = (wind.mean_speed_ms(), value("w_ms"));
        assert!(
            (got - expected).abs() < 1e-10 * expected,
            "{wind:?}: {got}, expected {expected}"
        );
    }
}

#[test]
fn shares_agree_with_scipy() {
    for row in reference_rows::<Row>("climate/wind_shares.csv") {
        let value = |name| number(&row[name]);
        // A northerly of the size given, met on a course as far off it as given.
        let wind = Wind {
            u_ms: 0.0,
            v_ms: -value("m_ms"),
            s_ms: value("s_ms"),
        };
        let course = Course::from_deg(-value("mean_off_deg"));
        let (half_deg, speed_ms) = (value("half_angle_deg"), value("threshold_ms"));
        for (name, got) in [
            ("share_speed", wind.share_at_or_above(speed_ms)),
            ("share_within", wind.share_within(course, half_deg)),
            (
                "share_both",
                wind.share_within_at_or_above(course, half_deg, speed_ms),
            ),
        ] {
            let expected = value(name);
            assert!(
                (got - expected).abs() < SHARE_TOLERANCE,
                "{wind:?}: {name} {got}, expected {expected}"
            );
        }
    }
}

/// Where a node is known well: by name, latitude and longitude.
const TRADES: [(&str, f64, f64); 5] = [
    ("South Indian", -17.0, 81.0),
    ("North Atlantic", 15.0, -39.0),
    ("South Atlantic", -13.0, -15.0),
    ("North Pacific", 15.0, -151.0),
    ("South Pacific", -13.0, -121.0),
];

const WESTERLIES: [(&str, f64, f64); 4] = [
    ("South Indian", -41.0, 81.0),
    ("North Atlantic", 51.0, -29.0),
    ("North Pacific", 45.0, -171.0),
    ("South Pacific", -43.0, -151.0),
];

fn monthly<'a>(
    climate: &'a Climate,
    (name, latitude_deg, longitude_deg): (&'a str, f64, f64),
) -> impl Iterator<Item = Wind> + 'a {
    Month::ALL.into_iter().map(move |month| {
        let local = climate.month_at(place(latitude_deg, longitude_deg), month);
        local
            .unwrap_or_else(|| panic!("no wind in the {name} in {month}"))
            .wind
    })
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    sum / count
}

/// Common practice, no source: the trades are steady, the westerlies are not.
#[test]
fn trades_are_steadier_than_westerlies() {
    let climate = world();
    let steadiness = |place| mean(monthly(&climate, place).filter_map(|wind| wind.steadiness()));
    let least_of_trades = TRADES.map(steadiness).into_iter().fold(1.0, f64::min);
    let most_of_westerlies = WESTERLIES.map(steadiness).into_iter().fold(0.0, f64::max);
    assert!(
        least_of_trades > most_of_westerlies,
        "{least_of_trades} {most_of_westerlies}"
    );
}

/// Common practice, no source: easterly trades, westerly westerlies.
#[test]
fn trades_blow_from_the_east_and_westerlies_from_the_west() {
    let climate = world();
    for place in TRADES {
        assert!(
            mean(monthly(&climate, place).map(|wind| wind.u_ms)) < 0.0,
            "{place:?}"
        );
    }
    for place in WESTERLIES {
        assert!(
            mean(monthly(&climate, place).map(|wind| wind.u_ms)) > 0.0,
            "{place:?}"
        );
    }
}

/// Common practice, no source: the North Atlantic is stormy in winter, and stormier than any trade.
#[test]
fn gales_are_for_the_north_atlantic_winter() {
    let climate = world();
    let gale_ms = 34.0 * MS_PER_KN;
    let in_month = |month: usize| {
        let local = climate
            .month_at(place(50.0, -30.0), Month::ALL[month])
            .expect("sea");
        local.wind.share_at_or_above(gale_ms)
    };
    assert!(in_month(0) > in_month(6), "{} {}", in_month(0), in_month(6));
    for place in TRADES {
        for wind in monthly(&climate, place) {
            assert!(wind.share_at_or_above(gale_ms) < in_month(0), "{place:?}");
        }
    }
}

/// By definition the mean of the speed is not below the speed of the mean: the spread is at its
/// least only where few reports, or the repair between them, leave no more.
#[test]
fn the_mean_speed_exceeds_the_vector_mean() {
    let climate = world();
    let (at_least, all) = (
        climate.node_months_at_least_deviation(),
        climate.node_months_with_wind(),
    );
    assert!(all > 100_000, "{all}");
    assert!(at_least * 1000 <= all, "{at_least} of {all}");
    assert_eq!(climate.notes(), [] as [&str; 0]);
}

#[test]
fn a_region_reads_as_the_world_does() {
    let part = Climate::ship_winds(&Region::between(-50.0, -10.0, 20.0, 125.0)).expect("a part");
    let world = world();
    for (latitude_deg, longitude_deg) in
        [(-32.0, 115.0), (-10.0, 60.0), (-50.0, 20.0), (-30.5, 33.3)]
    {
        let season = SeasonDay::from_days(130.0);
        let kept = part
            .at(place(latitude_deg, longitude_deg), season)
            .expect("sea")
            .wind;
        let whole = world
            .at(place(latitude_deg, longitude_deg), season)
            .expect("sea")
            .wind;
        assert!(
            (kept.u_ms - whole.u_ms).abs() < WIND_TOLERANCE_MS,
            "{latitude_deg} {longitude_deg}"
        );
        assert!(
            (kept.s_ms - whole.s_ms).abs() < WIND_TOLERANCE_MS,
            "{latitude_deg} {longitude_deg}"
        );
    }
}

#[test]
fn ship_winds_have_air_temperature_and_tell_what_was_replaced() {
    let climate = world();
    assert!(climate.has_air_temperature());
    let local = climate
        .month_at(place(-33.0, 71.0), Month::ALL[0])
        .expect("sea");
    assert!((10.0..30.0).contains(&local.air_temperature_c.expect("air")));
    assert!(local.replaced_share.is_some());
    assert!(
        climate.label().starts_with("ship winds"),
        "{}",
        climate.label()
    );
}

mod properties {
    use proptest::prelude::*;

    use super::*;

    thread_local! {
        static WORLD: Climate = world();
    }

    fn at(latitude_deg: f64, longitude_deg: f64, days: f64) -> Option<LocalClimate> {
        let season = SeasonDay::from_days(days);
        WORLD.with(|climate| climate.at(place(latitude_deg, longitude_deg), season).ok())
    }

    fn nearly(a: Option<LocalClimate>, b: Option<LocalClimate>) -> bool {
        match (a, b) {
            (None, None) => true,
            (Some(a), Some(b)) => {
                (a.wind.u_ms - b.wind.u_ms).hypot(a.wind.v_ms - b.wind.v_ms) < 1e-6
                    && (a.wind.s_ms - b.wind.s_ms).abs() < 1e-6
            }
            _ => false,
        }
    }

    proptest! {
        #[test]
        fn the_world_and_the_year_are_circles(
            latitude_deg in -60.0..60.0f64, longitude_deg in -180.0..180.0f64, days in 0.0..365.0f64,
        ) {
            let here = at(latitude_deg, longitude_deg, days);
            prop_assert!(nearly(here, at(latitude_deg, longitude_deg - 360.0_f64.copysign(longitude_deg), days)));
            prop_assert!(nearly(here, at(latitude_deg, longitude_deg, days + 365.2425)));
        }

        #[test]
        fn a_sample_lies_within_its_nodes(
            row in -30i32..30, column in -90i32..90, north in 0.0..1.0f64, east in 0.0..1.0f64,
            month in 0usize..12,
        ) {
            // Nodes stand on odd degrees.
            let (south_deg, west_deg) = (f64::from(2 * row) + 1.0, f64::from(2 * column) + 1.0);
            let node = |north, east| {
                WORLD.with(|climate| climate.month_at(place(south_deg + north, west_deg + east), Month::ALL[month]))
            };
            let corners = [node(0.0, 0.0), node(0.0, 2.0), node(2.0, 0.0), node(2.0, 2.0)];
            let corners: Vec<Wind> = corners.into_iter().flatten().map(|local| local.wind).collect();
            let Some(got) = node(2.0 * north, 2.0 * east) else {
                return Ok(());
            };
            for part in [|wind: &Wind| wind.u_ms, |wind: &Wind| wind.v_ms, |wind: &Wind| wind.s_ms] {
                let least = corners.iter().map(part).fold(f64::INFINITY, f64::min);
                let most = corners.iter().map(part).fold(f64::NEG_INFINITY, f64::max);
                prop_assert!((least - 1e-6..=most + 1e-6).contains(&part(&got.wind)));
            }
        }

        #[test]
        fn the_rose_leans_to_the_mean_wind(
            latitude_deg in -60.0..60.0f64, longitude_deg in -180.0..180.0f64, days in 0.0..365.0f64,
        ) {
            if let Some(local) = at(latitude_deg, longitude_deg, days) {
                let rose = local.wind.rose();
                let strongest = rose.iter().max_by(|a, b| a.share.total_cmp(&b.share)).expect("sectors");
                let from: WindFrom = local.wind.direction();
                let off_deg = offing::units::wrap_180_deg(strongest.from.deg() - from.deg()).abs();
                prop_assert!(off_deg <= 22.5 + 1e-6, "{off_deg}");
            }
        }
    }
}
