//! Fresh water: what is drunk and used, what is made, and what the tanks must hold when the
//! watermaker fails.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::{Range, Unit};

use super::basis::{Basis, Figure, Known};
use super::crew::CrewSettings;
use super::days::DaysPlan;
use super::error::{StoresError, check, check_given};
use super::line::{Caution, Line, Subject};
use super::outcome::PassageOutcome;
use super::watermaker::{Failure, Watermaker, WatermakerPlan};

/// Water used by one person in a day.
pub const PERSON_WATER: Range = Range::new("water", "L per person and day", 0.0, 200.0);
/// What tanks or bottles hold.
pub const TANK: Range = Range::new("water", "L", 0.0, 20_000.0);
/// Emergency water apart from the tanks.
pub const EMERGENCY: Range = Range::new("emergency water", "L per person", 0.0, 100.0);

/// The origin of the shore minimums the default uses are set by.
const SPHERE: Basis = Basis::second_hand("Sphere handbook 2011, basic water needs");

/// Drinking, with the water in food: the upper end of 2.5 to 3.
pub const DRINKING: Known = Known::new("drinking", 3.0, "L per person and day", SPHERE);
/// Cooking: the lower end of 3 to 6.
pub const COOKING: Known = Known::new("cooking", 3.0, "L per person and day", SPHERE);
/// Washing: the lower end of 2 to 6.
pub const WASHING: Known = Known::new("washing", 2.0, "L per person and day", SPHERE);
/// Least water to live on, drink and food together: the lower end of 2.5 to 3.
pub const SURVIVAL: Known = Known::new("survival", 2.5, "L per person and day", SPHERE);
/// Least water for all uses on shore: the lower end of 7.5 to 15.
pub const SHORE_TOTAL: Known = Known::new("all uses", 7.5, "L per person and day", SPHERE);
/// More to drink in the heat.
pub const HEAT: Known = Known::new(
    "more drinking in the heat",
    1.0,
    "L per person and day",
    Basis::PRACTICE,
);
/// The mean air temperature above which [`HEAT`] is added.
pub const HOT_ABOVE: Known = Known::new(
    "mean air temperature called hot",
    25.0,
    "degrees C",
    Basis::PRACTICE,
);
/// Emergency water in containers apart from the tanks: a lifeboat's ration.
pub const EMERGENCY_WATER: Known = Known::new(
    "emergency water",
    3.0,
    "L per person",
    Basis::from_memory("LSA Code 4.4.8.9, lifeboat water"),
);
/// Water a pet drinks: the upper end of 50 to 60 ml for each kilogram.
pub const PET_WATER: Known = Known::new(
    "water of a pet",
    0.060,
    "L per kg and day",
    Basis::from_memory("veterinary practice, 50 to 60 ml/kg"),
);

/// One use of fresh water.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterUse {
    /// What it is for.
    pub name: String,
    /// Litres for each person and day.
    pub litres_per_person_day: f64,
    /// Where the litres come from.
    pub basis: Basis,
}

/// How water is used, made and kept; `None` takes the default unless a field says otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterSettings {
    /// The uses, at least one.
    pub uses: Vec<WaterUse>,
    /// More to drink for each person and day where the passage is hot, litres.
    pub heat_litres_per_person_day: Option<f64>,
    /// What the tanks hold, litres; `None` where it is not known.
    pub tank_litres: Option<f64>,
    /// What bottles and cans hold, litres.
    pub bottled_litres: f64,
    /// The watermaker, if any.
    pub watermaker: Option<Watermaker>,
    /// What each person is held to a day once the watermaker has failed, litres.
    pub ration_litres_per_person_day: Option<f64>,
    /// Water apart from the tanks, for leaving the boat, litres for each person.
    pub emergency_litres_per_person: Option<f64>,
}

impl WaterSettings {
    /// Tanks of `tank_litres`, if that is known, no watermaker, and the default uses of this file.
    pub fn new(tank_litres: Option<f64>) -> Self {
        let uses = [DRINKING, COOKING, WASHING]
            .map(|known| WaterUse {
                name: known.what.to_owned(),
                litres_per_person_day: known.value,
                basis: known.basis,
            })
            .into();
        Self {
            uses,
            heat_litres_per_person_day: None,
            tank_litres,
            bottled_litres: 0.0,
            watermaker: None,
            ration_litres_per_person_day: None,
            emergency_litres_per_person: None,
        }
    }

