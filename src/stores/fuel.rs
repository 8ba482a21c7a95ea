//! Diesel: hours under power, charging, and a reserve for the arrival, against tanks and cans.

use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::{
    Burn, DIESEL_KG_PER_LITRE, FuelSupply, SPECIFIC_CONSUMPTION_G_PER_KWH, USABLE_SHARE, ranges,
};
use crate::units::Unit;

use super::basis::{Basis, Figure};
use super::error::{StoresError, check};
use super::line::{Caution, Item, Line, Per, Rule};
use super::outcome::{
    DaysAndLitres, MemberOutcome, PASSAGE_HOURS, PassageOutcome, Percentile, ThresholdTrial,
};

/// The default hours under power kept for the arrival.
pub const DEFAULT_ARRIVAL_HOURS: Figure = Figure::new(12.0, Basis::PRACTICE);
/// The default burn at fast idle under the alternator's load, litres an hour.
pub const DEFAULT_CHARGING_BURN: Figure = Figure::new(1.5, Basis::PRACTICE);
/// The default share of a tank the pump can reach.
pub const DEFAULT_USABLE: Figure = Figure::new(USABLE_SHARE, Basis::PRACTICE);
/// Of every three litres, the share a passage should need: one out, one back, one spare.
pub const THIRDS: Figure = Figure::new(2.0 / 3.0, Basis::PRACTICE);
/// The default specific consumption of a small marine diesel, g/kWh.
const DEFAULT_CONSUMPTION: Figure = Figure::new(
    SPECIFIC_CONSUMPTION_G_PER_KWH,
    Basis::from_memory("engine makers' sheets, 210 to 270 g/kWh"),
);
/// The default density of diesel at 15 degrees C, kg/L.
const DEFAULT_DENSITY: Figure = Figure::new(
    DIESEL_KG_PER_LITRE,
    Basis::from_memory("EN 590, 0.82 to 0.845 kg/L"),
);
/// The origin of a burn worked out from power.
const PROPELLER_LAW: Basis =
    Basis::from_memory("propeller law, power as the cube of speed below hull speed");

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
    /// A number out of range, or a cruising speed above the speed the power is given at.
    pub fn validate(&self) -> Result<(), StoresError> {
        check_burn(&self.burn)?;
        let charging = self.charging_litres_per_hour;
        check("charging", &ranges::FUEL_RATE, charging)?;
        check("tanks", &ranges::FUEL, self.supply.tank_litres)?;
        check("tanks", &ranges::USABLE_SHARE, self.supply.usable_share)?;
        check("cans", &ranges::FUEL, self.supply.can_litres)?;
        check("arrival under power", &PASSAGE_HOURS, self.arrival_hours)
    }

    /// What an hour under power burns, litres, and where the figure comes from.
    fn burn_per_hour(&self) -> Figure {
        let basis = match self.burn {
            Burn::LitresPerHour(_) => Basis::GIVEN,
            Burn::FromPower(_) => PROPELLER_LAW,
        };
        Figure::new(self.burn.litres_per_hour(), basis)
    }

    /// How a burn that is worked out from power comes about; none where it is given outright.
    fn burn_line(&self) -> Option<Line> {
        let Burn::FromPower(curve) = self.burn else {
            return None;
        };
        let consumption = curve.specific_consumption_g_per_kwh;
        let density = curve.density_kg_per_litre;
        Some(
            litres(Item::BurnPerHour, self.burn_per_hour()).by(Rule::PropellerLaw {
                power_kw: curve.power_kw,
                speed_kn: curve.speed_kn,
                cruising_kn: curve.cruising_kn,
                consumption_g_per_kwh: DEFAULT_CONSUMPTION.unless_given(consumption),
                density_kg_per_litre: DEFAULT_DENSITY.unless_given(density),
            }),
        )
    }
}

