//! A climate measured from a series of known parameters, sailed.

use std::path::Path;
use std::sync::LazyLock;

use jiff::civil::date;
use offing::climate::{Climate, Currents, MeasuredFigure, Month, SeasonDay, Wind, WindScatter};
use offing::passage::{Ensemble, EnsembleOptions, EnsembleRunner, Walk, standard_error};
use offing::units::quantile_of_unsorted;
use offing::voyage::CurrentChoice;
use offing::{LegKind, Position, Route, Voyage, Waypoint};

use crate::noise::Noise;
use crate::series_files::{SeriesFile, measured};

const YEARS: usize = 30;
/// A year of 360 days, four steps a day.
const STEPS: usize = YEARS * 360 * 4;
const STEP_HOURS: f64 = 6.0;
const SLOW_HOURS: f64 = 400.0;
const SLOW_SHARE: f64 = 0.35;
const FAST_HOURS: f64 = 40.0;
const NODES: usize = 4;
const MEAN_MS: [f64; 2] = [-3.0, 2.0];
/// Standard deviation of u, the part of v that goes with it, and the part that does not.
const SCATTER_MS: [f64; 3] = [5.0, 1.5, 3.5];
const WAVES_M: f64 = 2.4;
const CURRENT_MS: [f64; 2] = [-0.25, 0.10];

/// A climate measured from such winds, alike and independent at four nodes 20 degrees and more apart.
struct Made {
    climate: Climate,
    voyage: Voyage,
    _folder: tempfile::TempDir,
}

fn write_series(folder: &Path) -> std::path::PathBuf {
    let mut noise = Noise(11);
    let keeps = [FAST_HOURS, SLOW_HOURS].map(|hours| (-STEP_HOURS / hours).exp());
    let shares = [1.0 - SLOW_SHARE, SLOW_SHARE].map(f64::sqrt);
    let mut winds = vec![[[0.0; 2]; NODES]; STEPS];
    for node in 0..NODES {
        let mut parts = [[0.0; 2]; 2].map(|pair| pair.map(|_: f64| noise.gaussian()));
        for step in &mut winds {
            let [x, y] = parts.map(|[fast, slow]| shares[0] * fast + shares[1] * slow);
            let [east, with, north] = SCATTER_MS;
            step[node] = [MEAN_MS[0] + east * x, MEAN_MS[1] + with * x + north * y];
            for (value, keep) in parts.iter_mut().flatten().zip(keeps.into_iter().cycle()) {
                *value = keep * *value + (1.0 - keep * keep).sqrt() * noise.gaussian();
            }
        }
    }
    let hours = (0..STEPS).map(|step| STEP_HOURS * step as f64).collect();
    let mut file = SeriesFile {
        calendar: Some("360_day"),
        latitudes_deg: vec![-40.0, -20.0],
        longitudes_deg: vec![50.0, 100.0],
        ..SeriesFile::new(hours)
    }
    .with("u10", |step, node| winds[step][node][0])
    .with("v10", |step, node| winds[step][node][1])
    .with("uo", |_, _| CURRENT_MS[0])
    .with("vo", |_, _| CURRENT_MS[1])
    .with("swh", |step, _| {
        WAVES_M + if step % 2 == 0 { 0.5 } else { -0.5 }
    });
    file.variables[4].1 = Some("m");
    file.write(folder, "series.nc")
}

static MADE: LazyLock<Made> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let series = write_series(folder.path());
    measured(folder.path(), &[series]).unwrap();
    let mut voyage = Voyage::demo().unwrap();
    let place = |latitude_deg, longitude_deg, name: &str| {
        let position = Position::new(latitude_deg, longitude_deg).unwrap();
        Waypoint::new(name, position, LegKind::Rhumb)
    };
    let ends = vec![place(-30.0, 95.0, "from"), place(-28.0, 60.0, "to")];
    voyage.routes = vec![Route::new("west", ends).unwrap()];
    voyage.climate.file = Some(folder.path().join("out.nc"));
    Made {
        climate: voyage.open_climate().unwrap(),
        voyage,
        _folder: folder,
    }
});

