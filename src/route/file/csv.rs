//! Waypoints as CSV, in and out: a row a waypoint, with the kind of leg that leads to it.

use ::csv::{ReaderBuilder, StringRecord, Trim, Writer};

use super::problem::RouteFileProblem as Problem;
use super::read::{Complaint, FileLine, FilePoint, plain_name};
use super::{DECIMALS, written_deg};
use crate::geodesy::{LegKind, LegKindFault, Position};
use crate::route::Route;
use crate::text::CsvText;

const ROUTE: &str = "route";
const NAME: &str = "name";
const LATITUDE: &str = "latitude_deg";
const LONGITUDE: &str = "longitude_deg";
const LEG: &str = "leg";
const LIMIT: &str = "limit_latitude_deg";
const COLUMNS: [&str; 6] = [ROUTE, NAME, LATITUDE, LONGITUDE, LEG, LIMIT];
const NEEDED: [&str; 2] = [LATITUDE, LONGITUDE];
const NO_FIRST_LEG: &str = "nothing in a route's first row, which is not reached by any leg; write it \
                            in the row that the leg leads to";
/// A spreadsheet takes a cell that begins with one of these for a formula.
const FORMULA: [char; 4] = ['=', '+', '-', '@'];

/// The lines in a CSV text: one for each name in the column `route`, in the order they first appear.
pub(super) fn lines(text: &str) -> Result<Vec<FileLine>, Complaint> {
    let text = CsvText::new(text);
    let unsound = |error: ::csv::Error| Complaint {
        line: text.line_of(error.position()),
        problem: malformed(&error),
    };
    let mut reader = ReaderBuilder::new()
        .trim(Trim::All)
        .from_reader(text.bytes());
    let heading = reader.headers().map_err(unsound)?.clone();
    let on_heading = |problem| Complaint {
        line: text.line_of(heading.position()),
        problem,
    };
    for found in &heading {
        if !COLUMNS.contains(&found) {
            return Err(on_heading(Problem::Column {
                found: found.to_owned(),
                allowed: COLUMNS.join(", "),
            }));
        }
    }
    for name in NEEDED {
        if !heading.iter().any(|found| found == name) {
            return Err(on_heading(Problem::NoColumn { name }));
        }
    }
    let mut lines: Vec<FileLine> = Vec::new();
    for record in reader.records() {
        let record = record.map_err(unsound)?;
        let row = Row {
            heading: &heading,
            record: &record,
        };
        let read = row.point().and_then(|point| Ok((row.name(ROUTE)?, point)));
        let (route, point) = read.map_err(|problem| Complaint {
            line: text.line_of(record.position()),
            problem,
        })?;
        let route = route.unwrap_or_else(|| "route 1".to_owned());
        match lines.iter_mut().find(|line| line.name == route) {
            Some(line) => line.points.push(point),
            None if point.reached_by.is_some() => {
                return Err(Complaint {
                    line: text.line_of(record.position()),
                    problem: row.cell_problem(LEG, NO_FIRST_LEG),
                });
            }
            None => lines.push(FileLine {
                name: route,
                recorded: false,
                points: vec![point],
            }),
        }
    }
    Ok(lines)
}

fn malformed(error: &::csv::Error) -> Problem {
    let reason = match error.kind() {
        ::csv::ErrorKind::UnequalLengths {
            expected_len, len, ..
        } => format!("a row of {len} cells under a heading of {expected_len}"),
        _ => error.to_string(),
    };
    let format = "CSV";
    Problem::Malformed { format, reason }
}

/// A row with its heading.
struct Row<'r> {
    heading: &'r StringRecord,
    record: &'r StringRecord,
}

impl Row<'_> {
    /// What stands under a column; nothing where there is no such column.
    fn cell(&self, column: &str) -> &str {
        let index = self.heading.iter().position(|name| name == column);
        index.and_then(|index| self.record.get(index)).unwrap_or("")
    }

    fn name(&self, column: &str) -> Result<Option<String>, Problem> {
        let cell = self.cell(column);
        let guarded = cell
            .strip_prefix('\'')
            .filter(|rest| rest.starts_with(FORMULA));
        plain_name(guarded.unwrap_or(cell))
    }

    fn number(&self, column: &'static str) -> Result<f64, Problem> {
        let cell = self.cell(column);
        cell.parse()
            .map_err(|_| self.cell_problem(column, "a number"))
    }

    fn cell_problem(&self, column: &'static str, allowed: &'static str) -> Problem {
        Problem::Cell {
            column,
            found: self.cell(column).to_owned(),
            allowed,
        }
    }

    fn point(&self) -> Result<FilePoint, Problem> {
        let name = self.name(NAME)?;
        let position = Position::new(self.number(LATITUDE)?, self.number(LONGITUDE)?);
        let position = position.map_err(|source| Problem::Position {
            place: name
                .clone()
                .unwrap_or_else(|| "a point without a name".to_owned()),
            source: Box::new(source.into()),
        })?;
        Ok(FilePoint {
            name,
            position,
            reached_by: self.leg()?,
        })
    }

    fn leg(&self) -> Result<Option<LegKind>, Problem> {
        let misplaced = || {
            let allowed = "a latitude for a composite leg, nothing for another";
            self.cell_problem(LIMIT, allowed)
        };
        let limit_deg = match self.cell(LIMIT) {
            "" => None,
            found => Some(found.parse().map_err(|_| misplaced())?),
        };
        match (self.cell(LEG), limit_deg) {
            ("", None) => Ok(None),
            ("", Some(_)) => Err(misplaced()),
            (name, _) => LegKind::parse(name, limit_deg)
                .map(Some)
                .map_err(|fault| match fault {
                    LegKindFault::Unknown => {
                        self.cell_problem(LEG, "great-circle, rhumb, composite or nothing")
                    }
                    LegKindFault::NoLimit | LegKindFault::LimitOutOfPlace => misplaced(),
                }),
        }
    }
}

/// Routes as CSV, a row a waypoint: the file that [`RouteFile`](super::RouteFile) reads.
pub fn waypoints_csv(routes: &[Route]) -> String {
    let mut writer = Writer::from_writer(Vec::new());
    let mut write = |row: [&str; 6]| writer.write_record(row).expect("memory takes every row");
    write(COLUMNS);
    for route in routes {
        for (index, waypoint) in route.waypoints().iter().enumerate() {
            let kind = (index > 0).then_some(waypoint.reached_by);
            let limit = match kind {
                Some(LegKind::Composite { limit_latitude_deg }) => limit_latitude_deg.to_string(),
                _ => String::new(),
            };
            let degrees = |deg| format!("{:.DECIMALS$}", written_deg(deg));
            write([
                &spreadsheet_text(route.name()),
                &spreadsheet_text(&waypoint.name),
                &degrees(waypoint.position.latitude_deg()),
                &degrees(waypoint.position.longitude_deg()),
                kind.map_or("", LegKind::name),
                &limit,
            ]);
        }
    }
    let bytes = writer.into_inner().expect("memory takes every row");
    String::from_utf8(bytes).expect("rows of text")
}

/// A name as a cell. A spreadsheet takes a cell that begins with `=`, `+`, `-` or `@` for a formula,
/// so an apostrophe goes before it (OWASP, CSV Injection; from memory).
pub fn spreadsheet_text(name: &str) -> String {
    if name.starts_with(FORMULA) {
        format!("'{name}")
    } else {
        name.to_owned()
    }
}
