//! A task under limits: the cheapest course at some prices, along the coarse grid, the finer one
//! about its answer, and the corners.

use std::sync::Arc;

use super::ground::{Ground, SeasonLimits};
use super::hardship::Prices;
use super::limits::Limits;
use super::search::{Label, Labels, least_cost};
use super::shaper::{Shaped, Shaper};
use super::smoothing::{Judge, Way};
use super::timed::{Known, Net, Timed};
use super::way::WayMaker;
use crate::geodesy::{Earth, GreatCircle, Position};

/// The finer grid is searched within this many coarse steps of the coarse answer.
const CORRIDOR_STEPS: f64 = 3.0;
/// How often the limits of the season are tightened for the search, where what it finds breaks
/// them between the places it looks at.
const MOST_NOTCHES: u32 = 6;

/// A task under limits, with what has been found out about the ground.
pub(super) struct Scene<'a> {
    shaper: &'a Shaper<'a>,
    way: &'a WayMaker,
    pub(super) limits: &'a Limits,
    known: Arc<KnownGround>,
    /// What the coarse search found from the start to every node, where it is shared; without prices and
    /// limits.
    labels: Option<&'a Labels>,
}

/// What has been found out about the ground between two ends under some limits.
pub(super) struct KnownGround {
    coarse: Known,
    fine: Known,
}

impl KnownGround {
    pub(super) fn nothing(shaper: &Shaper<'_>) -> Self {
        Self {
            coarse: shaper.coarse.nothing_known(),
            fine: shaper.fine.nothing_known(),
        }
    }
}

impl<'a> Scene<'a> {
    pub(super) fn new(shaper: &'a Shaper<'a>, limits: &'a Limits) -> Self {
        Self::of(shaper, &shaper.way, limits)
    }

    /// The task for another boat than its own.
    pub(super) fn of(shaper: &'a Shaper<'a>, way: &'a WayMaker, limits: &'a Limits) -> Self {
        Self {
            shaper,
            way,
            limits,
            known: Arc::new(KnownGround::nothing(shaper)),
            labels: None,
        }
    }

    /// The task without limits, its coarse search done and its ground partly known.
    pub(super) fn searched(
        shaper: &'a Shaper<'a>,
        limits: &'a Limits,
        known: Arc<KnownGround>,
        labels: &'a Labels,
    ) -> Self {
        Self {
            shaper,
            way: &shaper.way,
            limits,
            known,
            labels: Some(labels),
        }
    }

