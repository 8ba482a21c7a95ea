//! Courses that share their search are those that are searched for one by one.

use jiff::civil::date;
use offing::climate::Climate;
use offing::geodesy::{Position, Step};
use offing::route::Land;
use offing::shaping::{Fan, FanTask, Limits, Shaped, Shaper, ShapingError, Task, search_region};
use offing::voyage::Voyage;

fn place(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).unwrap()
}

#[test]
fn a_fan_finds_the_courses_of_single_searches_bit_for_bit() {
    let voyage = Voyage::demo().unwrap();
    // Off Fremantle, Durban, Mauritius and Sunda Strait, and in Madagascar; from memory.
    let from = place(-32.05, 115.5);
    let ends = [
        place(-29.9, 31.3),
        place(-20.0, 57.3),
        place(-7.0, 104.5),
        place(-19.0, 46.5),
    ];
    let days = [date(2027, 5, 1), date(2027, 11, 1)];
    let mut region = search_region(from, ends[0], &[]);
    region.north_deg = 0.0;
    let climate: Climate = voyage.open_climate_of(&region.widened(5.0)).unwrap();
    let (sampling, grid_deg) = (Step::default(), 1.5);
    let fan = Fan::new(FanTask {
        winds: &climate,
        shore: Land::natural_earth(),
        from,
        region,
        sampling,
        grid_deg,
    });
    let alone = |to: Position, departure| -> Result<Shaped, ShapingError> {
        Shaper::new(Task {
            winds: &climate,
            shore: Land::natural_earth(),
            boat: &voyage.boat,
            departure,
            from,
            to,
            drawn: Vec::new(),
            sampling,
            region,
            grid_deg,
        })?
        .fastest(&Limits::default())
    };
    let found = fan.courses(&voyage.boat, &days, &ends);
    for (to, of_end) in ends.iter().zip(&found) {
        assert_eq!(of_end.len(), days.len());
        for (day, shaped) in days.iter().zip(of_end) {
            match (shaped, alone(*to, *day)) {
                (Ok(shaped), Ok(alone)) => {
                    assert_eq!(shaped.days.to_bits(), alone.days.to_bits());
                    assert_eq!(*shaped, alone, "to {to} on {day}");
                }
                (Err(shared), Err(alone)) => assert_eq!(shared.to_string(), alone.to_string()),
                (shared, alone) => panic!("{shared:?}, alone {alone:?}"),
            }
        }
    }
    assert!(found[..3].iter().flatten().all(Result::is_ok));
    assert!(found[3].iter().all(Result::is_err));
}
