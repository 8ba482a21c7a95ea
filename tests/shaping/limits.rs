//! The crew's limits on a shaped course: that they are kept all along, and what is said of those that
//! cannot be.

use crate::common::{DEPARTURE, Demo, Island, at, demo, local, round_boat, task};
use jiff::civil::date;
use offing::climate::{Region, SeasonDay, StormDays, storm_chance};
use offing::geodesy::{Earth, GreatCircle, LegKind, LegTrack, Position};
use offing::passage::{ExposureKind, GALE_KN};
use offing::route::Land;
use offing::shaping::{KeepOut, Limits, OpenOcean, Shaped, Shaper, Shore, Task};
use offing::units::MS_PER_KN;

/// What rounding of a polygon's edge against a great circle comes to, in degrees: not told apart.
const EDGE_ROOM_DEG: f64 = 1e-3;

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
    let westward = Shaper::new(demo.task(&OpenOcean)).unwrap();
    // Back through the westerlies, where it is colder.
    let Task { from, to, .. } = demo.task(&OpenOcean);
    let eastward = Shaper::new(Task {
        from: to,
        to: from,
        drawn: Vec::new(),
        ..demo.task(&OpenOcean)
    })
    .unwrap();
    let most_gale = Limits {
        most_gale: Some(GALE),
        ..Limits::default()
    };
    let coldest_air = Limits {
        coldest_air_c: Some(AIR_C),
        ..Limits::default()
    };
    // The most gale and the coldest air on a course.
    let worst = |shaped: &Shaped| {
        let met = demo.dense(shaped).into_iter().map(|(place, day)| {
            let local = demo.climate.at(place, day).unwrap();
            let gale = local.wind.share_at_or_above(GALE_KN * MS_PER_KN);
            (gale, local.air_temperature_c.unwrap())
        });
        met.fold((0.0_f64, f64::INFINITY), |worst, here| {
            (worst.0.max(here.0), worst.1.min(here.1))
        })
    };
    let gale = |limits| worst(&westward.fastest(limits).unwrap()).0;
    let [kept, free] = [gale(&most_gale), gale(&Limits::default())];
    assert!(kept <= GALE && free > GALE, "{kept}, {free}");
    let air_c = |limits| worst(&eastward.fastest(limits).unwrap()).1;
    let [kept, free] = [air_c(&coldest_air), air_c(&Limits::default())];
    assert!(kept >= AIR_C && free < AIR_C, "{kept}, {free}");
}

/// At the southern edge of the storms of the Indian Ocean, with more wind to the north: the fastest
/// course runs up into them; in their season it is kept out, out of season it is let in.
#[test]
fn storms_are_kept_out_of_in_their_season() {
    const CHANCE: f64 = 0.09;
    let boat = round_boat();
    let winds = |place: Position, _: SeasonDay| {
        let speed_kn = 4.8 + 0.8 * (place.latitude_deg() + 31.0);
        local(0.0, 2.0 * speed_kn.max(0.5) * MS_PER_KN)
    };
    let ends = [at(-31.0, 60.0), at(-31.0, 76.0)];
    let kept = Limits {
        most_storm_chance: Some(CHANCE),
        ..Limits::default()
    };
    // The greatest chance in a stay of ten days anywhere on a course, at the time she is there.
    let worst = |departure, limits: &Limits| {
        let region = Region::between(-36.0, -20.0, 56.0, 80.0);
        let shaper = Shaper::new(Task {
            departure,
            ..task(&winds, &OpenOcean, &boat, ends, region)
        })
        .unwrap();
        let shaped = shaper.fastest(limits).unwrap();
        let route = shaped.route("Shaped", ["A", "B"]).unwrap();
        let miles = 0..route.length_nm() as u32;
        let chances = miles.map(|mile| {
            let place = route.at_nm(f64::from(mile)).unwrap().1.position;
            let share = f64::from(mile) / route.length_nm();
            let day = SeasonDay::from_date(departure).plus_hours(share * shaped.days * 24.0);
            storm_chance(10.0 * StormDays::observed().at(place).on(day))
        });
        chances.fold(0.0, f64::max)
    };
    let january = date(2027, 1, 10);
    let chance = worst(january, &kept);
    // She does not sail at an even pace, and the rate grows by 2 % a day.
    assert!((0.8 * CHANCE..1.02 * CHANCE).contains(&chance), "{chance}");
    let free = worst(january, &Limits::default());
    assert!(free > 1.1 * CHANCE, "{free}");
    let july = date(2027, 7, 10);
    assert_eq!(worst(july, &kept), worst(july, &Limits::default()));
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
    let most = 0.5 * free.exposure[ExposureKind::Headwind];
    let limits = Limits {
        most_headwind: Some(most),
        ..Limits::default()
    };
    let shaped = shaper.fastest(&limits).unwrap();
    assert!(shaped.exposure[ExposureKind::Headwind] <= most);
    assert!(demo.walk(&shaped).exposure[ExposureKind::Headwind] <= most + 0.001);
    assert!(shaped.days > free.days);
}

/// The demonstration starts 4 nm off the coast with Rottnest Island 6 nm and more to the west: a
/// course out of those waters is as far off all land as asked for, or there is none and the
/// distance that leaves one is named.
#[test]
fn no_greater_distance_off_land_lets_a_course_nearer_to_it() {
    let demo = demo(DEPARTURE);
    let land = Land::natural_earth();
    // To the open ocean, for a test's patience.
    let ends = [
        demo.voyage.routes[0].waypoints()[0].position,
        at(-30.0, 100.0),
    ];
    let region = Region::between(-40.0, -24.0, 94.0, 122.0);
    let shaper = Shaper::new(Task {
        grid_deg: 1.0,
        ..task(&demo.climate, land, &demo.voyage.boat, ends, region)
    })
    .unwrap();
    let mut found = 0;
    for off_land_nm in [2.0, 5.0, 12.0, 20.0] {
        let limits = Limits {
            off_land_nm: Some(off_land_nm),
            ..Limits::default()
        };
        let shaped = match shaper.fastest(&limits) {
            Ok(shaped) => shaped,
            Err(refused) => {
                let said = refused.to_string();
                let closes = format!(
                    "'{off_land_nm} nm off land' closes the way; the nearest value that leaves a \
                     route is: "
                );
                assert!(said.contains(&closes), "{said}");
                let (_, nearest) = said.split_once(&closes).unwrap();
                let nearest_nm: f64 = nearest.split(' ').next().unwrap().parse().unwrap();
                // From the start's waters, 10 nm round, no farther off than that and the 4 nm that
                // it lies off itself.
                assert!((2.0..off_land_nm.min(14.0)).contains(&nearest_nm), "{said}");
                continue;
            }
        };
        found += 1;
        for pair in shaped.corners.windows(2) {
            let track = LegTrack::new(pair[0], pair[1], LegKind::GreatCircle).unwrap();
            // Every tenth of a mile.
            for tenth in 0..=(10.0 * track.length_nm()) as u32 {
                let place = track.at_nm(f64::from(tenth) / 10.0).unwrap().position;
                let end_nm = ends.map(|end| {
                    GreatCircle::between(Earth::WGS84, end, place)
                        .map_or(0.0, |circle| circle.length_nm())
                });
                assert!(
                    end_nm[0].min(end_nm[1]) <= 10.0 || !land.is_nearer_than_nm(place, off_land_nm),
                    "{place} with {off_land_nm} nm"
                );
            }
        }
    }
    assert!(found >= 2, "no course out at 5 nm");
}
