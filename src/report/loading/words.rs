//! The words for a loading list's items, rules and questions, and how its amounts are
//! written.

use super::super::wording::grouped;
use crate::stores::{Basis, Figure, Item, Keeping, Line, LoadingPlan, Per, Rule, Status};
use crate::units::{OutputUnits, Unit};

/// A figure to three places or so: 1,234, 45.2, 0.85.
pub(super) fn figure(value: f64) -> String {
    let size = value.abs();
    if size >= 99.95 {
        grouped(value)
    } else if size >= 0.995 || size == 0.0 {
        let text = format!("{value:.1}");
        text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
    } else {
        format!("{value:.2}")
    }
}

/// An amount and its unit, in the voyage's choice of units.
pub(in super::super) fn amount(quantity: f64, unit: Unit, units: OutputUnits) -> String {
    let (quantity, unit) = unit.convert(quantity, units);
    format!("{} {}", figure(quantity), unit.symbol())
}

/// An amount against what fits.
#[derive(Debug, Clone, Copy)]
pub(in super::super) struct Need {
    pub quantity: f64,
    pub unit: Unit,
    /// Whether passages that ran dry stand behind it: the true need is more.
    pub is_least: bool,
    /// What does not fit of it, in the same unit; 0 where all fits.
    pub short: f64,
}

impl Need {
    /// As a cell of a table: 240 L, 299 L (59 short), over 310 L (70 short).
    pub(in super::super) fn written(self, units: OutputUnits) -> String {
        let unit = self.unit.shown_in(units).symbol();
        let mut text = format!("{} {unit}", self.without_unit(units));
        if self.short > 0.0 {
            text += &format!(" ({} short)", self.short_figure(units));
        }
        text
    }

    /// The same where the unit stands in the heading and what does not fit in a row of its own: 240,
    /// over 310.
    pub(in super::super) fn without_unit(self, units: OutputUnits) -> String {
        let (quantity, _) = self.unit.convert(self.quantity, units);
        format!("{}{}", self.over(), figure(quantity))
    }

    /// What does not fit, without its unit; nothing where all fits.
    pub(in super::super) fn short_without_unit(self, units: OutputUnits) -> String {
        if self.short > 0.0 {
            format!("{}{}", self.over(), self.short_figure(units))
        } else {
            String::new()
        }
    }

    fn over(self) -> &'static str {
        if self.is_least { "over " } else { "" }
    }

    /// What does not fit, whole from ten on.
    fn short_figure(self, units: OutputUnits) -> String {
        let (short, _) = self.unit.convert(self.short, units);
        if short >= 9.95 {
            grouped(short)
        } else {
            figure(short)
        }
    }
}

pub(super) fn kept(keeping: Keeping) -> &'static str {
    match keeping {
        Keeping::Fresh => "fresh",
        Keeping::Chilled => "chilled",
        Keeping::Dry => "dry",
        Keeping::NoCook => "no-cook",
    }
}

/// A percentile of the simulated passages.
pub(super) fn percentile(percent: f64) -> String {
    if percent == 50.0 {
        "median".to_owned()
    } else {
        format!("P{percent}")
    }
}

/// What a line is of.
pub(super) fn item(line: &Line) -> String {
    let name = line.name.as_deref().unwrap_or_default();
    let (what, _) = words(line.item);
    match (line.item, line.percent) {
        (Item::OtherWater | Item::ElectricLoad | Item::Spare, _) => name.to_owned(),
        (Item::PersonEnergy, _) => format!("{name} {what}"),
        (Item::PetFood, _) => format!("{what} {name}"),
        (_, Some(percent)) => format!("{what}, {}", percentile(percent)),
        (_, None) => what.to_owned(),
    }
}

