//! What a crew would rather not meet, and the price it puts on it.

use std::fmt;

use crate::passage::{Exposure, ExposureKind};

/// A kind of time that a crew would rather have less of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hardship {
    /// The wind less than 60 degrees off the course.
    Headwind,
    /// A headwind of 20 kn or more.
    HardBeat,
    /// Wind below 6 kn.
    LightAir,
    /// Wind of 22 kn or more.
    Strong,
    /// Wind of 34 kn or more.
    Gale,
    /// Under power.
    Engine,
}

impl Hardship {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Headwind,
        Self::HardBeat,
        Self::LightAir,
        Self::Strong,
        Self::Gale,
        Self::Engine,
    ];

    /// What a sailor calls it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Headwind => "headwind",
            Self::HardBeat => "beating in 20 kn",
            Self::LightAir => "light air",
            Self::Strong => "strong wind",
            Self::Gale => "gale",
            Self::Engine => "engine running",
        }
    }

    /// The kind of exposure it is.
    pub fn kind(self) -> ExposureKind {
        match self {
            Self::Headwind => ExposureKind::Headwind,
            Self::HardBeat => ExposureKind::HardBeat,
            Self::LightAir => ExposureKind::LightAir,
            Self::Strong => ExposureKind::Strong,
            Self::Gale => ExposureKind::Gale,
            Self::Engine => ExposureKind::UnderPower,
        }
    }

    /// Its share of an exposure, 0 to 1.
    pub fn share(self, exposure: &Exposure) -> f64 {
        exposure[self.kind()]
    }

    /// Its place among the figures of a pace.
    pub(super) fn figure(self) -> usize {
        2 + self as usize
    }
}

impl fmt::Display for Hardship {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// What an hour of each hardship counts for beside itself, in hours; none unless set.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Prices([f64; Hardship::ALL.len()]);

impl Prices {
    /// These prices with another for one hardship.
    pub fn with(mut self, hardship: Hardship, price: f64) -> Self {
        self.0[hardship as usize] = price;
        self
    }

    /// The price of a hardship, in hours an hour.
    pub fn of(&self, hardship: Hardship) -> f64 {
        self.0[hardship as usize]
    }
}
