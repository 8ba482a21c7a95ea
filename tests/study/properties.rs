//! What must hold for any voyage, whatever its answer is.

use jiff::ToSpan;
use offing::climate::Climate;
use offing::geodesy::LegTrack;
use offing::passage::{Ensemble, EnsembleOptions, EnsembleRunner, ExpectedPassage, ExposureKind};
use offing::study::{Comparison, RouteResult};
use offing::{Boat, Engine, LegKind, Polar, Position, Voyage};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

use crate::invented::{Node, Plan, boat, changing, climate, climate_from, compared, lasting, plan};

/// Rounding of days.
const ROUNDING_DAYS: f64 = 1e-6;
/// Rounding of shares of the time.
const ROUNDING_SHARE: f64 = 1e-6;
/// How far a route's days may change when a leg is cut in two, as a share: the climate and the course
/// are those of the middles of other stretches.
const SPLIT_SHARE: f64 = 0.002;
/// How far an ensemble's days may change by rounding alone: positions and courses are kept in single
/// precision.
const ENSEMBLE_ROUNDING_DAYS: f64 = 0.01;
/// How far a mirror image may differ, as a share: the winds over which a mean is taken are fixed, and
/// their mirror images are not among them.
const NODES_SHARE: f64 = 1e-3;
/// How far half a year of months from July on differs from one from January on, as a share of the
/// days: months are not equally long.
const HALF_YEAR_SHARE: f64 = 0.01;
/// How many standard errors apart two ensembles of one distribution may be.
const STANDARD_ERRORS: f64 = 4.5;
/// What a boat that was ahead by less than a step's run may lose of it: the stretch and the course of a
/// step of three hours are those of its beginning, and she may have begun it in a slower one. The most
/// seen is 1.6, in hours; a step is the bound.
const STEP_LOSS_HOURS: f64 = 3.0;
/// Rounding of an ensemble's hours, whose runs are kept in single precision.
const ROUNDING_HOURS: f64 = 0.01;

fn configuration(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(20_270_501),
        ..ProptestConfig::default()
    }
}

fn expected(comparison: &Comparison) -> Option<&ExpectedPassage> {
    comparison.routes[0].expected.as_ref()
}

/// The days expected are the same to a tolerance, or she stalls on both.
fn same_days(a: &Comparison, b: &Comparison, tolerance_days: f64) -> Result<(), TestCaseError> {
    match (expected(a), expected(b)) {
        (Some(a), Some(b)) => prop_assert!(
            (a.days - b.days).abs() <= tolerance_days,
            "{} and {} days",
            a.days,
            b.days
        ),
        (a, b) => prop_assert_eq!(a.is_some(), b.is_some()),
    }
    Ok(())
}

fn same_shares(a: &Comparison, b: &Comparison, tolerance: f64) -> Result<(), TestCaseError> {
    if let (Some(a), Some(b)) = (expected(a), expected(b)) {
        for (kind, share) in a.exposure.iter() {
            prop_assert!((share - b.exposure[kind]).abs() <= tolerance, "{kind:?}");
        }
        prop_assert!((a.wave_height_m - b.wave_height_m).abs() <= tolerance);
    }
    Ok(())
}

/// Two ensembles that are samples of one distribution.
fn alike(a: &Comparison, b: &Comparison) -> Result<(), TestCaseError> {
    let (a, b) = (&a.routes[0].ensemble.days, &b.routes[0].ensemble.days);
    for (a, b, errors) in [
        (a.p50, b.p50, [a.p50_se, b.p50_se]),
        (a.p90, b.p90, [a.p90_se, b.p90_se]),
    ] {
        if let (Some(a), Some(b), [Some(error_a), Some(error_b)]) = (a, b, errors) {
            let error = error_a.hypot(error_b);
            prop_assert!(
                (a - b).abs() <= STANDARD_ERRORS * error,
                "{a} and {b}, {error}"
            );
        }
    }
    Ok(())
}

/// Everything a comparison says.
fn told(comparison: &Comparison) -> String {
    serde_json::to_string(comparison).unwrap()
}

