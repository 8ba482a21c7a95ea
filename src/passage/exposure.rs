//! What a crew meets on the way: shares of time, each by the wind against the course.

use schemars::JsonSchema;
use serde::Serialize;

use crate::climate::{LocalClimate, Wind};
use crate::units::{Course, GRAVITY_MS2, KN_PER_MS, MS_PER_KN};

/// A headwind blows from less than this far off the course: our definition.
const HEADWIND_OFF_DEG: f64 = 60.0;
/// A wind from abaft blows from more than this far off the course: our definition.
const ABAFT_OFF_DEG: f64 = 110.0;
/// A headwind of this speed or more makes a hard beat: our definition.
const HARD_BEAT_KN: f64 = 20.0;
/// Below this speed the air is light: our definition.
pub const LIGHT_AIR_KN: f64 = 6.0;
/// At this speed or more the wind is strong: the lower bound of Beaufort force 6 (WMO).
pub const STRONG_KN: f64 = 22.0;
/// At this speed or more it blows a gale: the lower bound of Beaufort force 8 (WMO).
pub const GALE_KN: f64 = 34.0;

/// Significant height of a fully developed sea: Hs = 0.22 U10^2 / g.
/// Source: R. H. Stewart, Introduction to Physical Oceanography, chapter 16, eq. 16.33.
const DEVELOPED_SEA: f64 = 0.22;

/// Shares of time, each from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Default, JsonSchema, Serialize)]
pub struct Exposure {
    /// Share with the wind less than 60 degrees off the course.
    pub headwind: f64,
    /// Share with a headwind of 20 kn or more.
    pub hard_beat: f64,
    /// Share with the wind more than 110 degrees off the course.
    pub abaft: f64,
    /// Share with wind below 6 kn.
    pub light_air: f64,
    /// Share with wind of 22 kn or more.
    pub strong: f64,
    /// Share with wind of 34 kn or more.
    pub gale: f64,
    /// Share under power.
    pub under_power: f64,
}

/// What a wind of one speed is to a crew on a course, by the definitions that [`Exposure`] takes the
/// shares of time by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Met {
    /// The wind less than 60 degrees off the course.
    pub headwind: bool,
    /// A headwind of 20 kn or more.
    pub hard_beat: bool,
    /// The wind more than 110 degrees off the course.
    pub abaft: bool,
    /// Wind below 6 kn.
    pub light_air: bool,
    /// Wind of 22 kn or more.
    pub strong: bool,
    /// Wind of 34 kn or more.
    pub gale: bool,
}

impl Met {
    /// What a wind is that blows with `speed_kn` from `off_deg` (0 to 180) off the course.
    pub fn of(speed_kn: f64, off_deg: f64) -> Self {
        let headwind = off_deg < HEADWIND_OFF_DEG;
        Self {
            headwind,
            hard_beat: headwind && speed_kn >= HARD_BEAT_KN,
            abaft: off_deg > ABAFT_OFF_DEG,
            light_air: speed_kn < LIGHT_AIR_KN,
            strong: speed_kn >= STRONG_KN,
            gale: speed_kn >= GALE_KN,
        }
    }
}

/// Air temperature along a passage, from monthly means, in degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct AirTemperature {
    /// The mean over the time, degrees Celsius.
    pub mean: f64,
    /// The lowest monthly mean met, degrees Celsius.
    pub lowest: f64,
}

impl Exposure {
    /// The shares of time that `wind` gives a boat on `course`; none of it under power.
    pub fn of_wind(wind: &Wind, course: Course) -> Self {
        let astern = Course::from_deg(course.deg() + 180.0);
        let hard_beat_ms = HARD_BEAT_KN * MS_PER_KN;
        Self {
            headwind: wind.share_within(course, HEADWIND_OFF_DEG),
            hard_beat: wind.share_within_at_or_above(course, HEADWIND_OFF_DEG, hard_beat_ms),
            abaft: wind.share_within(astern, 180.0 - ABAFT_OFF_DEG),
            light_air: wind.share_below(LIGHT_AIR_KN * MS_PER_KN),
            strong: wind.share_at_or_above(STRONG_KN * MS_PER_KN),
            gale: wind.share_at_or_above(GALE_KN * MS_PER_KN),
            under_power: 0.0,
        }
    }

    /// Adds `weight` times another exposure to this one.
    pub fn add(&mut self, other: &Self, weight: f64) {
        self.headwind += weight * other.headwind;
        self.hard_beat += weight * other.hard_beat;
        self.abaft += weight * other.abaft;
        self.light_air += weight * other.light_air;
        self.strong += weight * other.strong;
        self.gale += weight * other.gale;
        self.under_power += weight * other.under_power;
    }

