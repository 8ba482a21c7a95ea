//! The month that is being read, for some nodes side by side: all that is done at every step.
//!
//! Steps come in the order of time, and each node's sums are taken in that order in double precision. The
//! nodes' numbers lie side by side so that the processor adds several at once.

use super::memory::{LAG_DAYS, Lagged};
use super::sums::{Moments, enough};
use crate::climate::{GALE_KN, LOWER_BOUNDS_KN};
use crate::units::MS_PER_KN;

/// Nodes side by side.
pub(super) const LANES: usize = 64;

/// Days in the longest month.
const MOST_DAYS: usize = 31;

/// A number for each node.
pub(super) type Each<T> = [T; LANES];

/// Sums over the steps of one month of one year.
#[derive(Clone)]
pub(super) struct Lanes {
    steps: Each<u32>,
    speeds: Each<u32>,
    gales: Each<u32>,
    calms: Each<u32>,
    u: Each<f64>,
    v: Each<f64>,
    uu: Each<f64>,
    vv: Each<f64>,
    uv: Each<f64>,
    speed: Each<f64>,
    /// The day being added up, counted from the month's first, and its steps.
    day: usize,
    day_steps: Each<u32>,
    day_sum: [Each<f64>; 2],
    /// Daily means of u and v; NaN where there is none, and empty where days are not known.
    days: Vec<[Each<f32>; 2]>,
}

impl Lanes {
    /// Bytes that a node takes.
    pub(super) const NODE_BYTES: usize = size_of::<Self>() / LANES + MOST_DAYS * 8;

    pub(super) fn new(with_days: bool) -> Self {
        let days = if with_days { MOST_DAYS } else { 0 };
        Self {
            steps: [0; LANES],
            speeds: [0; LANES],
            gales: [0; LANES],
            calms: [0; LANES],
            u: [0.0; LANES],
            v: [0.0; LANES],
            uu: [0.0; LANES],
            vv: [0.0; LANES],
            uv: [0.0; LANES],
            speed: [0.0; LANES],
            day: 0,
            day_steps: [0; LANES],
            day_sum: [[0.0; LANES]; 2],
            days: vec![[[f32::NAN; LANES]; 2]; days],
        }
    }

    /// Adds a step of the day numbered `day` from 0; nothing to a node where a component is NaN. The speed
    /// is that of the components where none is given.
    #[inline]
    pub(super) fn add(
        &mut self,
        day: usize,
        [u_ms, v_ms]: [&Each<f32>; 2],
        speed_ms: Option<&Each<f32>>,
        per_day: usize,
    ) {
        const CALM_MS: f32 = (LOWER_BOUNDS_KN[0] * MS_PER_KN) as f32;
        const GALE_MS: f32 = (GALE_KN * MS_PER_KN) as f32;
        if day != self.day {
            self.end_day(per_day);
            self.day = day;
        }
        for lane in 0..LANES {
            let is_known = !(u_ms[lane].is_nan() | v_ms[lane].is_nan());
            let [u, v] =
                [u_ms[lane], v_ms[lane]].map(|ms| if is_known { f64::from(ms) } else { 0.0 });
            self.u[lane] += u;
            self.v[lane] += v;
            self.uu[lane] += u * u;
            self.vv[lane] += v * v;
            self.uv[lane] += u * v;
            self.day_sum[0][lane] += u;
            self.day_sum[1][lane] += v;
        }
        for lane in 0..LANES {
            let (u, v) = (u_ms[lane], v_ms[lane]);
            let is_known = !(u.is_nan() | v.is_nan());
            let speed = speed_ms.map_or_else(|| (u * u + v * v).sqrt(), |speed| speed[lane]);
            let has_speed = is_known & !speed.is_nan();
            self.steps[lane] += u32::from(is_known);
            self.day_steps[lane] += u32::from(is_known);
            self.speeds[lane] += u32::from(has_speed);
            self.gales[lane] += u32::from(has_speed & (speed >= GALE_MS));
            self.calms[lane] += u32::from(has_speed & (speed < CALM_MS));
            self.speed[lane] += if has_speed { f64::from(speed) } else { 0.0 };
        }
    }

    /// Ends the day being added up.
    pub(super) fn end_day(&mut self, per_day: usize) {
        if let Some(means) = self.days.get_mut(self.day) {
            for lane in 0..LANES {
                let steps = self.day_steps[lane];
                if steps > 0 && enough(steps as usize, per_day) {
                    for (mean, sum) in means.iter_mut().zip(&self.day_sum) {
                        mean[lane] = (sum[lane] / f64::from(steps)) as f32;
                    }
                }
            }
        }
        self.day_steps = [0; LANES];
        self.day_sum = [[0.0; LANES]; 2];
    }

    /// Begins another month.
    pub(super) fn clear(&mut self) {
        let mut days = std::mem::take(&mut self.days);
        days.fill([[f32::NAN; LANES]; 2]);
        *self = Self {
            days,
            ..Self::new(false)
        };
    }

    /// A node's sums.
    pub(super) fn moments(&self, lane: usize) -> Moments {
        Moments {
            steps: self.steps[lane],
            speeds: self.speeds[lane],
            gales: self.gales[lane],
            calms: self.calms[lane],
            u: self.u[lane],
            v: self.v[lane],
            uu: self.uu[lane],
            vv: self.vv[lane],
            uv: self.uv[lane],
            speed: self.speed[lane],
        }
    }