/// How a line's item is worked out, its rule's numbers first.
pub(super) fn rule(line: &Line) -> String {
    let at_ration = line.rate.is_some_and(|rate| rate.per == Per::DayAtRation);
    let how = match line.item {
        Item::WaterInTanks if at_ration => {
            "enough for the rest of the passage at the ration, whichever day the watermaker fails"
        }
        Item::PersonEnergy if line.rule.is_none() => "given outright",
        item => words(item).1,
    };
    let numbers = match (&line.rule, line.item, line.percent) {
        (Some(rule), ..) => numbers(rule, line),
        (None, Item::DaysAtSea, Some(percent)) => format!("{percent} %"),
        _ => return how.to_owned(),
    };
    match (how, line.item) {
        ("", _) => numbers,
        (_, Item::DaysAtSea) => format!("{numbers} {how}"),
        _ => format!("{numbers}; {how}"),
    }
}

/// What an item is called, and what is to be said of how it is worked out beside its numbers.
fn words(item: Item) -> (&'static str, &'static str) {
    const PROVIDE: &str = "days at sea x (1 + reserve) + days until resupply";
    const HARBOUR: &str = "at stops without it, on one loading; added to the days it is for";
    const PEOPLE: &str = "people x days x amount; the reserve is in the days";
    const LACK: &str = "the lack over the alternator's power and that; feeds the diesel";
    match item {
        Item::DaysAtSea => ("at sea", "of the simulated passages take no longer"),
        Item::DaysUntilResupply => (
            "until resupply",
            "days after arrival before stores can be bought",
        ),
        Item::HarbourDaysOfFood => ("in harbour on the food aboard", HARBOUR),
        Item::DaysOfFood => ("food for", PROVIDE),
        Item::HarbourDaysOfWater => ("in harbour on the water aboard", HARBOUR),
        Item::DaysOfWater => ("water for", PROVIDE),
        Item::BurnPerHour => ("burnt in an hour under power", ""),
        Item::Motoring => ("under power", ""),
        Item::Charging => (
            "charging",
            "hours under power charge too, but come in spells and are not taken off",
        ),
        Item::DieselToLoad => (
            "to load",
            "percentile of each simulated passage's own total, arrival reserve included",
        ),
        Item::ArrivalReserve => ("of it, kept for the arrival", ""),
        Item::TanksAndCans => ("tanks and cans", ""),
        Item::TanksByThirds => (
            "tanks and cans by thirds",
            "one third out, one back, one spare: the need is two thirds of this",
        ),
        Item::RunningDry => (
            "chance of running dry",
            "share of simulated passages that want the engine after its fuel is spent",
        ),
        Item::ReserveBroken => (
            "chance of using the reserve",
            "share of simulated passages whose motoring, charging and arrival reserve exceed tanks \
             and cans, those that do not arrive included",
        ),
        Item::DrinkingAndCookingWater => ("drinking and cooking", PEOPLE),
        Item::DrinkingWater => ("drinking", PEOPLE),
        Item::CookingWater => ("cooking", PEOPLE),
        Item::WashingWater => ("washing", PEOPLE),
        Item::OtherWater => ("", PEOPLE),
        Item::HeatWater => ("more drinking in the heat", PEOPLE),
        Item::PetWater => ("pets", "mass of the pets x days x amount"),
        Item::WaterMade => ("made on the way", ""),
        Item::WaterInTanks => (
            "in tanks and bottles, at least",
            "all uses over the days to provide for; nothing makes water",
        ),
        Item::TooSlowForLeastWater => (
            "passages too slow for the least water, should it fail",
            "those that do not arrive included",
        ),
        Item::WaterAfterFailure => ("water lasts after a failure on the worst day", ""),
        Item::TooSlowForFullTanks => (
            "passages too slow for full tanks, should it fail",
            "share of simulated passages that full tanks and bottles do not last for, even at the \
             ration, those that do not arrive included",
        ),
        Item::EmergencyWater => (
            "emergency water apart from the tanks",
            "in containers that can be taken off the boat",
        ),
        Item::WaterToLoad => ("to load", "tanks and bottles, and the emergency water"),
        Item::ElectricLoad | Item::Spare => ("", ""),
        Item::WatermakerLoad => ("watermaker", ""),
        Item::PowerUsed => ("used a day", "all of the above"),
        Item::SolarPower => ("made by the sun a day", ""),
        Item::WindPower => (
            "made by the wind a day",
            "by the cube of the wind; gusts bring more",
        ),
        Item::LeftToEngine => (
            "left to the engine a day",
            "mean over the track of each day's lack; a good day's surplus is not carried over",
        ),
        Item::ChargingHours => ("charging a day", LACK),
        Item::WorstChargingHours => ("charging on the worst day", LACK),
        Item::BatteryHours => (
            "the battery alone lasts",
            "at the mean use, with nothing coming in",
        ),
        Item::PersonEnergy => ("a day", ""),
        Item::ColdEnergy => ("all people a day, with the allowance for cold", ""),
        Item::HeavyWeatherEnergy => (
            "more for gales and beating in 20 kn or more",
            "a gale from ahead counts as both",
        ),
        Item::NoCookDays => (
            "food that needs no cooking, for",
            "carried on top, since the gales may not come",
        ),
        Item::Spoilage => (
            "more fresh and chilled food",
            "bought beyond what is eaten, for what spoils",
        ),
        Item::PetFood => ("food for", ""),
        Item::FoodToLoad => ("food to load", "all food of the list"),
        Item::FoodRoom => (
            "room for the people's food",
            "mass x room a kilogram as stowed",
        ),
        Item::DarkHours => ("dark hours a day", "sunset to sunrise, mean over the track"),
        Item::LongestNight => (
            "longest night",
            "sunset to sunrise, the longest on the track",
        ),
        Item::DarkHoursOfPassage => ("dark hours of the passage", "mean dark hours x days"),
        Item::GaleHours => ("gale", "hours of 34 kn or more, at the chosen percentile"),
        Item::HardBeatHours => ("beating in 20 kn or more", "at the chosen percentile"),
        Item::OnWatch => (
            "on watch for each a day",
            "24 hours over the watch keepers, one at a time, the autopilot steering",
        ),
        Item::TurnsOnWatch => (
            "turns on watch a day",
            "three hours each from 20 to 8, four by day, ship's time; an odd number, so that two \
             people change turns each day",
        ),
        Item::FairSleep => ("sleep for each a day, fair", ""),
        Item::GaleSleep => ("sleep for each on a day of gale", ""),
        Item::MeanSleep => (
            "sleep for each a day, over the passage",
            "and less what gales take; a gale from ahead takes both",
        ),
    }
}

