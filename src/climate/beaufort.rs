//! The Beaufort scale: forces, their names and their lower bounds in knots.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

/// A Beaufort force, 0 to 12.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, JsonSchema, Serialize)]
pub struct BeaufortForce(u8);

/// The lowest speed of forces 1 to 12, in knots at 10 m (WMO Beaufort table; the table gives whole
/// knots, so a speed between two rows belongs to the lower).
pub const LOWER_BOUNDS_KN: [f64; 12] = [
    1.0, 4.0, 7.0, 11.0, 17.0, 22.0, 28.0, 34.0, 41.0, 48.0, 56.0, 64.0,
];

/// A gale: force 8 and more, in knots.
pub const GALE_KN: f64 = LOWER_BOUNDS_KN[7];

const NAMES: [&str; 13] = [
    "calm",
    "light air",
    "light breeze",
    "gentle breeze",
    "moderate breeze",
    "fresh breeze",
    "strong breeze",
    "near gale",
    "gale",
    "strong gale",
    "storm",
    "violent storm",
    "hurricane",
];

impl BeaufortForce {
    /// The force of a wind of `speed_kn` knots.
    pub fn from_speed_kn(speed_kn: f64) -> Self {
        let bounds_reached = LOWER_BOUNDS_KN
            .iter()
            .filter(|&&bound| speed_kn >= bound)
            .count();
        // Twelve bounds, so the count fits.
        Self(bounds_reached as u8)
    }

    /// The force's number, 0 to 12.
    pub fn number(self) -> u8 {
        self.0
    }

    /// The force's name in the WMO table, in lower case.
    pub fn name(self) -> &'static str {
        NAMES[usize::from(self.0)]
    }
}

impl fmt::Display for BeaufortForce {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "force {}", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_bound_starts_its_force() {
        for (below, &bound) in LOWER_BOUNDS_KN.iter().enumerate() {
            let force = |speed_kn| usize::from(BeaufortForce::from_speed_kn(speed_kn).number());
            assert_eq!(force(bound), below + 1);
            assert_eq!(force(bound - 0.001), below);
        }
    }

    #[test]
    fn forces_have_the_names_of_the_wmo_table() {
        let name = |speed_kn| BeaufortForce::from_speed_kn(speed_kn).name();
        assert_eq!(name(0.0), "calm");
        assert_eq!(name(14.0), "moderate breeze");
        assert_eq!(name(30.0), "near gale");
        assert_eq!(name(34.0), "gale");
        assert_eq!(name(90.0), "hurricane");
    }

    /// Mean speed of each force by WMO code 1100, as tabled by Armagh Observatory.
    #[test]
    fn the_mean_speed_of_each_force_lies_in_it() {
        let code_1100_kn = [
            0.0, 2.0, 5.0, 9.0, 13.0, 19.0, 24.0, 30.0, 37.0, 44.0, 52.0, 60.0,
        ];
        for (force, speed_kn) in (0..).zip(code_1100_kn) {
            assert_eq!(BeaufortForce::from_speed_kn(speed_kn).number(), force);
        }
    }
}
