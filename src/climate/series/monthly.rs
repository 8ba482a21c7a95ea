//! A file of monthly means of several years, read as a climate without being measured first.

use std::path::Path;

use ndarray::{Array3, Array4};

use super::catalogue::Catalogue;
use super::error::SeriesError;
use super::kept::Kept;
use super::reduce::{BandMonth, reduce};
use super::spacing::Spacing;
use crate::climate::error::ClimateFault;
use crate::climate::grid::Climate;
use crate::climate::month::Month;
use crate::climate::reader::{MonthlyMeans, Quantity, SourceOptions, climate_of_means};
use crate::climate::region::Region;
use crate::climate::years::{Anomalies, Years};

/// The climate of a file of monthly means, on `region`: means by calendar month.
///
/// # Errors
/// A file that is no series of months, or lacks one of the twelve.
pub(in crate::climate) fn monthly_climate(
    path: &Path,
    options: &SourceOptions,
    region: &Region,
) -> Result<Climate, ClimateFault> {
    let name = path.display().to_string();
    let catalogue = monthly(path, options, region)?;
    let means = means(&catalogue, &name).map_err(of_series)?;
    climate_of_means(means, options, region)
}

/// The real years of such a file.
///
/// # Errors
/// As for [`monthly_climate`].
pub(in crate::climate) fn monthly_years(
    path: &Path,
    options: &SourceOptions,
    region: &Region,
) -> Result<Years, ClimateFault> {
    let catalogue = monthly(path, options, region)?;
    let years = catalogue.years();
    if years.is_empty() {
        return Err(ClimateFault::NoYears);
    }
    let columns = catalogue.longitudes.len();
    let shape = (years.len(), 12, catalogue.latitudes.len(), columns);
    let (mut u_ms, mut v_ms) = (
        Array4::from_elem(shape, f32::NAN),
        Array4::from_elem(shape, f32::NAN),
    );
    let mut take = |band: BandMonth| {
        for (year, nodes) in band.anomalies.iter().enumerate() {
            for (place, mean) in nodes.iter().enumerate() {
                let (row, column) = (band.rows.start + place / columns, place % columns);
                let at = [year, band.month, row, column];
                (u_ms[at], v_ms[at]) = (mean[0], mean[1]);
            }
        }
        Ok(())
    };
    let mut kept = Kept::in_memory(true);
    reduce(&catalogue, &mut kept, &mut take, &mut |_| {}).map_err(of_series)?;
    Ok(Years {
        latitudes: catalogue.latitudes.clone(),
        longitudes: catalogue.longitudes.clone(),
        years,
        anomalies: Anomalies { u_ms, v_ms },
        label: label(&catalogue, &path.display().to_string()),
        notes: Vec::new(),
    })
}

fn of_series(error: SeriesError) -> ClimateFault {
    match error {
        SeriesError::File(error) => *error.fault,
        other => ClimateFault::Series(other.to_string()),
    }
}

/// A file of monthly means that has all twelve.
fn monthly(
    path: &Path,
    options: &SourceOptions,
    region: &Region,
) -> Result<Catalogue, ClimateFault> {
    let catalogue = Catalogue::read(&[path.to_owned()], options, region, None, &mut |_| {})
        .map_err(of_series)?;
    if catalogue.spacing != Spacing::Monthly {
        return Err(ClimateFault::NotMonthly {
            steps: catalogue.steps.len(),
            spacing: catalogue.spacing.words(),
        });
    }
    let has_month = |month: &Month| {
        let of_month = |one: &super::catalogue::MonthOfYear| one.month == month.index();
        catalogue.months.iter().any(of_month)
    };
    if let Some(&month) = Month::ALL.iter().find(|month| !has_month(month)) {
        return Err(of_series(SeriesError::NoMonth { month }));
    }
    Ok(catalogue)
}

/// The file, and its title where it has one.
fn label(catalogue: &Catalogue, name: &str) -> String {
    let title = catalogue.origin.iter().find(|(name, _)| *name == "title");
    match title.and_then(|(_, titles)| titles.first()) {
        Some(title) => format!("{name} ({title})"),
        None => name.to_owned(),
    }
}

fn means(catalogue: &Catalogue, name: &str) -> Result<MonthlyMeans, SeriesError> {
    let columns = catalogue.longitudes.len();
    let empty = || Array3::from_elem((12, catalogue.latitudes.len(), columns), f32::NAN);
    let (mut u_ms, mut v_ms, mut speed_ms, mut air_c) = (empty(), empty(), empty(), empty());
    let mut others = catalogue
        .others
        .iter()
        .filter(|one| **one != Quantity::WindSpeed);
    let air = others.position(|one| *one == Quantity::AirTemperature);
    let mut take = |band: BandMonth| {
        for (place, node) in band.nodes.iter().enumerate() {
            let at = [
                band.month,
                band.rows.start + place / columns,
                place % columns,
            ];
            u_ms[at] = node.u_ms;
            v_ms[at] = node.v_ms;
            speed_ms[at] = node.speed_ms;
            if let Some(air) = air {
                air_c[at] = band.others[air][place];
            }
        }
        Ok(())
    };
    let mut kept = Kept::in_memory(false);
    reduce(catalogue, &mut kept, &mut take, &mut |_| {})?;
    let mut notes = catalogue.notes.clone();
    if let (Some(first), Some(last)) = (catalogue.years().first(), catalogue.years().last()) {
        notes.push(format!(
            "the file holds {} monthly means of {first} to {last}, which were averaged by calendar month; \
             nothing finer than a month was measured",
            catalogue.steps.len()
        ));
    }
    match catalogue.missing_steps() {
        0 => {}
        1 => notes.push("1 month is missing between the first and the last".to_owned()),
        several => notes.push(format!(
            "{several} months are missing between the first and the last"
        )),
    }
    Ok(MonthlyMeans {
        latitudes: catalogue.latitudes.clone(),
        longitudes: catalogue.longitudes.clone(),
        u_ms,
        v_ms,
        mean_speed_ms: catalogue
            .others
            .contains(&Quantity::WindSpeed)
            .then_some(speed_ms),
        air_temperature_c: air.map(|_| air_c),
        label: label(catalogue, name),
        notes,
    })
}
