//! Where the data behind a page come from, and under which licence.

use serde::Serialize;

use crate::report::Study;

/// One dataset.
#[derive(Debug, Serialize)]
pub(super) struct Origin {
    what: &'static str,
    origin: String,
    licence: &'static str,
}

/// Everything a page rests on.
pub(super) fn origins(study: &Study<'_>) -> Vec<Origin> {
    let winds = if study.voyage.climate.file.is_some() {
        Origin {
            what: "Winds",
            origin: study.climate.label().to_owned(),
            licence: "the crew's own file; as its makers say",
        }
    } else {
        Origin {
            what: "Winds and air temperature",
            origin: "monthly ship observations (COADS), repaired with US Navy monthly winds; from \
                     the Debian package ferret-datasets"
                .to_owned(),
            licence: "public domain (US Government)",
        }
    };
    let land = Origin {
        what: "Land",
        origin: "Natural Earth 1:10m land, from the npm package world-atlas 2.0.2, simplified"
            .to_owned(),
        licence: "public domain",
    };
    let variation = Origin {
        what: "Magnetic variation",
        origin: "World Magnetic Model 2025 and 2020, NOAA".to_owned(),
        licence: "public domain (US Government)",
    };
    vec![winds, land, variation]
}
