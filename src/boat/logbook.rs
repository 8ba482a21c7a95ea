//! What the crew logged: boat speed and wind at a time, or the speed between its fixes.

use std::path::Path;

use jiff::Timestamp;

use super::error::BoatError;
use super::ranges::{BOAT_SPEED, TRUE_WIND_SPEED};
use super::tidy::{Row, Tidy};
use crate::geodesy::{Earth, GreatCircle, Position};
use crate::text::read_text;
use crate::units::{Course, Range, WindFrom, angle_off_deg};

const TIME: &str = "time";
const BOAT_SPEED_COLUMN: &str = "boat_speed_kn";
const LATITUDE_COLUMN: &str = "latitude";
const LONGITUDE_COLUMN: &str = "longitude";
const WIND_SPEED_COLUMN: &str = "true_wind_speed_kn";
const WIND_ANGLE_COLUMN: &str = "true_wind_angle_deg";
const WIND_FROM_COLUMN: &str = "true_wind_from_deg";
const HEADING_COLUMN: &str = "heading_deg";
const UNDER_POWER_COLUMN: &str = "under_power";
const ALLOWED: [&str; 10] = [
    TIME,
    BOAT_SPEED_COLUMN,
    LATITUDE_COLUMN,
    LONGITUDE_COLUMN,
    WIND_SPEED_COLUMN,
    WIND_ANGLE_COLUMN,
    WIND_FROM_COLUMN,
    HEADING_COLUMN,
    UNDER_POWER_COLUMN,
    "remarks",
];
const HEADER: &str = "time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg";

const DIRECTION: Range = Range::new("direction", "deg true", 0.0, 360.0);
/// Either side of the boat, port negative.
const WIND_ANGLE: Range = Range::new("true wind angle", "deg", -180.0, 180.0);

/// A crew's log: boat speed and wind, in the order of time.
#[derive(Debug, Clone, PartialEq)]
pub struct Logbook {
    file: String,
    columns: Vec<String>,
    entries: Vec<LogEntry>,
}

/// One entry of the log. What was not logged is `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogEntry {
    /// When it was logged.
    pub time: Timestamp,
    /// Boat speed through the water, kn.
    pub boat_speed_kn: Option<f64>,
    /// Where the boat was.
    pub position: Option<Position>,
    /// True wind speed, kn.
    pub true_wind_speed_kn: Option<f64>,
    /// True wind angle off the bow on either side, degrees, 0 to 180; from heading and direction
    /// where those were logged instead.
    pub true_wind_angle_deg: Option<f64>,
    /// Where the true wind comes from, degrees true.
    pub true_wind_from_deg: Option<f64>,
    /// Whether the engine was driving her; `false` where the log has no such column.
    pub under_power: bool,
}

/// The columns of a log, by their place.
struct Columns {
    time: usize,
    boat_speed: Option<usize>,
    position: Option<(usize, usize)>,
    wind_speed: usize,
    wind_angle: Option<usize>,
    wind_from: Option<usize>,
    heading: Option<usize>,
    under_power: Option<usize>,
}

impl Logbook {
    /// Reads a log from a CSV file; see [`Logbook::parse`].
    ///
    /// # Errors
    /// What [`read_text`] and [`Logbook::parse`] refuse.
    pub fn read(path: &Path) -> Result<Self, BoatError> {
        let file = path.display().to_string();
        match read_text(path) {
            Ok(text) => Self::parse(&text, &file),
            Err(source) => Err(BoatError::Read { file, source }),
        }
    }

