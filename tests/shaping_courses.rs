//! Shaped courses against geometry, against a wind field whose fastest way is known, and on the
//! demonstration voyage.

use jiff::civil::{Date, date};
use offing::boat::{Boat, Handling, Polar};
use offing::climate::{Climate, LocalClimate, Region, SeasonDay, Wind, in_season};
use offing::geodesy::{Earth, GreatCircle, LegKind, LegTrack, Position, Step};
use offing::passage::{GALE_KN, Voyage, Walk, walk_expected};
use offing::shaping::{
    Hardship, KeepOut, Limits, OpenOcean, Shaped, Shaper, Shore, Task, Winds, corners_of,
    search_region,
};
use offing::units::{METRES_PER_NM, MS_PER_KN};

/// How much slower than the geodesic the answer may be in a wind that is the same everywhere.
const GEODESIC_SHARE: f64 = 0.003;
/// How far from the analytic optimum its time may be.
const OPTIMUM_SHARE: f64 = 0.005;
/// A course along corners that a polygon forces is found this closely.
const CORNER_SHARE: f64 = 0.003;
/// How densely a course is looked at for limits, in nautical miles.
const DENSE_NM: f64 = 2.0;
/// What rounding of a polygon's edge against a great circle comes to, in degrees: not told apart.
const EDGE_ROOM_DEG: f64 = 1e-3;

const DEPARTURE: Date = date(2027, 5, 1);

fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).unwrap()
}

/// A boat that sails half the wind's speed on any heading.
fn round_boat() -> Boat {
    let mut text = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n".to_owned();
    for wind_kn in [10, 20, 30, 40] {
        for angle_deg in [0, 60, 120, 180] {
            text += &format!("{wind_kn},{angle_deg},{}\n", wind_kn / 2);
        }
    }
    let polar = Polar::parse(&text, "round.csv").unwrap();
    Boat::new(&polar, 1.0, None, Handling::default()).unwrap()
}

fn local(u_ms: f64, v_ms: f64) -> Option<LocalClimate> {
    Some(LocalClimate {
        wind: Wind {
            u_ms,
            v_ms,
            s_ms: 0.5,
        },
        air_temperature_c: None,
        replaced_share: None,
    })
}

fn task<'a>(
    winds: &'a dyn Winds,
    shore: &'a dyn Shore,
    boat: &'a Boat,
    [from, to]: [Position; 2],
    region: Region,
) -> Task<'a> {
    Task {
        winds,
        shore,
        boat,
        departure: DEPARTURE,
        from,
        to,
        drawn: Vec::new(),
        sampling: Step::default(),
        region,
        grid_deg: 2.0,
    }
}

fn length_nm(corners: &[Position]) -> f64 {
    let legs = corners.windows(2);
    legs.map(|pair| {
        GreatCircle::between(Earth::WGS84, pair[0], pair[1])
            .unwrap()
            .length_nm()
    })
    .sum()
}

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

/// A made-up island: a square in longitude and latitude.
struct Island {
    south_deg: f64,
    north_deg: f64,
    west_deg: f64,
    east_deg: f64,
}

impl Island {
    fn distance_nm(&self, place: Position) -> f64 {
        let near = at(
            place.latitude_deg().clamp(self.south_deg, self.north_deg),
            place.longitude_deg().clamp(self.west_deg, self.east_deg),
        );
        GreatCircle::between(Earth::WGS84, place, near).map_or(0.0, |circle| circle.length_nm())
    }
}

impl Shore for Island {
    fn is_land(&self, place: Position) -> bool {
        (self.south_deg..=self.north_deg).contains(&place.latitude_deg())
            && (self.west_deg..=self.east_deg).contains(&place.longitude_deg())
    }
    fn meets_land(&self, from: Position, to: Position) -> bool {
        (0..=20).any(|step| {
            let share = f64::from(step) / 20.0;
            let mix = |a: f64, b: f64| a + share * (b - a);
            self.is_land(at(
                mix(from.latitude_deg(), to.latitude_deg()),
                mix(from.longitude_deg(), to.longitude_deg()),
            ))
        })
    }
    fn is_nearer_than_nm(&self, place: Position, distance_nm: f64) -> bool {
        self.distance_nm(place) < distance_nm
    }
}

