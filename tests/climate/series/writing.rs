//! Writes series of winds as NetCDF, and reads what was measured.

use std::path::{Path, PathBuf};

use offing::climate::{
    MeasuredWinds, Region, SeriesError, SourceOptions, Unfinished, WindSeries, measure_winds,
};

/// One file of a series. Values are by step, latitude and longitude.
#[derive(Debug, Clone)]
pub struct SeriesFile {
    pub latitudes_deg: Vec<f64>,
    pub longitudes_deg: Vec<f64>,
    pub units: String,
    pub calendar: Option<&'static str>,
    pub times: Vec<f64>,
    /// When each step's mean begins and ends, in the same units.
    pub bounds: Option<Vec<[f64; 2]>>,
    /// Name, units and values; none writes no units.
    pub variables: Vec<(&'static str, Option<&'static str>, Vec<f32>)>,
    pub cell_methods: Option<&'static str>,
    /// Latitude and longitude before time.
    pub time_last: bool,
}

impl SeriesFile {
    /// Hours since 2001, on two rows and three columns.
    pub fn new(times: Vec<f64>) -> Self {
        Self {
            latitudes_deg: vec![-30.0, -28.0],
            longitudes_deg: vec![80.0, 82.0, 84.0],
            units: "hours since 2001-01-01".to_owned(),
            calendar: None,
            times,
            bounds: None,
            variables: Vec::new(),
            cell_methods: None,
            time_last: false,
        }
    }

    pub fn nodes(&self) -> usize {
        self.latitudes_deg.len() * self.longitudes_deg.len()
    }

    /// With a variable in m/s whose value is `value(step, node)`.
    pub fn with(mut self, name: &'static str, value: impl Fn(usize, usize) -> f64) -> Self {
        let nodes = self.nodes();
        let values = (0..self.times.len() * nodes)
            .map(|place| value(place / nodes, place % nodes) as f32)
            .collect();
        self.variables.push((name, Some("m s-1"), values));
        self
    }

    /// The steps of these numbers, in this order.
    pub fn steps(&self, wanted: &[usize]) -> Self {
        let nodes = self.nodes();
        let mut part = self.clone();
        part.times = wanted.iter().map(|&step| self.times[step]).collect();
        for (_, _, values) in &mut part.variables {
            let of_step = |&step: &usize| values[step * nodes..(step + 1) * nodes].to_vec();
            *values = wanted.iter().flat_map(of_step).collect();
        }
        part
    }

    /// Only the variable of this name.
    pub fn only(&self, name: &str) -> Self {
        let mut part = self.clone();
        part.variables.retain(|(one, ..)| *one == name);
        part
    }

    pub fn write(&self, folder: &Path, name: &str) -> PathBuf {
        hdf5_metno::silence_errors(true);
        let path = folder.join(name);
        let mut file = netcdf::create(&path).unwrap();
        file.add_attribute("title", "invented winds").unwrap();
        for (name, units, values) in [
            ("lat", "degrees_north", &self.latitudes_deg),
            ("lon", "degrees_east", &self.longitudes_deg),
            ("time", self.units.as_str(), &self.times),
        ] {
            file.add_dimension(name, values.len()).unwrap();
            let mut axis = file.add_variable::<f64>(name, &[name]).unwrap();
            axis.put_attribute("units", units).unwrap();
            if let (Some(calendar), "time") = (self.calendar, name) {
                axis.put_attribute("calendar", calendar).unwrap();
            }
            if self.bounds.is_some() && name == "time" {
                axis.put_attribute("bounds", "time_bounds").unwrap();
            }
            axis.put_values(values, ..).unwrap();
        }
        if let Some(bounds) = &self.bounds {
            file.add_dimension("pair", 2).unwrap();
            let mut variable = file
                .add_variable::<f64>("time_bounds", &["time", "pair"])
                .unwrap();
            variable.put_values(bounds.as_flattened(), ..).unwrap();
        }
        let (steps, nodes) = (self.times.len(), self.nodes());
        for (name, units, values) in &self.variables {
            let dimensions = if self.time_last {
                ["lat", "lon", "time"]
            } else {
                ["time", "lat", "lon"]
            };
            let mut variable = file.add_variable::<f32>(name, &dimensions).unwrap();
            if let Some(units) = units {
                variable.put_attribute("units", *units).unwrap();
            }
            if let Some(methods) = self.cell_methods {
                variable.put_attribute("cell_methods", methods).unwrap();
            }
            if self.time_last {
                let turned: Vec<f32> = (0..values.len())
                    .map(|place| values[place % steps * nodes + place / steps])
                    .collect();
                variable.put_values(&turned, ..).unwrap();
            } else {
                variable.put_values(values, ..).unwrap();
            }
        }
        file.close().unwrap();
        path
    }
}

/// All there is in these files, measured to `out.nc` in `folder`.
pub fn measured(folder: &Path, files: &[PathBuf]) -> Result<MeasuredWinds, SeriesError> {
    measured_part(folder, files, Region::world(), None)
}

pub fn measured_part(
    folder: &Path,
    files: &[PathBuf],
    area: Region,
    years: Option<(i64, i64)>,
) -> Result<MeasuredWinds, SeriesError> {
    let series = WindSeries {
        files: files.to_vec(),
        options: SourceOptions::default(),
        area,
        years,
        command: "a test".to_owned(),
        unfinished: Unfinished::beside(&folder.join("out.nc")),
    };
    measure_winds(&series, &folder.join("out.nc"), "out.nc", &mut |_| {})
}

/// A refusal's words.
pub fn refused(folder: &Path, files: &[PathBuf]) -> String {
    measured(folder, files)
        .expect_err("files to be refused")
        .to_string()
}

/// A variable of `out.nc` in `folder`, unpacked, NaN where missing.
pub fn values(folder: &Path, name: &str) -> Vec<f64> {
    hdf5_metno::silence_errors(true);
    let file = netcdf::open(folder.join("out.nc")).unwrap();
    let variable = file.variable(name).unwrap_or_else(|| panic!("no {name}"));
    let number = |name: &str| match variable.attribute_value(name).unwrap().unwrap() {
        netcdf::AttributeValue::Double(number) => number,
        other => panic!("{other:?}"),
    };
    let (scale, offset) = (number("scale_factor"), number("add_offset"));
    let stored = variable.get_values::<i16, _>(..).unwrap();
    let value = |stored: i16| match stored {
        i16::MIN => f64::NAN,
        stored => f64::from(stored) * scale + offset,
    };
    stored.into_iter().map(value).collect()
}

/// Whether `out.nc` has a variable.
pub fn has(folder: &Path, name: &str) -> bool {
    hdf5_metno::silence_errors(true);
    netcdf::open(folder.join("out.nc"))
        .unwrap()
        .variable(name)
        .is_some()
}

/// The mean of the numbers that are there.
pub fn mean(values: &[f64]) -> f64 {
    let known: Vec<f64> = values
        .iter()
        .copied()
        .filter(|value| !value.is_nan())
        .collect();
    assert!(!known.is_empty());
    known.iter().sum::<f64>() / known.len() as f64
}
