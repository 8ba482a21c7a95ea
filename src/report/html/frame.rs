//! The two sizes every picture is drawn in, and what its axes need.

use super::svg::{Anchor, Drawing, Path, Point};

/// A picture's size: one for a screen or paper, one for a phone. The style sheet shows one of them,
/// at about its own size, so that words stay legible on both.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Frame {
    /// For a screen or paper.
    Wide,
    /// For a phone.
    Narrow,
}

impl Frame {
    pub(super) const BOTH: [Self; 2] = [Self::Wide, Self::Narrow];

    /// The whole picture's width, in the drawing's units: about CSS pixels.
    pub(super) fn width(self) -> f64 {
        match self {
            Self::Wide => 760.0,
            Self::Narrow => 322.0,
        }
    }

    /// The class by which the style sheet knows it.
    pub(super) fn class(self) -> &'static str {
        match self {
            Self::Wide => "wide",
            Self::Narrow => "narrow",
        }
    }

    /// `wide` or `narrow`, as the frame is.
    pub(super) fn pick<T>(self, wide: T, narrow: T) -> T {
        match self {
            Self::Wide => wide,
            Self::Narrow => narrow,
        }
    }

    /// Draws a picture in both sizes, one after the other.
    pub(super) fn both(
        id: &str,
        title: &str,
        description: &str,
        draw: impl Fn(Self) -> Drawing,
    ) -> String {
        Self::BOTH
            .map(|frame| {
                let id = format!("{id}-{}", frame.class());
                draw(frame).finish(&id, frame.class(), title, description)
            })
            .concat()
    }
}

/// A straight scale from values to places on a drawing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    values: [f64; 2],
    places: [f64; 2],
}

impl Scale {
    pub(super) fn new(values: [f64; 2], places: [f64; 2]) -> Self {
        Self { values, places }
    }

    pub(super) fn at(&self, value: f64) -> f64 {
        let share = (value - self.values[0]) / (self.values[1] - self.values[0]);
        self.places[0] + share * (self.places[1] - self.places[0])
    }

    /// The value that stands at a place.
    pub(super) fn value(&self, place: f64) -> f64 {
        let share = (place - self.places[0]) / (self.places[1] - self.places[0]);
        self.values[0] + share * (self.values[1] - self.values[0])
    }

    /// Round values on the scale, about `count` of them.
    pub(super) fn ticks(&self, count: f64) -> Vec<f64> {
        let step = round_step((self.values[1] - self.values[0]) / count);
        let first = (self.values[0] / step - 1e-9).ceil() as i64;
        (first..)
            .map(|n| n as f64 * step)
            .take_while(|value| *value <= self.values[1] + 1e-9 * step)
            .collect()
    }
}

/// The least of 1, 2 and 5 times a power of ten that is no less than `step`.
pub(super) fn round_step(step: f64) -> f64 {
    let ten = 10f64.powf(step.log10().floor());
    [1.0, 2.0, 5.0]
        .map(|times| times * ten)
        .into_iter()
        .find(|round| *round >= step * (1.0 - 1e-9))
        .unwrap_or(10.0 * ten)
}

/// How many decimals tell apart round values one such step from one another.
fn decimals(step: f64) -> usize {
    (-step.log10() - 1e-9).ceil().max(0.0) as usize
}