    /// Reads a log from CSV text; `name` is the file's name for messages.
    ///
    /// The columns, in any order: `time` (ISO 8601, in UTC with its Z), `boat_speed_kn` or
    /// `latitude` and `longitude` (decimal degrees, north and east positive), `true_wind_speed_kn`,
    /// `true_wind_angle_deg` (0 to 180, or negative to port) or `true_wind_from_deg` (where it comes
    /// from, true; with `heading_deg` it gives the angle), and if wanted `under_power` (yes or
    /// no) and `remarks`, which are not read. An empty cell was not logged; only the time has to
    /// be. Lines that start with `#` are comments.
    ///
    /// # Errors
    /// A column that is missing, twice there or unknown, as one in another unit would be; a cell
    /// that cannot be what its column says; a time that is not after the one before it.
    pub fn parse(text: &str, name: &str) -> Result<Self, BoatError> {
        let table = Tidy::parse(text, name, HEADER)?;
        let columns = Columns::of(&table)?;
        let entries = table
            .rows
            .iter()
            .map(|row| columns.entry(&table, row))
            .collect::<Result<Vec<_>, _>>()?;
        check_times(&table, &entries)?;
        let mut columns = table.columns;
        columns.sort();
        Ok(Self {
            file: name.to_owned(),
            columns,
            entries,
        })
    }

    /// The file's name.
    pub fn file(&self) -> &str {
        &self.file
    }

    /// The columns, in the order of the alphabet.
    pub fn columns(&self) -> &[String] {
        &self.columns
    }

    /// The entries, in the order of time.
    pub fn entries(&self) -> &[LogEntry] {
        &self.entries
    }
}

impl Columns {
    fn of(table: &Tidy) -> Result<Self, BoatError> {
        for (place, column) in table.columns.iter().enumerate() {
            let fault = if !ALLOWED.contains(&column.as_str()) {
                "is not known"
            } else if table.columns[..place].contains(column) {
                "is there twice"
            } else {
                continue;
            };
            return Err(BoatError::Column {
                file: table.file.clone(),
                line: table.header_line,
                column: column.clone(),
                fault,
                allowed: ALLOWED.join(", "),
            });
        }
        let find = |name: &str| table.columns.iter().position(|column| column == name);
        let need = |name: &'static str| {
            find(name).ok_or_else(|| BoatError::Column {
                file: table.file.clone(),
                line: table.header_line,
                column: name.to_owned(),
                fault: "is missing",
                allowed: ALLOWED.join(", "),
            })
        };
        let boat_speed = find(BOAT_SPEED_COLUMN);
        let position = match (find(LATITUDE_COLUMN), find(LONGITUDE_COLUMN)) {
            (None, None) => None,
            _ => Some((need(LATITUDE_COLUMN)?, need(LONGITUDE_COLUMN)?)),
        };
        if position.is_none() {
            need(BOAT_SPEED_COLUMN)?;
        }
        let (wind_angle, wind_from) = (find(WIND_ANGLE_COLUMN), find(WIND_FROM_COLUMN));
        if wind_angle.or(wind_from).is_none() {
            need(WIND_ANGLE_COLUMN)?;
        }
        Ok(Self {
            time: need(TIME)?,
            boat_speed,
            position,
            wind_speed: need(WIND_SPEED_COLUMN)?,
            wind_angle,
            wind_from,
            heading: find(HEADING_COLUMN),
            under_power: find(UNDER_POWER_COLUMN),
        })
    }

    fn entry(&self, table: &Tidy, row: &Row) -> Result<LogEntry, BoatError> {
        let number = |column: usize, range: &Range| {
            (!table.text(row, column).is_empty())
                .then(|| table.number(row, column, range))
                .transpose()
        };
        let time = table.text(row, self.time).parse().map_err(|_| {
            let allowed = "a time in UTC such as 2025-04-01T06:00:00Z".to_owned();
            table.bad_cell(row, self.time, allowed)
        })?;
        let boat_speed = self.boat_speed.map(|column| number(column, &BOAT_SPEED));
        let position = self.position.map(|columns| position(table, row, columns));
        let under_power = self
            .under_power
            .map(|column| match table.text(row, column) {
                "yes" => Ok(true),
                "no" => Ok(false),
                _ => Err(table.bad_cell(row, column, "yes or no".to_owned())),
            });
        let of = |column: Option<usize>, range: &Range| {
            let cell = column.map(|column| number(column, range));
            cell.transpose().map(Option::flatten)
        };
        let angle_deg = of(self.wind_angle, &WIND_ANGLE)?.map(f64::abs);
        let from_deg = of(self.wind_from, &DIRECTION)?;
        let heading_deg = of(self.heading, &DIRECTION)?;
        let off_deg = from_deg.zip(heading_deg);
        let off_deg = off_deg.map(|(from_deg, heading_deg)| {
            angle_off_deg(Course::from_deg(heading_deg), WindFrom::from_deg(from_deg))
        });
        Ok(LogEntry {
            time,
            boat_speed_kn: boat_speed.transpose()?.flatten(),
            position: position.transpose()?.flatten(),
            true_wind_speed_kn: number(self.wind_speed, &TRUE_WIND_SPEED)?,
            true_wind_angle_deg: angle_deg.or(off_deg),
            true_wind_from_deg: from_deg,
            under_power: under_power.transpose()?.unwrap_or(false),
        })
    }
}

