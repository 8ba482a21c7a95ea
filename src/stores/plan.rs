//! The loading list: all subjects worked out in their order and set side by side.

use schemars::JsonSchema;
use serde::Serialize;

use crate::geodesy::SunDay;
use crate::route::Goods;

use super::crew::CrewSettings;
use super::days::{DaysPlan, ReserveSettings, ResupplySettings};
use super::error::StoresError;
use super::food::{DaysOfFood, FoodPlan, FoodSettings};
use super::fuel::{EngineSettings, FuelPlan};
use super::line::{Caution, Line, Subject};
use super::outcome::{MEDIAN_PERCENT, PassageOutcome, Percentile, percentile_of};
use super::places::{AllCarried, Carried, StagedStores};
use super::power::{PowerPlan, PowerSettings};
use super::prices::{Costs, PriceSettings};
use super::service::{ServicePlan, ServiceSettings};
use super::stages::{Carry, summed, until_had};
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
    /// What things cost; `None` where nothing is said of it.
    pub prices: Option<PriceSettings>,
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
            prices: None,
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
        self.prices
            .as_ref()
            .map_or(Ok(()), PriceSettings::validate)?;
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

/// The loading list of one route, in metric units. On a route with stops diesel, water and food are each
/// those of the stages on one loading that ask most; spares, power and watches are of the whole passage.
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
    /// What to load at the start and at each stop; none for a route without stops.
    pub staged: Option<StagedStores>,
    /// What it costs; none where no prices are given.
    pub costs: Option<Costs>,
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
        let at = [&median, &chosen];
        let days_of = |food: &Carry, water: &Carry| {
            let (reserve, resupply) = (&settings.reserve, &settings.resupply);
            DaysPlan::of(reserve, resupply, has_watermaker, at, [food, water])
        };
        let water = Carried::of(outcome, Goods::Water, |carry| {
            let days = days_of(carry, carry)?;
            let (water, crew) = (&settings.water, &settings.crew);
            Some(WaterPlan::of(water, crew, &days, &carry.outcome))
        })?;
        let water = water.by(|plan| plan.tank_minimum_litres);
        let maker = water.most().watermaker.as_ref();
        let power = settings.power.as_ref();
        let power = power.map(|power| PowerPlan::of(power, &outcome.track, &sun, maker));
        let charging_hours = power
            .as_ref()
            .and_then(|power| power.charging_hours_per_day);
        let charging_hours = charging_hours.unwrap_or(0.0);
        let fuel = settings.engine.as_ref().map(|engine| {
            let carried = Carried::of(outcome, Goods::Diesel, |carry| {
                let here = &carry.outcome;
                let [median, chosen] = [here.at(MEDIAN_PERCENT)?, here.at(confidence_percent)?];
                FuelPlan::of(engine, charging_hours, here, &median, &chosen)
            })?;
            Some(carried.by(|plan| plan.chosen.to_load_litres))
        });
        let fuel = match fuel {
            Some(fuel) => Some(fuel?),
            None => None,
        };
        let food = Carried::of(outcome, Goods::All, |carry| {
            let days = days_of(carry, carry)?;
            let days = DaysOfFood {
                all: days.food_days,
                fresh: fresh_days(outcome, carry, days.food_days)?,
            };
            let here = &carry.outcome;
            let chosen = here.at(confidence_percent)?;
            let air_c = here.mean_air_temperature_c;
            Some(FoodPlan::of(
                &settings.food,
                &settings.crew,
                &days,
                &chosen,
                air_c,
            ))
        })?;
        let food = food.by(|plan| plan.to_load_kg);
        let days = days_of(food.deciding(), water.deciding())?;
        let engine_hours = fuel
            .as_ref()
            .map(|fuel| fuel.most().engine_hours_over(&chosen));
        let made_litres = water
            .plans
            .iter()
            .filter_map(|plan| plan.watermaker.as_ref());
        let made_litres = made_litres.map(|maker| maker.made_litres);
        let made_litres = maker.map(|_| made_litres.sum());
        let service = ServicePlan::of(&settings.service, &chosen, engine_hours, made_litres);
        let carried = AllCarried { fuel, water, food };
        let staged = carried.staged(outcome);
        let prices = settings.prices.as_ref();
        let costs = prices.map(|prices| carried.costs(prices, settings.crew.count(), outcome));
        let fuel = carried.fuel.map(Carried::into_most);
        let (water, food) = (carried.water.into_most(), carried.food.into_most());
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
            staged,
            costs,
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

/// The days from each place where fresh food is had to the next, on one loading of food that is for `all`
/// days: those of the median passage, so that no fresh food is counted on for days that may not come, and
/// from the last such place all that are left.
fn fresh_days(outcome: &PassageOutcome, carry: &Carry, all: f64) -> Option<Vec<f64>> {
    let stages = outcome.stages.get(carry.stages.clone()).unwrap_or(&[]);
    let mut stretches = until_had(stages, Goods::FreshFood);
    stretches.pop();
    let days = stretches.into_iter().map(|stretch| {
        let members = summed(&stages[stretch]);
        percentile_of(&members, MEDIAN_PERCENT, |member, days| {
            days + member.harbour_days
        })
    });
    let mut days: Vec<f64> = days.collect::<Option<_>>()?;
    let left = all - days.iter().sum::<f64>();
    days.push(left.max(0.0));
    Some(days)
}
