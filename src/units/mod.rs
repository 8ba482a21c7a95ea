//! Units, ranges, the angle conventions and the quantile that every floor above agrees on.
//!
//! Distances are nautical miles, speeds knots, wind components metres per second, angles degrees
//! true and clockwise from north. A name or a type always says which.

mod angle;
mod by_name;
mod nearest;
mod quantile;
mod quantity;
mod range;
mod unit;

pub use angle::{Course, WindFrom, angle_off_deg, wrap_180_deg, wrap_360_deg};
pub(crate) use by_name::serialize_by_name;
pub(crate) use nearest::nearest;
pub use quantile::{quantile, quantile_of_unsorted};
pub use quantity::{Quantity, QuantityError};
pub use range::{OutOfRange, Range};
pub use unit::{
    KG_PER_POUND, KJ_PER_KCAL, Kind, LITRES_PER_IMPERIAL_GALLON, LITRES_PER_US_GALLON,
    METRES_PER_FOOT, OUNCES_PER_POUND, OutputUnits, TemperatureScale, Unit,
};

/// Metres in one nautical mile, exact (SI Brochure, 8th edition, Table 8).
pub const METRES_PER_NM: f64 = 1852.0;

/// Knots in one metre per second, exact: one knot is one nautical mile an hour.
pub const KN_PER_MS: f64 = 3600.0 / METRES_PER_NM;

/// Standard gravity, m/s^2, exact (3rd General Conference on Weights and Measures, 1901; from memory).
pub const GRAVITY_MS2: f64 = 9.80665;

/// Metres per second in one knot, exact.
pub const MS_PER_KN: f64 = METRES_PER_NM / 3600.0;
