//! How the crew waits in harbour for weather, and how well it knows what is coming.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::error::BoatError;
use super::ranges::{FORECAST, FORECAST_SKILL, HEADWIND_BELOW, PROGRESS_SHARE, WAIT_UP_TO};

/// The days of a forecast.
const DAYS: usize = 10;
const HOURS_PER_DAY: f64 = 24.0;

/// How long she waits in harbour, and for what. Every 24 hours the crew looks at the forecast, and leaves
/// with the first that promises what it asks for, or when it has waited as long as it will.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct WaitForWeather {
    /// The longest wait, days.
    wait_up_to_days: f64,
    /// How far ahead the crew looks, days.
    forecast_days: f64,
    /// It leaves with no headwind of this speed or more in the forecast, knots.
    wait_for_headwind_below_kn: f64,
    /// It leaves with at least this share of the mean progress that leaving at once makes in those days.
    wait_for_progress_share: f64,
    /// How well the forecast knows the wind.
    forecast_skill_by_day: ForecastSkill,
}

/// How well a forecast knows the wind: the correlation of its departure from the mean with the true one,
/// on the first day and each that follows, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct ForecastSkill([f64; DAYS]);

/// A forecast whose skill is known by a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum ForecastWord {
    /// As forecasts usually are.
    Usual,
    /// It knows the wind as it comes: no forecast does.
    Perfect,
    /// It knows no more than the mean and the scatter.
    None,
}

impl ForecastSkill {
    /// As forecasts of the wind at sea usually are (common practice, no source).
    pub const USUAL: Self = Self([0.95, 0.9, 0.8, 0.7, 0.55, 0.45, 0.35, 0.27, 0.21, 0.16]);

    /// No forecast of the wind at the surface knows more: anomaly correlation at 500 hPa outside the
    /// tropics on some days (ECMWF Forecast User Guide, section 6.4.3), and all at the time it is made.
    const MOST: [(f64, f64); 5] = [
        (0.0, 1.0),
        (3.0, 0.985),
        (5.0, 0.92),
        (7.0, 0.80),
        (10.0, 0.50),
    ];

    /// The skill that a word stands for.
    pub fn of(word: ForecastWord) -> Self {
        match word {
            ForecastWord::Usual => Self::USUAL,
            ForecastWord::Perfect => Self([1.0; DAYS]),
            ForecastWord::None => Self([0.0; DAYS]),
        }
    }

    /// One for each day, the first that of the first day; the days after the last have none.
    ///
    /// # Errors
    /// More than ten days or none; a correlation outside 0 to 1, above the most that is known of any
    /// forecast, or above that of the day before.
    pub fn by_day(correlations: &[f64]) -> Result<Self, BoatError> {
        if !(1..=DAYS).contains(&correlations.len()) {
            return Err(BoatError::SkillDays {
                found: correlations.len(),
            });
        }
        let mut skill = [0.0; DAYS];
        let mut before = 1.0_f64;
        for (index, correlation) in correlations.iter().enumerate() {
            let found = FORECAST_SKILL.check(*correlation)?;
            let most = before.min(Self::most(index + 1));
            if found > most {
                let day = index + 1;
                return Err(BoatError::Skill { day, found, most });
            }
            skill[index] = found;
            before = found;
        }
        Ok(Self(skill))
    }

    /// The most that is known of any forecast on a day, linear between those that are given.
    fn most(day: usize) -> f64 {
        let day = day as f64;
        let pairs = Self::MOST.windows(2);
        let mut between = pairs.map(|pair| (pair[0], pair[1]));
        let found = between.find(|(_, (later, _))| day <= *later);
        found.map_or(0.0, |((from, a), (to, b))| {
            a + (day - from) / (to - from) * (b - a)
        })
    }

    /// The correlation so many hours ahead: each holds for the whole of its day.
    pub fn at(&self, hours_ahead: f64) -> f64 {
        let day = (hours_ahead / HOURS_PER_DAY) as usize;
        self.0.get(day).copied().unwrap_or(0.0)
    }
}

impl WaitForWeather {
    /// What the crew asks for where it does not say: looking three days ahead, no headwind of 20 kn or
    /// more, and seven tenths of the mean progress (common practice, no source).
    pub const FORECAST_DAYS: f64 = 3.0;
    /// See [`Self::FORECAST_DAYS`].
    pub const HEADWIND_BELOW_KN: f64 = 20.0;
    /// See [`Self::FORECAST_DAYS`].
    pub const PROGRESS_SHARE: f64 = 0.7;

