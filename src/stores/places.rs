//! What to load where on a route with stops: at its start and at each stop.

use schemars::JsonSchema;
use serde::Serialize;

use super::food::FoodPlan;
use super::fuel::FuelPlan;
use super::outcome::PassageOutcome;
use super::prices::{Asked, Costs, PriceSettings, Priced};
use super::stages::Carry;
use super::water::WaterPlan;
use crate::route::Goods;

/// The stores of a route with stops, place by place. Goods that are not had at a stop are carried from
/// the last place where they are, and counted together over the stages: the percentile of each passage's
/// sum.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct StagedStores {
    /// The start and each stop, in the order they are left.
    pub places: Vec<PlaceStores>,
    /// The stages on one filling that ask most of the fuel tanks; none without an engine.
    pub diesel_decided_by: Option<Stages>,
    /// Those that ask most of the water tanks.
    pub water_decided_by: Stages,
    /// Those for which most food is loaded.
    pub food_decided_by: Stages,
    /// Chance that motoring, charging and the arrival's reserve together exceed tanks and cans on any
    /// filling, 0 to 1; none without an engine.
    pub diesel_short_chance: Option<f64>,
}

/// Stages that follow one another.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub struct Stages {
    /// The number of the first, from 1.
    pub first: usize,
    /// The number of the last.
    pub last: usize,
    /// Where the first begins.
    pub from: String,
    /// Where the last ends.
    pub to: String,
}

/// What to have aboard on leaving one place.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct PlaceStores {
    /// The place.
    pub place: String,
    /// The number, from 1, of the stage that begins there.
    pub stage: usize,
    /// What is to be had there; empty at the start, which has everything.
    pub resupply: Vec<Goods>,
    /// The stay there; none at the start.
    pub stay: Option<HarbourStay>,
    /// Diesel to leave with; none without an engine, or where none is had.
    pub diesel: Option<LoadedLitres>,
    /// Water to leave with in tanks and bottles; none where none is had.
    pub water: Option<LoadedLitres>,
    /// Food to load; none where none that keeps is had.
    pub food: Option<LoadedFood>,
    /// Fresh food to load, kilograms; part of `food` where that is had; none where none is.
    pub fresh_food_kg: Option<f64>,
}

/// Diesel or water for the stages to the next place where it is had.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct LoadedLitres {
    /// The stages it is for.
    pub stages: Stages,
    /// Litres to leave with.
    pub litres: f64,
    /// Whether it is only the least needed, since tanks ran dry behind it.
    pub is_least: bool,
    /// What does not fit, litres; 0 where all does, none where it is not known.
    pub short_litres: Option<f64>,
}

/// Food for the stages to the next place where it is had.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct LoadedFood {
    /// The stages it is for.
    pub stages: Stages,
    /// Days it is for, reserve and stays on the way included.
    pub days: f64,
    /// Kilograms to load, with that of pets.
    pub kg: f64,
}

/// A stay in harbour, and what is lived on.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct HarbourStay {
    /// Days, in the median passage.
    pub days: f64,
    /// Water used over them, litres.
    pub water_litres: f64,
    /// The place the water comes from: this one where it has water.
    pub water_from: String,
    /// The place the food comes from: this one where it has all.
    pub food_from: String,
}

/// One kind of goods: how it is carried, and the plan of each carry.
pub(super) struct Carried<P> {
    pub carries: Vec<Carry>,
    pub plans: Vec<P>,
    /// Which of them asks most.
    pub most: usize,
}

impl<P> Carried<P> {
    /// The plan of each carry of some goods; none where one of them has none.
    pub fn of(
        outcome: &PassageOutcome,
        goods: Goods,
        plan: impl Fn(&Carry) -> Option<P>,
    ) -> Option<Self> {
        let carries = outcome.carries(goods);
        let plans: Option<Vec<P>> = carries.iter().map(plan).collect();
        Some(Self {
            carries,
            plans: plans?,
            most: 0,
        })
    }

