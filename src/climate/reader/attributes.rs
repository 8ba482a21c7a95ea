//! Attributes of variables, as text or as numbers.

use netcdf::{AttributeValue, Variable};

use crate::climate::error::ClimateFault;

/// The attribute's text, trimmed; `None` where it is not there or is a number.
pub(super) fn text(variable: &Variable, name: &str) -> Result<Option<String>, ClimateFault> {
    Ok(match value(variable, name)? {
        Some(AttributeValue::Str(text)) => Some(text.trim().to_owned()),
        Some(AttributeValue::Strs(texts)) => Some(texts.join(" ").trim().to_owned()),
        _ => None,
    })
}

/// The attribute's numbers; `None` where it is not there.
///
/// # Errors
/// [`ClimateFault::Attribute`] where it is text or has no value.
pub(super) fn numbers(
    variable: &Variable,
    name: &'static str,
) -> Result<Option<Vec<f64>>, ClimateFault> {
    let Some(value) = value(variable, name)? else {
        return Ok(None);
    };
    let as_numbers = as_numbers(&value).filter(|numbers| !numbers.is_empty());
    as_numbers.map(Some).ok_or_else(|| ClimateFault::Attribute {
        variable: variable.name(),
        attribute: name,
        found: format!("{value:?}"),
        expected: "a number",
    })
}

/// The attribute's one number; `None` where it is not there.
pub(super) fn number(variable: &Variable, name: &'static str) -> Result<Option<f64>, ClimateFault> {
    let Some(numbers) = numbers(variable, name)? else {
        return Ok(None);
    };
    match numbers[..] {
        [number] if number.is_finite() => Ok(Some(number)),
        _ => Err(ClimateFault::Attribute {
            variable: variable.name(),
            attribute: name,
            found: format!("{numbers:?}"),
            expected: "one finite number",
        }),
    }
}

/// The value as it stands in the file.
pub(super) fn value(
    variable: &Variable,
    name: &str,
) -> Result<Option<AttributeValue>, ClimateFault> {
    variable.attribute_value(name).transpose().map_err(|error| {
        ClimateFault::damaged(
            format!("attribute {name} of variable '{}'", variable.name()),
            &error,
        )
    })
}

fn as_numbers(value: &AttributeValue) -> Option<Vec<f64>> {
    use AttributeValue as V;
    fn all<T: Copy>(values: &[T], convert: impl Fn(T) -> f64) -> Option<Vec<f64>> {
        Some(values.iter().map(|&value| convert(value)).collect())
    }
    match value {
        V::Uchar(x) => Some(vec![f64::from(*x)]),
        V::Uchars(x) => all(x, f64::from),
        V::Schar(x) => Some(vec![f64::from(*x)]),
        V::Schars(x) => all(x, f64::from),
        V::Ushort(x) => Some(vec![f64::from(*x)]),
        V::Ushorts(x) => all(x, f64::from),
        V::Short(x) => Some(vec![f64::from(*x)]),
        V::Shorts(x) => all(x, f64::from),
        V::Uint(x) => Some(vec![f64::from(*x)]),
        V::Uints(x) => all(x, f64::from),
        V::Int(x) => Some(vec![f64::from(*x)]),
        V::Ints(x) => all(x, f64::from),
        V::Ulonglong(x) => Some(vec![*x as f64]),
        V::Ulonglongs(x) => all(x, |value| value as f64),
        V::Longlong(x) => Some(vec![*x as f64]),
        V::Longlongs(x) => all(x, |value| value as f64),
        V::Float(x) => Some(vec![f64::from(*x)]),
        V::Floats(x) => all(x, f64::from),
        V::Double(x) => Some(vec![*x]),
        V::Doubles(x) => Some(x.clone()),
        V::Str(_) | V::Strs(_) => None,
    }
}
