//! Diesel: hours under power, charging, and a reserve for the arrival, against the tank.

use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::{Burn, FuelSupply, USABLE_SHARE, ranges};
use crate::units::Unit;

use super::basis::{Basis, Figure, Known};
use super::engine::{burn_basis, list_burn, validate_burn};
use super::error::{StoresError, check, check_given};
use super::line::{Caution, Line, Subject};
use super::outcome::{DaysAndLitres, PASSAGE_HOURS, PassageOutcome, Percentile, ThresholdTrial};

/// The default hours under power kept for the arrival.
pub const DEFAULT_ARRIVAL_HOURS: Known = Known::new(
    "engine hours kept for the arrival",
    12.0,
    "h",
    Basis::PRACTICE,
);
/// The default burn at fast idle under the alternator's load.
pub const DEFAULT_CHARGING_BURN: Known =
    Known::new("diesel burnt while charging", 1.5, "L/h", Basis::PRACTICE);
/// The default share of a tank the pump can reach.
pub const DEFAULT_USABLE: Known = Known::new(
    "usable share of a fuel tank",
    USABLE_SHARE,
    "",
    Basis::PRACTICE,
);
/// Of every three litres, the share a passage should need: one out, one back, one spare.
pub const THIRDS: Known = Known::new(
    "share of the tank for the passage by thirds",
    2.0 / 3.0,
    "",
    Basis::PRACTICE,
);

/// The engine and its fuel; `None` takes the default.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EngineSettings {
    /// What an hour under power burns.
    pub burn: Burn,
    /// Litres burnt an hour while charging at rest.
    pub charging_litres_per_hour: Option<f64>,
    /// What tanks and cans hold.
    pub supply: FuelSupply,
    /// Hours under power kept for the arrival.
    pub arrival_hours: Option<f64>,
}

impl EngineSettings {
    /// Checks every number.
    ///
    /// # Errors
    /// A number out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        validate_burn(&self.burn)?;
        let charging = self.charging_litres_per_hour;
        let field = "power.alternator.litres_per_hour";
        check_given(field, &ranges::FUEL_RATE, charging)?;
        let supply = &self.supply;
        check("boat.engine.fuel", &ranges::FUEL, supply.tank_litres)?;
        let usable = supply.usable_share;
        check_given("boat.engine.usable_share", &ranges::USABLE_SHARE, usable)?;
        check("boat.engine.cans", &ranges::FUEL, supply.can_litres)?;
        let arrival = self.arrival_hours;
        check_given("reserve.arrival_engine_hours", &PASSAGE_HOURS, arrival)
    }
}

/// Diesel at one percentile.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct FuelNeed {
    /// The percentile, 50 to 99.
    pub percent: f64,
    /// Litres under power, at its own percentile.
    pub motoring_litres: f64,
    /// Litres for charging over the days at that percentile.
    pub charging_litres: f64,
    /// Litres kept for the arrival.
    pub arrival_litres: f64,
    /// Litres to load: the percentile of each passage's own total, arrival reserve included. It may
    /// be less than the parts' sum, for slow passages need not be those that motor most.
    pub litres: f64,
    /// Whether passages that ran dry stand behind the figure, so that it is the least needed.
    pub is_least: bool,
}

/// How the diesel answers to another motoring threshold, with all the diesel it asks for aboard.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct ThresholdRow {
    /// Course made good below which the engine starts, knots; none for never.
    pub motor_below_kn: Option<f64>,
    /// At 50 %: litres for motoring, charging over the days, and the arrival; none where too few
    /// passages arrive.
    pub p50: Option<DaysAndLitres>,
    /// At 90 %: the same; none where too few passages arrive.
    pub p90: Option<DaysAndLitres>,
}

/// Diesel to load.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct FuelPlan {
    /// The need at 50 %.
    pub median: FuelNeed,
    /// The need at the chosen percentile.
    pub chosen: FuelNeed,
    /// What tanks and cans give, litres.
    pub usable_litres: f64,
    /// What is missing at the chosen percentile, litres; 0 where all fits.
    pub shortfall_litres: f64,
    /// Chance that the tank runs dry under power, 0 to 1.
    pub dry_tank_chance: f64,
    /// Chance that motoring, charging and the arrival's reserve together exceed tanks and cans, 0 to 1.
    pub reserve_broken_chance: f64,
    /// Engine hours at the chosen percentile: motoring, charging and the arrival.
    pub engine_hours: f64,
    /// The answer to other thresholds.
    pub thresholds: Vec<ThresholdRow>,
    /// The lines of the list.
    pub lines: Vec<Line>,
}

