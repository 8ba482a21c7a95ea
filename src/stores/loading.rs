//! The loading list: all subjects worked out in their order and set side by side.

use schemars::JsonSchema;
use serde::Serialize;

use super::crew::CrewSettings;
use super::days::{DaysPlan, ReserveSettings, ResupplySettings};
use super::error::StoresError;
use super::food::{FoodPlan, FoodSettings};
use super::fuel::{EngineSettings, FuelPlan};
use super::line::{Caution, Line, Subject};
use super::outcome::{PassageOutcome, Percentile};
use super::power::{PowerPlan, PowerSettings};
use super::service::{ServicePlan, ServiceSettings};
use super::sun::SunDay;
use super::watches::{WatchPlan, WatchSettings};
use super::water::{WaterPlan, WaterSettings};
use crate::units::{OutputUnits, Unit};

/// The percentile shown beside the chosen one.
const MEDIAN_PERCENT: f64 = 50.0;

/// All the voyage says of its stores.
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
    /// Units of the lines and cautions.
    pub output: OutputUnits,
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
            output: OutputUnits::default(),
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
            return Err(StoresError::Conflict {
                field: "power.alternator".to_owned(),
                found: "given".to_owned(),
                allowed: "an alternator only with an engine to turn it".to_owned(),
            });
        }
        Ok(())
    }
}

/// An amount in a unit.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Amount {
    /// How much, in `unit`.
    pub quantity: f64,
    /// The unit.
    pub unit: Unit,
}

/// The three figures two routes are compared by.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Summary {
    /// Diesel to load at the chosen percentile; none without an engine.
    pub diesel: Option<Amount>,
    /// Food to load, the pets' included.
    pub food: Amount,
    /// Water to load, the emergency water included.
    pub water: Amount,
}

/// The loading list of one route. Fields with a unit in their name keep it; lines, cautions and the
/// summary are in the voyage's choice of units.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct LoadingPlan {
    /// The route.
    pub route: String,
    /// Units of lines, cautions and summary.
    pub output: OutputUnits,
    /// The passage at 50 %.
    pub median: Percentile,
    /// The passage at the chosen percentile.
    pub chosen: Percentile,
    /// Diesel, food and water.
    pub summary: Summary,
    /// What the skipper must see first.
    pub cautions: Vec<Caution>,
    /// Days to provide for.
    pub days: DaysPlan,
    /// Diesel; none without an engine.
    pub fuel: Option<FuelPlan>,
    /// Fresh water.
    pub water: WaterPlan,
    /// Electricity; none where the voyage does not say.
    pub power: Option<PowerPlan>,
    /// Food.
    pub food: FoodPlan,
    /// Spares and questions.
    pub service: ServicePlan,
    /// Watches and sleep.
    pub watches: WatchPlan,
}

impl LoadingPlan {
    /// Works the list out. Power waits for the watermaker's hours, diesel for the charging hours, and
    /// spares for the engine's.
    ///
    /// # Errors
    /// A setting or an outcome out of range, or too few passages that arrive. A tank that is too
    /// small is a caution with its shortfall, never an error.
    pub fn of(settings: &StoresSettings, outcome: &PassageOutcome) -> Result<Self, StoresError> {
        settings.validate()?;
        outcome.validate()?;
        let median = outcome.at(MEDIAN_PERCENT)?;
        let chosen = outcome.at(settings.reserve.confidence().value)?;
        let sun: Vec<SunDay> = outcome
            .track
            .iter()
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
        let watermaker_wh = water
            .watermaker
            .map_or(0.0, |maker| maker.watt_hours_per_day);
        let power = settings
            .power
            .as_ref()
            .map(|power| PowerPlan::of(power, &outcome.track, &sun, watermaker_wh));
        let charging_hours = power
            .as_ref()
            .and_then(|power| power.charging_hours_per_day)
            .unwrap_or(0.0);
        let fuel = settings
            .engine
            .as_ref()
            .map(|engine| FuelPlan::of(engine, charging_hours, outcome, &median, &chosen))
            .transpose()?;
        let food = FoodPlan::of(&settings.food, &settings.crew, &days, &chosen, air_c);
        let service = ServicePlan::of(
            &settings.service,
            &chosen,
            fuel.as_ref().map(|fuel| fuel.engine_hours),
            water.watermaker.map(|maker| maker.made_litres),
        );
        let watches = WatchPlan::of(&settings.watches, &settings.crew, sun, &chosen);
        let mut plan = Self {
            route: outcome.route.clone(),
            output: settings.output,
            median,
            chosen,
            summary: Summary {
                diesel: fuel
                    .as_ref()
                    .map(|fuel| amount(fuel.chosen.litres, Unit::Litre, settings.output)),
                food: amount(food.kg, Unit::Kilogram, settings.output),
                water: amount(water.litres, Unit::Litre, settings.output),
            },
            cautions: Vec::new(),
            days,
            fuel,
            water,
            power,
            food,
            service,
            watches,
        };
        plan.cautions = plan.all_cautions(settings, outcome);
        plan.show_in(settings.output);
        Ok(plan)
    }

    /// All lines, in the order of the list.
    pub fn lines(&self) -> impl Iterator<Item = &Line> {
        let none: &[Line] = &[];
        self.days
            .lines
            .iter()
            .chain(self.fuel.as_ref().map_or(none, |fuel| &fuel.lines))
            .chain(&self.water.lines)
            .chain(self.power.as_ref().map_or(none, |power| &power.lines))
            .chain(&self.food.lines)
            .chain(&self.service.lines)
            .chain(&self.watches.lines)
    }

    fn all_cautions(&self, settings: &StoresSettings, outcome: &PassageOutcome) -> Vec<Caution> {
        let mut cautions = self.water.cautions();
        cautions.extend(self.service.cautions());
        cautions.extend(self.food.cautions());
        cautions.extend(self.fuel.iter().flat_map(FuelPlan::cautions));
        cautions.extend(self.power.iter().flat_map(PowerPlan::cautions));
        cautions.extend(self.watches.cautions());
        if self.power.is_none() {
            let text = "Nothing is said of electricity: charging is not in the diesel.";
            cautions.push(Caution::new(Subject::Power, text));
        }
        if outcome.mean_air_temperature_c.is_none() {
            let text = "The winds in use have no air temperature: nothing is added to the water for heat, nor to the food for cold.";
            cautions.push(Caution::new(Subject::Water, text));
        }
        cautions.extend(settings.resupply.cautions());
        cautions
    }

    fn show_in(&mut self, system: OutputUnits) {
        let lines = self
            .days
            .lines
            .iter_mut()
            .chain(self.fuel.iter_mut().flat_map(|fuel| &mut fuel.lines))
            .chain(&mut self.water.lines)
            .chain(self.power.iter_mut().flat_map(|power| &mut power.lines))
            .chain(&mut self.food.lines)
            .chain(&mut self.service.lines)
            .chain(&mut self.watches.lines);
        lines.for_each(|line| line.show_in(system));
        self.cautions
            .iter_mut()
            .for_each(|caution| caution.show_in(system));
    }
}

fn amount(quantity: f64, unit: Unit, system: OutputUnits) -> Amount {
    let (quantity, unit) = unit.convert(quantity, system);
    Amount { quantity, unit }
}
