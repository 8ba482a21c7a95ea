//! Routes laid off in pieces: places and courses against PROJ's geodesic
//! (scripts/reference/lay_off_rows.py), hours of dark against PyEphem's rows, and sums that must come out.

use jiff::civil::Date;
use offing::geodesy::{LegKind, Position};
use offing::passage::{EnsembleOptions, ExposureKind, LayOff, Piece};
use offing::route::{Route, Waypoint};
use offing::study::{Legs, Options, legs};
use offing::voyage::Voyage;
use serde::Deserialize;

use crate::rows::reference_rows;

/// Agreement in places, degrees: the rows claim 1e-6.
const PLACE_DEG: f64 = 2e-6;
/// Agreement in courses, degrees: the rows claim 1e-5.
const COURSE_DEG: f64 = 2e-5;
/// Agreement in distances, nautical miles.
const DISTANCE_NM: f64 = 1e-4;
/// Agreement in sums of distance and days.
const SUM: f64 = 1e-6;
/// Agreement in shares of time, which are sums in another order.
const SHARE: f64 = 1e-9;
/// Agreement in hours of dark: two minutes, as the day moves on while she sails.
const DARK_HOURS: f64 = 2.0 / 60.0;

const WAYS: [LayOff; 4] = [
    LayOff::Day,
    LayOff::Degrees(5),
    LayOff::Degrees(1),
    LayOff::Miles(300.0),
];

/// The voyage's routes laid off, from few passages.
fn laid_off(voyage: &Voyage, by: LayOff) -> Legs {
    let few = EnsembleOptions {
        members: 50,
        ..EnsembleOptions::default()
    };
    let options = Options::default().without_loading().with_ensemble(few);
    legs(voyage, &voyage.open_climate().unwrap(), &options, Some(by)).unwrap()
}

/// The demonstration's boat on one great circle.
fn voyage(departure: Date, ends: [[f64; 2]; 2]) -> Voyage {
    let mut voyage = Voyage::demo().unwrap();
    let ends = ends.map(|[latitude_deg, longitude_deg]| {
        let position = Position::new(latitude_deg, longitude_deg).unwrap();
        Waypoint::new("end", position, LegKind::GreatCircle)
    });
    voyage.departure = departure;
    voyage.routes = vec![Route::new("line", ends.to_vec()).unwrap()];
    voyage
}

#[derive(Deserialize)]
struct Row {
    way: String,
    from_latitude_deg: f64,
    from_longitude_deg: f64,
    to_latitude_deg: f64,
    to_longitude_deg: f64,
    run_nm: f64,
    latitude_deg: f64,
    longitude_deg: f64,
    course_deg: Option<f64>,
}

fn assert_at(place: Position, row: &Row) {
    let east_deg = (place.longitude_deg() - row.longitude_deg).rem_euclid(360.0);
    let apart_deg = east_deg.min(360.0 - east_deg);
    let north_deg = (place.latitude_deg() - row.latitude_deg).abs();
    assert!(
        apart_deg < PLACE_DEG && north_deg < PLACE_DEG,
        "{} at {} nm: {place:?}",
        row.way,
        row.run_nm
    );
}

#[test]
fn pieces_of_a_great_circle_begin_where_proj_says() {
    let rows: Vec<Row> = reference_rows("passage/laid_off.csv");
    let of_one_line = |a: &Row, b: &Row| {
        (&a.way, a.from_longitude_deg.to_bits()) == (&b.way, b.from_longitude_deg.to_bits())
    };
    let mut lines = 0;
    for rows in rows.chunk_by(of_one_line) {
        let [first, .., last] = rows else {
            panic!("a line has two ends");
        };
        let ends = [
            [first.from_latitude_deg, first.from_longitude_deg],
            [first.to_latitude_deg, first.to_longitude_deg],
        ];
        let voyage = voyage(jiff::civil::date(2027, 5, 1), ends);
        let legs = laid_off(&voyage, first.way.parse().unwrap());
        let pieces = &legs.laid_off[0].pieces;
        assert_eq!(pieces.len(), rows.len() - 1, "{}", first.way);
        let mut run_nm = 0.0;
        for (piece, row) in pieces.iter().zip(rows) {
            assert_at(piece.start, row);
            approx::assert_abs_diff_eq!(run_nm, row.run_nm, epsilon = DISTANCE_NM);
            let course_deg = row.course_deg.unwrap();
            approx::assert_abs_diff_eq!(piece.course.deg(), course_deg, epsilon = COURSE_DEG);
            run_nm += piece.distance_nm;
        }
        assert_at(pieces[pieces.len() - 1].end, last);
        lines += 1;
    }
    assert_eq!(lines, 6);
}

