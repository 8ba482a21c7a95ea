//! The best choice of a way and a date for each stage of a year, each stage beginning when she is ready for
//! it: exact, by a dynamic programme from the last stage back.

/// What a stage sailed on one way from one date costs, compared in this order. Whole numbers, so that sums
/// are exact and equal ones equal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Price {
    /// What the chance of a storm exceeds the limit by, tenths of a per cent.
    pub storms: u32,
    /// What the plan is made by.
    pub first: u32,
    /// What decides where that is equal.
    pub second: u32,
    /// When the last stage ends, in any unit; 0 for the others.
    pub end: u32,
}

/// A way from one date that can be taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Step {
    pub price: Price,
    /// The number of the first date on which she can leave on the next stage.
    pub ready: usize,
}

/// The ways of a stage: for each its dates, none where it cannot be taken then.
pub(super) type Choices = Vec<Vec<Option<Step>>>;

/// A way and a date, by their numbers.
pub(super) type Choice = (usize, usize);

/// The best from one date on.
#[derive(Debug, Clone, Copy)]
struct Best {
    price: Price,
    choice: Choice,
}

impl Price {
    fn then(self, later: Self) -> Self {
        Self {
            storms: self.storms + later.storms,
            first: self.first + later.first,
            second: self.second + later.second,
            // Only the last has one.
            end: self.end + later.end,
        }
    }
}

/// The cheapest way and date of every stage; the earlier date and the first way where several are. None
/// where the stages cannot all be sailed.
pub(super) fn best_choices(stages: &[Choices]) -> Option<Vec<Choice>> {
    // For each stage the best that begins on a date or later.
    let mut from: Vec<Vec<Option<Best>>> = Vec::new();
    for ways in stages.iter().rev() {
        let dates = ways.iter().map(Vec::len).max().unwrap_or(0);
        let next = from.last();
        let mut best: Vec<Option<Best>> = vec![None; dates];
        for date in (0..dates).rev() {
            let later = best.get(date + 1).copied().flatten();
            let on_date = ways.iter().enumerate().filter_map(|(way, steps)| {
                let step = steps.get(date).copied().flatten()?;
                let price = match next {
                    None => step.price,
                    Some(next) => step
                        .price
                        .then(next.get(step.ready).copied().flatten()?.price),
                };
                let choice = (way, date);
                Some(Best { price, choice })
            });
            // The first of equal ones.
            best[date] = on_date.chain(later).min_by_key(|best| best.price);
        }
        from.push(best);
    }
    let (mut date, mut choices) = (0, Vec::new());
    for (best, ways) in from.iter().rev().zip(stages) {
        let choice = best.get(date).copied().flatten()?.choice;
        date = ways[choice.0][choice.1]?.ready;
        choices.push(choice);
    }
    Some(choices)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers without a pattern: the middle bits of a linear congruential generator (Knuth's MMIX
    /// constants, from memory).
    struct Noise(u64);

    impl Noise {
        fn below(&mut self, most: u64) -> u64 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005);
            self.0 = self.0.wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 33) % most
        }
    }

    fn random(noise: &mut Noise, stages: usize, ways: usize, dates: usize) -> Vec<Choices> {
        let mut step = |date: usize, is_last: bool| {
            let mut small = |most| noise.below(most) as u32;
            let price = Price {
                storms: small(3),
                first: small(4),
                second: small(4),
                end: if is_last { small(20) } else { 0 },
            };
            let ready = date + 1 + small(3) as usize;
            (small(4) > 0).then_some(Step { price, ready })
        };
        let all = (0..stages).map(|stage| {
            let mut way = |_| {
                let dates = (0..dates).map(|date| step(date, stage + 1 == stages));
                dates.collect()
            };
            (0..ways).map(&mut way).collect()
        });
        all.collect()
    }

    /// Every choice of ways and dates there is.
    fn cheapest(stages: &[Choices], ready: usize) -> Option<Price> {
        let Some((ways, later)) = stages.split_first() else {
            return Some(Price::default());
        };
        let dates = ways.iter().flat_map(|way| way.iter().enumerate());
        let steps = dates.filter(|(date, _)| *date >= ready);
        let steps = steps.filter_map(|(_, step)| *step);
        steps
            .filter_map(|step| Some(step.price.then(cheapest(later, step.ready)?)))
            .min()
    }

    fn price(stages: &[Choices], choices: &[Choice]) -> Price {
        let steps = stages.iter().zip(choices);
        let mut ready = 0;
        steps.fold(Price::default(), |sum, (ways, (way, date))| {
            let step = ways[*way][*date].unwrap();
            assert!(*date >= ready);
            ready = step.ready;
            sum.then(step.price)
        })
    }

    #[test]
    fn the_best_is_that_of_all_choices_tried() {
        let mut noise = Noise(7);
        let mut impossible = 0;
        for round in 0..300 {
            let (count, ways) = (1 + round % 3, 1 + round % 2);
            let stages = random(&mut noise, count, ways, 7);
            let found = best_choices(&stages).map(|choices| price(&stages, &choices));
            assert_eq!(found, cheapest(&stages, 0), "{stages:?}");
            impossible += usize::from(found.is_none());
        }
        assert!((1..200).contains(&impossible), "{impossible}");
    }

    #[test]
    fn the_dearer_first_stage_is_taken_where_the_next_gains_more() {
        let step = |first, ready| {
            let price = Price {
                first,
                ..Price::default()
            };
            Some(Step { price, ready })
        };
        // The quick way leaves on the second date, after which the second stage is slow.
        let stages = [
            vec![vec![step(20, 1), step(10, 2)]],
            vec![vec![None, step(30, 2), step(60, 3)]],
        ];
        assert_eq!(best_choices(&stages), Some(vec![(0, 0), (0, 1)]));
    }
}
