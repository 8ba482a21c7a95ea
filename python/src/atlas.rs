//! The part of an atlas that begins at one port.

use offing::geodesy::Position;
use offing::shaping::Task;
use offing::study::{self, AtlasAsk, AtlasPlace, AtlasWay, Entry, StudyError};
use offing::voyage::ClimateChoice;
use pyo3::exceptions::PyRuntimeError;
use pyo3::prelude::*;

use crate::ask::{Spread, apart, within};
use crate::error::{from_library, offing_error};
use crate::voyage::Voyage;
use crate::winds::Winds;

/// A place by name, latitude and longitude.
type Named = (String, f64, f64);

/// What is asked of the part.
#[derive(FromPyObject)]
pub(crate) struct Part {
    origin: Named,
    destinations: Vec<Named>,
    departures: Vec<String>,
    ways: Vec<String>,
    grid_deg: f64,
    /// How many threads work on it; as many as there are cores where none is said.
    threads: Option<usize>,
}

fn position(py: Python<'_>, (name, latitude_deg, longitude_deg): &Named) -> PyResult<Position> {
    Position::new(*latitude_deg, *longitude_deg).map_err(|error| {
        let name = offing::text::brief(name);
        offing_error(py, &format!("{name}: {error}"))
    })
}

fn place(py: Python<'_>, named: Named) -> PyResult<AtlasPlace> {
    Ok(AtlasPlace {
        position: position(py, &named)?,
        name: named.0,
    })
}

fn way(py: Python<'_>, name: &str) -> PyResult<AtlasWay> {
    let found = AtlasWay::ALL.into_iter().find(|way| way.name() == name);
    found.ok_or_else(|| {
        let found = offing::text::brief(name);
        let allowed = AtlasWay::ALL.map(AtlasWay::name).join(", ");
        offing_error(py, &format!("ways: found '{found}'; allowed: {allowed}"))
    })
}

/// The passages of a part, as JSON. A route drawn is that of a voyage, with the number of its destination.
#[pyfunction]
pub(crate) fn atlas(
    py: Python<'_>,
    part: Part,
    boats: Vec<(String, PyRef<'_, Voyage>)>,
    drawn: Vec<(usize, PyRef<'_, Voyage>)>,
    winds: Option<&Winds>,
    spread: Spread,
) -> PyResult<String> {
    let options = spread.options(py)?.ensemble;
    let destinations = part.destinations.into_iter();
    let departures = part.departures.iter().map(|day| {
        let said = |error: jiff::Error| offing_error(py, &format!("departures: {error}"));
        day.parse().map_err(said)
    });
    let boats = boats.into_iter().map(|(name, of)| Entry {
        name,
        boat: of.0.boat.clone(),
        generic: of.0.generic_boat,
    });
    let drawn = drawn.into_iter();
    let ask = AtlasAsk {
        origin: place(py, part.origin)?,
        destinations: destinations
            .map(|named| place(py, named))
            .collect::<PyResult<_>>()?,
        departures: departures.collect::<PyResult<_>>()?,
        boats: boats.collect(),
        ways: part
            .ways
            .iter()
            .map(|name| way(py, name))
            .collect::<PyResult<_>>()?,
        drawn: drawn
            .map(|(number, of)| (number, of.0.routes[0].clone()))
            .collect(),
        grid_deg: within(py, "grid_deg", &Task::GRID_DEG, part.grid_deg)?,
    };
    let winds = winds.map_or_else(ClimateChoice::default, |winds| winds.0.clone());
    let threads = part.threads.unwrap_or(0);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    let pool = pool.map_err(|error| PyRuntimeError::new_err(error.to_string()))?;
    let passages: Result<_, StudyError> = apart(py, move || {
        pool.install(|| study::atlas(&ask, &winds, &options))
    })?;
    let passages = passages.map_err(|error| from_library(py, error))?;
    serde_json::to_string(&passages).map_err(|error| PyRuntimeError::new_err(error.to_string()))
}

/// A port by its name and country: its own name with its country, latitude and longitude.
#[pyfunction]
pub(crate) fn find_port(py: Python<'_>, text: &str) -> PyResult<Named> {
    let port = offing::route::find_port(text)
        .map_err(|error| offing_error(py, &format!("{error}; {}", error.hint())))?;
    let place = port.position;
    Ok((
        port.to_string(),
        place.latitude_deg(),
        place.longitude_deg(),
    ))
}
