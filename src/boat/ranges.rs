//! What a boat's figures may be, declared once.

use crate::units::Range;

pub(super) const TRUE_WIND_SPEED: Range = Range::new("true wind speed", "kn", 0.0, 100.0);
pub(super) const TRUE_WIND_ANGLE: Range = Range::new("true wind angle", "deg", 0.0, 180.0);
pub(super) const BOAT_SPEED: Range = Range::new("boat speed", "kn", 0.0, 40.0);
pub(super) const POLAR_FACTOR: Range = Range::new("factor on the polar", "", 0.3, 1.5);
pub(super) const MOTOR_SPEED: Range = Range::new("speed under power", "kn", 0.5, 30.0);
pub(super) const FUEL_RATE: Range = Range::new("fuel burnt under power", "litres/h", 0.05, 200.0);
pub(super) const FUEL: Range = Range::new("fuel carried", "litres", 0.0, 50_000.0);
pub(super) const HEAVE_TO: Range = Range::new("wind speed at which to heave to", "kn", 15.0, 100.0);
pub(super) const MOTOR_BELOW: Range = Range::new("progress below which to motor", "kn", 0.0, 15.0);