struct Demo {
    voyage: Voyage,
    climate: Climate,
    region: Region,
}

fn demo(departure: Date) -> Demo {
    let mut voyage = Voyage::demo().unwrap();
    voyage.leave_on(departure).unwrap();
    let region = Region::between(-52.0, -6.0, 20.0, 126.0);
    let climate = voyage
        .open_climate_of(&Region::between(-58.0, 0.0, 14.0, 132.0))
        .unwrap();
    Demo {
        voyage,
        climate,
        region,
    }
}

impl Demo {
    fn task<'a>(&'a self, shore: &'a dyn Shore) -> Task<'a> {
        let waypoints = self.voyage.routes[0].waypoints();
        Task {
            departure: self.voyage.departure,
            drawn: self.voyage.routes.iter().map(corners_of).collect(),
            ..task(
                &self.climate,
                shore,
                &self.voyage.boat,
                [
                    waypoints[0].position,
                    waypoints[waypoints.len() - 1].position,
                ],
                self.region,
            )
        }
    }

    fn walk(&self, shaped: &Shaped) -> offing::passage::ExpectedPassage {
        let route = shaped.route("Shaped", ["Fremantle", "Durban"]).unwrap();
        match walk_expected(&self.voyage, &route, &self.climate).unwrap() {
            Walk::Arrives(passage) => passage,
            Walk::Stalls(stall) => panic!("stalls at {}", stall.position),
        }
    }

    /// Every place along a course with the day the boat is there, by the expected walk over short
    /// legs.
    fn dense(&self, shaped: &Shaped) -> Vec<(Position, SeasonDay)> {
        let mut corners = vec![shaped.corners[0]];
        for pair in shaped.corners.windows(2) {
            let track = LegTrack::new(pair[0], pair[1], LegKind::GreatCircle).unwrap();
            let segments = track.segments(self.voyage.step);
            corners.extend(segments.iter().map(|segment| {
                let end_nm = segment.start_nm + segment.length_nm;
                track.at_nm(end_nm).unwrap().position
            }));
        }
        let cut = Shaped {
            corners,
            ..shaped.clone()
        };
        let mut places = Vec::new();
        for leg in &self.walk(&cut).legs {
            let track = LegTrack::new(leg.ends[0], leg.ends[1], LegKind::GreatCircle).unwrap();
            let count = (track.length_nm() / DENSE_NM).ceil();
            for index in 0..=count as u32 {
                let share = f64::from(index) / count;
                let hours = leg.elapsed_hours - leg.hours * (1.0 - share);
                let day = SeasonDay::from_date(self.voyage.departure).plus_hours(hours);
                let along_nm = share * track.length_nm();
                places.push((track.at_nm(along_nm).unwrap().position, day));
            }
        }
        places
    }
}

#[test]
fn on_the_demonstration_no_route_drawn_is_faster() {
    let demo = demo(DEPARTURE);
    let shaper = Shaper::new(demo.task(&OpenOcean)).unwrap();
    let shaped = shaper.fastest(&Limits::default()).unwrap();
    let walked = demo.walk(&shaped);
    // The table and the walk's own nodes are two ways to one mean.
    assert!((walked.days() / shaped.days - 1.0).abs() < 0.002);
    assert!(!shaped.waiting_pays);
    for route in &demo.voyage.routes {
        let Walk::Arrives(drawn) = walk_expected(&demo.voyage, route, &demo.climate).unwrap()
        else {
            continue;
        };
        assert!(
            walked.days() <= drawn.days(),
            "{} days, {} by {}",
            walked.days(),
            drawn.days(),
            route.name()
        );
    }
}