/// The numbers of a line's rule in words.
fn numbers(rule: &Rule, line: &Line) -> String {
    match *rule {
        Rule::PropellerLaw {
            power_kw,
            speed_kn,
            cruising_kn,
            consumption_g_per_kwh: consumption,
            density_kg_per_litre: density,
        } => format!(
            "{power_kw} kW at {speed_kn} kn x ({cruising_kn} / {speed_kn})^3 x {} g/kWh ({}) / {} \
             kg/L ({})",
            consumption.value,
            basis(&consumption.basis),
            density.value,
            basis(&density.basis)
        ),
        Rule::UnderPower { hours } => format!("{} hours under power", figure(hours)),
        Rule::EachDay { hours } => {
            let of = match line.item {
                Item::Charging => "charging hours",
                Item::WaterMade => "hours of watermaker",
                _ => "hours",
            };
            format!("{} {of} a day", figure(hours))
        }
        Rule::Part { share } => part(line.item, share),
        Rule::LongerThan { days } => format!(
            "share of simulated passages with more than {} days to provide for",
            figure(days)
        ),
        Rule::WorstDay { day, days_to_go } => format!(
            "full tanks at departure; worst on day {day:.0} with {} days to go",
            figure(days_to_go)
        ),
        Rule::Sunlight {
            clearness,
            in_use_share,
        } => format!(
            "sun above the air by date and latitude along the track x {} that comes through x {} \
             ({}) of the panels' rating",
            clearness.value,
            in_use_share.value,
            basis(&in_use_share.basis)
        ),
        Rule::RestingEnergy {
            resting_kcal,
            activity_level,
            cross_check_kcal,
        } => {
            let resting = format!(
                "resting energy {resting_kcal:.0} kcal x physical activity level {} ({})",
                activity_level.value,
                basis(&activity_level.basis)
            );
            match cross_check_kcal {
                Some(other) => format!(
                    "{resting}; resting energy after Mifflin and St Jeor, for comparison, \
                     {other:.0} kcal"
                ),
                None => resting,
            }
        }
        Rule::Colder { share, below_c } => {
            format!("{share} more below a mean of {below_c} degrees C")
        }
        Rule::NoFewer { days } => {
            format!("hours of gale at the chosen percentile, at least {days} days")
        }
        Rule::PetEnergy {
            factor,
            kcal_per_kg,
        } => format!(
            "resting energy 70 x mass^0.75 kcal x {factor}, in food of {} kcal/kg ({})",
            kcal_per_kg.value,
            basis(&kcal_per_kg.basis)
        ),
        Rule::Changes {
            due,
            in_hand,
            per_change,
        } => {
            let mut said = format!("changes due on the way: {due}; in hand: {}", in_hand.value);
            // The line's own origin is the interval's.
            if in_hand.basis != line.basis {
                said += &format!(" ({})", basis(&in_hand.basis));
            }
            if per_change.basis != line.basis {
                said += &format!("; what a change takes: {}", basis(&per_change.basis));
            }
            said
        }
    }
}