fn sailed(climate: &Climate, options: EnsembleOptions) -> Ensemble {
    let voyage = &MADE.voyage;
    EnsembleRunner::new(&voyage.boat, &voyage.routes, climate, options)
        .run(0, date(2027, 5, 1))
        .unwrap()
}

/// The days between P10 and P90, and the standard error of that.
fn spread(ensemble: &Ensemble) -> [f64; 2] {
    let days: Vec<f64> = ensemble
        .each_member()
        .iter()
        .map(|one| one.hours.unwrap() / 24.0)
        .collect();
    let of = |range: std::ops::Range<usize>| {
        let mut days = days[range].to_vec();
        Some(quantile_of_unsorted(&mut days, 0.9)? - quantile_of_unsorted(&mut days, 0.1)?)
    };
    let all = of(0..days.len()).unwrap();
    [all, standard_error(days.len(), of).unwrap()]
}

/// The same memory by what was measured and by options, against the one that is assumed.
#[test]
fn a_measured_memory_spreads_passages_as_the_same_memory_given_does() {
    let made = &*MADE;
    let usual = EnsembleOptions::default();
    let given = EnsembleOptions {
        measured_memory: false,
        fast_hours: FAST_HOURS,
        slow_scale: SLOW_SHARE / usual.slow_share(-29.0),
        ..usual
    };
    let assumed = EnsembleOptions {
        measured_memory: false,
        ..usual
    };
    let [measured, given, assumed] =
        [usual, given, assumed].map(|options| spread(&sailed(&made.climate, options)));
    let place = Position::new(-29.0, 77.0).unwrap();
    let memories = Month::ALL.map(|month| made.climate.memory_in_month(place, month).unwrap());
    let share = memories.iter().map(|memory| memory.slow_share).sum::<f64>() / 12.0;
    let hours = memories.iter().map(|memory| memory.fast_hours).sum::<f64>() / 12.0;
    assert!((share - SLOW_SHARE).abs() < 0.05, "{share} {hours}");
    assert!((hours - FAST_HOURS).abs() < 4.0, "{share} {hours}");
    let off = |other: [f64; 2]| (measured[0] - other[0]) / measured[1].hypot(other[1]);
    assert!(off(given).abs() < 2.0, "{measured:?} {given:?}");
    assert!(off(assumed) > 3.0, "{measured:?} {assumed:?}");
}

/// A swing moves what was measured.
#[test]
fn a_measured_memory_is_scaled() {
    let made = &*MADE;
    let usual = EnsembleOptions::default();
    let wide = |options| spread(&sailed(&made.climate, options))[0];
    let scaled = |slow_scale, fast_scale| {
        wide(EnsembleOptions {
            slow_scale,
            fast_scale,
            ..usual
        })
    };
    let base = wide(usual);
    assert!(scaled(0.0, 1.0) < base && base < scaled(2.0, 1.0));
    assert!(scaled(1.0, 0.75) < base && base < scaled(1.0, 1.5));
}

#[test]
fn what_was_measured_is_read_back() {
    let climate = &MADE.climate;
    use MeasuredFigure::*;
    assert_eq!(
        climate.measured(),
        [Scatter, Memory, GalesAndCalms, WaveHeight]
    );
    let place = Position::new(-29.0, 77.0).unwrap();
    let day = SeasonDay::from_date(date(2027, 5, 20));
    // The packing keeps a thousandth.
    assert!((climate.wave_height_at(place, day).unwrap() - WAVES_M).abs() < 0.002);
    let Currents::Field(field) = climate.currents() else {
        panic!("no currents");
    };
    assert!(field.is_of_the_climate() && field.is_monthly());
    let current = climate.current_at(place, day);
    // 1852 m to the nautical mile.
    let kn = CURRENT_MS.map(|ms| ms * 3600.0 / 1852.0);
    assert!((current.east_kn - kn[0]).abs() < 0.002, "{current:?}");
    assert!((current.north_kn - kn[1]).abs() < 0.002, "{current:?}");
    // The mean of twelve months of 30 years; a month's own has a sampling error of a tenth and more.
    let mean = |of: &dyn Fn(WindScatter) -> f64| {
        let months = Month::ALL.iter();
        let sum: f64 = months
            .map(|month| of(climate.scatter_in_month(place, *month).unwrap()))
            .sum();
        sum / 12.0
    };
    assert!((mean(&|scatter| scatter.east_ms) - SCATTER_MS[0]).abs() < 0.3);
    assert!((mean(&|scatter| scatter.north_with_east_ms) - SCATTER_MS[1]).abs() < 0.3);
    assert!((mean(&|scatter| scatter.north_ms) - SCATTER_MS[2]).abs() < 0.3);
}