/// A box with a scale each way: where a panel's lines are drawn.
#[derive(Debug, Clone, Copy)]
pub(super) struct Panel {
    pub x: Scale,
    pub y: Scale,
    pub left: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Panel {
    pub(super) fn point(&self, x: f64, y: f64) -> Point {
        [self.x.at(x), self.y.at(y)]
    }

    /// Level lines at round values, each with its figure to the left, `times` as large and with
    /// `unit`: with so many decimals that no two are alike.
    pub(super) fn levels(&self, drawing: &mut Drawing, count: f64, times: f64, unit: &str) {
        let values = self.y.ticks(count);
        let decimals = match values[..] {
            [first, second, ..] => decimals((second - first) * times),
            _ => 1,
        };
        for value in values {
            let y = self.y.at(value);
            drawing.line("grid", [self.left, y], [self.right, y]);
            drawing.text(
                "tick",
                [self.left - 6.0, y + 4.0],
                Anchor::End,
                &format!("{:.decimals$}{unit}", value * times),
            );
        }
    }

    /// The foot of the panel, with a short stroke and words under each value.
    pub(super) fn foot(&self, drawing: &mut Drawing, marks: &[(f64, String)]) {
        drawing.line("axis", [self.left, self.bottom], [self.right, self.bottom]);
        for (value, words) in marks {
            let x = self.x.at(*value);
            drawing.line("axis", [x, self.bottom], [x, self.bottom + 5.0]);
            drawing.text("tick", [x, self.bottom + 17.0], Anchor::Middle, words);
        }
    }
}

/// Moves overlapping words apart, keeping their order: downward, and up again where
/// the last would stand below `lowest`.
pub(super) fn spread_apart(places: &mut [(f64, usize)], least: f64, lowest: f64) {
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    for index in 1..places.len() {
        places[index].0 = places[index].0.max(places[index - 1].0 + least);
    }
    let mut below = lowest;
    for place in places.iter_mut().rev() {
        place.0 = place.0.min(below);
        below = place.0 - least;
    }
}

/// The outline of a plus sign, thick enough to be seen when it is small.
const PLUS: [Point; 12] = [
    [-0.45, -1.2],
    [0.45, -1.2],
    [0.45, -0.45],
    [1.2, -0.45],
    [1.2, 0.45],
    [0.45, 0.45],
    [0.45, 1.2],
    [-0.45, 1.2],
    [-0.45, 0.45],
    [-1.2, 0.45],
    [-1.2, -0.45],
    [-0.45, -0.45],
];

/// The outline of a mark, by which a route is known without its colour: five forms to four
/// colours, so that twenty routes differ in one or the other.
fn mark(route: usize, [x, y]: Point, size: f64) -> Path {
    let corners: &[Point] = match route % 5 {
        0 => &[[-0.8, -0.8], [0.8, -0.8], [0.8, 0.8], [-0.8, 0.8]],
        1 => &[[0.0, -1.1], [1.0, 0.8], [-1.0, 0.8]],
        2 => &[[0.0, -1.1], [1.1, 0.0], [0.0, 1.1], [-1.1, 0.0]],
        3 => &[[0.0, 1.1], [1.0, -0.8], [-1.0, -0.8]],
        _ => &PLUS,
    };
    let placed: Vec<Point> = corners
        .iter()
        .map(|[dx, dy]| [x + size * dx, y + size * dy])
        .collect();
    Path::closed(&placed)
}

/// A route's mark in its colour.
pub(super) fn route_mark(drawing: &mut Drawing, route: usize, at: Point, size: f64) {
    drawing.path(&format!("mark m{}", route % 4), &mark(route, at, size));
}

/// The classes of a route's line: its colour, and its strokes.
pub(super) fn route_class(route: usize) -> String {
    format!("r{} d{}", route % 4, route % 5)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_within() {
        assert_eq!(
            Scale::new([17.0, 43.0], [0.0, 1.0]).ticks(5.0),
            [20.0, 30.0, 40.0]
        );
        assert_eq!(
            Scale::new([0.0, 1.0], [0.0, 1.0]).ticks(4.0),
            [0.0, 0.5, 1.0]
        );
        assert_eq!(round_step(0.3), 0.5);
        assert_eq!(round_step(6.0), 10.0);
    }

    #[test]
    fn figures_have_the_decimals_their_step_needs() {
        assert_eq!([20.0, 1.0, 0.5, 0.1, 0.02].map(decimals), [0, 0, 1, 1, 2]);
    }

    #[test]
    fn words_do_not_stand_on_one_another() {
        let mut places = [(10.0, 0), (5.0, 1), (11.0, 2)];
        spread_apart(&mut places, 12.0, 40.0);
        assert_eq!(places, [(5.0, 1), (17.0, 0), (29.0, 2)]);
        spread_apart(&mut places, 12.0, 20.0);
        assert_eq!(places, [(-4.0, 1), (8.0, 0), (20.0, 2)]);
    }

    #[test]
    fn twenty_routes_look_different() {
        let mut looks: Vec<String> = (0..20).map(route_class).collect();
        looks.sort();
        looks.dedup();
        assert_eq!(looks.len(), 20);
    }
}
