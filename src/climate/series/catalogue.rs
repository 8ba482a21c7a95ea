//! The files of a series put in order: which quantity is in which file at which time.

use std::path::PathBuf;

use super::error::{OnGrid, SeriesError};
use super::reduce::SeriesProgress;
use super::spacing::{Spacing, moment, spacing};
use crate::climate::axis::Axis;
use crate::climate::error::ClimatePart;
use crate::climate::gridded::Quantity;
use crate::climate::reader::{Calendar, DAY_MINUTES, Source, describe};
use crate::climate::region::Region;
use crate::climate::source::SourceOptions;

/// Grids are the same where no coordinate differs by more, degrees: the rounding of single precision.
const SAME_DEG: f64 = 1e-3;

/// A step of one variable: which of the sources, and which of its steps.
pub(super) type At = Option<(u32, u32)>;

/// A time, and where its values are.
#[derive(Debug, Clone)]
pub(super) struct TimeStep {
    /// Since the start of the calendar's day 0.
    pub(super) minutes: i64,
    /// By quantity, in the order of [`Quantity::SERIES`].
    pub(super) at: [At; Quantity::SERIES.len()],
}

/// The steps of one month of one year, which follow one another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct MonthOfYear {
    pub(super) year: i64,
    /// 0 to 11.
    pub(super) month: usize,
    /// The calendar's number of its first day.
    pub(super) first_day: i64,
    /// Its first step, and the one after its last.
    pub(super) steps: std::ops::Range<usize>,
    /// The steps it would have if none were missing.
    pub(super) expected: usize,
}