    /// Checks every number.
    ///
    /// # Errors
    /// No use at all, or a number out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        if self.uses.is_empty() {
            return Err(StoresError::Missing {
                field: "water.use".to_owned(),
                allowed: "at least one use of water, such as drinking".to_owned(),
            });
        }
        for use_of in &self.uses {
            let field = format!("water.use.{}.per_person_day", use_of.name);
            check(&field, &PERSON_WATER, use_of.litres_per_person_day)?;
        }
        let per_person = [
            ("water.heat_per_person_day", self.heat_litres_per_person_day),
            (
                "water.ration_per_person_day",
                self.ration_litres_per_person_day,
            ),
        ];
        for (field, litres) in per_person {
            check_given(field, &PERSON_WATER, litres)?;
        }
        check_given("water.tank", &TANK, self.tank_litres)?;
        // What is left when it fails is what the tanks hold.
        if self.watermaker.is_some() && self.tank_litres.is_none() {
            return Err(StoresError::Missing {
                field: "water.tank".to_owned(),
                allowed: "what the tanks hold, with a watermaker".to_owned(),
            });
        }
        check("water.bottled", &TANK, self.bottled_litres)?;
        let emergency = self.emergency_litres_per_person;
        check_given("water.emergency_per_person", &EMERGENCY, emergency)?;
        self.watermaker
            .as_ref()
            .map_or(Ok(()), Watermaker::validate)
    }
}

/// Fresh water to load.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct WaterPlan {
    /// Litres used a day by all aboard.
    pub use_litres_per_day: f64,
    /// Litres a day at the ration, pets included.
    pub ration_litres_per_day: f64,
    /// The least to leave with in tanks and bottles, litres.
    pub tank_minimum_litres: f64,
    /// Emergency water apart from the tanks, litres.
    pub emergency_litres: f64,
    /// Litres to load: the tank minimum and the emergency water.
    pub litres: f64,
    /// What tanks and bottles hold, litres; none where it is not known.
    pub stock_litres: Option<f64>,
    /// What they lack of the tank minimum, litres; 0 where it fits, none where it is not known.
    pub shortfall_litres: Option<f64>,
    /// Litres for each person and day, all uses.
    pub use_litres_per_person_day: f64,
    /// Litres of it for drinking; all uses where none is named `drinking`.
    pub drinking_litres_per_person_day: f64,
    /// The watermaker; none without one, or where it is not known what the tanks hold.
    pub watermaker: Option<WatermakerPlan>,
    /// The lines of the list.
    pub lines: Vec<Line>,
}

/// Water used in a day, worked out once.
struct Daily {
    people: f64,
    /// More for each person where it is hot; none where it is not.
    heat: Option<Figure>,
    pets_litres: f64,
    ration: Figure,
    emergency: Figure,
}