    /// Waiting `wait_up_to_hours` at most, for forecasts of `forecast_hours`.
    ///
    /// # Errors
    /// A wait outside 0 to 720 h, a forecast outside 24 to 240 h.
    pub fn new(wait_up_to_hours: f64, forecast_hours: f64) -> Result<Self, BoatError> {
        Ok(Self {
            wait_up_to_days: WAIT_UP_TO.check(wait_up_to_hours)? / HOURS_PER_DAY,
            forecast_days: FORECAST.check(forecast_hours)? / HOURS_PER_DAY,
            wait_for_headwind_below_kn: Self::HEADWIND_BELOW_KN,
            wait_for_progress_share: Self::PROGRESS_SHARE,
            forecast_skill_by_day: ForecastSkill::USUAL,
        })
    }

    /// The same, leaving with no headwind of this speed or more in the forecast, knots.
    ///
    /// # Errors
    /// A speed outside 5 to 100 kn.
    pub fn for_headwind_below(mut self, headwind_kn: f64) -> Result<Self, BoatError> {
        self.wait_for_headwind_below_kn = HEADWIND_BELOW.check(headwind_kn)?;
        Ok(self)
    }

    /// The same, leaving with at least this share of the mean progress in the forecast.
    ///
    /// # Errors
    /// A share outside 0 to 2.
    pub fn for_progress_share(mut self, share: f64) -> Result<Self, BoatError> {
        self.wait_for_progress_share = PROGRESS_SHARE.check(share)?;
        Ok(self)
    }

    /// The same with forecasts of another skill.
    pub fn with_skill(mut self, skill: ForecastSkill) -> Self {
        self.forecast_skill_by_day = skill;
        self
    }

    /// How many whole days she waits at most.
    pub fn most_days(&self) -> usize {
        self.wait_up_to_days as usize
    }

    /// The longest wait, days: a part of a day is not waited, for the crew looks every 24 hours.
    pub fn wait_up_to_days(&self) -> f64 {
        self.most_days() as f64
    }

    /// How far ahead the crew looks, days.
    pub fn forecast_days(&self) -> f64 {
        self.forecast_days
    }

    /// She leaves with no headwind of this speed or more in the forecast, knots.
    pub fn headwind_below_kn(&self) -> f64 {
        self.wait_for_headwind_below_kn
    }

    /// She leaves with at least this share of the mean progress in the forecast.
    pub fn progress_share(&self) -> f64 {
        self.wait_for_progress_share
    }

    /// How well the forecast knows the wind.
    pub fn skill(&self) -> ForecastSkill {
        self.forecast_skill_by_day
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_skill_is_one_a_crew_could_give_and_falls_to_none() {
        let ForecastSkill(usual) = ForecastSkill::USUAL;
        assert_eq!(ForecastSkill::by_day(&usual).unwrap(), ForecastSkill::USUAL);
        assert_eq!(ForecastSkill::USUAL.at(23.9), 0.95);
        assert_eq!(ForecastSkill::USUAL.at(24.0), 0.9);
        assert_eq!(ForecastSkill::USUAL.at(240.0), 0.0);
        assert_eq!(ForecastSkill::by_day(&[0.9]).unwrap().at(24.0), 0.0);
    }

    /// ECMWF Forecast User Guide, section 6.4.3: 500 hPa anomaly correlation outside the tropics.
    #[test]
    fn no_forecast_knows_more_than_is_published() {
        let known = |day: usize, correlation: f64| {
            ForecastSkill::by_day(&vec![correlation; day]).map(|_| ())
        };
        for (day, correlation) in [(3, 0.985), (5, 0.92), (7, 0.80), (10, 0.50)] {
            known(day, correlation).unwrap();
            assert!(known(day, correlation + 0.001).is_err(), "day {day}");
        }
        let message = known(4, 0.96).unwrap_err().to_string();
        assert_eq!(
            message,
            "forecast skill of day 4 is 0.96; allowed: 0 to 0.9525, and no more than the day before"
        );
        let message = ForecastSkill::by_day(&[0.8, 0.9]).unwrap_err().to_string();
        assert!(
            message.contains("day 2 is 0.9; allowed: 0 to 0.8"),
            "{message}"
        );
        assert!(ForecastSkill::by_day(&[f64::NAN]).is_err());
        assert!(ForecastSkill::by_day(&[]).is_err());
    }

    #[test]
    fn a_wait_is_of_whole_days_and_within_its_range() {
        let most_days = |hours| WaitForWeather::new(hours, 72.0).map(|wait| wait.most_days());
        assert_eq!(most_days(130.0).unwrap(), 5);
        assert_eq!(most_days(0.0).unwrap(), 0);
        let message = most_days(721.0).unwrap_err().to_string();
        assert_eq!(
            message,
            "the wait for weather is 721 h; allowed: 0 to 720 h"
        );
        assert!(WaitForWeather::new(24.0, 12.0).is_err());
    }
}
