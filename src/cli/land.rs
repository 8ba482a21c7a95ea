//! The check for land that goes before every walk.

use super::CliError;
use super::arguments::LandOptions;
use crate::report::land_warnings;
use crate::route::{Land, LandCheck, Route};

/// Checks routes for land: a warning for each crossing, or an error where asked.
pub(super) fn look_out(
    routes: &[Route],
    options: &LandOptions,
) -> Result<Vec<LandCheck>, CliError> {
    let land = Land::natural_earth();
    let checks: Vec<LandCheck> = routes
        .iter()
        .map(|route| LandCheck::of(route, land))
        .collect();
    let warnings = land_warnings(routes, &checks);
    if options.strict && !warnings.is_empty() {
        return Err(CliError::OverLand { warnings });
    }
    for warning in warnings {
        eprintln!("offing: warning: {warning}");
    }
    Ok(checks)
}