#[test]
fn limits_of_place_are_kept_all_along() {
    const OFF_LAND_NM: f64 = 120.0;
    let demo = demo(DEPARTURE);
    let island = Island {
        south_deg: -34.5,
        north_deg: -26.0,
        west_deg: 68.0,
        east_deg: 73.0,
    };
    let shaper = Shaper::new(demo.task(&island)).unwrap();
    let off_land = Limits {
        southernmost_deg: Some(-38.0),
        northernmost_deg: Some(-20.0),
        off_land_nm: Some(OFF_LAND_NM),
        ..Limits::default()
    };
    // An area right across where the course would go without it.
    let without = demo.dense(&shaper.fastest(&off_land).unwrap());
    let crossed = without
        .iter()
        .find(|(place, _)| place.longitude_deg() < 93.0)
        .unwrap();
    let [south_deg, north_deg] = [-0.7, 1.2].map(|off| crossed.0.latitude_deg() + off);
    let text = format!(
        r#"{{"type": "Feature", "properties": null, "geometry": {{"type": "Polygon",
        "coordinates": [[[91, {south_deg}], [95, {south_deg}], [95, {north_deg}],
        [91, {north_deg}], [91, {south_deg}]]]}}}}"#
    );
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("areas.geojson");
    std::fs::write(&file, text).unwrap();
    let limits = Limits {
        keep_out: KeepOut::read(&file).unwrap(),
        ..off_land
    };
    let inside = |value: f64, low: f64, high: f64| {
        value > low + EDGE_ROOM_DEG && value < high - EDGE_ROOM_DEG
    };
    for (place, _) in demo.dense(&shaper.fastest(&limits).unwrap()) {
        assert!((-38.0..=-20.0).contains(&place.latitude_deg()), "{place}");
        assert!(island.distance_nm(place) >= OFF_LAND_NM, "{place}");
        assert!(
            !(inside(place.longitude_deg(), 91.0, 95.0)
                && inside(place.latitude_deg(), south_deg, north_deg)),
            "{place}"
        );
    }
    let free = demo.dense(&shaper.fastest(&Limits::default()).unwrap());
    assert!(
        free.iter()
            .any(|(place, _)| island.distance_nm(*place) < OFF_LAND_NM)
    );
}

#[test]
fn limits_of_the_season_are_kept_all_along() {
    const GALE: f64 = 0.008;
    const AIR_C: f64 = 17.0;
    let demo = demo(DEPARTURE);
    let shaper = Shaper::new(demo.task(&OpenOcean)).unwrap();
    let limits = Limits {
        most_gale: Some(GALE),
        coldest_air_c: Some(AIR_C),
        ..Limits::default()
    };
    // The most gale and the coldest air on a course.
    let worst = |shaped: &Shaped| {
        let met = demo.dense(shaped).into_iter().map(|(place, day)| {
            let (latitude_deg, longitude_deg) = (place.latitude_deg(), place.longitude_deg());
            let local = demo.climate.at(latitude_deg, longitude_deg, day).unwrap();
            let gale = local.wind.share_at_or_above(GALE_KN * MS_PER_KN);
            (gale, local.air_temperature_c.unwrap())
        });
        met.fold((0.0_f64, f64::INFINITY), |worst, here| {
            (worst.0.max(here.0), worst.1.min(here.1))
        })
    };
    let (gale, air_c) = worst(&shaper.fastest(&limits).unwrap());
    assert!(gale <= GALE && air_c >= AIR_C, "{gale}, {air_c} °C");
    let (gale, air_c) = worst(&shaper.fastest(&Limits::default()).unwrap());
    assert!(gale > GALE && air_c < AIR_C, "{gale}, {air_c} °C");
}

