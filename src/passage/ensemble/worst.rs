//! The deadline that is missed most, and the stage that meets most storms.

use super::late::Late;
use super::outcome::Ensemble;

impl Ensemble {
    /// The deadline with the greatest chance to be late; none without any.
    pub fn worst_late(&self) -> Option<&Late> {
        let late = self.late.iter();
        late.max_by(|a, b| a.chance.total_cmp(&b.chance))
    }

    /// The greatest chance of a storm within 200 nm of a stage, 0 to 1, and the stage's place from 0; that
    /// of the whole for a route without stops. None where half the passages do not arrive.
    pub fn stormiest_stage(&self) -> Option<(usize, f64)> {
        if self.stages.is_empty() {
            return Some((0, self.storms.as_ref()?.chance));
        }
        let chances = self.stages.iter().map(|stage| stage.storm_chance);
        let chances: Option<Vec<f64>> = chances.collect();
        let chances = chances?.into_iter().enumerate();
        chances.max_by(|a, b| a.1.total_cmp(&b.1))
    }
}
