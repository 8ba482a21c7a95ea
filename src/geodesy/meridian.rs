//! Latitudes along a meridian: the isometric latitude, in which a Mercator chart is drawn, and the
//! rectifying latitude, proportional to the length of the meridian arc.
//!
//! Symbols, in radians: phi geodetic, psi isometric, chi conformal, mu rectifying latitude;
//! e eccentricity, n third flattening f / (2 - f).
//!
//! - psi = asinh(tan phi) - e atanh(e sin phi), and chi = atan(sinh psi).
//! - mu = chi + sum of alpha_j sin(2 j chi), chi = mu - sum of beta_j sin(2 j mu), with the series
//!   of Krueger carried to n^6: Karney, Transverse Mercator with an accuracy of a few nanometers,
//!   J. Geodesy 85, 475-485 (2011), doi:10.1007/s00190-011-0445-3, equations 7 to 9, 14, 35, 36.
//! - That the length of a rhumb line needs (mu2 - mu1) / (psi2 - psi1) as a divided difference:
//!   Karney, The area of rhumb polygons, Stud. Geophys. Geod. 68, 99-120 (2024),
//!   doi:10.1007/s11200-024-0709-z. The form used here is our own arrangement.

use std::f64::consts::FRAC_PI_2;

use super::earth::{Earth, sin_cos_deg};

const ORDER: usize = 6;

/// The meridian of one Earth: radius of its rectifying sphere and the series for its latitudes.
/// The series are good to a nanometre for flattenings up to about 1/150.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Meridian {
    radius_m: f64,
    eccentricity: f64,
    alpha: [f64; ORDER],
    beta: [f64; ORDER],
}

impl Earth {
    /// How far a Mercator chart has a latitude north of the equator, in radians of longitude: the
    /// isometric latitude. Infinite at a pole.
    pub fn isometric_latitude(&self, latitude_deg: f64) -> f64 {
        Meridian::of(*self).isometric(latitude_deg)
    }
}

impl Meridian {
    pub(super) fn of(earth: Earth) -> Self {
        let f = earth.flattening();
        let n = f / (2.0 - f);
        let n2 = n * n;
        let mean = 1.0 + n2 * (1.0 / 4.0 + n2 * (1.0 / 64.0 + n2 / 256.0));
        Self {
            radius_m: earth.equatorial_radius_m() / (1.0 + n) * mean,
            eccentricity: (f * (2.0 - f)).sqrt(),
            alpha: series(n, &ALPHA),
            beta: series(n, &BETA),
        }
    }

    /// Metres of meridian in one radian of rectifying latitude.
    pub(super) fn radius_m(&self) -> f64 {
        self.radius_m
    }

    /// psi; infinite at a pole.
    pub(super) fn isometric(&self, latitude_deg: f64) -> f64 {
        if latitude_deg.abs() == 90.0 {
            return f64::INFINITY.copysign(latitude_deg);
        }
        let (sin, cos) = sin_cos_deg(latitude_deg);
        let e = self.eccentricity;
        (sin / cos).asinh() - e * (e * sin).atanh()
    }

    /// phi in degrees from psi.
    pub(super) fn latitude_deg(&self, isometric: f64) -> f64 {
        // Newton's method on u = asinh(tan phi), for which psi = u - e atanh(e tanh u). The first
        // guess is off by at most e^2, about 0.007, and each step squares the error and divides it
        // by about 100, so the third leaves nothing.
        let e2 = self.eccentricity * self.eccentricity;
        let mut u = isometric;
        for _ in 0..3 {
            let sine = u.tanh();
            let excess = u - self.eccentricity * (self.eccentricity * sine).atanh() - isometric;
            let slope = 1.0 - e2 * (1.0 - sine * sine) / (1.0 - e2 * sine * sine);
            u -= excess / slope;
        }
        u.sinh().atan().to_degrees()
    }

    /// mu from psi.
    pub(super) fn rectifying(&self, isometric: f64) -> f64 {
        let conformal = conformal(isometric);
        let mut rectifying = conformal;
        for (j, alpha) in numbered(&self.alpha) {
            rectifying += alpha * (2.0 * j * conformal).sin();
        }
        rectifying
    }

    /// psi from mu, for mu within a quarter circle.
    pub(super) fn isometric_from_rectifying(&self, rectifying: f64) -> f64 {
        let mut conformal = rectifying;
        for (j, beta) in numbered(&self.beta) {
            conformal -= beta * (2.0 * j * rectifying).sin();
        }
        conformal.clamp(-FRAC_PI_2, FRAC_PI_2).tan().asinh()
    }

    /// (mu2 - mu1) / (psi2 - psi1), with full accuracy however close the two are; where they meet,
    /// the derivative. Both must be finite.
    ///
    /// chi2 - chi1 comes from tan((chi2 - chi1) / 2) = sinh((psi2 - psi1) / 2) /
    /// cosh((psi2 + psi1) / 2), and the series for mu is differenced term by term.
    pub(super) fn rectifying_per_isometric(&self, isometric1: f64, isometric2: f64) -> f64 {
        let half_step = (isometric2 - isometric1) / 2.0;
        let cosh_middle = ((isometric1 + isometric2) / 2.0).cosh();
        let half_turn = (half_step.sinh() / cosh_middle).atan();
        let conformal_per_isometric = if half_step == 0.0 {
            1.0 / cosh_middle
        } else {
            half_turn / half_step
        };
        let conformal_sum = conformal(isometric1) + conformal(isometric2);
        let mut rectifying_per_conformal = 1.0;
        for (j, alpha) in numbered(&self.alpha) {
            let turn = 2.0 * half_turn;
            let sine_per_turn = if turn == 0.0 {
                j
            } else {
                (j * turn).sin() / turn
            };
            rectifying_per_conformal += 2.0 * alpha * (j * conformal_sum).cos() * sine_per_turn;
        }
        rectifying_per_conformal * conformal_per_isometric
    }
}

