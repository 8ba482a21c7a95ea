//! Writes the same invented climate in the ways climate files are written.

use std::path::{Path, PathBuf};

use netcdf::{FileMut, Options};
use offing::units::MS_PER_KN;

/// Every value is a whole number of these, so that all ways to store it keep it exactly.
const QUANTUM_MS: f64 = 0.25;

/// A kind of NetCDF file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    Netcdf4,
    Netcdf4Classic,
    Classic,
    Offset64,
    Data64,
}

impl Kind {
    fn options(self) -> Options {
        match self {
            Self::Netcdf4 => Options::NETCDF4,
            Self::Netcdf4Classic => Options::NETCDF4 | Options::CLASSIC,
            Self::Classic => Options::empty(),
            Self::Offset64 => Options::_64BIT_OFFSET,
            Self::Data64 => Options::_64BIT_DATA,
        }
    }
}

/// How numbers are stored.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Storage {
    Double,
    Single,
    /// 16-bit integers with `scale_factor` and `add_offset`.
    Packed,
    /// Bytes 0 to 255 with `scale_factor` and `add_offset`.
    UnsignedByte,
    /// The same in signed bytes marked `_Unsigned`.
    MarkedByte,
}

/// How a missing value is told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Missing {
    FillValue,
    OtherValue,
    Nan,
    ValidRange,
    /// By the number the library leaves where nothing was written.
    NeverWritten,
}

/// How the twelve steps are dated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Time {
    DaysSince,
    HoursSinceYearOne,
    MonthNumbers,
    Undated,
    /// July first.
    JulyFirst,
    /// All in January.
    AllJanuary,
    /// On the first of each month, January's first.
    MonthBegins,
    /// When each month ends, January's first: on the first of the next.
    MonthEnds,
}

