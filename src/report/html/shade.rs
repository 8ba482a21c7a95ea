//! Shades of one hue for a speed over the map: the parts of the window in which it is so great.
//!
//! Each shade is laid over the one before, so that no gap shows between two. The edges are those of
//! the marching squares: straight through the squares of a lattice, where the speed between two
//! corners passes the band's.

use super::coast::Window;
use super::svg::{Path, Point};

/// The speed from which each shade stands for it, in knots. Six steps can be told apart in one hue;
/// monthly means over the open sea seldom lie beyond them.
pub(super) const BANDS_KN: [f64; 6] = [0.0, 9.0, 12.0, 15.0, 18.0, 21.0];
/// About the side of a square of the lattice, in the drawing's units.
const SQUARE: f64 = 11.0;

/// A place on the drawing and its speed, in knots.
type Corner = (Point, f64);

/// For each band the part of the window where the speed is at least the band's; nothing where it is
/// not known.
pub(super) fn shades(window: &Window, speed_kn: impl Fn(Point) -> Option<f64>) -> Vec<Path> {
    let count = |side: f64| (side / SQUARE).ceil() as usize;
    let (columns, rows) = (count(window.width), count(window.height));
    let corner = |row: usize, column: usize| {
        let at = [
            window.left + window.width * column as f64 / columns as f64,
            window.top + window.height * row as f64 / rows as f64,
        ];
        Some((at, speed_kn(at)?))
    };
    let corners: Vec<Vec<Option<Corner>>> = (0..=rows)
        .map(|row| (0..=columns).map(|column| corner(row, column)).collect())
        .collect();
    let square = |row: usize, column: usize| {
        let (above, below) = (&corners[row], &corners[row + 1]);
        let [a, b, c, d] = [
            above[column],
            above[column + 1],
            below[column + 1],
            below[column],
        ];
        Some([a?, b?, c?, d?])
    };
    let squares: Vec<Vec<Option<[Corner; 4]>>> = (0..rows)
        .map(|row| (0..columns).map(|column| square(row, column)).collect())
        .collect();
    BANDS_KN
        .iter()
        .map(|least| {
            let mut path = Path::default();
            for row in &squares {
                shade_row(&mut path, row, *least);
            }
            path
        })
        .collect()
}

/// Adds a row's parts of at least a speed, squares that are so as a whole joined into one.
fn shade_row(path: &mut Path, row: &[Option<[Corner; 4]>], least: f64) {
    let whole = |square: &[Corner; 4]| square.iter().all(|(_, speed)| *speed >= least);
    let mut run: Option<[Point; 4]> = None;
    for square in row {
        match square {
            Some(square) if whole(square) => {
                let [a, b, c, d] = square.map(|(at, _)| at);
                run = Some(match run {
                    Some([first, _, _, last]) => [first, b, c, last],
                    None => [a, b, c, d],
                });
                continue;
            }
            Some(square) => path.add(&part(square, least), true),
            None => {}
        }
        if let Some(run) = run.take() {
            path.add(&run, true);
        }
    }
    if let Some(run) = run {
        path.add(&run, true);
    }
}

/// The part of a square in which the speed is at least so great, its corners in order.
fn part(square: &[Corner; 4], least: f64) -> Vec<Point> {
    let mut part = Vec::new();
    for (index, (from, speed)) in square.iter().enumerate() {
        let (to, next) = square[(index + 1) % 4];
        if *speed >= least {
            part.push(*from);
        }
        if (*speed >= least) != (next >= least) {
            let share = (least - speed) / (next - speed);
            part.push([0, 1].map(|axis| from[axis] + share * (to[axis] - from[axis])));
        }
    }
    part
}

#[cfg(test)]
mod tests {
    use super::*;

    const WINDOW: Window = Window {
        left: 0.0,
        top: 0.0,
        width: 110.0,
        height: 55.0,
        centre: [0.0, 0.0],
        scale: 1.0,
    };

    /// The area of a square's part, by the shoelace formula.
    fn area(corners: &[Point]) -> f64 {
        let next = corners.iter().cycle().skip(1);
        let sides = corners.iter().zip(next);
        sides.map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
    }

    #[test]
    fn a_band_ends_where_the_speed_passes_it() {
        let corner = |x: f64, y: f64| ([x, y], 10.0 + 4.0 * x);
        let square = [
            corner(0.0, 0.0),
            corner(1.0, 0.0),
            corner(1.0, 1.0),
            corner(0.0, 1.0),
        ];
        assert_eq!(area(&part(&square, 9.0)), 1.0);
        assert_eq!(area(&part(&square, 12.0)), 0.5);
        assert_eq!(area(&part(&square, 15.0)), 0.0);
    }

    #[test]
    fn an_even_wind_is_one_stripe_a_row_and_no_wind_is_not_shaded() {
        let even = shades(&WINDOW, |_| Some(13.0));
        let stripes = |path: &Path| format!("{path:?}").matches('Z').count();
        assert_eq!(
            even.iter().map(stripes).collect::<Vec<_>>(),
            [5, 5, 5, 0, 0, 0]
        );
        let none = shades(&WINDOW, |_| None);
        assert!(none.iter().all(|path| *path == Path::default()));
    }
}
