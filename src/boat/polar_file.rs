//! Reading a polar from its CSV.

use std::collections::BTreeMap;
use std::path::Path;

use super::error::BoatError;
use super::polar::Polar;
use super::ranges::{BOAT_SPEED, TRUE_WIND_ANGLE, TRUE_WIND_SPEED};
use super::tidy::Tidy;
use crate::text::read_text;

const COLUMNS: [&str; 3] = ["true_wind_speed_kn", "true_wind_angle_deg", "boat_speed_kn"];
const FEWEST_WIND_SPEEDS: usize = 2;
const FEWEST_ANGLES: usize = 3;
/// From 0 kn at 0 degrees the speed rises straight to the smallest angle given. Up to 49.3 degrees
/// (x tan x = 1) that line gains nothing to windward over the point itself; at 52 degrees it would
/// gain 0.4 per cent.
const LARGEST_FIRST_ANGLE_DEG: f64 = 52.0;
const POINTS_NAMED: usize = 8;

/// A point's place in the file and its speed.
struct Point {
    line: usize,
    boat_speed_kn: f64,
}

impl Polar {
    /// Reads a polar from a CSV file; see [`Polar::parse`].
    ///
    /// # Errors
    /// What [`read_text`] and [`Polar::parse`] refuse.
    pub fn read(path: &Path) -> Result<Self, BoatError> {
        let text = read_text(path).map_err(|source| BoatError::Read {
            file: path.display().to_string(),
            source,
        })?;
        Self::parse(&text, &path.display().to_string())
    }

    /// Reads a polar from CSV text; `name` is the file's name for messages.
    ///
    /// The header is `true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn`; below it one row for
    /// each point, in any order, with every wind speed at every angle. Lines that start with `#`
    /// are comments. Angles run from at most 52 to 180 degrees.
    ///
    /// # Errors
    /// A wrong header or cell, a speed without wind, no speed at all, a point given twice or not at
    /// all, fewer than two wind speeds or three angles, or angles that leave out the close-hauled or
    /// the downwind end.
    pub fn parse(text: &str, name: &str) -> Result<Self, BoatError> {
        let header = COLUMNS.join(",");
        let table = Tidy::parse(text, name, &header)?;
        if table.columns != COLUMNS {
            return Err(BoatError::Header {
                file: name.to_owned(),
                line: table.header_line,
                found: table.columns.join(","),
                expected: header,
            });
        }
        let points = points(&table)?;
        if !points.values().any(|point| point.boat_speed_kn > 0.0) {
            return Err(BoatError::NoSpeed {
                file: name.to_owned(),
            });
        }
        let axis = |values: Vec<f64>| {
            let mut axis = values;
            axis.sort_by(f64::total_cmp);
            axis.dedup();
            axis
        };
        let winds_kn = axis(points.keys().map(|&(wind, _)| from_key(wind)).collect());
        let angles_deg = axis(points.keys().map(|&(_, angle)| from_key(angle)).collect());
        check_axes(&winds_kn, &angles_deg, name)?;
        check_full(&points, &winds_kn, &angles_deg, name)?;
        Ok(Self::tabulate(&winds_kn, &angles_deg, |wind, angle| {
            points[&(key(winds_kn[wind]), key(angles_deg[angle]))].boat_speed_kn
        }))
    }
}

/// Not-negative numbers sort as their bits do, so a bit pattern serves as an exact key.
fn key(value: f64) -> u64 {
    (value + 0.0).to_bits() // -0.0 + 0.0 is 0.0
}

fn from_key(key: u64) -> f64 {
    f64::from_bits(key)
}

fn points(table: &Tidy) -> Result<BTreeMap<(u64, u64), Point>, BoatError> {
    let mut points = BTreeMap::new();
    for row in &table.rows {
        let true_wind_speed_kn = table.number(row, 0, &TRUE_WIND_SPEED)?;
        let true_wind_angle_deg = table.number(row, 1, &TRUE_WIND_ANGLE)?;
        let point = Point {
            line: row.line,
            boat_speed_kn: table.number(row, 2, &BOAT_SPEED)?,
        };
        if true_wind_speed_kn == 0.0 && point.boat_speed_kn > 0.0 {
            return Err(BoatError::Cell {
                file: table.file.clone(),
                line: row.line,
                column: COLUMNS[2].to_owned(),
                found: point.boat_speed_kn.to_string(),
                allowed: "0 in a wind of 0 kn, where no boat sails".to_owned(),
            });
        }
        let place = (key(true_wind_speed_kn), key(true_wind_angle_deg));
        if let Some(first) = points.insert(place, point) {
            return Err(BoatError::DuplicatePoint {
                file: table.file.clone(),
                true_wind_speed_kn,
                true_wind_angle_deg,
                first_line: first.line,
                second_line: row.line,
            });
        }
    }
    Ok(points)
}

fn check_axes(winds_kn: &[f64], angles_deg: &[f64], name: &str) -> Result<(), BoatError> {
    let file = name.to_owned();
    let given_winds = winds_kn.iter().filter(|&&wind_kn| wind_kn > 0.0).count();
    if given_winds < FEWEST_WIND_SPEEDS {
        return Err(BoatError::TooFew {
            file,
            what: "true wind speeds above 0",
            found: given_winds,
            needed: FEWEST_WIND_SPEEDS,
        });
    }
    if angles_deg.len() < FEWEST_ANGLES {
        return Err(BoatError::TooFew {
            file,
            what: "true wind angles",
            found: angles_deg.len(),
            needed: FEWEST_ANGLES,
        });
    }
    let (smallest, largest) = (angles_deg[0], angles_deg[angles_deg.len() - 1]);
    if largest != TRUE_WIND_ANGLE.max {
        return Err(BoatError::NotToDownwind {
            file,
            found: largest,
        });
    }
    if smallest > LARGEST_FIRST_ANGLE_DEG {
        return Err(BoatError::NotToWindward {
            file,
            found: smallest,
            allowed: LARGEST_FIRST_ANGLE_DEG,
        });
    }
    Ok(())
}

fn check_full(
    points: &BTreeMap<(u64, u64), Point>,
    winds_kn: &[f64],
    angles_deg: &[f64],
    name: &str,
) -> Result<(), BoatError> {
    let missing: Vec<String> = winds_kn
        .iter()
        .flat_map(|&wind_kn| {
            angles_deg
                .iter()
                .map(move |&angle_deg| (wind_kn, angle_deg))
        })
        .filter(|&(wind_kn, angle_deg)| !points.contains_key(&(key(wind_kn), key(angle_deg))))
        .map(|(wind_kn, angle_deg)| format!("{wind_kn} kn at {angle_deg} deg"))
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    let mut named = missing[..missing.len().min(POINTS_NAMED)].join(", ");
    if missing.len() > POINTS_NAMED {
        named += &format!(" and {} more", missing.len() - POINTS_NAMED);
    }
    Err(BoatError::MissingPoints {
        file: name.to_owned(),
        points: named,
    })
}
