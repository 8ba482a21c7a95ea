//! From a file's variables to a climate: month by month, only the region needed.

use netcdf::{File, Variable};

use super::super::grid::{Node, Provenance, node_index};
use super::super::rice::{LEAST_SPREAD_MS, spread_ms};
use super::super::{Climate, ClimateFault, HeightScaling, Month, Region};
use super::encoding::Encoding;
use super::layout::{Layout, Run};
use super::months::MonthSteps;
use super::open::damaged;
use super::variables::{self, Conversion, Quantity};
use super::window::{self, Window};
use super::{DEFAULT_STEADINESS, SourceOptions, coordinates, height, months, origin};

use crate::units::wrap_180_deg;

/// More nodes take gigabytes; a passage never needs them.
const MOST_NODES: usize = 4_000_000;

/// A share of nodes at the least spread above this is worth a word.
const MANY_AT_LEAST_SPREAD: f64 = 0.05;

/// One quantity of the file, ready to be read.
struct Field<'f> {
    variable: Variable<'f>,
    quantity: Quantity,
    layout: Layout,
    encoding: Encoding,
    conversion: Conversion,
}

/// The part of the file that is kept.
struct Part {
    rows: Window,
    columns: Window,
    months: MonthSteps,
    region: Region,
}

/// Reads the climate in an open file called `name`.
pub(super) fn read_climate(
    file: &File,
    name: &str,
    options: &SourceOptions,
    region: &Region,
) -> Result<Climate, ClimateFault> {
    let eastward = Field::new(
        file,
        variables::require(file, Quantity::EastwardWind, options)?,
        Quantity::EastwardWind,
    )?;
    let other = |quantity: Quantity, variable| {
        let field = Field::new(file, variable, quantity)?;
        field
            .layout
            .require_same_grid(&field.variable, (&eastward.layout, &eastward.variable))?;
        Ok::<_, ClimateFault>(field)
    };
    let optional = |quantity: Quantity| {
        let variable = variables::find(file, quantity, options)?;
        variable
            .map(|variable| other(quantity, variable))
            .transpose()
    };
    let northward = other(
        Quantity::NorthwardWind,
        variables::require(file, Quantity::NorthwardWind, options)?,
    )?;
    let speed = optional(Quantity::WindSpeed)?;
    let temperature = optional(Quantity::AirTemperature)?;

    let part = Part::new(file, &eastward.layout, region)?;
    let mut provenance = Provenance {
        label: label(file, name),
        notes: part
            .months
            .note
            .iter()
            .cloned()
            .chain(height::level_note(file, &eastward.layout)?)
            .collect(),
        ..Provenance::default()
    };
    let count = part.rows.axis.len() * part.columns.axis.len() * Month::ALL.len();
    let mut nodes = vec![Node::MISSING; count];

    let mut read_wind = |field: &Field, put: fn(&mut Node, f32)| {
        let scaling = height::scaling(file, &field.variable, &field.layout, options)?;
        let factor = scaling.map_or(1.0, |scaling| scaling.factor);
        note_height(&mut provenance, &field.variable.name(), scaling);
        part.read(field, |index, value| {
            put(&mut nodes[index], (value * factor) as f32)
        })
    };
    read_wind(&eastward, |node, value| node.u_ms = value)?;
    read_wind(&northward, |node, value| node.v_ms = value)?;
    // Until the spread is worked out, the mean speed stands in its place.
    if let Some(speed) = &speed {
        read_wind(speed, |node, value| node.s_ms = value)?;
    }
    if let Some(temperature) = &temperature {
        part.read(temperature, |index, value| {
            nodes[index].air_temperature_c = value as f32
        })?;
    }
    let replaced = part.read_replaced(file, &eastward, count)?;
    solve_spreads(&mut nodes, speed.is_some(), options, &mut provenance)?;
    if provenance.node_months_with_wind == 0 {
        return Err(ClimateFault::NoWind { region: *region });
    }
    Ok(Climate {
        latitudes: part.rows.axis,
        longitudes: part.columns.axis,
        nodes,
        replaced,
        has_air_temperature: temperature.is_some(),
        provenance,
    })
}

