//! The questions, each on a thread of its own.

use std::panic;
use std::path::PathBuf;
use std::sync::mpsc::{self, RecvTimeoutError};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use offing::climate::SeasonDay;
use offing::geodesy::Position;
use offing::passage::EnsembleOptions;
use offing::shaping::{Hardship, KeepOut, Limits, ShapingError, Task, ranges};
use offing::study::{self, Entry, Options, SeasonOptions, ShapeOptions, StudyError, compare_also};
use offing::units::{OutOfRange, Range};
use pyo3::prelude::*;

use crate::answer::{Answer, Found};
use crate::error::{from_library, offing_error};
use crate::voyage::Voyage;
use crate::winds::Winds;

/// Python's signals are looked at this often.
const LOOK_AGAIN: Duration = Duration::from_millis(100);

/// How many passages are simulated, and what is made of land in the way.
#[derive(FromPyObject)]
pub(crate) struct Spread {
    members: usize,
    seed: u64,
    persistence: Option<f64>,
    strict: bool,
}

impl Spread {
    pub(crate) fn options(&self, py: Python<'_>) -> PyResult<Options> {
        let checked = |option, range: &Range, value| within(py, option, range, value);
        checked("members", &EnsembleOptions::MEMBERS, self.members as f64)?;
        let mut ensemble = EnsembleOptions {
            members: self.members,
            seed: self.seed,
            ..EnsembleOptions::default()
        };
        if let Some(hours) = self.persistence {
            let range = &EnsembleOptions::CORRELATION_HOURS;
            ensemble.fast_hours = checked("persistence", range, hours)?;
            // It stands for all that was measured of how long winds last.
            ensemble.measured_memory = false;
        }
        Ok(Options::default().with_ensemble(ensemble))
    }
}

/// Answers a question, and looks for land in the way.
fn answered(
    py: Python<'_>,
    spread: &Spread,
    question: impl FnOnce() -> Result<Found, StudyError> + Send + 'static,
) -> PyResult<(Answer, Vec<String>)> {
    let found = apart(py, question)?.map_err(|error| from_library(py, error))?;
    let warnings = found.land_warnings();
    if spread.strict && !warnings.is_empty() {
        let crossings = offing::text::brief_lines(&found.land_crossings(), "\n  ");
        return Err(offing_error(
            py,
            &format!("land in the way:\n  {crossings}"),
        ));
    }
    Ok((Answer(Arc::new(found)), warnings))
}

/// Works on a thread of its own, while other threads of Python run. Ctrl-C ends the wait; the work then
/// goes on to its end and is thrown away.
pub(crate) fn apart<T: Send + 'static>(
    py: Python<'_>,
    work: impl FnOnce() -> T + Send + 'static,
) -> PyResult<T> {
    let (sender, receiver) = mpsc::sync_channel(1);
    let asked = thread::Builder::new()
        .name("offing".to_owned())
        .spawn(move || {
            // Nobody listens after Ctrl-C.
            let _ = sender.send(work());
        })?;
    let receiver = Mutex::new(receiver);
    let look = || match receiver.lock() {
        Ok(receiver) => receiver.recv_timeout(LOOK_AGAIN),
        Err(_) => Err(RecvTimeoutError::Disconnected),
    };
    loop {
        match py.detach(look) {
            Ok(found) => return Ok(found),
            Err(RecvTimeoutError::Timeout) => py.check_signals()?,
            Err(RecvTimeoutError::Disconnected) => match asked.join() {
                Err(panicked) => panic::resume_unwind(panicked),
                Ok(()) => return Err(offing_error(py, "the question was left without an answer")),
            },
        }
    }
}

pub(crate) fn within(py: Python<'_>, option: &str, range: &Range, value: f64) -> PyResult<f64> {
    let said = |breach: OutOfRange| offing_error(py, &format!("{option}: {breach}"));
    range.check(value).map_err(said)
}

