//! Which voyage, boat and winds a result is about.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use super::boat::AboutBoat;
use crate::climate::Climate;
use crate::units::OutputUnits;
use crate::voyage::Voyage;

/// Which voyage a result is about.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct AboutVoyage {
    /// The voyage's name.
    pub name: String,
    /// The day of departure; passages begin at 00:00 UTC.
    #[schemars(with = "String", extend("format" = "date"))]
    pub departure: Date,
    /// The units that amounts to load are shown in; figures here are metric.
    pub units: OutputUnits,
    /// The boat.
    pub boat: AboutBoat,
    /// The winds.
    pub winds: AboutWinds,
}

/// Which winds a result rests on.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct AboutWinds {
    /// The file, and its title where it has one.
    pub label: String,
    /// Whether they are the crew's own and not those that come with the program.
    pub own_file: bool,
    /// What was assumed or changed when they were read, a sentence each.
    pub notes: Vec<String>,
}

impl AboutVoyage {
    pub(super) fn new(voyage: &Voyage, climate: &Climate) -> Self {
        Self {
            name: voyage.name.clone(),
            departure: voyage.departure,
            units: voyage.units,
            boat: AboutBoat::new(voyage),
            winds: AboutWinds::new(climate, voyage.climate.file.is_some()),
        }
    }
}

impl AboutWinds {
    pub(super) fn new(climate: &Climate, own_file: bool) -> Self {
        Self {
            label: climate.label().to_owned(),
            own_file,
            notes: climate.notes().to_vec(),
        }
    }
}