/// What a share of a rule is a part of.
fn part(item: Item, share: Figure) -> String {
    let (value, from) = (share.value, basis(&share.basis));
    match item {
        Item::TanksAndCans => format!(
            "{:.0} % of the tanks can be pumped, and all of the cans",
            100.0 * value
        ),
        Item::WindPower => format!("at the blades {value} of the mean wind along the track"),
        Item::ChargingHours | Item::WorstChargingHours => {
            format!("charging efficiency {value}")
        }
        Item::BatteryHours => format!("{value} of the battery"),
        Item::HeavyWeatherEnergy => format!("{value} more during those hours"),
        Item::FairSleep => format!("{value} ({from}) of what watch and chores leave"),
        Item::GaleSleep => format!("fair sleep less the {value} of it that a gale takes"),
        Item::MeanSleep => {
            format!("fair sleep less the {value} ({from}) that beating in 20 kn or more takes")
        }
        _ => format!("{value} ({from})"),
    }
}

/// What a line's rate is per.
pub(super) fn per(line: &Line) -> &'static str {
    let Some(rate) = line.rate else {
        return "";
    };
    match rate.per {
        Per::PersonAndDay => "person and day",
        Per::Person => "person",
        Per::Day => "day",
        Per::DayAtRation => "day at the ration",
        Per::HourUnderPower => "hour under power",
        Per::HourOfCharging => "hour of charging",
        Per::HourRunning => "hour it runs",
        Per::HourOfStandardSun => "hour of standard sun",
        Per::HourOfRatedWind => "hour of rated wind",
        Per::Change if rate.unit == Unit::Hour => "change, by the engine",
        Per::Change => "change, by the water made",
        Per::DayOfChores => "day of chores",
    }
}

/// Where a figure comes from.
pub(super) fn basis(basis: &Basis) -> String {
    let source = basis.source;
    match basis.status {
        Status::Published => source.to_owned(),
        Status::SecondHand => format!("{source} (seen second-hand)"),
        Status::FromMemory => format!("{source} (from memory)"),
        Status::CommonPractice => "common practice, no source".to_owned(),
        Status::Given => "given by the crew".to_owned(),
        Status::Arithmetic => "arithmetic on other lines".to_owned(),
    }
}

