//! Reading a climate, measuring one, sampling it, and shares of the wind.

use std::hint::black_box;
use std::path::{Path, PathBuf};

use criterion::{Criterion, criterion_group, criterion_main};
use offing::climate::{
    Climate, Region, SeasonDay, SourceOptions, Unfinished, Wind, WindSeries, measure_winds,
};
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

/// A month of hourly winds on a grid of 2 degrees, packed and deflated, a step a chunk; invented.
fn hourly(folder: &Path) -> PathBuf {
    let path = folder.join("hourly.nc");
    let [steps, rows, columns] = [744, 91, 180];
    let mut file = netcdf::create(&path).unwrap();
    let axes = [
        ("time", "hours since 2020-01-01", steps, 0.0, 1.0),
        ("latitude", "degrees_north", rows, -90.0, 2.0),
        ("longitude", "degrees_east", columns, 0.0, 2.0),
    ];
    for (name, units, count, first, apart) in axes {
        file.add_dimension(name, count).unwrap();
        let values: Vec<f64> = (0..count)
            .map(|place| first + apart * place as f64)
            .collect();
        let mut variable = file.add_variable::<f64>(name, &[name]).unwrap();
        variable.put_attribute("units", units).unwrap();
        variable.put_values(&values, ..).unwrap();
    }
    let mut state = 1_u32;
    for name in ["u10", "v10"] {
        let dimensions = ["time", "latitude", "longitude"];
        let mut variable = file.add_variable::<i16>(name, &dimensions).unwrap();
        variable.set_chunking(&[1, rows, columns]).unwrap();
        variable.set_compression(1, true).unwrap();
        variable.put_attribute("units", "m s-1").unwrap();
        variable.put_attribute("scale_factor", 0.001).unwrap();
        let mut value = 0_i32;
        let stored: Vec<i16> = (0..steps * rows * columns)
            .map(|_| {
                // A walk of the components within 12 m/s.
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                value = (value + (state >> 22) as i32 - 512).clamp(-12_000, 12_000);
                value as i16
            })
            .collect();
        variable.put_values(&stored, ..).unwrap();
    }
    file.close().unwrap();
    path
}

fn measuring(bench: &mut Criterion) {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out.nc");
    let series = WindSeries {
        files: vec![hourly(folder.path())],
        options: SourceOptions::default(),
        area: Region::world(),
        years: None,
        command: "a bench".to_owned(),
        unfinished: Unfinished::beside(&out),
    };
    let mut group = bench.benchmark_group("series");
    group.sample_size(10);
    group.bench_function("measure a month of hours, 2 degrees", |bench| {
        bench.iter(|| measure_winds(&series, &out, "out.nc", &mut |_| {}).unwrap());
    });
    group.finish();
    // A file that `scripts/time_winds.py make twelve` made.
    if let Some(twelve) = std::env::var_os("OFFING_TWELVE") {
        bench.bench_function(
            "read a quarter of a degree, southern Indian Ocean",
            |bench| {
                let options = SourceOptions::default();
                let region = southern_indian_ocean();
                bench.iter(|| Climate::open(Path::new(&twelve), &options, &region).unwrap());
            },
        );
    }
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

criterion_group!(benches, reading, measuring, sampling, shares);
criterion_main!(benches);
