//! The part of a file a region needs, and reading a field in it.

use netcdf::{File, Variable};

use super::super::grid::node_index;
use super::super::{ClimateFault, Month, Region};
use super::encoding::Encoding;
use super::layout::{Layout, Run};
use super::months::MonthSteps;
use super::open::damaged;
use super::variables::{self, Conversion, Quantity};
use super::window::{self, Window};
use super::{coordinates, months, origin};
use crate::geodesy::Coordinate;

/// More nodes take gigabytes; a passage never needs them.
const MOST_NODES: usize = 4_000_000;

/// One quantity of the file, ready to be read.
pub(super) struct Field<'f> {
    pub(super) variable: Variable<'f>,
    quantity: Quantity,
    pub(super) layout: Layout,
    encoding: Encoding,
    conversion: Conversion,
}

/// The part of the file that is kept.
pub(super) struct Part {
    pub(super) rows: Window,
    pub(super) columns: Window,
    pub(super) months: MonthSteps,
    region: Region,
}

impl<'f> Field<'f> {
    pub(super) fn new(
        file: &'f File,
        variable: Variable<'f>,
        quantity: Quantity,
    ) -> Result<Self, ClimateFault> {
        Ok(Self {
            layout: Layout::of(file, &variable)?,
            encoding: Encoding::of(&variable)?,
            conversion: variables::conversion(&variable, quantity)?,
            variable,
            quantity,
        })
    }

    /// The value of a stored number in the unit we keep.
    fn value(&self, stored: f64) -> Option<f64> {
        let value = self.encoding.decode(stored)?;
        Some(value * self.conversion.scale + self.conversion.offset)
    }
}

impl Part {
    pub(super) fn new(file: &File, layout: &Layout, region: &Region) -> Result<Self, ClimateFault> {
        let coordinate = |dimension: &str| {
            coordinates::variable_along(file, dimension)?.ok_or_else(|| ClimateFault::Coordinate {
                variable: dimension.to_owned(),
                problem: "is a dimension without a variable that gives its degrees".to_owned(),
            })
        };
        let latitudes_deg = coordinates::latitudes_deg(&coordinate(&layout.latitude)?)?;
        let longitude = coordinate(&layout.longitude)?;
        let longitudes_deg = coordinates::longitudes_deg(&longitude)?;
        let columns = window::columns(&longitudes_deg, region).map_err(|problem| {
            ClimateFault::Coordinate {
                variable: longitude.name(),
                problem: problem.to_owned(),
            }
        })?;
        let (Some(rows), Some(columns)) = (window::rows(&latitudes_deg, region), columns) else {
            return Err(ClimateFault::Misses {
                grid: describe_grid(&latitudes_deg, &longitudes_deg),
                region: *region,
            });
        };
        let nodes = rows.axis.len() * columns.axis.len();
        if nodes > MOST_NODES {
            return Err(ClimateFault::TooFine {
                nodes,
                most: MOST_NODES,
            });
        }
        Ok(Self {
            rows,
            columns,
            months: months::month_steps(file, &layout.time)?,
            region: *region,
        })
    }

    /// Hands every value of the field in the region to `put`, with its place among the nodes.
    pub(super) fn read(
        &self,
        field: &Field,
        mut put: impl FnMut(usize, f64),
    ) -> Result<(), ClimateFault> {
        let (unit, least, most) = field.quantity.unit_and_believable();
        let mut found_any = false;
        self.read_stored(&field.variable, &field.layout, |place, stored| {
            let Some(value) = field.value(stored) else {
                return Ok(());
            };
            if !(least..=most).contains(&value) {
                return Err(ClimateFault::Absurd {
                    variable: field.variable.name(),
                    found: value,
                    unit,
                    month: place.month.name(),
                    latitude: Coordinate::latitude(self.rows.axis.value_deg(place.row)),
                    longitude: Coordinate::longitude(self.columns.axis.value_deg(place.column)),
                    least,
                    most,
                });
            }
            found_any = true;
            put(self.index(place), value);
            Ok(())
        })?;
        if found_any {
            return Ok(());
        }
        Err(ClimateFault::AllMissing {
            variable: field.variable.name(),
            region: self.region,
        })
    }

    /// Whether each node's wind was put in by the file's makers, where the file says so.
    pub(super) fn read_replaced(
        &self,
        file: &File,
        wind: &Field,
        count: usize,
    ) -> Result<Option<Vec<bool>>, ClimateFault> {
        let Some(origin) = origin::of(file, &wind.variable)? else {
            return Ok(None);
        };
        let layout = Layout::of(file, &origin.variable)?;
        layout.require_same_grid(&origin.variable, (&wind.layout, &wind.variable))?;
        let mut replaced = vec![false; count];
        self.read_stored(&origin.variable, &layout, |place, flag| {
            replaced[self.index(place)] = origin.is_replaced(flag);
            Ok(())
        })?;
        Ok(Some(replaced))
    }

    /// Hands over every stored number in the region, one month of one run of the file at a time.
    fn read_stored(
        &self,
        variable: &Variable,
        layout: &Layout,
        mut take: impl FnMut(Place, f64) -> Result<(), ClimateFault>,
    ) -> Result<(), ClimateFault> {
        let (row_runs, column_runs) = (self.rows.runs(), self.columns.runs());
        let mut stored = Vec::new();
        for month in Month::ALL {
            let step = self.months.steps[month.index()];
            for (row_run, rows) in &row_runs {
                for (column_run, columns) in &column_runs {
                    read_block(variable, layout, step, (*row_run, *column_run), &mut stored)?;
                    let mut numbers = stored.iter();
                    let mut place_and_take = |row, column| match numbers.next() {
                        Some(&number) => take(Place { row, column, month }, number),
                        None => Ok(()),
                    };
                    if layout.longitude_first() {
                        for &column in columns {
                            for &row in rows {
                                place_and_take(row, column)?;
                            }
                        }
                    } else {
                        for &row in rows {
                            for &column in columns {
                                place_and_take(row, column)?;
                            }
                        }
                    }
                }
            }
        }
        Ok(())
    }

    fn index(&self, place: Place) -> usize {
        node_index(
            self.columns.axis.len(),
            place.row,
            place.column,
            place.month,
        )
    }
}

/// A node and a month of the part that is kept.
#[derive(Clone, Copy)]
struct Place {
    row: usize,
    column: usize,
    month: Month,
}

fn read_block(
    variable: &Variable,
    layout: &Layout,
    step: usize,
    (rows, columns): (Run, Run),
    stored: &mut Vec<f64>,
) -> Result<(), ClimateFault> {
    stored.resize(rows.count * columns.count, 0.0);
    variable
        .get_values_into(stored, layout.extents(step, rows, columns))
        .map_err(|error| {
            damaged(
                format!("variable '{}', time step {}", variable.name(), step + 1),
                &error,
            )
        })
}

fn describe_grid(latitudes_deg: &[f64], longitudes_deg: &[f64]) -> String {
    let ends = |values_deg: &[f64]| {
        let least = values_deg.iter().copied().fold(f64::INFINITY, f64::min);
        let most = values_deg.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        [least, most]
    };
    let [south, north] = ends(latitudes_deg).map(Coordinate::latitude);
    let [west, east] = ends(longitudes_deg).map(Coordinate::longitude);
    format!("latitudes {south} to {north}, longitudes {west} to {east}")
}
