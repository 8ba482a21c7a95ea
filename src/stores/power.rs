//! The day's electric balance along the track, and the hours of charging it leaves to the engine.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::Unit;

use super::basis::{Basis, Known};
use super::error::{StoresError, check};
use super::line::{Caution, Line, Subject};
use super::outcome::TrackDay;
use super::power_sources::{Alternator, Battery, ELECTRIC_POWER, Solar, WindGenerator};
use super::sun::SunDay;
use super::watermaker::HOURS_A_DAY;

const MAKERS: Basis = Basis::from_memory("makers' sheets, 2 to 6 A at 12 V for 10 to 14 m");

/// The default autopilot: 4 A at 12 V. A short crew has it on at all hours.
pub const AUTOPILOT: Known = Known::new("autopilot", 48.0, "W", MAKERS);
/// The default instruments and chart display.
pub const INSTRUMENTS: Known = Known::new("instruments", 12.0, "W", Basis::PRACTICE);
/// The default receiver and transmitter for ships' positions, and radio watch.
pub const RADIO: Known = Known::new("radio", 10.0, "W", Basis::PRACTICE);
/// The default navigation lights, in the dark.
pub const NAVIGATION_LIGHTS: Known = Known::new("navigation lights", 5.0, "W", Basis::PRACTICE);
/// The default cabin lights, some hours a day.
pub const CABIN_LIGHTS: Known = Known::new("cabin lights", 15.0, "W", Basis::PRACTICE);
/// Hours a day of cabin lights.
pub const CABIN_LIGHT_HOURS: Known = Known::new("cabin lights", 4.0, "h", Basis::PRACTICE);
/// The default refrigerator, averaged over its running and resting.
pub const REFRIGERATION: Known = Known::new("refrigeration", 40.0, "W", Basis::PRACTICE);
/// The default computers, telephones and lamps on charge.
pub const DEVICES: Known = Known::new("computers and telephones", 40.0, "W", Basis::PRACTICE);
/// Hours a day of computers and telephones.
pub const DEVICE_HOURS: Known = Known::new("computers and telephones", 3.0, "h", Basis::PRACTICE);

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
    /// The default loads of this file, with no source and no battery.
    fn default() -> Self {
        let load = |known: Known, running: Running| Load {
            name: known.what.to_owned(),
            watts: known.value,
            running,
            basis: known.basis,
        };
        Self {
            loads: vec![
                load(AUTOPILOT, Running::AllDay),
                load(INSTRUMENTS, Running::AllDay),
                load(RADIO, Running::AllDay),
                load(NAVIGATION_LIGHTS, Running::Dark),
                load(CABIN_LIGHTS, Running::Hours(CABIN_LIGHT_HOURS.value)),
                load(REFRIGERATION, Running::AllDay),
                load(DEVICES, Running::Hours(DEVICE_HOURS.value)),
            ],
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
            let field = |name: &str| format!("power.load.{}.{name}", load.name);
            check(&field("power"), &ELECTRIC_POWER, load.watts)?;
            if let Running::Hours(hours) = load.running {
                check(&field("hours_per_day"), &HOURS_A_DAY, hours)?;
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

impl Load {
    fn hours(&self, darkness_h: f64) -> f64 {
        match self.running {
            Running::AllDay => 24.0,
            Running::Dark => darkness_h,
            Running::Hours(hours) => hours,
        }
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
    pub longest_night_h: f64,
    /// The lines of the list.
    pub lines: Vec<Line>,
}

impl PowerPlan {
    /// The balance on `track`, at least one day, under the same days' `suns`, with the watermaker's
    /// `watermaker_wh` a day.
    pub(crate) fn of(
        power: &PowerSettings,
        track: &[TrackDay],
        suns: &[SunDay],
        watermaker_wh: f64,
    ) -> Self {
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
        let hours = |watt_hours: f64| {
            power
                .alternator
                .map(|alternator| alternator.hours_for(watt_hours))
        };
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
            longest_night_h: suns.iter().map(SunDay::darkness_h).fold(0.0, f64::max),
            days,
            lines: Vec::new(),
        };
        plan.lines = plan.list(power, suns, watermaker_wh);
        plan
    }

    fn list(&self, power: &PowerSettings, suns: &[SunDay], watermaker_wh: f64) -> Vec<Line> {
        let mean_dark_h = suns.iter().map(SunDay::darkness_h).sum::<f64>() / suns.len() as f64;
        let mut lines = list_loads(&power.loads, mean_dark_h, watermaker_wh);
        lines.push(watt_hours(
            "used a day",
            self.used_wh_per_day,
            "all of the above",
            Basis::ARITHMETIC,
        ));
        lines.extend(power.solar.map(|solar| self.list_solar(&solar)));
        lines.extend(power.wind.map(|wind| self.list_wind(&wind)));
        lines.push(watt_hours(
            "left to the engine a day",
            self.lacking_wh_per_day,
            "mean over the track of each day's lack; a good day's surplus is not carried over",
            Basis::ARITHMETIC,
        ));
        let alternator = power.alternator.iter();
        lines.extend(alternator.flat_map(|alternator| self.list_charging(alternator)));
        lines.extend(
            power
                .battery
                .and_then(|battery| self.list_battery(&battery)),
        );
        lines
    }

    fn list_solar(&self, solar: &Solar) -> Line {
        let (clearness, in_use) = (solar.clearness(), solar.in_use_share());
        let rule = format!(
            "sun above the air by date and latitude along the track x {} that comes through x {} ({}) of the panels' rating",
            clearness.value, in_use.value, in_use.basis
        );
        let item = "made by the sun a day";
        watt_hours(item, self.solar_wh_per_day, rule, clearness.basis).at_rate(
            solar.peak_watts,
            Unit::Watt,
            "hour of standard sun",
        )
    }

    fn list_wind(&self, wind: &WindGenerator) -> Line {
        let share = wind.wind_share();
        let rule = format!(
            "cube of the wind at the blades, {} of the mean wind along the track; gusts bring more",
            share.value
        );
        let item = "made by the wind a day";
        watt_hours(item, self.wind_wh_per_day, rule, share.basis).at_rate(
            wind.rated_watts,
            Unit::Watt,
            "hour of rated wind",
        )
    }

    /// Charging on the mean day and on the worst; nothing where the hours are not known.
    fn list_charging(&self, alternator: &Alternator) -> Vec<Line> {
        let efficiency = alternator.charge_efficiency();
        let rule = format!(
            "lack over the alternator's power and a charging efficiency of {}; feeds the diesel",
            efficiency.value
        );
        let charging = |item: &str, hours: f64| {
            let amount = (hours, Unit::Hour);
            let basis = efficiency.basis;
            Line::new(Subject::Power, item, amount, rule.clone(), basis).at_rate(
                alternator.net_watts,
                Unit::Watt,
                "hour of charging",
            )
        };
        let mean = self.charging_hours_per_day;
        let worst = self.worst_charging_hours;
        mean.map(|hours| charging("charging a day", hours))
            .into_iter()
            .chain(worst.map(|hours| charging("charging on the worst day", hours)))
            .collect()
    }

    fn list_battery(&self, battery: &Battery) -> Option<Line> {
        let usable = battery.usable_share();
        let rule = format!(
            "{} of the battery, at the mean use, with nothing coming in",
            usable.value
        );
        let amount = (self.battery_hours?, Unit::Hour);
        let item = "the battery alone lasts";
        Some(Line::new(Subject::Power, item, amount, rule, usable.basis))
    }

    pub(crate) fn cautions(&self) -> Vec<Caution> {
        let mut cautions = Vec::new();
        let mut add = |text: &str, amount: f64, unit: Unit| {
            cautions.push(Caution::of(Subject::Power, text, amount, unit));
        };
        match self.worst_charging_hours {
            None if self.worst_lacking_wh > 0.0 => add(
                "Sun and wind do not cover the use and no alternator is given; lacking on the worst day",
                self.worst_lacking_wh,
                Unit::WattHour,
            ),
            Some(hours) if hours > 24.0 => add(
                "The alternator cannot cover the worst day even running day and night; hours it would take",
                hours,
                Unit::Hour,
            ),
            _ => {}
        }
        if let Some(hours) = self
            .battery_hours
            .filter(|hours| *hours < self.longest_night_h)
        {
            add(
                "The battery alone does not last the longest night on the track; it lasts",
                hours,
                Unit::Hour,
            );
        }
        cautions
    }
}

/// What everything aboard uses on the mean day, the watermaker last.
fn list_loads(loads: &[Load], mean_dark_h: f64, watermaker_wh: f64) -> Vec<Line> {
    let mut lines: Vec<Line> = loads
        .iter()
        .map(|load| {
            let hours = load.hours(mean_dark_h);
            let rule = format!("mean power x {hours:.1} hours a day");
            watt_hours(&load.name, load.watts * hours, rule, load.basis).at_rate(
                load.watts,
                Unit::Watt,
                "hour it runs",
            )
        })
        .collect();
    if watermaker_wh > 0.0 {
        let rule = "its power x its hours a day";
        lines.push(watt_hours("watermaker", watermaker_wh, rule, Basis::GIVEN));
    }
    lines
}

fn balance(power: &PowerSettings, day: &TrackDay, sun: &SunDay, watermaker_wh: f64) -> DayBalance {
    let used_wh = watermaker_wh
        + power
            .loads
            .iter()
            .map(|load| load.watts * load.hours(sun.darkness_h()))
            .sum::<f64>();
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

fn watt_hours(item: &str, amount: f64, rule: impl Into<String>, basis: Basis) -> Line {
    Line::new(Subject::Power, item, (amount, Unit::WattHour), rule, basis)
}