    pub(super) fn ground(&self) -> Ground<'a> {
        Ground {
            shore: self.shaper.task.shore,
            limits: self.limits,
            ends: [self.shaper.task.from, self.shaper.task.to],
        }
    }

    pub(super) fn judge<'b>(
        &'b self,
        ground: &'b Ground<'b>,
        season: SeasonLimits,
        prices: Prices,
    ) -> Judge<'b> {
        Judge {
            winds: self.shaper.task.winds,
            way: self.way,
            clock: &self.shaper.clock,
            ground,
            season,
            prices,
            aim: None,
            sampling: self.shaper.task.sampling,
        }
    }

    /// The cheapest course at some prices; none where the limits leave none. The routes drawn and
    /// the straight line count even where the grid has no way.
    pub(super) fn solve(&self, prices: Prices) -> Option<Shaped> {
        let task = &self.shaper.task;
        let ground = self.ground();
        let judge = self.judge(&ground, SeasonLimits::between_places(self.limits), prices);
        let notches = if self.limits.on_the_season() {
            MOST_NOTCHES
        } else {
            1
        };
        let mut best: Option<Way> = None;
        for notch in 0..notches {
            let season = SeasonLimits::new(self.limits, notch);
            let Some(corners) = self.search(&ground, season, prices) else {
                break;
            };
            best = judge.judge(corners).map(|way| judge.smooth(way));
            if best.is_some() {
                break;
            }
        }
        let straight = vec![task.from, task.to];
        for corners in task.drawn.iter().chain([&straight]) {
            let is_better = |way: &Way| {
                let best = best.as_ref().map(|best| best.arrival().cost_hours);
                best.is_none_or(|best_hours| way.arrival().cost_hours < best_hours)
            };
            let drawn = judge.judge(corners.clone()).filter(is_better);
            // A corner thinned out may cost a little, so that the question is asked again.
            let smooth = drawn.map(|way| judge.smooth(way)).filter(is_better);
            if smooth.is_some() {
                best = smooth;
            }
        }
        best.map(|best| self.shaped(&judge, &best))
    }

    pub(super) fn shaped(&self, judge: &Judge<'_>, way: &Way) -> Shaped {
        Shaped {
            corners: way.corners().to_vec(),
            days: way.arrival().hours / 24.0,
            exposure: judge.exposure(way),
            prices: judge.prices,
            waiting_pays: judge.waiting_pays(way),
        }
    }

    /// The corners of the cheapest way along the grids.
    fn search(
        &self,
        ground: &Ground<'_>,
        season: SeasonLimits,
        prices: Prices,
    ) -> Option<Vec<Position>> {
        let (coarse, fine) = (&self.shaper.coarse, &self.shaper.fine);
        let rough = self.timed(coarse, &self.known.coarse, ground, season, prices);
        let nodes = match self.labels {
            Some(labels) => labels.path_over(&rough, coarse.before_end(), coarse.end()),
            None => least_cost(&rough, coarse.start(), coarse.end(), Label::default())
                .map(|path| path.nodes),
        };
        let among = nodes.map(|nodes| self.corridor(&coarse.corners(&nodes, self.ends())));
        // Where the coarse grid has no way, the finer one may, through a strait.
        let narrow = Timed {
            among: among.as_deref(),
            ..self.timed(fine, &self.known.fine, ground, season, prices)
        };
        let path = least_cost(&narrow, fine.start(), fine.end(), Label::default())?;
        Some(fine.corners(&path.nodes, self.ends()))
    }

    /// The coarse grid without limits of the season tightened.
    pub(super) fn coarse_grid<'b>(&'b self, ground: &'b Ground<'b>, prices: Prices) -> Timed<'b> {
        let season = SeasonLimits::new(self.limits, 0);
        self.timed(
            &self.shaper.coarse,
            &self.known.coarse,
            ground,
            season,
            prices,
        )
    }

    fn timed<'b>(
        &'b self,
        net: &'b Net,
        known: &'b Known,
        ground: &'b Ground<'b>,
        season: SeasonLimits,
        prices: Prices,
    ) -> Timed<'b> {
        Timed {
            net,
            known,
            waters: &self.shaper.waters,
            way: self.way,
            clock: &self.shaper.clock,
            ground,
            season,
            prices,
            among: None,
            best_kn: self.shaper.best_kn,
        }
    }

    pub(super) fn ends(&self) -> [Position; 2] {
        [self.shaper.task.from, self.shaper.task.to]
    }

    /// The nodes of the finer grid about a way.
    fn corridor(&self, corners: &[Position]) -> Vec<bool> {
        let grid = &self.shaper.fine.grid;
        let reach_deg = CORRIDOR_STEPS * self.shaper.task.grid_deg;
        let mut among = vec![false; grid.nodes()];
        for pair in corners.windows(2) {
            let Ok(circle) = GreatCircle::between(Earth::WGS84, pair[0], pair[1]) else {
                continue;
            };
            let count = (circle.length_nm() / (60.0 * self.shaper.task.grid_deg)).ceil();
            for index in 0..=count as u32 {
                let along = f64::from(index) / count * circle.length_nm();
                if let Some(point) = circle.at_nm(along) {
                    for node in grid.around(point.position, reach_deg) {
                        among[node] = true;
                    }
                }
            }
        }
        among
    }
}
