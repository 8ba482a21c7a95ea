//! A polar as a polar file, which a voyage file can name.

use std::fmt::Write as _;

use crate::boat::Polar;
use crate::study::{BoatSpeeds, LearnedBoat};

/// The boat's polar before the factor, so that a voyage that names this file and keeps its factor
/// has the same boat.
pub fn polar_csv(speeds: &BoatSpeeds) -> String {
    let heading = format!(
        "# The polar before the factor of {}, which stays in the voyage file.\n",
        speeds.boat.factor
    );
    heading + &rows(speeds.sailed.given_polar())
}

/// A polar learned from logs.
pub fn learned_csv(learned: &LearnedBoat) -> String {
    let of = &learned.learned;
    let heading = format!(
        "# Learned from {}: {} entries. The sea is in it:\n\
         # polar_from = \"sea\", factor_uncertainty = {}, and no other factor.\n",
        learned.files.join(", "),
        of.logged_speeds + of.stretches,
        of.factor_uncertainty
    );
    heading + &rows(&of.polar)
}

fn rows(polar: &Polar) -> String {
    let mut text = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n".to_owned();
    // A calm in which the boat does not move is implied, as in most polar files.
    let angles_deg = polar.true_wind_angles_deg();
    let moves = |wind_kn: f64| {
        wind_kn > 0.0
            || angles_deg
                .iter()
                .any(|&deg| polar.speed_kn(wind_kn, deg) > 0.0)
    };
    let winds_kn = polar.true_wind_speeds_kn().iter().copied();
    for wind_kn in winds_kn.filter(|&wind_kn| moves(wind_kn)) {
        for &angle_deg in angles_deg {
            let speed_kn = polar.speed_kn(wind_kn, angle_deg);
            writeln!(text, "{wind_kn},{angle_deg},{speed_kn:.4}").expect("memory takes every row");
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::boat_speeds;
    use crate::voyage::Voyage;

    #[test]
    fn it_is_read_back_as_the_same_polar() {
        let voyage = Voyage::demo().unwrap();
        let read = Polar::parse(&polar_csv(&boat_speeds(&voyage)), "polar.csv").unwrap();
        assert_eq!(&read, voyage.boat.given_polar());
        assert_ne!(&read, voyage.boat.polar(), "the factor is not in it");
    }
}
