//! The figures of one place and month's wind: speeds in knots, shares of time, directions.

use schemars::JsonSchema;
use serde::Serialize;

use crate::climate::{BeaufortForce, LOWER_BOUNDS_KN, Wind};
use crate::passage::{GALE_KN, LIGHT_AIR_KN, STRONG_KN};
use crate::units::{KN_PER_MS, MS_PER_KN};

/// What the eight sectors are called, clockwise from north.
pub(super) const SECTORS: [&str; 8] = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];

/// A wind as it is shown.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(super) struct WindFigures {
    /// Where the mean vector comes from, degrees true; none where there is none.
    pub from_deg: Option<f64>,
    /// Mean speed whatever the direction, knots.
    pub mean_speed_kn: f64,
    /// Size of the mean vector, knots.
    pub vector_mean_speed_kn: f64,
    /// Standard deviation of each component, knots.
    pub spread_kn: f64,
    /// Vector mean over mean speed, 0 to 1; none where the wind is always nil.
    pub steadiness: Option<f64>,
    /// The Beaufort force of the mean speed.
    pub force: ForceFigures,
    /// What all the others follow from, metres per second.
    pub components_ms: Components,
    /// Shares of time by speed, 0 to 1.
    pub share: SpeedShares,
    /// The wind by eight sectors, clockwise from north.
    pub rose: [SectorFigures; 8],
}

/// A Beaufort force.

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
pub(super) struct ForceFigures {
    /// Its number, 0 to 12.
    pub number: u8,
    /// What it is called.
    pub name: &'static str,
}

/// A wind by its two components, metres per second.
#[derive(Debug, Clone, Copy, JsonSchema, Serialize)]
pub(super) struct Components {
    /// Mean component toward the east, metres per second.
    pub toward_east: f64,
    /// Mean component toward the north, metres per second.
    pub toward_north: f64,
    /// Standard deviation of each, metres per second.
    pub spread: f64,
}

/// Shares of time by speed. Light air holds the calms, strong wind the gales.
#[derive(Debug, Clone, Copy, JsonSchema, Serialize)]
pub(super) struct SpeedShares {
    /// Share of the time below 1 kn.
    pub calm: f64,
    /// Share of the time below 6 kn.
    pub light_air: f64,
    /// Share of the time at 22 kn or more.
    pub strong: f64,
    /// Share of the time at 34 kn or more.
    pub gale: f64,
}

/// The wind from one of eight sectors of 45 degrees.
#[derive(Debug, Clone, Copy, JsonSchema, Serialize)]
pub(super) struct SectorFigures {
    /// The direction of its middle.
    #[schemars(extend("enum" = SECTORS))]
    pub from: &'static str,
    /// The direction of its middle, degrees true.
    pub from_deg: f64,
    /// Share of the time the wind comes from it, 0 to 1.
    pub share: f64,
    /// Mean speed of the wind from it, knots; none where there is none.
    pub mean_speed_kn: Option<f64>,
    /// The Beaufort force of that mean.
    pub force: Option<ForceFigures>,
}

impl ForceFigures {
    fn of(speed_kn: f64) -> Self {
        let force = BeaufortForce::from_speed_kn(speed_kn);
        Self {
            number: force.number(),
            name: force.name(),
        }
    }
}

impl WindFigures {
    pub(super) fn of(wind: &Wind) -> Self {
        let mean_speed_kn = wind.mean_speed_ms() * KN_PER_MS;
        let vector_mean_speed_kn = wind.vector_mean_speed_ms() * KN_PER_MS;
        let mut names = SECTORS.into_iter();
        Self {
            from_deg: (vector_mean_speed_kn > 0.0).then(|| wind.direction().deg()),
            mean_speed_kn,
            vector_mean_speed_kn,
            spread_kn: wind.s_ms * KN_PER_MS,
            steadiness: wind.steadiness(),
            force: ForceFigures::of(mean_speed_kn),
            components_ms: Components {
                toward_east: wind.u_ms,
                toward_north: wind.v_ms,
                spread: wind.s_ms,
            },
            share: SpeedShares {
                calm: wind.share_below(LOWER_BOUNDS_KN[0] * MS_PER_KN),
                light_air: wind.share_below(LIGHT_AIR_KN * MS_PER_KN),
                strong: wind.share_at_or_above(STRONG_KN * MS_PER_KN),
                gale: wind.share_at_or_above(GALE_KN * MS_PER_KN),
            },
            rose: wind.rose().map(|sector| {
                let mean_speed_kn = sector.mean_speed_ms.map(|speed_ms| speed_ms * KN_PER_MS);
                SectorFigures {
                    from: names.next().unwrap_or_default(),
                    from_deg: sector.from.deg(),
                    share: sector.share,
                    mean_speed_kn,
                    force: mean_speed_kn.map(ForceFigures::of),
                }
            }),
        }
    }
}