    /// With the one that asks for most; of two that ask alike the first.
    pub fn by(mut self, asks: impl Fn(&P) -> f64) -> Self {
        for (index, plan) in self.plans.iter().enumerate() {
            if asks(plan) > asks(&self.plans[self.most]) {
                self.most = index;
            }
        }
        self
    }

    /// The plan that asks for most.
    pub fn most(&self) -> &P {
        &self.plans[self.most]
    }

    pub fn into_most(mut self) -> P {
        self.plans.swap_remove(self.most)
    }

    /// The carry that begins with a stage, and its plan.
    fn from(&self, stage: usize) -> Option<(&Carry, &P)> {
        let mut each = self.carries.iter().zip(&self.plans);
        each.find(|(carry, _)| carry.stages.start == stage)
    }

    /// The carry that asks most.
    pub fn deciding(&self) -> &Carry {
        &self.carries[self.most]
    }
}

/// Everything that is carried.
pub(super) struct AllCarried {
    pub fuel: Option<Carried<FuelPlan>>,
    pub water: Carried<WaterPlan>,
    pub food: Carried<FoodPlan>,
}

impl AllCarried {
    /// What to load where; none for a route without stops.
    pub fn staged(&self, outcome: &PassageOutcome) -> Option<StagedStores> {
        let stages = &outcome.stages;
        if stages.is_empty() {
            return None;
        }
        let of = |carry: &Carry| Stages {
            first: carry.stages.start + 1,
            last: carry.stages.end,
            from: stages[carry.stages.start].from.clone(),
            to: stages[carry.stages.end - 1].to.clone(),
        };
        let place = |index: usize| {
            let before = index.checked_sub(1);
            let has = |goods| before.is_none_or(|before| stages[before].has(goods));
            let diesel = self.fuel.as_ref().and_then(|fuel| fuel.from(index));
            PlaceStores {
                place: stages[index].from.clone(),
                stage: index + 1,
                resupply: before.map_or(Vec::new(), |before| stages[before].resupply.clone()),
                stay: before.map(|before| self.stay(outcome, before)),
                diesel: diesel.map(|(carry, plan)| LoadedLitres {
                    stages: of(carry),
                    litres: plan.chosen.to_load_litres,
                    is_least: plan.chosen.is_least,
                    short_litres: Some(plan.shortfall_litres),
                }),
                water: self.water.from(index).map(|(carry, plan)| LoadedLitres {
                    stages: of(carry),
                    litres: plan.tank_minimum_litres,
                    is_least: false,
                    short_litres: plan.shortfall_litres,
                }),
                food: self.food.from(index).map(|(carry, plan)| LoadedFood {
                    stages: of(carry),
                    days: plan.for_days,
                    kg: plan.to_load_kg,
                }),
                fresh_food_kg: has(Goods::FreshFood).then(|| self.fresh_kg(outcome, index)),
            }
        };
        Some(StagedStores {
            places: (0..stages.len()).map(place).collect(),
            diesel_decided_by: self.fuel.as_ref().map(|fuel| of(fuel.deciding())),
            water_decided_by: of(self.water.deciding()),
            food_decided_by: of(self.food.deciding()),
            diesel_short_chance: self.fuel.as_ref().map(short_chance),
        })
    }

    /// The stay after a stage.
    fn stay(&self, outcome: &PassageOutcome, stage: usize) -> HarbourStay {
        let stages = &outcome.stages;
        let days = outcome.harbour_days_after(stage);
        let comes_from = |goods, carries: &[Carry]| {
            if stages[stage].has(goods) {
                return stages[stage].to.clone();
            }
            let holding = carries.iter().find(|carry| carry.stages.contains(&stage));
            let loaded = holding.map_or(0, |carry| carry.stages.start);
            stages[loaded].from.clone()
        };
        HarbourStay {
            days,
            water_litres: days * self.water.most().use_litres_per_day,
            water_from: comes_from(Goods::Water, &self.water.carries),
            food_from: comes_from(Goods::All, &self.food.carries),
        }
    }

