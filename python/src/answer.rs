//! Answers, as Python holds them.

use std::sync::Arc;

use numpy::{IntoPyArray, PyArray2};
use offing::passage::Ensemble;
use offing::report::{
    comparison_csv, land_crossings, land_warnings, legs_csv, loading_csv, season_csv, to_json,
    trade_off_csv, years_csv,
};
use offing::study::{Comparison, Legs, Loading, Rally, RealYears, Season, Shaping};
use pyo3::prelude::*;
use pyo3::types::PyDict;

/// What a question was answered with.
pub(crate) enum Found {
    Comparison(Box<Comparison>),
    Season(Box<Season>),
    Shaping(Box<Shaping>),
    Loading(Box<Loading>),
    Legs(Box<Legs>),
    Years(Box<RealYears>),
    Rally(Box<Rally>),
}

/// The answer to a question.
#[pyclass(frozen, module = "offing._offing")]
pub(crate) struct Answer(pub(crate) Arc<Found>);

macro_rules! of_routes {
    ($found:expr, $of:path) => {
        match $found {
            Found::Comparison(found) => $of(found.as_ref()),
            Found::Season(found) => $of(found.as_ref()),
            Found::Shaping(found) => $of(&found.comparison),
            Found::Loading(found) => $of(found.as_ref()),
            Found::Legs(found) => $of(&found.comparison),
            Found::Years(found) => $of(found.as_ref()),
            Found::Rally(found) => $of(found.as_ref()),
        }
    };
}

impl Found {
    /// A warning for each route that crosses land.
    pub(crate) fn land_warnings(&self) -> Vec<String> {
        of_routes!(self, land_warnings)
    }

    /// A warning for each crossing.
    pub(crate) fn land_crossings(&self) -> Vec<String> {
        of_routes!(self, land_crossings)
    }

    /// The passages of each route that keeps them, by its name.
    fn ensembles(&self) -> Vec<(&str, &Ensemble)> {
        let comparison = match self {
            Self::Comparison(found) => found,
            Self::Shaping(found) => &found.comparison,
            Self::Legs(found) => &found.comparison,
            _ => return Vec::new(),
        };
        let routes = comparison.routes.iter();
        routes
            .map(|route| (route.name.as_str(), &route.ensemble))
            .collect()
    }
}

#[pymethods]
impl Answer {
    /// What the command line prints with --json.
    fn json(&self, py: Python<'_>) -> String {
        py.detach(|| match self.0.as_ref() {
            Found::Comparison(found) => to_json(found.as_ref()),
            Found::Season(found) => to_json(found.as_ref()),
            Found::Shaping(found) => to_json(found.as_ref()),
            Found::Loading(found) => to_json(found.as_ref()),
            Found::Legs(found) => to_json(found.as_ref()),
            Found::Years(found) => to_json(found.as_ref()),
            Found::Rally(found) => to_json(found.as_ref()),
        })
    }

    /// What the command line writes with --csv; none for a rally, which is no command.
    fn csv(&self) -> Option<String> {
        Some(match self.0.as_ref() {
            Found::Comparison(found) => comparison_csv(found),
            Found::Season(found) => season_csv(found),
            Found::Shaping(found) => match &found.trade_off {
                Some(trade_off) => trade_off_csv(&trade_off.courses),
                None => comparison_csv(&found.comparison),
            },
            Found::Loading(found) => loading_csv(found),
            Found::Legs(found) => legs_csv(found),
            Found::Years(found) => years_csv(found),
            Found::Rally(_) => return None,
        })
    }

    /// The passages of a route, or on a rally's route of a boat, an array a figure; none where there is no
    /// such route or they are not kept.
    #[pyo3(signature = (route, boat=None))]
    fn members<'py>(
        &self,
        py: Python<'py>,
        route: &str,
        boat: Option<&str>,
    ) -> PyResult<Option<Bound<'py, PyDict>>> {
        if let (Found::Rally(rally), Some(boat)) = (self.0.as_ref(), boat) {
            let of_route = rally.routes.iter().find(|found| found.name == route);
            let boats = of_route.map_or(&[][..], |found| &found.boats);
            let found = boats.iter().find(|found| found.name == boat);
            return found.map(|found| arrays(py, &found.ensemble)).transpose();
        }
        let ensembles = self.0.ensembles();
        let found = ensembles.iter().find(|(name, _)| *name == route);
        found.map(|(_, ensemble)| arrays(py, ensemble)).transpose()
    }

    /// The days of a season's passages on a route, by departure and member; none where there is no such
    /// route or this is no season.
    fn season_days<'py>(
        &self,
        py: Python<'py>,
        route: &str,
    ) -> PyResult<Option<Bound<'py, PyArray2<f64>>>> {
        let Found::Season(season) = self.0.as_ref() else {
            return Ok(None);
        };
        let Some(index) = season.routes.iter().position(|found| found.name == route) else {
            return Ok(None);
        };
        let rows: Vec<Vec<f64>> = season
            .departures
            .iter()
            .map(|departure| days(&departure.routes[index].ensemble))
            .collect();
        Ok(Some(PyArray2::from_vec2(py, &rows)?))
    }
}

fn days(ensemble: &Ensemble) -> Vec<f64> {
    let members = ensemble.each_member().iter();
    members
        .map(|member| member.hours.map_or(f64::INFINITY, |hours| hours / 24.0))
        .collect()
}

fn arrays<'py>(py: Python<'py>, ensemble: &Ensemble) -> PyResult<Bound<'py, PyDict>> {
    let members = || ensemble.each_member().iter();
    let arrays = PyDict::new(py);
    let set = |name: &str, values: Vec<f64>| arrays.set_item(name, values.into_pyarray(py));
    set("days", days(ensemble))?;
    let factors = members().map(|member| member.boat_factor);
    set("boat_factor", factors.collect())?;
    let hours = members().map(|member| member.under_power_hours);
    set("under_power_hours", hours.collect())?;
    let hours = members().map(|member| member.gale_hours);
    set("gale_hours", hours.collect())?;
    let hours = members().map(|member| member.hard_beat_hours);
    set("hard_beat_hours", hours.collect())?;
    let dry: Vec<bool> = members().map(|member| member.ran_dry).collect();
    arrays.set_item("ran_dry", dry.into_pyarray(py))?;
    Ok(arrays)
}
