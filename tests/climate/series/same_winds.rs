//! However the files are cut, ordered and laid out, and in whichever calendar: the same winds.

use std::fs;
use std::path::{Path, PathBuf};

use offing::climate::{Month, Region};

use super::writing::{SeriesFile, has, mean, measured, measured_part, values};
use crate::noise::Noise;

/// Two years, each day four times, invented.
fn series() -> SeriesFile {
    let steps = 730 * 4;
    let hours = (0..steps).map(|step| 6.0 * f64::from(step)).collect();
    let file = SeriesFile::new(hours);
    let mut noise = Noise(3);
    let mut random: Vec<f64> = Vec::new();
    random.resize_with(2 * file.times.len() * file.nodes(), || {
        6.0 * noise.gaussian()
    });
    let (nodes, half) = (file.nodes(), file.times.len() * file.nodes());
    file.with("u10", |step, node| random[step * nodes + node])
        .with("v10", |step, node| random[half + step * nodes + node])
}

fn bytes(folder: &Path, files: &[PathBuf]) -> Vec<u8> {
    measured(folder, files).unwrap();
    // What the files are called is in the result; all else must not differ.
    let file = netcdf::open(folder.join("out.nc")).unwrap();
    let mut all = Vec::new();
    for variable in file.variables() {
        all.extend(variable.name().into_bytes());
        all.extend(variable.get_raw_values(..).unwrap());
    }
    all
}

#[test]
fn order_and_split_of_the_files_change_no_bit() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let whole = series();
    let together = bytes(folder, &[whole.write(folder, "whole.nc")]);

    let all: Vec<usize> = (0..whole.times.len()).collect();
    // In uneven parts, one of a single step, which begin within days; and by variable.
    let cuts = [0, 7, 8, 130, 131, 1460, 2001, all.len()];
    let mut parts: Vec<PathBuf> = Vec::new();
    for (number, cut) in cuts.windows(2).enumerate() {
        let part = whole.steps(&all[cut[0]..cut[1]]);
        for name in ["u10", "v10"] {
            let file = format!("{}-{name}.nc", 90 - number);
            parts.push(part.only(name).write(folder, &file));
        }
    }
    assert!(bytes(folder, &parts) == together, "split");
    parts.reverse();
    assert!(bytes(folder, &parts) == together, "the other way round");

    let backwards: Vec<usize> = all.iter().rev().copied().collect();
    let backwards = whole.steps(&backwards).write(folder, "backwards.nc");
    assert!(bytes(folder, &[backwards]) == together, "backwards in time");

    let turned = SeriesFile {
        time_last: true,
        ..whole.clone()
    };
    let turned = turned.write(folder, "turned.nc");
    assert!(bytes(folder, &[turned]) == together, "time last");
}

/// The same files, named in another order, give the same file, byte for byte.
#[test]
fn the_same_files_give_the_same_file() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let whole = series();
    let mut files =
        ["u10", "v10"].map(|name| whole.only(name).write(folder, &format!("{name}.nc")));
    measured(folder, &files).unwrap();
    let first = fs::read(folder.join("out.nc")).unwrap();
    files.reverse();
    measured(folder, &files).unwrap();
    assert!(fs::read(folder.join("out.nc")).unwrap() == first);
}

/// Monthly winds of three equal years are their own climate, with nothing between the years.
#[test]
fn equal_years_give_back_the_climate() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let edges = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365];
    let middle = |month: usize| {
        let (year, month) = (month / 12, month % 12);
        24.0 * (365.0 * year as f64 + 0.5 * f64::from(edges[month] + edges[month + 1]))
    };
    let file = SeriesFile::new((0..36).map(middle).collect())
        .with("u10", |step, node| (step % 12) as f64 - 0.5 * node as f64)
        .with("v10", |step, _| -0.25 * (step % 12) as f64)
        .with("si10", |step, _| 8.0 + (step % 12) as f64);
    let winds = measured(folder, &[file.write(folder, "months.nc")]).unwrap();
    assert_eq!((winds.spacing.as_str(), winds.years.len()), ("monthly", 3));
    let [u, speed] = ["u", "speed"].map(|name| values(folder, name));
    for (place, u) in u.iter().enumerate() {
        let (month, node) = (place / 6, place % 6);
        assert!(
            (u - (month as f64 - 0.5 * node as f64)).abs() < 1e-9,
            "{place}: {u}"
        );
        assert!((speed[place] - 8.0 - month as f64).abs() < 1e-9);
    }
    for name in [
        "u_year_variance",
        "v_year_variance",
        "u_anomaly",
        "speed_anomaly",
    ] {
        assert!(
            values(folder, name).iter().all(|value| *value == 0.0),
            "{name}"
        );
    }
    // Months hold no gales, no variance within them and no memory.
    for name in ["u_variance", "gale_share", "slow_share", "lag_correlation"] {
        assert!(!has(folder, name), "{name}");
    }
}

