//! A polar learned from logs. The logs are invented data, made in the test from a known polar and
//! winds logged with a known error; so the polar to be found is known too.

use offing::boat::{
    BoatError, LearnedPolar, Polar, SpeedObservation, WindErrors, WindObservation,
    course_made_good_kn, learn,
};
use proptest::prelude::*;

use crate::noise::Noise;

/// The errors of the winds in these logs.
const ERRORS: WindErrors = WindErrors {
    speed_kn: 3.0,
    direction_deg: 10.0,
};
/// The boat's spread from entry to entry, as a share of her speed.
const SPREAD: f64 = 0.06;
/// Bias allowed where at least this many entries stand behind a part.
const BIAS: f64 = 0.03;
const WELL_COVERED: usize = 50;

fn demo() -> Polar {
    Polar::parse(include_str!("../../fixtures/demo/cutter-12m.csv"), "demo").unwrap()
}

/// A polar with the demonstration's nodes and another speed at each.
fn like_demo(adjust: impl Fn(f64, f64) -> f64) -> Polar {
    let demo = demo();
    let mut text = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n".to_owned();
    for &wind_kn in demo.true_wind_speeds_kn() {
        for &angle_deg in demo.true_wind_angles_deg() {
            let speed_kn = adjust(wind_kn, angle_deg) * demo.speed_kn(wind_kn, angle_deg);
            text += &format!("{wind_kn},{angle_deg},{speed_kn}\n");
        }
    }
    Polar::parse(&text, "adjusted").unwrap()
}

/// A boat slower than the demonstration's polar, most of all to windward and in light airs.
fn slower() -> Polar {
    like_demo(|wind_kn, angle_deg| {
        let to_windward = 0.12 * ((100.0 - angle_deg) / 55.0).clamp(0.0, 1.0);
        let in_light_air = 0.10 * ((15.0 - wind_kn) / 10.0).clamp(0.0, 1.0);
        0.9 - to_windward - in_light_air
    })
}

/// Winds that hold on: mean 15 kn, standard deviation 6 kn, never below 2 kn.
struct Weather {
    departure: f64,
}

impl Weather {
    fn next_kn(&mut self, noise: &mut Noise, hold: f64) -> f64 {
        self.departure = hold * self.departure + (1.0 - hold * hold).sqrt() * noise.gaussian();
        (15.0 + 6.0 * self.departure).max(2.0)
    }
}

/// A wind with an error.
fn logged(noise: &mut Noise, wind_kn: f64, angle_deg: f64) -> (f64, f64) {
    let speed_kn = (wind_kn + ERRORS.speed_kn * noise.gaussian()).max(0.0);
    (speed_kn, angle_deg + ERRORS.direction_deg * noise.gaussian())
}

/// Hourly speeds on headings of 40 to 180 degrees.
fn hourly(truth: &Polar, entries: usize, seed: u64) -> Vec<SpeedObservation> {
    let mut noise = Noise(seed);
    let mut weather = Weather { departure: 0.0 };
    let entry = |_| {
        let wind_kn = weather.next_kn(&mut noise, 0.9);
        let angle_deg = 40.0 + 140.0 * noise.uniform();
        let speed_kn = truth.speed_kn(wind_kn, angle_deg) * (1.0 + SPREAD * noise.gaussian());
        let (logged_kn, logged_deg) = logged(&mut noise, wind_kn, angle_deg);
        SpeedObservation {
            follows: true,
            ..SpeedObservation::logged(speed_kn, logged_kn, logged_deg)
        }
    };
    (0..entries).map(entry).collect()
}