impl<'f> Field<'f> {
    fn new(
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
    fn new(file: &File, layout: &Layout, region: &Region) -> Result<Self, ClimateFault> {
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
    fn read(&self, field: &Field, mut put: impl FnMut(usize, f64)) -> Result<(), ClimateFault> {
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
                    latitude_deg: self.rows.axis.value_deg(place.row),
                    longitude_deg: wrap_180_deg(self.columns.axis.value_deg(place.column)),
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
    fn read_replaced(
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

/// Replaces the mean speeds kept in `s_ms` by spreads, or works them out from a steadiness.
fn solve_spreads(
    nodes: &mut [Node],
    has_speed: bool,
    options: &SourceOptions,
    provenance: &mut Provenance,
) -> Result<(), ClimateFault> {
    let steadiness = match options.assumed_steadiness {
        Some(steadiness) => SourceOptions::STEADINESS.check(steadiness)?,
        None => DEFAULT_STEADINESS,
    };
    for node in nodes {
        let vector_mean_ms = f64::from(node.u_ms).hypot(f64::from(node.v_ms));
        let mean_speed_ms = if has_speed {
            f64::from(node.s_ms)
        } else {
            vector_mean_ms / steadiness
        };
        // hypot of an infinity and NaN is infinite, but values that are kept are finite or NaN.
        if vector_mean_ms.is_nan() || mean_speed_ms.is_nan() {
            node.s_ms = f32::NAN;
            continue;
        }
        provenance.node_months_with_wind += 1;
        let spread = spread_ms(mean_speed_ms, vector_mean_ms);
        provenance.node_months_at_least_spread += usize::from(spread.is_none());
        node.s_ms = spread.unwrap_or(LEAST_SPREAD_MS) as f32;
    }
    let (at_least, all) = (
        provenance.node_months_at_least_spread,
        provenance.node_months_with_wind,
    );
    if has_speed {
        if options.assumed_steadiness.is_some() {
            provenance.notes.push(
                "the assumed steadiness was not used: the file has a mean wind speed".to_owned(),
            );
        }
        if at_least as f64 > MANY_AT_LEAST_SPREAD * all as f64 {
            provenance.notes.push(format!(
                "in {at_least} of {all} node months the mean wind speed leaves a spread below \
                 {LEAST_SPREAD_MS} m/s, which is given instead; check that it is the mean of the \
                 speed, in the same unit as the components"
            ));
        }
    } else {
        provenance.spread_assumed = Some(steadiness);
        provenance.notes.push(format!(
            "the file has no mean wind speed: the wind's spread is worked out from an assumed \
             steadiness of {steadiness}, so gales and headwinds are a guess"
        ));
    }
    Ok(())
}

fn note_height(provenance: &mut Provenance, variable: &str, scaling: Option<HeightScaling>) {
    if let Some(HeightScaling {
        from_height_m,
        factor,
    }) = scaling
    {
        provenance.height_scaling = scaling;
        provenance.notes.push(format!(
            "'{variable}' is for {from_height_m} m; brought to 10 m by the factor {factor:.3} \
             (neutral logarithmic profile)"
        ));
    }
}

fn label(file: &File, name: &str) -> String {
    let title = file.attribute("title").and_then(|title| title.value().ok());
    match title {
        Some(netcdf::AttributeValue::Str(title)) if !title.trim().is_empty() => {
            format!("{name} ({})", title.trim())
        }
        _ => name.to_owned(),
    }
}

fn describe_grid(latitudes_deg: &[f64], longitudes_deg: &[f64]) -> String {
    let range = |values_deg: &[f64]| {
        let least = values_deg.iter().copied().fold(f64::INFINITY, f64::min);
        let most = values_deg.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        format!("{least:.2} to {most:.2}")
    };
    format!(
        "latitudes {}, longitudes {}",
        range(latitudes_deg),
        range(longitudes_deg)
    )
}
