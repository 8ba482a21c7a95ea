//! What was measured, read as a climate; and monthly means of many years, read without measuring.

use offing::climate::{Climate, Month, Region, SourceOptions};
use offing::geodesy::Position;

use super::writing::{SeriesFile, measured, values};
use crate::noise::Noise;

fn at(climate: &Climate, latitude_deg: f64, longitude_deg: f64, month: usize) -> [f64; 3] {
    let place = Position::new(latitude_deg, longitude_deg).unwrap();
    let wind = climate.month_at(place, Month::ALL[month]).unwrap().wind;
    [wind.u_ms, wind.v_ms, wind.s_ms]
}

#[test]
fn the_deviation_that_was_measured_is_the_climates() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let mut noise = Noise(5);
    let file = SeriesFile::new((0..730).map(|day| 24.0 * f64::from(day)).collect());
    let mut random = Vec::new();
    random.resize_with(730 * 6, || noise.gaussian());
    let file = file
        .with("u10", |step, node| 5.0 + 3.0 * random[step * 6 + node])
        .with("v10", |step, node| {
            2.0 * random[(step * 6 + node + 1234) % 4380]
        })
        .with("t2m", |step, _| 290.0 + step as f64 / 100.0);
    let mut file = file;
    file.variables[2].1 = Some("K");
    let winds = measured(folder, &[file.write(folder, "days.nc")]).unwrap();
    assert_eq!(winds.also_found, ["air temperature"]);
    let options = SourceOptions::default();
    let climate = Climate::open(&folder.join("out.nc"), &options, &Region::world()).unwrap();
    assert!(climate.has_air_temperature());
    assert!(
        climate
            .notes()
            .iter()
            .any(|note| note.contains("which was measured"))
    );
    assert_eq!(climate.assumed_steadiness(), None);
    let [u, u_variance, v_variance, air] =
        ["u", "u_variance", "v_variance", "air"].map(|name| values(folder, name));
    for month in 0..12 {
        let [got_u, _, got_s] = at(&climate, -28.0, 82.0, month);
        let node = month * 6 + 4;
        assert!((got_u - u[node]).abs() < 1e-5);
        let s = (0.5 * (u_variance[node] + v_variance[node])).sqrt();
        assert!((got_s - s).abs() < 1e-5, "{got_s} {s}");
    }
    // 290 K and 3.49 days' hundredths in each of two Januaries.
    assert!((air[0] - (16.85 + 0.15 + 1.825)).abs() < 0.02, "{}", air[0]);
}

fn months(count: usize) -> SeriesFile {
    let times = (0..count)
        .map(|month| 24.0 * (15.0 + 30.4375 * month as f64))
        .collect();
    SeriesFile::new(times)
        .with("u10", |step, node| {
            (step % 12) as f64 + (step / 12) as f64 + 0.1 * node as f64
        })
        .with("v10", |_, _| -2.0)
}

#[test]
fn monthly_means_of_many_years_are_a_climate_as_they_are() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let with_speed = months(36).with("si10", |_, _| 14.0);
    let path = with_speed.write(folder, "months.nc");
    let open = |path| Climate::open(path, &SourceOptions::default(), &Region::world());
    let climate = open(&path).unwrap();
    // Three years, 1 m/s apart.
    let [u, v, s] = at(&climate, -30.0, 84.0, 4);
    assert!((u - (4.0 + 1.0 + 0.2)).abs() < 1e-5 && v == -2.0, "{u} {v}");
    // The one that gives a mean speed of 14 (as from a file of twelve months).
    let wind = climate.month_at(Position::new(-30.0, 84.0).unwrap(), Month::ALL[4]);
    assert!(
        (wind.unwrap().wind.mean_speed_ms() - 14.0).abs() < 1e-4,
        "{s}"
    );
    assert!(climate.notes()[0].contains("36 monthly means of 2001 to 2003"));
    assert_eq!(
        climate.label(),
        format!("{} (invented winds)", path.display())
    );

    let climate = open(&months(36).write(folder, "no-speed.nc")).unwrap();
    assert!(climate.assumed_steadiness().is_some());
    assert_eq!(climate.notes().len(), 2);
}

#[test]
fn other_series_are_refused_as_a_climate() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let refused = |file: SeriesFile| {
        let path = file.write(folder, "a.nc");
        let climate = Climate::open(&path, &SourceOptions::default(), &Region::world());
        climate.unwrap_err().to_string()
    };
    let daily = SeriesFile::new((0..60).map(|day| 24.0 * f64::from(day)).collect())
        .with("u10", |_, _| 1.0)
        .with("v10", |_, _| 1.0);
    let said = refused(daily);
    assert!(
        said.contains("holds 60 daily steps; expected twelve months"),
        "{said}"
    );
    // Every June is missing.
    let kept: Vec<usize> = (0..36).filter(|month| month % 12 != 5).collect();
    let said = refused(months(36).steps(&kept));
    assert!(said.contains("has no step in June"), "{said}");
}