    /// This exposure with every share multiplied by `factor`.
    pub fn scaled(&self, factor: f64) -> Self {
        let mut scaled = Self::default();
        scaled.add(self, factor);
        scaled
    }
}

/// Adds up what is met, hour by hour.
#[derive(Debug, Clone, Default)]
pub(super) struct Tally {
    hours: f64,
    exposure_hours: Exposure,
    wind: WindHours,
    temperature: Option<(f64, f64)>,
    temperature_hours: f64,
    replaced_hours: Option<f64>,
}

/// Sums over time of the wind's moments.
#[derive(Debug, Clone, Copy, Default)]
struct WindHours {
    east_ms: f64,
    north_ms: f64,
    spread_ms2: f64,
    speed_ms: f64,
    speed_ms2: f64,
}

/// The time's mean of what was tallied.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Means {
    pub exposure: Exposure,
    pub wind: Wind,
    pub mean_speed_kn: f64,
    pub wave_height_m: f64,
    pub air_temperature_c: Option<AirTemperature>,
    pub replaced_share: Option<f64>,
}

impl Tally {
    /// Adds a stretch of `hours` in one climate.
    pub(super) fn add(&mut self, hours: f64, climate: &LocalClimate, exposure: &Exposure) {
        self.hours += hours;
        self.exposure_hours.add(exposure, hours);

        let wind = &climate.wind;
        self.wind.east_ms += hours * wind.u_ms;
        self.wind.north_ms += hours * wind.v_ms;
        self.wind.spread_ms2 += hours * wind.s_ms * wind.s_ms;
        self.wind.speed_ms += hours * wind.mean_speed_ms();
        self.wind.speed_ms2 += hours * wind.mean_square_speed_ms2();

        if let Some(here_c) = climate.air_temperature_c {
            let (sum, lowest) = self.temperature.unwrap_or((0.0, f64::INFINITY));
            self.temperature = Some((sum + hours * here_c, lowest.min(here_c)));
            self.temperature_hours += hours;
        }
        if let Some(share) = climate.replaced_share {
            *self.replaced_hours.get_or_insert(0.0) += hours * share;
        }
    }

    pub(super) fn hours(&self) -> f64 {
        self.hours
    }

    pub(super) fn hours_under_power(&self) -> f64 {
        self.exposure_hours.under_power
    }

    /// The means over all the time tallied, which must not be none.
    pub(super) fn means(&self) -> Means {
        let per_hour = 1.0 / self.hours;
        Means {
            exposure: self.exposure_hours.scaled(per_hour),
            wind: Wind {
                u_ms: self.wind.east_ms * per_hour,
                v_ms: self.wind.north_ms * per_hour,
                s_ms: (self.wind.spread_ms2 * per_hour).sqrt(),
            },
            mean_speed_kn: self.wind.speed_ms * per_hour * KN_PER_MS,
            wave_height_m: DEVELOPED_SEA / GRAVITY_MS2 * self.wind.speed_ms2 * per_hour,
            air_temperature_c: self.temperature.map(|(sum, lowest)| AirTemperature {
                mean: sum / self.temperature_hours,
                lowest,
            }),
            replaced_share: self.replaced_hours.map(|hours| hours * per_hour),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The shares of time against the rule for a single wind, counted over the wind's nodes.
    #[test]
    fn one_wind_and_the_shares_of_time_go_by_one_rule() {
        /// A node is a quarter of a thousandth, and a few lie at an edge.
        const SHARE_TOLERANCE: f64 = 0.005;
        let wind = Wind {
            u_ms: -4.0,
            v_ms: 3.0,
            s_ms: 6.0,
        };
        let nodes = crate::passage::wind_nodes::WindNodes::new();
        for course_deg in [0.0, 100.0, 200.0, 330.0] {
            let course = Course::from_deg(course_deg);
            let [ahead_ms, abeam_ms] = wind.along(course);
            let count = |is: fn(&Met) -> bool| {
                nodes.mean(|x, y| {
                    let (ahead, abeam) = (ahead_ms + wind.s_ms * x, abeam_ms + wind.s_ms * y);
                    let off_deg = abeam.abs().atan2(ahead).to_degrees();
                    f64::from(u8::from(is(&Met::of(
                        ahead.hypot(abeam) * KN_PER_MS,
                        off_deg,
                    ))))
                })
            };
            let shares = Exposure::of_wind(&wind, course);
            for (share, counted) in [
                (shares.headwind, count(|met| met.headwind)),
                (shares.hard_beat, count(|met| met.hard_beat)),
                (shares.abaft, count(|met| met.abaft)),
                (shares.light_air, count(|met| met.light_air)),
                (shares.strong, count(|met| met.strong)),
                (shares.gale, count(|met| met.gale)),
            ] {
                approx::assert_abs_diff_eq!(share, counted, epsilon = SHARE_TOLERANCE);
            }
        }
    }
}
