//! A displacement hull in smooth water: its hull speed, and its drag from length and displacement.

use crate::units::{GRAVITY_MS2, KN_PER_MS};

/// The speed (kn) of a deep-water wave as long as the waterline (m), at which a displacement hull
/// would have to climb its own bow wave.
///
/// Formula: sqrt(g L / 2 pi), the deep-water dispersion relation. In feet it is 1.34 sqrt(L).
pub fn hull_speed_kn(waterline_length_m: f64) -> f64 {
    (GRAVITY_MS2 * waterline_length_m / std::f64::consts::TAU).sqrt() * KN_PER_MS
}

/// Density of sea water, kg/m^3, at 15 C (from memory).
pub(super) const SEA_WATER_KG_M3: f64 = 1025.0;
/// Kinematic viscosity of sea water, m^2/s, at 15 C (from memory).
const SEA_WATER_VISCOSITY_M2_S: f64 = 1.19e-6;
/// Wetted surface of the canoe body over sqrt(volume x length), the form of Taylor's formula (from
/// memory; 2.6 is the middle of its range).
const WETTED_SURFACE_FACTOR: f64 = 2.6;
/// Share of the waterline that a yacht's mean Reynolds number is taken on (from memory, as in the
/// Delft tests of yacht hulls).
const FRICTION_LENGTH_SHARE: f64 = 0.7;
/// Added to the friction line for paint and slime (from memory, the usual roughness allowance).
const ROUGHNESS: f64 = 0.0004;

/// Residuary drag over weight by Froude number V / sqrt(g L): wave making, small below 0.3 and a
/// wall above 0.4. A moderate cruiser; the shape of the Delft results, values from memory and
/// rounded.
const RESIDUARY: [(f64, f64); 10] = [
    (0.00, 0.0),
    (0.10, 0.0002),
    (0.15, 0.0005),
    (0.20, 0.0012),
    (0.25, 0.0026),
    (0.30, 0.0055),
    (0.35, 0.0115),
    (0.40, 0.0250),
    (0.45, 0.0480),
    (0.50, 0.0700),
];

/// What a hull's drag depends on.
#[derive(Debug, Clone, Copy)]
pub(super) struct HullDrag {
    pub(super) waterline_length_m: f64,
    pub(super) displacement_kg: f64,
    /// Wetted surface with keel and rudder over that of the canoe body.
    pub(super) appendage_factor: f64,
}

impl HullDrag {
    /// Drag in newtons at a speed above 0 in m/s: friction plus residuary drag, which both grow
    /// with displacement.
    ///
    /// Friction: the ITTC 1957 line, Cf = 0.075 / (log10 Re - 2)^2 (from memory).
    pub(super) fn newtons(&self, speed_ms: f64) -> f64 {
        let length_m = self.waterline_length_m;
        let volume_m3 = self.displacement_kg / SEA_WATER_KG_M3;
        let wetted_m2 =
            WETTED_SURFACE_FACTOR * (volume_m3 * length_m).sqrt() * self.appendage_factor;
        let reynolds = speed_ms * FRICTION_LENGTH_SHARE * length_m / SEA_WATER_VISCOSITY_M2_S;
        let friction = 0.075 / (reynolds.log10() - 2.0).powi(2) + ROUGHNESS;
        let froude = speed_ms / (GRAVITY_MS2 * length_m).sqrt();
        let weight_n = self.displacement_kg * GRAVITY_MS2;
        0.5 * SEA_WATER_KG_M3 * wetted_m2 * friction * speed_ms * speed_ms
            + weight_n * between(&RESIDUARY, froude)
    }
}

/// Reads a table of (x, y) with rising x, straight between its rows and level beyond its ends.
pub(super) fn between(table: &[(f64, f64)], x: f64) -> f64 {
    let above = table.partition_point(|&(node, _)| node <= x);
    if above == 0 {
        return table[0].1;
    }
    if above == table.len() {
        return table[above - 1].1;
    }
    let ((x0, y0), (x1, y1)) = (table[above - 1], table[above]);
    y0 + (x - x0) / (x1 - x0) * (y1 - y0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drag(displacement_kg: f64) -> HullDrag {
        HullDrag {
            waterline_length_m: 10.0,
            displacement_kg,
            appendage_factor: 1.25,
        }
    }

    #[test]
    fn drag_rises_with_speed_and_displacement() {
        let speeds_ms: Vec<f64> = (1..=48).map(|i| f64::from(i) * 0.1).collect();
        for pair in speeds_ms.windows(2) {
            assert!(drag(10_000.0).newtons(pair[1]) > drag(10_000.0).newtons(pair[0]));
            assert!(drag(11_000.0).newtons(pair[1]) > drag(10_000.0).newtons(pair[1]));
        }
    }

    #[test]
    fn at_hull_speed_drag_is_a_few_per_cent_of_weight() {
        // Common practice, no source: 3 to 5 per cent for a cruiser.
        let hull_speed_ms = (GRAVITY_MS2 * 10.0 / std::f64::consts::TAU).sqrt();
        let share = drag(10_000.0).newtons(hull_speed_ms) / (10_000.0 * GRAVITY_MS2);
        assert!((0.03..0.05).contains(&share), "{share}");
    }

    #[test]
    fn tables_are_straight_between_rows_and_level_beyond() {
        let table = [(1.0, 10.0), (3.0, 20.0)];
        assert_eq!(between(&table, 0.0), 10.0);
        assert_eq!(between(&table, 1.5), 12.5);
        assert_eq!(between(&table, 3.0), 20.0);
        assert_eq!(between(&table, 9.0), 20.0);
    }
}
