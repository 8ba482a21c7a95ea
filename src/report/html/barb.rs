//! The station model's wind: a staff toward where the wind comes from, and barbs for its speed.
//!
//! Half a barb is 5 kn, a barb 10, a pennant 50, the speed rounded to the nearest 5; a wind below
//! 2.5 kn is a calm. Barbs stand on the side of the lower pressure. By Buys Ballot's law that is
//! to the left of one with the wind at his back in the north and to the right in the south; seen
//! from the station along the staff, against the wind, it is the right in the north and the left in
//! the south. The symbol is the WMO's; its increments and sides are from memory, and matplotlib's
//! `barbs` (3.11 documentation: barbs to the right, toward low pressure in the northern hemisphere,
//! unless `flip_barb`) agrees.

use super::svg::{Path, Point};

/// A wind drawn at a station.
#[derive(Debug, Clone, Default)]
pub(super) struct Barb {
    pub staff: Path,
    pub barbs: Path,
    /// The pennants, to be filled.
    pub pennants: Path,
}

/// What a speed is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Strokes {
    pennants: u32,
    barbs: u32,
    half_barb: bool,
}

impl Strokes {
    fn of(speed_kn: f64) -> Self {
        let fives = (speed_kn / 5.0).round() as u32;
        Self {
            pennants: fives / 10,
            barbs: fives % 10 / 2,
            half_barb: fives % 2 == 1,
        }
    }
}

/// Draws a wind at `station` with a staff `length` long; none for a calm. `from` is the way the wind comes from on
/// the drawing, a unit vector with y downward.
pub(super) fn barb(
    station: Point,
    from: Point,
    speed_kn: f64,
    southern: bool,
    length: f64,
) -> Option<Barb> {
    let strokes = Strokes::of(speed_kn);
    if strokes == Strokes::of(0.0) {
        return None;
    }
    // With y downward, (-y, x) is a quarter turn clockwise: to the right of one looking upwind.
    let side = if southern {
        [from[1], -from[0]]
    } else {
        [-from[1], from[0]]
    };
    let at = |along: f64, aside: f64| {
        [0, 1].map(|i| station[i] + length * (along * from[i] + aside * side[i]))
    };
    const GAP: f64 = 0.15;
    const WIDTH: f64 = 0.42;
    /// Barbs lean outward, away from the station.
    const LEAN: f64 = 0.16;
    let mut drawn = Barb::default();
    drawn.staff.add(&[station, at(1.0, 0.0)], false);
    let mut place = 1.0;
    for _ in 0..strokes.pennants {
        let corners = [
            at(place, 0.0),
            at(place - GAP / 2.0, WIDTH),
            at(place - GAP, 0.0),
        ];
        drawn.pennants.add(&corners, true);
        place -= GAP * 1.3;
    }
    for _ in 0..strokes.barbs {
        let stroke = [at(place, 0.0), at(place + LEAN, WIDTH)];
        drawn.barbs.add(&stroke, false);
        place -= GAP;
    }
    if strokes.half_barb {
        // Alone it stands in from the end, so that it is not taken for a whole one.
        if place == 1.0 {
            place -= GAP;
        }
        let stroke = [at(place, 0.0), at(place + LEAN / 2.0, WIDTH / 2.0)];
        drawn.barbs.add(&stroke, false);
    }
    Some(drawn)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn speeds_are_rounded_to_the_nearest_five() {
        let strokes = |speed_kn| {
            let strokes = Strokes::of(speed_kn);
            (
                strokes.pennants,
                strokes.barbs,
                u32::from(strokes.half_barb),
            )
        };
        assert_eq!(strokes(2.4), (0, 0, 0));
        assert_eq!(strokes(2.6), (0, 0, 1));
        assert_eq!(strokes(12.4), (0, 1, 0));
        assert_eq!(strokes(12.6), (0, 1, 1));
        assert_eq!(strokes(48.0), (1, 0, 0));
        assert_eq!(strokes(65.0), (1, 1, 1));
    }

    /// The end of the last stroke drawn.
    fn tip(barb: &Option<Barb>) -> Point {
        let commands = format!("{:?}", barb.as_ref().unwrap().barbs);
        let last = commands.rsplit('L').next().unwrap();
        let numbers: Vec<f64> = last
            .trim_matches(|c: char| !c.is_ascii_digit() && c != '-')
            .split(' ')
            .map(|number| number.parse().unwrap())
            .collect();
        [numbers[0], numbers[1]]
    }

    /// Buys Ballot's law: with the wind at one's back the lower pressure is to the left in the
    /// northern hemisphere, to the right in the southern.
    #[test]
    fn barbs_stand_on_the_side_of_lower_pressure() {
        const NORTHERLY: Point = [0.0, -1.0];
        // Wind from the north, at one's back looking south: left is east, right is west.
        let north = tip(&barb([0.0, 0.0], NORTHERLY, 10.0, false, 100.0));
        let south = tip(&barb([0.0, 0.0], NORTHERLY, 10.0, true, 100.0));
        assert!(north[0] > 40.0 && north[1] < -100.0, "{north:?}");
        assert!(south[0] < -40.0 && south[1] < -100.0, "{south:?}");
        const WESTERLY: Point = [-1.0, 0.0];
        // From the west, looking east: left is north (up), right is south (down).
        assert!(tip(&barb([0.0, 0.0], WESTERLY, 10.0, false, 100.0))[1] < -40.0);
        assert!(tip(&barb([0.0, 0.0], WESTERLY, 10.0, true, 100.0))[1] > 40.0);
    }

    #[test]
    fn a_calm_has_no_staff_and_a_lone_half_barb_stands_in() {
        assert!(barb([0.0, 0.0], [0.0, -1.0], 2.0, false, 10.0).is_none());
        let five = tip(&barb([0.0, 0.0], [0.0, -1.0], 5.0, false, 100.0));
        assert!(five[1] > -100.0, "{five:?}");
    }

    #[test]
    fn fifty_knots_are_a_pennant() {
        let storm = barb([0.0, 0.0], [0.0, -1.0], 55.0, true, 100.0).unwrap();
        assert_ne!(storm.pennants, Path::default());
        let gale = barb([0.0, 0.0], [0.0, -1.0], 45.0, true, 100.0).unwrap();
        assert_eq!(gale.pennants, Path::default());
    }
}
