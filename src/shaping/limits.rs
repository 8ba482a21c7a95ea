//! The crew's own limits, and each by itself for saying which of them closes the way.

use super::ShapingError;
use super::hardship::Hardship;
use super::keep_out::KeepOut;
use crate::units::Range;

/// What a crew will not do, or not for long. None of it unless set.
#[derive(Debug, Clone, Default)]
pub struct Limits {
    /// The southernmost latitude, degrees north.
    pub southernmost_deg: Option<f64>,
    /// The northernmost latitude, degrees north.
    pub northernmost_deg: Option<f64>,
    /// The most of the passage's time with a headwind, 0 to 1.
    pub most_headwind: Option<f64>,
    /// The most of the passage's time beating hard, 0 to 1.
    pub most_hard_beat: Option<f64>,
    /// The most gale anywhere on the way, as a share of the time there and then, 0 to 1.
    pub most_gale: Option<f64>,
    /// The coldest mean air anywhere on the way, degrees Celsius.
    pub coldest_air_c: Option<f64>,
    /// How far to keep off land, in nautical miles, but for the waters within
    /// [`LandCheck::ENDS_NM`](crate::route::LandCheck::ENDS_NM) of the ends.
    pub off_land_nm: Option<f64>,
    /// Areas to keep out of.
    pub keep_out: KeepOut,
    /// The greatest chance of the centre of a tropical storm within 200 nm in a stay of ten days
    /// anywhere on the way, by the rate there and then, 0 to 1.
    pub most_storm_chance: Option<f64>,
}

/// One of the limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// The southernmost latitude.
    Southernmost,
    /// The northernmost latitude.
    Northernmost,
    /// The most headwind over the passage.
    Headwind,
    /// The most beating in 20 kn or more over the passage.
    HardBeat,
    /// The most gale anywhere.
    Gale,
    /// The coldest air.
    Air,
    /// The distance off land.
    OffLand,
    /// The areas to keep out of.
    KeepOut,
    /// The chance of a tropical storm anywhere.
    Storms,
}

/// The values the limits may have.
pub mod ranges {
    use super::Range;

    /// Latitudes.
    pub const LATITUDE_DEG: Range = Range::new("latitude", "degrees", -80.0, 80.0);
    /// Shares of time, as a crew writes them.
    pub const PER_CENT: Range = Range::new("share of time", "%", 0.0, 100.0);
    /// Chances of a storm, as a crew writes them.
    pub const STORM_PER_CENT: Range = Range::new("chance of a storm", "%", 0.0, 100.0);
    /// Air temperatures.
    pub const AIR_C: Range = Range::new("air temperature", "°C", -30.0, 40.0);
    /// Distances off land.
    pub const OFF_LAND_NM: Range = Range::new("distance off land", "nm", 0.0, 300.0);
}

impl Limits {
    /// Each limit that is set.
    pub fn in_force(&self) -> Vec<Limit> {
        [
            (Limit::Southernmost, self.southernmost_deg.is_some()),
            (Limit::Northernmost, self.northernmost_deg.is_some()),
            (Limit::Headwind, self.most_headwind.is_some()),
            (Limit::HardBeat, self.most_hard_beat.is_some()),
            (Limit::Gale, self.most_gale.is_some()),
            (Limit::Air, self.coldest_air_c.is_some()),
            (Limit::OffLand, self.off_land_nm.is_some()),
            (Limit::KeepOut, !self.keep_out.is_empty()),
            (Limit::Storms, self.most_storm_chance.is_some()),
        ]
        .into_iter()
        .filter_map(|(limit, set)| set.then_some(limit))
        .collect()
    }

    /// The limits without one of them.
    pub fn without(&self, limit: Limit) -> Self {
        let mut rest = self.clone();
        match limit {
            Limit::Southernmost => rest.southernmost_deg = None,
            Limit::Northernmost => rest.northernmost_deg = None,
            Limit::Headwind => rest.most_headwind = None,
            Limit::HardBeat => rest.most_hard_beat = None,
            Limit::Gale => rest.most_gale = None,
            Limit::Air => rest.coldest_air_c = None,
            Limit::OffLand => rest.off_land_nm = None,
            Limit::KeepOut => rest.keep_out = KeepOut::default(),
            Limit::Storms => rest.most_storm_chance = None,
        }
        rest
    }

    /// A limit with its value, as a sailor would say it; empty where it is not set.
    pub fn describe(&self, limit: Limit) -> String {
        let value = self.value(limit);
        match limit {
            Limit::KeepOut => "the areas to keep out of".to_owned(),
            _ => value.map_or(String::new(), |value| limit.describe(value)),
        }
    }

    /// The number of a limit that has one.
    pub(super) fn value(&self, limit: Limit) -> Option<f64> {
        match limit {
            Limit::Southernmost => self.southernmost_deg,
            Limit::Northernmost => self.northernmost_deg,
            Limit::Headwind => self.most_headwind,
            Limit::HardBeat => self.most_hard_beat,
            Limit::Gale => self.most_gale,
            Limit::Air => self.coldest_air_c,
            Limit::OffLand => self.off_land_nm,
            Limit::Storms => self.most_storm_chance,
            Limit::KeepOut => None,
        }
    }

