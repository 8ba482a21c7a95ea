//! Attributes of variables, as text or as numbers.

use netcdf::{AttributeValue, Variable};

use crate::climate::error::ClimateFault;
use crate::text::brief_list;

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
        found: words(&value),
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
            found: listed(&numbers),
            expected: "one finite number".into(),
        }),
    }
}

/// Numbers in words.
pub(super) fn listed(numbers: &[f64]) -> String {
    let each: Vec<String> = numbers.iter().map(f64::to_string).collect();
    brief_list(&each)
}

/// A value that is no number, in words.
fn words(value: &AttributeValue) -> String {
    match value {
        AttributeValue::Str(text) => format!("the text '{text}'"),
        AttributeValue::Strs(texts) => format!("the text '{}'", texts.join(" ")),
        _ => "empty".to_owned(),
    }
}

/// The attributes that say how to read the numbers; without one of them they are read otherwise.
const OF_ENCODING: [&str; 4] = ["scale_factor", "add_offset", "_FillValue", "missing_value"];

/// So many letters may be wrong in a name that is taken for a slip.
const MOST_SLIPS: usize = 2;

/// Refuses a variable with an attribute whose name is nearly one of [`OF_ENCODING`], where it has not that
/// one itself: overlooked, it would leave all values wrong.
pub(super) fn refuse_near_names(variable: &Variable) -> Result<(), ClimateFault> {
    let names: Vec<String> = variable
        .attributes()
        .map(|attribute| attribute.name().to_owned())
        .collect();
    for meant in OF_ENCODING {
        if names.iter().any(|name| name == meant) {
            continue;
        }
        let is_near = |name: &&String| {
            !OF_ENCODING.contains(&name.as_str())
                && strsim::damerau_levenshtein(&name.to_lowercase(), &meant.to_lowercase())
                    <= MOST_SLIPS
        };
        if let Some(found) = names.iter().find(is_near) {
            return Err(ClimateFault::NearAttribute {
                variable: variable.name(),
                found: found.clone(),
                meant: meant.into(),
            });
        }
    }
    Ok(())
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
