//! From the options that every command shares to a voyage whose routes are walked.

use super::CliError;
use super::arguments::VoyageOptions;
use crate::climate::Climate;
use crate::passage::{PassageError, Voyage, Walk, walk_expected};
use crate::report::Study;

/// A voyage, its winds and its walks, owned.
pub(super) struct Walked {
    voyage: Voyage,
    climate: Climate,
    walks: Vec<Walk>,
}

impl Walked {
    /// Walks every route of the voyage, or only the one called `only`.
    pub(super) fn new(options: &VoyageOptions, only: Option<&str>) -> Result<Self, CliError> {
        let mut voyage = match &options.voyage {
            Some(file) => Voyage::read(file),
            None => Voyage::demo(),
        }
        .map_err(PassageError::from)?;
        if let Some(departure) = options.departure {
            voyage.leave_on(departure).map_err(CliError::Departure)?;
        }
        if let Some(only) = only {
            let names = voyage
                .routes
                .iter()
                .map(|route| route.name().to_owned())
                .collect();
            voyage.routes.retain(|route| route.name() == only);
            if voyage.routes.is_empty() {
                return Err(CliError::NoSuchRoute {
                    found: only.to_owned(),
                    names,
                });
            }
        }
        let climate = voyage.open_climate().map_err(PassageError::from)?;
        let walks = voyage
            .routes
            .iter()
            .map(|route| walk_expected(&voyage, route, &climate))
            .collect::<Result<_, _>>()?;
        Ok(Self {
            voyage,
            climate,
            walks,
        })
    }

    pub(super) fn study(&self) -> Study<'_> {
        Study {
            voyage: &self.voyage,
            climate: &self.climate,
            walks: &self.walks,
        }
    }
}
