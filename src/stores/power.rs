//! The day's electric balance along the track, and the hours of charging it leaves to the engine.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geodesy::SunDay;
use crate::units::Unit;

use super::basis::Basis;
use super::error::{StoresError, check};
use super::line::{Caution, Item, Line, Per, Rule};
use super::outcome::TrackDay;
use super::power_sources::{Alternator, Battery, ELECTRIC_POWER, Solar, WindGenerator};
use super::watermaker::{HOURS_A_DAY, WatermakerPlan};

const MAKERS: Basis = Basis::from_memory("makers' sheets, 2 to 6 A at 12 V for 10 to 14 m");

/// The usual loads: name, mean power in watts while it runs, when it runs, where the figures come
/// from. The autopilot takes 4 A at 12 V, and a short crew has it on at all hours; refrigeration is
/// averaged over its running and resting.
const LOADS: [(&str, f64, Running, Basis); 7] = [
    ("autopilot", 48.0, Running::AllDay, MAKERS),
    ("instruments", 12.0, Running::AllDay, Basis::PRACTICE),
    ("radio", 10.0, Running::AllDay, Basis::PRACTICE),
    ("navigation lights", 5.0, Running::Dark, Basis::PRACTICE),
    ("cabin lights", 15.0, Running::Hours(4.0), Basis::PRACTICE),
    ("refrigeration", 40.0, Running::AllDay, Basis::PRACTICE),
    (
        "computers and telephones",
        40.0,
        Running::Hours(3.0),
        Basis::PRACTICE,
    ),
];

/// When something runs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Running {
    /// At all hours.
    AllDay,
    /// From sunset to sunrise.
    Dark,
    /// So many hours a day.
    Hours(f64),
}

/// Something that uses electricity.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// What it is.
    pub name: String,
    /// Mean power while it runs, watts.
    pub watts: f64,
    /// When it runs.
    pub running: Running,
    /// Where power and hours come from.
    pub basis: Basis,
}

/// Electricity aboard. The watermaker is not among the loads; it is taken from the water's settings.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerSettings {
    /// What uses electricity.
    pub loads: Vec<Load>,
    /// The house battery; `None` where it is not known.
    pub battery: Option<Battery>,
    /// Solar panels, if any.
    pub solar: Option<Solar>,
    /// A wind generator, if any.
    pub wind: Option<WindGenerator>,
    /// The engine's alternator, if any.
    pub alternator: Option<Alternator>,
}

impl Default for PowerSettings {
    /// The usual loads, with no source and no battery.
    fn default() -> Self {
        let load = |(name, watts, running, basis): (&str, f64, Running, Basis)| Load {
            name: name.to_owned(),
            watts,
            running,
            basis,
        };
        Self {
            loads: LOADS.map(load).into(),
            battery: None,
            solar: None,
            wind: None,
            alternator: None,
        }
    }
}

impl PowerSettings {
    /// Checks every number.
    ///
    /// # Errors
    /// A number out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        for load in &self.loads {
            check(&load.name, &ELECTRIC_POWER, load.watts)?;
            if let Running::Hours(hours) = load.running {
                check(&load.name, &HOURS_A_DAY, hours)?;
            }
        }
        self.battery.as_ref().map_or(Ok(()), Battery::validate)?;
        self.solar.as_ref().map_or(Ok(()), Solar::validate)?;
        self.wind.as_ref().map_or(Ok(()), WindGenerator::validate)?;
        self.alternator
            .as_ref()
            .map_or(Ok(()), Alternator::validate)
    }
}

/// Electricity used and made on one day, watt-hours.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct DayBalance {
    /// The date.
    #[schemars(with = "String", extend("format" = "date"))]
    pub date: Date,
    /// Used, Wh.
    pub used_wh: f64,
    /// Made by the sun, Wh.
    pub solar_wh: f64,
    /// Made by the wind, Wh.
    pub wind_wh: f64,
    /// Left to the engine, Wh; 0 where sun and wind suffice. A good day's surplus is not carried over.
    pub lacking_wh: f64,
}