/// The wind is the month's number, twice a day; every calendar's months must come out whole.
#[test]
fn every_calendar_keeps_its_months() {
    for (calendar, lengths) in [
        ("standard", [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]),
        (
            "gregorian",
            [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31],
        ),
        (
            "proleptic_gregorian",
            [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31],
        ),
        ("julian", [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]),
        ("noleap", [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]),
        ("365_day", [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]),
        ("all_leap", [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]),
        ("366_day", [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]),
        ("360_day", [30; 12]),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let months: Vec<usize> = (0..12)
            .flat_map(|month| std::iter::repeat_n(month + 1, 2 * lengths[month]))
            .collect();
        let times = (0..months.len()).map(|step| 0.5 * step as f64).collect();
        let file = SeriesFile {
            calendar: Some(calendar),
            units: "days since 2001-01-01 00:00:0.0".to_owned(),
            ..SeriesFile::new(times)
        };
        let file = file
            .with("u10", |step, _| months[step] as f64)
            .with("v10", |_, _| 1.0);
        let winds = measured(folder.path(), &[file.write(folder.path(), "a.nc")]).unwrap();
        assert_eq!(winds.missing_steps, 0, "{calendar}");
        for (place, u) in values(folder.path(), "u").iter().enumerate() {
            assert!((u - (place / 6 + 1) as f64).abs() < 1e-6, "{calendar}: {u}");
        }
        for (month, length) in winds.months.iter().zip(lengths) {
            assert_eq!(
                month.steps as usize,
                2 * length,
                "{calendar} {}",
                month.month
            );
        }
    }
}

/// Leap days of real calendars, by the whole of 2004.
#[test]
fn a_leap_year_has_its_day() {
    let folder = tempfile::tempdir().unwrap();
    let file = SeriesFile {
        units: "hours since 2004-01-01".to_owned(),
        ..SeriesFile::new((0..366).map(|day| 24.0 * f64::from(day)).collect())
    };
    let file = file
        .with("u10", |step, _| step as f64 / 10.0)
        .with("v10", |_, _| 1.0);
    let winds = measured(folder.path(), &[file.write(folder.path(), "a.nc")]).unwrap();
    assert_eq!(winds.months[1].steps, 29);
    assert_eq!(winds.last.as_deref(), Some("2004-12-31 00:00"));
}

#[test]
fn an_area_over_the_antimeridian_and_some_years_are_kept() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let months = 48;
    let times = (0..months)
        .map(|month| 24.0 * (15.0 + 30.4375 * f64::from(month)))
        .collect();
    let file = SeriesFile {
        longitudes_deg: (0..36).map(|column| 10.0 * f64::from(column)).collect(),
        ..SeriesFile::new(times)
    };
    let file = file
        .with("u10", |step, node| {
            (step / 12) as f64 + 0.1 * (node % 36) as f64
        })
        .with("v10", |_, _| 0.0);
    let file = file.write(folder, "world.nc");
    let area = Region::between(-29.5, -28.5, 165.0, -165.0);
    let winds = measured_part(folder, &[file], area, Some((2002, 2003))).unwrap();
    assert_eq!(winds.years, [2002, 2003]);
    assert_eq!((winds.rows, winds.columns), (2, 5));
    // Columns at 160, 170, 180, 190 and 200 degrees, in years of 1 and 2.
    let u = values(folder, "u");
    for (column, expected) in [3.1, 3.2, 3.3, 3.4, 3.5].into_iter().enumerate() {
        assert!(
            (u[column] - expected).abs() < 1e-6,
            "{column}: {}",
            u[column]
        );
    }
    assert_eq!(winds.area.west_deg, 160.0);
    let anomalies = values(folder, "u_anomaly");
    assert!((mean(&anomalies[..120]) + 0.5).abs() < 1e-6);
    assert!((mean(&anomalies[120..]) - 0.5).abs() < 1e-6);
}

/// Steps stamped at the end of the months they are the means of: bounds say so, or whole years do.
#[test]
fn a_months_bounds_say_which_month_it_is() {
    let edges: Vec<f64> = (0..=24).map(|month| 30.0 * f64::from(month)).collect();
    let mut file = SeriesFile {
        calendar: Some("360_day"),
        units: "days since 2001-01-01".to_owned(),
        bounds: Some(edges.windows(2).map(|pair| [pair[0], pair[1]]).collect()),
        ..SeriesFile::new(edges[1..].to_vec())
    };
    file = file
        .with("u10", |step, _| (step % 12) as f64)
        .with("v10", |_, _| 0.0);
    for with_bounds in [true, false] {
        if !with_bounds {
            file.bounds = None;
        }
        let folder = tempfile::tempdir().unwrap();
        let winds = measured(folder.path(), &[file.write(folder.path(), "a.nc")]).unwrap();
        let u = values(folder.path(), "u");
        for month in Month::ALL {
            let expected = f64::from(month.number()) - 1.0;
            let place = usize::from(month.number() - 1) * 6;
            assert!((u[place] - expected).abs() < 1e-6, "{month}");
        }
        let said = winds
            .notes
            .iter()
            .any(|note| note.contains("months that end then"));
        assert_eq!(said, !with_bounds);
    }
}
