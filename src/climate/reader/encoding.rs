//! How a variable stores its numbers: packing, missing values and valid ranges.

use netcdf::Variable;
use netcdf::types::{FloatType, IntType, NcVariableType};

use super::attributes;
use crate::climate::error::ClimateFault;
use crate::climate::gridded::{Conversion, Quantity, conversion_of};

/// How stored numbers become values (NetCDF Users Guide, attribute conventions; CF conventions,
/// section 8.1).
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Encoding {
    /// Stored negatives stand for numbers this much higher.
    unsigned_span: Option<f64>,
    /// Stored numbers that stand for no value.
    missing: Vec<f64>,
    /// Stored numbers outside stand for no value.
    valid_stored: (f64, f64),
    /// Unpacked numbers outside stand for no value.
    valid_unpacked: (f64, f64),
    scale: f64,
    offset: f64,
}

const EVERYTHING: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

impl Encoding {
    /// The encoding the variable's type and attributes state.
    pub(super) fn of(variable: &Variable) -> Result<Self, ClimateFault> {
        attributes::refuse_near_names(variable)?;
        let kind = variable.vartype();
        let unsigned_span = unsigned_span(variable, &kind)?;
        let as_stored = |number: f64| match (&kind, unsigned_span) {
            // A double beside single-precision data means its nearest single.
            (NcVariableType::Float(FloatType::F32), _) => f64::from(number as f32),
            (_, Some(span)) if number < 0.0 => number + span,
            _ => number,
        };
        let mut missing = Vec::new();
        let fill = attributes::numbers(variable, "_FillValue")?;
        let never_written = if fill.is_none() {
            default_fill(&kind)
        } else {
            None
        };
        missing.extend(fill.into_iter().flatten());
        missing.extend(
            attributes::numbers(variable, "missing_value")?
                .into_iter()
                .flatten(),
        );
        missing.extend(never_written);
        let missing = missing.into_iter().map(as_stored).collect();

        let scale = attributes::number(variable, "scale_factor")?;
        if scale == Some(0.0) {
            return Err(ClimateFault::Attribute {
                variable: variable.name(),
                attribute: "scale_factor".into(),
                found: "0".to_owned(),
                expected: "another number: with this all values are one".into(),
            });
        }
        let offset = attributes::number(variable, "add_offset")?;
        let (low, high) = valid_range(variable)?;
        let is_packed = scale.is_some() || offset.is_some();
        // The range is in stored numbers, unless it is of a type only unpacked ones have.
        let of_unpacked =
            is_packed && matches!(kind, NcVariableType::Int(_)) && range_is_float(variable)?;
        let (valid_stored, valid_unpacked) = if of_unpacked {
            (EVERYTHING, (low, high))
        } else {
            ((as_stored(low), as_stored(high)), EVERYTHING)
        };
        Ok(Self {
            unsigned_span,
            missing,
            valid_stored,
            valid_unpacked,
            scale: scale.unwrap_or(1.0),
            offset: offset.unwrap_or(0.0),
        })
    }

    /// The value a stored number stands for.
    pub(super) fn decode(&self, stored: f64) -> Option<f64> {
        let stored = match self.unsigned_span {
            Some(span) if stored < 0.0 => stored + span,
            _ => stored,
        };
        if !within(stored, self.valid_stored) || self.missing.contains(&stored) {
            return None;
        }
        let value = stored * self.scale + self.offset;
        within(value, self.valid_unpacked).then_some(value)
    }
}

/// False for NaN.
fn within(number: f64, (low, high): (f64, f64)) -> bool {
    number >= low && number <= high
}

/// Signed integers marked `_Unsigned` are the old way to store unsigned ones.
fn unsigned_span(variable: &Variable, kind: &NcVariableType) -> Result<Option<f64>, ClimateFault> {
    let mark = attributes::text(variable, "_Unsigned")?;
    if mark.is_none_or(|mark| !mark.eq_ignore_ascii_case("true")) {
        return Ok(None);
    }
    Ok(match kind {
        NcVariableType::Int(IntType::I8) => Some(256.0),
        NcVariableType::Int(IntType::I16) => Some(65_536.0),
        NcVariableType::Int(IntType::I32) => Some(4_294_967_296.0),
        _ => None,
    })
}

/// What the library leaves where nothing was ever written (netcdf.h, NC_FILL_*). Bytes have none
/// that could not be a value.
fn default_fill(kind: &NcVariableType) -> Option<f64> {
    match kind {
        NcVariableType::Int(IntType::I16) => Some(-32_767.0),
        NcVariableType::Int(IntType::U16) => Some(65_535.0),
        NcVariableType::Int(IntType::I32) => Some(-2_147_483_647.0),
        NcVariableType::Int(IntType::U32) => Some(4_294_967_295.0),
        NcVariableType::Int(IntType::I64) => Some(-9_223_372_036_854_775_806.0),
        NcVariableType::Float(_) => Some(9.969_209_968_386_869e36),
        _ => None,
    }
}

fn valid_range(variable: &Variable) -> Result<(f64, f64), ClimateFault> {
    if let Some(range) = attributes::numbers(variable, "valid_range")? {
        return match range[..] {
            [low, high] if low <= high => Ok((low, high)),
            _ => Err(ClimateFault::Attribute {
                variable: variable.name(),
                attribute: "valid_range".into(),
                found: attributes::listed(&range),
                expected: "two numbers, the lower first".into(),
            }),
        };
    }
    Ok((
        attributes::number(variable, "valid_min")?.unwrap_or(EVERYTHING.0),
        attributes::number(variable, "valid_max")?.unwrap_or(EVERYTHING.1),
    ))
}

fn range_is_float(variable: &Variable) -> Result<bool, ClimateFault> {
    use netcdf::AttributeValue as V;
    for name in ["valid_range", "valid_min", "valid_max"] {
        let value = attributes::value(variable, name)?;
        if matches!(
            value,
            Some(V::Float(_) | V::Floats(_) | V::Double(_) | V::Doubles(_))
        ) {
            return Ok(true);
        }
    }
    Ok(false)
}

/// How to bring the variable's values to the unit we keep.
pub(super) fn conversion(
    variable: &Variable,
    quantity: Quantity,
) -> Result<Conversion, ClimateFault> {
    let units = attributes::text(variable, "units")?;
    conversion_of(&variable.name(), units, quantity)
}
