//! A polar's speeds on a lattice of winds, for means over the true winds an observation may have been
//! made in.

use super::calibration::SpeedSource;
use super::convex_hull::ConvexHull;
use super::headings::{Headings, sin_cos};
use super::observation::SpeedObservation;
use super::polar::Polar;
use super::true_winds::{ANGLE_STEP_DEG, ANGLES, TrueWinds};

/// The winds at which speeds are worked out: each knot up to where the polar ends, every 5 degrees.
pub(super) struct Lattice {
    pub(super) rows: usize,
    on_headings: bool,
    between_fixes: bool,
}

/// Speeds on the lattice, kn, row by row; empty where no observation asks for them.
pub(super) struct LatticeSpeeds {
    on_headings: Vec<f64>,
    made_good: Vec<f64>,
}

impl Lattice {
    pub(super) fn of(prior: &Polar, observations: &[SpeedObservation]) -> Self {
        let winds_kn = prior.true_wind_speeds_kn();
        let any = |source| {
            let mut sources = observations.iter();
            sources.any(|observation| observation.source == source)
        };
        Self {
            rows: winds_kn[winds_kn.len() - 1].ceil() as usize + 1,
            on_headings: any(SpeedSource::Logged),
            between_fixes: any(SpeedSource::BetweenFixes),
        }
    }

    pub(super) fn speeds_kn(&self, polar: &Polar) -> LatticeSpeeds {
        let angles_deg = || (0..ANGLES).map(|column| column as f64 * ANGLE_STEP_DEG);
        let winds_kn = || (0..self.rows).map(|row| row as f64);
        let mut speeds = LatticeSpeeds {
            on_headings: Vec::new(),
            made_good: Vec::new(),
        };
        if self.on_headings {
            let at_wind = |wind_kn| angles_deg().map(move |deg| polar.speed_kn(wind_kn, deg));
            speeds.on_headings = winds_kn().flat_map(at_wind).collect();
        }
        if self.between_fixes {
            let headings = Headings::of(polar);
            for wind_kn in winds_kn() {
                let table_kn = polar.speeds_at_wind_kn(wind_kn);
                let hull = ConvexHull::new(&headings, &table_kn, |_, speed_kn| speed_kn);
                let mut turn = hull.turn();
                let made_good = angles_deg().map(|deg| turn.progress_kn(sin_cos(deg)));
                speeds.made_good.extend(made_good);
            }
        }
        speeds
    }
}

impl LatticeSpeeds {
    fn of(&self, source: SpeedSource) -> &[f64] {
        match source {
            SpeedSource::Logged => &self.on_headings,
            SpeedSource::BetweenFixes => &self.made_good,
        }
    }

    /// The mean of a function of the speed over the true winds.
    pub(super) fn mean_kn(
        &self,
        source: SpeedSource,
        winds: &TrueWinds,
        of: impl Fn(f64) -> f64,
    ) -> f64 {
        let speeds_kn = self.of(source);
        let in_row = |row: usize| {
            let angles = winds.angles.iter();
            angles
                .map(|&(column, weight)| weight * of(speeds_kn[row * ANGLES + column]))
                .sum::<f64>()
        };
        let rows = winds.speeds.iter();
        rows.map(|&(row, weight)| weight * in_row(row)).sum()
    }

    /// A speed against those over the true winds.
    pub(super) fn residual(
        &self,
        source: SpeedSource,
        speed_kn: f64,
        winds: &TrueWinds,
    ) -> Residual {
        let expected_kn = self.mean_kn(source, winds, |kn| kn);
        let square = self.mean_kn(source, winds, |kn| kn * kn);
        Residual {
            expected_kn,
            winds_variance: (square - expected_kn * expected_kn).max(0.0),
            off_kn: speed_kn - expected_kn,
        }
    }
}

/// An observation against a polar.
pub(super) struct Residual {
    pub(super) expected_kn: f64,
    /// Of the speed over the true winds, kn^2.
    pub(super) winds_variance: f64,
    pub(super) off_kn: f64,
}

impl Residual {
    pub(super) fn sd_kn(&self, spread: f64) -> f64 {
        (self.winds_variance + (spread * self.expected_kn).powi(2)).sqrt()
    }
}
