//! What a mean hides: the wind not exceeded 95 % of the time, and the hours of dark.

use jiff::civil::Date;

use crate::climate::Wind;
use crate::geodesy::{Position, SunDay};
use crate::units::KN_PER_MS;

/// The share of time that goes into the wind not exceeded (our choice).
const SHARE_NOT_EXCEEDED: f64 = 0.95;
/// A Gaussian wind is this many standard deviations from its mean, or more, for less of the time than
/// is left above: the Rayleigh distribution leaves exp(-d^2 / 2), here 0.0498.
const REACH_DEVIATIONS: f64 = 2.45;
/// How exact the speed is, m/s.
const EXACT_MS: f64 = 1e-3;

/// The winds met, each for some hours, and the dark.
#[derive(Debug, Clone, Default)]
pub(super) struct HardTimes {
    winds: Vec<(f64, Wind)>,
    hours: f64,
    dark: f64,
}

impl HardTimes {
    /// Adds `hours` in one wind at a place on a day.
    pub(super) fn add(&mut self, hours: f64, wind: &Wind, place: Position, day: Date) {
        let sun = SunDay::at(day, place.latitude_deg(), place.longitude_deg());
        self.winds.push((hours, *wind));
        self.hours += hours;
        self.dark += hours * sun.dark_hours();
    }

    /// The mean hours of dark a day, the sun more than 0.833 degrees below the horizon; there must be
    /// some time.
    pub(super) fn dark_hours_per_day(&self) -> f64 {
        self.dark / self.hours
    }

    /// The speed not exceeded 95 % of the time, knots: in the mixture of all the winds met, each with
    /// the weight of its hours. There must be some time.
    pub(super) fn wind_p95_kn(&self) -> f64 {
        let left_hours = (1.0 - SHARE_NOT_EXCEEDED) * self.hours;
        let hours_at_or_above = |speed_ms: f64| -> f64 {
            let winds = self.winds.iter();
            winds
                .map(|(hours, wind)| hours * wind.share_at_or_above(speed_ms))
                .sum()
        };
        let winds = self.winds.iter();
        let mut high_ms = winds
            .map(|(_, wind)| wind.vector_mean_speed_ms() + REACH_DEVIATIONS * wind.s_ms)
            .fold(0.0, f64::max);
        let mut low_ms = 0.0;
        while high_ms - low_ms > EXACT_MS {
            let middle_ms = 0.5 * (low_ms + high_ms);
            if hours_at_or_above(middle_ms) > left_hours {
                low_ms = middle_ms;
            } else {
                high_ms = middle_ms;
            }
        }
        high_ms * KN_PER_MS
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    const SPEED_TOLERANCE_KN: f64 = 2.0 * EXACT_MS * KN_PER_MS;

    fn wind(u_ms: f64, s_ms: f64) -> Wind {
        Wind {
            u_ms,
            v_ms: 0.0,
            s_ms,
        }
    }

    fn met(winds: &[(f64, Wind)]) -> HardTimes {
        let mut met = HardTimes::default();
        for (hours, wind) in winds {
            let place = Position::new(0.0, 0.0).unwrap();
            met.add(*hours, wind, place, date(2027, 3, 20));
        }
        met
    }

    /// The rows say how they were made, with scipy.
    #[test]
    fn one_wind_s_speed_is_scipy_s_quantile() {
        let path = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/fixtures/reference/passage/rice_quantiles.csv"
        );
        let mut rows = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_path(path)
            .unwrap();
        let mut compared = 0;
        for row in rows.deserialize() {
            let (mean_ms, s_ms, share, speed_ms, _, _): (f64, f64, f64, f64, f64, f64) =
                row.unwrap();
            if share == SHARE_NOT_EXCEEDED {
                let got_kn = met(&[(7.0, wind(mean_ms, s_ms))]).wind_p95_kn();
                let exact_kn = speed_ms * KN_PER_MS;
                approx::assert_abs_diff_eq!(got_kn, exact_kn, epsilon = SPEED_TOLERANCE_KN);
                compared += 1;
            }
        }
        assert!(compared >= 3, "{compared} rows");
    }

    /// Winds without a mean have the closed form exp(-V^2 / 2 s^2), also in a mixture.
    #[test]
    fn a_mixture_leaves_a_twentieth_of_its_time_above() {
        let (s_weak_ms, s_strong_ms) = (2.0, 9.0);
        let weak_hours = 90.0;
        let winds = [
            (weak_hours, wind(0.0, s_weak_ms)),
            (100.0 - weak_hours, wind(0.0, s_strong_ms)),
        ];
        let speed_ms = met(&winds).wind_p95_kn() / KN_PER_MS;
        let above = |s_ms: f64| (-0.5 * (speed_ms / s_ms).powi(2)).exp();
        let hours = weak_hours * above(s_weak_ms) + (100.0 - weak_hours) * above(s_strong_ms);
        approx::assert_abs_diff_eq!(hours, 5.0, epsilon = 0.01);
    }

    #[test]
    fn a_steady_wind_is_its_own_limit() {
        let speed_kn = met(&[(3.0, wind(-6.0, 0.0))]).wind_p95_kn();
        approx::assert_abs_diff_eq!(speed_kn, 6.0 * KN_PER_MS, epsilon = SPEED_TOLERANCE_KN);
    }

    /// Nights by any almanac, from memory: 11 h 53 min on the equator at the equinox, 5 h 07 min and
    /// 18 h 07 min at 60 N at midsummer and midwinter, none at 70 N in June.
    #[test]
    fn nights_are_as_long_as_almanacs_say() {
        const TOLERANCE_HOURS: f64 = 0.05;
        for (latitude_deg, day, dark_hours) in [
            (0.0, date(2027, 3, 20), 11.0 + 53.0 / 60.0),
            (60.0, date(2027, 6, 21), 5.0 + 7.0 / 60.0),
            (60.0, date(2027, 12, 21), 18.0 + 7.0 / 60.0),
            (70.0, date(2027, 6, 21), 0.0),
        ] {
            let mut met = HardTimes::default();
            let place = Position::new(latitude_deg, 20.0).unwrap();
            met.add(30.0, &wind(5.0, 3.0), place, day);
            let got_hours = met.dark_hours_per_day();
            approx::assert_abs_diff_eq!(got_hours, dark_hours, epsilon = TOLERANCE_HOURS);
        }
    }

    #[test]
    fn the_dark_is_weighted_by_the_hours() {
        let mut met = HardTimes::default();
        let place = |latitude_deg| Position::new(latitude_deg, 0.0).unwrap();
        met.add(10.0, &wind(5.0, 3.0), place(80.0), date(2027, 6, 21));
        met.add(30.0, &wind(5.0, 3.0), place(80.0), date(2027, 12, 21));
        approx::assert_abs_diff_eq!(met.dark_hours_per_day(), 18.0, epsilon = 1e-9);
    }
}
