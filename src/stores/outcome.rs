//! What the stores need to know of a passage: its simulated members, its track day by day.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::ranges;
use crate::geodesy::Position;
use crate::units::{Range, quantile};

use super::error::{StoresError, check};
use super::stages::StageOutcome;

/// The percentile shown beside the chosen one.
pub(crate) const MEDIAN_PERCENT: f64 = 50.0;

/// Days one passage may take.
pub const PASSAGE_DAYS: Range = Range::new("days of passage", "days", 0.0, 400.0);
/// Hours spent in some condition during one passage.
pub const PASSAGE_HOURS: Range = Range::new("hours of passage", "h", 0.0, 9600.0);
/// Days in harbour during one passage.
pub const HARBOUR_DAYS: Range = Range::new("days in harbour", "days", 0.0, 10_000.0);
/// Mean wind speed.
pub const WIND: Range = Range::new("mean wind", "m/s", 0.0, 60.0);
/// Mean air temperature.
pub const AIR_TEMPERATURE: Range = Range::new("mean air temperature", "degrees C", -40.0, 45.0);

/// One simulated passage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MemberOutcome {
    /// Days from departure to arrival; `None` where the boat does not arrive.
    pub days: Option<f64>,
    /// Hours under power.
    pub motor_hours: f64,
    /// Hours of wind of 34 kn or more.
    pub gale_hours: f64,
    /// Hours beating into 20 kn or more.
    pub hard_beat_hours: f64,
    /// Whether the engine was wanted after its fuel was spent.
    pub ran_dry: bool,
    /// Days in harbour on the way, which are lived on what is aboard.
    pub harbour_days: f64,
}

/// One day of the passage along the track.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrackDay {
    /// The date, in UTC.
    pub date: Date,
    /// Latitude about midday, degrees, north positive.
    pub latitude_deg: f64,
    /// Longitude about midday, degrees, east positive.
    pub longitude_deg: f64,
    /// Mean true wind speed at 10 m, m/s.
    pub mean_wind_ms: f64,
}

/// Days and litres at one percentile, each at its own.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct DaysAndLitres {
    /// Days of passage.
    pub days: f64,
    /// Litres of diesel.
    pub litres: f64,
}

/// What another motoring threshold would make of the same passage, with all the diesel it asks for.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct ThresholdTrial {
    /// Course made good below which the engine starts, knots; none for never.
    pub motor_below_kn: Option<f64>,
    /// Days, and litres burnt, each at 50 %; none where too few passages arrive.
    pub p50: Option<DaysAndLitres>,
    /// Days, and litres burnt, each at the percentage that the list provides for; none where too few
    /// passages arrive.
    pub chosen: Option<DaysAndLitres>,
}

/// All the stores are told of one route and departure.
#[derive(Debug, Clone, PartialEq)]
pub struct PassageOutcome {
    /// The route's name.
    pub route: String,
    /// Every simulated passage, those that do not arrive included.
    pub members: Vec<MemberOutcome>,
    /// Mean air temperature over the passage, degrees Celsius; `None` where the climate has none.
    pub mean_air_temperature_c: Option<f64>,
    /// The route at the median passage's even pace, day by day; at least one day.
    pub track: Vec<TrackDay>,
    /// Other motoring thresholds tried, with the litres burnt under power; may be empty.
    pub thresholds: Vec<ThresholdTrial>,
    /// The name of the place it begins at.
    pub start: String,
    /// The stages in the order they are sailed; empty for a route without stops.
    pub stages: Vec<StageOutcome>,
}

/// The passage at one percentile. Each quantity is at its own percentile: the slowest passage
/// need not be the one with the most gales.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Percentile {
    /// The percentile, 50 to 99.
    pub percent: f64,
    /// Days from departure to arrival.
    pub days: f64,
    /// Hours under power.
    pub motor_hours: f64,
    /// Hours of 34 kn or more.
    pub gale_hours: f64,
    /// Hours of beating in 20 kn or more.
    pub hard_beat_hours: f64,
}

impl PassageOutcome {
    /// Checks every number.
    ///
    /// # Errors
    /// No member, a number out of range, a member with more hours of something than its days hold, or
    /// no day of track though half of the passages arrive.
    pub fn validate(&self) -> Result<(), StoresError> {
        let missing = |needed| StoresError::Missing {
            of: "passage",
            needed,
        };
        if self.members.is_empty() {
            return Err(missing("at least one simulated passage"));
        }
        for (index, member) in self.members.iter().enumerate() {
            member.validate(index + 1)?;
        }
        if self.track.is_empty() && self.at(MEDIAN_PERCENT).is_some() {
            return Err(missing("at least one day of track"));
        }
        for (index, day) in self.track.iter().enumerate() {
            let of = format!("day {} of the track", index + 1);
            check(&of, &Position::LATITUDE, day.latitude_deg)?;
            check(&of, &Position::LONGITUDE, day.longitude_deg)?;
            check(&of, &WIND, day.mean_wind_ms)?;
        }
        check("passage", &AIR_TEMPERATURE, self.mean_air_temperature_c)?;
        for stage in &self.stages {
            stage.validate(self.members.len())?;
        }
        for trial in &self.thresholds {
            let of = "another motoring threshold";
            check(of, &ranges::MOTOR_BELOW, trial.motor_below_kn)?;
            for at in [trial.p50, trial.chosen].into_iter().flatten() {
                check(of, &PASSAGE_DAYS, at.days)?;
                check(of, &ranges::FUEL, at.litres)?;
            }
        }
        Ok(())
    }