/// South of the cyclone waters of the Indian Ocean, with more wind to the north: the fastest course
/// runs up into them; in the season it is kept out, out of season it is let in.
#[test]
fn cyclone_basins_are_kept_out_of_in_their_season() {
    let boat = round_boat();
    let winds = |place: Position, _: SeasonDay| {
        let speed_kn = 4.8 + 0.8 * (place.latitude_deg() + 31.0);
        local(0.0, 2.0 * speed_kn.max(0.5) * MS_PER_KN)
    };
    let ends = [at(-31.0, 60.0), at(-31.0, 76.0)];
    let limits = Limits {
        avoid_cyclones: true,
        ..Limits::default()
    };
    for (departure, season) in [(date(2027, 1, 10), true), (date(2027, 6, 10), false)] {
        let region = Region::between(-36.0, -20.0, 56.0, 80.0);
        let shaper = Shaper::new(Task {
            departure,
            ..task(&winds, &OpenOcean, &boat, ends, region)
        })
        .unwrap();
        let shaped = shaper.fastest(&limits).unwrap();
        let month = SeasonDay::from_date(departure).month();
        let mut northernmost_deg = f64::NEG_INFINITY;
        for pair in shaped.corners.windows(2) {
            let track = LegTrack::new(pair[0], pair[1], LegKind::GreatCircle).unwrap();
            for mile in 0..track.length_nm() as u32 {
                let place = track.at_nm(f64::from(mile)).unwrap().position;
                northernmost_deg = northernmost_deg.max(place.latitude_deg());
                assert_eq!(in_season(place, month), None, "{place}");
            }
        }
        // The basin reaches to 30 S.
        assert_eq!(northernmost_deg < -30.0, season, "{northernmost_deg}");
    }
}

/// The message of a task that cannot be done.
fn refusal(demo: &Demo, shore: &dyn Shore, limits: &Limits) -> String {
    let shaper = Shaper::new(demo.task(shore));
    let shaped = shaper.and_then(|shaper| shaper.fastest(limits));
    shaped.unwrap_err().to_string()
}

#[test]
fn what_closes_the_way_is_named_with_the_nearest_value_that_does_not() {
    let demo = demo(DEPARTURE);
    let north = Limits {
        northernmost_deg: Some(-29.0),
        coldest_air_c: Some(19.0),
        ..Limits::default()
    };
    let said = refusal(&demo, &OpenOcean, &north);
    assert!(
        said.starts_with("no route keeps to the limits. 'not north of 29°S' closes the way; the nearest value that leaves a route is: not north of "),
        "{said}"
    );
    assert!(
        said.contains("'air no colder than 19 °C' closes the way"),
        "{said}"
    );

    let little = Limits {
        most_headwind: Some(0.001),
        ..Limits::default()
    };
    let said = refusal(&demo, &OpenOcean, &little);
    assert!(
        said.contains("nearest value that leaves a route is: no more than "),
        "{said}"
    );
}

#[test]
fn ends_that_cannot_be_left_or_reached_are_named() {
    let demo = demo(DEPARTURE);
    let island = Island {
        south_deg: -33.0,
        north_deg: -31.0,
        west_deg: 115.0,
        east_deg: 117.0,
    };
    let said = refusal(&demo, &island, &Limits::default());
    assert!(
        said.starts_with(
            "the start of the passage, 32°03.0'S 115°40.0'E, is on land; the nearest sea is at 3"
        ),
        "{said}"
    );
    let south = Limits {
        southernmost_deg: Some(-31.0),
        ..Limits::default()
    };
    let said = refusal(&demo, &OpenOcean, &south);
    assert!(
        said.ends_with("itself breaks a limit: not south of 31°S"),
        "{said}"
    );
    let wall = Island {
        south_deg: -60.0,
        north_deg: 0.0,
        west_deg: 70.0,
        east_deg: 71.0,
    };
    let said = refusal(&demo, &wall, &Limits::default());
    assert!(
        said.starts_with("no way was found from 32°03.0'S"),
        "{said}"
    );
}

#[test]
fn limits_on_the_whole_passage_are_kept() {
    let demo = demo(DEPARTURE);
    let shaper = Shaper::new(demo.task(&OpenOcean)).unwrap();
    let free = shaper.fastest(&Limits::default()).unwrap();
    let most = 0.5 * free.exposure.headwind;
    let limits = Limits {
        most_headwind: Some(most),
        ..Limits::default()
    };
    let shaped = shaper.fastest(&limits).unwrap();
    assert!(shaped.exposure.headwind <= most);
    assert!(demo.walk(&shaped).exposure.headwind <= most + 0.001);
    assert!(shaped.days > free.days);
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
        assert!(pair[1].exposure.headwind < pair[0].exposure.headwind);
    }
}
