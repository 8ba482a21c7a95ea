//! A voyage leg by leg, or laid off in pieces.

use schemars::JsonSchema;
use serde::Serialize;

use super::compare::{Comparison, RouteResult, compare};
use super::{Options, StudyError};
use crate::climate::Climate;
use crate::passage::{LayOff, MedianPassage, Piece, check_lay_off, lay_off};
use crate::voyage::Voyage;

/// A voyage's routes leg by leg, and if asked for in pieces.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct Legs {
    /// The routes, with their legs.
    #[serde(flatten)]
    pub comparison: Comparison,
    /// How the routes are laid off in pieces, as it is written after `--by`; none where it was not
    /// asked for.
    #[schemars(with = "Option<String>")]
    pub by: Option<LayOff>,
    /// Each route laid off, in the voyage's order; empty where it was not asked for.
    pub laid_off: Vec<LaidOffRoute>,
}

/// A route laid off in pieces along its median passage.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct LaidOffRoute {
    /// The route's name.
    pub name: String,
    /// The pieces, from the start to the end; empty where half of the passages do not arrive or the
    /// boat stalls on the mean wind.
    pub pieces: Vec<Piece>,
}

impl Legs {
    /// Each route with its pieces; none where they were not asked for.
    pub fn routes(&self) -> impl Iterator<Item = (&RouteResult, Option<&LaidOffRoute>)> {
        let routes = self.comparison.routes.iter().enumerate();
        routes.map(|(index, route)| (route, self.laid_off.get(index)))
    }
}

/// The routes of a voyage leg by leg, and laid off in pieces where `by` says how. Assumptions are not
/// moved.
///
/// # Errors
/// What [`check_lay_off`] and [`compare`] find wrong.
pub fn legs(
    voyage: &Voyage,
    climate: &Climate,
    options: &Options,
    by: Option<LayOff>,
) -> Result<Legs, StudyError> {
    if let Some(by) = by {
        for route in &voyage.routes {
            check_lay_off(route, voyage.step, by)?;
        }
    }
    let comparison = compare(voyage, climate, &options.without_swings())?;
    let laid_off = match by {
        None => Vec::new(),
        Some(by) => {
            let routes = comparison.routes.iter();
            let routes = routes.map(|route| laid_off(voyage, route, by));
            routes.collect::<Result<_, _>>()?
        }
    };
    Ok(Legs {
        comparison,
        by,
        laid_off,
    })
}

fn laid_off(voyage: &Voyage, result: &RouteResult, by: LayOff) -> Result<LaidOffRoute, StudyError> {
    let route = &result.route;
    let walk = result.expected.as_ref();
    let pieces = match (walk, MedianPassage::of(route, walk, &result.ensemble)) {
        (Some(walk), Some(median)) => {
            lay_off(route, walk, &median, voyage.departure, voyage.step, by)?
        }
        _ => Vec::new(),
    };
    Ok(LaidOffRoute {
        name: result.name.clone(),
        pieces,
    })
}