fn check_burn(burn: &Burn) -> Result<(), StoresError> {
    let of = "engine";
    let curve = match burn {
        Burn::LitresPerHour(litres) => return check(of, &ranges::FUEL_RATE, *litres),
        Burn::FromPower(curve) => curve,
    };
    check(of, &ranges::SHAFT_POWER, curve.power_kw)?;
    check(of, &ranges::MOTOR_SPEED, curve.speed_kn)?;
    check(of, &ranges::MOTOR_SPEED, curve.cruising_kn)?;
    let consumption = curve.specific_consumption_g_per_kwh;
    check(of, &ranges::SPECIFIC_CONSUMPTION, consumption)?;
    check(of, &ranges::DENSITY, curve.density_kg_per_litre)?;
    if curve.cruising_kn > curve.speed_kn {
        return Err(StoresError::Conflict {
            of: of.to_owned(),
            found: format!(
                "she cruises at {} kn with her power given at {} kn",
                curve.cruising_kn, curve.speed_kn
            ),
            allowed: "a cruising speed no higher, for above it the cube law understates the power",
        });
    }
    Ok(())
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
    pub to_load_litres: f64,
    /// Whether passages that ran dry stand behind the figure, so that it is the least needed.
    pub is_least: bool,
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
    /// The same passage at other motoring thresholds, with all the diesel it asks for: litres for
    /// motoring, charging and the arrival.
    pub thresholds: Vec<ThresholdTrial>,
    /// The lines of the list.
    pub lines: Vec<Line>,
    #[serde(skip)]
    rates: Rates,
}

/// Litres and hours, worked out once.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Rates {
    motoring_per_hour: Figure,
    charging_per_hour: Figure,
    charging_hours_per_day: f64,
    arrival_hours: Figure,
}

impl FuelPlan {
    /// The plan, with `charging_hours_per_day` from the power balance; none where too few arrive.
    pub(crate) fn of(
        engine: &EngineSettings,
        charging_hours_per_day: f64,
        outcome: &PassageOutcome,
        median: &Percentile,
        chosen: &Percentile,
    ) -> Option<Self> {
        let rates = Rates::of(engine, charging_hours_per_day);
        let usable_litres = engine.supply.usable_litres();
        let needs = [rates.need(outcome, median)?, rates.need(outcome, chosen)?];
        let to_load_litres = needs[1].to_load_litres;
        let dry_tank_chance = outcome.share_of_members(|member| member.ran_dry);
        let reserve_broken_chance =
            outcome.share_of_members(|member| rates.exceed(usable_litres, member));

        let mut lines: Vec<Line> = engine.burn_line().into_iter().collect();
        lines.extend(rates.lines(&needs[0], median));
        if chosen.percent != median.percent {
            lines.extend(rates.lines(&needs[1], chosen));
        }
        let arrival = Figure::new(needs[1].arrival_litres, rates.arrival_hours.basis);
        let usable = DEFAULT_USABLE.unless_given(engine.supply.usable_share);
        let by_thirds = Figure::new(to_load_litres / THIRDS.value, THIRDS.basis);
        lines.extend([
            rates.under_power(Item::ArrivalReserve, arrival, rates.arrival_hours.value),
            litres(Item::TanksAndCans, Figure::new(usable_litres, usable.basis))
                .by(Rule::Part { share: usable }),
            litres(Item::TanksByThirds, by_thirds),
            Line::share(Item::RunningDry, dry_tank_chance, Basis::ARITHMETIC),
            Line::share(
                Item::ReserveBroken,
                reserve_broken_chance,
                Basis::ARITHMETIC,
            ),
        ]);
        Some(Self {
            median: needs[0],
            chosen: needs[1],
            usable_litres,
            shortfall_litres: (to_load_litres - usable_litres).max(0.0),
            dry_tank_chance,
            reserve_broken_chance,
            engine_hours: rates.engine_hours(chosen),
            thresholds: rates.threshold_rows(&outcome.thresholds),
            lines,
            rates,
        })
    }

    /// Engine hours over another passage, with as much charging a day.
    pub(super) fn engine_hours_over(&self, passage: &Percentile) -> f64 {
        self.rates.engine_hours(passage)
    }

    /// Whether a passage wants more than tanks and cans give.
    pub(super) fn is_exceeded_by(&self, member: &MemberOutcome) -> bool {
        self.rates.exceed(self.usable_litres, member)
    }

