//! The loading list: all subjects worked out in their order and set side by side.

use schemars::JsonSchema;
use serde::Serialize;

use crate::geodesy::SunDay;

use super::crew::CrewSettings;
use super::days::{DaysPlan, ReserveSettings, ResupplySettings};
use super::error::StoresError;
use super::food::{FoodPlan, FoodSettings};
use super::fuel::{EngineSettings, FuelPlan};
use super::line::{Caution, Line, Subject};
use super::outcome::{MEDIAN_PERCENT, PassageOutcome, Percentile};
use super::power::{PowerPlan, PowerSettings};
use super::service::{ServicePlan, ServiceSettings};
use super::watches::{WatchPlan, WatchSettings};
use super::water::{WaterPlan, WaterSettings};

/// All that a crew says of its stores.
#[derive(Debug, Clone, PartialEq)]
pub struct StoresSettings {
    /// Who is aboard.
    pub crew: CrewSettings,
    /// How sure to be, and how much to add.
    pub reserve: ReserveSettings,
    /// What waits at the destination.
    pub resupply: ResupplySettings,
    /// The engine and its fuel, if any.
    pub engine: Option<EngineSettings>,
    /// Fresh water.
    pub water: WaterSettings,
    /// Electricity; `None` where the voyage does not say.
    pub power: Option<PowerSettings>,
    /// Food.
    pub food: FoodSettings,
    /// Spares.
    pub service: ServiceSettings,
    /// Watches.
    pub watches: WatchSettings,
}

impl StoresSettings {
    /// A crew and its water tanks, no engine, power not known, and the defaults for the rest.
    pub fn new(crew: CrewSettings, water: WaterSettings) -> Self {
        Self {
            crew,
            reserve: ReserveSettings::default(),
            resupply: ResupplySettings::default(),
            engine: None,
            water,
            power: None,
            food: FoodSettings::default(),
            service: ServiceSettings::default(),
            watches: WatchSettings::default(),
        }
    }

    /// Checks all settings.
    ///
    /// # Errors
    /// The first field at fault, or an alternator without an engine.
    pub fn validate(&self) -> Result<(), StoresError> {
        self.crew.validate()?;
        self.reserve.validate()?;
        self.resupply.validate()?;
        self.engine
            .as_ref()
            .map_or(Ok(()), EngineSettings::validate)?;
        self.water.validate()?;
        self.power
            .as_ref()
            .map_or(Ok(()), PowerSettings::validate)?;
        self.food.validate()?;
        self.service.validate()?;
        self.watches.validate()?;
        let alternator = self.power.as_ref().and_then(|power| power.alternator);
        if alternator.is_some() && self.engine.is_none() {
            return Err(StoresError::Missing {
                of: "engine",
                needed: "one to turn the alternator",
            });
        }
        Ok(())
    }
}

/// The loading list of one route, in metric units.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct LoadingPlan {
    /// The route.
    pub route: String,
    /// The passage at 50 %.
    pub median: Percentile,
    /// The passage at the chosen percentile.
    pub chosen: Percentile,
    /// What the skipper must see first.
    pub cautions: Vec<Caution>,
    /// Days to provide for.
    pub days: DaysPlan,
    /// Diesel; none without an engine.
    pub fuel: Option<FuelPlan>,
    /// Fresh water.
    pub water: WaterPlan,
    /// Electricity; none where it is not known what uses it.
    pub power: Option<PowerPlan>,
    /// Food.
    pub food: FoodPlan,
    /// Spares.
    pub service: ServicePlan,
    /// Watches and sleep.
    pub watches: WatchPlan,
}

/// What came of planning the stores of one route. A boat that does not arrive is no error.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
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
    /// The loading list, if there is one.
    pub fn planned(&self) -> Option<&LoadingPlan> {
        match self {
            Self::Planned(plan) => Some(plan),
            Self::TooFewArrive(_) => None,
        }
    }
}