/// The balance over the passage.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct PowerPlan {
    /// Each day of the track.
    pub days: Vec<DayBalance>,
    /// Mean used a day, Wh.
    pub used_wh_per_day: f64,
    /// Mean made by the sun a day, Wh.
    pub solar_wh_per_day: f64,
    /// Mean made by the wind a day, Wh.
    pub wind_wh_per_day: f64,
    /// Mean left to the engine a day, Wh.
    pub lacking_wh_per_day: f64,
    /// The most left to the engine on one day, Wh.
    pub worst_lacking_wh: f64,
    /// Mean hours of charging a day; none without an alternator.
    pub charging_hours_per_day: Option<f64>,
    /// Hours of charging on the worst day; none without an alternator.
    pub worst_charging_hours: Option<f64>,
    /// Hours the battery carries the mean use alone; none where it is not known or nothing is used.
    pub battery_hours: Option<f64>,
    /// The longest night on the track, hours.
    pub longest_night_hours: f64,
    /// The lines of the list.
    pub lines: Vec<Line>,
}

impl PowerPlan {
    /// The balance on `track`, at least one day, under the same days' `suns`, with the watermaker.
    pub(crate) fn of(
        power: &PowerSettings,
        track: &[TrackDay],
        suns: &[SunDay],
        watermaker: Option<&WatermakerPlan>,
    ) -> Self {
        let watermaker_wh = watermaker.map_or(0.0, |maker| maker.used_wh_per_day);
        let days: Vec<DayBalance> = track
            .iter()
            .zip(suns)
            .map(|(day, sun)| balance(power, day, sun, watermaker_wh))
            .collect();
        let mean =
            |pick: fn(&DayBalance) -> f64| days.iter().map(pick).sum::<f64>() / days.len() as f64;
        let used_wh_per_day = mean(|day| day.used_wh);
        let lacking_wh_per_day = mean(|day| day.lacking_wh);
        let worst_lacking_wh = days.iter().map(|day| day.lacking_wh).fold(0.0, f64::max);
        let hours = |watt_hours: f64| Some(power.alternator?.hours_for(watt_hours));
        let mut plan = Self {
            used_wh_per_day,
            solar_wh_per_day: mean(|day| day.solar_wh),
            wind_wh_per_day: mean(|day| day.wind_wh),
            lacking_wh_per_day,
            worst_lacking_wh,
            charging_hours_per_day: hours(lacking_wh_per_day),
            worst_charging_hours: hours(worst_lacking_wh),
            battery_hours: power
                .battery
                .filter(|_| used_wh_per_day > 0.0)
                .map(|battery| battery.usable_wh() / (used_wh_per_day / 24.0)),
            longest_night_hours: suns.iter().map(SunDay::dark_hours).fold(0.0, f64::max),
            days,
            lines: Vec::new(),
        };
        let mean_dark_hours = suns.iter().map(SunDay::dark_hours).sum::<f64>() / suns.len() as f64;
        let loads = power.loads.iter();
        plan.lines = loads.map(|load| load.line(mean_dark_hours)).collect();
        plan.lines.extend(watermaker.and_then(watermaker_line));
        plan.lines.extend(plan.balance_lines(power));
        plan
    }

