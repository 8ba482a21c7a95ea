//! The words for a loading list's cautions, whole and in short.

use super::super::wording::percent;
use super::words::{amount, basis, figure, percentile};
use crate::stores::water::{SPHERE, SURVIVAL};
use crate::stores::{
    Caution, LEAST_SLEEP, LOOKOUT, SHORE_COOKING, SHORE_DRINKING, SHORE_TOTAL, SHORE_WASHING,
    Supply,
};
use crate::units::{OutputUnits, Unit};

/// A caution with its numbers.
pub(in super::super) fn caution(caution: &Caution, units: OutputUnits) -> String {
    let litres = |litres: f64| amount(litres, Unit::Litre, units);
    let hours = |hours: f64| amount(hours, Unit::Hour, units);
    match *caution {
        Caution::WaterIsMinimum => "Water figures are minimums, not targets; heat, illness and a \
             slower passage need more. The skipper decides."
            .to_owned(),
        Caution::WaterShort { short_litres } => format!(
            "Tanks and bottles hold less than the water to leave with: short by {}.",
            litres(short_litres)
        ),
        Caution::LittleToDrink {
            litres_per_person_day,
        } => format!(
            "{} for drinking is set aside for each person and day, less than a person needs to \
             live on for long: {} ({}).",
            litres(litres_per_person_day),
            litres(SURVIVAL.value),
            basis(&SURVIVAL.basis)
        ),
        Caution::LittleWater {
            litres_per_person_day,
        } => format!(
            "{} for each person and day is to drink and cook with care, and to wash in sea water. \
             On shore people are provided with {} for drinking, {} for cooking, {} for washing, {} \
             in all ({}). For more write `per_person_day` under [water], or a [[water.use]].",
            litres(litres_per_person_day),
            from_to(SHORE_DRINKING, units),
            from_to(SHORE_COOKING, units),
            from_to(SHORE_WASHING, units),
            from_to(SHORE_TOTAL, units),
            basis(&SPHERE)
        ),
        Caution::WaterEndsEarly { short_days } => format!(
            "If the watermaker fails on the worst day, water at the ration ends {} before the \
             passage does.",
            amount(short_days, Unit::Day, units)
        ),
        Caution::SlowPassagesRunOut {
            share,
            share_with_full_tanks,
        } => format!(
            "If the watermaker fails on the worst day, passages slower than those provided for run \
             out of water, even at the ration: {} of the simulated passages with no more than the \
             least water aboard, {} with full tanks and bottles. A larger reserve of water provides \
             for them.",
            percent(share),
            percent(share_with_full_tanks)
        ),
        Caution::WatermakerTooSmall { hours_per_day } => format!(
            "The watermaker cannot keep up with the use even day and night; it would have to run \
             {} each day.",
            hours(hours_per_day)
        ),
        Caution::WaterTanksUnknown => {
            "The size of the water tanks is not given: whether this water fits is not known."
                .to_owned()
        }
        Caution::SparesAreMinimum => "Spares and medicine are minimums, not targets. Medical \
             stores are a doctor's matter; the skipper decides."
            .to_owned(),
        Caution::FoodIsMinimum => "Food figures are minimums, not targets. The energy is that of \
             groups of healthy adults (FAO/WHO/UNU 2001, section 5.4.1). One person may need a \
             tenth more, or beyond (common practice, no source). How long food keeps depends on \
             heat, damp and care: check it daily."
            .to_owned(),
        Caution::DieselShort {
            percent,
            short_litres,
        } => format!(
            "Tanks and cans hold less diesel than the need at {}, by {}: carry more, motor later, \
             charge otherwise, or sail through the light air.",
            percentile(percent),
            litres(short_litres)
        ),
        Caution::DieselAtLeast { percent } => format!(
            "The diesel at {} rests on passages that ran dry: it is the least needed, not enough.",
            percentile(percent)
        ),
        Caution::PowerShort { worst_lacking_wh } => format!(
            "Sun and wind do not cover the use and there is no alternator; lacking on the worst \
             day: {}.",
            amount(worst_lacking_wh, Unit::WattHour, units)
        ),
        Caution::AlternatorTooSmall {
            worst_charging_hours,
        } => format!(
            "The alternator cannot cover the worst day even running day and night; it would take \
             {}.",
            hours(worst_charging_hours)
        ),
        Caution::BatteryTooSmall { battery_hours } => format!(
            "The battery alone lasts {}, less than the longest night on the track.",
            hours(battery_hours)
        ),
        Caution::LookoutAlone => format!(
            "One person cannot keep a lookout at all times, which every vessel must: {}.",
            basis(&LOOKOUT)
        ),
        Caution::LittleSleep { mean_sleep_hours } => format!(
            "Each person sleeps {} a day over the passage, less than {} ({}).",
            hours(mean_sleep_hours),
            hours(LEAST_SLEEP.value),
            basis(&LEAST_SLEEP.basis)
        ),
        Caution::PowerUnknown => {
            "What uses electricity is not given: charging is not in the diesel.".to_owned()
        }
        Caution::AirTemperatureUnknown => "The winds in use have no air temperature: nothing is \
             added to the water for heat, nor to the food for cold."
            .to_owned(),
        Caution::NotSoldThere { supply } => format!(
            "The voyage says {} cannot be bought at the destination: what the next passage needs \
             must be carried from here as well.",
            match supply {
                Supply::Diesel => "diesel",
                Supply::Water => "water",
                Supply::Food => "food",
                Supply::Spares => "spares",
            }
        ),
        Caution::DearerThere { price_ratio } => format!(
            "Prices at the destination are given as {price_ratio} times those here: stores that \
             keep may be worth carrying beyond this passage."
        ),
    }
}

/// Litres from the least to the most.
fn from_to([least, most]: [f64; 2], units: OutputUnits) -> String {
    let (least, _) = Unit::Litre.convert(least, units);
    format!("{} to {}", figure(least), amount(most, Unit::Litre, units))
}

/// A caution in a few words; none for one whose words or figures the summary has anyway.
pub(super) fn caution_in_short(caution: &Caution) -> Option<&'static str> {
    Some(match caution {
        Caution::WaterIsMinimum
        | Caution::SparesAreMinimum
        | Caution::FoodIsMinimum
        | Caution::WaterShort { .. }
        | Caution::WaterTanksUnknown
        | Caution::DieselShort { .. }
        | Caution::DieselAtLeast { .. } => return None,
        Caution::LittleToDrink { .. } => "too little to drink",
        Caution::LittleWater { .. } => "fresh water to drink and cook only",
        Caution::WaterEndsEarly { .. } => "water ends early if the watermaker fails",
        Caution::SlowPassagesRunOut { .. } => {
            "slow passages run out of water if the watermaker fails"
        }
        Caution::WatermakerTooSmall { .. } => "the watermaker cannot keep up",
        Caution::PowerShort { .. } => "too little power",
        Caution::AlternatorTooSmall { .. } => "the alternator cannot cover the worst day",
        Caution::BatteryTooSmall { .. } => "the battery does not last the longest night",
        Caution::LookoutAlone => "no lookout at all times",
        Caution::LittleSleep { .. } => "little sleep",
        Caution::PowerUnknown => "charging is not in the diesel",
        Caution::AirTemperatureUnknown => "heat and cold are not reckoned with",
        Caution::NotSoldThere { supply } => match supply {
            Supply::Diesel => "no diesel at the destination",
            Supply::Water => "no water at the destination",
            Supply::Food => "no food at the destination",
            Supply::Spares => "no spares at the destination",
        },
        Caution::DearerThere { .. } => "dearer at the destination",
    })
}
