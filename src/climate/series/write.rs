//! A measured climate as a NetCDF file in the manner of the CF conventions, 1.8 (sections 7.4 on
//! climatological statistics and 8.1 on packing; from memory).

use std::ops::Range;
use std::path::{Path, PathBuf};

use netcdf::{FileMut, Options};

use super::catalogue::Catalogue;
use super::error::SeriesError;
use super::memory::LAG_DAYS;
use super::reduce::BandMonth;
use super::spacing::Spacing;
use super::variables::{ANOMALIES, Declared, FIGURES, Figure, LAG_CORRELATION, declared_mean};
use crate::climate::gridded::Quantity;
use crate::climate::reader::{Calendar, NO_YEAR};
use crate::climate::wind::SLOW_HOURS;

/// The number that stands for no value.
const MISSING: i16 = i16::MIN;

/// Rows and columns of a chunk, at most: what a passage needs is read without much of the rest.
pub(super) const CHUNK_ROWS: usize = 90;
const CHUNK_COLUMNS: usize = 180;

const DEFLATE_LEVEL: i32 = 1;

/// A file that is written a part at a time.
pub(super) struct Writer {
    path: PathBuf,
    name: String,
    figures: Vec<&'static Figure>,
    others: Vec<Declared>,
    has_anomalies: bool,
    has_lags: bool,
    has_speed: bool,
    columns: usize,
}

