//! A voyage, as Python holds it.

use std::path::PathBuf;
use std::sync::Arc;

use offing::voyage::VoyageError;
use pyo3::prelude::*;
use pyo3::types::PyDict;

use crate::error::{from_library, offing_error};
use crate::tables::table;
use crate::winds::Winds;

/// What a voyage made of dicts is called where its text cannot be read.
const DICT: &str = "a dict";

/// A voyage, read and checked.
#[pyclass(frozen, module = "offing._offing")]
pub(crate) struct Voyage(pub(crate) Arc<offing::Voyage>);

impl Voyage {
    fn of(py: Python<'_>, voyage: Result<offing::Voyage, VoyageError>) -> PyResult<Self> {
        let voyage = voyage.map_err(|error| from_library(py, error))?;
        Ok(Self(Arc::new(voyage)))
    }

    /// The voyage through these winds, where there are any.
    ///
    /// # Errors
    /// A voyage of several stages, of which one must be taken.
    pub(crate) fn through(
        &self,
        py: Python<'_>,
        winds: Option<&Winds>,
    ) -> PyResult<offing::Voyage> {
        if self.0.has_stages() {
            return Err(offing_error(
                py,
                &format!(
                    "the voyage has stages; take one by stage(): {}",
                    self.stages()
                ),
            ));
        }
        let mut voyage = offing::Voyage::clone(&self.0);
        if let Some(winds) = winds {
            voyage.climate = winds.0.clone();
        }
        Ok(voyage)
    }

    fn stages(&self) -> String {
        let stages = self.0.stages.iter();
        let names: Vec<&str> = stages.map(|stage| stage.name.as_str()).collect();
        offing::text::brief_list(&names)
    }
}

#[pymethods]
impl Voyage {
    /// The demonstration.
    #[staticmethod]
    fn demo(py: Python<'_>) -> PyResult<Self> {
        Self::of(py, offing::Voyage::demo())
    }

    /// The voyage of a file.
    #[staticmethod]
    fn read(py: Python<'_>, path: PathBuf) -> PyResult<Self> {
        Self::of(py, offing::Voyage::read(&path))
    }

    /// The voyage of dicts like the tables of a file; `polars` has the texts of polars by the names they
    /// are given in it. Other files are looked for in the working directory.
    #[staticmethod]
    fn from_tables(
        py: Python<'_>,
        tables: &Bound<'_, PyDict>,
        polars: Vec<(String, String)>,
    ) -> PyResult<Self> {
        let tables = table(tables, "")?;
        let text =
            toml::to_string(&tables).map_err(|error| offing_error(py, &error.to_string()))?;
        let polars: Vec<(&str, &str)> = polars
            .iter()
            .map(|(name, text)| (name.as_str(), text.as_str()))
            .collect();
        let parsed = offing::Voyage::parse(DICT, &text, &polars);
        Self::of(py, parsed.map_err(without_lines))
    }

    /// What it is called.
    #[getter]
    fn name(&self) -> &str {
        &self.0.name
    }

    /// The day of departure, as in 2027-05-01.
    #[getter]
    fn departure(&self) -> String {
        self.0.departure.to_string()
    }

    /// What the boat is called, if anything.
    #[getter]
    fn boat_name(&self) -> Option<&str> {
        self.0.boat_name.as_deref()
    }

    /// Everything about the boat, to tell one from another.
    #[getter]
    fn boat_in_full(&self) -> String {
        format!("{:?}", self.0.boat)
    }

    /// The routes' names.
    #[getter]
    fn routes(&self) -> Vec<&str> {
        self.0.routes.iter().map(|route| route.name()).collect()
    }

    /// A route's waypoints: name, latitude and longitude.
    fn waypoints(&self, py: Python<'_>, route: &str) -> PyResult<Vec<(&str, f64, f64)>> {
        let found = self.0.routes.iter().find(|found| found.name() == route);
        let waypoints = found.ok_or_else(|| self.no_route(py, route))?.waypoints();
        let waypoints = waypoints.iter().map(|waypoint| {
            let place = waypoint.position;
            (
                waypoint.name.as_str(),
                place.latitude_deg(),
                place.longitude_deg(),
            )
        });
        Ok(waypoints.collect())
    }

    /// The same on another day.
    fn leaving(&self, py: Python<'_>, departure: &str) -> PyResult<Self> {
        let mut voyage = offing::Voyage::clone(&self.0);
        let day = departure
            .parse()
            .map_err(|error: jiff::Error| offing_error(py, &format!("departure: {error}")))?;
        voyage
            .leave_on(day)
            .map_err(|breach| offing_error(py, &format!("departure: {breach}")))?;
        voyage
            .check_departure()
            .map_err(|error| offing_error(py, &error.to_string()))?;
        Ok(Self(Arc::new(voyage)))
    }

    /// One of several stages as a voyage of its own.
    fn stage(&self, py: Python<'_>, name: &str) -> PyResult<Self> {
        let found = self.0.stage(name).ok_or_else(|| {
            let found = offing::text::brief(name);
            let words = format!(
                "the voyage has no stage '{found}'; its stages: {}",
                self.stages()
            );
            offing_error(py, &words)
        })?;
        Ok(Self(Arc::new(found)))
    }

    /// The same with one route alone.
    fn only(&self, py: Python<'_>, route: &str) -> PyResult<Self> {
        let mut voyage = offing::Voyage::clone(&self.0);
        voyage.routes.retain(|found| found.name() == route);
        if voyage.routes.is_empty() {
            return Err(self.no_route(py, route));
        }
        Ok(Self(Arc::new(voyage)))
    }
}

impl Voyage {
    fn no_route(&self, py: Python<'_>, found: &str) -> PyErr {
        let names = offing::text::brief_list(&self.routes());
        let found = offing::text::brief(found);
        let words = format!("the voyage has no route '{found}'; its routes: {names}");
        offing_error(py, &words)
    }
}

/// A dict has no lines.
fn without_lines(mut error: VoyageError) -> VoyageError {
    if let VoyageError::Entries(faults) = &mut error {
        for fault in faults {
            fault.place = None;
        }
    }
    error
}
