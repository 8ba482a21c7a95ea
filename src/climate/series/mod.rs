//! Your own winds: a series of real winds, in one file or in hundreds, measured into a climate.
//!
//! [`measure_winds`] is the one way in: it looks through the files ([`catalogue`]), reads them once in the
//! order of time, a block of steps at a time ([`reduce`], [`sums`]), works out each month's figures
//! ([`measure`], [`memory`]) and writes them ([`write`]). Nothing of the series but a block and the sums is
//! held at once.

mod catalogue;
mod error;
mod measure;
mod memory;
mod monthly;
mod reduce;
mod spacing;
mod summary;
mod sums;
mod variables;
mod write;

use std::path::{Path, PathBuf};

pub use error::{OnGrid, SeriesError};
pub use memory::LAG_DAYS;
pub(in crate::climate) use monthly::{monthly_climate, monthly_years};
pub use reduce::SeriesProgress;
pub(in crate::climate) use variables::{
    U_ANOMALY, U_VARIANCE, V_ANOMALY, V_VARIANCE, VARIANCE_METHOD,
};

use catalogue::Catalogue;
use reduce::{BandMonth, reduce};
use spacing::{Spacing, moment};
use summary::Summary;
use write::Writer;

use super::gridded::Quantity;
use super::measured_winds::MeasuredWinds;
use super::region::Region;
use super::source::SourceOptions;

/// What is to be measured.
#[derive(Debug, Clone)]
pub struct WindSeries {
    /// The files, in any order.
    pub files: Vec<PathBuf>,
    /// Which variables hold what, where the names are unusual.
    pub options: SourceOptions,
    /// The area that is wanted; the nodes around it are kept.
    pub area: Region,
    /// The first and the last calendar year that are wanted; all where none.
    pub years: Option<(i64, i64)>,
    /// What was asked for, as the file's history tells it.
    pub command: String,
}

/// Measures a series and writes its climate to `out`, which messages and the result call `name`. Nothing
/// but `out` is written; after an error it is of no use.
///
/// # Errors
/// Files that cannot be used, alone or together; a file that cannot be written.
pub fn measure_winds(
    series: &WindSeries,
    out: &Path,
    name: &str,
    progress: &mut dyn FnMut(SeriesProgress),
) -> Result<MeasuredWinds, SeriesError> {
    let catalogue = Catalogue::read(&series.files, &series.options, &series.area, series.years)?;
    let notes = notes(&catalogue);
    let attributes = attributes(&catalogue, series, &notes);
    let writer = Writer::new(out, name, &catalogue, &attributes)?;
    let mut summary = Summary::new(&catalogue);
    let mut has_wind = false;
    let mut take = |band: BandMonth| {
        has_wind |= band.nodes.iter().any(|node| node.steps > 0);
        summary.add(&catalogue, &band);
        writer.put(&band)
    };
    reduce(&catalogue, &mut take, progress)?;
    if !has_wind {
        return Err(SeriesError::NoWind);
    }
    Ok(summary.finish(&catalogue, name, notes))
}

/// Fewer years than these are too few to tell their differences (common practice, no source).
const FEW_YEARS: usize = 10;

/// What must be said beside the figures.
fn notes(catalogue: &Catalogue) -> Vec<String> {
    let mut notes = catalogue.notes.clone();
    let has_speed = catalogue.others.contains(&Quantity::WindSpeed);
    match (catalogue.spacing, catalogue.is_mean) {
        (Spacing::Monthly, _) => {
            notes.push(
                "monthly means hold no gales, calms or memory, and of their differences from year to \
                 year a part is the weather of the month"
                    .to_owned(),
            );
            if !has_speed {
                notes.push(
                    "there is no mean wind speed: the standard deviation will be worked out from an \
                     assumed steadiness"
                        .to_owned(),
                );
            }
        }
        (Spacing::Daily, Some(false)) => {}
        (Spacing::Daily, is_mean) => {
            if is_mean.is_none() {
                notes.push(
                    "the files do not say whether a day's wind is its mean or that of one hour; it is \
                     taken as the mean"
                        .to_owned(),
                );
            }
            notes.push(
                "a day's mean smooths its gales and shifts: standard deviation and gales come out too \
                 small; hourly or 6-hourly winds show more"
                    .to_owned(),
            );
            if !has_speed {
                notes.push(
                    "there is no mean wind speed: the size of each day's mean vector is taken, which is \
                     less"
                        .to_owned(),
                );
            }
        }
        (Spacing::PartDay { .. }, _) => {}
    }
    if (2..FEW_YEARS).contains(&catalogue.years().len()) {
        notes.push(format!(
            "{} years say little of how one year differs from another, and of gales",
            catalogue.years().len()
        ));
    }
    if catalogue.is_climatology {
        notes.push(
            "the files hold means over many years: no year's own winds can be told".to_owned(),
        );
    }
    notes
}

/// The file's global attributes.
fn attributes(
    catalogue: &Catalogue,
    series: &WindSeries,
    notes: &[String],
) -> Vec<(&'static str, String)> {
    let origin = |names: &[&str]| {
        let found = catalogue
            .origin
            .iter()
            .filter(|(name, _)| names.contains(name));
        let texts: Vec<String> = found.flat_map(|(_, texts)| texts.iter().cloned()).collect();
        (!texts.is_empty()).then(|| texts.join("; "))
    };
    let period = if catalogue.is_climatology {
        "means over many years, as the files hold them".to_owned()
    } else {
        let [first, last] = [0, catalogue.steps.len() - 1]
            .map(|place| moment(catalogue.calendar, catalogue.steps[place].minutes));
        format!("{first} to {last} ({})", catalogue.spacing.words())
    };
    let files: Vec<String> = catalogue
        .files
        .iter()
        .filter_map(|file| Some(file.file_name()?.to_string_lossy().into_owned()))
        .collect();
    let files = match &files[..] {
        [first, .., last] if files.len() > 12 => {
            format!("{} files, {first} to {last}", files.len())
        }
        few => few.join(", "),
    };
    let of = origin(&["title", "dataset_title"]).unwrap_or_else(|| files.clone());
    let mut attributes = vec![
        ("Conventions", "CF-1.8".to_owned()),
        ("title", format!("wind climate measured from {of}")),
        (
            "institution",
            origin(&["institution"]).unwrap_or_else(|| "not stated in the files".to_owned()),
        ),
        ("source", origin(&["source"]).unwrap_or_else(|| of.clone())),
        (
            "references",
            origin(&["references"]).unwrap_or_else(|| "not stated in the files".to_owned()),
        ),
        (
            "license",
            origin(&["license", "licence"]).unwrap_or_else(|| {
                "not stated in the files; that of the winds they hold".to_owned()
            }),
        ),
        ("period", period),
        ("input_files", files),
        ("history", series.command.clone()),
    ];
    if !notes.is_empty() {
        attributes.push(("comment", notes.join(". ")));
    }
    attributes
}
