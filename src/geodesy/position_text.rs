//! A position as it is written on a chart, in a log or in a file, and read back.

use std::fmt;
use std::str::FromStr;

use super::error::{GeodesyError, PositionFault};
use super::position::Position;
use crate::units::{Range, wrap_180_deg};

/// How one of the two coordinates is written.
#[derive(Debug)]
struct Axis {
    name: &'static str,
    positive: char,
    negative: char,
    letters: &'static str,
    degree_digits: usize,
    /// What is allowed under a hemisphere letter, where nothing goes past the pole or 180 degrees.
    lettered: Range,
}

const LATITUDE: Axis = Axis {
    name: "latitude",
    positive: 'N',
    negative: 'S',
    letters: "N or S",
    degree_digits: 2,
    lettered: Range::new("latitude", "degrees", 0.0, 90.0),
};

const LONGITUDE: Axis = Axis {
    name: "longitude",
    positive: 'E',
    negative: 'W',
    letters: "E or W",
    degree_digits: 3,
    lettered: Range::new("longitude", "degrees", 0.0, 180.0),
};

impl FromStr for Position {
    type Err = GeodesyError;

    /// Reads latitude and then longitude: signed decimal degrees, or decimal degrees or degrees and
    /// decimal minutes with a hemisphere letter before or after. A comma between the two may be
    /// left out.
    fn from_str(text: &str) -> Result<Self, GeodesyError> {
        read_position(text).map_err(|fault| GeodesyError::PositionText {
            found: text.trim().to_owned(),
            fault,
        })
    }
}

impl fmt::Display for Position {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let latitude = Coordinate::latitude(self.latitude_deg());
        write!(
            f,
            "{latitude} {}",
            Coordinate::longitude(self.longitude_deg())
        )
    }
}

/// A latitude, or a longitude wrapped to [-180, 180), by itself, as a position is shown.
#[derive(Debug, Clone, Copy)]
pub struct Coordinate {
    axis: &'static Axis,
    angle_deg: f64,
}

impl Coordinate {
    /// A latitude in degrees, north positive.
    pub fn latitude(latitude_deg: f64) -> Self {
        Self {
            axis: &LATITUDE,
            angle_deg: latitude_deg,
        }
    }

    /// A longitude in degrees, east positive, on any turn.
    pub fn longitude(longitude_deg: f64) -> Self {
        Self {
            axis: &LONGITUDE,
            angle_deg: wrap_180_deg(longitude_deg),
        }
    }
}

impl fmt::Display for Coordinate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Rounded once, as a whole number of tenths, so that minutes never show as 60.0.
        let tenths = (self.angle_deg.abs() * 600.0).round() as u32;
        let letter = if self.angle_deg < 0.0 && tenths > 0 {
            self.axis.negative
        } else {
            self.axis.positive
        };
        let (degrees, minute_tenths) = (tenths / 600, tenths % 600);
        let (minutes, tenth) = (minute_tenths / 10, minute_tenths % 10);
        let degree_digits = self.axis.degree_digits;
        write!(f, "{degrees:0degree_digits$}°{minutes:02}.{tenth}'{letter}")
    }
}

fn read_position(text: &str) -> Result<Position, PositionFault> {
    let plain: String = text.trim().chars().map(plain_mark).collect();
    let (latitude, longitude) = split(&plain).ok_or(PositionFault::NotTwoParts)?;
    let latitude_deg = LATITUDE.read(latitude)?;
    let longitude_deg = LONGITUDE.read(longitude)?;
    Ok(Position::new(latitude_deg, longitude_deg)?)
}

/// The typewriter's form of the marks that typesetting and keyboards vary.
fn plain_mark(mark: char) -> char {
    match mark {
        '\u{2032}' | '\u{2019}' | '\u{02B9}' => '\'',
        '\u{00BA}' | '\u{02DA}' => '°',
        '\u{2212}' => '-',
        other => other.to_ascii_uppercase(),
    }
}

