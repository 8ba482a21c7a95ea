//! Words on a picture: how much room they take, cut to fit, and kept off one another.

use super::svg::Point;

/// The width of an average letter, in parts of the type's size: that of the widest of the usual
/// sans-serif faces in bold, so that words fit in the others too.
const LETTER: f64 = 0.7;
/// The size of names on pictures, as in the style sheet.
pub(super) const NAME_SIZE: f64 = 12.5;
/// The size of other words and figures.
pub(super) const FIGURE_SIZE: f64 = 11.5;
/// How much of its line's height a word takes above and below the middle, in parts of its size.
const HALF_HEIGHT: f64 = 0.62;

/// How wide a text is, about.
pub(super) fn width(text: &str, size: f64) -> f64 {
    textwrap::core::display_width(text) as f64 * LETTER * size
}

/// A name cut to fit into `room`; none where nothing of it would be left. The tables have it whole.
pub(super) fn fitted(name: &str, room: f64) -> Option<String> {
    /// Fewer letters tell nothing.
    const FEWEST: usize = 4;
    let most = (room / (LETTER * NAME_SIZE)).max(0.0) as usize;
    if textwrap::core::display_width(name) <= most {
        return Some(name.to_owned());
    }
    if most < FEWEST {
        return None;
    }
    let mut kept = String::new();
    for letter in name.chars() {
        kept.push(letter);
        if textwrap::core::display_width(&kept) > most - 1 {
            kept.pop();
            break;
        }
    }
    Some(kept.trim_end().to_owned() + "…")
}

/// The places of a picture that already have words on them.
#[derive(Debug, Default)]
pub(super) struct Taken(Vec<[f64; 4]>);

impl Taken {
    /// Takes the place of a text set about the middle of `at`, if all of it is free.
    pub(super) fn take(&mut self, [x, y]: Point, text: &str, size: f64) -> bool {
        let half = [width(text, size) / 2.0, HALF_HEIGHT * size];
        let free = self.is_free([x, y], half);
        if free {
            self.0
                .push([x - half[0], y - half[1], x + half[0], y + half[1]]);
        }
        free
    }

    /// Whether nothing stands within so much of a point to either side, and above and below it.
    pub(super) fn is_free(&self, [x, y]: Point, half: [f64; 2]) -> bool {
        !self.0.iter().any(|[left, top, right, bottom]| {
            x - half[0] < *right
                && *left < x + half[0]
                && y - half[1] < *bottom
                && *top < y + half[1]
        })
    }

    /// Takes a square about a point, whatever is there already.
    pub(super) fn block(&mut self, [x, y]: Point, half: f64) {
        self.0.push([x - half, y - half, x + half, y + half]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_cut_to_the_room_there_is() {
        assert_eq!(fitted("Direct", 100.0).unwrap(), "Direct");
        assert_eq!(fitted("A long way round", 70.0).unwrap(), "A long…");
        assert!(fitted("Direct", 20.0).is_none());
        // Letters of the East are two columns wide.
        assert_eq!(fitted("東京東京東京", 70.0).unwrap(), "東京東…");
    }

    #[test]
    fn words_do_not_take_a_place_twice() {
        let mut taken = Taken::default();
        assert!(taken.take([0.0, 0.0], "Durban", NAME_SIZE));
        assert!(!taken.take([10.0, 4.0], "40", FIGURE_SIZE));
        assert!(taken.take([10.0, 40.0], "40", FIGURE_SIZE));
        taken.block([60.0, 0.0], 5.0);
        assert!(!taken.take([60.0, 9.0], "7", FIGURE_SIZE));
    }
}
