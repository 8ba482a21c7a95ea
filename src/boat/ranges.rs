//! What a boat's figures may be, declared once.

use crate::units::Range;

/// The true wind speeds a polar may have.
pub const TRUE_WIND_SPEED: Range = Range::new("true wind speed", "kn", 0.0, 100.0);
/// The true wind angles a polar may have.
pub const TRUE_WIND_ANGLE: Range = Range::new("true wind angle", "deg", 0.0, 180.0);
/// The boat speeds a polar may have.
pub const BOAT_SPEED: Range = Range::new("boat speed", "kn", 0.0, 40.0);
/// The factor on a polar.
pub const POLAR_FACTOR: Range = Range::new("factor on the polar", "", 0.3, 1.5);
/// The error of a logged wind speed.
pub const WIND_SPEED_ERROR: Range = Range::new("error of a logged wind speed", "kn", 0.0, 10.0);
/// The error of a logged wind direction.
pub const WIND_DIRECTION_ERROR: Range =
    Range::new("error of a logged wind direction", "deg", 0.0, 45.0);
/// The uncertainty of the factor on a polar.
pub const FACTOR_UNCERTAINTY: Range = Range::new("uncertainty of the factor", "", 0.0, 0.5);
/// Length of the waterline of a boat whose polar is made from her dimensions.
pub const WATERLINE_LENGTH: Range = Range::new("waterline length", "m", 5.0, 30.0);
/// Displacement of a boat whose polar is made from her dimensions.
pub const DISPLACEMENT: Range = Range::new("displacement", "kg", 800.0, 150_000.0);
/// Sail area of a boat whose polar is made from her dimensions.
pub const SAIL_AREA: Range = Range::new("sail area", "m2", 10.0, 700.0);
/// Speed under power.
pub const MOTOR_SPEED: Range = Range::new("speed under power", "kn", 0.5, 30.0);
/// Fuel burnt under power.
pub const FUEL_RATE: Range = Range::new("fuel burnt under power", "litres/h", 0.05, 200.0);
/// Fuel carried.
pub const FUEL: Range = Range::new("fuel carried", "litres", 0.0, 50_000.0);
/// The wind speed from which the boat heaves to.
pub const HEAVE_TO: Range = Range::new("wind speed at which to heave to", "kn", 15.0, 100.0);
/// The progress below which the boat motors.
pub const MOTOR_BELOW: Range = Range::new("progress below which to motor", "kn", 0.0, 15.0);
/// The multiple of the usual sea brake.
pub const SEA_BRAKE: Range = Range::new("sea brake", "times the usual", 0.0, 3.0);
/// The apparent wind below which sails slat.
pub const SLAT_BELOW: Range = Range::new("apparent wind below which sails slat", "kn", 0.0, 15.0);
/// The wind from which the crew does not beat.
pub const BEAT_UNTIL: Range = Range::new("wind from which she does not beat", "kn", 10.0, 100.0);
/// How long she waits in harbour for weather.
pub const WAIT_UP_TO: Range = Range::new("the wait for weather", "h", 0.0, 720.0);
/// How far ahead the crew looks.
pub const FORECAST: Range = Range::new("the forecast", "h", 24.0, 240.0);
/// The correlation of a forecast's wind with the true one.
pub const FORECAST_SKILL: Range = Range::new("forecast skill", "", 0.0, 1.0);
/// The headwind for which she waits to pass.
pub const HEADWIND_BELOW: Range = Range::new("headwind to wait for less of", "kn", 5.0, 100.0);
/// The share of the mean progress that she waits for.
pub const PROGRESS_SHARE: Range =
    Range::new("share of the mean progress to wait for", "", 0.0, 2.0);
/// Power at the shaft.
pub const SHAFT_POWER: Range = Range::new("engine power", "kW", 0.5, 500.0);
/// Mass of diesel for an hour at one kilowatt.
pub const SPECIFIC_CONSUMPTION: Range = Range::new("specific consumption", "g/kWh", 150.0, 500.0);
/// Diesel's density.
pub const DENSITY: Range = Range::new("diesel's density", "kg/L", 0.75, 0.95);
/// The share of a tank the pump can reach.
pub const USABLE_SHARE: Range = Range::new("usable share of the tank", "", 0.5, 1.0);
