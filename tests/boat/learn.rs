//! A polar learned from logs. The logs are invented data, made in the test from a known polar and
//! winds logged with a known error; so the polar to be found is known too.

use offing::boat::{
    AtSea, BoatError, CourseMadeGood, DropReason, LearnedPolar, Polar, SpeedObservation,
    SpeedSource, WindErrors, WindObservation, learn,
};
use offing::geodesy::Position;
use offing::units::WindFrom;
use proptest::prelude::*;

use crate::noise::Noise;

/// The errors of the winds in these logs.
const ERRORS: WindErrors = WindErrors {
    speed_kn: 3.0,
    direction_deg: 10.0,
};
/// The boat's spread from entry to entry, as a share of her speed.
const SPREAD: f64 = 0.06;
/// The least entries behind a part whose bias is looked at.
const WELL_COVERED: usize = 50;
/// Bias allowed there in winds of 8 kn or more, from logged speeds and from noon positions.
const BIAS: f64 = 0.03;
const BIAS_OF_NOONS: f64 = 0.05;
/// The same in lighter winds, of which the error is half and which are drawn toward the stronger
/// ones' factor. Over 20 logs 0.032 and 0.062 were the most.
const BIAS_IN_LIGHT_AIR: f64 = 0.05;
const BIAS_OF_NOONS_IN_LIGHT_AIR: f64 = 0.08;
const LIGHT_AIR_KN: f64 = 8.0;

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

/// Winds that hold on: a mean of 12 kn and a Gaussian departure of 6 kn along it and across it, each of
/// which keeps a share from step to step, so that their speed has a Rice distribution.
#[derive(Default)]
struct Weather {
    along: f64,
    across: f64,
}

impl Weather {
    /// The next wind: its speed, kn, and how far it comes from off its mean direction, degrees.
    fn next(&mut self, noise: &mut Noise, keeps: f64) -> (f64, f64) {
        for part in [&mut self.along, &mut self.across] {
            *part = keeps * *part + (1.0 - keeps * keeps).sqrt() * noise.gaussian();
        }
        let (along_kn, across_kn) = (12.0 + 6.0 * self.along, 6.0 * self.across);
        (
            along_kn.hypot(across_kn),
            across_kn.atan2(along_kn).to_degrees(),
        )
    }
}

/// A wind with an error.
fn logged(noise: &mut Noise, wind_kn: f64, angle_deg: f64) -> (f64, f64) {
    let speed_kn = (wind_kn + ERRORS.speed_kn * noise.gaussian()).max(0.0);
    (
        speed_kn,
        angle_deg + ERRORS.direction_deg * noise.gaussian(),
    )
}