/// Plans the stores of one route.
///
/// # Errors
/// A setting or an outcome out of range. A tank that is too small is a caution with its shortfall,
/// never an error.
pub fn plan(settings: &StoresSettings, outcome: &PassageOutcome) -> Result<RoutePlan, StoresError> {
    settings.validate()?;
    outcome.validate()?;
    let confidence_percent = settings.reserve.confidence().value;
    Ok(
        match LoadingPlan::of(settings, outcome, confidence_percent) {
            Some(plan) => RoutePlan::Planned(Box::new(plan)),
            None => RoutePlan::TooFewArrive(TooFewArrive {
                confidence_percent,
                arrived_percent: 100.0 * outcome.share_of_members(|member| member.days.is_some()),
            }),
        },
    )
}

impl LoadingPlan {
    /// Works the list out; none where too few arrive. Power waits for the watermaker's hours, diesel
    /// for the charging hours, and spares for the engine's.
    fn of(
        settings: &StoresSettings,
        outcome: &PassageOutcome,
        confidence_percent: f64,
    ) -> Option<Self> {
        let median = outcome.at(MEDIAN_PERCENT)?;
        let chosen = outcome.at(confidence_percent)?;
        let track = outcome.track.iter();
        let sun: Vec<SunDay> = track
            .map(|day| SunDay::at(day.date, day.latitude_deg, day.longitude_deg))
            .collect();
        let air_c = outcome.mean_air_temperature_c;
        let has_watermaker = settings.water.watermaker.is_some();
        let days = DaysPlan::of(
            &settings.reserve,
            &settings.resupply,
            has_watermaker,
            &median,
            &chosen,
        );
        let water = WaterPlan::of(&settings.water, &settings.crew, &days, outcome);
        let maker = water.watermaker.as_ref();
        let power = settings.power.as_ref();
        let power = power.map(|power| PowerPlan::of(power, &outcome.track, &sun, maker));
        let charging_hours = power
            .as_ref()
            .and_then(|power| power.charging_hours_per_day);
        let charging_hours = charging_hours.unwrap_or(0.0);
        let fuel = match &settings.engine {
            Some(engine) => {
                let plan = FuelPlan::of(engine, charging_hours, outcome, &median, &chosen);
                Some(plan?)
            }
            None => None,
        };
        let food = FoodPlan::of(&settings.food, &settings.crew, &days, &chosen, air_c);
        let engine_hours = fuel.as_ref().map(|fuel| fuel.engine_hours);
        let made_litres = maker.map(|maker| maker.made_litres);
        let service = ServicePlan::of(&settings.service, &chosen, engine_hours, made_litres);
        let watches = WatchPlan::of(&settings.watches, &settings.crew, sun, &chosen);

        let mut cautions = water.cautions();
        cautions.extend([Caution::SparesAreMinimum, Caution::FoodIsMinimum]);
        cautions.extend(fuel.iter().flat_map(FuelPlan::cautions));
        cautions.extend(power.iter().flat_map(PowerPlan::cautions));
        cautions.extend(watches.cautions());
        cautions.extend(power.is_none().then_some(Caution::PowerUnknown));
        cautions.extend(air_c.is_none().then_some(Caution::AirTemperatureUnknown));
        cautions.extend(settings.resupply.cautions());
        Some(Self {
            route: outcome.route.clone(),
            median,
            chosen,
            cautions,
            days,
            fuel,
            water,
            power,
            food,
            service,
            watches,
        })
    }

    /// All lines with what they are about, in the order of the list. What food to buy is not among
    /// them; it is in [`FoodPlan::provisions`].
    pub fn lines(&self) -> impl Iterator<Item = (Subject, &Line)> {
        let fuel = self.fuel.as_ref().map_or(&[][..], |fuel| &fuel.lines);
        let power = self.power.as_ref().map_or(&[][..], |power| &power.lines);
        let by_subject = [
            (Subject::Days, &self.days.lines[..]),
            (Subject::Fuel, fuel),
            (Subject::Water, &self.water.lines),
            (Subject::Power, power),
            (Subject::Food, &self.food.lines),
            (Subject::Service, &self.service.lines),
            (Subject::Watches, &self.watches.lines),
        ];
        by_subject
            .into_iter()
            .flat_map(|(subject, lines)| lines.iter().map(move |line| (subject, line)))
    }
}