/// Litres and hours, worked out once.
struct Rates {
    motoring_per_hour: f64,
    charging_per_hour: Figure,
    charging_hours_per_day: f64,
    arrival_hours: Figure,
}

impl FuelPlan {
    /// The plan, with `charging_hours_per_day` from the power balance.
    pub(crate) fn of(
        engine: &EngineSettings,
        charging_hours_per_day: f64,
        outcome: &PassageOutcome,
        median: &Percentile,
        chosen: &Percentile,
    ) -> Result<Self, StoresError> {
        let rates = Rates {
            motoring_per_hour: engine.burn.litres_per_hour(),
            charging_per_hour: DEFAULT_CHARGING_BURN.unless_given(engine.charging_litres_per_hour),
            charging_hours_per_day,
            arrival_hours: DEFAULT_ARRIVAL_HOURS.unless_given(engine.arrival_hours),
        };
        let usable_litres = engine.supply.usable_litres();
        let median_need = rates.need(outcome, median)?;
        let chosen_need = rates.need(outcome, chosen)?;
        let mut plan = Self {
            median: median_need,
            chosen: chosen_need,
            usable_litres,
            shortfall_litres: (chosen_need.litres - usable_litres).max(0.0),
            dry_tank_chance: outcome.share_of_members(|member| member.ran_dry),
            // A passage that does not arrive has no total; it counts as broken.
            reserve_broken_chance: outcome.share_of_members(|member| {
                member.ran_dry
                    || member
                        .days
                        .is_none_or(|days| rates.total(member.motor_hours, days) > usable_litres)
            }),
            engine_hours: chosen.motor_hours
                + charging_hours_per_day * chosen.days
                + rates.arrival_hours.value,
            thresholds: threshold_rows(&rates, outcome),
            lines: Vec::new(),
        };
        plan.lines = plan.list(engine, &rates, median, chosen);
        Ok(plan)
    }

    fn list(
        &self,
        engine: &EngineSettings,
        rates: &Rates,
        median: &Percentile,
        chosen: &Percentile,
    ) -> Vec<Line> {
        let mut lines = Vec::new();
        lines.extend(list_burn(&engine.burn));
        lines.extend(list_need(&self.median, median, &engine.burn, rates));
        if chosen.percent != median.percent {
            lines.extend(list_need(&self.chosen, chosen, &engine.burn, rates));
        }
        lines.push(
            litres(
                "of it, kept for the arrival",
                self.chosen.arrival_litres,
                format!("{} hours under power", rates.arrival_hours.value),
                rates.arrival_hours.basis,
            )
            .at_rate(rates.motoring_per_hour, Unit::Litre, "hour under power"),
        );
        lines.extend(self.list_tanks(&engine.supply));
        lines.extend(self.list_chances());
        lines
    }

    fn list_tanks(&self, supply: &FuelSupply) -> [Line; 2] {
        let usable = DEFAULT_USABLE.unless_given(supply.usable_share);
        [
            litres(
                "tanks and cans",
                self.usable_litres,
                format!(
                    "{:.0} % of the tanks can be pumped, and all of the cans",
                    100.0 * usable.value
                ),
                usable.basis,
            ),
            litres(
                "tanks and cans by thirds",
                self.chosen.litres / THIRDS.value,
                "one third out, one back, one spare: the need is two thirds of this",
                THIRDS.basis,
            ),
        ]
    }

    fn list_chances(&self) -> [Line; 2] {
        let percent = |item: &str, share: f64, rule: &str| {
            let amount = (100.0 * share, Unit::Percent);
            Line::new(Subject::Fuel, item, amount, rule, Basis::ARITHMETIC)
        };
        [
            percent(
                "chance of running dry",
                self.dry_tank_chance,
                "share of simulated passages that want the engine after its fuel is spent",
            ),
            percent(
                "chance of breaking into the reserve",
                self.reserve_broken_chance,
                "share of simulated passages whose motoring, charging and arrival reserve exceed tanks and cans, those that do not arrive included",
            ),
        ]
    }

