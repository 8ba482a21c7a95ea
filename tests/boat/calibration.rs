//! The factor a log shows. The logs are invented data, made in the test from a known factor.

use offing::boat::{
    BoatError, Calibration, DropReason, Logbook, PointOfSailing, Polar, SpeedSource,
};

use crate::noise::Noise;

const FACTOR: f64 = 0.85;
const FACTOR_TOLERANCE: f64 = 0.01; // relative
const SPREAD: f64 = 0.08;
const SPREAD_TOLERANCE: f64 = 0.015;
/// One degree of longitude on the equator, nm: 6378137 m x pi / 180 (WGS84).
const NM_PER_EQUATOR_DEG: f64 = 6_378_137.0 * std::f64::consts::PI / 180.0 / 1852.0;

fn demo() -> Polar {
    Polar::parse(include_str!("../../fixtures/demo/cutter-12m.csv"), "demo").unwrap()
}

/// The time of the hour-th entry.
fn time(hour: usize) -> String {
    let start: jiff::Timestamp = "2025-04-01T00:00:00Z".parse().unwrap();
    (start + jiff::SignedDuration::from_hours(hour as i64)).to_string()
}

fn fit(text: &str) -> Result<Calibration, BoatError> {
    Calibration::new(&Logbook::parse(text, "log.csv").unwrap(), &demo())
}

/// A log of 2000 hours, one entry in 20 wildly wrong and one in 10 under power.
fn noisy_log(seed: u64) -> String {
    let polar = demo();
    let mut noise = Noise(seed);
    let mut text =
        String::from("time,true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn,under_power\n");
    for hour in 0..2000 {
        let wind_kn = 6.0 + 24.0 * noise.uniform();
        let angle_deg = 40.0 + 140.0 * noise.uniform();
        let ratio = FACTOR * (1.0 + SPREAD / FACTOR * noise.gaussian());
        let sailed_kn = polar.speed_kn(wind_kn, angle_deg) * ratio;
        let (speed_kn, under_power) = match hour % 20 {
            7 => (15.0 * noise.uniform(), "no"),
            3 | 13 => (6.0, "yes"),
            _ => (sailed_kn, "no"),
        };
        let port = if hour % 2 == 0 { -1.0 } else { 1.0 };
        let row = format!("{},{wind_kn},{},{speed_kn}", time(hour), port * angle_deg);
        text += &format!("{row},{under_power}\n");
    }
    text
}

#[test]
fn noisy_log_gives_back_the_factor_it_was_made_with() {
    for seed in [1, 2, 3] {
        let found = fit(&noisy_log(seed)).unwrap();
        let overall = found.overall;
        let error = overall.factor / FACTOR - 1.0;
        assert!(error.abs() < FACTOR_TOLERANCE, "seed {seed}: {overall:?}");
        assert!(
            (overall.standard_deviation - SPREAD).abs() < SPREAD_TOLERANCE,
            "seed {seed}: {overall:?}"
        );
        // 1.2816 standard deviations either side, a little more for the wrong entries.
        assert!(
            (overall.p90 - (FACTOR + 1.2816 * SPREAD)).abs() < 0.03,
            "{overall:?}"
        );
        assert!(
            (overall.p10 - (FACTOR - 1.2816 * SPREAD)).abs() < 0.03,
            "{overall:?}"
        );
        assert_eq!(found.speed_source, SpeedSource::Logged);
    }
}

#[test]
fn every_entry_is_used_or_left_out_for_a_reason() {
    let found = fit(&noisy_log(1)).unwrap();
    let left_out: usize = found.dropped.iter().map(|dropped| dropped.entries).sum();
    assert_eq!(found.entries_read, 2000);
    assert_eq!(found.overall.entries + left_out, 2000);
    assert_eq!(found.dropped[0].reason, DropReason::UnderPower);
    assert_eq!(found.dropped[0].entries, 200);
    let by_point: usize = found
        .by_point_of_sailing
        .iter()
        .map(|point| point.entries)
        .sum();
    assert_eq!(by_point, found.overall.entries);
}

#[test]
fn points_of_sailing_are_told_apart() {
    let polar = demo();
    let mut text = String::from("time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg\n");
    for hour in 0..70 {
        let (angle_deg, factor) = match hour {
            0..25 => (50.0, 0.7),
            25..50 => (110.0, 0.9),
            _ => (if hour < 69 { 150.0 } else { 59.9 }, 1.0),
        };
        let speed_kn = factor * polar.speed_kn(15.0, angle_deg);
        text += &format!("{},{speed_kn},15,{angle_deg}\n", time(hour));
    }
    let found = fit(&text).unwrap();
    let [upwind, reaching, running] = found.by_point_of_sailing;
    assert_eq!(
        (upwind.point_of_sailing, upwind.entries),
        (PointOfSailing::Upwind, 26)
    );
    assert!((upwind.estimate.unwrap().factor - 0.7).abs() < 1e-12);
    assert!((reaching.estimate.unwrap().factor - 0.9).abs() < 1e-12);
    assert_eq!((running.entries, running.estimate), (19, None));
    assert!((found.overall.factor - 0.9).abs() < 1e-12);
    assert!(found.dropped.is_empty());
}

