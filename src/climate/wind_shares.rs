//! Shares of time by wind speed and direction, integrated from the wind's distribution.
//!
//! For a fixed direction at angle a off the mean vector, the integral over speed from V up is
//!
//! exp(-m^2 sin^2 a / 2 s^2) / 2 pi * [exp(-q^2) + (p / s) sqrt(pi / 2) erfc(q)],
//! p = m cos a,  q = (V - p) / (s sqrt 2)
//!
//! (own integration of the bivariate normal density in polar coordinates), which leaves one
//! integral over angle. Without a limit on direction the angle integrates to a Bessel function
//! instead (the Rice density) and the integral over speed is left. Panels are sized by the width
//! the density has, so that a steady wind costs no more than a variable one.

use std::f64::consts::{FRAC_PI_2, PI, SQRT_2, TAU};

use schemars::JsonSchema;
use serde::Serialize;

use super::bessel::i0_scaled;
use super::wind::Wind;
use crate::units::{Course, WindFrom, wrap_180_deg};

/// Points on (0, 1) and their weights; the rule mirrors them about 0. Computed with
/// `numpy.polynomial.legendre.leggauss(12)`; the crate gauss-quad 0.3 would bring nalgebra and seven more for them.
const HALF_RULE: [(f64, f64); 6] = [
    (0.1252334085114689, 0.2491470458134027),
    (0.3678314989981802, 0.2334925365383546),
    (0.5873179542866175, 0.20316742672306573),
    (0.7699026741943047, 0.16007832854334642),
    (0.9041172563704748, 0.10693932599531907),
    (0.9815606342467192, 0.04717533638651141),
];

/// The integral of `f` from `from` to `to`, in equal panels at most `panel` wide; 0 where `to` is
/// not beyond `from`.
pub(super) fn integrate<const N: usize>(
    from: f64,
    to: f64,
    panel: f64,
    f: impl Fn(f64) -> [f64; N],
) -> [f64; N] {
    let mut sum = [0.0; N];
    if to <= from {
        return sum;
    }
    let panels = ((to - from) / panel).ceil().max(1.0);
    let half = 0.5 * (to - from) / panels;
    for index in 0..panels as usize {
        let middle = from + (2.0 * index as f64 + 1.0) * half;
        for (point, weight) in HALF_RULE {
            let (left, right) = (f(middle - half * point), f(middle + half * point));
            for ((sum, left), right) in sum.iter_mut().zip(left).zip(right) {
                *sum += weight * (left + right);
            }
        }
    }
    sum.map(|sum| sum * half)
}

/// Deviations beyond this many standard deviations are left out; their share is below 1e-8.
const TAIL_DEVIATIONS: f64 = 6.0;

/// Panel width in units of the density's own width; 12 points on four of them err below 1e-8.
const PANEL_WIDTHS: f64 = 4.0;

/// Below this share a sector holds too little wind to have a mean speed.
const LEAST_SHARE: f64 = 1e-9;

/// The part of the time the wind blows from one of eight equal sectors.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct RoseSector {
    /// The middle of the sector; it reaches 22.5 degrees to either side.
    pub from: WindFrom,
    /// Share of time, 0 to 1. The eight sum to 1.
    pub share: f64,
    /// Mean speed while the wind is in this sector, m/s; `None` where it never is.
    pub mean_speed_ms: Option<f64>,
}

impl Wind {
    /// Share of time with `speed_ms` or more, 0 to 1.
    pub fn share_at_or_above(&self, speed_ms: f64) -> f64 {
        let vector_mean_ms = self.vector_mean_speed_ms();
        if speed_ms <= 0.0 {
            return 1.0;
        }
        if self.s_ms <= 0.0 {
            return if vector_mean_ms >= speed_ms { 1.0 } else { 0.0 };
        }
        // The smaller tail is the one integrated, so that rare gales keep their digits.
        if speed_ms > vector_mean_ms {
            let end_ms = speed_ms.max(vector_mean_ms) + TAIL_DEVIATIONS * self.s_ms;
            self.share_between(vector_mean_ms, speed_ms, end_ms)
                .min(1.0)
        } else {
            let start_ms = (vector_mean_ms - TAIL_DEVIATIONS * self.s_ms).max(0.0);
            (1.0 - self.share_between(vector_mean_ms, start_ms, speed_ms)).max(0.0)
        }
    }

    /// Share of time with less than `speed_ms`, 0 to 1.
    pub fn share_below(&self, speed_ms: f64) -> f64 {
        1.0 - self.share_at_or_above(speed_ms)
    }

    /// Share of time the wind comes from within `half_angle_deg` of the course, on either bow.
    /// 180 degrees or more is all of it, 0 or less nothing.
    pub fn share_within(&self, course: Course, half_angle_deg: f64) -> f64 {
        self.share_within_at_or_above(course, half_angle_deg, 0.0)
    }

