//! The real years of a climate file: each month's departure from the average, as `offing winds` writes it.

use ndarray::Array4;
use netcdf::{Extent, File, Variable};

use super::encoding::{Encoding, conversion};
use super::{fields, layout, variables};
use crate::climate::error::ClimateFault;
use crate::climate::gridded::{MOST_MEAN_WIND_MS, MOST_NODES, Quantity};
use crate::climate::month::Month;
use crate::climate::region::Region;
use crate::climate::series::{U_ANOMALY, V_ANOMALY};
use crate::climate::window::{self, Run, Window};
use crate::climate::years::{Anomalies, Years};

/// The dimensions of an anomaly, in the file's order.
const DIMENSIONS: [&str; 4] = ["year", "time", "latitude", "longitude"];

/// More values of one component take too much memory: forty years of a quarter of a degree in an ocean.
const MOST_VALUES: usize = 12 * MOST_NODES;

/// Reads the years of an open file called `name` on `region`.
///
/// # Errors
/// [`ClimateFault::NoYears`] where there are none.
pub(super) fn read_years(file: &File, name: &str, region: &Region) -> Result<Years, ClimateFault> {
    let variable = |name: &str| variables::by_name(file, name);
    let (Some(u), Some(v)) = (variable(U_ANOMALY), variable(V_ANOMALY)) else {
        return Err(ClimateFault::NoYears);
    };
    let years = years(file)?;
    let coordinate = |name: &str| {
        variable(name).ok_or_else(|| ClimateFault::Coordinate {
            variable: name.to_owned(),
            problem: "is a dimension without a variable that gives its degrees".to_owned(),
        })
    };
    let latitudes_deg = layout::latitudes_deg(&coordinate("latitude")?)?;
    let longitudes_deg = layout::longitudes_deg(&coordinate("longitude")?)?;
    let columns =
        window::columns(&longitudes_deg, region).map_err(|problem| ClimateFault::Coordinate {
            variable: "longitude".to_owned(),
            problem: problem.to_owned(),
        })?;
    let (Some(rows), Some(columns)) = (window::rows(&latitudes_deg, region), columns) else {
        return Err(ClimateFault::Misses {
            grid: window::describe(&latitudes_deg, &longitudes_deg),
            region: *region,
        });
    };
    let shape = [
        years.len(),
        Month::ALL.len(),
        rows.axis.len(),
        columns.axis.len(),
    ];
    if shape.iter().product::<usize>() > MOST_VALUES {
        return Err(ClimateFault::TooFine {
            nodes: shape[2] * shape[3],
            most: MOST_VALUES / (shape[0] * shape[1]),
        });
    }
    let lengths = [
        years.len(),
        Month::ALL.len(),
        latitudes_deg.len(),
        longitudes_deg.len(),
    ];
    let read = |variable: &Variable, quantity| {
        check_dimensions(variable, lengths)?;
        read_anomaly(variable, quantity, shape, (&rows, &columns))
    };
    let anomalies = Anomalies {
        u_ms: read(&u, Quantity::EastwardWind)?,
        v_ms: read(&v, Quantity::NorthwardWind)?,
    };
    Ok(Years {
        latitudes: rows.axis,
        longitudes: columns.axis,
        years,
        anomalies,
        label: fields::label(file, name),
        notes: Vec::new(),
    })
}

/// The years, which must ascend.
fn years(file: &File) -> Result<Vec<i64>, ClimateFault> {
    let unusable = |problem: &str| ClimateFault::Coordinate {
        variable: "year".to_owned(),
        problem: problem.to_owned(),
    };
    let variable = variables::by_name(file, "year")
        .ok_or_else(|| unusable("is a dimension without a variable that gives the years"))?;
    let values = layout::values(&variable)?;
    let is_year = |value: &f64| value.fract() == 0.0 && (1.0..=9999.0).contains(value);
    if !values.iter().all(is_year) || !values.is_sorted_by(|a, b| a < b) {
        return Err(unusable("does not hold calendar years in their order"));
    }
    Ok(values.into_iter().map(|year| year as i64).collect())
}

fn check_dimensions(variable: &Variable, lengths: [usize; 4]) -> Result<(), ClimateFault> {
    let found = variable.dimensions();
    let fits = found.len() == DIMENSIONS.len()
        && found
            .iter()
            .zip(DIMENSIONS.iter().zip(lengths))
            .all(|(found, (name, length))| found.name() == *name && found.len() == length);
    if fits {
        return Ok(());
    }
    let written = |(name, length): (String, usize)| format!("{name} = {length}");
    let found = found.iter().map(|one| written((one.name(), one.len())));
    let expected = DIMENSIONS.iter().zip(lengths);
    let expected = expected.map(|(name, length)| written(((*name).to_owned(), length)));
    Err(ClimateFault::OtherGrid {
        variable: variable.name(),
        found: found.collect::<Vec<_>>().join(", "),
        reference: "year".to_owned(),
        expected: expected.collect::<Vec<_>>().join(", "),
    })
}

fn read_anomaly(
    variable: &Variable,
    quantity: Quantity,
    shape: [usize; 4],
    (rows, columns): (&Window, &Window),
) -> Result<Array4<f32>, ClimateFault> {
    let (encoding, conversion) = (Encoding::of(variable)?, conversion(variable, quantity)?);
    let mut values = Array4::from_elem(shape, f32::NAN);
    let (row_runs, column_runs) = (rows.runs(), columns.runs());
    let mut stored: Vec<f64> = Vec::new();
    let run = |run: &Run| Extent::SliceCount {
        start: run.start,
        count: run.count,
        stride: 1,
    };
    for year in 0..shape[0] {
        for (row_run, row_places) in &row_runs {
            for (column_run, column_places) in &column_runs {
                stored.resize(shape[1] * row_run.count * column_run.count, 0.0);
                let extents = vec![
                    Extent::Index(year),
                    run(&Run {
                        start: 0,
                        count: shape[1],
                    }),
                    run(row_run),
                    run(column_run),
                ];
                variable
                    .get_values_into(&mut stored, extents)
                    .map_err(|error| {
                        let doing = format!("variable '{}', year {}", variable.name(), year + 1);
                        ClimateFault::damaged(doing, &error)
                    })?;
                let mut numbers = stored.iter();
                for month in 0..shape[1] {
                    for &row in row_places {
                        for &column in column_places {
                            let value = numbers.next().and_then(|number| encoding.decode(*number));
                            let Some(value) = value else { continue };
                            let value = value * conversion.scale + conversion.offset;
                            if value.abs() > MOST_MEAN_WIND_MS {
                                return Err(ClimateFault::Absurd {
                                    variable: variable.name(),
                                    found: value,
                                    unit: "m/s".into(),
                                    month: Month::ALL[month].name().into(),
                                    latitude_deg: rows.axis.value_deg(row),
                                    longitude_deg: columns.axis.value_deg(column),
                                    least: -MOST_MEAN_WIND_MS,
                                    most: MOST_MEAN_WIND_MS,
                                });
                            }
                            values[[year, month, row, column]] = value as f32;
                        }
                    }
                }
            }
        }
    }
    Ok(values)
}
