//! What a guarded process is asked, and what it has read: plain numbers, taken for a climate only
//! once they can be one.

use ndarray::{Array3, Array4};
use serde::{Deserialize, Serialize};

use super::wire::Malformed;
use crate::climate::axis::Axis;
use crate::climate::currents::{CurrentField, Currents};
use crate::climate::grid::{Climate, Provenance, WindFields};
use crate::climate::month::Month;
use crate::climate::region::Region;
use crate::climate::source::{CurrentOptions, SourceOptions};
use crate::climate::years::{Anomalies, Years};

/// What is to be read from the file.
#[derive(Debug, Serialize, Deserialize)]
pub(super) enum Request {
    /// [`WindsRead`] is the answer.
    Winds(SourceOptions, Region),
    /// [`CurrentsRead`] is the answer.
    Currents(CurrentOptions, Region),
    /// [`YearsRead`] is the answer.
    Years(SourceOptions, Region),
}

/// The two axes of a grid.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct GridRead {
    latitudes_deg: Vec<f64>,
    longitudes_deg: Vec<f64>,
    cyclic: bool,
}

/// A climate's fields, each by month, latitude and longitude.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct WindsRead {
    grid: GridRead,
    u_ms: Vec<f32>,
    v_ms: Vec<f32>,
    s_ms: Vec<f32>,
    air_temperature_c: Option<Vec<f32>>,
    replaced: Option<Vec<bool>>,
    provenance: Provenance,
}

/// The fields of currents, by month or for the year, latitude and longitude.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct CurrentsRead {
    grid: GridRead,
    monthly: bool,
    east_kn: Vec<f32>,
    north_kn: Vec<f32>,
    not_applied: Option<Vec<bool>>,
    label: String,
    notes: Vec<String>,
}

/// The departures of real years, each by year, month, latitude and longitude.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct YearsRead {
    grid: GridRead,
    years: Vec<i64>,
    u_ms: Vec<f32>,
    v_ms: Vec<f32>,
    label: String,
    notes: Vec<String>,
}

impl GridRead {
    fn of(latitudes: Axis, longitudes: Axis) -> Self {
        let (longitudes_deg, cyclic) = longitudes.into_parts();
        Self {
            latitudes_deg: latitudes.into_parts().0,
            longitudes_deg,
            cyclic,
        }
    }

    fn into_axes(self) -> Result<(Axis, Axis), Malformed> {
        let ascend = |values_deg: &[f64]| {
            !values_deg.is_empty()
                && values_deg.iter().all(|value| value.is_finite())
                && values_deg.windows(2).all(|pair| pair[0] < pair[1])
        };
        let turn_deg = |values_deg: &[f64]| values_deg[values_deg.len() - 1] - values_deg[0];
        if ascend(&self.latitudes_deg)
            && ascend(&self.longitudes_deg)
            && turn_deg(&self.longitudes_deg) <= 360.0
        {
            let latitudes = Axis::new(self.latitudes_deg, false);
            return Ok((latitudes, Axis::new(self.longitudes_deg, self.cyclic)));
        }
        Err(Malformed)
    }

    fn shape(&self, steps: usize) -> [usize; 3] {
        [steps, self.latitudes_deg.len(), self.longitudes_deg.len()]
    }
}

fn plain<T>(field: Array3<T>) -> Vec<T> {
    field.into_iter().collect()
}

fn field<T>(shape: [usize; 3], values: Vec<T>) -> Result<Array3<T>, Malformed> {
    Array3::from_shape_vec(shape, values).map_err(|_| Malformed)
}

/// A field of numbers, NaN where there is no value.
fn numbers(shape: [usize; 3], values: Vec<f32>) -> Result<Array3<f32>, Malformed> {
    if values.iter().any(|value| value.is_infinite()) {
        return Err(Malformed);
    }
    field(shape, values)
}

impl From<Climate> for WindsRead {
    fn from(climate: Climate) -> Self {
        Self {
            grid: GridRead::of(climate.latitudes, climate.longitudes),
            u_ms: plain(climate.wind.u_ms),
            v_ms: plain(climate.wind.v_ms),
            s_ms: plain(climate.wind.s_ms),
            air_temperature_c: climate.air_temperature_c.map(plain),
            replaced: climate.replaced.map(plain),
            provenance: climate.provenance,
        }
    }
}

impl TryFrom<WindsRead> for Climate {
    type Error = Malformed;

    fn try_from(read: WindsRead) -> Result<Self, Malformed> {
        let shape = read.grid.shape(Month::ALL.len());
        let (latitudes, longitudes) = read.grid.into_axes()?;
        if read.s_ms.iter().any(|&s_ms| s_ms <= 0.0) {
            return Err(Malformed);
        }
        Ok(Self {
            latitudes,
            longitudes,
            wind: WindFields {
                u_ms: numbers(shape, read.u_ms)?,
                v_ms: numbers(shape, read.v_ms)?,
                s_ms: numbers(shape, read.s_ms)?,
            },
            air_temperature_c: read
                .air_temperature_c
                .map(|values| numbers(shape, values))
                .transpose()?,
            replaced: read
                .replaced
                .map(|values| field(shape, values))
                .transpose()?,
            currents: Currents::None,
            provenance: read.provenance,
        })
    }
}