#[test]
fn currents_of_the_climate_give_way_to_those_asked_for() {
    let made = &*MADE;
    let mut voyage = made.voyage.clone();
    voyage.current = CurrentChoice::Drifters;
    let drifters = voyage.open_climate().unwrap();
    let Currents::Field(field) = drifters.currents() else {
        panic!("no currents");
    };
    assert!(!field.is_of_the_climate());
    voyage.current = CurrentChoice::None;
    assert_eq!(*voyage.open_climate().unwrap().currents(), Currents::None);
}

#[test]
fn the_walk_meets_what_was_counted_and_measured() {
    let made = &*MADE;
    let walk = made
        .voyage
        .walk(&made.voyage.routes[0], &made.climate)
        .unwrap();
    let Walk::Arrives(walk) = walk else {
        panic!("she arrives");
    };
    assert!((walk.measured_wave_height_m.unwrap() - WAVES_M).abs() < 0.002);
    let counted = walk.counted.unwrap();
    // Gaussian winds: the model is right about them, to the sampling error of a series.
    let gale = walk.exposure[offing::passage::ExposureKind::Gale];
    assert!((counted.gale - gale).abs() < 0.004, "{counted:?} {gale}");
    // So do the passages, for the same time or nearly.
    let ensemble = sailed(&made.climate, EnsembleOptions::default());
    let members = ensemble.each_member().iter();
    let (gale_hours, hours) = members.fold((0.0, 0.0), |(gale, all), one| {
        (gale + one.gale_hours, all + one.hours.unwrap())
    });
    let sailed_gale = gale_hours / hours;
    assert!((sailed_gale - gale).abs() < 0.004, "{sailed_gale} {gale}");
    assert!(
        (counted.calm - counted.model_calm).abs() < 0.003,
        "{counted:?}"
    );
    assert!(counted.model_calm > 0.0 && counted.gale > 0.0);
}

/// A climate in which nothing was measured is sailed the same whether what was measured is asked for or
/// not.
#[test]
fn without_a_measured_memory_nothing_changes() {
    let voyage = Voyage::demo().unwrap();
    let climate = voyage.open_climate().unwrap();
    assert_eq!(climate.measured(), []);
    let days = |measured_memory| {
        let options = EnsembleOptions {
            members: 50,
            measured_memory,
            ..EnsembleOptions::default()
        };
        let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, &climate, options);
        let ensemble = runner.run(0, voyage.departure).unwrap();
        let members = ensemble.each_member().iter();
        members
            .map(|one| one.hours.map(f64::to_bits))
            .collect::<Vec<_>>()
    };
    assert_eq!(days(true), days(false));
}

/// What a covariance does, against its closed form.
#[test]
fn a_scatter_has_the_covariances_it_is_made_of() {
    let scatter = WindScatter {
        east_ms: 3.0,
        north_with_east_ms: -1.0,
        north_ms: 2.0,
    };
    let still = Wind {
        u_ms: 0.0,
        v_ms: 0.0,
        s_ms: 1.0,
    };
    let mut noise = Noise(3);
    let (mut uu, mut uv, mut vv) = (0.0, 0.0, 0.0);
    const DRAWS: usize = 200_000;
    for _ in 0..DRAWS {
        let (x, y) = (noise.gaussian(), noise.gaussian());
        let [u, v] = scatter.about(&still, x, y);
        uu += u * u;
        uv += u * v;
        vv += v * v;
    }
    let [uu, uv, vv] = [uu, uv, vv].map(|sum| sum / DRAWS as f64);
    assert!((uu - 9.0).abs() < 0.15 && (uv + 3.0).abs() < 0.15 && (vv - 5.0).abs() < 0.1);
}
