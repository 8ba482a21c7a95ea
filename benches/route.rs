//! How long the check for land and the reading and writing of route files take.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use offing::geodesy::{LegKind, Position};
use offing::route::{FarFromLand, Land, LandCheck, Route, RouteFile, Waypoint, gpx_text};
use offing::voyage::Voyage;

fn route(kind: LegKind, places: &[(f64, f64)]) -> Route {
    let waypoints = places
        .iter()
        .map(|&(latitude_deg, longitude_deg)| Waypoint {
            name: "W".to_owned(),
            position: Position::new(latitude_deg, longitude_deg).unwrap(),
            reached_by: kind,
            stop: None,
        });
    Route::new("Benched", waypoints.collect()).unwrap()
}

fn land(bench: &mut Criterion) {
    bench.bench_function("load the land", |bench| bench.iter(Land::load));
    let land = Land::natural_earth();
    // About 5,000 nm of open ocean, and farther along coasts and over land.
    let ocean = route(LegKind::GreatCircle, &[(-35.0, 115.0), (-35.0, 7.5)]);
    let coasts = route(
        LegKind::Rhumb,
        &[(60.0, -40.0), (60.0, 20.0), (-5.0, 105.0)],
    );
    for (name, route, crossings) in [("of ocean", ocean, 0..1), ("of coasts", coasts, 1..500)] {
        let length_nm = route.length_nm();
        bench.bench_function(&format!("check {length_nm:.0} nm {name}"), |bench| {
            bench.iter(|| {
                let check = LandCheck::of(black_box(&route), land);
                assert!(crossings.contains(&check.crossings.len()));
            });
        });
        bench.bench_function(
            &format!("how far {length_nm:.0} nm {name} go from land"),
            |bench| {
                bench.iter(|| FarFromLand::of(black_box(&route), land));
            },
        );
    }
}

fn files(bench: &mut Criterion) {
    let routes = Voyage::demo().unwrap().routes;
    bench.bench_function("write the demo's routes as GPX", |bench| {
        bench.iter(|| gpx_text(black_box(&routes)));
    });
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("demo.gpx");
    std::fs::write(&path, gpx_text(&routes)).unwrap();
    bench.bench_function("read them again", |bench| {
        bench.iter(|| RouteFile::read(black_box(&path)).unwrap());
    });
}

criterion_group!(benches, land, files);
criterion_main!(benches);