    /// These limits with another number for one of those that have one.
    pub(super) fn with_value(&self, limit: Limit, value: f64) -> Self {
        let mut other = self.clone();
        match limit {
            Limit::Southernmost => other.southernmost_deg = Some(value),
            Limit::Northernmost => other.northernmost_deg = Some(value),
            Limit::Headwind => other.most_headwind = Some(value),
            Limit::HardBeat => other.most_hard_beat = Some(value),
            Limit::Gale => other.most_gale = Some(value),
            Limit::Air => other.coldest_air_c = Some(value),
            Limit::OffLand => other.off_land_nm = Some(value),
            Limit::Storms => other.most_storm_chance = Some(value),
            Limit::KeepOut => {}
        }
        other
    }

    /// Whether any limit depends on the wind or the season of a place.
    pub(super) fn on_the_season(&self) -> bool {
        self.most_gale.is_some() || self.coldest_air_c.is_some() || self.most_storm_chance.is_some()
    }

    /// The limits on shares of the whole passage.
    pub(super) fn on_the_passage(&self) -> [(Hardship, Limit, Option<f64>); 2] {
        [
            (Hardship::Headwind, Limit::Headwind, self.most_headwind),
            (Hardship::HardBeat, Limit::HardBeat, self.most_hard_beat),
        ]
    }

    /// Checks that the limits leave anything between them.
    ///
    /// # Errors
    /// A northernmost latitude that is not north of the southernmost.
    pub fn check(&self) -> Result<(), ShapingError> {
        match (self.southernmost_deg, self.northernmost_deg) {
            (Some(south_deg), Some(north_deg)) if south_deg >= north_deg => {
                Err(ShapingError::CrossedLatitudes {
                    south: Limit::Southernmost.describe(south_deg),
                    north: Limit::Northernmost.describe(north_deg),
                })
            }
            _ => Ok(()),
        }
    }
}

impl Limit {
    /// The limit with a value, as a sailor would say it.
    pub fn describe(self, value: f64) -> String {
        let latitude = |deg: f64| {
            let letter = if deg < 0.0 { 'S' } else { 'N' };
            format!("{}°{letter}", trimmed(deg.abs()))
        };
        let percent = trimmed(100.0 * value);
        match self {
            Self::Southernmost => format!("not south of {}", latitude(value)),
            Self::Northernmost => format!("not north of {}", latitude(value)),
            Self::Headwind => format!("no more than {percent} % of the time with a headwind"),
            Self::HardBeat => format!("no more than {percent} % of the time beating hard"),
            Self::Gale => format!("no more than {percent} % gale anywhere"),
            Self::Air => format!("air no colder than {} °C", trimmed(value)),
            Self::OffLand => format!("{} nm off land", trimmed(value)),
            Self::KeepOut => "the areas to keep out of".to_owned(),
            Self::Storms => {
                format!("no more than {percent} % chance of a storm in ten days anywhere")
            }
        }
    }

    /// A value that closes nothing more than the waters do, and the step to which a value is told;
    /// none for limits without a number.
    pub(super) fn loosest(self) -> Option<(f64, f64)> {
        match self {
            Self::Southernmost => Some((ranges::LATITUDE_DEG.min, 0.1)),
            Self::Northernmost => Some((ranges::LATITUDE_DEG.max, 0.1)),
            Self::Headwind | Self::HardBeat => Some((1.0, 0.001)),
            Self::Gale | Self::Storms => Some((1.0, 0.001)),
            Self::Air => Some((ranges::AIR_C.min, 0.1)),
            Self::OffLand => Some((0.0, 1.0)),
            Self::KeepOut => None,
        }
    }
}

/// A number with a decimal where it needs one.
fn trimmed(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_taken_away_is_no_longer_in_force() {
        let all = Limits {
            southernmost_deg: Some(-40.0),
            northernmost_deg: Some(-10.0),
            most_headwind: Some(0.2),
            most_hard_beat: Some(0.02),
            most_gale: Some(0.025),
            coldest_air_c: Some(14.0),
            off_land_nm: Some(20.0),
            keep_out: KeepOut::default(),
            most_storm_chance: Some(0.05),
        };
        let named = all.in_force();
        assert_eq!(named.len(), 8);
        for limit in &named {
            assert!(!all.without(*limit).in_force().contains(limit));
            assert_eq!(all.without(*limit).in_force().len(), 7);
        }
        assert_eq!(all.describe(Limit::Southernmost), "not south of 40°S");
        assert_eq!(
            all.describe(Limit::Gale),
            "no more than 2.5 % gale anywhere"
        );
    }

    #[test]
    fn crossed_latitudes_are_refused() {
        let crossed = Limits {
            southernmost_deg: Some(-20.0),
            northernmost_deg: Some(-30.0),
            ..Limits::default()
        };
        assert_eq!(
            crossed.check().unwrap_err().to_string(),
            "the limits cross: not south of 20°S leaves nothing that is not north of 30°S; allowed: \
             a southernmost latitude south of the northernmost"
        );
    }
}