/// The position logged in a row; `None` where both cells are empty.
fn position(
    table: &Tidy,
    row: &Row,
    (latitude, longitude): (usize, usize),
) -> Result<Option<Position>, BoatError> {
    if table.text(row, latitude).is_empty() && table.text(row, longitude).is_empty() {
        return Ok(None);
    }
    let latitude_deg = table.number(row, latitude, &Position::LATITUDE)?;
    let longitude_deg = table.number(row, longitude, &Position::LONGITUDE)?;
    Ok(Some(Position::new(latitude_deg, longitude_deg)?))
}

fn check_times(table: &Tidy, entries: &[LogEntry]) -> Result<(), BoatError> {
    let pairs = entries.windows(2).zip(table.rows.windows(2));
    for (entries, rows) in pairs {
        if entries[1].time <= entries[0].time {
            return Err(BoatError::TimeOrder {
                file: table.file.clone(),
                line: rows[1].line,
                found: entries[1].time,
                before_line: rows[0].line,
                before: entries[0].time,
            });
        }
    }
    Ok(())
}

/// Fixes further apart say little about the wind between them (common practice, no source).
const LONGEST_HOURS: f64 = 6.0;
const SECONDS_PER_HOUR: f64 = 3600.0;

impl Logbook {
    /// The log of the stretches between its fixes, for a log without boat speed.
    ///
    /// Each entry but the first becomes the stretch since the entry before it: speed is the
    /// geodesic distance between the two over the hours between them, the wind the mean of both,
    /// under power if either was. Fixes more than 6 hours apart give no speed, and neither does an
    /// entry without a position. This is speed over the ground: a current is in it, and what a
    /// boat loses by not sailing straight between fixes.
    ///
    /// # Errors
    /// Positions whose distance cannot be computed.
    pub fn between_fixes(&self) -> Result<Self, BoatError> {
        let stretches = self
            .entries()
            .windows(2)
            .map(|pair| stretch(&pair[0], &pair[1]));
        let stretches = stretches.collect::<Result<Vec<_>, _>>()?;
        Ok(Self {
            entries: stretches,
            ..self.clone()
        })
    }
}

fn stretch(from: &LogEntry, to: &LogEntry) -> Result<LogEntry, BoatError> {
    let hours = hours_between(from, to);
    let boat_speed_kn = match (from.position, to.position) {
        (Some(start), Some(end)) if hours <= LONGEST_HOURS => {
            Some(distance_nm(start, end)? / hours)
        }
        _ => None,
    };
    let mean = |a: Option<f64>, b: Option<f64>| Some((a? + b?) / 2.0);
    Ok(LogEntry {
        time: to.time,
        boat_speed_kn,
        position: to.position,
        true_wind_speed_kn: mean(from.true_wind_speed_kn, to.true_wind_speed_kn),
        true_wind_angle_deg: mean(from.true_wind_angle_deg, to.true_wind_angle_deg),
        true_wind_from_deg: to.true_wind_from_deg,
        under_power: from.under_power || to.under_power,
    })
}

pub(super) fn hours_between(from: &LogEntry, to: &LogEntry) -> f64 {
    to.time.duration_since(from.time).as_secs_f64() / SECONDS_PER_HOUR
}

fn distance_nm(from: Position, to: Position) -> Result<f64, BoatError> {
    if from == to {
        return Ok(0.0); // the line between needs two places
    }
    Ok(GreatCircle::between(Earth::WGS84, from, to)?.length_nm())
}