    /// Share of time the wind comes from within `half_angle_deg` of the course and blows with
    /// `speed_ms` or more.
    pub fn share_within_at_or_above(
        &self,
        course: Course,
        half_angle_deg: f64,
        speed_ms: f64,
    ) -> f64 {
        if half_angle_deg >= 180.0 {
            return self.share_at_or_above(speed_ms);
        }
        if half_angle_deg <= 0.0 {
            return 0.0;
        }
        let off_mean_deg = wrap_180_deg(course.deg() - self.direction().deg());
        if self.s_ms <= 0.0 {
            let blows = self.vector_mean_speed_ms() >= speed_ms;
            return if blows && off_mean_deg.abs() < half_angle_deg {
                1.0
            } else {
                0.0
            };
        }
        let polar = PolarDensity::new(self, speed_ms.max(0.0));
        let [share] = polar.over_arc(off_mean_deg, half_angle_deg, |angle| [polar.share(angle)]);
        share.clamp(0.0, 1.0)
    }

    /// The wind by eight sectors of 45 degrees, the first centred on north, then clockwise.
    pub fn rose(&self) -> [RoseSector; 8] {
        let direction_deg = self.direction().deg();
        let polar = PolarDensity::new(self, 0.0);
        std::array::from_fn(|index| {
            let from = WindFrom::from_deg(45.0 * index as f64);
            let off_mean_deg = wrap_180_deg(from.deg() - direction_deg);
            let [share, speed_ms] = if self.s_ms > 0.0 {
                polar.over_arc(off_mean_deg, 22.5, |angle| {
                    [polar.share(angle), polar.speed_ms(angle)]
                })
            } else if (-22.5..22.5).contains(&off_mean_deg) {
                [1.0, self.vector_mean_speed_ms()]
            } else {
                [0.0, 0.0]
            };
            RoseSector {
                from,
                share,
                mean_speed_ms: (share > LEAST_SHARE).then(|| speed_ms / share),
            }
        })
    }

    /// The integral of the Rice density over speed.
    fn share_between(&self, vector_mean_ms: f64, from_ms: f64, to_ms: f64) -> f64 {
        let per_s = 1.0 / self.s_ms;
        let [share] = integrate(from_ms, to_ms, PANEL_WIDTHS * self.s_ms, |speed_ms| {
            let off = (speed_ms - vector_mean_ms) * per_s;
            let bessel = i0_scaled(speed_ms * vector_mean_ms * per_s * per_s);
            [speed_ms * per_s * per_s * (-0.5 * off * off).exp() * bessel]
        });
        share
    }
}

/// The wind's density over direction, above a least speed. Angles are radians off the mean vector.
struct PolarDensity {
    /// m / s.
    vector_mean_over_s: f64,
    /// V / s.
    least_speed_over_s: f64,
    s_ms: f64,
    /// Beyond this angle on either side nothing is left worth counting.
    reach_rad: f64,
    panel_rad: f64,
}

impl PolarDensity {
    fn new(wind: &Wind, least_speed_ms: f64) -> Self {
        let vector_mean_over_s = wind.vector_mean_speed_ms() / wind.s_ms;
        let least_speed_over_s = least_speed_ms / wind.s_ms;
        // At one speed V the standard deviation of the direction is about 1 / sqrt(m V) / s; the narrowest counts.
        let narrowest = vector_mean_over_s * vector_mean_over_s.max(least_speed_over_s);
        let reach_rad = if vector_mean_over_s > TAIL_DEVIATIONS {
            (TAIL_DEVIATIONS / vector_mean_over_s).asin()
        } else {
            PI
        };
        Self {
            vector_mean_over_s,
            least_speed_over_s,
            s_ms: wind.s_ms,
            reach_rad,
            panel_rad: PANEL_WIDTHS * narrowest.sqrt().recip().min(1.0),
        }
    }

    /// Share of time per radian.
    fn share(&self, angle_rad: f64) -> f64 {
        let (sin, cos) = angle_rad.sin_cos();
        let across = self.vector_mean_over_s * sin;
        let along = self.vector_mean_over_s * cos;
        let q = (self.least_speed_over_s - along) / SQRT_2;
        (-0.5 * across * across).exp() / TAU
            * ((-q * q).exp() + along * FRAC_PI_2.sqrt() * libm::erfc(q))
    }

    /// Speed integrated over time, m/s per radian, whatever the least speed.
    fn speed_ms(&self, angle_rad: f64) -> f64 {
        let (sin, cos) = angle_rad.sin_cos();
        let across = self.vector_mean_over_s * sin;
        let along = self.vector_mean_over_s * cos;
        let q = -along / SQRT_2;
        self.s_ms * (-0.5 * across * across).exp() / TAU
            * ((along * along + 1.0) * FRAC_PI_2.sqrt() * libm::erfc(q) + along * (-q * q).exp())
    }

    /// The integral over the arc of `half_angle_deg` to either side of `middle_deg` off the mean.
    fn over_arc<const N: usize>(
        &self,
        middle_deg: f64,
        half_angle_deg: f64,
        f: impl Fn(f64) -> [f64; N],
    ) -> [f64; N] {
        let middle_rad = middle_deg.to_radians();
        let half_rad = half_angle_deg.to_radians();
        let mut sum = [0.0; N];
        // The arc may reach past the point opposite the mean, into the next turn on either side.
        for turn_rad in [-TAU, 0.0, TAU] {
            let from = (middle_rad - half_rad + turn_rad).max(-self.reach_rad);
            let to = (middle_rad + half_rad + turn_rad).min(self.reach_rad);
            for (sum, part) in sum.iter_mut().zip(integrate(from, to, self.panel_rad, &f)) {
                *sum += part;
            }
        }
        sum
    }
}

#[cfg(test)]
#[path = "wind_shares_tests.rs"]
mod tests;