    /// The passage at `percent`; a passage that does not arrive counts as beyond all that do. `None`
    /// where too few arrive.
    pub fn at(&self, percent: f64) -> Option<Percentile> {
        let pick = |quantity: fn(&MemberOutcome, f64) -> f64| self.percentile_of(percent, quantity);
        Some(Percentile {
            percent,
            days: pick(|_, days| days)?,
            motor_hours: pick(|member, _| member.motor_hours)?,
            gale_hours: pick(|member, _| member.gale_hours)?,
            hard_beat_hours: pick(|member, _| member.hard_beat_hours)?,
        })
    }

    /// The percentile of a quantity worked out from each member that arrives and its days; `None`
    /// where that reaches a member that does not arrive, or whose quantity is infinite.
    pub(crate) fn percentile_of(
        &self,
        percent: f64,
        quantity: impl Fn(&MemberOutcome, f64) -> f64,
    ) -> Option<f64> {
        percentile_of(&self.members, percent, quantity)
    }

    /// The share of members for which `holds`, 0 to 1.
    pub(crate) fn share_of_members(&self, holds: impl Fn(&MemberOutcome) -> bool) -> f64 {
        self.members.iter().filter(|member| holds(member)).count() as f64
            / self.members.len() as f64
    }
}

/// [`PassageOutcome::percentile_of`] for members of any ensemble.
pub(super) fn percentile_of(
    members: &[MemberOutcome],
    percent: f64,
    quantity: impl Fn(&MemberOutcome, f64) -> f64,
) -> Option<f64> {
    let of = |member: &MemberOutcome| member.days.map(|days| quantity(member, days));
    let members = members.iter();
    let mut values: Vec<f64> = members.map(|m| of(m).unwrap_or(f64::INFINITY)).collect();
    values.sort_by(f64::total_cmp);
    quantile(&values, percent / 100.0).filter(|value| value.is_finite())
}

impl MemberOutcome {
    pub(super) fn validate(&self, number: usize) -> Result<(), StoresError> {
        let hours = [self.motor_hours, self.gale_hours, self.hard_beat_hours];
        let longest = hours.into_iter().fold(0.0, f64::max);
        let fits = self
            .days
            .is_none_or(|days| longest <= 24.0 * days + HOURS_ROUNDING_H);
        let allowed = hours
            .iter()
            .all(|hours| PASSAGE_HOURS.check(*hours).is_ok())
            && HARBOUR_DAYS.check(self.harbour_days).is_ok()
            && self
                .days
                .is_none_or(|days| PASSAGE_DAYS.check(days).is_ok());
        // Members are many: what is wrong is only put into words where something is.
        if fits && allowed {
            return Ok(());
        }
        let of = format!("simulated passage {number}");
        for hours in hours {
            check(&of, &PASSAGE_HOURS, hours)?;
        }
        check(&of, &PASSAGE_DAYS, self.days)?;
        check(&of, &HARBOUR_DAYS, self.harbour_days)?;
        let days = self.days.unwrap_or_default();
        Err(StoresError::Conflict {
            of,
            found: format!("{longest} h of one condition in {days} days"),
            allowed: "no more hours than the passage has",
        })
    }
}

/// Hours summed step by step may pass the passage's own length by rounding.
const HOURS_ROUNDING_H: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passages_that_do_not_arrive_push_the_percentile_out_of_reach() {
        let member = |days| MemberOutcome {
            days,
            motor_hours: 0.0,
            gale_hours: 0.0,
            hard_beat_hours: 0.0,
            ran_dry: false,
            harbour_days: 0.0,
        };
        let outcome = PassageOutcome {
            route: "any".to_owned(),
            members: [Some(4.0), None, Some(1.0), Some(3.0), Some(2.0)]
                .map(member)
                .to_vec(),
            mean_air_temperature_c: None,
            track: Vec::new(),
            thresholds: Vec::new(),
            start: "anywhere".to_owned(),
            stages: Vec::new(),
        };
        let days_at = |percent| outcome.percentile_of(percent, |_, days| days);
        assert_eq!(days_at(62.5), Some(3.5));
        assert_eq!(days_at(75.0), Some(4.0));
        assert_eq!(days_at(76.0), None);
    }
}
