//! One axis of a grid: finding the two neighbours of a coordinate and the way between them.

use crate::units::wrap_360_deg;

/// How far outside an axis a coordinate may lie by rounding, degrees.
const ROUNDING_DEG: f64 = 1e-9;

/// Strictly ascending coordinates. Longitudes are unwrapped: they ascend from the westernmost and
/// may pass 360; a cyclic axis closes from its last back to its first.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Axis {
    values_deg: Vec<f64>,
    cyclic: bool,
    /// Steps to the degree where the spacing is even, for a look-up without a search.
    even_steps_per_deg: Option<f64>,
}

/// Two neighbouring nodes and the share of the second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Between {
    pub(super) low: usize,
    pub(super) high: usize,
    pub(super) high_share: f64,
}

impl Axis {
    /// An axis of `values_deg`, which must ascend strictly and not be empty.
    pub(super) fn new(values_deg: Vec<f64>, cyclic: bool) -> Self {
        debug_assert!(!values_deg.is_empty());
        debug_assert!(values_deg.windows(2).all(|pair| pair[0] < pair[1]));
        let even_steps_per_deg = even_steps_per_deg(&values_deg, cyclic);
        Self {
            values_deg,
            cyclic,
            even_steps_per_deg,
        }
    }

    pub(super) fn len(&self) -> usize {
        self.values_deg.len()
    }

    pub(super) fn first_deg(&self) -> f64 {
        self.values_deg[0]
    }

    pub(super) fn span_deg(&self) -> f64 {
        if self.cyclic {
            360.0
        } else {
            self.values_deg[self.len() - 1] - self.first_deg()
        }
    }

    /// The coordinates in order, and whether the axis closes on itself.
    pub(super) fn into_parts(self) -> (Vec<f64>, bool) {
        (self.values_deg, self.cyclic)
    }

    pub(super) fn value_deg(&self, index: usize) -> f64 {
        self.values_deg[index]
    }

    /// The neighbours of a latitude; `None` beyond the outermost rows.
    pub(super) fn around_latitude(&self, latitude_deg: f64) -> Option<Between> {
        self.around(latitude_deg - self.first_deg())
    }

    /// The neighbours of a longitude in any turn; `None` beyond the outermost columns.
    pub(super) fn around_longitude(&self, longitude_deg: f64) -> Option<Between> {
        let east_deg = wrap_360_deg(longitude_deg - self.first_deg());
        // A place on the western edge may come out a rounding short of a full turn.
        let rounded_off = east_deg > 360.0 - ROUNDING_DEG && !self.cyclic;
        self.around(if rounded_off { 0.0 } else { east_deg })
    }

    /// The neighbours of the coordinate `on_deg` beyond the first node.
    fn around(&self, on_deg: f64) -> Option<Between> {
        let span_deg = self.span_deg();
        if !(-ROUNDING_DEG..=span_deg + ROUNDING_DEG).contains(&on_deg) {
            return None;
        }
        let on_deg = on_deg.clamp(0.0, span_deg);
        let low = match self.even_steps_per_deg {
            Some(steps_per_deg) => ((on_deg * steps_per_deg) as usize).min(self.len() - 1),
            None => {
                let coordinate_deg = self.first_deg() + on_deg;
                self.values_deg
                    .partition_point(|&value| value <= coordinate_deg)
                    .max(1)
                    - 1
            }
        };
        let closing = low + 1 == self.len();
        let (high, high_deg) = match (closing, self.cyclic) {
            (false, _) => (low + 1, self.values_deg[low + 1]),
            (true, true) => (0, self.first_deg() + 360.0),
            (true, false) => {
                return Some(Between {
                    low,
                    high: low,
                    high_share: 0.0,
                });
            }
        };
        let low_deg = self.values_deg[low];
        let high_share = (self.first_deg() + on_deg - low_deg) / (high_deg - low_deg);
        Some(Between {
            low,
            high,
            high_share: high_share.clamp(0.0, 1.0),
        })
    }
}

/// Steps to the degree, where no node is off an even spacing by more than a rounding.
fn even_steps_per_deg(values_deg: &[f64], cyclic: bool) -> Option<f64> {
    let steps = values_deg.len().checked_sub(1).filter(|&steps| steps > 0)?;
    let first_deg = values_deg[0];
    let (steps, span_deg) = if cyclic {
        (steps + 1, 360.0)
    } else {
        (steps, values_deg[steps] - first_deg)
    };
    let step_deg = span_deg / steps as f64;
    let even = values_deg
        .iter()
        .enumerate()
        .all(|(index, value)| (value - first_deg - step_deg * index as f64).abs() < ROUNDING_DEG);
    even.then(|| step_deg.recip())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn world() -> Axis {
        Axis::new((0..180).map(|i| 1.0 + 2.0 * f64::from(i)).collect(), true)
    }

    #[test]
    fn a_cyclic_axis_closes_on_itself() {
        let between = world().around_longitude(0.5).expect("on the axis");
        assert_eq!(
            (between.low, between.high, between.high_share),
            (179, 0, 0.75)
        );
    }

    #[test]
    fn beyond_the_outermost_rows_there_is_nothing() {
        let rows = Axis::new(vec![-50.0, -47.0, -40.0], false);
        assert_eq!(rows.around_latitude(-50.1), None);
        assert_eq!(rows.around_latitude(-39.9), None);
        let edge = rows
            .around_latitude(-40.0)
            .expect("the edge is on the axis");
        assert_eq!((edge.low, edge.high_share), (2, 0.0));
        assert_eq!(rows.around_latitude(f64::NAN), None);
    }

    #[test]
    fn a_single_node_serves_only_its_own_place() {
        let one = Axis::new(vec![10.0], false);
        assert!(one.around_longitude(10.0).is_some() && one.around_longitude(370.0).is_some());
        assert_eq!(one.around_longitude(10.1), None);
    }

    proptest! {
        #[test]
        fn even_and_searched_look_ups_agree(longitude_deg in -400.0..400.0f64) {
            let even = world();
            let searched = Axis { even_steps_per_deg: None, ..even.clone() };
            let (a, b) = (even.around_longitude(longitude_deg), searched.around_longitude(longitude_deg));
            let place = |between: Option<Between>| {
                let between = between.expect("a cyclic axis has neighbours everywhere");
                between.low as f64 + between.high_share
            };
            let apart = (place(a) - place(b)).abs();
            prop_assert!(apart < 1e-6 || (apart - 180.0).abs() < 1e-6, "{a:?} {b:?}");
        }

        #[test]
        fn the_share_leads_back_to_the_coordinate(latitude_deg in -50.0..-40.0f64) {
            let rows = Axis::new(vec![-50.0, -47.0, -40.0], false);
            let between = rows.around_latitude(latitude_deg).expect("on the axis");
            let back = rows.value_deg(between.low) * (1.0 - between.high_share)
                + rows.value_deg(between.high) * between.high_share;
            prop_assert!((back - latitude_deg).abs() < 1e-9);
        }
    }
}