    pub(crate) fn cautions(&self) -> Vec<Caution> {
        let mut cautions = Vec::new();
        if self.shortfall_litres > 0.0 {
            let text = format!(
                "Tanks and cans hold less diesel than the need at {} %: carry more, motor later, charge otherwise, or sail through the light air. Short by",
                self.chosen.percent
            );
            let amount = self.shortfall_litres;
            cautions.push(Caution::of(Subject::Fuel, text, amount, Unit::Litre));
        }
        if self.chosen.is_least {
            let text = format!(
                "Passages that ran dry stand behind the diesel at {} %: the figure is the least needed, not enough.",
                self.chosen.percent
            );
            cautions.push(Caution::new(Subject::Fuel, text));
        }
        cautions
    }
}

impl Rates {
    fn charging_litres(&self, days: f64) -> f64 {
        days * (self.charging_hours_per_day * self.charging_per_hour.value)
    }

    fn arrival_litres(&self) -> f64 {
        self.arrival_hours.value * self.motoring_per_hour
    }

    fn total(&self, motor_hours: f64, days: f64) -> f64 {
        motor_hours * self.motoring_per_hour + self.charging_litres(days) + self.arrival_litres()
    }

    fn need(&self, outcome: &PassageOutcome, at: &Percentile) -> Result<FuelNeed, StoresError> {
        let litres = outcome.percentile_of(at.percent, |member, days| {
            self.total(member.motor_hours, days)
        });
        // Had a dry tank's need been known, it could only be more.
        let with_dry_unknown = outcome.percentile_of(at.percent, |member, days| {
            if member.ran_dry {
                f64::INFINITY
            } else {
                self.total(member.motor_hours, days)
            }
        });
        Ok(FuelNeed {
            percent: at.percent,
            motoring_litres: at.motor_hours * self.motoring_per_hour,
            charging_litres: self.charging_litres(at.days),
            arrival_litres: self.arrival_litres(),
            litres: litres.ok_or_else(|| outcome.not_reached(at.percent))?,
            is_least: with_dry_unknown.is_none(),
        })
    }
}

/// What motoring and charging burn at one percentile, and what that comes to.
fn list_need(need: &FuelNeed, at: &Percentile, burn: &Burn, rates: &Rates) -> [Line; 3] {
    let charging_hours = rates.charging_hours_per_day;
    [
        litres(
            format!("under power, {} %", at.percent),
            need.motoring_litres,
            format!("{:.1} hours under power x litres an hour", at.motor_hours),
            burn_basis(burn),
        )
        .at_rate(rates.motoring_per_hour, Unit::Litre, "hour under power"),
        litres(
            format!("charging, {} %", at.percent),
            need.charging_litres,
            format!(
                "days x {charging_hours:.2} charging hours a day x litres an hour; hours under power charge too, but come in spells and are not taken off"
            ),
            rates.charging_per_hour.basis,
        )
        .over_days(at.days)
        .at_rate(
            rates.charging_per_hour.value,
            Unit::Litre,
            "hour of charging",
        ),
        litres(
            format!("to load, {} %", at.percent),
            need.litres,
            "percentile of each simulated passage's own total, arrival reserve included",
            Basis::ARITHMETIC,
        )
        .over_days(at.days),
    ]
}

fn threshold_rows(rates: &Rates, outcome: &PassageOutcome) -> Vec<ThresholdRow> {
    let with_the_rest = |at: DaysAndLitres| DaysAndLitres {
        days: at.days,
        litres: at.litres + rates.charging_litres(at.days) + rates.arrival_litres(),
    };
    let row = |trial: &ThresholdTrial| ThresholdRow {
        motor_below_kn: trial.motor_below_kn,
        p50: trial.p50.map(with_the_rest),
        p90: trial.p90.map(with_the_rest),
    };
    outcome.thresholds.iter().map(row).collect()
}

pub(super) fn litres(
    item: impl Into<String>,
    amount: f64,
    rule: impl Into<String>,
    basis: Basis,
) -> Line {
    Line::new(Subject::Fuel, item, (amount, Unit::Litre), rule, basis)
}
