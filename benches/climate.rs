//! Reading a climate, sampling it, and shares of the wind.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use offing::climate::{Climate, Region, SeasonDay, Wind};
use offing::geodesy::Position;
use offing::units::Course;

/// The waters between Australia and Africa.
fn southern_indian_ocean() -> Region {
    Region::between(-50.0, -10.0, 20.0, 125.0)
}

fn reading(bench: &mut Criterion) {
    bench.bench_function("read ship winds, southern Indian Ocean", |bench| {
        bench.iter(|| Climate::ship_winds(black_box(&southern_indian_ocean())).unwrap());
    });
    bench.bench_function("read ship winds, world", |bench| {
        bench.iter(|| Climate::ship_winds(black_box(&Region::world())).unwrap());
    });
}

fn sampling(bench: &mut Criterion) {
    let climate = Climate::ship_winds(&southern_indian_ocean()).unwrap();
    let place = Position::new(-31.3, 71.7).unwrap();
    let season = SeasonDay::from_days(130.0);
    bench.bench_function("climate at a place and season", |bench| {
        bench.iter(|| climate.at(black_box(place), black_box(season)).unwrap());
    });
}

fn shares(bench: &mut Criterion) {
    for (name, wind) in [
        (
            "trade wind",
            Wind {
                u_ms: -6.5,
                v_ms: 3.5,
                s_ms: 2.2,
            },
        ),
        (
            "westerlies",
            Wind {
                u_ms: 5.0,
                v_ms: -1.0,
                s_ms: 5.5,
            },
        ),
    ] {
        let course = Course::from_deg(275.0);
        bench.bench_function(&format!("{name}: gale share"), |bench| {
            bench.iter(|| black_box(&wind).share_at_or_above(17.5));
        });
        bench.bench_function(&format!("{name}: headwind share"), |bench| {
            bench.iter(|| black_box(&wind).share_within(course, 60.0));
        });
        bench.bench_function(&format!("{name}: hard beat share"), |bench| {
            bench.iter(|| black_box(&wind).share_within_at_or_above(course, 60.0, 10.3));
        });
        bench.bench_function(&format!("{name}: rose"), |bench| {
            bench.iter(|| black_box(&wind).rose());
        });
    }
}

criterion_group!(benches, reading, sampling, shares);
criterion_main!(benches);