thread_local! {
    static CHANGING: Climate = climate(changing);
    static LASTING: Climate = climate(lasting);
}

fn in_changing(plan: &Plan, members: usize) -> Comparison {
    CHANGING.with(|climate| plan.sailed(climate, members))
}

fn in_lasting(plan: &Plan, members: usize) -> Comparison {
    LASTING.with(|climate| plan.sailed(climate, members))
}

proptest! {
    #![proptest_config(configuration(12))]

    /// Positions counted in another turn, and a climate whose columns begin elsewhere.
    #[test]
    fn longitudes_of_another_turn_change_nothing(plan in plan()) {
        let mut turned = plan.clone();
        for place in &mut turned.places {
            place[1] -= 360.0_f64.copysign(place[1]);
        }
        let here = in_changing(&plan, 40);
        prop_assert_eq!(told(&here), told(&in_changing(&turned, 40)));
        let counted = climate_from(-180.0, changing);
        same_days(&here, &turned.sailed(&counted, 40), ROUNDING_DAYS)?;
    }

    /// Climate and voyage moved round the Earth's axis together.
    #[test]
    fn a_world_turned_about_its_axis_changes_no_days(plan in plan(), columns in 1i32..71) {
        let turn_deg = 5.0 * f64::from(columns);
        let mut turned = plan.clone();
        for place in &mut turned.places {
            place[1] = offing::units::wrap_180_deg(place[1] + turn_deg);
        }
        let elsewhere = climate(|node| {
            changing(Node { longitude_deg: node.longitude_deg - turn_deg, ..node })
        });
        let (here, there) = (in_changing(&plan, 40), turned.sailed(&elsewhere, 40));
        same_days(&here, &there, ROUNDING_DAYS)?;
        same_shares(&here, &there, ROUNDING_SHARE)?;
        let days = |sailed: &Comparison| sailed.routes[0].ensemble.days.p50;
        if let (Some(here), Some(there)) = (days(&here), days(&there)) {
            prop_assert!((here - there).abs() <= ENSEMBLE_ROUNDING_DAYS, "{here} {there}");
        }
    }

    #[test]
    fn a_leg_cut_in_two_at_a_place_on_itself_is_as_long(plan in plan(), share in 0.05..0.95f64) {
        let at = |[latitude_deg, longitude_deg]: [f64; 2]| {
            Position::new(latitude_deg, longitude_deg).unwrap()
        };
        let leg = LegTrack::new(at(plan.places[0]), at(plan.places[1]), plan.kinds[0]).unwrap();
        let cut = leg.at_nm(share * leg.length_nm()).unwrap().position;
        let mut two = plan.clone();
        two.places.insert(1, [cut.latitude_deg(), cut.longitude_deg()]);
        two.kinds.insert(0, plan.kinds[0]);
        let (one, two) = (in_changing(&plan, 40), in_changing(&two, 40));
        if let Some(whole) = expected(&one) {
            same_days(&one, &two, SPLIT_SHARE * whole.days)?;
        }
        prop_assert!((one.routes[0].distance_nm - two.routes[0].distance_nm).abs() < 1e-6);
        // An ensemble's stretches are the route's and not its legs'.
        let days = |sailed: &Comparison| sailed.routes[0].ensemble.days.p50;
        if let (Some(one), Some(two)) = (days(&one), days(&two)) {
            prop_assert!((one - two).abs() <= ENSEMBLE_ROUNDING_DAYS, "{one} {two}");
        }
    }

    #[test]
    fn names_change_no_expected_figure_and_the_spread_by_chance_alone(plan in plan()) {
        let (plain, other) = CHANGING.with(|climate| {
            let called = |name| compared(&plan.voyage_called(name), climate, 400);
            (called("Route"), called("Überfahrt, 2"))
        });
        same_days(&plain, &other, 0.0)?;
        if let (Some(plain), Some(other)) = (expected(&plain), expected(&other)) {
            prop_assert_eq!(plain.exposure, other.exposure);
            prop_assert_eq!(plain.litres, other.litres);
        }
        alike(&plain, &other)?;
    }

    /// North for south, July for January.
    #[test]
    fn mirrored_hemispheres_give_mirrored_passages(plan in plan()) {
        let mut mirrored = plan.clone();
        for place in &mut mirrored.places {
            place[0] = -place[0];
        }
        let across = |winds: fn(Node) -> [f64; 3], months: usize| {
            climate(|node| {
                let month = (node.month + months) % 12;
                let [u, v, speed] = winds(Node {
                    latitude_deg: -node.latitude_deg,
                    month,
                    ..node
                });
                [u, -v, speed]
            })
        };
        let (here, there) = (in_lasting(&plan, 400), mirrored.sailed(&across(lasting, 0), 400));
        if let Some(whole) = expected(&here) {
            same_days(&here, &there, NODES_SHARE * whole.days)?;
        }
        same_shares(&here, &there, NODES_SHARE)?;
        alike(&here, &there)?;

        mirrored.departure = plan.departure + 183.days();
        let (here, there) = (in_changing(&plan, 400), mirrored.sailed(&across(changing, 6), 400));
        if let Some(whole) = expected(&here) {
            same_days(&here, &there, HALF_YEAR_SHARE * whole.days)?;
        }
        alike(&here, &there)?;
    }

    #[test]
    fn the_way_back_in_winds_turned_about_takes_as_long(plan in plan()) {
        // Without fuel that may be spent on whichever calm comes first.
        let plan = Plan { boat: boat(plan.boat.factor(), None), ..plan };
        let mut back = plan.clone();
        back.places.reverse();
        back.kinds.reverse();
        let turned = climate(|node| {
            let [u, v, speed] = lasting(node);
            [-u, -v, speed]
        });
        let (out, back) = (in_lasting(&plan, 40), back.sailed(&turned, 40));
        same_days(&out, &back, ROUNDING_DAYS)?;
        same_shares(&out, &back, ROUNDING_SHARE)?;
    }

    #[test]
    fn what_is_ordered_is_in_order_and_what_adds_up_does(plan in plan()) {
        in_order(&in_changing(&plan, 60).routes[0])?;
    }
}

