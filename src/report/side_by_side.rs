//! Several figures of each route side by side, as many routes as a screen holds.

use std::ops::Range;

use super::names::Called;
use super::table::{Screen, layout_on};

/// How many figures each route has.
pub(super) const COUNT: usize = 4;

/// Tables of routes with [`COUNT`] columns each, behind a first column of names.
pub(super) struct SideBySide<'a> {
    /// The routes' names.
    pub routes: Vec<&'a str>,
    /// The longest name that stands over the first of a route's columns.
    pub longest_name: usize,
    /// What the figures are.
    pub figures: [&'static str; COUNT],
    /// What stands behind the first figure's heading, where marks stand behind the figure.
    pub behind_first: &'a str,
    /// What heads the rows' names.
    pub corner: &'a str,
    /// The width of the widest of them.
    pub label: usize,
    /// The least widths of the figures' columns.
    pub least: [usize; COUNT],
}

impl SideBySide<'_> {
    /// The legend of long names if there is one, then the tables; `rows` has those of some routes.
    pub(super) fn tables(
        self,
        screen: Screen,
        rows: impl Fn(Range<usize>) -> Vec<Vec<String>>,
    ) -> Vec<String> {
        let count = self.routes.len();
        let called = Called::within(self.longest_name, self.routes);
        let fits = |abreast: &usize| {
            let figures = std::iter::repeat_n(self.least, *abreast).flatten();
            screen.fits(std::iter::once(self.label).chain(figures))
        };
        let abreast = (1..=count).rev().find(fits).unwrap_or(1);
        let mut parts: Vec<String> = called.legend.into_iter().collect();
        parts.extend((0..count).step_by(abreast).map(|first| {
            let shown = first..count.min(first + abreast);
            let mut heading = vec![self.corner.to_owned()];
            for name in &called.names[shown.clone()] {
                let [first, others @ ..] = self.figures;
                heading.push(format!("{name} {first}{}", self.behind_first));
                heading.extend(others.map(str::to_owned));
            }
            layout_on(screen, &heading, &rows(shown), 1)
        }));
        parts
    }
}