/// The routes side by side.
#[pyfunction]
pub(crate) fn compare(
    py: Python<'_>,
    voyage: &Voyage,
    winds: Option<&Winds>,
    spread: Spread,
    swings: bool,
    also: Option<&Winds>,
    real_year: Option<i64>,
) -> PyResult<(Answer, Vec<String>)> {
    let mut options = spread.options(py)?;
    options.swings = swings;
    let sailed = voyage.through(py, winds)?;
    let second = also
        .map(|also| voyage.through(py, Some(also)))
        .transpose()?;
    answered(py, &spread, move || {
        let mut climate = sailed.open_climate()?;
        if let Some(year) = real_year {
            let departure = SeasonDay::from_date(sailed.departure);
            climate = climate.in_year(&sailed.open_years()?, year, departure)?;
        }
        let second = second.map(|second| second.open_climate()).transpose()?;
        // In the currents of the first, so that the winds alone differ.
        let second = second.map(|second| second.with_currents(climate.currents().clone()));
        let found = compare_also(&sailed, &climate, second.as_ref(), &options)?;
        Ok(Found::Comparison(Box::new(found)))
    })
}

/// The routes leg by leg.
#[pyfunction]
pub(crate) fn legs(
    py: Python<'_>,
    voyage: &Voyage,
    winds: Option<&Winds>,
    spread: Spread,
    by: Option<&str>,
) -> PyResult<(Answer, Vec<String>)> {
    let options = spread.options(py)?;
    let by = by
        .map(str::parse)
        .transpose()
        .map_err(|error: offing::passage::NotLaidOff| offing_error(py, &format!("by: {error}")))?;
    let sailed = voyage.through(py, winds)?;
    answered(py, &spread, move || {
        let found = study::legs(&sailed, &sailed.open_climate()?, &options, by)?;
        Ok(Found::Legs(Box::new(found)))
    })
}

/// Departures through a year.
#[pyfunction]
pub(crate) fn season(
    py: Python<'_>,
    voyage: &Voyage,
    winds: Option<&Winds>,
    spread: Spread,
    every_days: u8,
    max_storm_percent: f64,
) -> PyResult<(Answer, Vec<String>)> {
    let options = spread.options(py)?;
    let every = &offing::passage::SEASON_EVERY_DAYS;
    within(py, "every_days", every, f64::from(every_days))?;
    let most = &ranges::STORM_PER_CENT;
    let asked = SeasonOptions {
        every_days,
        most_storm_chance: within(py, "max_storm_percent", most, max_storm_percent)? / 100.0,
    };
    let sailed = voyage.through(py, winds)?;
    answered(py, &spread, move || {
        let climate = sailed.open_climate()?;
        let found = study::season(&sailed, &climate, &options, asked, || ())?;
        Ok(Found::Season(Box::new(found)))
    })
}

/// What to load.
#[pyfunction]
pub(crate) fn stores(
    py: Python<'_>,
    voyage: &Voyage,
    winds: Option<&Winds>,
    spread: Spread,
    confidence_percent: Option<f64>,
) -> PyResult<(Answer, Vec<String>)> {
    let options = spread.options(py)?;
    let mut sailed = voyage.through(py, winds)?;
    if let Some(percent) = confidence_percent {
        let said = |breach: OutOfRange| offing_error(py, &format!("confidence_percent: {breach}"));
        sailed.provide_for(percent).map_err(said)?;
    }
    answered(py, &spread, move || {
        let found = study::stores(&sailed, &sailed.open_climate()?, &options)?;
        Ok(Found::Loading(Box::new(found)))
    })
}

/// The voyage in each real year of its winds.
#[pyfunction]
pub(crate) fn years(
    py: Python<'_>,
    voyage: &Voyage,
    winds: Option<&Winds>,
    spread: Spread,
) -> PyResult<(Answer, Vec<String>)> {
    let options = spread.options(py)?;
    let sailed = voyage.through(py, winds)?;
    answered(py, &spread, move || {
        let climate = sailed.open_climate()?;
        let found = study::years(&sailed, &climate, &sailed.open_years()?, &options)?;
        Ok(Found::Years(Box::new(found)))
    })
}

/// What is asked of a course.
#[derive(FromPyObject)]
pub(crate) struct Course {
    start: Option<(f64, f64)>,
    end: Option<(f64, f64)>,
    trade_off: Option<String>,
    grid_deg: f64,
    not_south_of: Option<f64>,
    not_north_of: Option<f64>,
    max_headwind_percent: Option<f64>,
    max_hard_beat_percent: Option<f64>,
    max_gale_percent: Option<f64>,
    min_air_c: Option<f64>,
    off_land_nm: Option<f64>,
    keep_out: Option<PathBuf>,
    max_storm_percent: Option<f64>,
}