fn in_order(route: &RouteResult) -> Result<(), TestCaseError> {
    let Ensemble {
        days,
        arrival,
        exposure,
        exposure_hours,
        chance,
        ..
    } = &route.ensemble;
    let percentiles = [
        days.p5, days.p10, days.p25, days.p50, days.p75, days.p90, days.p95,
    ];
    for pair in percentiles.windows(2) {
        // Once a percentile does not arrive, none above it does.
        prop_assert!(pair[0].is_some() || pair[1].is_none());
        if let [Some(lower), Some(upper)] = pair {
            prop_assert!(0.0 < *lower && lower <= upper, "{lower} {upper}");
        }
    }
    let arrivals = [arrival.p10, arrival.p50, arrival.p90];
    prop_assert!(arrivals.iter().flatten().is_sorted());
    if let (Some(mean), Some(first), Some(last)) = (
        days.mean,
        route.ensemble.sorted_days().first(),
        route.ensemble.sorted_days().last(),
    ) {
        prop_assert!((*first..=*last).contains(&mean));
    }
    for share in [chance.gale_6h, chance.hard_beat_24h, chance.no_arrival] {
        prop_assert!((0.0..=1.0).contains(&share));
    }
    prop_assert!(
        chance
            .dry_tanks
            .is_none_or(|share| (0.0..=1.0).contains(&share))
    );
    for (_, hours) in exposure_hours.iter() {
        prop_assert!(0.0 <= hours.mean && 0.0 <= hours.p90);
    }
    shares_agree(|kind| exposure[kind])?;

    let Some(passage) = &route.expected else {
        return Ok(());
    };
    shares_agree(|kind| passage.exposure[kind])?;
    let sum = |of: &dyn Fn(usize) -> f64| (0..passage.legs.len()).map(of).sum::<f64>();
    let days = sum(&|leg| passage.legs[leg].days);
    let distance_nm = sum(&|leg| passage.legs[leg].distance_nm);
    prop_assert!((days - passage.days).abs() <= ROUNDING_DAYS);
    prop_assert!((distance_nm - passage.distance_nm).abs() <= 1e-6);
    prop_assert!((passage.distance_nm / passage.days / 24.0 - passage.mean_speed_kn).abs() <= 1e-9);
    for kind in ExposureKind::ALL {
        let whole = sum(&|leg| passage.legs[leg].exposure[kind] * passage.legs[leg].days);
        prop_assert!(
            (whole / days - passage.exposure[kind]).abs() <= ROUNDING_SHARE,
            "{kind:?}"
        );
    }
    Ok(())
}