/// Days from noon to noon in winds that vary hour by hour, on any course, tacking where it pays; the
/// wind is logged at both noons.
fn noons(truth: &Polar, days: usize, seed: u64) -> Vec<SpeedObservation> {
    let mut noise = Noise(seed);
    let hold = (-1.0_f64 / 36.0).exp();
    let (mut weather, mut swing) = (Weather { departure: 0.0 }, Weather { departure: 0.0 });
    let mut day = |_| {
        let course_deg = 180.0 * noise.uniform();
        let mut made_good_nm = 0.0;
        let mut winds = Vec::new();
        for hour in 0..=24 {
            let wind_kn = weather.next_kn(&mut noise, hold);
            // A part across the mean wind as large as that along it.
            swing.next_kn(&mut noise, hold);
            let swung_deg = (6.0 * swing.departure / 15.0).atan().to_degrees();
            let angle_deg = course_deg + swung_deg;
            if hour % 24 == 0 {
                let (speed_kn, off_deg) = logged(&mut noise, wind_kn, angle_deg);
                let at_hours = f64::from(hour);
                winds.push(WindObservation {
                    at_hours,
                    speed_kn,
                    off_deg,
                });
            }
            if hour < 24 {
                made_good_nm += course_made_good_kn(truth, wind_kn, angle_deg);
            }
        }
        SpeedObservation {
            source: offing::boat::SpeedSource::BetweenFixes,
            speed_kn: made_good_nm / 24.0 * (1.0 + SPREAD * noise.gaussian()),
            hours: 24.0,
            winds,
            follows: true,
        }
    };
    (0..days).map(&mut day).collect()
}

/// The middle of a part, where the truth is looked up.
fn middles(learned: &LearnedPolar) -> Vec<(usize, f64, f64)> {
    let parts = learned.parts.iter().map(|part| {
        let to_kn = part.to_wind_kn.unwrap_or(30.0);
        let from_kn = part.from_wind_kn.max(4.0);
        let from_deg = part.from_angle_deg.max(40.0);
        let middle = |low: f64, high: f64| (low + high) / 2.0;
        let (wind_kn, angle_deg) = (middle(from_kn, to_kn), middle(from_deg, part.to_angle_deg));
        (part.entries, wind_kn, angle_deg)
    });
    parts.collect()
}

/// Mean over logs of learned over true speed less 1, at each part's middle, where the entries are
/// many in all of them; with the middle.
fn biases(
    truth: &Polar,
    prior: &Polar,
    logs: impl Iterator<Item = Vec<SpeedObservation>>,
) -> Vec<(f64, f64, f64)> {
    let learned: Vec<LearnedPolar> = logs.map(|log| learn(&log, prior, &ERRORS).unwrap()).collect();
    let places = middles(&learned[0]).into_iter().enumerate();
    let covered = places.filter(|(part, _)| {
        let mut all = learned.iter();
        all.all(|one| one.parts[*part].entries >= WELL_COVERED)
    });
    let bias = |(_, (_, wind_kn, angle_deg)): (usize, (usize, f64, f64))| {
        let ratio = |one: &LearnedPolar| {
            one.polar.speed_kn(wind_kn, angle_deg) / truth.speed_kn(wind_kn, angle_deg)
        };
        let mean = learned.iter().map(ratio).sum::<f64>() / learned.len() as f64;
        (wind_kn, angle_deg, mean - 1.0)
    };
    covered.map(bias).collect()
}

#[test]
fn the_polar_is_found_again_from_speeds_logged_in_noisy_winds() {
    let truth = slower();
    let logs = (1..=5).map(|seed| hourly(&truth, 2500, seed));
    let biases = biases(&truth, &demo(), logs);
    println!("{biases:?}");
    assert!(biases.len() >= 12, "{biases:?}");
    for (wind_kn, angle_deg, bias) in biases {
        assert!(bias.abs() < BIAS, "{wind_kn} kn, {angle_deg} deg: {bias}");
    }
}

#[test]
fn the_polar_is_found_again_from_noon_positions() {
    let truth = slower();
    let logs = (1..=5).map(|seed| noons(&truth, 2500, seed));
    let biases = biases(&truth, &demo(), logs);
    println!("{biases:?}");
    assert!(biases.len() >= 12, "{biases:?}");
}
