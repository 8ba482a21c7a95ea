use super::*;
use crate::boat::Engine;
use crate::voyage::Voyage;

const LITRES_PER_HOUR: f64 = 2.0;
/// A tank that runs dry half an hour into a step.
const ODD_LITRES: f64 = 61.0;
const LITRES_TOLERANCE: f64 = 1e-9;

/// The demonstration voyage's block with a tank, stepped by `step`.
fn demo_block(
    litres: f64,
    step: impl Fn(&Conditions<'_>, &mut [Passage]) -> Result<(), (ClimateGap, f64)>,
) -> Vec<Passage> {
    let voyage = Voyage::demo().unwrap();
    let route = &voyage.routes[1];
    let climate = voyage.open_climate().unwrap();
    let conditions = Conditions {
        track: &TrackClimate::new(route, &climate),
        table: &WindTable::new(&voyage.boat),
        gaussian: &GaussianTable::new(),
        key: StreamKey {
            seed: 1,
            route: route.name(),
            departure_day: 0,
        },
        departure: SeasonDay::from_date(voyage.departure),
        memory: 0.92,
        tank: Some(Tank::new(
            &Engine::new(4.5, LITRES_PER_HOUR, litres).unwrap(),
        )),
    };
    let mut passages = vec![Passage::default(); LANES - 3];
    step(&conditions, &mut passages).unwrap();
    passages
}

#[test]
fn a_plainer_processor_gives_the_same_to_the_last_bit() {
    let here = demo_block(ODD_LITRES, |conditions, passages| {
        run_block(conditions, 0, passages)
    });
    let plain = demo_block(ODD_LITRES, |conditions, passages| {
        step_block(conditions, 0, passages)
    });
    assert!(here.iter().all(|passage| passage.hours.is_finite()));
    assert!(here.iter().any(|passage| passage.dry));
    assert_eq!(here, plain);
}

#[test]
fn a_passage_burns_its_tank_to_the_end_and_no_more() {
    for litres in [0.0, 3.0, 11.9, ODD_LITRES, 240.0] {
        let passages = demo_block(litres, |conditions, passages| {
            run_block(conditions, 0, passages)
        });
        let burnt = |passage: &Passage| passage.exposure_hours[UNDER_POWER] * LITRES_PER_HOUR;
        for passage in &passages {
            assert!(burnt(passage) <= litres + LITRES_TOLERANCE, "{litres}");
            if passage.dry {
                approx::assert_abs_diff_eq!(burnt(passage), litres, epsilon = LITRES_TOLERANCE);
            }
        }
        let dry = passages.iter().filter(|passage| passage.dry).count();
        if litres < 60.0 {
            assert_eq!(dry, passages.len(), "{litres}: all want more than that");
        } else {
            assert!(dry < passages.len(), "{litres}");
        }
    }
}

#[test]
fn a_member_is_the_same_in_any_block() {
    let together = demo_block(ODD_LITRES, |conditions, passages| {
        run_block(conditions, 0, passages)
    });
    let apart = demo_block(ODD_LITRES, |conditions, passages| {
        (0..)
            .zip(passages.chunks_mut(1))
            .try_for_each(|(member, passage)| run_block(conditions, member, passage))
    });
    assert_eq!(together, apart);
}