/// Shares of time are shares, and those that exclude or hold one another do.
fn shares_agree(share: impl Fn(ExposureKind) -> f64) -> Result<(), TestCaseError> {
    use ExposureKind::{Abaft, Gale, HardBeat, Headwind, LightAir, Strong};
    let most = 1.0 + ROUNDING_SHARE;
    for kind in ExposureKind::ALL {
        prop_assert!(
            (0.0..=most).contains(&share(kind)),
            "{kind:?} {}",
            share(kind)
        );
    }
    for (part, whole) in [(Gale, Strong), (HardBeat, Headwind)] {
        prop_assert!(share(part) <= share(whole) + ROUNDING_SHARE, "{part:?}");
    }
    for (one, other) in [(Headwind, Abaft), (LightAir, Strong)] {
        prop_assert!(share(one) + share(other) <= most, "{one:?} {other:?}");
    }
    Ok(())
}

#[test]
fn the_demonstration_is_in_order_and_its_chances_add_up() {
    let voyage = Voyage::demo().unwrap();
    let climate = voyage.open_climate().unwrap();
    let there = compared(&voyage, &climate, 200);
    for route in &there.routes {
        in_order(route).unwrap();
    }
    let mut turned = voyage.clone();
    turned.routes.reverse();
    let back = compared(&turned, &climate, 200);
    let chances = [&there, &back].map(|found| found.pairs[0].chance_first_arrives_before);
    // No two passages take the same time to the second.
    approx::assert_abs_diff_eq!(chances[0] + chances[1], 1.0, epsilon = 1e-3);
    let gained = [&there, &back].map(|found| found.pairs[0].first_faster_by_days);
    assert_eq!(gained[0].p50, gained[1].p50.map(|days| -days));
    assert_eq!(gained[0].p90, gained[1].p90.map(|days| -days));
}

/// The winds of any place fall in some sector, force and range of speeds.
#[test]
fn the_shares_of_a_wind_sum_to_one() {
    let voyage = Voyage::demo().unwrap();
    let survey = offing::study::winds_along(&voyage, None).unwrap();
    let winds: Vec<_> = survey
        .places
        .iter()
        .filter_map(|place| place.wind.as_ref())
        .collect();
    assert!(winds.len() > 5);
    for wind in winds {
        let around: f64 = wind.rose.iter().map(|sector| sector.share).sum();
        approx::assert_abs_diff_eq!(around, 1.0, epsilon = ROUNDING_SHARE);
    }
}

/// Members by number, over what the boat differs in: hours, infinite for one that does not arrive.
fn hours(ensemble: &Ensemble) -> Vec<f64> {
    let members = ensemble.each_member().iter();
    members
        .map(|member| member.hours.unwrap_or(f64::INFINITY))
        .collect()
}

/// Asserts that nobody is later by more than `loss_hours` in a later run than in the one before.
fn assert_never_slower(runs: &[Vec<f64>], loss_hours: f64) {
    let mut faster = 0;
    for pair in runs.windows(2) {
        for (member, (less, more)) in pair[0].iter().zip(&pair[1]).enumerate() {
            assert!(
                *more <= less + loss_hours,
                "member {member}: {less} h, then {more} h"
            );
            faster += usize::from(*more + 1.0 < *less);
        }
    }
    assert!(faster > 0, "it makes no difference to anyone");
}

