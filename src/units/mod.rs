//! Units and the angle conventions every floor above agrees on.
//!
//! Distances are nautical miles, speeds knots, wind components metres per second, angles degrees
//! true and clockwise from north. A name or a type always says which.

mod angle;
mod range;

pub use angle::{Course, WindFrom, angle_off_deg, wrap_180_deg, wrap_360_deg};
pub use range::{OutOfRange, Range};

/// Metres in one nautical mile, exact (SI Brochure, 8th edition, Table 8).
pub const METRES_PER_NM: f64 = 1852.0;

/// Knots in one metre per second, exact: one knot is one nautical mile an hour.
pub const KN_PER_MS: f64 = 3600.0 / METRES_PER_NM;

/// Metres per second in one knot, exact.
pub const MS_PER_KN: f64 = METRES_PER_NM / 3600.0;
