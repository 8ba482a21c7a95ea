//! Which voyage, boat and winds a result is about.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use super::boat::AboutBoat;
use crate::climate::{Climate, Currents, MeasuredFigure};
use crate::units::{OutputUnits, TemperatureScale};
use crate::voyage::{CurrentChoice, DepartureTime, Voyage};

/// Which voyage a result is about.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct AboutVoyage {
    /// The voyage's name.
    pub name: String,
    /// The day of departure; passages begin at 00:00 UTC.
    #[schemars(with = "String", extend("format" = "date"))]
    pub departure: Date,
    /// The hour of departure with its zone, whose day in UTC that is; none where only a day is given.
    pub departure_time: Option<DepartureTime>,
    /// The units that amounts are shown in; figures here are metric.
    pub units: OutputUnits,
    /// The scale that temperatures are shown on; figures here are in degrees Celsius.
    pub temperature: TemperatureScale,
    /// The boat.
    pub boat: AboutBoat,
    /// The winds.
    pub winds: AboutWinds,
    /// The surface currents; none where none are reckoned with.
    pub currents: Option<AboutCurrents>,
}

/// Which currents a result rests on.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct AboutCurrents {
    /// The file, and its title where it has one.
    pub label: String,
    /// Whether they are the crew's own and not those that come with the program.
    pub own_file: bool,
    /// Whether there is one for each month, rather than one for the year.
    pub monthly: bool,
    /// What was assumed when they were read, a sentence each.
    pub notes: Vec<String>,
}

/// Which winds a result rests on.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct AboutWinds {
    /// The file, and its title where it has one.
    pub label: String,
    /// Whether they are the crew's own and not those that come with the program.
    pub own_file: bool,
    /// The real year in whose mean winds passages are sailed; none for averages of many years.
    pub real_year: Option<i64>,
    /// What was measured in the series behind them; the rest is assumed.
    pub measured: Vec<MeasuredFigure>,
    /// What was assumed or changed when they were read, a sentence each.
    pub notes: Vec<String>,
}

impl AboutVoyage {
    pub(super) fn new(voyage: &Voyage, climate: &Climate) -> Self {
        Self {
            name: voyage.name.clone(),
            departure: voyage.departure,
            departure_time: voyage.departure_time,
            units: voyage.units,
            temperature: voyage.temperature,
            boat: AboutBoat::new(voyage),
            winds: AboutWinds::new(climate, voyage.climate.is_own()),
            currents: AboutCurrents::new(climate, voyage),
        }
    }
}

impl AboutCurrents {
    fn new(climate: &Climate, voyage: &Voyage) -> Option<Self> {
        let of_climate = match climate.currents() {
            Currents::Field(field) => field.is_of_the_climate(),
            Currents::None | Currents::Uniform(_) => false,
        };
        let own_file = match voyage.current {
            CurrentChoice::OfTheClimate => of_climate,
            CurrentChoice::Drifters => false,
            CurrentChoice::None | CurrentChoice::File { .. } => true,
        };
        let (label, monthly, notes) = match climate.currents() {
            Currents::None => return None,
            Currents::Uniform(current) => {
                let (set_deg, drift_kn) = (current.set_deg(), current.drift_kn());
                let set_deg = set_deg.unwrap_or_default();
                let label = format!("{drift_kn:.1} kn to {set_deg:03.0} everywhere");
                (label, false, Vec::new())
            }
            Currents::Field(field) => (
                field.label().to_owned(),
                field.is_monthly(),
                field.notes().to_vec(),
            ),
        };
        Some(Self {
            label,
            own_file,
            monthly,
            notes,
        })
    }
}

impl AboutWinds {
    pub(super) fn new(climate: &Climate, own_file: bool) -> Self {
        Self {
            label: climate.label().to_owned(),
            own_file,
            real_year: climate.real_year(),
            measured: climate.measured(),
            notes: climate.notes().to_vec(),
        }
    }
}
