//! Your own winds: a series of real winds, in one file or in hundreds, measured into a climate.
//!
//! [`measure_winds`] is the one way in: it looks through the files ([`catalogue`]), reads them once in the
//! order of time, a block of steps at a time ([`reduce`], [`plan`], [`reading`]), adds them up ([`lanes`],
//! [`sums`]), keeps what was added up ([`kept`]), works out each month's figures ([`measure`], [`memory`])
//! and writes them ([`write`]). Nothing of the series but a block and the sums is held at once.

mod catalogue;
mod error;
mod kept;
mod lanes;
mod measure;
mod memory;
mod monthly;
mod plan;
mod reading;
mod reduce;
mod spacing;
mod summary;
mod sums;
mod variables;
mod write;

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, UNIX_EPOCH};

pub use error::{OnGrid, SeriesError};
pub use memory::LAG_DAYS;
pub(in crate::climate) use monthly::{monthly_climate, monthly_years};
pub use reduce::SeriesProgress;
pub(in crate::climate) use variables::{
    U_ANOMALY, U_VARIANCE, V_ANOMALY, V_VARIANCE, VARIANCE_METHOD,
};

use catalogue::Catalogue;
use kept::{Found, Kept, Subject};
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
    /// Where sums are kept until the climate is whole.
    pub unfinished: Unfinished,
}

/// A folder in which the sums of a long series are kept: what is too much for memory, and what a run that
/// was ended is gone on from. It is made where it is needed.
#[derive(Debug, Clone)]
pub struct Unfinished {
    /// The folder.
    pub folder: PathBuf,
    /// How often the sums in memory are written there.
    pub every: Duration,
}

impl Unfinished {
    /// The folder beside the file that is made, with sums written every 20 seconds.
    pub fn beside(out: &Path) -> Self {
        let mut folder = out.as_os_str().to_owned();
        folder.push(".unfinished");
        Self {
            folder: folder.into(),
            every: Duration::from_secs(20),
        }
    }

    /// Removes the folder, once the climate is in its place.
    ///
    /// # Errors
    /// What the system refuses.
    pub fn remove(&self) -> io::Result<()> {
        kept::remove(&self.folder)
    }
}

/// Bytes that the month being read and the sums in memory may take together, and the sums at least.
const MOST_BYTES: usize = 400 << 20;
const LEAST_HELD_BYTES: usize = 20 << 20;

/// Measures a series and writes its climate to `out`, which messages and the result call `name`; after an
/// error that is of no use. What was added up stays in [`WindSeries::unfinished`], after an error and after
/// success: called again for the same files, this goes on from there and comes to the same climate, bit for
/// bit.
///
/// # Errors
/// Files that cannot be used, alone or together; a file that cannot be written.
pub fn measure_winds(
    series: &WindSeries,
    out: &Path,
    name: &str,
    progress: &mut dyn FnMut(SeriesProgress),
) -> Result<MeasuredWinds, SeriesError> {
    let catalogue = Catalogue::read(
        &series.files,
        &series.options,
        &series.area,
        series.years,
        progress,
    )?;
    let mut notes = notes(&catalogue);
    let attributes = attributes(&catalogue, series, &notes);
    let tile_bytes = plan::tile_bytes(&catalogue, &plan::tiles(&catalogue));
    let most_bytes = MOST_BYTES.saturating_sub(tile_bytes).max(LEAST_HELD_BYTES);
    let Unfinished { folder, every } = &series.unfinished;
    let (mut kept, found) =
        Kept::in_folder(folder, subject(&catalogue, series), most_bytes, *every)?;
    // What is said below is of this run, and not of the climate.
    notes.extend(said_of(found, kept.months(), &catalogue, folder));
    let writer = Writer::new(out, name, &catalogue, &attributes)?;
    let mut summary = Summary::new(&catalogue);
    let mut has_wind = false;
    let mut take = |band: BandMonth| {
        has_wind |= band.nodes.iter().any(|node| node.steps > 0);
        summary.add(&catalogue, &band);
        writer.put(&band)
    };
    reduce(&catalogue, &mut kept, &mut take, progress)?;
    if !has_wind {
        return Err(SeriesError::NoWind);
    }
    Ok(summary.finish(&catalogue, name, notes))
}

/// All that the sums depend on.
fn subject(catalogue: &Catalogue, series: &WindSeries) -> Subject {
    let file = |path: &PathBuf| {
        let path = fs::canonicalize(path).unwrap_or_else(|_| path.clone());
        let metadata = fs::metadata(&path).ok();
        let changed = metadata.as_ref().and_then(|data| data.modified().ok());
        let changed = changed.and_then(|time| time.duration_since(UNIX_EPOCH).ok());
        let bytes = metadata.map(|data| data.len()).unwrap_or_default();
        (path, bytes, changed)
    };
    let options = SourceOptions {
        guard: None,
        ..series.options.clone()
    };
    Subject {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        files: catalogue.files.iter().map(file).collect(),
        asked: format!("{options:?} {:?} {:?}", series.area, series.years),
    }
}

/// What is to be said of sums that an earlier run kept.
fn said_of(found: Found, months: usize, catalogue: &Catalogue, folder: &Path) -> Option<String> {
    match found {
        Found::Nothing => None,
        Found::Months => {
            let steps = match catalogue.months.get(months) {
                Some(next) => next.steps.start,
                None => catalogue.steps.len(),
            };
            Some(format!(
                "{steps} of {} steps had been added up by a run before this one, which went on from there",
                catalogue.steps.len()
            ))
        }
        Found::Other => Some(format!(
            "an earlier run had kept its sums in {}, of other files or another area; they were not used",
            folder.display()
        )),
    }
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