#[test]
fn each_reason_to_leave_out_is_counted() {
    let mut text =
        String::from("time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg,under_power\n");
    let polar_kn = demo().speed_kn(15.0, 90.0);
    let odd = [
        "6,15,90,yes",
        ",15,90,no",
        "6,,90,no",
        "6,15,,no",
        "2,3.9,90,no",
        "6,40.1,90,no",
        "1,15,5,no",
        "0.1,15,90,no",
        "20,15,90,no",
    ];
    for hour in 0..30 {
        let plain = format!("{polar_kn},15,90,no");
        let row = odd.get(hour).map_or(plain, |row| (*row).to_owned());
        text += &format!("{},{row}\n", time(hour));
    }
    let found = fit(&text).unwrap();
    let counts: Vec<_> = found
        .dropped
        .iter()
        .map(|dropped| (dropped.reason, dropped.entries))
        .collect();
    let expected = [
        (DropReason::UnderPower, 1),
        (DropReason::NoBoatSpeed, 1),
        (DropReason::NoWind, 2),
        (DropReason::WindBelowPolar, 1),
        (DropReason::WindAbovePolar, 1),
        (DropReason::PolarTooSlow, 1),
        (DropReason::UnlikelyRatio, 2),
    ];
    assert_eq!(counts, expected);
    assert_eq!(found.overall.factor, 1.0);
}

#[test]
fn log_without_speed_is_compared_by_its_fixes() {
    let polar = demo();
    let mut text = String::from("time,latitude,longitude,true_wind_speed_kn,true_wind_angle_deg\n");
    // Along the equator across the antimeridian, the wind always on the beam.
    let mut longitude_deg = 179.0;
    for hour in 0..40 {
        let wind_kn = 10.0 + (hour % 3) as f64;
        text += &format!("{},0,{longitude_deg},{wind_kn},90\n", time(hour));
        let next_kn = 10.0 + ((hour + 1) % 3) as f64;
        let sailed_nm = 0.8 * polar.speed_kn((wind_kn + next_kn) / 2.0, 90.0);
        longitude_deg += sailed_nm / NM_PER_EQUATOR_DEG;
        if longitude_deg > 180.0 {
            longitude_deg -= 360.0;
        }
    }
    let found = fit(&text).unwrap();
    assert_eq!(found.speed_source, SpeedSource::BetweenFixes);
    assert_eq!(found.entries_read, 39);
    assert!(
        (found.overall.factor - 0.8).abs() < 1e-6,
        "{}",
        found.overall.factor
    );
    assert!(found.overall.standard_deviation < 1e-6);
}

#[test]
fn fixes_far_apart_or_missing_give_no_speed() {
    let text = "time,latitude,longitude,true_wind_speed_kn,true_wind_angle_deg,under_power\n\
                2025-04-01T00:00:00Z,0,0,10,90,no\n\
                2025-04-01T01:00:00Z,0,0,12,100,yes\n\
                2025-04-01T02:00:00Z,,,12,100,no\n\
                2025-04-01T03:00:00Z,0,0.1,12,,no\n\
                2025-04-01T09:00:01Z,0,0.5,12,100,no\n";
    let log = Logbook::parse(text, "log.csv").unwrap();
    let stretches = log.between_fixes().unwrap();
    let entries = stretches.entries();
    let speeds: Vec<_> = entries.iter().map(|entry| entry.boat_speed_kn).collect();
    assert_eq!(speeds, [Some(0.0), None, None, None]);
    assert_eq!(entries[0].true_wind_speed_kn, Some(11.0));
    assert_eq!(entries[0].true_wind_angle_deg, Some(95.0));
    assert_eq!(entries[2].true_wind_angle_deg, None);
    let powers: Vec<_> = entries.iter().map(|entry| entry.under_power).collect();
    assert_eq!(powers, [true, true, false, false]);
}

#[test]
fn too_short_a_log_says_what_was_left_out() {
    let mut text = String::from("time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg\n");
    for hour in 0..22 {
        let wind = if hour < 3 { "" } else { "15" };
        text += &format!("{},6,{wind},90\n", time(hour));
    }
    assert_eq!(
        fit(&text).unwrap_err().to_string(),
        "log.csv: 19 of 22 entries can be compared with the polar; needed: at least 20 (left out: 3 no wind speed or angle)"
    );
}

#[test]
fn log_in_other_units_is_refused_by_its_factor() {
    let kmh = demo().speed_kn(15.0, 90.0) * 1.852;
    let mut text = String::from("time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg\n");
    for hour in 0..30 {
        text += &format!("{},{kmh},15,90\n", time(hour));
    }
    let message = fit(&text).unwrap_err().to_string();
    assert!(
        message.starts_with("log.csv: factor on the polar is 1.85"),
        "{message}"
    );
    assert!(
        message.ends_with("is this log of another boat, or in other units?"),
        "{message}"
    );
}

#[test]
fn calibration_is_written_as_json() {
    let json = serde_json::to_value(fit(&noisy_log(1)).unwrap()).unwrap();
    assert_eq!(json["speed_source"], "logged");
    assert_eq!(
        json["by_point_of_sailing"][2]["point_of_sailing"],
        "running"
    );
    assert_eq!(json["dropped"][0]["reason"], "under_power");
}
