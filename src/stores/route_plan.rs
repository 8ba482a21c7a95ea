//! A route's loading list, or why there is none.

use schemars::JsonSchema;
use serde::Serialize;

use super::error::StoresError;
use super::loading::{LoadingPlan, StoresSettings};
use super::outcome::PassageOutcome;

/// What came of planning the stores of one route. A boat that does not arrive is no error.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RoutePlan {
    /// The loading list.
    Planned(Box<LoadingPlan>),
    /// Too few passages arrive to say what the chosen percentile of them needs.
    TooFewArrive(TooFewArrive),
}

/// How many passages were asked for, and how many arrive.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct TooFewArrive {
    /// The percentile asked for.
    pub confidence_percent: f64,
    /// The share of passages that arrive, in per cent.
    pub arrived_percent: f64,
}

impl RoutePlan {
    /// Plans the stores of one route.
    ///
    /// # Errors
    /// A setting or an outcome out of range.
    pub fn of(settings: &StoresSettings, outcome: &PassageOutcome) -> Result<Self, StoresError> {
        // The median's track is empty where too few arrive: asked first, lest that be the complaint.
        settings.validate()?;
        let planned = outcome
            .at(settings.reserve.confidence().value)
            .and_then(|_| LoadingPlan::of(settings, outcome));
        match planned {
            Ok(plan) => Ok(Self::Planned(Box::new(plan))),
            Err(StoresError::NotReached {
                found_percent,
                arrived_percent,
            }) => Ok(Self::TooFewArrive(TooFewArrive {
                confidence_percent: found_percent,
                arrived_percent,
            })),
            Err(other) => Err(other),
        }
    }

    /// The loading list, if there is one.
    pub fn planned(&self) -> Option<&LoadingPlan> {
        match self {
            Self::Planned(plan) => Some(plan),
            Self::TooFewArrive(_) => None,
        }
    }
}