/// chi from psi: the Gudermannian.
fn conformal(isometric: f64) -> f64 {
    isometric.sinh().atan()
}

fn numbered(coefficients: &[f64; ORDER]) -> impl Iterator<Item = (f64, f64)> {
    (1u8..).map(f64::from).zip(coefficients.iter().copied())
}

/// The coefficients of a trigonometric series, each a polynomial in n given from n^1 up.
fn series(n: f64, polynomials: &[[f64; ORDER]; ORDER]) -> [f64; ORDER] {
    polynomials.map(|terms| terms.iter().rev().fold(0.0, |sum, term| (sum + term) * n))
}

/// Karney 2011, equation 35.
const ALPHA: [[f64; ORDER]; ORDER] = [
    [
        1.0 / 2.0,
        -2.0 / 3.0,
        5.0 / 16.0,
        41.0 / 180.0,
        -127.0 / 288.0,
        7891.0 / 37800.0,
    ],
    [
        0.0,
        13.0 / 48.0,
        -3.0 / 5.0,
        557.0 / 1440.0,
        281.0 / 630.0,
        -1_983_433.0 / 1_935_360.0,
    ],
    [
        0.0,
        0.0,
        61.0 / 240.0,
        -103.0 / 140.0,
        15061.0 / 26880.0,
        167_603.0 / 181_440.0,
    ],
    [
        0.0,
        0.0,
        0.0,
        49561.0 / 161_280.0,
        -179.0 / 168.0,
        6_601_661.0 / 7_257_600.0,
    ],
    [
        0.0,
        0.0,
        0.0,
        0.0,
        34729.0 / 80640.0,
        -3_418_889.0 / 1_995_840.0,
    ],
    [0.0, 0.0, 0.0, 0.0, 0.0, 212_378_941.0 / 319_334_400.0],
];

/// Karney 2011, equation 36.
const BETA: [[f64; ORDER]; ORDER] = [
    [
        1.0 / 2.0,
        -2.0 / 3.0,
        37.0 / 96.0,
        -1.0 / 360.0,
        -81.0 / 512.0,
        96199.0 / 604_800.0,
    ],
    [
        0.0,
        1.0 / 48.0,
        1.0 / 15.0,
        -437.0 / 1440.0,
        46.0 / 105.0,
        -1_118_711.0 / 3_870_720.0,
    ],
    [
        0.0,
        0.0,
        17.0 / 480.0,
        -37.0 / 840.0,
        -209.0 / 4480.0,
        5569.0 / 90720.0,
    ],
    [
        0.0,
        0.0,
        0.0,
        4397.0 / 161_280.0,
        -11.0 / 504.0,
        -830_251.0 / 7_257_600.0,
    ],
    [
        0.0,
        0.0,
        0.0,
        0.0,
        4583.0 / 161_280.0,
        -108_847.0 / 3_991_680.0,
    ],
    [0.0, 0.0, 0.0, 0.0, 0.0, 20_648_693.0 / 638_668_800.0],
];

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    /// Radians: under a nanometre on the ground.
    const ANGLE_TOLERANCE: f64 = 1e-15;

    #[test]
    fn the_quarter_meridian_of_wgs84_has_its_known_length() {
        // GeographicLib test RhumbSolve0: from the equator to the pole, to 1 mm.
        let meridian = Meridian::of(Earth::WGS84);
        let quarter_m = meridian.radius_m() * meridian.rectifying(f64::INFINITY);
        assert_abs_diff_eq!(quarter_m, 10_001_965.729, epsilon = 5e-4);
    }

    #[test]
    fn latitudes_come_back_from_their_isometric_and_rectifying_forms() {
        let meridian = Meridian::of(Earth::WGS84);
        for tenths in -899..=899 {
            let latitude_deg = f64::from(tenths) / 10.0;
            let isometric = meridian.isometric(latitude_deg);
            let back_deg = meridian.latitude_deg(isometric);
            assert_abs_diff_eq!(back_deg, latitude_deg, epsilon = 5e-14);
            let again = meridian.isometric_from_rectifying(meridian.rectifying(isometric));
            assert_abs_diff_eq!(
                conformal(again),
                conformal(isometric),
                epsilon = ANGLE_TOLERANCE
            );
        }
    }

    #[test]
    fn the_divided_difference_meets_the_plain_one_where_that_is_sound() {
        let meridian = Meridian::of(Earth::WGS84);
        for (psi1, psi2) in [(-0.5, 0.7), (0.1, 2.0), (3.0, 1.0), (-5.0, 5.0)] {
            let plain = (meridian.rectifying(psi2) - meridian.rectifying(psi1)) / (psi2 - psi1);
            let divided = meridian.rectifying_per_isometric(psi1, psi2);
            assert_abs_diff_eq!(divided, plain, epsilon = ANGLE_TOLERANCE);
        }
    }

    #[test]
    fn where_the_two_latitudes_meet_it_is_the_radius_of_the_parallel() {
        let meridian = Meridian::of(Earth::WGS84);
        for latitude_deg in [0.0, 30.0, -45.0, 85.0] {
            let psi = meridian.isometric(latitude_deg);
            let (_, reduced_cos) = Earth::WGS84.reduced_sin_cos(latitude_deg);
            let parallel_m = Earth::WGS84.equatorial_radius_m() * reduced_cos;
            let found_m = meridian.radius_m() * meridian.rectifying_per_isometric(psi, psi);
            assert_abs_diff_eq!(found_m, parallel_m, epsilon = 1e-8);
        }
    }
}
