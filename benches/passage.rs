//! How long a walk and an ensemble take on the demonstration voyage.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use offing::passage::{EnsembleOptions, EnsembleRunner, Walk};
use offing::voyage::Voyage;

fn walk(c: &mut Criterion) {
    let voyage = Voyage::demo().unwrap();
    let climate = voyage.open_climate().unwrap();
    c.bench_function("expected walk, Direct", |b| {
        b.iter(|| {
            let walk = voyage.walk(&voyage.routes[1], &climate).unwrap();
            assert!(matches!(walk, Walk::Arrives(passage) if passage.days > 20.0));
        })
    });
}

/// One thread, so that the rate is that of a core.
fn ensemble(c: &mut Criterion) {
    let voyage = Voyage::demo().unwrap();
    let climate = voyage.open_climate().unwrap();
    let options = EnsembleOptions {
        members: 16_384,
        ..EnsembleOptions::default()
    };
    let runner = || EnsembleRunner::new(&voyage.boat, &voyage.routes, &climate, options);
    let made = runner();
    let run = || made.run(1, voyage.departure).unwrap();
    let steps_a_member = run().days.mean.unwrap() * 8.0;

    let core = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .unwrap();
    let mut group = c.benchmark_group("ensemble");
    group.sample_size(20);
    group.throughput(Throughput::Elements(
        (steps_a_member * options.members as f64) as u64,
    ));
    group.bench_function("member-steps on one core", |b| {
        b.iter(|| assert!(core.install(run).days.p50.is_some()))
    });
    group.finish();
    c.bench_function("table of winds", |b| b.iter(runner));
}

criterion_group!(benches, walk, ensemble);
criterion_main!(benches);