    /// Fresh food loaded where a stage begins.
    fn fresh_kg(&self, outcome: &PassageOutcome, stage: usize) -> f64 {
        let mut each = self.food.carries.iter().zip(&self.food.plans);
        let within = each.find(|(carry, _)| carry.stages.contains(&stage));
        within.map_or(0.0, |(carry, plan)| {
            let before = &outcome.stages[carry.stages.start..stage];
            let reloads = before.iter().filter(|stage| stage.has(Goods::FreshFood));
            plan.fresh_kg.get(reloads.count()).copied().unwrap_or(0.0)
        })
    }

    /// What all that costs.
    pub fn costs(&self, prices: &PriceSettings, people: f64, outcome: &PassageOutcome) -> Costs {
        let stages = &outcome.stages;
        let place = |stage: usize| {
            let stage = stages.get(stage);
            stage.map_or(&outcome.start, |stage| &stage.from).clone()
        };
        let needs = |carries: &[Carry], needs: Vec<f64>| {
            let places = carries.iter().map(|carry| place(carry.stages.start));
            places.zip(needs).collect::<Vec<_>>()
        };
        let at_once = |what, needs| Asked {
            what,
            needs,
            holds: None,
        };
        let water = &self.water;
        let mut asked = Vec::new();
        if let Some(fuel) = &self.fuel {
            let litres = fuel.plans.iter().map(|plan| plan.chosen.to_load_litres);
            asked.push(Asked {
                what: Priced::Diesel,
                needs: needs(&fuel.carries, litres.collect()),
                holds: fuel.plans.first().map(|plan| plan.usable_litres),
            });
        }
        let litres = water.plans.iter().map(|plan| plan.tank_minimum_litres);
        asked.push(Asked {
            what: Priced::Water,
            needs: needs(&water.carries, litres.collect()),
            holds: water.plans.first().and_then(|plan| plan.stock_litres),
        });
        let emergency = water
            .plans
            .first()
            .map(|plan| (place(0), plan.emergency_litres));
        asked.push(at_once(Priced::Water, emergency.into_iter().collect()));
        let days = self.food.plans.iter().map(|plan| plan.for_days * people);
        asked.push(at_once(
            Priced::Food,
            needs(&self.food.carries, days.collect()),
        ));
        let (mut berths, mut drunk, mut eaten) = (Vec::new(), Vec::new(), Vec::new());
        for (index, stage) in stages
            .iter()
            .enumerate()
            .take(stages.len().saturating_sub(1))
        {
            let stay = self.stay(outcome, index);
            if stage.has(Goods::Water) {
                drunk.push((stage.to.clone(), stay.water_litres));
            }
            if stage.has(Goods::All) {
                eaten.push((stage.to.clone(), stay.days * people));
            }
            berths.push((stage.to.clone(), stay.days));
        }
        asked.extend([
            at_once(Priced::Water, drunk),
            at_once(Priced::Food, eaten),
            at_once(Priced::Harbour, berths),
        ]);
        let places: Vec<String> = (0..stages.len().max(1)).map(place).collect();
        let places: Vec<&str> = places.iter().map(String::as_str).collect();
        Costs::of(prices, &places, &asked)
    }
}

/// The share of passages that want more diesel than there is room for on any filling.
fn short_chance(fuel: &Carried<FuelPlan>) -> f64 {
    let members = fuel.carries[0].outcome.members.len();
    let is_short = |member: &usize| {
        let mut fillings = fuel.carries.iter().zip(&fuel.plans);
        fillings.any(|(carry, plan)| plan.is_exceeded_by(&carry.outcome.members[*member]))
    };
    (0..members).filter(is_short).count() as f64 / members as f64
}
