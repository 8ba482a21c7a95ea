//! Limits on a share of the whole passage, kept by a price on that hardship.

use super::ShapingError;
use super::error::Closing;
use super::hardship::Hardship;
use super::scene::Scene;
use super::shaper::Shaped;

/// The dearest price a limit on a share of the passage is sought by, in hours an hour.
const DEAREST: f64 = 64.0;
/// How often the price is halved down on; each time costs a search.
const PRICE_HALVINGS: usize = 6;
/// How often the limits on shares are taken in turn.
const PRICE_ROUNDS: usize = 3;

impl Scene<'_> {
    /// A course that keeps the limits on shares of the passage, from the fastest without them.
    pub(super) fn keep_shares(&self, free: Shaped) -> Result<Shaped, ShapingError> {
        let shares = self.limits.on_the_passage();
        let over = |shaped: &Shaped| {
            shares.iter().find(|(hardship, _, most)| {
                most.is_some_and(|most| hardship.share(&shaped.exposure) > most)
            })
        };
        let mut best = free;
        for _ in 0..PRICE_ROUNDS {
            for (hardship, limit, most) in shares {
                let Some(most) = most else { continue };
                if hardship.share(&best.exposure) > most {
                    best = self.keep_share(&best, hardship, most).map_err(|least| {
                        ShapingError::Closed {
                            closing: vec![Closing {
                                limit,
                                set: limit.describe(most),
                                feasible: least
                                    .map(|least| limit.describe((least * 1000.0).ceil() / 1000.0)),
                            }],
                        }
                    })?;
                }
            }
            if over(&best).is_none() {
                return Ok(best);
            }
        }
        // Each can be kept, but not both.
        let closing = shares.iter().filter_map(|(_, limit, most)| {
            Some(Closing {
                limit: *limit,
                set: limit.describe((*most)?),
                feasible: None,
            })
        });
        Err(ShapingError::Closed {
            closing: closing.collect(),
        })
    }

    /// The course at the least price that keeps one share at `most`, other prices as they were; the
    /// least share found where none does.
    fn keep_share(
        &self,
        from: &Shaped,
        hardship: Hardship,
        most: f64,
    ) -> Result<Shaped, Option<f64>> {
        let at = |price: f64| self.solve(from.prices.with(hardship, price));
        let mut least: Option<f64> = None;
        let (mut low, mut high) = (from.prices.of(hardship), from.prices.of(hardship).max(0.5));
        let mut kept = loop {
            high *= 2.0;
            if high > DEAREST {
                return Err(least);
            }
            let Some(shaped) = at(high) else {
                return Err(least);
            };
            let share = hardship.share(&shaped.exposure);
            least = Some(least.map_or(share, |least| least.min(share)));
            if share <= most {
                break shaped;
            }
            low = high;
        };
        for _ in 0..PRICE_HALVINGS {
            let middle = 0.5 * (low + high);
            match at(middle) {
                Some(shaped) if hardship.share(&shaped.exposure) <= most => {
                    if shaped.days < kept.days {
                        kept = shaped;
                    }
                    high = middle;
                }
                _ => low = middle,
            }
        }
        Ok(kept)
    }
}