    pub(crate) fn cautions(&self) -> impl Iterator<Item = Caution> {
        let percent = self.chosen.percent;
        let short_litres = self.shortfall_litres;
        let short = (short_litres > 0.0).then_some(Caution::DieselShort {
            percent,
            short_litres,
        });
        let least = self.chosen.is_least;
        let least = least.then_some(Caution::DieselAtLeast { percent });
        short.into_iter().chain(least)
    }
}

impl Rates {
    fn of(engine: &EngineSettings, charging_hours_per_day: f64) -> Self {
        let charging = engine.charging_litres_per_hour;
        Self {
            motoring_per_hour: engine.burn_per_hour(),
            charging_per_hour: DEFAULT_CHARGING_BURN.unless_given(charging),
            charging_hours_per_day,
            arrival_hours: DEFAULT_ARRIVAL_HOURS.unless_given(engine.arrival_hours),
        }
    }

    fn engine_hours(&self, passage: &Percentile) -> f64 {
        passage.motor_hours + self.charging_hours_per_day * passage.days + self.arrival_hours.value
    }

    /// Whether a passage wants more. One that does not arrive has no total; it counts as one that does.
    fn exceed(&self, usable_litres: f64, member: &MemberOutcome) -> bool {
        let wants_more = |days| self.total(member.motor_hours, days) > usable_litres;
        member.ran_dry || member.days.is_none_or(wants_more)
    }

    fn charging_litres(&self, days: f64) -> f64 {
        days * (self.charging_hours_per_day * self.charging_per_hour.value)
    }

    fn arrival_litres(&self) -> f64 {
        self.arrival_hours.value * self.motoring_per_hour.value
    }

    fn total(&self, motor_hours: f64, days: f64) -> f64 {
        let motoring = motor_hours * self.motoring_per_hour.value;
        motoring + self.charging_litres(days) + self.arrival_litres()
    }

    fn need(&self, outcome: &PassageOutcome, at: &Percentile) -> Option<FuelNeed> {
        let to_load = outcome.percentile_of(at.percent, |member, days| {
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
        Some(FuelNeed {
            percent: at.percent,
            motoring_litres: at.motor_hours * self.motoring_per_hour.value,
            charging_litres: self.charging_litres(at.days),
            arrival_litres: self.arrival_litres(),
            to_load_litres: to_load?,
            is_least: with_dry_unknown.is_none(),
        })
    }

    /// What motoring and charging burn at one percentile, and what that comes to.
    fn lines(&self, need: &FuelNeed, at: &Percentile) -> [Line; 3] {
        let motoring = Figure::new(need.motoring_litres, self.motoring_per_hour.basis);
        let charging = Figure::new(need.charging_litres, self.charging_per_hour.basis);
        let to_load = Figure::new(need.to_load_litres, Basis::ARITHMETIC);
        let (per_hour, hours) = (self.charging_per_hour.value, self.charging_hours_per_day);
        [
            self.under_power(Item::Motoring, motoring, at.motor_hours),
            litres(Item::Charging, charging)
                .over_days(at.days)
                .at_rate(per_hour, Unit::Litre, Per::HourOfCharging)
                .by(Rule::EachDay { hours }),
            litres(Item::DieselToLoad, to_load).over_days(at.days),
        ]
        .map(|line| line.at_percent(at.percent))
    }

    fn under_power(&self, item: Item, amount: Figure, hours: f64) -> Line {
        litres(item, amount)
            .at_rate(
                self.motoring_per_hour.value,
                Unit::Litre,
                Per::HourUnderPower,
            )
            .by(Rule::UnderPower { hours })
    }

    fn threshold_rows(&self, trials: &[ThresholdTrial]) -> Vec<ThresholdTrial> {
        let with_the_rest = |at: DaysAndLitres| DaysAndLitres {
            days: at.days,
            litres: at.litres + self.charging_litres(at.days) + self.arrival_litres(),
        };
        let row = |trial: &ThresholdTrial| ThresholdTrial {
            motor_below_kn: trial.motor_below_kn,
            p50: trial.p50.map(with_the_rest),
            chosen: trial.chosen.map(with_the_rest),
        };
        trials.iter().map(row).collect()
    }
}

fn litres(item: Item, amount: Figure) -> Line {
    Line::new(item, amount.value, Unit::Litre, amount.basis)
}