impl Writer {
    /// Begins the file at `path`, which is called `name` in messages.
    ///
    /// # Errors
    /// What the library says.
    pub(super) fn new(
        path: &Path,
        name: &str,
        catalogue: &Catalogue,
        attributes: &[(&'static str, String)],
    ) -> Result<Self, SeriesError> {
        let begin = || -> netcdf::Result<Self> {
            hdf5_metno::silence_errors(true);
            let daily = catalogue.spacing != Spacing::Monthly;
            let has_speed = daily || catalogue.others.contains(&Quantity::WindSpeed);
            let years = catalogue.years();
            let figures = FIGURES.iter().filter(|figure| {
                let of_years = figure.declared.name.ends_with("_year_variance");
                let of_speed = figure.declared.name == "speed";
                (daily || !figure.needs_days)
                    && (!of_years || years.len() > 1)
                    && (!of_speed || has_speed)
            });
            let writer = Self {
                path: path.to_owned(),
                name: name.to_owned(),
                figures: figures.collect(),
                others: catalogue
                    .others
                    .iter()
                    .copied()
                    .filter_map(declared_mean)
                    .collect(),
                has_anomalies: years.len() > 1,
                has_lags: daily,
                has_speed,
                columns: catalogue.longitudes.len(),
            };
            let mut file = netcdf::create_with(path, Options::NETCDF4)?;
            for (name, text) in attributes {
                file.add_attribute(name, text.as_str())?;
            }
            writer.coordinates(&mut file, catalogue, &years)?;
            writer.define(&mut file, catalogue)?;
            file.close()?;
            Ok(writer)
        };
        begin().map_err(not_written(name))
    }

    fn coordinates(
        &self,
        file: &mut FileMut,
        catalogue: &Catalogue,
        years: &[i64],
    ) -> netcdf::Result<()> {
        file.add_dimension("time", 12)?;
        file.add_dimension("bounds", 2)?;
        let axes = [
            ("latitude", "degrees_north", "Y", &catalogue.latitudes),
            ("longitude", "degrees_east", "X", &catalogue.longitudes),
        ];
        for (name, units, letter, axis) in axes {
            file.add_dimension(name, axis.len())?;
            let values: Vec<f64> = (0..axis.len()).map(|place| axis.value_deg(place)).collect();
            let mut variable = file.add_variable::<f64>(name, &[name])?;
            variable.put_attribute("standard_name", name)?;
            variable.put_attribute("units", units)?;
            variable.put_attribute("axis", letter)?;
            variable.put_values(&values, ..)?;
        }
        let (first, last) = match (years.first(), years.last()) {
            (Some(&first), Some(&last)) => (first, last),
            _ => (NO_YEAR, NO_YEAR),
        };
        let calendar = Calendar::Mixed;
        let from = calendar.month_start(first, 0);
        let start = |year: i64, month: usize| {
            let (year, month) = (year + (month / 12) as i64, month % 12);
            (calendar.month_start(year, month) - from) as f64
        };
        let middles: Vec<f64> = (0..12)
            .map(|month| 0.5 * (start(first, month) + start(first, month + 1)))
            .collect();
        let bounds: Vec<f64> = (0..12)
            .flat_map(|month| [start(first, month), start(last, month + 1)])
            .collect();
        let mut variable = file.add_variable::<f64>("time", &["time"])?;
        variable.put_attribute("standard_name", "time")?;
        variable.put_attribute("units", format!("days since {first:04}-01-01").as_str())?;
        variable.put_attribute("calendar", calendar.name())?;
        variable.put_attribute("axis", "T")?;
        variable.put_attribute("climatology", "climatology_bounds")?;
        variable.put_values(&middles, ..)?;
        let mut variable = file.add_variable::<f64>("climatology_bounds", &["time", "bounds"])?;
        variable.put_values(&bounds, ..)?;
        if self.has_anomalies {
            file.add_dimension("year", years.len())?;
            let years: Vec<i32> = years.iter().map(|&year| year as i32).collect();
            let mut variable = file.add_variable::<i32>("year", &["year"])?;
            variable.put_attribute("long_name", "calendar year")?;
            variable.put_attribute("units", "1")?;
            variable.put_values(&years, ..)?;
        }
        if self.has_lags {
            file.add_dimension("lag", LAG_DAYS.len() - 1)?;
            let lags = LAG_DAYS.map(|days| days as i32);
            let mut variable = file.add_variable::<i32>("lag", &["lag"])?;
            variable.put_attribute("long_name", "days apart")?;
            variable.put_attribute("units", "days")?;
            variable.put_values(&lags[1..], ..)?;
        }
        Ok(())
    }

    fn define(&self, file: &mut FileMut, catalogue: &Catalogue) -> netcdf::Result<()> {
        let grid = ["time", "latitude", "longitude"];
        let chunk = [
            1,
            CHUNK_ROWS.min(catalogue.latitudes.len()),
            CHUNK_COLUMNS.min(catalogue.longitudes.len()),
        ];
        let with = |first: &'static str| [[first].as_slice(), &grid].concat();
        let with_chunk = [[1].as_slice(), &chunk].concat();
        let mut all: Vec<(Declared, Vec<&str>, Vec<usize>)> = Vec::new();
        let plain = self.figures.iter().map(|figure| figure.declared);
        for declared in plain.chain(self.others.iter().copied()) {
            all.push((declared, grid.to_vec(), chunk.to_vec()));
        }
        if self.has_lags {
            all.push((LAG_CORRELATION, with("lag"), with_chunk.clone()));
        }
        for declared in self.anomalies() {
            all.push((declared, with("year"), with_chunk.clone()));
        }
        for (declared, dimensions, chunk) in all {
            let mut variable = file.add_variable::<i16>(declared.name, &dimensions)?;
            variable.set_fill_value(MISSING)?;
            variable.set_chunking(&chunk)?;
            variable.set_compression(DEFLATE_LEVEL, true)?;
            variable.put_attribute("long_name", declared.long_name)?;
            if let Some(name) = declared.standard_name {
                variable.put_attribute("standard_name", name)?;
            }
            variable.put_attribute("units", declared.units)?;
            if let Some(methods) = declared.cell_methods {
                variable.put_attribute("cell_methods", methods)?;
            }
            variable.put_attribute("scale_factor", declared.scale)?;
            variable.put_attribute("add_offset", declared.offset)?;
            let comment = match declared.name {
                "u_year_variance" | "v_year_variance" if self.has_lags => Some(
                    "what the weather within months, with the memory fitted, leads to expect is taken \
                     off; at a node the noise of few years may leave less than 0, which belongs in a mean \
                     over many"
                        .to_owned(),
                ),
                "u_year_variance" | "v_year_variance" => Some(
                    "from monthly means: what the weather within months adds is in it".to_owned(),
                ),
                "slow_share" | "fast_hours" => {
                    Some(format!("fitted together; the slow part's time constant is {SLOW_HOURS} hours"))
                }
                _ => None,
            };
            if let Some(comment) = comment {
                variable.put_attribute("comment", comment.as_str())?;
            }
        }
        Ok(())
    }

    fn anomalies(&self) -> Vec<Declared> {
        let kept = ANOMALIES.into_iter();
        kept.filter(|declared| {
            self.has_anomalies && (self.has_speed || declared.name != "speed_anomaly")
        })
        .collect()
    }

    /// Writes a month of some rows. The file is opened for it and closed again, because the library holds
    /// some megabytes of each variable in memory as long as it is open.
    ///
    /// # Errors
    /// A figure that cannot be packed; what the library says: of a full disk only when it closes.
    pub(super) fn put(&self, band: &BandMonth) -> Result<(), SeriesError> {
        let mut file = netcdf::append(&self.path).map_err(not_written(&self.name))?;
        self.put_fields(&mut file, band)?;
        file.close().map_err(not_written(&self.name))
    }

    fn put_fields(&self, file: &mut FileMut, band: &BandMonth) -> Result<(), SeriesError> {
        for figure in &self.figures {
            let values = band.nodes.iter().map(figure.of);
            self.put_field(file, &figure.declared, None, band, values)?;
        }
        for (declared, values) in self.others.iter().zip(&band.others) {
            self.put_field(file, declared, None, band, values.iter().copied())?;
        }
        if self.has_lags {
            for lag in 0..LAG_DAYS.len() - 1 {
                let values = band.nodes.iter().map(|node| node.lag_correlation[lag]);
                self.put_field(file, &LAG_CORRELATION, Some(lag), band, values)?;
            }
        }
        for (component, declared) in self.anomalies().iter().enumerate() {
            for (year, nodes) in band.anomalies.iter().enumerate() {
                let values = nodes.iter().map(|mean| mean[component]);
                self.put_field(file, declared, Some(year), band, values)?;
            }
        }
        Ok(())
    }

    fn put_field(
        &self,
        file: &mut FileMut,
        declared: &Declared,
        outer: Option<usize>,
        band: &BandMonth,
        values: impl Iterator<Item = f32>,
    ) -> Result<(), SeriesError> {
        let stored: Vec<i16> = values
            .map(|value| packed(declared, value))
            .collect::<Result<_, _>>()?;
        let grid: (usize, Range<usize>, Range<usize>) =
            (band.month, band.rows.clone(), 0..self.columns);
        let mut put = || -> netcdf::Result<()> {
            let mut variable = file
                .variable_mut(declared.name)
                .ok_or_else(|| netcdf::Error::NotFound(declared.name.to_owned()))?;
            match outer {
                None => variable.put_values(&stored, grid.clone()),
                Some(outer) => {
                    let (month, rows, columns) = grid.clone();
                    variable.put_values(&stored, (outer, month, rows, columns))
                }
            }
        };
        put().map_err(not_written(&self.name))
    }
}

fn not_written(name: &str) -> impl Fn(netcdf::Error) -> SeriesError + '_ {
    |error| SeriesError::NotWritten {
        file: name.to_owned(),
        reason: error.to_string(),
    }
}

/// A value as it is stored; refused where the packing does not reach it.
fn packed(declared: &Declared, value: f32) -> Result<i16, SeriesError> {
    if value.is_nan() {
        return Ok(MISSING);
    }
    let stored = ((f64::from(value) - declared.offset) / declared.scale).round();
    if stored.abs() <= f64::from(i16::MAX) {
        return Ok(stored as i16);
    }
    Err(SeriesError::Unwritable {
        what: declared.long_name,
        found: value,
        unit: declared.units,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_packing_does_not_reach_is_refused() {
        let u = &FIGURES[0].declared;
        assert_eq!(packed(u, 1.0).unwrap(), 500);
        assert_eq!(packed(u, f32::NAN).unwrap(), MISSING);
        assert!(packed(u, 70.0).is_err());
    }
}
