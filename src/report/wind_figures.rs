//! The figures of one place and month's wind: speeds in knots, shares of time, directions.

use serde::Serialize;

use crate::climate::{BeaufortForce, LOWER_BOUNDS_KN, Wind};
use crate::passage::{GALE_KN, LIGHT_AIR_KN, STRONG_KN};
use crate::units::{KN_PER_MS, MS_PER_KN};

/// What the eight sectors are called, clockwise from north.
pub(super) const SECTORS: [&str; 8] = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];

/// A wind as it is shown.
#[derive(Debug, Clone, Serialize)]
pub(super) struct WindFigures {
    /// Where the vector mean comes from; none in a wind without one.
    pub from_deg: Option<f64>,
    pub mean_speed_kn: f64,
    pub vector_mean_speed_kn: f64,
    /// Standard deviation of each component.
    pub spread_kn: f64,
    pub steadiness: Option<f64>,
    /// The force of the mean speed.
    pub force: ForceFigures,
    /// What all the others follow from.
    pub components_ms: Components,
    pub share: SpeedShares,
    pub rose: [SectorFigures; 8],
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub(super) struct ForceFigures {
    pub number: u8,
    pub name: &'static str,
}

#[derive(Debug, Clone, Copy, Serialize)]
pub(super) struct Components {
    pub toward_east: f64,
    pub toward_north: f64,
    pub spread: f64,
}

/// Shares of time by speed. Light air holds the calms, strong wind the gales.
#[derive(Debug, Clone, Copy, Serialize)]
pub(super) struct SpeedShares {
    pub calm: f64,
    pub light_air: f64,
    pub strong: f64,
    pub gale: f64,
}

/// The wind from one of eight sectors of 45 degrees.
#[derive(Debug, Clone, Copy, Serialize)]
pub(super) struct SectorFigures {
    pub from: &'static str,
    pub from_deg: f64,
    pub share: f64,
    pub mean_speed_kn: Option<f64>,
    /// The force of that mean.
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
