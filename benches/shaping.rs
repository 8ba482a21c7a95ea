//! Time to shape the demonstration's course, and to search its grid frozen at departure.
//!
//! With `OFFING_GRAPH` set to a folder, the frozen grid is written there as `nodes.csv` and
//! `arcs.csv` first, for `scripts/reference/shaping.py` to search with other software.

use std::fmt::Write as _;
use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use offing::climate::Climate;
use offing::route::Land;
use offing::shaping::{
    FixedGraph, Hardship, Label, Limits, Shaper, Task, corners_of, least_cost, search_region,
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

criterion_group!(benches, shaping);
criterion_main!(benches);