/// Cuts at the comma; without one, at the hemisphere letters; without those, at the gap.
fn split(text: &str) -> Option<(&str, &str)> {
    if let Some((latitude, longitude)) = text.split_once(',') {
        return (!longitude.contains(',')).then_some((latitude, longitude));
    }
    let letters: Vec<usize> = text
        .char_indices()
        .filter(|(_, c)| c.is_ascii_alphabetic())
        .map(|(at, _)| at)
        .collect();
    match letters[..] {
        [0, second] => Some(text.split_at(second)),
        [first, _] => Some(text.split_at(first + 1)),
        [] => {
            let (latitude, longitude) = text.split_once(char::is_whitespace)?;
            let longitude = longitude.trim_start();
            (!longitude.contains(char::is_whitespace)).then_some((latitude, longitude))
        }
        _ => None,
    }
}

impl Axis {
    /// One coordinate in degrees, north or east positive.
    fn read(&self, text: &str) -> Result<f64, PositionFault> {
        let text = text.trim();
        match lettered(text) {
            Some((letter, numbers)) => {
                let sign = match letter {
                    c if c == self.positive => 1.0,
                    c if c == self.negative => -1.0,
                    found => {
                        return Err(PositionFault::Letter {
                            axis: self.name,
                            found,
                            allowed: self.letters,
                        });
                    }
                };
                if numbers.starts_with(['+', '-']) {
                    return Err(PositionFault::SignAndLetter { axis: self.name });
                }
                Ok(sign * self.lettered.check(self.unsigned_deg(numbers)?)?)
            }
            None => {
                let (sign, number) = match text.strip_prefix('-') {
                    Some(rest) => (-1.0, rest),
                    None => (1.0, text.strip_prefix('+').unwrap_or(text)),
                };
                let (degrees, minutes) = self.parts(number)?;
                if minutes.is_some() {
                    return Err(PositionFault::LetterMissing {
                        axis: self.name,
                        allowed: self.letters,
                    });
                }
                Ok(sign * self.number(degrees)?)
            }
        }
    }

    fn unsigned_deg(&self, text: &str) -> Result<f64, PositionFault> {
        let (degrees_text, minutes_text) = self.parts(text)?;
        let degrees = self.number(degrees_text)?;
        let Some(minutes_text) = minutes_text else {
            return Ok(degrees);
        };
        let minutes = self.number(minutes_text)?;
        if degrees_text.contains('.') {
            return Err(PositionFault::BrokenDegrees {
                axis: self.name,
                found: degrees,
            });
        }
        if minutes >= 60.0 {
            return Err(PositionFault::Minutes {
                axis: self.name,
                found: minutes,
            });
        }
        Ok(degrees + minutes / 60.0)
    }

    /// The text of the degrees and, where given, of the minutes, without their marks.
    fn parts<'a>(&self, text: &'a str) -> Result<(&'a str, Option<&'a str>), PositionFault> {
        let text = text.trim();
        let (degrees, minutes) = text
            .split_once('°')
            .or_else(|| text.split_once(char::is_whitespace))
            .unwrap_or((text, ""));
        let minutes = minutes.trim();
        let unmarked = minutes.strip_suffix('\'').unwrap_or(minutes).trim_end();
        if degrees.is_empty() || (unmarked.is_empty() && !minutes.is_empty()) {
            return Err(PositionFault::Shape {
                axis: self.name,
                found: text.to_owned(),
            });
        }
        let minutes = (!unmarked.is_empty()).then_some(unmarked);
        Ok((degrees.trim_end(), minutes))
    }

    /// A plain decimal number, without a sign or an exponent.
    fn number(&self, text: &str) -> Result<f64, PositionFault> {
        let plain = text.chars().all(|c| c.is_ascii_digit() || c == '.');
        match text.parse::<f64>() {
            Ok(number) if plain => Ok(number),
            _ => Err(PositionFault::Number {
                axis: self.name,
                found: text.to_owned(),
            }),
        }
    }
}

/// The letter at the start or the end of a coordinate, and the rest.
fn lettered(text: &str) -> Option<(char, &str)> {
    let (first, last) = (text.chars().next()?, text.chars().next_back()?);
    if first.is_ascii_alphabetic() {
        Some((first, text[1..].trim()))
    } else if last.is_ascii_alphabetic() {
        Some((last, text[..text.len() - 1].trim()))
    } else {
        None
    }
}

#[cfg(test)]
#[path = "position_text_tests.rs"]
mod tests;
