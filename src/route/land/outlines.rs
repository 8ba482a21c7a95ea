//! The outlines of land carried in the program, as `scripts/build-land` writes them.

/// Natural Earth 1:10m land; see fixtures/land/README.md for origin, licence and form.
const LAND: &[u8] = include_bytes!("../../../fixtures/land/land.bin");

/// Quanta of longitude or latitude in one degree.
pub(super) const QUANTA_PER_DEG: i32 = 500;

/// Corners of the outlines, line after line. Longitude then latitude, in quanta, within half a turn
/// either side of Greenwich: a line that reaches the antimeridian goes on as another.
pub(super) struct Outlines {
    pub corners: Vec<[i32; 2]>,
    /// For each corner, whether the next one belongs to the same line.
    pub goes_on: Vec<bool>,
}

impl Outlines {
    /// The outlines carried in the program. None where the bytes end too soon.
    pub(super) fn embedded() -> Option<Self> {
        Self::decode(LAND)
    }

    fn decode(bytes: &[u8]) -> Option<Self> {
        let mut numbers = Numbers { bytes };
        let lines = numbers.next()?;
        let (mut corners, mut goes_on) = (Vec::new(), Vec::new());
        let mut at = [0i32; 2];
        for _ in 0..lines {
            for left in (0..numbers.next()?).rev() {
                for axis in &mut at {
                    *axis = axis.checked_add(numbers.next_signed()?)?;
                }
                corners.push(at);
                goes_on.push(left > 0);
            }
        }
        numbers
            .bytes
            .is_empty()
            .then_some(Self { corners, goes_on })
    }
}

/// Numbers of seven bits a byte, low bits first, the high bit set on all bytes but a number's last.
struct Numbers<'b> {
    bytes: &'b [u8],
}

impl Numbers<'_> {
    fn next(&mut self) -> Option<u32> {
        let (mut number, mut shift) = (0u32, 0);
        loop {
            let (byte, rest) = self.bytes.split_first()?;
            self.bytes = rest;
            number |= u32::from(byte & 0x7f).checked_shl(shift)?;
            if byte & 0x80 == 0 {
                return Some(number);
            }
            shift += 7;
        }
    }

    /// A number with its sign in the lowest bit: 0, -1, 1, -2 and so on.
    fn next_signed(&mut self) -> Option<i32> {
        let number = self.next()?;
        Some((number >> 1) as i32 ^ -((number & 1) as i32))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_outlines_in_the_program_are_sound() {
        let outlines = Outlines::embedded().unwrap();
        assert!(outlines.corners.len() > 100_000, "as built: 146,402");
        assert_eq!(outlines.corners.len(), outlines.goes_on.len());
        assert_eq!(outlines.goes_on.last(), Some(&false));
        let (half_turn, quarter) = (180 * QUANTA_PER_DEG, 90 * QUANTA_PER_DEG);
        for [x, y] in &outlines.corners {
            assert!(x.abs() <= half_turn && y.abs() <= quarter, "{x} {y}");
        }
    }

    #[test]
    fn lines_are_read_as_written() {
        // Two lines: (3, -1) (4, -200) and (4, 0) (5, 0).
        let bytes = [2, 2, 6, 1, 2, 0x8d, 0x03, 2, 0, 0x90, 0x03, 2, 0];
        let outlines = Outlines::decode(&bytes).unwrap();
        assert_eq!(outlines.corners, [[3, -1], [4, -200], [4, 0], [5, 0]]);
        assert_eq!(outlines.goes_on, [true, false, true, false]);
        assert!(Outlines::decode(&bytes[..12]).is_none(), "cut short");
        assert!(Outlines::decode(&[0, 0]).is_none(), "more than it says");
        assert!(Outlines::decode(&[0xff; 9]).is_none(), "a number too long");
    }
}
