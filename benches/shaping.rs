//! Time to shape the demonstration's course, and to search its grid frozen at departure.
//!
//! With `OFFING_GRAPH` set to a folder, the frozen grid is written there as `nodes.csv` and
//! `arcs.csv` first, for `scripts/reference/shaping.py` to search with other software.

use std::fmt::Write as _;
use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use offing::climate::Climate;
use offing::geodesy::Position;
use offing::route::Land;
use offing::shaping::{
    FixedGraph, Hardship, KeepOut, Label, Limits, Shaper, Task, corners_of, least_cost,
    search_region,
};
use offing::voyage::Voyage;

fn task<'a>(voyage: &'a Voyage, climate: &'a Climate, grid_deg: f64) -> Task<'a> {
    let waypoints = voyage.routes[0].waypoints();
    let (from, to) = (
        waypoints[0].position,
        waypoints[waypoints.len() - 1].position,
    );
    Task {
        winds: climate,
        shore: Land::natural_earth(),
        boat: &voyage.boat,
        departure: voyage.departure,
        from,
        to,
        drawn: voyage.routes.iter().map(corners_of).collect(),
        sampling: voyage.step,
        region: search_region(from, to, &voyage.routes),
        grid_deg,
    }
}

fn write_graph(graph: &FixedGraph, folder: &Path) {
    let mut nodes = "node,latitude_deg,longitude_deg\n".to_owned();
    for (node, place) in graph.positions().iter().enumerate() {
        let (latitude_deg, longitude_deg) = (place.latitude_deg(), place.longitude_deg());
        writeln!(nodes, "{node},{latitude_deg},{longitude_deg}").unwrap();
    }
    let mut arcs = "from,to,hours\n".to_owned();
    for arc in graph.arcs() {
        writeln!(arcs, "{},{},{}", arc.from, arc.to, arc.hours).unwrap();
    }
    std::fs::write(folder.join("nodes.csv"), nodes).unwrap();
    std::fs::write(folder.join("arcs.csv"), arcs).unwrap();
    let best = format!("{}\n", graph.best_kn());
    std::fs::write(folder.join("best_kn.txt"), best).unwrap();
}

fn shaping(criterion: &mut Criterion) {
    let voyage = Voyage::demo().unwrap();
    let region = search_region(
        voyage.routes[0].waypoints()[0].position,
        voyage.routes[1].waypoints()[1].position,
        &voyage.routes,
    );
    let climate = voyage.open_climate_of(&region).unwrap();
    let limits = Limits::default();
    let grid_deg = std::env::var("OFFING_GRID").map_or(1.0, |text| text.parse().unwrap());
    let shaper = Shaper::new(task(&voyage, &climate, grid_deg)).unwrap();
    let graph = shaper.frozen(&limits).unwrap();
    if let Some(folder) = std::env::var_os("OFFING_GRAPH") {
        write_graph(&graph, Path::new(&folder));
    }

    criterion.bench_function("frozen grid, search", |bencher| {
        bencher.iter(|| {
            let found = least_cost(
                black_box(&graph),
                graph.end() - 1,
                graph.end(),
                Label::default(),
            );
            found.unwrap().label.hours
        });
    });

    let mut group = criterion.benchmark_group("demonstration");
    group.sample_size(10);
    group.bench_function("make ready", |bencher| {
        bencher.iter(|| {
            Shaper::new(task(&voyage, &climate, grid_deg))
                .map(|_| ())
                .unwrap()
        });
    });
    group.bench_function("shape", |bencher| {
        bencher.iter(|| {
            let shaped = shaper.fastest(black_box(&limits)).unwrap();
            assert!(shaped.days > 30.0);
            shaped
        });
    });
    group.bench_function("trade off", |bencher| {
        bencher.iter(|| {
            let courses = shaper.trade_off(black_box(&limits), Hardship::Headwind);
            let courses = courses.unwrap();
            assert!(courses.len() >= 8);
            courses
        });
    });
}

/// An area of 20,000 corners, and 1,000 lines about it such as a search asks after.
fn keep_out(criterion: &mut Criterion) {
    let corner = |n: u32| {
        let angle = std::f64::consts::TAU * f64::from(n % 20_000) / 20_000.0;
        let radius_deg = 6.0 + 0.5 * (40.0 * angle).sin() + 0.02 * f64::from(n % 2);
        let (east_deg, north_deg) = (radius_deg * angle.cos(), radius_deg * angle.sin());
        format!("[{},{}]", 80.0 + east_deg, north_deg - 10.0)
    };
    let corners: Vec<String> = (0..=20_000).map(corner).collect();
    let text = format!(
        r#"{{"type":"Polygon","coordinates":[[{}]]}}"#,
        corners.join(",")
    );
    let file = std::env::temp_dir().join(format!("offing-{}.geojson", std::process::id()));
    std::fs::write(&file, text).unwrap();
    let mut group = criterion.benchmark_group("area of 20,000 corners");
    group.sample_size(10);
    group.bench_function("read", |bencher| {
        bencher.iter(|| KeepOut::read(black_box(&file)).unwrap());
    });
    let area = KeepOut::read(&file).unwrap();
    std::fs::remove_file(&file).unwrap();
    let at = |n: u32, turn: f64| {
        let spread_deg = (f64::from(n) * turn).sin() * 10.0;
        Position::new(spread_deg - 10.0, 80.0 + (f64::from(n) * 0.7).cos() * 10.0).unwrap()
    };
    let lines: Vec<_> = (0..1000).map(|n| (at(n, 1.3), at(n + 1, 1.1))).collect();
    group.bench_function("1,000 lines", |bencher| {
        bencher.iter(|| {
            let met = lines.iter().filter(|(from, to)| area.meets(*from, *to));
            let met = met.count();
            assert!((100..=1000).contains(&met));
            met
        });
    });
}

criterion_group!(benches, shaping, keep_out);
criterion_main!(benches);
