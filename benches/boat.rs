//! Time to build the table of course made good and to read it, for the demonstration polar.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use offing::boat::{AtSea, CourseMadeGood, Polar, course_made_good_kn};

fn course_made_good(criterion: &mut Criterion) {
    let demo = Polar::parse(include_str!("../fixtures/demo/cutter-12m.csv"), "demo").unwrap();
    let table = CourseMadeGood::new(&demo, &AtSea::NONE);

    criterion.bench_function("course made good, build the table", |bencher| {
        bencher.iter(|| CourseMadeGood::new(black_box(&demo), &AtSea::NONE));
    });

    // Winds and courses in no order, as a passage meets them.
    let places: Vec<(f64, f64)> = (0..1024_u32)
        .map(|i| {
            (
                f64::from(i * 37 % 449) / 10.0,
                f64::from(i * 101 % 1801) / 10.0,
            )
        })
        .collect();
    for &(wind_kn, off_deg) in &places {
        let exact_kn = course_made_good_kn(&demo, wind_kn, off_deg);
        assert!((table.progress_kn(wind_kn, off_deg) - exact_kn).abs() < 0.02);
    }
    criterion.bench_function("course made good, 1024 look-ups", |bencher| {
        bencher.iter(|| {
            let progress = black_box(&places).iter();
            progress
                .map(|&(wind_kn, off_deg)| table.progress_kn(wind_kn, off_deg))
                .sum::<f64>()
        });
    });
}

criterion_group!(benches, course_made_good);
criterion_main!(benches);