impl From<CurrentField> for CurrentsRead {
    fn from(read: CurrentField) -> Self {
        Self {
            monthly: read.is_monthly(),
            grid: GridRead::of(read.latitudes, read.longitudes),
            east_kn: plain(read.east_kn),
            north_kn: plain(read.north_kn),
            not_applied: read.not_applied.map(plain),
            label: read.label,
            notes: read.notes,
        }
    }
}

impl TryFrom<CurrentsRead> for CurrentField {
    type Error = Malformed;

    fn try_from(read: CurrentsRead) -> Result<Self, Malformed> {
        let steps = if read.monthly { Month::ALL.len() } else { 1 };
        let shape = read.grid.shape(steps);
        Ok(Self::new(
            read.grid.into_axes()?,
            (
                numbers(shape, read.east_kn)?,
                numbers(shape, read.north_kn)?,
            ),
            read.not_applied
                .map(|values| field(shape, values))
                .transpose()?,
            (read.label, read.notes),
        ))
    }
}

impl From<Years> for YearsRead {
    fn from(read: Years) -> Self {
        let plain = |field: Array4<f32>| field.into_iter().collect();
        Self {
            grid: GridRead::of(read.latitudes, read.longitudes),
            years: read.years,
            u_ms: plain(read.anomalies.u_ms),
            v_ms: plain(read.anomalies.v_ms),
            label: read.label,
            notes: read.notes,
        }
    }
}

impl TryFrom<YearsRead> for Years {
    type Error = Malformed;

    fn try_from(read: YearsRead) -> Result<Self, Malformed> {
        let [months, rows, columns] = read.grid.shape(Month::ALL.len());
        let shape = [read.years.len(), months, rows, columns];
        let field = |values: Vec<f32>| {
            if values.iter().any(|value| value.is_infinite()) {
                return Err(Malformed);
            }
            Array4::from_shape_vec(shape, values).map_err(|_| Malformed)
        };
        if !read.years.is_sorted_by(|a, b| a < b) {
            return Err(Malformed);
        }
        let (latitudes, longitudes) = read.grid.into_axes()?;
        Ok(Self {
            latitudes,
            longitudes,
            years: read.years,
            anomalies: Anomalies {
                u_ms: field(read.u_ms)?,
                v_ms: field(read.v_ms)?,
            },
            label: read.label,
            notes: read.notes,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn indian_ocean() -> Region {
        Region::between(-40.0, -20.0, 30.0, 120.0)
    }

    #[test]
    fn what_was_read_is_the_same_after_the_way() {
        for region in [indian_ocean(), Region::world()] {
            let climate = Climate::ship_winds(&region).expect("the ship winds");
            let back = Climate::try_from(WindsRead::from(climate.clone())).expect("sound");
            // Debug, for a missing value is not equal to itself.
            assert_eq!(format!("{back:?}"), format!("{climate:?}"));
            let Currents::Field(currents) = Currents::drifters(&region).expect("the drifters")
            else {
                panic!("no field");
            };
            let back = CurrentField::try_from(CurrentsRead::from((*currents).clone()));
            assert_eq!(
                format!("{:?}", back.expect("sound")),
                format!("{currents:?}")
            );
            let years = Years::navy(&region).expect("the years");
            let back = Years::try_from(YearsRead::from(years.clone())).expect("sound");
            assert_eq!(format!("{back:?}"), format!("{years:?}"));
        }
    }

    #[test]
    fn numbers_that_make_no_climate_are_refused() {
        let spoilt: [fn(&mut WindsRead); 7] = [
            |read| read.u_ms.truncate(3),
            |read| read.v_ms[3] = f32::INFINITY,
            |read| read.s_ms[3] = 0.0,
            |read| read.grid.latitudes_deg.reverse(),
            |read| read.grid.longitudes_deg[0] = f64::NAN,
            |read| read.grid.longitudes_deg[0] -= 360.0,
            |read| read.replaced = Some(vec![true; 5]),
        ];
        for spoil in spoilt {
            let climate = Climate::ship_winds(&indian_ocean()).expect("the ship winds");
            let mut read = WindsRead::from(climate);
            spoil(&mut read);
            assert_eq!(Climate::try_from(read).map(drop), Err(Malformed));
        }
        let spoilt: [fn(&mut YearsRead); 4] = [
            |read| read.u_ms.truncate(3),
            |read| read.v_ms[3] = f32::INFINITY,
            |read| read.years.reverse(),
            |read| read.grid.latitudes_deg.clear(),
        ];
        for spoil in spoilt {
            let mut read = YearsRead::from(Years::navy(&indian_ocean()).expect("the years"));
            spoil(&mut read);
            assert_eq!(Years::try_from(read).map(drop), Err(Malformed));
        }
    }
}
