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
        attribute: name.into(),
        found: format!("{value:?}"),
        expected: "a number".into(),
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
            attribute: name.into(),
            found: format!("{numbers:?}"),
            expected: "one finite number".into(),
        }),
    }
}

/// The value as the file holds it.
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
        V::Uchars(x) => all(x, f64::from),
        V::Schars(x) => all(x, f64::from),
        V::Ushorts(x) => all(x, f64::from),
        V::Shorts(x) => all(x, f64::from),
        V::Uints(x) => all(x, f64::from),
        V::Ints(x) => all(x, f64::from),
        V::Ulonglongs(x) => all(x, |value| value as f64),
        V::Longlongs(x) => all(x, |value| value as f64),
        V::Floats(x) => all(x, f64::from),
        V::Doubles(x) => Some(x.clone()),
        V::Str(_) | V::Strs(_) => None,
        one => f64::try_from(one.clone()).ok().map(|number| vec![number]),
    }
}