    /// Products of the daily means' departures from the month's own, by lag, once the last day has ended;
    /// none where days are not known.
    pub(super) fn products(&self) -> Option<Box<LaggedLanes>> {
        if self.days.is_empty() {
            return None;
        }
        let mut count = [0u32; LANES];
        let mut sum = [[0.0; LANES]; 2];
        for day in &self.days {
            for lane in 0..LANES {
                let is_known = !day[0][lane].is_nan();
                count[lane] += u32::from(is_known);
                for (sum, day) in sum.iter_mut().zip(day) {
                    sum[lane] += if is_known { f64::from(day[lane]) } else { 0.0 };
                }
            }
        }
        // NaN where there is no day.
        let mut departures = vec![[[0.0; LANES]; 2]; MOST_DAYS];
        for (departures, day) in departures.iter_mut().zip(&self.days) {
            for component in 0..2 {
                for lane in 0..LANES {
                    let mean = sum[component][lane] / f64::from(count[lane]);
                    departures[component][lane] = f64::from(day[component][lane]) - mean;
                }
            }
        }
        let mut lagged = Box::new(LaggedLanes {
            pairs: [[0; LANES]; LAG_DAYS.len()],
            products: [[0.0; LANES]; LAG_DAYS.len()],
            eastward_squares: [0.0; LANES],
        });
        for (place, &lag) in LAG_DAYS.iter().enumerate() {
            let (pairs, products) = (&mut lagged.pairs[place], &mut lagged.products[place]);
            for (a, b) in departures.iter().zip(&departures[lag..]) {
                for lane in 0..LANES {
                    let product = a[0][lane] * b[0][lane] + a[1][lane] * b[1][lane];
                    let is_known = !product.is_nan();
                    pairs[lane] += u32::from(is_known);
                    products[lane] += if is_known { product } else { 0.0 };
                }
            }
        }
        for [eastward, _] in &departures {
            for (sum, eastward) in lagged.eastward_squares.iter_mut().zip(eastward) {
                let square = eastward * eastward;
                *sum += if square.is_nan() { 0.0 } else { square };
            }
        }
        Some(lagged)
    }
}

/// Products of daily means by lag, a number for each node.
pub(super) struct LaggedLanes {
    pairs: [Each<u32>; LAG_DAYS.len()],
    products: [Each<f64>; LAG_DAYS.len()],
    eastward_squares: Each<f64>,
}

impl LaggedLanes {
    /// Those of a node.
    pub(super) fn of(&self, lane: usize) -> Lagged {
        Lagged {
            pairs: std::array::from_fn(|lag| self.pairs[lag][lane]),
            products: std::array::from_fn(|lag| self.products[lag][lane]),
            eastward_squares: self.eastward_squares[lane],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn add(lanes: &mut Lanes, day: usize, u_ms: f32, v_ms: f32, speed_ms: f32, per_day: usize) {
        let [u, v, speed] = [u_ms, v_ms, speed_ms].map(|ms| [ms; LANES]);
        lanes.add(day, [&u, &v], Some(&speed), per_day);
    }

    #[test]
    fn moments_of_a_few_steps() {
        let mut lanes = Lanes::new(false);
        // 34 kn and a bit, a flat calm, one whose speed is not known, and one that lacks a component.
        add(&mut lanes, 0, 17.6, 0.0, 17.6, 1);
        add(&mut lanes, 0, 0.0, 0.2, 0.2, 1);
        add(&mut lanes, 0, 1.0, 1.0, f32::NAN, 1);
        add(&mut lanes, 0, f32::NAN, 1.0, 20.0, 1);
        let moments = lanes.moments(LANES - 1);
        assert_eq!(moments.steps, 3);
        assert_eq!(moments.gale_and_calm(), Some([0.5, 0.5]));
        assert!((moments.mean_speed().unwrap() - 8.9).abs() < 1e-6);
        let [var_u, var_v, cov] = moments.second().unwrap();
        // numpy.cov([17.6, 0, 1], [0, 0.2, 1], bias=True), numpy 2.4.6.
        assert!((var_u - 65.146667).abs() < 1e-5, "{var_u}");
        assert!((var_v - 0.186667).abs() < 1e-5, "{var_v}");
        assert!((cov + 2.146667).abs() < 1e-5, "{cov}");
    }

    /// Where no speed is given it is that of the components.
    #[test]
    fn a_speed_of_the_components() {
        let mut lanes = Lanes::new(false);
        lanes.add(0, [&[3.0; LANES], &[-4.0; LANES]], None, 1);
        assert_eq!(lanes.moments(0).mean_speed(), Some(5.0));
    }

    /// A day with too few steps makes no pair.
    #[test]
    fn products_are_about_the_months_own_mean() {
        let mut lanes = Lanes::new(true);
        for (day, u_ms) in [
            (0, 1.0),
            (0, 3.0),
            (1, 4.0),
            (1, 4.0),
            (2, 9.0),
            (3, 6.0),
            (3, 6.0),
        ] {
            add(&mut lanes, day, u_ms, 0.0, f32::NAN, 2);
        }
        add(&mut lanes, 4, f32::NAN, 1.0, 1.0, 2);
        lanes.end_day(2);
        let lagged = lanes.products().unwrap().of(5);
        assert_eq!(lanes.moments(5).steps, 7);
        // Days of 2, 4, none and 6 about 4.
        assert_eq!(lagged.pairs[..4], [3, 1, 1, 1]);
        assert_eq!(lagged.products[..4], [8.0, 0.0, 0.0, -4.0]);
        assert_eq!(lagged.eastward_squares, 8.0);
        lanes.clear();
        assert_eq!(lanes.moments(5), Moments::default());
        assert_eq!(lanes.products().unwrap().of(5), Lagged::default());
    }
}
