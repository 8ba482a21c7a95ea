//! Time to prepare a leg of 5,000 nm and to sample it every 60 nm, and to solve one rhumb line.
//! Each benchmark also holds its answer.
#![allow(missing_docs)]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use offing::geodesy::{Earth, LegKind, LegTrack, Position, RhumbLine, Step};
use offing::units::METRES_PER_NM;

const KINDS: [(&str, LegKind); 3] = [
    ("great circle", LegKind::GreatCircle),
    ("rhumb", LegKind::Rhumb),
    (
        "composite",
        LegKind::Composite {
            limit_latitude_deg: 45.0,
        },
    ),
];

/// From south of Africa to south of New Zealand: 5,379 nm by great circle.
fn ends() -> (Position, Position) {
    (
        Position::new(-34.0, 18.5).unwrap(),
        Position::new(-43.5, 147.0).unwrap(),
    )
}

fn sample(from: Position, to: Position, kind: LegKind) -> f64 {
    let leg = LegTrack::new(from, to, kind).unwrap();
    let segments = leg.segments(Step::default());
    assert!(segments.len() >= 90);
    let sum_nm: f64 = segments.iter().map(|segment| segment.length_nm).sum();
    assert!((sum_nm - leg.length_nm()).abs() < 1e-6);
    sum_nm
}

fn geodesy(criterion: &mut Criterion) {
    let (from, to) = ends();
    for (name, kind) in KINDS {
        criterion.bench_function(&format!("{name}: prepare and sample"), |bencher| {
            bencher.iter(|| sample(black_box(from), black_box(to), kind));
        });
    }
    criterion.bench_function("rhumb: course and distance", |bencher| {
        let from = Position::new(33.3, 44.4).unwrap();
        let to = Position::new(12.34, 56.78).unwrap();
        bencher.iter(|| {
            let line = RhumbLine::between(Earth::WGS84, black_box(from), black_box(to)).unwrap();
            assert!((line.length_nm() * METRES_PER_NM - 2_641_839.723_966_934_3).abs() < 1e-6);
            line
        });
    });
}

criterion_group!(benches, geodesy);
criterion_main!(benches);