const FUELS_LITRES: [f64; 7] = [0.0, 1.0, 5.0, 20.0, 80.0, 240.0, 1000.0];

fn by_fuel(voyage: &Voyage, climate: &Climate) -> Vec<Vec<f64>> {
    let few = EnsembleOptions {
        members: 200,
        ..EnsembleOptions::default()
    };
    let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, climate, few);
    FUELS_LITRES
        .map(|litres| {
            let engine = Engine::new(4.5, 2.0, litres).unwrap();
            let handling = voyage.boat.handling().with_motor_below(Some(2.5)).unwrap();
            let boat = voyage.boat.handled(Some(engine), handling).unwrap();
            hours(&runner.run_handled(0, voyage.departure, &boat).unwrap())
        })
        .to_vec()
}

/// Where wind and course are the same everywhere, being ahead brings no other progress.
#[test]
fn more_fuel_is_slower_for_no_one() {
    let voyage = Voyage::demo().unwrap();
    let real = voyage.open_climate().unwrap();
    assert_never_slower(&by_fuel(&voyage, &real), STEP_LOSS_HOURS);

    let same = climate(|_| [1.5, 1.0, 3.5]);
    let plan = Plan {
        departure: voyage.departure,
        places: vec![[-32.0, 115.0], [-30.0, 31.0]],
        kinds: vec![LegKind::Rhumb],
        boat: voyage.boat.clone(),
    };
    let along = plan.voyage_called("Along one rhumb line");
    assert_never_slower(&by_fuel(&along, &same), ROUNDING_HOURS);
}

/// Without an engine: one that starts below a progress is started less often by a faster boat.
#[test]
fn a_faster_boat_is_slower_for_no_one_and_at_no_percentile() {
    let voyage = Voyage::demo().unwrap();
    let real = voyage.open_climate().unwrap();
    let handling = voyage.boat.handling().with_motor_below(None).unwrap();
    let polar = voyage.boat.given_polar();
    let better = raised(polar);
    let boats = [(polar, 0.7), (polar, 0.8), (&better, 0.8), (&better, 1.0)];
    let boats = boats.map(|(polar, factor)| Boat::new(polar, factor, None, handling).unwrap());
    let sailed = boats.map(|boat| {
        let mut voyage = voyage.clone();
        voyage.boat = boat;
        compared(&voyage, &real, 200)
    });
    for route in 0..voyage.routes.len() {
        let ensembles = sailed
            .each_ref()
            .map(|sailed| &sailed.routes[route].ensemble);
        assert_never_slower(&ensembles.map(hours), STEP_LOSS_HOURS);
        for pair in ensembles.windows(2) {
            for percent in 1..100 {
                let at = |ensemble: &Ensemble| {
                    ensemble
                        .days_at(f64::from(percent) / 100.0)
                        .unwrap_or(f64::INFINITY)
                };
                let [slow, fast] = [at(pair[0]), at(pair[1])];
                assert!(fast <= slow, "P{percent}: {slow}, then {fast} days");
            }
        }
        let expected = sailed
            .each_ref()
            .map(|sailed| sailed.routes[route].expected.as_ref().unwrap().days);
        assert!(
            expected.windows(2).all(|pair| pair[1] <= pair[0]),
            "{expected:?}"
        );
    }
}

/// The polar with a tenth more at every third place.
fn raised(polar: &Polar) -> Polar {
    let (winds, angles) = (polar.true_wind_speeds_kn(), polar.true_wind_angles_deg());
    let mut text = String::from("true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n");
    for (row, angle) in angles.iter().enumerate() {
        for (column, wind) in winds.iter().enumerate() {
            let more = if (row + column) % 3 == 0 { 1.1 } else { 1.0 };
            let speed_kn = more * polar.speed_kn(*wind, *angle);
            text += &format!("{wind},{angle},{speed_kn}\n");
        }
    }
    Polar::parse(&text, "better.csv").unwrap()
}