/// Everything there is to read.
pub(super) struct Catalogue {
    pub(super) files: Vec<PathBuf>,
    /// Each with its file.
    pub(super) sources: Vec<(usize, Source)>,
    pub(super) latitudes: Axis,
    pub(super) longitudes: Axis,
    pub(super) calendar: Calendar,
    pub(super) spacing: Spacing,
    /// Whether a step is a mean over its time, as the files say; none where they do not.
    pub(super) is_mean: Option<bool>,
    pub(super) is_climatology: bool,
    /// In the order of time.
    pub(super) steps: Vec<TimeStep>,
    pub(super) months: Vec<MonthOfYear>,
    /// Quantities that are there besides the winds' components.
    pub(super) others: Vec<Quantity>,
    /// Global attributes of the files, each text once.
    pub(super) origin: Vec<(&'static str, Vec<String>)>,
    pub(super) notes: Vec<String>,
}

impl Catalogue {
    /// Reads what the files hold; their values are not read yet.
    ///
    /// # Errors
    /// Files that cannot be used, alone or together.
    pub(super) fn read(
        files: &[PathBuf],
        options: &SourceOptions,
        region: &Region,
        years: Option<(i64, i64)>,
        progress: &mut dyn FnMut(SeriesProgress),
    ) -> Result<Self, SeriesError> {
        let mut files = files.to_vec();
        // The answer does not depend on the order they are named in, nor on one being named twice.
        files.sort();
        files.dedup();
        let mut sources: Vec<(usize, Source)> = Vec::new();
        let mut origin: Vec<(&'static str, Vec<String>)> = Vec::new();
        let mut notes: Vec<String> = Vec::new();
        for (file, path) in files.iter().enumerate() {
            progress(SeriesProgress { read: 0, of: 0 });
            let contents = describe(path, options, region)
                .map_err(|fault| fault.in_file(ClimatePart::Winds, &path.display().to_string()))?;
            sources.extend(contents.sources.into_iter().map(|source| (file, source)));
            for (name, text) in contents.origin {
                match origin.iter_mut().find(|(known, _)| *known == name) {
                    Some((_, texts)) if !texts.contains(&text) => texts.push(text),
                    Some(_) => {}
                    None => origin.push((name, vec![text])),
                }
            }
            for note in contents.notes {
                if !notes.contains(&note) {
                    notes.push(note);
                }
            }
        }
        for (_, texts) in &mut origin {
            texts.sort();
        }
        notes.sort();
        require_alike(&files, &sources)?;
        let component = |place: usize| {
            let quantity = Quantity::SERIES[place];
            let mut found = sources.iter().map(|(_, source)| source);
            let found = found.find(|source| source.quantity == quantity);
            found.ok_or(SeriesError::NoQuantity {
                quantity: quantity.words(),
                standard_name: quantity.standard_name(),
                files: files.len(),
            })
        };
        let (eastward, _) = (component(0)?, component(1)?);
        let calendar = eastward.times.calendar;
        let is_climatology = eastward.times.is_climatology;
        let is_mean = eastward.is_mean;
        let (latitudes, longitudes) = eastward.axes();
        let (latitudes, longitudes) = (latitudes.clone(), longitudes.clone());
        let by_bounds = sources.iter().all(|(_, source)| source.times.by_bounds);

        let (steps, left_out) = in_order(&files, &sources, calendar)?;
        notes.extend(left_out);
        let (spacing, shift) = spacing(&steps, calendar, by_bounds || is_climatology, &mut notes)?;
        let mut months = months_of(&steps, calendar, spacing, shift)?;
        if let Some((from, to)) = years.filter(|_| !is_climatology) {
            months.retain(|month| (from..=to).contains(&month.year));
            if months.is_empty() {
                return Err(SeriesError::NoSuchYears {
                    from,
                    to,
                    first: moment(calendar, steps[0].minutes),
                    last: moment(calendar, steps[steps.len() - 1].minutes),
                });
            }
        }
        // Only what is to be read stays: the months follow one another.
        let (first, last) = (months[0].steps.start, months[months.len() - 1].steps.end);
        let steps = steps[first..last].to_vec();
        for month in &mut months {
            month.steps = month.steps.start - first..month.steps.end - first;
        }
        let others = Quantity::SERIES[2..]
            .iter()
            .copied()
            .enumerate()
            .filter(|(place, _)| steps.iter().any(|step| step.at[place + 2].is_some()))
            .map(|(_, quantity)| quantity)
            .collect();
        Ok(Self {
            files,
            sources,
            latitudes,
            longitudes,
            calendar,
            spacing,
            is_mean,
            is_climatology,
            steps,
            months,
            others,
            origin,
            notes,
        })
    }

    /// Nodes in all.
    pub(super) fn nodes(&self) -> usize {
        self.latitudes.len() * self.longitudes.len()
    }

    /// The calendar years, from the first to the last; none for a climatology.
    pub(super) fn years(&self) -> Vec<i64> {
        if self.is_climatology {
            return Vec::new();
        }
        let (first, last) = (&self.months[0], &self.months[self.months.len() - 1]);
        (first.year..=last.year).collect()
    }

    /// Steps that are missing between the first and the last.
    pub(super) fn missing_steps(&self) -> usize {
        let (first, last) = (&self.steps[0], &self.steps[self.steps.len() - 1]);
        let whole = match self.spacing {
            Spacing::Monthly => {
                let [first, last] = [0, self.months.len() - 1].map(|place| &self.months[place]);
                (12 * (last.year - first.year)) as usize + last.month - first.month + 1
            }
            Spacing::Daily => ((last.minutes - first.minutes) / DAY_MINUTES + 1) as usize,
            Spacing::PartDay { per_day } => {
                let apart = DAY_MINUTES / per_day as i64;
                ((last.minutes - first.minutes) / apart + 1) as usize
            }
        };
        whole.saturating_sub(self.steps.len())
    }

    /// Months, by year and month, in which at least one step is missing, other than before the first
    /// step and after the last; those with none at all included.
    pub(super) fn gaps(&self) -> Vec<(i64, usize)> {
        let (first, last) = (&self.months[0], &self.months[self.months.len() - 1]);
        let ordinal = |month: &MonthOfYear| 12 * month.year + month.month as i64;
        let mut gaps = Vec::new();
        let mut there = self.months.iter().peekable();
        for at in ordinal(first)..=ordinal(last) {
            let name = (at.div_euclid(12), at.rem_euclid(12) as usize);
            match there.next_if(|month| ordinal(month) == at) {
                None => gaps.push(name),
                Some(month) => {
                    let inner = at != ordinal(first) && at != ordinal(last);
                    if inner && month.steps.len() < month.expected {
                        gaps.push(name);
                    }
                }
            }
        }
        gaps
    }
}

/// Refuses files that differ in grid or calendar, or a climatology beside real years.
fn require_alike(files: &[PathBuf], sources: &[(usize, Source)]) -> Result<(), SeriesError> {
    let Some((reference_file, reference)) = sources.first() else {
        return Ok(());
    };
    let name = |file: usize| files[file].display().to_string();
    for (file, source) in sources {
        let (ours, theirs) = (source.axes(), reference.axes());
        if !same(ours.0, theirs.0) || !same(ours.1, theirs.1) {
            let on_grid = |file: usize, source: &Source| {
                Box::new(OnGrid {
                    file: name(file),
                    variable: source.variable.clone(),
                    grid: grid_words(source.axes()),
                })
            };
            return Err(SeriesError::OtherGrid {
                found: on_grid(*file, source),
                expected: on_grid(*reference_file, reference),
            });
        }
        let (ours, theirs) = (source.times.calendar, reference.times.calendar);
        if !agree(ours, theirs) {
            return Err(SeriesError::OtherCalendar {
                file: name(*file),
                found: ours.name(),
                reference_file: name(*reference_file),
                expected: theirs.name(),
            });
        }
        if source.times.is_climatology != reference.times.is_climatology {
            let (long, real) = if source.times.is_climatology {
                (*file, *reference_file)
            } else {
                (*reference_file, *file)
            };
            return Err(SeriesError::Mixed {
                file: name(long),
                reference_file: name(real),
            });
        }
    }
    Ok(())
}

/// Whether days have the same numbers, from 15 October 1582 on.
fn agree(a: Calendar, b: Calendar) -> bool {
    let gregorian = |calendar| matches!(calendar, Calendar::Mixed | Calendar::Gregorian);
    a == b || gregorian(a) && gregorian(b)
}

fn same(a: &Axis, b: &Axis) -> bool {
    a.len() == b.len()
        && (0..a.len()).all(|place| (a.value_deg(place) - b.value_deg(place)).abs() < SAME_DEG)
}

fn grid_words((latitudes, longitudes): (&Axis, &Axis)) -> String {
    let words = |axis: &Axis, what: &str| {
        let (first, last) = (axis.value_deg(0), axis.value_deg(axis.len() - 1));
        format!("{} {what} from {first:.3} to {last:.3}", axis.len())
    };
    format!(
        "{} and {}",
        words(latitudes, "latitudes"),
        words(longitudes, "longitudes")
    )
}

/// All times at which there is wind, in order; and what to say about steps of other quantities that lie at
/// other times.
fn in_order(
    files: &[PathBuf],
    sources: &[(usize, Source)],
    calendar: Calendar,
) -> Result<(Vec<TimeStep>, Vec<String>), SeriesError> {
    let mut all: Vec<(i64, u8, u32, u32)> = Vec::new();
    for (number, (_, source)) in sources.iter().enumerate() {
        let place = Quantity::SERIES
            .iter()
            .position(|&quantity| quantity == source.quantity)
            .unwrap_or_default();
        for (step, &minutes) in source.times.minutes.iter().enumerate() {
            all.push((minutes, place as u8, number as u32, step as u32));
        }
    }
    all.sort_unstable();
    if let Some(pair) = all
        .windows(2)
        .find(|pair| pair[0].0 == pair[1].0 && pair[0].1 == pair[1].1)
    {
        let name = |number: u32| files[sources[number as usize].0].display().to_string();
        return Err(SeriesError::Duplicate {
            quantity: Quantity::SERIES[usize::from(pair[0].1)].words(),
            time: moment(calendar, pair[0].0),
            first: name(pair[0].2),
            second: name(pair[1].2),
        });
    }
    let mut steps: Vec<TimeStep> = Vec::new();
    let mut left_out = [0usize; Quantity::SERIES.len()];
    let mut unpaired: Vec<(usize, i64)> = Vec::new();
    for at_once in all.chunk_by(|a, b| a.0 == b.0) {
        let mut step = TimeStep {
            minutes: at_once[0].0,
            at: [None; Quantity::SERIES.len()],
        };
        for &(_, place, number, of_source) in at_once {
            step.at[usize::from(place)] = Some((number, of_source));
        }
        match (step.at[0], step.at[1]) {
            (Some(_), Some(_)) => steps.push(step),
            (None, None) => {
                for &(_, place, ..) in at_once {
                    left_out[usize::from(place)] += 1;
                }
            }
            (Some(_), None) => unpaired.push((0, step.minutes)),
            (None, Some(_)) => unpaired.push((1, step.minutes)),
        }
    }
    if let Some(&(have, minutes)) = unpaired.first() {
        return Err(SeriesError::Unpaired {
            count: unpaired.len(),
            have: Quantity::SERIES[have].words(),
            lack: Quantity::SERIES[1 - have].words(),
            first: moment(calendar, minutes),
        });
    }
    let notes = Quantity::SERIES
        .iter()
        .zip(left_out)
        .filter(|(_, count)| *count > 0);
    let notes = notes.map(|(quantity, count)| {
        format!(
            "{count} step(s) of {} lie at times without wind; they are not used",
            quantity.words()
        )
    });
    Ok((steps, notes.collect()))
}

/// The steps by month; `shift` is taken from each step's time where a stamp stands at its month's end.
fn months_of(
    steps: &[TimeStep],
    calendar: Calendar,
    spacing: Spacing,
    shift: i64,
) -> Result<Vec<MonthOfYear>, SeriesError> {
    let mut months: Vec<MonthOfYear> = Vec::new();
    for (place, step) in steps.iter().enumerate() {
        let day = (step.minutes - shift).div_euclid(DAY_MINUTES);
        let (year, month) = calendar.year_and_month(day);
        match months.last_mut() {
            Some(last) if (last.year, last.month) == (year, month) => {
                if spacing == Spacing::Monthly {
                    return Err(SeriesError::Uneven {
                        first: moment(calendar, steps[place - 1].minutes),
                        second: moment(calendar, step.minutes),
                        spacing: "a month".to_owned(),
                    });
                }
                last.steps.end = place + 1;
            }
            _ => {
                let first_day = calendar.month_start(year, month);
                let next = (12 * year + month as i64 + 1, 12);
                let next_first = calendar.month_start(
                    next.0.div_euclid(next.1),
                    next.0.rem_euclid(next.1) as usize,
                );
                let days = (next_first - first_day) as usize;
                months.push(MonthOfYear {
                    year,
                    month,
                    first_day,
                    steps: place..place + 1,
                    expected: spacing.steps_in(days),
                });
            }
        }
    }
    Ok(months)
}
