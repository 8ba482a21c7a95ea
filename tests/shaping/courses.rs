//! Shaped courses against geometry, against a wind field whose fastest way is known, and on the
//! demonstration voyage.

use crate::common::{DEPARTURE, Island, at, demo, length_nm, local, round_boat, task};
use offing::climate::{Region, SeasonDay};
use offing::geodesy::{LegKind, LegTrack, Position};
use offing::passage::{ExpectedPassage, ExposureKind, Walk};
use offing::shaping::{
    Hardship, KeepOut, Limits, OpenOcean, Shaped, Shaper, ShapingError, Shore, Task, search_region,
};
use offing::units::{METRES_PER_NM, MS_PER_KN};

/// How much slower than the geodesic the answer may be in a wind that is the same everywhere.
const GEODESIC_SHARE: f64 = 0.003;
/// How far from the analytic optimum its time may be.
const OPTIMUM_SHARE: f64 = 0.005;
/// A course along corners that a polygon forces is found this closely.
const CORNER_SHARE: f64 = 0.003;

#[test]
fn in_one_wind_everywhere_the_answer_is_the_geodesic() {
    let boat = round_boat();
    let winds = |_: Position, _: SeasonDay| local(6.0, -3.0);
    let ends = [at(-38.0, 20.0), at(-30.0, 95.0)];
    let region = search_region(ends[0], ends[1], &[]);
    let shaper = Shaper::new(task(&winds, &OpenOcean, &boat, ends, region)).unwrap();
    let shaped = shaper.fastest(&Limits::default()).unwrap();
    // Half the mean speed of a wind with this mean and so little spread (Rice, to first order).
    let wind_ms = 6.0_f64.hypot(3.0);
    let speed_kn = 0.5 * (wind_ms + 0.5 * 0.25 / wind_ms) / MS_PER_KN;
    let least_days = length_nm(&ends) / speed_kn / 24.0;
    assert!(
        (shaped.days / least_days - 1.0).abs() < GEODESIC_SHARE,
        "{} days, {least_days} by the geodesic",
        shaped.days
    );
}

/// Round the corner of an area to keep out of, the shortest way is two geodesics that meet at the
/// corner.
#[test]
fn about_an_obstacle_the_way_goes_by_its_corner() {
    let boat = round_boat();
    let winds = |_: Position, _: SeasonDay| local(8.0, 0.0);
    let ends = [at(0.0, 0.0), at(0.0, 24.0)];
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("wall.geojson");
    let text = r#"{"type": "Polygon",
        "coordinates": [[[11.9, -30], [12.1, -30], [12.0, 7.3], [11.9, -30]]]}"#;
    std::fs::write(&file, text).unwrap();
    let limits = Limits {
        keep_out: KeepOut::read(&file).unwrap(),
        ..Limits::default()
    };
    let region = Region::between(-12.0, 14.0, -6.0, 30.0);
    let shaper = Shaper::new(task(&winds, &OpenOcean, &boat, ends, region)).unwrap();
    let shaped = shaper.fastest(&limits).unwrap();
    let least_nm = length_nm(&[ends[0], at(7.3, 12.0), ends[1]]);
    let got_nm = length_nm(&shaped.corners);
    assert!(got_nm >= least_nm - 1.0);
    assert!(
        got_nm < least_nm * (1.0 + CORNER_SHARE),
        "{got_nm} nm, {least_nm} at the least"
    );
}

/// A boat as fast on any course, over a sea where her speed grows evenly toward the north, v = g y:
/// by Fermat's principle her fastest way is a circle about a point on the line where v is nil, for
/// Snell's law sin(a) / v = constant is what such a circle does; and the time between two places is
///
/// T = arcosh(1 + g² (dx² + dy²) / (2 v1 v2)) / g,
///
/// the distance in the Poincaré half plane over g (derived here; the geometry is textbook). The
/// strip lies about the equator, where a degree of latitude is 110.574 km and one of longitude
/// 111.320 km (WGS84, from memory) and meridians are parallel to 1 in 1500.
#[test]
fn where_speed_grows_evenly_the_answer_is_the_circles_time() {
    const NM_PER_LATITUDE_DEG: f64 = 110_574.0 / METRES_PER_NM;
    const NM_PER_LONGITUDE_DEG: f64 = 111_320.0 / METRES_PER_NM;
    const GROWTH_PER_HOUR: f64 = 0.8 / NM_PER_LATITUDE_DEG;
    const START_KN: f64 = 4.8;
    const SOUTH_DEG: f64 = -2.0;
    let boat = round_boat();
    // The mean of a wind's speed is m + s² / 2m to first order (Rice): m is chosen so that it is
    // twice the boat's speed.
    let winds = |place: Position, _: SeasonDay| {
        let speed_kn = START_KN + 0.8 * (place.latitude_deg() - SOUTH_DEG);
        let mean_ms = 2.0 * speed_kn.max(0.5) * MS_PER_KN;
        local(0.0, mean_ms - 0.125 / mean_ms)
    };
    let ends = [at(SOUTH_DEG, 0.0), at(SOUTH_DEG, 16.0)];
    let region = Region::between(-6.0, 8.0, -4.0, 20.0);
    let shaper = Shaper::new(task(&winds, &OpenOcean, &boat, ends, region)).unwrap();
    let shaped = shaper.fastest(&Limits::default()).unwrap();
    let apart_nm = 16.0 * NM_PER_LONGITUDE_DEG;
    let ratio = 0.5 * (GROWTH_PER_HOUR * apart_nm / START_KN).powi(2);
    let least_days = (1.0 + ratio).acosh() / GROWTH_PER_HOUR / 24.0;
    let straight_days = apart_nm / START_KN / 24.0;
    assert!(straight_days > 1.2 * least_days);
    assert!(
        (shaped.days / least_days - 1.0).abs() < OPTIMUM_SHARE,
        "{} days, {least_days} at the least",
        shaped.days
    );
}