#[test]
fn pieces_add_up_to_the_route_and_the_median() {
    let voyage = Voyage::demo().unwrap();
    for by in WAYS {
        let legs = laid_off(&voyage, by);
        for (route, laid_off) in legs.routes() {
            let pieces = &laid_off.unwrap().pieces;
            let sum = |figure: fn(&Piece) -> f64| pieces.iter().map(figure).sum::<f64>();
            let median = route.ensemble.days.p50.unwrap();
            approx::assert_abs_diff_eq!(
                sum(|piece| piece.distance_nm),
                route.distance_nm,
                epsilon = SUM
            );
            approx::assert_abs_diff_eq!(sum(|piece| piece.days), median, epsilon = SUM);
            let last = &pieces[pieces.len() - 1];
            approx::assert_abs_diff_eq!(last.elapsed_days, median, epsilon = SUM);
            for (index, pair) in pieces.windows(2).enumerate() {
                assert_eq!(pair[0].number, index + 1);
                assert_eq!(pair[0].end, pair[1].start);
                assert_eq!(pair[0].ends, pair[1].begins);
                if by == LayOff::Day {
                    assert_eq!(pair[1].begins.time(), jiff::civil::time(12, 0, 0, 0));
                }
            }
            let whole = route.expected.as_ref().unwrap();
            for (kind, share) in whole.exposure.iter() {
                let pieces = pieces.iter();
                let days = pieces.map(|piece| piece.exposure[kind] * piece.days);
                let mean = days.sum::<f64>() / median;
                approx::assert_abs_diff_eq!(mean, *share, epsilon = SHARE);
            }
        }
    }
}

/// Pieces by degrees or by distance end at waypoints, so that those of a leg are the leg.
#[test]
fn the_pieces_of_a_leg_have_its_gales_and_its_length() {
    let voyage = Voyage::demo().unwrap();
    for by in [LayOff::Degrees(5), LayOff::Miles(300.0)] {
        let legs = laid_off(&voyage, by);
        for (route, laid_off) in legs.routes() {
            for leg in &route.expected.as_ref().unwrap().legs {
                let pieces = laid_off.unwrap().pieces.iter();
                let pieces: Vec<&Piece> = pieces.filter(|piece| piece.leg == leg.number).collect();
                let sum = |figure: &dyn Fn(&Piece) -> f64| {
                    pieces.iter().map(|piece| figure(piece)).sum::<f64>()
                };
                let days = sum(&|piece| piece.days);
                let gale_days = sum(&|piece| piece.exposure[ExposureKind::Gale] * piece.days);
                let gale = leg.exposure[ExposureKind::Gale];
                approx::assert_abs_diff_eq!(gale_days / days, gale, epsilon = SHARE);
                let distance_nm = sum(&|piece| piece.distance_nm);
                approx::assert_abs_diff_eq!(distance_nm, leg.distance_nm, epsilon = SUM);
                for (got, exact) in [
                    (pieces[0].start, leg.start),
                    (pieces[pieces.len() - 1].end, leg.end),
                ] {
                    let north_deg = got.latitude_deg() - exact.latitude_deg();
                    let east_deg = got.longitude_deg() - exact.longitude_deg();
                    assert!(north_deg.abs() < PLACE_DEG && east_deg.abs() < PLACE_DEG);
                }
            }
        }
    }
}

/// Storm-days come from the rates at the same places as the ensemble's: at the median's pace alone they
/// can be no more than those of the pace with most, but for where an even pace differs.
#[test]
fn storm_days_are_near_those_of_the_passage() {
    /// What the stretched walk and the largest of three paces may differ by, as a share.
    const STORM_SHARE: f64 = 0.25;
    let mut voyage = Voyage::demo().unwrap();
    voyage.leave_on(jiff::civil::date(2027, 1, 15)).unwrap();
    let legs = laid_off(&voyage, LayOff::Day);
    for (route, laid_off) in legs.routes() {
        let pieces = laid_off.unwrap().pieces.iter();
        let days: f64 = pieces.map(|piece| piece.storm_days).sum();
        let whole = route.ensemble.storms.as_ref().unwrap().storm_days;
        approx::assert_relative_eq!(days, whole, max_relative = STORM_SHARE);
    }
}

#[derive(Deserialize)]
struct SunRow {
    date: Date,
    latitude_deg: f64,
    longitude_deg: f64,
    daylight_h: f64,
}

#[test]
fn nights_are_as_long_as_pyephem_says() {
    let rows: Vec<SunRow> = reference_rows("stores/daylight_sweep.csv");
    let seas = |row: &&SunRow| {
        [(-45.0, 115.0), (-55.0, 60.0)].contains(&(row.latitude_deg, row.longitude_deg))
    };
    let mut compared = 0;
    for row in rows.iter().filter(seas).step_by(5) {
        let ends = [-0.3, 0.3].map(|east_deg| [row.latitude_deg, row.longitude_deg + east_deg]);
        let legs = laid_off(&voyage(row.date, ends), LayOff::Degrees(180));
        let pieces = &legs.laid_off[0].pieces;
        assert_eq!(pieces.len(), 1);
        let dark_hours = 24.0 - row.daylight_h;
        approx::assert_abs_diff_eq!(
            pieces[0].dark_hours_per_day,
            dark_hours,
            epsilon = DARK_HOURS
        );
        compared += 1;
    }
    assert!(compared >= 8, "{compared} rows");
}
