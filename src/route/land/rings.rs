//! The outlines as closed rings, for drawing.

use super::grid::Land;
use super::outlines::{Outlines, QUANTA_PER_DEG};
use crate::geodesy::Position;

/// Half a turn of longitude, in quanta.
const HALF_TURN: i32 = 180 * QUANTA_PER_DEG;

impl Land {
    /// Every outline as a closed ring: its corners in order, the last joined to the first. Between
    /// corners it runs straight in longitude and latitude, over the antimeridian where that is the
    /// shorter way. A ring may go round a pole. A place is on land where it lies within an odd
    /// number of rings, the north pole being outside.
    pub fn rings() -> Vec<Vec<Position>> {
        let outlines = Outlines::embedded().expect("a test reads the outlines in the program");
        let corner = |[x, y]: [i32; 2]| {
            let deg = |quanta: i32| f64::from(quanta) / f64::from(QUANTA_PER_DEG);
            Position::new(deg(y), deg(x)).expect("a test holds the outlines to their ranges")
        };
        let closed = joined(lines(&outlines));
        closed
            .into_iter()
            .map(|ring| ring.into_iter().map(corner).collect())
            .collect()
    }
}

/// The lines one by one.
fn lines(outlines: &Outlines) -> Vec<Vec<[i32; 2]>> {
    let mut lines = Vec::new();
    let mut line = Vec::new();
    for (corner, goes_on) in outlines.corners.iter().zip(&outlines.goes_on) {
        line.push(*corner);
        if !goes_on {
            lines.push(std::mem::take(&mut line));
        }
    }
    lines
}

/// Joins lines that end on the antimeridian to those that go on from there.
fn joined(lines: Vec<Vec<[i32; 2]>>) -> Vec<Vec<[i32; 2]>> {
    let is_closed = |line: &Vec<[i32; 2]>| line.first() == line.last();
    let (mut rings, mut open): (Vec<_>, Vec<_>) = lines.into_iter().partition(is_closed);
    while let Some(mut ring) = open.pop() {
        loop {
            let [end_x, end_y] = ring[ring.len() - 1];
            let across = [-end_x, end_y];
            if end_x.abs() == HALF_TURN && ring[0] == across {
                break;
            }
            match open.iter().position(|line| line[0] == across) {
                Some(next) => ring.extend(open.swap_remove(next)),
                // Nothing goes on from here: closed straight, as drawn data must be.
                None => break,
            }
        }
        rings.push(ring);
    }
    rings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_cut_at_the_antimeridian_are_joined_again() {
        let open = Outlines::embedded()
            .map(|outlines| lines(&outlines))
            .unwrap();
        let cut = open.iter().filter(|line| line.first() != line.last());
        assert!(cut.count() > 4, "Antarctica, Chukotka, Fiji and others");
        for ring in joined(open) {
            let (first, last) = (ring[0], ring[ring.len() - 1]);
            assert!(
                first == last || (first[0] == -last[0] && first[1] == last[1]),
                "{first:?} {last:?}"
            );
        }
    }

    #[test]
    fn every_line_is_in_one_ring() {
        let corners = Outlines::embedded().unwrap().corners.len();
        assert_eq!(Land::rings().iter().map(Vec::len).sum::<usize>(), corners);
    }
}