    /// What is made, what is lacking, and how long charging and battery take.
    fn balance_lines(&self, power: &PowerSettings) -> Vec<Line> {
        let wh = |item, amount, basis| Line::new(item, amount, Unit::WattHour, basis);
        let hours = |item, amount, basis| Line::new(item, amount, Unit::Hour, basis);
        let arithmetic = Basis::ARITHMETIC;
        let mut lines = vec![wh(Item::PowerUsed, self.used_wh_per_day, arithmetic)];
        lines.extend(power.solar.map(|solar| {
            let (clearness, in_use_share) = (solar.clearness(), solar.in_use_share());
            wh(Item::SolarPower, self.solar_wh_per_day, clearness.basis)
                .at_rate(solar.peak_watts, Unit::Watt, Per::HourOfStandardSun)
                .by(Rule::Sunlight {
                    clearness,
                    in_use_share,
                })
        }));
        lines.extend(power.wind.map(|wind| {
            let share = wind.wind_share();
            wh(Item::WindPower, self.wind_wh_per_day, share.basis)
                .at_rate(wind.rated_watts, Unit::Watt, Per::HourOfRatedWind)
                .by(Rule::Part { share })
        }));
        lines.push(wh(Item::LeftToEngine, self.lacking_wh_per_day, arithmetic));
        if let Some(alternator) = power.alternator {
            let share = alternator.charge_efficiency();
            let charging = |(item, amount): (Item, Option<f64>)| {
                let line = hours(item, amount?, share.basis)
                    .at_rate(alternator.net_watts, Unit::Watt, Per::HourOfCharging)
                    .by(Rule::Part { share });
                Some(line)
            };
            let each = [
                (Item::ChargingHours, self.charging_hours_per_day),
                (Item::WorstChargingHours, self.worst_charging_hours),
            ];
            lines.extend(each.into_iter().filter_map(charging));
        }
        if let (Some(battery), Some(lasts)) = (power.battery, self.battery_hours) {
            let share = battery.usable_share();
            lines.push(hours(Item::BatteryHours, lasts, share.basis).by(Rule::Part { share }));
        }
        lines
    }

    pub(crate) fn cautions(&self) -> impl Iterator<Item = Caution> {
        let worst_lacking_wh = self.worst_lacking_wh;
        let sources = match self.worst_charging_hours {
            None if worst_lacking_wh > 0.0 => Some(Caution::PowerShort { worst_lacking_wh }),
            Some(worst_charging_hours) if worst_charging_hours > 24.0 => {
                Some(Caution::AlternatorTooSmall {
                    worst_charging_hours,
                })
            }
            _ => None,
        };
        let night = self.longest_night_hours;
        let battery = self.battery_hours.filter(|hours| *hours < night);
        let battery = battery.map(|battery_hours| Caution::BatteryTooSmall { battery_hours });
        sources.into_iter().chain(battery)
    }
}

impl Load {
    fn hours(&self, dark_hours: f64) -> f64 {
        match self.running {
            Running::AllDay => 24.0,
            Running::Dark => dark_hours,
            Running::Hours(hours) => hours,
        }
    }

    fn line(&self, mean_dark_hours: f64) -> Line {
        let hours = self.hours(mean_dark_hours);
        Line::new(
            Item::ElectricLoad,
            self.watts * hours,
            Unit::WattHour,
            self.basis,
        )
        .named(&self.name)
        .at_rate(self.watts, Unit::Watt, Per::HourRunning)
        .by(Rule::EachDay { hours })
    }
}

/// What the watermaker uses in a day; none where that is nothing.
fn watermaker_line(maker: &WatermakerPlan) -> Option<Line> {
    let used_wh = maker.used_wh_per_day;
    let hours = maker.hours_per_day.min(24.0);
    (used_wh > 0.0).then(|| {
        Line::new(Item::WatermakerLoad, used_wh, Unit::WattHour, Basis::GIVEN)
            .by(Rule::EachDay { hours })
    })
}

fn balance(power: &PowerSettings, day: &TrackDay, sun: &SunDay, watermaker_wh: f64) -> DayBalance {
    let dark_hours = sun.dark_hours();
    let loads = power.loads.iter();
    let used = loads.map(|load| load.watts * load.hours(dark_hours));
    let used_wh = watermaker_wh + used.sum::<f64>();
    let solar_wh = power.solar.map_or(0.0, |solar| solar.watt_hours(sun));
    let wind_wh = power.wind.map_or(0.0, |wind| wind.watt_hours(day));
    DayBalance {
        date: day.date,
        used_wh,
        solar_wh,
        wind_wh,
        lacking_wh: (used_wh - solar_wh - wind_wh).max(0.0),
    }
}
