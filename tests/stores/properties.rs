//! What must hold of every loading list.

use crate::common::{outcome, planned, settings};
use offing::geodesy::SunDay;
use offing::stores::*;
use offing::units::{Kind, Quantity, Unit};
use proptest::prelude::*;

/// Rounding in sums over many days.
const ROUNDING_SHARE: f64 = 1e-9;

fn no_less(before: f64, after: f64) -> bool {
    after >= before - ROUNDING_SHARE * before.abs().max(1.0)
}

/// What is loaded, as against what is merely told.
fn is_loaded(subject: Subject, line: &Line) -> bool {
    let is_told = matches!(
        line.item,
        Item::WaterAfterFailure | Item::TooSlowForLeastWater | Item::TooSlowForFullTanks
    );
    !is_told && !matches!(subject, Subject::Power | Subject::Watches)
}

fn with_watermaker(mut voyage: StoresSettings, hours_per_day: Option<f64>) -> StoresSettings {
    voyage.water.watermaker = Some(Watermaker {
        litres_per_hour: 6.0,
        watts: 80.0,
        hours_per_day,
    });
    voyage
}

fn any_settings() -> impl Strategy<Value = StoresSettings> {
    (
        any::<bool>(),
        proptest::option::of(0.0..24.0),
        0.0..2.0f64,
        50.0..=99.0f64,
    )
        .prop_map(|(watermaker, hours, share, percent)| {
            let mut voyage = settings();
            if watermaker {
                voyage = with_watermaker(voyage, hours);
            }
            voyage.reserve.food_share = Some(share);
            voyage.reserve.confidence_percent = Some(percent);
            voyage
        })
}

fn any_days() -> impl Strategy<Value = Vec<f64>> {
    proptest::collection::vec(0.0..120.0f64, 1..40)
}

proptest! {
    #[test]
    fn more_days_never_mean_less_of_anything(
        voyage in any_settings(),
        days in any_days(),
        more in 0.0..60.0f64,
    ) {
        let before = outcome(&days);
        let mut after = before.clone();
        for member in &mut after.members {
            member.days = member.days.map(|days| days + more);
        }
        let before = planned(&voyage, &before);
        let after = planned(&voyage, &after);
        for (subject, line) in before.lines().filter(|(subject, line)| is_loaded(*subject, line)) {
            let same = |other: &Line| {
                (other.item, &other.name, other.percent) == (line.item, &line.name, line.percent)
            };
            let later = after.lines().find(|(_, other)| same(other));
            let later = later.map(|(_, line)| line.quantity);
            prop_assert!(
                later.is_some_and(|later| no_less(line.quantity, later)),
                "{subject:?} {line:?} became {later:?}"
            );
        }
        for food in &before.food.provisions {
            let later = after.food.provisions.iter().find(|other| other.name == food.name);
            prop_assert!(later.is_some_and(|later| no_less(food.mass_kg, later.mass_kg)));
        }
    }

    #[test]
    fn a_surer_plan_never_loads_less(
        voyage in any_settings(),
        days in any_days(),
        percents in (50.0..=99.0f64, 50.0..=99.0f64),
    ) {
        let (low, high) = (percents.0.min(percents.1), percents.0.max(percents.1));
        let plan = |percent: f64| {
            let mut voyage = voyage.clone();
            voyage.reserve.confidence_percent = Some(percent);
            planned(&voyage, &outcome(&days))
        };
        let (less_sure, surer) = (plan(low), plan(high));
        let figures = |plan: &LoadingPlan| {
            let fuel = plan.fuel.as_ref().unwrap();
            let mut figures = vec![
                plan.days.food_days,
                plan.days.water_days,
                fuel.chosen.to_load_litres,
                fuel.engine_hours,
                plan.water.to_load_litres,
                plan.food.to_load_kg,
                plan.food.no_cook_days,
            ];
            figures.extend(plan.service.lines.iter().map(|line| line.quantity));
            figures
        };
        for (a, b) in figures(&less_sure).into_iter().zip(figures(&surer)) {
            prop_assert!(no_less(a, b), "{a} at {low} % and {b} at {high} %");
        }
    }

    #[test]
    fn no_figure_is_negative_or_unknown(voyage in any_settings(), days in any_days()) {
        let plan = planned(&voyage, &outcome(&days));
        for (_, line) in plan.lines() {
            prop_assert!(line.quantity.is_finite() && line.quantity >= 0.0, "{line:?}");
            if let Some(rate) = line.rate {
                prop_assert!(rate.value.is_finite() && rate.value >= 0.0, "{line:?}");
            }
        }
    }

    #[test]
    fn units_come_back_as_they_went(amount in 0.0..1e6f64) {
        for unit in Unit::WRITTEN {
            let there = unit.to_base(amount);
            let back = unit.from_base(there);
            prop_assert!((back - amount).abs() <= ROUNDING_SHARE * amount.max(1.0), "{unit:?}");
            let text = format!("{amount} {}", unit.symbol());
            let read = Quantity::parse(unit.kind(), &text).unwrap();
            prop_assert_eq!((read.amount, read.unit), (amount, unit));
        }
    }

    #[test]
    fn any_text_is_a_quantity_or_an_error_that_quotes_it(text in ".{0,20}") {
        for kind in [Kind::Volume, Kind::Mass, Kind::Charge] {
            match Quantity::parse(kind, &text) {
                Ok(quantity) => prop_assert!(quantity.amount.is_finite()),
                Err(error) => prop_assert!(error.to_string().contains(text.trim()), "{}", error),
            }
        }
    }

    #[test]
    fn day_and_night_fill_the_day(
        latitude_deg in -90.0..=90.0f64,
        longitude_deg in -180.0..=180.0f64,
        day_of_year in 1i16..=365,
    ) {
        let date = jiff::civil::date(2026, 1, 1)
            .with()
            .day_of_year(day_of_year)
            .build()
            .unwrap();
        let sun = SunDay::at(date, latitude_deg, longitude_deg);
        prop_assert!((0.0..=24.0).contains(&sun.daylight_hours));
        prop_assert!(sun.above_air_kwh_per_m2.is_finite() && sun.above_air_kwh_per_m2 >= 0.0);
        prop_assert!(sun.declination_deg.abs() < 23.46);
        if let (Some(rise), Some(set)) = (sun.sunrise_utc_hours, sun.sunset_utc_hours) {
            let between = (set - rise).rem_euclid(24.0);
            prop_assert!((between - sun.daylight_hours).abs() < 1e-6);
        }
    }
}