impl Course {
    fn options(&self, py: Python<'_>) -> PyResult<ShapeOptions> {
        let checked = |option, range: &Range, value: Option<f64>| {
            let value = value.map(|value| within(py, option, range, value));
            value.transpose()
        };
        let share = |option, range, percent| {
            let percent = checked(option, range, percent)?;
            Ok::<_, PyErr>(percent.map(|percent| percent / 100.0))
        };
        let place = |option, place: Option<(f64, f64)>| {
            let place = place.map(|(latitude_deg, longitude_deg)| {
                Position::new(latitude_deg, longitude_deg)
                    .map_err(|error| offing_error(py, &format!("{option}: {error}")))
            });
            place.transpose()
        };
        let keep_out = self.keep_out.as_deref().map(KeepOut::read).transpose();
        let keep_out = keep_out.map_err(|error| from_library(py, ShapingError::from(error)))?;
        let latitude = &ranges::LATITUDE_DEG;
        let percent = &ranges::PER_CENT;
        let mut asked = ShapeOptions::default();
        asked.from = place("start", self.start)?;
        asked.to = place("end", self.end)?;
        asked.trade_off = self
            .trade_off
            .as_deref()
            .map(|name| hardship(py, name))
            .transpose()?;
        asked.grid_deg = within(py, "grid_deg", &Task::GRID_DEG, self.grid_deg)?;
        asked.limits = Limits {
            southernmost_deg: checked("not_south_of", latitude, self.not_south_of)?,
            northernmost_deg: checked("not_north_of", latitude, self.not_north_of)?,
            most_headwind: share("max_headwind_percent", percent, self.max_headwind_percent)?,
            most_hard_beat: share("max_hard_beat_percent", percent, self.max_hard_beat_percent)?,
            most_gale: share("max_gale_percent", percent, self.max_gale_percent)?,
            coldest_air_c: checked("min_air_c", &ranges::AIR_C, self.min_air_c)?,
            off_land_nm: checked("off_land_nm", &ranges::OFF_LAND_NM, self.off_land_nm)?,
            keep_out: keep_out.unwrap_or_default(),
            most_storm_chance: share(
                "max_storm_percent",
                &ranges::STORM_PER_CENT,
                self.max_storm_percent,
            )?,
        };
        Ok(asked)
    }
}

/// The hardship of a trade-off by its name.
fn hardship(py: Python<'_>, name: &str) -> PyResult<Hardship> {
    const NAMES: [(&str, Hardship); 6] = [
        ("headwind", Hardship::Headwind),
        ("hard-beat", Hardship::HardBeat),
        ("light-air", Hardship::LightAir),
        ("strong-wind", Hardship::Strong),
        ("gale", Hardship::Gale),
        ("engine", Hardship::Engine),
    ];
    let found = NAMES.iter().find(|(known, _)| *known == name);
    found.map(|(_, hardship)| *hardship).ok_or_else(|| {
        let found = offing::text::brief(name);
        let allowed = NAMES.map(|(name, _)| name).join(", ");
        offing_error(
            py,
            &format!("trade_off: found '{found}'; allowed: {allowed}"),
        )
    })
}

/// The fastest course under the crew's limits.
#[pyfunction]
pub(crate) fn shape(
    py: Python<'_>,
    voyage: &Voyage,
    winds: Option<&Winds>,
    spread: Spread,
    course: Course,
) -> PyResult<(Answer, Vec<String>)> {
    let (options, asked) = (spread.options(py)?, course.options(py)?);
    let sailed = voyage.through(py, winds)?;
    answered(py, &spread, move || {
        let found = study::shape(&sailed, &options, &asked)?;
        Ok(Found::Shaping(Box::new(found)))
    })
}

/// Many boats over the voyage's routes: each by her name, the boat of a voyage.
#[pyfunction]
pub(crate) fn rally(
    py: Python<'_>,
    voyage: &Voyage,
    boats: Vec<(String, PyRef<'_, Voyage>)>,
    winds: Option<&Winds>,
    spread: Spread,
) -> PyResult<(Answer, Vec<String>)> {
    let options = spread.options(py)?;
    let boats = boats.into_iter().map(|(name, of)| Entry {
        name,
        boat: of.0.boat.clone(),
        generic: of.0.generic_boat,
    });
    let boats: Vec<Entry> = boats.collect();
    let sailed = voyage.through(py, winds)?;
    answered(py, &spread, move || {
        let found = study::rally(&sailed, &boats, &sailed.open_climate()?, &options)?;
        Ok(Found::Rally(Box::new(found)))
    })
}