/// One way to write the climate.
#[derive(Debug, Clone)]
pub struct Make {
    pub kind: Kind,
    pub order: [&'static str; 3],
    pub latitudes_deg: Vec<f64>,
    pub longitudes_deg: Vec<f64>,
    pub storage: Storage,
    pub missing: Missing,
    pub time: Time,
    pub steps: usize,
    /// Names of latitude, longitude, u, v and speed.
    pub names: [&'static str; 5],
    pub standard_names: bool,
    /// `None` writes no units.
    pub units: Option<&'static str>,
    pub with_speed: bool,
    /// A dimension of length 1 in front: its name, unit and value.
    pub level: Option<(&'static str, &'static str, f64)>,
    /// A scalar coordinate named in the winds' attribute `coordinates`: its name, unit and value.
    pub scalar: Option<(&'static str, &'static str, f64)>,
    /// The attribute of `time` that names its bounds, and when each step begins and ends, in days
    /// since 1 January 1990.
    pub bounds: Option<(&'static str, Vec<[f64; 2]>)>,
    /// Every wind is this much stronger.
    pub factor: f64,
}

/// Days of 1990 at which its months begin, and that at which the year ends.
pub const MONTH_EDGES: [f64; 13] = [
    0.0, 31.0, 59.0, 90.0, 120.0, 151.0, 181.0, 212.0, 243.0, 273.0, 304.0, 334.0, 365.0,
];

impl Make {
    /// NetCDF-4 in doubles, a world grid of 10 degrees, in the manner of the CF conventions.
    pub fn plain() -> Self {
        Self {
            kind: Kind::Netcdf4,
            order: ["time", "lat", "lon"],
            latitudes_deg: (0..18).map(|row| -85.0 + 10.0 * f64::from(row)).collect(),
            longitudes_deg: (0..36)
                .map(|column| 5.0 + 10.0 * f64::from(column))
                .collect(),
            storage: Storage::Double,
            missing: Missing::FillValue,
            time: Time::DaysSince,
            steps: 12,
            names: ["latitude", "longitude", "eastward", "northward", "strength"],
            standard_names: true,
            units: Some("m s-1"),
            with_speed: true,
            level: None,
            scalar: None,
            bounds: None,
            factor: 1.0,
        }
    }

    pub fn write(&self, folder: &Path) -> PathBuf {
        // The library prints what it did not find, on every thread but the first.
        hdf5_metno::silence_errors(true);
        let path = folder.join("climate.nc");
        let mut file = netcdf::create_with(&path, self.kind.options()).expect("create");
        self.define(&mut file);
        file.enddef().expect("end of definitions");
        self.put_coordinates(&mut file);
        self.put_winds(&mut file);
        file.close().expect("close");
        path
    }

    fn dimension_name(&self, role: &'static str) -> &'static str {
        match role {
            "lat" => self.names[0],
            "lon" => self.names[1],
            other => other,
        }
    }

    fn define(&self, file: &mut FileMut) {
        file.add_attribute("title", "an invented climate")
            .expect("attribute");
        file.add_dimension("time", self.steps).expect("dimension");
        file.add_dimension(self.names[0], self.latitudes_deg.len())
            .expect("dimension");
        file.add_dimension(self.names[1], self.longitudes_deg.len())
            .expect("dimension");
        for (name, units) in [
            (self.names[0], "degrees_north"),
            (self.names[1], "degrees_east"),
        ] {
            let mut variable = file.add_variable::<f64>(name, &[name]).expect("variable");
            variable.put_attribute("units", units).expect("attribute");
        }
        if self.time != Time::Undated {
            let mut variable = file
                .add_variable::<f64>("time", &["time"])
                .expect("variable");
            let units = match self.time {
                Time::HoursSinceYearOne => "hours since 1-1-1 00:00:0.0",
                Time::MonthNumbers => "month",
                _ => "days since 1990-01-01",
            };
            variable.put_attribute("units", units).expect("attribute");
            if let Some((attribute, pairs)) = &self.bounds {
                variable
                    .put_attribute(attribute, "time_edges")
                    .expect("attribute");
                if !pairs.is_empty() {
                    file.add_dimension("edge", 2).expect("dimension");
                    file.add_variable::<f64>("time_edges", &["time", "edge"])
                        .expect("variable");
                }
            }
        }
        if let Some((name, units, _)) = self.scalar {
            let mut scalar = file.add_variable::<f64>(name, &[]).expect("variable");
            scalar.put_attribute("units", units).expect("attribute");
        }
        let mut order: Vec<&str> = self
            .order
            .iter()
            .map(|role| self.dimension_name(role))
            .collect();
        if let Some((name, units, _)) = self.level {
            file.add_dimension(name, 1).expect("dimension");
            let mut level = file.add_variable::<f64>(name, &[name]).expect("variable");
            level.put_attribute("units", units).expect("attribute");
            order.insert(0, name);
        }
        for field in 0..if self.with_speed { 3 } else { 2 } {
            self.define_wind(file, field, &order);
        }
    }

    fn define_wind(&self, file: &mut FileMut, field: usize, order: &[&str]) {
        let name = self.names[2 + field];
        let mut variable = match self.storage {
            Storage::Double => file.add_variable::<f64>(name, order),
            Storage::Single => file.add_variable::<f32>(name, order),
            Storage::Packed => file.add_variable::<i16>(name, order),
            Storage::UnsignedByte => file.add_variable::<u8>(name, order),
            Storage::MarkedByte => file.add_variable::<i8>(name, order),
        }
        .expect("variable");
        if self.standard_names {
            let standard_name = ["eastward_wind", "northward_wind", "wind_speed"][field];
            variable
                .put_attribute("standard_name", standard_name)
                .expect("attribute");
        }
        if let Some(units) = self.units {
            variable.put_attribute("units", units).expect("attribute");
        }
        if let Some((name, ..)) = self.scalar {
            let coordinates = format!("latitude longitude member {name}");
            variable
                .put_attribute("coordinates", coordinates)
                .expect("attribute");
        }
        if self.is_packed() {
            variable
                .put_attribute("scale_factor", QUANTUM_MS)
                .expect("attribute");
            variable
                .put_attribute("add_offset", self.offset_ms())
                .expect("attribute");
        }
        if self.storage == Storage::MarkedByte {
            variable
                .put_attribute("_Unsigned", "true")
                .expect("attribute");
        }
        let name = match self.missing {
            Missing::FillValue => "_FillValue",
            Missing::OtherValue => "missing_value",
            Missing::ValidRange => {
                variable
                    .put_attribute("valid_range", vec![-300.0, 300.0])
                    .expect("attribute");
                return;
            }
            Missing::Nan | Missing::NeverWritten => return,
        };
        let stored = self.missing_stored();
        match self.storage {
            Storage::Double => variable.put_attribute(name, stored),
            // A double beside singles, as some files have it.
            Storage::Single if self.missing == Missing::OtherValue => {
                variable.put_attribute(name, stored)
            }
            Storage::Single => variable.put_attribute(name, stored as f32),
            Storage::Packed => variable.put_attribute(name, stored as i16),
            Storage::UnsignedByte => variable.put_attribute(name, stored as u8),
            Storage::MarkedByte => variable.put_attribute(name, (stored - 256.0) as i8),
        }
        .expect("attribute");
    }

    fn put_coordinates(&self, file: &mut FileMut) {
        let mut put = |name: &str, values: &[f64]| {
            file.variable_mut(name)
                .expect("variable")
                .put_values(values, ..)
                .expect("values");
        };
        put(self.names[0], &self.latitudes_deg);
        put(self.names[1], &self.longitudes_deg);
        if let Some((name, _, value)) = self.level {
            put(name, &[value]);
        }
        if let Some((name, _, value)) = self.scalar {
            put(name, &[value]);
        }
        if self.time == Time::Undated {
            return;
        }
        if let Some((_, pairs)) = &self.bounds
            && !pairs.is_empty()
        {
            put("time_edges", pairs.as_flattened());
        }
        let steps: Vec<f64> = (0..self.steps)
            .map(|step| {
                let middle_days = 15.0 + 30.4 * step as f64;
                match self.time {
                    Time::HoursSinceYearOne => 24.0 * middle_days,
                    Time::MonthNumbers => 1.0 + step as f64,
                    Time::JulyFirst => middle_days + 181.5,
                    Time::AllJanuary => step as f64,
                    Time::MonthBegins => MONTH_EDGES[step],
                    Time::MonthEnds => MONTH_EDGES[step + 1],
                    _ => middle_days,
                }
            })
            .collect();
        put("time", &steps);
    }

    fn put_winds(&self, file: &mut FileMut) {
        let length = |role: &str| match role {
            "time" => self.steps,
            "lat" => self.latitudes_deg.len(),
            _ => self.longitudes_deg.len(),
        };
        let [slow, middle, fast] = self.order.map(length);
        for field in 0..if self.with_speed { 3 } else { 2 } {
            let mut stored = Vec::with_capacity(slow * middle * fast);
            for a in 0..slow {
                for b in 0..middle {
                    for c in 0..fast {
                        let place = |role| {
                            let position = self.order.iter().position(|&name| name == role);
                            [a, b, c][position.expect("a dimension")]
                        };
                        let month = match self.time {
                            Time::JulyFirst => (place("time") + 6) % 12,
                            _ => place("time"),
                        };
                        let wind = wind(
                            self.latitudes_deg[place("lat")],
                            self.longitudes_deg[place("lon")],
                            month,
                        );
                        stored.push(
                            wind.map_or(self.missing_stored(), |wind| self.stored(wind[field])),
                        );
                    }
                }
            }
            self.put(file, self.names[2 + field], &stored);
        }
    }

    fn put(&self, file: &mut FileMut, name: &str, stored: &[f64]) {
        let mut variable = file.variable_mut(name).expect("variable");
        match self.storage {
            Storage::Double => variable.put_values(stored, ..),
            Storage::Single => {
                let stored: Vec<f32> = stored.iter().map(|&number| number as f32).collect();
                variable.put_values(&stored, ..)
            }
            Storage::Packed => {
                let stored: Vec<i16> = stored.iter().map(|&number| number as i16).collect();
                variable.put_values(&stored, ..)
            }
            Storage::UnsignedByte => {
                let stored: Vec<u8> = stored.iter().map(|&number| number as u8).collect();
                variable.put_values(&stored, ..)
            }
            Storage::MarkedByte => {
                let stored: Vec<i8> = stored.iter().map(|&number| number as u8 as i8).collect();
                variable.put_values(&stored, ..)
            }
        }
        .expect("values");
    }

    fn is_packed(&self) -> bool {
        !matches!(self.storage, Storage::Double | Storage::Single)
    }

    fn offset_ms(&self) -> f64 {
        match self.storage {
            Storage::UnsignedByte | Storage::MarkedByte => -25.0,
            _ => 2.0,
        }
    }

    fn missing_stored(&self) -> f64 {
        match (self.missing, self.storage) {
            (Missing::Nan, _) => f64::NAN,
            (Missing::NeverWritten, Storage::Packed) => -32_767.0,
            (Missing::NeverWritten, _) => 9.969_209_968_386_869e36,
            (_, Storage::Double | Storage::Single) => 1e20,
            (_, Storage::Packed) => -32_000.0,
            (_, Storage::UnsignedByte | Storage::MarkedByte) => 255.0,
        }
    }

    fn stored(&self, wind_ms: f64) -> f64 {
        let wind = self.factor
            * match self.units {
                Some("knots") => wind_ms / MS_PER_KN,
                Some("km/h") => wind_ms * 3.6,
                _ => wind_ms,
            };
        if self.is_packed() {
            ((wind - self.offset_ms()) / QUANTUM_MS).round()
        } else {
            wind
        }
    }
}

/// The invented wind, m/s: toward the east, toward the north, and mean speed. There is land from
/// 20 S to 20 N between 40 E and 70 E.
pub fn wind(latitude_deg: f64, longitude_deg: f64, month: usize) -> Option<[f64; 3]> {
    let longitude_deg = longitude_deg.rem_euclid(360.0);
    if latitude_deg.abs() < 20.0 && (40.0..70.0).contains(&longitude_deg) {
        return None;
    }
    let season = (month as f64 / 12.0 * std::f64::consts::TAU).cos();
    let u_ms = 8.0 * (3.0 * latitude_deg).to_radians().sin() + 3.0 * season;
    let v_ms = 5.0 * longitude_deg.to_radians().cos() + season;
    let quantum = |value_ms: f64| (value_ms / QUANTUM_MS).round() * QUANTUM_MS;
    let (u_ms, v_ms) = (quantum(u_ms), quantum(v_ms));
    Some([
        u_ms,
        v_ms,
        quantum(u_ms.hypot(v_ms) + 2.0 + latitude_deg.abs() / 30.0),
    ])
}