/// Hourly speeds on headings of 40 to 180 degrees.
fn hourly(truth: &Polar, entries: usize, seed: u64) -> Vec<SpeedObservation> {
    let mut noise = Noise(seed);
    let mut weather = Weather::default();
    let entry = |_| {
        let (wind_kn, _) = weather.next(&mut noise, 0.9);
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
    const HOURS: u32 = 24;
    let table = CourseMadeGood::new(truth, &AtSea::NONE);
    let mut noise = Noise(seed);
    let keeps = (-1.0_f64 / 36.0).exp();
    let mut weather = Weather::default();
    let mut day = |_| {
        let course_deg = 180.0 * noise.uniform();
        let (mut made_good_nm, mut winds) = (0.0, Vec::new());
        for hour in 0..=HOURS {
            let (wind_kn, swung_deg) = weather.next(&mut noise, keeps);
            let angle_deg = course_deg + swung_deg;
            if hour % HOURS == 0 {
                let (speed_kn, off_deg) = logged(&mut noise, wind_kn, angle_deg);
                winds.push(WindObservation {
                    at_hours: f64::from(hour),
                    speed_kn,
                    off_deg,
                });
            }
            if hour < HOURS {
                made_good_nm += table.progress_kn(wind_kn, angle_deg);
            }
        }
        let hours = f64::from(HOURS);
        SpeedObservation {
            source: SpeedSource::BetweenFixes,
            speed_kn: made_good_nm / hours * (1.0 + SPREAD * noise.gaussian()),
            hours,
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
    let learned: Vec<LearnedPolar> = logs
        .map(|log| learn(&log, prior, &ERRORS).unwrap())
        .collect();
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

fn assert_near(biases: &[(f64, f64, f64)], allowed: f64, allowed_in_light_air: f64) {
    assert!(biases.len() >= 12, "{biases:?}");
    for &(wind_kn, angle_deg, bias) in biases {
        let light = wind_kn < LIGHT_AIR_KN;
        let allowed = if light { allowed_in_light_air } else { allowed };
        assert!(
            bias.abs() < allowed,
            "{wind_kn} kn, {angle_deg} deg: {bias}"
        );
    }
}

#[test]
fn the_polar_is_found_again_from_speeds_logged_in_noisy_winds() {
    let truth = slower();
    let logs = (1..=10).map(|seed| hourly(&truth, 2500, seed));
    let biases = biases(&truth, &demo(), logs);
    assert_near(&biases, BIAS, BIAS_IN_LIGHT_AIR);
}

#[test]
fn the_polar_is_found_again_from_noon_positions() {
    let truth = slower();
    let logs = (1..=10).map(|seed| noons(&truth, 2500, seed));
    let biases = biases(&truth, &demo(), logs);
    assert_near(&biases, BIAS_OF_NOONS, BIAS_OF_NOONS_IN_LIGHT_AIR);
}

/// Mean boat speed of the entries with the logged wind within 2 kn and 15 degrees of one, kn.
fn bin_mean_kn(log: &[SpeedObservation], wind_kn: f64, angle_deg: f64) -> f64 {
    let near = log.iter().filter(|observation| {
        let wind = observation.winds[0];
        (wind.speed_kn - wind_kn).abs() < 2.0 && (wind.off_deg - angle_deg).abs() < 15.0
    });
    let speeds_kn: Vec<f64> = near.map(|observation| observation.speed_kn).collect();
    assert!(speeds_kn.len() >= WELL_COVERED, "{}", speeds_kn.len());
    speeds_kn.iter().sum::<f64>() / speeds_kn.len() as f64
}

/// The rise of the boat's speed from 8 to 22 kn of wind abeam: the error of the wind flattens bin
/// means, and the learned polar has it back.
#[test]
fn means_by_logged_wind_are_flatter_than_the_polar_and_the_learned_one_is_not() {
    let truth = slower();
    let (light_kn, strong_kn, abeam_deg) = (8.0, 22.0, 100.0);
    let rise_of =
        |polar: &Polar| polar.speed_kn(strong_kn, abeam_deg) - polar.speed_kn(light_kn, abeam_deg);
    let log = hourly(&truth, 5000, 9);
    let of_bins_kn =
        bin_mean_kn(&log, strong_kn, abeam_deg) - bin_mean_kn(&log, light_kn, abeam_deg);
    let flattened = of_bins_kn / rise_of(&truth);
    let learned = rise_of(&learn(&log, &demo(), &ERRORS).unwrap().polar) / rise_of(&truth);
    // Measured: 0.72 of the rise is left of it, and 0.98 in the learned polar.
    assert!(flattened < 0.80, "{flattened}");
    assert!((learned - 1.0).abs() < 0.05, "{learned}");
}

/// Without the errors of the wind the method itself flattens: it is they that mend the polar.
#[test]
fn winds_taken_for_exact_flatten_the_learned_polar_too() {
    let truth = slower();
    let rise_of = |polar: &Polar| polar.speed_kn(22.0, 100.0) - polar.speed_kn(8.0, 100.0);
    let exact = WindErrors {
        speed_kn: 0.0,
        direction_deg: 0.0,
    };
    let learned = learn(&hourly(&truth, 5000, 9), &demo(), &exact).unwrap();
    let rise = rise_of(&learned.polar) / rise_of(&truth);
    assert!(rise < 0.85, "{rise}");
}

#[test]
fn parts_without_entries_have_the_factor_of_the_whole_and_say_how_unsure_it_is() {
    let truth = like_demo(|_, _| 0.75);
    let running: Vec<SpeedObservation> = hourly(&truth, 3000, 3)
        .into_iter()
        .filter(|observation| observation.winds[0].off_deg > 120.0)
        .collect();
    let learned = learn(&running, &demo(), &ERRORS).unwrap();
    for part in &learned.parts {
        if part.to_angle_deg == 60.0 {
            assert_eq!(part.entries, 0);
            assert!((part.factor - 0.75).abs() < 0.05, "{part:?}");
            assert!(part.standard_error > 0.08, "{part:?}");
        } else if part.entries > 100 {
            assert!(part.standard_error < 0.06, "{part:?}");
        }
    }
    let steady = learned.residual_correlation;
    assert!(
        steady < 0.2,
        "{steady}: these residuals share little but the winds"
    );
}

#[test]
fn a_boat_that_changes_slowly_counts_for_fewer_entries() {
    let truth = demo();
    let mut noise = Noise(5);
    let mut state = 0.0;
    let mut log = hourly(&truth, 1000, 5);
    for observation in &mut log {
        state = 0.98 * state + 0.2 * 0.1 * noise.gaussian();
        observation.speed_kn *= 1.0 + state;
    }
    let learned = learn(&log, &demo(), &ERRORS).unwrap();
    assert!(learned.independent_entries < 700.0, "{learned:?}");
    let steady = learn(&hourly(&truth, 1000, 5), &demo(), &ERRORS).unwrap();
    assert!(learned.standard_error > 1.2 * steady.standard_error);
}

/// Along the equator a degree is 60.1 nm (WGS84); the wind from the south-east is 45 degrees off a
/// course of 90.
#[test]
fn fixes_give_the_speed_made_good_and_the_wind_off_the_course() {
    let [from, to] = [0.0, 2.0].map(|longitude_deg| Position::new(0.0, longitude_deg).unwrap());
    let wind = (12.0, 15.0, WindFrom::from_deg(135.0));
    let day = SpeedObservation::between_fixes(from, to, 24.0, &[wind]).unwrap();
    assert!(
        (day.speed_kn - 2.0 * 60.108 / 24.0).abs() < 0.001,
        "{day:?}"
    );
    assert!((day.winds[0].off_deg - 45.0).abs() < 1e-6, "{day:?}");
    assert!(SpeedObservation::between_fixes(from, to, 48.0, &[wind]).is_err());
    assert!(SpeedObservation::between_fixes(from, from, 24.0, &[wind]).is_err());
}

#[test]
fn figures_that_are_none_are_refused_and_a_fix_far_out_is_left_out() {
    let mut log = hourly(&demo(), 300, 1);
    log[7].speed_kn = 300.0;
    let learned = learn(&log, &demo(), &ERRORS).unwrap();
    assert_eq!(learned.entries_read, 300);
    let slips = learned.dropped.iter();
    let mut slips = slips.filter(|dropped| dropped.reason == DropReason::UnlikelyRatio);
    assert!(slips.next().is_some_and(|dropped| dropped.entries >= 1));
    log[7].speed_kn = f64::NAN;
    assert!(refusal(&log, &ERRORS).contains("boat speed is NaN"));
    log[7].speed_kn = 5.0;
    log[8].winds[0].off_deg = f64::INFINITY;
    assert!(refusal(&log, &ERRORS).contains("where the wind comes from is inf"));
}

fn refusal(observations: &[SpeedObservation], errors: &WindErrors) -> String {
    let error: BoatError = learn(observations, &demo(), errors).unwrap_err();
    error.to_string()
}

#[test]
fn what_no_polar_can_stand_on_is_refused() {
    let log = hourly(&demo(), 300, 1);
    assert_eq!(
        refusal(&log[..99], &ERRORS),
        "99 of 99 entries can be learned from; a polar needs at least 100"
    );
    assert!(refusal(&noons(&demo(), 49, 1), &ERRORS).contains("at least 50"));
    let vague = WindErrors {
        speed_kn: 9.0,
        ..ERRORS
    };
    assert!(refusal(&log, &vague).contains("no more than their error of 9 kn"));
    let negative = WindErrors {
        speed_kn: -1.0,
        ..ERRORS
    };
    assert!(refusal(&log, &negative).contains("error of a logged wind speed is -1 kn"));
    let another = hourly(&like_demo(|_, _| 2.0), 300, 1);
    assert!(refusal(&another, &ERRORS).contains("of another boat"));
}

#[test]
fn slips_of_the_pen_hardly_move_it() {
    let clean = hourly(&demo(), 1500, 4);
    let mut slipped = clean.clone();
    for observation in slipped.iter_mut().step_by(20) {
        observation.speed_kn = 15.0;
    }
    let [clean, slipped] = [clean, slipped].map(|log| learn(&log, &demo(), &ERRORS).unwrap());
    let moved = slipped.overall_factor / clean.overall_factor;
    // Means of the speeds' logarithms would move by 5 %: one entry in 20 at three times its speed.
    assert!((moved - 1.0).abs() < 0.03, "{moved}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// Whatever the boat and the log, every entry is accounted for, the polar is one, and the factor
    /// of the whole is found.
    #[test]
    fn every_log_gives_a_polar_and_the_factor_of_the_whole(
        factor in 0.5_f64..1.3,
        entries in 200_usize..600,
        seed in any::<u64>(),
    ) {
        let log = hourly(&like_demo(|_, _| factor), entries, seed);
        let learned = learn(&log, &demo(), &ERRORS).unwrap();
        prop_assert!((learned.overall_factor / factor - 1.0).abs() < 0.05, "{}", learned.overall_factor);
        let left_out: usize = learned.dropped.iter().map(|dropped| dropped.entries).sum();
        prop_assert_eq!(learned.logged_speeds + learned.stretches + left_out, entries);
        let in_parts: usize = learned.parts.iter().map(|part| part.entries).sum();
        prop_assert_eq!(in_parts, learned.logged_speeds);
        prop_assert!(learned.factor_uncertainty >= 0.07);
        for part in &learned.parts {
            // No surer than nothing, never less sure than before the log: hypot(0.25, 0.15).
            prop_assert!(part.standard_error > 0.0 && part.standard_error <= 0.292, "{:?}", part);
        }
        for &wind_kn in learned.polar.true_wind_speeds_kn() {
            for &angle_deg in learned.polar.true_wind_angles_deg() {
                let speed_kn = learned.polar.speed_kn(wind_kn, angle_deg);
                prop_assert!(speed_kn.is_finite() && speed_kn >= 0.0);
            }
        }
    }
}