#[test]
fn on_the_demonstration_no_route_drawn_is_faster() {
    let demo = demo(DEPARTURE);
    let shaper = Shaper::new(demo.task(&OpenOcean)).unwrap();
    let shaped = shaper.fastest(&Limits::default()).unwrap();
    let walked = demo.walk(&shaped);
    // The table and the walk's own nodes are two ways to one mean.
    assert!((walked.days / shaped.days - 1.0).abs() < 0.002);
    assert!(!shaped.waiting_pays);
    for route in &demo.voyage.routes {
        let Walk::Arrives(drawn) = demo.voyage.walk(route, &demo.climate).unwrap() else {
            continue;
        };
        assert!(
            walked.days <= drawn.days,
            "{} days, {} by {}",
            walked.days,
            drawn.days,
            route.name()
        );
    }
}

/// A wall across the way with a strait too narrow for the grid: no arc of it fits through, but a
/// route drawn does.
#[test]
fn a_route_drawn_through_a_strait_shows_the_way() {
    struct Strait([Island; 2]);
    impl Shore for Strait {
        fn is_land(&self, place: Position) -> bool {
            self.0.iter().any(|side| side.is_land(place))
        }
        fn meets_land(&self, from: Position, to: Position) -> bool {
            self.0.iter().any(|side| side.meets_land(from, to))
        }
        fn is_nearer_than_nm(&self, place: Position, distance_nm: f64) -> bool {
            let mut sides = self.0.iter();
            sides.any(|side| side.is_nearer_than_nm(place, distance_nm))
        }
    }
    let side = |south_deg: f64, north_deg: f64| Island {
        south_deg,
        north_deg,
        west_deg: 70.15,
        east_deg: 70.45,
    };
    let strait = Strait([side(-89.0, -30.52), side(-30.48, 30.0)]);
    let demo = demo(DEPARTURE);
    let undrawn = Task {
        drawn: Vec::new(),
        ..demo.task(&strait)
    };
    let closed = Shaper::new(undrawn).unwrap().fastest(&Limits::default());
    assert!(
        matches!(closed, Err(ShapingError::NoWay { .. })),
        "the grid alone finds a way through"
    );
    let mut task = demo.task(&strait);
    let through = [at(-30.5, 71.0), at(-30.5, 69.6)];
    task.drawn = vec![[&[task.from][..], &through, &[task.to]].concat()];
    let shaped = Shaper::new(task)
        .unwrap()
        .fastest(&Limits::default())
        .unwrap();
    let strait_deg = shaped.corners.windows(2).find_map(|pair| {
        let track = LegTrack::new(pair[0], pair[1], LegKind::GreatCircle).unwrap();
        (0..track.length_nm() as u32)
            .filter_map(|mile| track.at_nm(f64::from(mile)))
            .find(|point| (70.15..70.45).contains(&point.position.longitude_deg()))
            .map(|point| point.position.latitude_deg())
    });
    let strait_deg = strait_deg.expect("the wall is passed");
    assert!((-30.52..-30.48).contains(&strait_deg), "{strait_deg}");
}

#[test]
fn a_trade_off_goes_from_fast_to_gentle_and_none_is_dominated() {
    let demo = demo(DEPARTURE);
    let shaper = Shaper::new(demo.task(&OpenOcean)).unwrap();
    let courses = shaper
        .trade_off(&Limits::default(), Hardship::Headwind)
        .unwrap();
    assert!(
        (8..=12).contains(&courses.len()),
        "{} courses",
        courses.len()
    );
    for pair in courses.windows(2) {
        assert!(pair[1].days > pair[0].days);
        assert!(
            pair[1].exposure[ExposureKind::Headwind] < pair[0].exposure[ExposureKind::Headwind]
        );
    }
}

/// Eastward through the westerlies the fastest course has most gale, and the prices leave four days
/// between two courses: what a crew draws by hand there must find its match on the curve.
#[test]
fn no_route_drawn_by_hand_falls_into_a_gap_of_the_trade_off() {
    const NEAR_DAYS: f64 = 0.5;
    const NEAR_SHARE: f64 = 0.005;
    let demo = demo(DEPARTURE);
    let westward = demo.task(&OpenOcean);
    let (from, to) = (westward.to, westward.from);
    let task = || Task {
        from,
        to,
        drawn: Vec::new(),
        ..demo.task(&OpenOcean)
    };
    let shaper = Shaper::new(task()).unwrap();
    let courses = shaper
        .trade_off(&Limits::default(), Hardship::Gale)
        .unwrap();
    let on: Vec<_> = courses.iter().map(|course| demo.walk(course)).collect();
    let gale = |passage: &ExpectedPassage| passage.exposure[ExposureKind::Gale];
    for latitude_deg in [-33.0, -34.5, -36.0, -37.5, -39.0, -40.0, -41.5] {
        let across = [50.0, 75.0, 100.0].map(|longitude_deg| at(latitude_deg, longitude_deg));
        let by_hand = Shaped {
            corners: [&[from][..], &across, &[to]].concat(),
            ..courses[0].clone()
        };
        let drawn = demo.walk(&by_hand);
        let told = format!("{latitude_deg}: {} days, {}", drawn.days, gale(&drawn));
        assert!(
            on.iter().any(|course| course.days <= drawn.days + NEAR_DAYS
                && gale(course) <= gale(&drawn) + NEAR_SHARE),
            "{told}"
        );
        assert!(
            !on.iter()
                .any(|course| drawn.days <= course.days && gale(&drawn) <= gale(course)),
            "{told}"
        );
    }
}
