//! Shaped courses in a current: a shear whose fastest way is known, the expected walk, and currents
//! that no boat stems.

use offing::boat::Boat;
use offing::climate::{Current, Currents, LocalClimate, Region, SeasonDay};
use offing::geodesy::Position;
use offing::shaping::{Limits, OpenOcean, Shaper, ShapingError, Winds};
use offing::units::{METRES_PER_NM, MS_PER_KN};

use crate::common::{DEPARTURE, Demo, at, demo, local, round_boat, task};

/// How far from the analytic optimum the time may be.
const OPTIMUM_SHARE: f64 = 0.005;
/// The boat's speed through the water, knots.
const BOAT_KN: f64 = 5.0;
/// How much stronger the current sets toward the east a degree of latitude farther north, knots.
const SHEAR_KN: f64 = 0.25;

/// One wind everywhere, of which the round boat makes her speed, over a current by latitude.
struct Stream<F>(F);

impl<F: Fn(f64) -> f64 + Sync> Winds for Stream<F> {
    fn at(&self, _: Position, _: SeasonDay) -> Option<LocalClimate> {
        // The mean of a wind's speed is m + s² / 2m to first order (Rice), s being 0.5 m/s.
        let mean_ms = 2.0 * BOAT_KN * MS_PER_KN;
        local(0.0, mean_ms - 0.125 / mean_ms)
    }

    fn current_at(&self, place: Position, _: SeasonDay) -> Current {
        Current {
            east_kn: self.0(place.latitude_deg()),
            north_kn: 0.0,
        }
    }
}

/// The time from (0, 0) to (`east`, 0), and how far north the way goes, in units of the boat's speed
/// over the shear; the time in units of one over the shear.
///
/// Zermelo's problem (1931; Bryson and Ho, Applied Optimal Control, section 2.7, for the shear; both
/// from memory), derived: a boat of speed 1 heads at an angle h north of east in a current y toward
/// the east, dx/dt = cos h + y, dy/dt = sin h. The Hamiltonian p (cos h + y) + q sin h, which the
/// heading makes greatest, gives tan h = q / p; p is constant, dq/dt = -p, so that d(tan h)/dt = -1.
/// By symmetry h falls from H to -H on a way that comes back to y = 0: T = 2 tan H. With t as
/// tan h, dy = -sin h dt = -t / sqrt(1 + t²) dt and so y = sec H - sec h, and
/// x = integral over t from -tan H to tan H of (1 / sqrt(1 + t²) + sec H - sqrt(1 + t²))
///   = 2 asinh(tan H) + 2 sec H tan H - (tan H sec H + asinh(tan H))
///   = asinh(tan H) + sec H tan H.
fn zermelo(east: f64) -> (f64, f64) {
    let reach = |tan: f64| tan.asinh() + tan * tan.hypot(1.0);
    let (mut low, mut high) = (0.0, 100.0);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if reach(middle) < east {
            low = middle;
        } else {
            high = middle;
        }
    }
    (2.0 * low, low.hypot(1.0) - 1.0)
}

/// About the equator a degree of latitude is 110.574 km and one of longitude 111.320 km (WGS84, from
/// memory). The way lies between 1.5 S and 1.6 N, where meridians draw together by a part in 2500 at
/// the most.
#[test]
fn in_a_shear_the_answer_is_zermelos_time() {
    const NM_PER_LATITUDE_DEG: f64 = 110_574.0 / METRES_PER_NM;
    const NM_PER_LONGITUDE_DEG: f64 = 111_320.0 / METRES_PER_NM;
    const SOUTH_DEG: f64 = -1.5;
    const APART_DEG: f64 = 24.0;
    let per_hour = SHEAR_KN / NM_PER_LATITUDE_DEG;
    let (time, north) = zermelo(APART_DEG * NM_PER_LONGITUDE_DEG * per_hour / BOAT_KN);
    let least_days = time / per_hour / 24.0;
    let north_deg = SOUTH_DEG + north * BOAT_KN / per_hour / NM_PER_LATITUDE_DEG;
    // The straight way, on which there is no current, is slower by ten times what is allowed.
    let straight_days = APART_DEG * NM_PER_LONGITUDE_DEG / BOAT_KN / 24.0;
    assert!(
        straight_days > 1.05 * least_days,
        "{straight_days}, {least_days}"
    );
    assert!(north_deg.abs() < 1.6, "{north_deg}");

    let boat = round_boat();
    let stream = Stream(|latitude_deg: f64| SHEAR_KN * (latitude_deg - SOUTH_DEG));
    let ends = [at(SOUTH_DEG, 0.0), at(SOUTH_DEG, APART_DEG)];
    let region = Region::between(-7.0, 7.0, -4.0, APART_DEG + 4.0);
    let shaped = Shaper::new(task(&stream, &OpenOcean, &boat, ends, region))
        .unwrap()
        .fastest(&Limits::default())
        .unwrap();
    assert!(
        (shaped.days / least_days - 1.0).abs() < OPTIMUM_SHARE,
        "{} days, {least_days} at the least, {straight_days} straight",
        shaped.days
    );
}

/// A current that sets one way everywhere carries the water and all that sails in it: on the
/// demonstration it shifts the days, and walk and search agree about it.
#[test]
fn the_expected_walk_agrees_in_a_current() {
    let mut demo = demo(DEPARTURE);
    let days = |demo: &Demo| {
        let shaper = Shaper::new(demo.task(&OpenOcean)).unwrap();
        let shaped = shaper.fastest(&Limits::default()).unwrap();
        (shaped.days, demo.walk(&shaped).days)
    };
    let (still, _) = days(&demo);
    let current = Current {
        east_kn: 0.5,
        north_kn: -0.6,
    };
    demo.climate = demo.climate.with_currents(Currents::Uniform(current));
    let (shaped, walked) = days(&demo);
    assert!(
        walked > still + 1.0,
        "{walked} days, {still} in still water"
    );
    assert!(
        (walked / shaped - 1.0).abs() < 0.002,
        "{walked} days walked, {shaped} shaped"
    );
}

fn refused(winds: &dyn Winds, boat: &Boat, ends: [Position; 2]) -> ShapingError {
    let region = Region::between(-6.0, 6.0, -6.0, 16.0);
    let shaper = Shaper::new(task(winds, &OpenOcean, boat, ends, region)).unwrap();
    shaper.fastest(&Limits::default()).unwrap_err()
}

#[test]
fn a_current_stronger_than_the_boat_closes_the_way_and_is_named() {
    let boat = round_boat();
    let stream = Stream(|_: f64| 2.0 * BOAT_KN);
    let against = refused(&stream, &boat, [at(0.0, 10.0), at(0.0, 0.0)]);
    assert!(
        matches!(against, ShapingError::CurrentTooStrong { .. }),
        "{against}"
    );
    assert!(against.to_string().contains("the current sets against"));
}
