//! What `offing winds` measured besides the means and variances: memory, gales and calms, waves, currents.

use ndarray::{Array3, Zip};
use netcdf::File;

use super::fields;
use super::layout::Steps;
use super::part::Field;
use super::variables;
use crate::climate::currents::{CurrentField, Currents};
use crate::climate::error::ClimateFault;
use crate::climate::gridded::{MOST_CURRENT_KN, Part, Quantity};
use crate::climate::measured::{MeasuredField, MeasuredFields};
use crate::climate::rice::LEAST_DEVIATION_MS;

/// The variable of the covariance of u and v.
const COVARIANCE: &str = "uv_covariance";
/// Those of a mean current toward the east and the north.
const CURRENTS: [&str; 2] = ["current_east", "current_north"];
/// That of the mean significant wave height.
const WAVE_HEIGHT: &str = "wave_height";

/// A field whose unit is not that of any quantity a file of others may have: its variable, unit and
/// plausible values.
type Plain = (MeasuredField, &'static str, (&'static str, f64, f64));

/// Memory and counts. The fast part's time constant is looked for from 2 to 200 hours.
const PLAIN: [Plain; 4] = [
    (MeasuredField::SlowShare, "slow_share", ("1", 0.0, 1.0)),
    (
        MeasuredField::FastHours,
        "fast_hours",
        ("hours", 1.0, 300.0),
    ),
    (MeasuredField::GaleShare, "gale_share", ("1", 0.0, 1.0)),
    (MeasuredField::CalmShare, "calm_share", ("1", 0.0, 1.0)),
];

/// How far a covariance may pass the variances' geometric mean by their packing, (m/s)².
const PACKING_MS2: f64 = 0.05;

/// Reads them in a file that has the variances of the wind on the grid of `winds`.
pub(super) fn read_measured(
    file: &File,
    part: &Part,
    winds: &Field<'_>,
    [u_variance, v_variance]: [&Array3<f32>; 2],
) -> Result<MeasuredFields, ClimateFault> {
    let mut measured = MeasuredFields::default();
    if let Some(variable) = variables::by_name(file, COVARIANCE) {
        let unit = ("m2 s-2", -10_000.0, 10_000.0);
        let field = Field::plain(file, variable, unit)?;
        let covariance = values(part, winds, &field)?;
        let [east, with, north] = scatter(part, [u_variance, v_variance, &covariance])?;
        measured.set(MeasuredField::East, east);
        measured.set(MeasuredField::NorthWithEast, with);
        measured.set(MeasuredField::North, north);
    }
    for (kind, name, unit) in PLAIN {
        if let Some(variable) = variables::by_name(file, name) {
            let field = Field::plain(file, variable, unit)?;
            let values = values(part, winds, &field)?;
            if values.iter().any(|value| !value.is_nan()) {
                measured.set(kind, values);
            }
        }
    }
    if let Some(variable) = variables::by_name(file, WAVE_HEIGHT) {
        let field = Field::new(file, variable, Quantity::WaveHeight, Steps::Twelve)?;
        let values = values(part, winds, &field)?;
        if values.iter().any(|value| !value.is_nan()) {
            measured.set(MeasuredField::WaveHeight, values);
        }
    }
    Ok(measured)
}

/// Reads the currents of such a file; none where it has none here.
pub(super) fn read_currents(
    file: &File,
    name: &str,
    part: &Part,
    winds: &Field<'_>,
) -> Result<Currents, ClimateFault> {
    let [Some(east), Some(north)] = CURRENTS.map(|name| variables::by_name(file, name)) else {
        return Ok(Currents::None);
    };
    let east = Field::new(file, east, Quantity::EastwardCurrent, Steps::Twelve)?;
    let north = Field::new(file, north, Quantity::NorthwardCurrent, Steps::Twelve)?;
    let (east_kn, mut north_kn) = (values(part, winds, &east)?, values(part, winds, &north)?);
    part.check_speed(
        (&east.variable.name(), &east_kn),
        (&north.variable.name(), &north_kn),
        ("kn", MOST_CURRENT_KN),
    )?;
    // Half a vector is none.
    Zip::from(&mut north_kn)
        .and(&east_kn)
        .for_each(|north_kn, east_kn| {
            if east_kn.is_nan() {
                *north_kn = f32::NAN;
            }
        });
    if north_kn.iter().all(|north_kn| north_kn.is_nan()) {
        return Ok(Currents::None);
    }
    let axes = (part.rows.axis.clone(), part.columns.axis.clone());
    let note = "the currents are the monthly means of the climate's own file, in place of those of the \
                drifters; `[current] use = \"drifters\"` takes these";
    let about = (fields::label(file, name), vec![note.to_owned()]);
    let field = CurrentField::new(axes, (east_kn, north_kn), None, about).of_the_climate();
    Ok(Currents::Field(Box::new(field)))
}

/// A field's values, on the grid of the winds.
fn values(part: &Part, winds: &Field<'_>, field: &Field<'_>) -> Result<Array3<f32>, ClimateFault> {
    let grid = (&winds.layout, &winds.variable);
    field.layout.require_same_grid(&field.variable, grid)?;
    part.read_or_nothing(field, 1.0)
}

/// The three figures of a wind's scatter, of the two variances and the covariance. What is less than the
/// least deviation is that.
fn scatter(
    part: &Part,
    [u_variance, v_variance, covariance]: [&Array3<f32>; 3],
) -> Result<[Array3<f32>; 3], ClimateFault> {
    let least_ms = LEAST_DEVIATION_MS;
    let mut east = Array3::from_elem(u_variance.dim(), f32::NAN);
    let (mut with, mut north) = (east.clone(), east.clone());
    for (node, &covariance) in covariance.indexed_iter() {
        let [uu, vv, uv] = [u_variance[node], v_variance[node], covariance].map(f64::from);
        if (uu + vv + uv).is_nan() {
            continue;
        }
        let most = (uu * vv).sqrt() + PACKING_MS2;
        if uv.abs() > most {
            let name = COVARIANCE.to_owned();
            return Err(part.absurd(name, uv, node.into(), ("m2 s-2", -most, most)));
        }
        let east_ms = uu.sqrt().max(least_ms);
        let with_ms = uv / east_ms;
        let north_ms = (vv - with_ms * with_ms).max(least_ms * least_ms).sqrt();
        east[node] = east_ms as f32;
        with[node] = with_ms as f32;
        north[node] = north_ms as f32;
    }
    Ok([east, with, north])
}
