//! The height a file's winds are for, and the factor that brings them to 10 m.

use netcdf::{AttributeValue, File, Variable};

use super::attributes;
use super::layout::{self, Layout};
use super::variables;
use crate::climate::error::ClimateFault;
use crate::climate::grid::HeightScaling;
use crate::climate::gridded::{STANDARD_HEIGHT_M, scaling_from};
use crate::climate::source::SourceOptions;

/// What brings the variable's winds to 10 m: the height the user gave, else the variable's
/// attribute `height`, else a height coordinate; `None` where they are 10 m winds already.
pub(super) fn scaling(
    file: &File,
    variable: &Variable,
    layout: &Layout,
    options: &SourceOptions,
) -> Result<Option<HeightScaling>, ClimateFault> {
    let height_m = match stated_height(variable, options)? {
        Some(height_m) => Some(height_m),
        None => height_coordinate(file, variable, layout)?,
    };
    Ok(scaling_from(height_m.unwrap_or(STANDARD_HEIGHT_M))?)
}

/// The height the user gave, else the one the variable's attribute `height` gives.
fn stated_height(
    variable: &Variable,
    options: &SourceOptions,
) -> Result<Option<f64>, ClimateFault> {
    match options.wind_height_m {
        Some(height_m) => Ok(Some(height_m)),
        None => height_attribute(variable),
    }
}

/// `height = 20.` or `height = "20 m"` on the variable.
fn height_attribute(variable: &Variable) -> Result<Option<f64>, ClimateFault> {
    let Some(value) = attributes::value(variable, "height")? else {
        return Ok(None);
    };
    match value {
        AttributeValue::Str(text) => {
            height_in_text(&text)
                .map(Some)
                .ok_or_else(|| ClimateFault::Attribute {
                    variable: variable.name(),
                    attribute: "height".into(),
                    found: format!("'{text}'"),
                    expected: "metres, like '10 m'".into(),
                })
        }
        _ => attributes::number(variable, "height"),
    }
}

fn height_in_text(text: &str) -> Option<f64> {
    let text = text.trim().to_lowercase();
    let number = text
        .trim_end_matches("metres")
        .trim_end_matches("meters")
        .trim_end_matches('m');
    number.trim().parse().ok()
}

/// The names of what may say at what level the wind is: dimensions of length 1, and those listed in
/// the attribute `coordinates`.
fn level_names(variable: &Variable, layout: &Layout) -> Result<Vec<String>, ClimateFault> {
    let named = attributes::text(variable, "coordinates")?.unwrap_or_default();
    let named = named.split_whitespace().map(str::to_owned);
    Ok(layout.single.iter().cloned().chain(named).collect())
}

/// A coordinate with one value that is a height in metres.
fn height_coordinate(
    file: &File,
    variable: &Variable,
    layout: &Layout,
) -> Result<Option<f64>, ClimateFault> {
    for name in level_names(variable, layout)? {
        let Some(coordinate) = variables::by_name(file, &name) else {
            continue;
        };
        if is_height_in_metres(&coordinate)? {
            return Ok(layout::values(&coordinate)?.first().copied());
        }
    }
    Ok(None)
}

fn is_height_in_metres(coordinate: &Variable) -> Result<bool, ClimateFault> {
    let text = |attribute| attributes::text(coordinate, attribute).map(Option::unwrap_or_default);
    let is_height = text("standard_name")? == "height"
        || coordinate.name().to_lowercase().starts_with("height");
    let in_metres = matches!(
        text("units")?.as_str(),
        "m" | "metre" | "meter" | "metres" | "meters"
    );
    Ok(is_height && in_metres && coordinate.len() == 1)
}

/// Whether a coordinate runs upward (CF conventions, section 4.3; from memory): by its attributes,
/// or by a unit of pressure or length.
fn is_vertical(coordinate: &Variable) -> Result<bool, ClimateFault> {
    let lower = |attribute| {
        attributes::text(coordinate, attribute).map(|text| text.unwrap_or_default().to_lowercase())
    };
    Ok(lower("axis")? == "z"
        || !lower("positive")?.is_empty()
        || lower("standard_name")?.contains("height")
        || matches!(
            lower("units")?.as_str(),
            "pa" | "hpa"
                | "kpa"
                | "mb"
                | "mbar"
                | "millibar"
                | "millibars"
                | "level"
                | "cm"
                | "km"
                | "m"
                | "metre"
                | "meter"
                | "metres"
                | "meters"
                | "ft"
                | "feet"
        ))
}

/// A note on a level the wind is for that is no height in metres, such as a pressure; none where
/// the height is stated otherwise.
pub(super) fn level_note(
    file: &File,
    variable: &Variable,
    layout: &Layout,
    options: &SourceOptions,
) -> Result<Option<String>, ClimateFault> {
    if stated_height(variable, options)?.is_some() {
        return Ok(None);
    }
    for name in level_names(variable, layout)? {
        let Some(level) = variables::by_name(file, &name) else {
            continue;
        };
        // Beside a level, `coordinates` may name dates, members and the like.
        let is_level = layout.single.contains(&name) || is_vertical(&level)?;
        if is_level && level.len() == 1 && !is_height_in_metres(&level)? {
            let value = layout::values(&level)?[0];
            let units = attributes::text(&level, "units")?.unwrap_or_default();
            return Ok(Some(format!(
                "the wind is for {name} {value} {units}; it is taken as a 10 m wind"
            )));
        }
    }
    Ok(None)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heights_in_text_are_read() {
        assert_eq!(height_in_text("10 m"), Some(10.0));
        assert_eq!(height_in_text("25.0metres"), Some(25.0));
        assert_eq!(height_in_text("sea level"), None);
    }
}
