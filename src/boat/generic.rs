//! A polar for a boat without one, from her principal dimensions.
//!
//! A balance of forces: the speed at which a sail plan's drive is used up by a hull's drag. Each
//! constant's origin is given beside it, here and in the modules it is built on; most are remembered
//! or common practice. It is a first guess for a cruiser in smooth water with a clean bottom and
//! good sails; a crew's own log says more.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::error::BoatError;
use super::hull_resistance::{HullDrag, SEA_WATER_KG_M3, hull_speed_kn};
use super::polar::Polar;
use super::ranges::{DISPLACEMENT, SAIL_AREA, WATERLINE_LENGTH};
use super::sail_drive::{SailDrive, apparent_wind};
use crate::units::{KG_PER_POUND, METRES_PER_FOOT, MS_PER_KN, Range};

const SAIL_AREA_DISPLACEMENT: Range = Range::new(
    "sail area over displaced volume to the two thirds",
    "",
    7.0,
    32.0,
);
const DISPLACEMENT_LENGTH: Range = Range::new(
    "displacement-length ratio (long tons, hundreds of feet)",
    "",
    60.0,
    600.0,
);

/// Speeds above this multiple of hull speed are not given: a heavy cruiser only surfs there, and a
/// crew of two shortens sail before she does (common practice, no source).
const FASTEST_OVER_HULL_SPEED: f64 = 1.0;
const WINDS_KN: [f64; 12] = [
    4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0,
];
const ANGLES_DEG: [f64; 15] = [
    30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 75.0, 90.0, 105.0, 120.0, 135.0, 150.0, 165.0, 180.0,
];
/// Step of the search for the highest speed that can be kept, then the halvings within a step.
const SEARCH_STEPS: u32 = 200;
const HALVINGS: u32 = 20;

/// Kilograms in one long ton of 2240 lb, exact.
const KG_PER_LONG_TON: f64 = 2240.0 * KG_PER_POUND;

/// How the sails are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rig {
    /// One mast, one headsail.
    Sloop,
    /// One mast, two headsails.
    Cutter,
    /// Two masts.
    Ketch,
    /// A four-sided main under a gaff.
    Gaff,
}

/// What keeps the boat from making leeway.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Keel {
    /// A fin keel and a free rudder.
    Fin,
    /// A longer fin and a rudder on a skeg.
    FinAndSkeg,
    /// A long keel with the rudder hung on it.
    Long,
}

/// The principal dimensions of a cruiser without a polar.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct GenericBoat {
    /// Length of the waterline, m.
    pub waterline_length_m: f64,
    /// Displacement as she sails, with crew and stores, kg.
    pub displacement_kg: f64,
    /// Area of mainsail (and mizzen) and working headsails, m^2.
    pub sail_area_m2: f64,
    /// Her rig.
    pub rig: Rig,
    /// Her keel.
    pub keel: Keel,
}

impl Rig {
    /// Factor on the lift and aspect ratio for induced drag (common practice, no source): more
    /// sails and lower ones point less well.
    fn lift_factor_and_aspect_ratio(self) -> (f64, f64) {
        match self {
            Self::Sloop => (1.0, 3.5),
            Self::Cutter => (0.98, 3.3),
            Self::Ketch => (0.95, 2.9),
            Self::Gaff => (0.92, 2.4),
        }
    }
}

impl Keel {
    /// Wetted surface over the canoe body's, and draught over waterline length (common practice,
    /// no source).
    fn appendage_factor_and_draught_share(self) -> (f64, f64) {
        match self {
            Self::Fin => (1.25, 0.17),
            Self::FinAndSkeg => (1.30, 0.16),
            Self::Long => (1.35, 0.15),
        }
    }
}

impl GenericBoat {
    /// Her polar: for each wind and angle the highest speed at which the sails still drive as much
    /// as the hull drags, in smooth water; never above hull speed.
    ///
    /// # Errors
    /// A dimension outside its range, or a sail area or length that does not go with the
    /// displacement, as when feet or pounds were meant.
    pub fn polar(&self) -> Result<Polar, BoatError> {
        self.check()?;
        let (lift_factor, aspect_ratio) = self.rig.lift_factor_and_aspect_ratio();
        let (appendage_factor, draught_share) = self.keel.appendage_factor_and_draught_share();
        let drive = SailDrive {
            sail_area_m2: self.sail_area_m2,
            waterline_length_m: self.waterline_length_m,
            lift_factor,
            aspect_ratio,
            draught_share,
        };
        let drag = HullDrag {
            waterline_length_m: self.waterline_length_m,
            displacement_kg: self.displacement_kg,
            appendage_factor,
        };
        let fastest_kn = FASTEST_OVER_HULL_SPEED * hull_speed_kn(self.waterline_length_m);
        Ok(Polar::tabulate(&WINDS_KN, &ANGLES_DEG, |wind, angle| {
            let (wind_kn, angle_deg) = (WINDS_KN[wind], ANGLES_DEG[angle]);
            let kept = |speed_kn: f64| {
                let apparent = apparent_wind(wind_kn, angle_deg, speed_kn);
                let speed_ms = speed_kn * MS_PER_KN;
                drive.newtons(apparent, speed_ms) >= drag.newtons(speed_ms)
            };
            highest_kept_kn(fastest_kn, kept)
        }))
    }

    /// Sail area over the displaced volume to the two thirds, a pure number: 14 to 18 for most
    /// cruisers (the ratio is textbook form; the band is common practice, no source).
    pub fn sail_area_displacement_ratio(&self) -> f64 {
        self.sail_area_m2 / (self.displacement_kg / SEA_WATER_KG_M3).powf(2.0 / 3.0)
    }

    /// Displacement in long tons over the cube of a hundredth of the waterline in feet: below 200
    /// is light for a cruiser, above 300 heavy (the ratio is textbook form; the bands are common
    /// practice, no source).
    pub fn displacement_length_ratio(&self) -> f64 {
        let hundreds_of_feet = self.waterline_length_m / METRES_PER_FOOT / 100.0;
        self.displacement_kg / KG_PER_LONG_TON / hundreds_of_feet.powi(3)
    }

    fn check(&self) -> Result<(), BoatError> {
        WATERLINE_LENGTH.check(self.waterline_length_m)?;
        DISPLACEMENT.check(self.displacement_kg)?;
        SAIL_AREA.check(self.sail_area_m2)?;
        SAIL_AREA_DISPLACEMENT.check(self.sail_area_displacement_ratio())?;
        DISPLACEMENT_LENGTH.check(self.displacement_length_ratio())?;
        Ok(())
    }
}

/// The highest speed, kn, up to `fastest_kn` that is `kept`; 0 where none is.
fn highest_kept_kn(fastest_kn: f64, kept: impl Fn(f64) -> bool) -> f64 {
    let step_kn = fastest_kn / f64::from(SEARCH_STEPS);
    let at_step = |step: u32| step_kn * f64::from(step);
    let Some(step) = (1..=SEARCH_STEPS).rev().find(|&step| kept(at_step(step))) else {
        return 0.0;
    };
    if step == SEARCH_STEPS {
        return fastest_kn;
    }
    let (mut low_kn, mut high_kn) = (at_step(step), at_step(step + 1));
    for _ in 0..HALVINGS {
        let middle_kn = (low_kn + high_kn) / 2.0;
        if kept(middle_kn) {
            low_kn = middle_kn;
        } else {
            high_kn = middle_kn;
        }
    }
    low_kn
}
