//! What comes of a run's members, noted as they sail.

use crate::passage::{ByKind, ExposureKind};

/// What came of one passage, or of one stage of it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Passage {
    /// Hours at sea; infinite for a passage that does not arrive.
    pub hours: f64,
    /// Hours of each kind of exposure.
    pub exposure_hours: ByKind<f64>,
    /// Whether it blew a gale for two steps, six hours, on end.
    pub gale_spell: bool,
    /// The longest beat in 20 knots or more, in steps.
    pub hard_beat_steps: u32,
    /// The longest spell of light air, in steps.
    pub light_air_steps: u32,
    /// Whether the engine was wanted after its fuel was spent.
    pub dry: bool,
}

/// What came of one stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct StagePassage {
    /// Hours from the departure to the stage's beginning; infinite for one that is not begun.
    pub begins_hours: f64,
    pub passage: Passage,
}

impl Default for StagePassage {
    /// One that is not begun.
    fn default() -> Self {
        Self {
            begins_hours: f64::INFINITY,
            passage: Passage {
                hours: f64::INFINITY,
                ..Passage::default()
            },
        }
    }
}

/// Where what comes of some members goes.
pub(super) struct Pack<'a> {
    /// Each member's whole passage.
    pub passages: &'a mut [Passage],
    /// Each member's stages, one member after the other; empty where there is but one stage.
    pub stages: &'a mut [StagePassage],
    /// Each member's hours from the departure to each mark, one member after the other; empty where
    /// there is but one mark.
    pub reached_hours: &'a mut [f64],
}

impl Passage {
    /// Takes in a stage that follows.
    fn add(&mut self, stage: &Self) {
        self.hours += stage.hours;
        for kind in ExposureKind::ALL {
            self.exposure_hours[kind] += stage.exposure_hours[kind];
        }
        self.gale_spell |= stage.gale_spell;
        self.hard_beat_steps = self.hard_beat_steps.max(stage.hard_beat_steps);
        self.light_air_steps = self.light_air_steps.max(stage.light_air_steps);
        self.dry |= stage.dry;
    }
}

impl Pack<'_> {
    /// Notes what came of the stage numbered `stage`, from 0, of so many stages of a member.
    pub fn note(&mut self, number: usize, stages: usize, stage: usize, came: &StagePassage) {
        self.passages[number].add(&came.passage);
        if stages > 1 {
            self.stages[number * stages + stage] = *came;
        }
    }
}
