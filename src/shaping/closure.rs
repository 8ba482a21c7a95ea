//! What closes the way: limits that an end breaks itself, and those that leave no route.

use super::ShapingError;
use super::error::Closing;
use super::ground::SeasonLimits;
use super::hardship::Prices;
use super::limits::{Limit, Limits};
use super::scene::Scene;
use super::shaper::Shaper;

impl Shaper<'_> {
    /// Refuses limits that cross or that an end breaks.
    pub(super) fn check_ends(&self, limits: &Limits) -> Result<(), ShapingError> {
        limits.check()?;
        let scene = Scene::new(self, limits);
        let breaks = |end, place, limit| {
            Err(ShapingError::EndBreaksLimit {
                end,
                place,
                limit: limits.describe(limit),
            })
        };
        for (end, place) in [("start", self.task.from), ("end", self.task.to)] {
            let latitude_deg = place.latitude_deg();
            if limits
                .southernmost_deg
                .is_some_and(|limit| latitude_deg < limit)
            {
                return breaks(end, place, Limit::Southernmost);
            }
            if limits
                .northernmost_deg
                .is_some_and(|limit| latitude_deg > limit)
            {
                return breaks(end, place, Limit::Northernmost);
            }
            if limits.keep_out.holds(place) {
                return breaks(end, place, Limit::KeepOut);
            }
        }
        let set = limits.in_force();
        for limit in [Limit::Gale, Limit::Air, Limit::Storms] {
            if !set.contains(&limit) {
                continue;
            }
            let start = self.task.from;
            let is_open_under = |limits: &Limits| {
                let ground = scene.ground();
                let season = SeasonLimits::between_places(limits);
                scene
                    .judge(&ground, season, Prices::default())
                    .in_season(start, 0.0)
            };
            let known_air = || {
                let local = self.task.winds.at(start, self.clock.day(0.0));
                local.is_some_and(|local| local.air_temperature_c.is_some())
            };
            if limit == Limit::Air && !known_air() {
                let limit = limits.describe(limit);
                return Err(ShapingError::NoAirTemperature { limit });
            }
            let mut alone = Limits::default();
            match limit {
                Limit::Gale => alone.most_gale = limits.most_gale,
                Limit::Air => alone.coldest_air_c = limits.coldest_air_c,
                _ => alone.most_storm_chance = limits.most_storm_chance,
            }
            if !is_open_under(&alone) {
                return breaks("start", start, limit);
            }
        }
        Ok(())
    }

    /// Which limits close the way, and how far each would have to give.
    pub(super) fn why_closed(&self, limits: &Limits) -> ShapingError {
        let opens = |limits: &Limits| Scene::new(self, limits).solve(Prices::default()).is_some();
        let places = limits
            .in_force()
            .into_iter()
            .filter(|limit| !matches!(limit, Limit::Headwind | Limit::HardBeat));
        let places: Vec<Limit> = places.collect();
        if places.is_empty() || !opens(&Limits::default()) {
            let (from, to) = (self.task.from, self.task.to);
            let still = self.way.in_still_water();
            let free = Limits::default();
            let without_current = Scene::of(self, &still, &free).solve(Prices::default());
            return match without_current {
                Some(_) => ShapingError::CurrentTooStrong { from, to },
                None => ShapingError::NoWay { from, to },
            };
        }
        let closing = places
            .into_iter()
            .filter(|limit| opens(&limits.without(*limit)))
            .map(|limit| Closing {
                limit,
                set: limits.describe(limit),
                feasible: nearest_feasible(limits, limit, &opens),
            })
            .collect();
        ShapingError::Closed { closing }
    }
}

/// The number of a limit nearest to the one set that leaves a route, by halving, in words.
fn nearest_feasible(
    limits: &Limits,
    limit: Limit,
    opens: &impl Fn(&Limits) -> bool,
) -> Option<String> {
    let (loosest, step) = limit.loosest()?;
    let (mut shut, mut open) = (limits.value(limit)?, loosest);
    while (open - shut).abs() > step {
        let middle = 0.5 * (open + shut);
        if opens(&limits.with_value(limit, middle)) {
            open = middle;
        } else {
            shut = middle;
        }
    }
    // To a whole step on the open side.
    let told = if open < shut {
        (open / step).floor() * step
    } else {
        (open / step).ceil() * step
    };
    Some(limit.describe(told))
}
