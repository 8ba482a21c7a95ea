//! What the stores are told of a route's stages, and for how many of them goods are carried together.

use std::ops::Range as Between;

use super::error::StoresError;
use super::outcome::{MEDIAN_PERCENT, MemberOutcome, PassageOutcome, percentile_of};
use crate::route::Goods;

/// One stage of a route with stops.
#[derive(Debug, Clone, PartialEq)]
pub struct StageOutcome {
    /// The place it leaves.
    pub from: String,
    /// The place it ends at.
    pub to: String,
    /// What is to be had where it ends.
    pub resupply: Vec<Goods>,
    /// Every member on it, in the order of the passage's; their days in harbour are those after it.
    pub members: Vec<MemberOutcome>,
    /// Mean air temperature over its days, degrees Celsius; `None` where it is not known.
    pub air_temperature_c: Option<f64>,
}

impl StageOutcome {
    pub(super) fn validate(&self, members: usize) -> Result<(), StoresError> {
        if self.members.len() != members {
            return Err(StoresError::Missing {
                of: "stage",
                needed: "every simulated passage, once",
            });
        }
        let mut members = self.members.iter().enumerate();
        members.try_for_each(|(index, member)| member.validate(index + 1))
    }

    /// Whether something is to be had where it ends.
    pub(super) fn has(&self, goods: Goods) -> bool {
        self.resupply.contains(&goods) || self.resupply.contains(&Goods::All)
    }
}

/// The stages sailed on one loading of something, and the passages over them.
#[derive(Debug, Clone)]
pub(super) struct Carry {
    /// Their numbers, from 0.
    pub stages: Between<usize>,
    /// Whether they end the route.
    pub is_last: bool,
    /// The passages over them, as those of a route of its own: sums of each member's stages.
    pub outcome: PassageOutcome,
}

/// Each run of stages from one place where goods are had to the next; the start has all.
pub(super) fn until_had(stages: &[StageOutcome], goods: Goods) -> Vec<Between<usize>> {
    let mut runs = Vec::new();
    let mut first = 0;
    for (index, stage) in stages.iter().enumerate() {
        if index + 1 == stages.len() || stage.has(goods) {
            runs.push(first..index + 1);
            first = index + 1;
        }
    }
    runs
}

/// Each member over all these stages, with the days in harbour between them.
pub(super) fn summed(stages: &[StageOutcome]) -> Vec<MemberOutcome> {
    let Some((last, before)) = stages.split_last() else {
        return Vec::new();
    };
    let members = last.members.iter().enumerate();
    members
        .map(|(index, on_last)| {
            // Stays at the end are lived on what is had there.
            let on_last = MemberOutcome {
                harbour_days: 0.0,
                ..*on_last
            };
            before.iter().fold(on_last, |sum, stage| {
                let member = &stage.members[index];
                MemberOutcome {
                    days: sum.days.zip(member.days).map(|(a, b)| a + b),
                    motor_hours: sum.motor_hours + member.motor_hours,
                    gale_hours: sum.gale_hours + member.gale_hours,
                    hard_beat_hours: sum.hard_beat_hours + member.hard_beat_hours,
                    ran_dry: sum.ran_dry || member.ran_dry,
                    harbour_days: sum.harbour_days + member.harbour_days,
                }
            })
        })
        .collect()
}

impl PassageOutcome {
    /// How goods are carried: together over all stages to the next place where they are had. The whole
    /// passage at once on a route without stops.
    pub(super) fn carries(&self, goods: Goods) -> Vec<Carry> {
        if self.stages.is_empty() {
            return vec![Carry {
                stages: 0..1,
                is_last: true,
                outcome: self.clone(),
            }];
        }
        let runs = until_had(&self.stages, goods).into_iter();
        runs.map(|run| {
            let stages = &self.stages[run.clone()];
            let air_c: Vec<f64> = stages
                .iter()
                .filter_map(|stage| stage.air_temperature_c)
                .collect();
            let is_last = run.end == self.stages.len();
            let mean_c = air_c.iter().sum::<f64>() / air_c.len() as f64;
            Carry {
                outcome: Self {
                    route: self.route.clone(),
                    members: summed(stages),
                    mean_air_temperature_c: if air_c.is_empty() {
                        self.mean_air_temperature_c
                    } else {
                        Some(mean_c)
                    },
                    track: Vec::new(),
                    thresholds: self.thresholds.clone(),
                    start: stages[0].from.clone(),
                    stages: Vec::new(),
                },
                stages: run,
                is_last,
            }
        })
        .collect()
    }

    /// The days in harbour after a stage, in the median passage; 0 where none get there.
    pub(super) fn harbour_days_after(&self, stage: usize) -> f64 {
        let members = &self.stages[stage].members;
        let days = percentile_of(members, MEDIAN_PERCENT, |member, _| member.harbour_days);
        days.unwrap_or(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stage(resupply: &[Goods], days: [Option<f64>; 2], harbour_days: f64) -> StageOutcome {
        let member = |days: Option<f64>| MemberOutcome {
            days,
            motor_hours: 3.0,
            gale_hours: 2.0,
            hard_beat_hours: 1.0,
            ran_dry: days == Some(7.0),
            harbour_days,
        };
        StageOutcome {
            from: "A".to_owned(),
            to: "B".to_owned(),
            resupply: resupply.to_vec(),
            members: days.map(member).to_vec(),
            air_temperature_c: None,
        }
    }

    #[test]
    fn goods_are_carried_to_the_next_place_that_has_them() {
        let stages = [
            stage(&[Goods::Water], [Some(1.0), None], 2.0),
            stage(&[Goods::All], [Some(7.0), None], 3.0),
            stage(&[], [Some(4.0), None], 0.0),
        ];
        assert_eq!(until_had(&stages, Goods::Water), [0..1, 1..2, 2..3]);
        assert_eq!(until_had(&stages, Goods::Diesel), [0..2, 2..3]);
        assert_eq!(until_had(&stages, Goods::All), [0..2, 2..3]);
        let [first, second] = summed(&stages[..2])[..] else {
            panic!("two members")
        };
        // 1 + 7 days at sea; the 2 days between them, not the 3 at the end.
        assert_eq!((first.days, first.harbour_days), (Some(8.0), 2.0));
        assert_eq!((first.motor_hours, first.gale_hours), (6.0, 4.0));
        assert!(first.ran_dry);
        assert_eq!(second.days, None);
    }
}