impl WaterPlan {
    pub(crate) fn of(
        water: &WaterSettings,
        crew: &CrewSettings,
        days: &DaysPlan,
        outcome: &PassageOutcome,
    ) -> Self {
        let air_c = outcome.mean_air_temperature_c;
        let hot = air_c.is_some_and(|celsius| celsius > HOT_ABOVE.value);
        let daily = Daily {
            people: crew.count(),
            heat: hot.then(|| HEAT.unless_given(water.heat_litres_per_person_day)),
            pets_litres: crew
                .pets
                .iter()
                .map(|pet| pet.mass_kg * PET_WATER.value)
                .sum(),
            ration: DRINKING.unless_given(water.ration_litres_per_person_day),
            emergency: EMERGENCY_WATER.unless_given(water.emergency_litres_per_person),
        };
        let heat = daily.heat.map_or(0.0, |heat| heat.value);
        let uses: f64 = water
            .uses
            .iter()
            .map(|use_of| use_of.litres_per_person_day)
            .sum();
        let use_per_day = daily.people * (uses + heat) + daily.pets_litres;
        let ration_per_day = daily.people * (daily.ration.value + heat) + daily.pets_litres;
        let stock_litres = water.tank_litres.map(|tank| tank + water.bottled_litres);
        let failure = water
            .watermaker
            .map(|maker| Failure::of(&maker, use_per_day, ration_per_day, days.water_days));
        let tank_minimum_litres = failure
            .as_ref()
            .map_or(use_per_day * days.water_days, |failure| {
                failure.tank_minimum()
            });
        let emergency_litres = daily.people * daily.emergency.value;
        // Those that do not arrive outlast any water.
        let slower_than = |water_days: f64| {
            outcome.share_of_members(|member| {
                member.days.unwrap_or(f64::INFINITY) + days.resupply_days > water_days
            })
        };
        let mut plan = Self {
            use_litres_per_day: use_per_day,
            ration_litres_per_day: ration_per_day,
            tank_minimum_litres,
            emergency_litres,
            litres: tank_minimum_litres + emergency_litres,
            stock_litres,
            shortfall_litres: stock_litres.map(|stock| (tank_minimum_litres - stock).max(0.0)),
            watermaker: failure.zip(stock_litres).map(|(failure, stock)| {
                let full_days = failure.days_from(stock);
                failure.plan(stock, slower_than(days.water_days), slower_than(full_days))
            }),
            lines: Vec::new(),
            drinking_litres_per_person_day: water
                .uses
                .iter()
                .find(|use_of| use_of.name == DRINKING.what)
                .map_or(uses, |use_of| use_of.litres_per_person_day)
                + heat,
            use_litres_per_person_day: uses + heat,
        };
        plan.lines = plan.list(water, days, &daily);
        plan
    }

    fn list(&self, water: &WaterSettings, days: &DaysPlan, daily: &Daily) -> Vec<Line> {
        let mut lines = list_uses(water, days.water_days, daily);
        match &self.watermaker {
            None => lines.push(
                litres(
                    "in tanks and bottles",
                    self.tank_minimum_litres,
                    "all uses over the days to provide for; nothing makes water",
                    Basis::ARITHMETIC,
                )
                .over_days(days.water_days)
                .at_rate(self.use_litres_per_day, Unit::Litre, "day"),
            ),
            Some(maker) => lines.extend(self.list_watermaker(maker, days, daily)),
        }
        lines.push(
            litres(
                "emergency water apart from the tanks",
                self.emergency_litres,
                "in containers that can be taken off the boat",
                daily.emergency.basis,
            )
            .at_rate(daily.emergency.value, Unit::Litre, "person"),
        );
        lines.push(litres(
            "to load",
            self.litres,
            "tanks and bottles, and the emergency water",
            Basis::ARITHMETIC,
        ));
        lines
    }

    fn list_watermaker(&self, maker: &WatermakerPlan, days: &DaysPlan, daily: &Daily) -> [Line; 5] {
        let over = days.water_days;
        let ration_basis = daily.ration.basis;
        let percent = |item: &str, share: f64, rule: String, basis: Basis| {
            let amount = (100.0 * share, Unit::Percent);
            Line::new(Subject::Water, item, amount, rule, basis)
        };
        [
            litres(
                "made on the way",
                maker.made_litres,
                format!("{:.1} hours of watermaker a day", maker.hours_per_day),
                Basis::GIVEN,
            )
            .over_days(over)
            .at_rate(maker.made_litres_per_day, Unit::Litre, "day"),
            litres(
                "in tanks and bottles, at least",
                self.tank_minimum_litres,
                "enough for the rest of the passage at the ration, whichever day the watermaker fails",
                ration_basis,
            )
            .over_days(over)
            .at_rate(self.ration_litres_per_day, Unit::Litre, "day at the ration"),
            percent(
                "passages too slow for the least water, should it fail",
                maker.too_slow_share,
                format!(
                    "share of simulated passages with more than {over:.1} days to provide for, those that do not arrive included"
                ),
                days.water_reserve.basis,
            )
            .with_reserve(days.water_reserve.value),
            Line::new(
                Subject::Water,
                "water lasts after a failure on the worst day",
                (maker.survival_days, Unit::Day),
                format!(
                    "full tanks at departure; worst on day {:.0} with {:.1} days to go",
                    maker.worst_day, maker.days_to_go
                ),
                ration_basis,
            )
            .over_days(maker.days_to_go)
            .at_rate(self.ration_litres_per_day, Unit::Litre, "day at the ration"),
            percent(
                "passages too slow for full tanks, should it fail",
                maker.too_slow_share_full,
                "share of simulated passages that full tanks and bottles do not last for, even at the ration, those that do not arrive included".to_owned(),
                Basis::ARITHMETIC,
            ),
        ]
    }

