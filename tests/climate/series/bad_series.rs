//! What is wrong with the files is said, or counted.

use super::writing::{SeriesFile, measured, measured_part, refused, values};
use offing::climate::Region;

/// Sixty days, four times a day.
fn plain() -> SeriesFile {
    SeriesFile::new((0..240).map(|step| 6.0 * f64::from(step)).collect())
        .with("u10", |step, node| (step % 7) as f64 - node as f64)
        .with("v10", |step, _| (step % 5) as f64)
}

fn range(from: usize, to: usize) -> Vec<usize> {
    (from..to).collect()
}

#[test]
fn a_time_that_is_there_twice_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let first = plain().steps(&range(0, 121)).write(folder, "a.nc");
    let second = plain().steps(&range(120, 240)).write(folder, "b.nc");
    let said = refused(folder, &[second, first.clone()]);
    for words in [
        "eastward wind of 2001-01-31 00:00 is there twice",
        "a.nc",
        "b.nc",
    ] {
        assert!(said.contains(words), "{said}");
    }
    // The same file named twice is one.
    measured(folder, &[first.clone(), first]).unwrap();
}

#[test]
fn components_of_different_lengths_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let u = plain().only("u10").write(folder, "u.nc");
    let v = plain()
        .only("v10")
        .steps(&range(0, 200))
        .write(folder, "v.nc");
    let said = refused(folder, &[u.clone(), v]);
    let expected = "40 time(s) have the eastward wind but no northward wind, the first 2001-02-20 00:00; \
                    both must have the same times";
    assert_eq!(said, expected);
    let said = refused(folder, &[u]);
    assert!(
        said.contains("no northward wind in any of the 1 file(s)"),
        "{said}"
    );
}

#[test]
fn other_grids_and_calendars_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let first = plain().steps(&range(0, 120)).write(folder, "a.nc");
    let mut other = plain().steps(&range(120, 240));
    other.longitudes_deg = vec![80.0, 82.0, 84.5];
    let said = refused(folder, &[first.clone(), other.write(folder, "b.nc")]);
    assert!(
        said.contains("3 longitudes from 80.000 to 84.500"),
        "{said}"
    );
    assert!(said.contains("all must share one grid"), "{said}");
    other = plain().steps(&range(120, 240));
    other.calendar = Some("360_day");
    let said = refused(folder, &[first, other.write(folder, "c.nc")]);
    assert!(
        said.contains("counts time in the calendar '360_day'"),
        "{said}"
    );
}

/// Latitudes that fall are the same grid.
#[test]
fn rows_from_north_to_south_are_the_same_grid() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let mut second = plain().steps(&range(120, 240));
    second.latitudes_deg.reverse();
    for (_, _, values) in &mut second.variables {
        for step in values.chunks_mut(6) {
            step.rotate_left(3);
        }
    }
    let turned = [
        plain().steps(&range(0, 120)).write(folder, "a.nc"),
        second.write(folder, "b.nc"),
    ];
    measured(folder, &turned).unwrap();
    let got = values(folder, "u");
    measured(folder, &[plain().write(folder, "c.nc")]).unwrap();
    let expected = values(folder, "u");
    for (got, expected) in got.iter().zip(&expected).take(12) {
        assert_eq!(got, expected);
    }
}

#[test]
fn missing_units_dates_and_odd_steps_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let mut file = plain();
    file.variables[1].1 = None;
    let said = refused(folder, &[file.write(folder, "a.nc")]);
    assert!(said.contains("a.nc: variable 'v10' has no units"), "{said}");
    let mut file = plain();
    file.units = "moons".to_owned();
    let said = refused(folder, &[file.write(folder, "b.nc")]);
    assert!(
        said.contains("'time' has units 'moons'; expected a count like"),
        "{said}"
    );
    let mut file = plain();
    file.times = file.times.iter().map(|hours| 20.0 * hours).collect();
    let said = refused(folder, &[file.write(folder, "c.nc")]);
    assert!(said.contains("the steps are mostly 5 days apart"), "{said}");
}

#[test]
fn years_and_areas_that_the_files_do_not_have_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let file = [plain().write(folder, "a.nc")];
    let said = measured_part(folder, &file, Region::world(), Some((1980, 1990)));
    let expected = "no step lies in the years 1980 to 1990; the files run from 2001-01-01 00:00 to \
                    2001-03-01 18:00";
    assert_eq!(said.unwrap_err().to_string(), expected);
    let elsewhere = Region::between(10.0, 20.0, 0.0, 10.0);
    let said = measured_part(folder, &file, elsewhere, None)
        .unwrap_err()
        .to_string();
    assert!(said.contains("they do not meet"), "{said}");
}

#[test]
fn values_that_no_wind_has_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let mut file = plain();
    file.variables[0].2[6 * 5 + 4] = 2000.0;
    let said = refused(folder, &[file.write(folder, "a.nc")]);
    for words in ["'u10' is 2000.00 m/s in January", "28°00.0'S", "82°00.0'E"] {
        assert!(said.contains(words), "{said}");
    }
    let mut file = plain();
    for (_, _, values) in &mut file.variables {
        values.fill(f32::NAN);
    }
    let said = refused(folder, &[file.write(folder, "b.nc")]);
    assert!(
        said.contains("no place in the area has both components"),
        "{said}"
    );
}

/// Steps 100 to 119 are left out: in January, 25 to 30 days on.
#[test]
fn missing_steps_are_told_and_the_rest_is_measured() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let steps: Vec<usize> = (0..240).filter(|step| !(100..120).contains(step)).collect();
    let winds = measured(folder, &[plain().steps(&steps).write(folder, "a.nc")]).unwrap();
    assert_eq!((winds.steps, winds.missing_steps), (220, 20));
    assert_eq!(winds.months[0].steps, 124 - 20);
    let used: Vec<f64> = steps
        .iter()
        .filter(|step| **step < 124)
        .map(|step| (step % 7) as f64)
        .collect();
    let expected = used.iter().sum::<f64>() / used.len() as f64;
    assert!((values(folder, "u")[0] - expected).abs() < 0.0011);
    // A value that is missing counts like a step that is.
    let mut file = plain();
    let nodes = file.nodes();
    for step in 100..120 {
        file.variables[1].2[step * nodes] = f32::NAN;
    }
    measured(folder, &[file.write(folder, "b.nc")]).unwrap();
    assert!((values(folder, "u")[0] - expected).abs() < 0.0011);
}

#[test]
fn a_month_that_is_missing_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let months = (0..36).filter(|month| *month != 17);
    let times = months
        .map(|month| 24.0 * (15.0 + 30.4375 * f64::from(month)))
        .collect();
    let file = SeriesFile::new(times)
        .with("u10", |_, _| 1.0)
        .with("v10", |_, _| 1.0);
    let winds = measured(folder, &[file.write(folder, "a.nc")]).unwrap();
    assert_eq!(winds.missing_steps, 1);
    assert_eq!(winds.months_with_gaps, ["2002-06"]);
    let anomalies = values(folder, "u_anomaly");
    let missing: Vec<usize> = (0..anomalies.len())
        .filter(|&at| anomalies[at].is_nan())
        .collect();
    // June of the second year, at all six nodes.
    let first = (12 + 5) * 6;
    assert_eq!(missing, (first..first + 6).collect::<Vec<_>>());
}