/// Questions for the skipper about the systems a short crew lives by; they are never verdicts.
pub(super) fn questions(plan: &LoadingPlan) -> Vec<String> {
    let (sailing, rough) = (plan.service.sailing_hours, plan.service.rough_hours);
    let mut questions = vec![
        format!(
            "About {sailing:.0} hours under sail: seams, batten ends, and thread and cloth to mend \
             them?"
        ),
        format!(
            "About {sailing:.0} hours of strain on the same parts of sheets and halyards: spare \
             line, and a place to shift the chafe to?"
        ),
        format!(
            "About {rough:.0} hours of gale and of beating in 20 kn or more: rigging looked over \
             from deck to masthead before leaving?"
        ),
    ];
    let of_engine = ENGINE_QUESTIONS.iter().filter(|_| plan.fuel.is_some());
    let others = QUESTIONS.iter().chain(of_engine).chain(&MEDICAL_QUESTIONS);
    questions.extend(others.map(|question| question.to_string()));
    questions
}

const QUESTIONS: [&str; 9] = [
    "Two of each? The autopilot's drive, its computer and its rudder sensor.",
    "Has the emergency tiller been fitted and steered with at sea?",
    "Two of each? Ways to charge, and batteries that can start the engine.",
    "What goes on working, and what stops, when the house battery is dead?",
    "Two of each? Tanks that can be shut off from one another, and ways to pump from them.",
    "Two of each? Watermaker pre-filters, its fuses, and its pump's spare parts.",
    "Two of each? Halyards that can hold the mast up, and terminals to make a new stay.",
    "Can the rig be cut away with the tools aboard, in the dark?",
    "Two of each? A storm jib and trysail, or a reef deep enough to stand in for them.",
];
const ENGINE_QUESTIONS: [&str; 2] = [
    "Two of each? Belts, fuel lift pump, thermostat, and a spare for what starts it.",
    "Are there more fuel filters than the hours ask? A rough sea stirs up the tank's dirt.",
];
const MEDICAL_QUESTIONS: [&str; 3] = [
    "Has a doctor gone through the medicine chest with each person's history, doses and allergies?",
    "Prescribed medicine: is there enough for the days of food, and some kept apart?",
    "How is a doctor reached by radio or satellite on every day of the passage?",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_keep_about_three_places() {
        assert_eq!(figure(1234.4), "1,234");
        assert_eq!(figure(99.96), "100");
        assert_eq!(figure(45.24), "45.2");
        assert_eq!(figure(3.0), "3");
        assert_eq!(figure(0.854), "0.85");
        assert_eq!(figure(0.0), "0");
    }

    #[test]
    fn what_does_not_fit_stands_beside_the_need() {
        let need = |is_least, short| Need {
            quantity: 299.4,
            unit: Unit::Litre,
            is_least,
            short,
        };
        let metric = |need: Need| need.written(OutputUnits::Metric);
        assert_eq!(metric(need(false, 0.0)), "299 L");
        assert_eq!(metric(need(false, 58.7)), "299 L (59 short)");
        assert_eq!(metric(need(true, 58.7)), "over 299 L (59 short)");
        assert_eq!(metric(need(true, 0.0)), "over 299 L");
        assert_eq!(metric(need(false, 0.04)), "299 L (0.04 short)");
        let us = need(true, 58.7).written(OutputUnits::Us);
        assert_eq!(us, "over 79.1 US gal (16 short)");
    }

    #[test]
    fn us_amounts_are_converted_once() {
        let us = |quantity, unit| amount(quantity, unit, OutputUnits::Us);
        assert_eq!(us(378.541_178_4, Unit::Litre), "100 US gal");
        assert_eq!(us(3.0, Unit::Hour), "3 h");
        assert_eq!(amount(3.0, Unit::Kilogram, OutputUnits::Metric), "3 kg");
    }

    #[test]
    fn every_status_reads_as_words() {
        assert_eq!(basis(&Basis::PRACTICE), "common practice, no source");
        let code = Basis::from_memory("LSA Code 4.4.8.9");
        assert_eq!(basis(&code), "LSA Code 4.4.8.9 (from memory)");
    }
}