    pub(crate) fn cautions(&self) -> Vec<Caution> {
        let mut cautions = vec![Caution::new(
            Subject::Water,
            "Water figures are minimums, not targets; heat, illness and a slower passage need more. The skipper decides.",
        )];
        let mut add = |text: &str, amount: f64, unit: Unit| {
            cautions.push(Caution::of(Subject::Water, text, amount, unit));
        };
        if let Some(short) = self.shortfall_litres.filter(|short| *short > 0.0) {
            add(
                "Tanks and bottles hold less than the water to leave with: short by",
                short,
                Unit::Litre,
            );
        }
        if self.drinking_litres_per_person_day < SURVIVAL.value {
            add(
                "Less is set aside for drinking than a person needs to live on for long (2.5 to 3 L a day, Sphere handbook 2011, seen second-hand); set aside for each person and day",
                self.drinking_litres_per_person_day,
                Unit::Litre,
            );
        }
        if self.use_litres_per_person_day < SHORE_TOTAL.value {
            add(
                "All uses together are below the least for people on shore (7.5 L a day, Sphere handbook 2011, seen second-hand), unless sea water does for washing and some cooking; set aside for each person and day",
                self.use_litres_per_person_day,
                Unit::Litre,
            );
        }
        if let Some(maker) = &self.watermaker {
            if maker.survival_days < maker.days_to_go {
                add(
                    "If the watermaker fails on the worst day, water at the ration ends before the passage does, by",
                    maker.days_to_go - maker.survival_days,
                    Unit::Day,
                );
            }
            if maker.too_slow_share > 0.0 {
                let text = format!(
                    "With no more than the least water aboard, passages slower than those provided for run out if the watermaker fails on the worst day, even at the ration; reserve.water_share provides for them. With full tanks and bottles it is {:.1} % of simulated passages, with the least",
                    100.0 * maker.too_slow_share_full
                );
                add(&text, 100.0 * maker.too_slow_share, Unit::Percent);
            }
            if maker.hours_per_day > 24.0 {
                add(
                    "The watermaker cannot keep up with the use even day and night; it would have to run each day",
                    maker.hours_per_day,
                    Unit::Hour,
                );
            }
        }
        if self.stock_litres.is_none() {
            let text = "Nothing is said of the water tanks: whether this water fits is not known.";
            cautions.push(Caution::new(Subject::Water, text));
        }
        cautions
    }
}

/// What is used over the days, reserve included: by each use, in the heat and by the pets.
fn list_uses(water: &WaterSettings, over_days: f64, daily: &Daily) -> Vec<Line> {
    let used = |item: &str, per_person_day: f64, basis: Basis| {
        litres(
            item,
            daily.people * per_person_day * over_days,
            "people x days x litres; reserve is in the days",
            basis,
        )
        .over_days(over_days)
        .at_rate(per_person_day, Unit::Litre, "person and day")
    };
    let uses = water.uses.iter();
    let mut lines: Vec<Line> = uses
        .map(|use_of| used(&use_of.name, use_of.litres_per_person_day, use_of.basis))
        .collect();
    if let Some(heat) = daily.heat.filter(|heat| heat.value > 0.0) {
        lines.push(used(HEAT.what, heat.value, heat.basis));
    }
    if daily.pets_litres > 0.0 {
        lines.push(
            litres(
                "pets",
                daily.pets_litres * over_days,
                "mass of the pets x days x litres",
                PET_WATER.basis,
            )
            .over_days(over_days)
            .at_rate(daily.pets_litres, Unit::Litre, "day"),
        );
    }
    lines
}

fn litres(item: impl Into<String>, amount: f64, rule: impl Into<String>, basis: Basis) -> Line {
    Line::new(Subject::Water, item, (amount, Unit::Litre), rule, basis)
}
