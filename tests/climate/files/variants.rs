//! The same climate, however it is written, reads the same.

use std::path::{Path, PathBuf};

use offing::climate::{Climate, LocalClimate, Month, Region, SeasonDay, SourceOptions};
use offing::geodesy::Position;

use super::writing::{Kind, MONTH_EDGES, Make, Missing, Storage, Time, wind};

/// Values are kept in single precision.
const TOLERANCE_MS: f64 = 1e-5;

pub fn place(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).expect("a place on the Earth")
}

fn read(make: &Make, options: &SourceOptions, region: &Region) -> Climate {
    let folder = tempfile::tempdir().expect("a folder");
    let path = make.write(folder.path());
    Climate::open(&path, options, region).unwrap_or_else(|error| panic!("{make:?}: {error}"))
}

/// The climate at places all over the world through the year, gaps included.
fn samples(climate: &Climate) -> Vec<Option<LocalClimate>> {
    let mut samples = Vec::new();
    for latitude_deg in [-84.0, -42.5, -12.0, 3.0, 25.0, 61.0] {
        for longitude_deg in [-179.9, -120.0, -3.0, 4.0, 44.0, 55.0, 69.0, 133.0] {
            for days in [3.0, 100.0, 200.0, 364.0] {
                samples.push(
                    climate
                        .at(
                            place(latitude_deg, longitude_deg),
                            SeasonDay::from_days(days),
                        )
                        .ok(),
                );
            }
        }
    }
    samples
}

fn assert_same(make: &Make, options: &SourceOptions) {
    let plain = read(&Make::plain(), &SourceOptions::default(), &Region::world());
    let other = read(make, options, &Region::world());
    for (expected, got) in samples(&plain).into_iter().zip(samples(&other)) {
        match (expected, got) {
            (None, None) => {}
            (Some(expected), Some(got)) => {
                let off = [
                    expected.wind.u_ms - got.wind.u_ms,
                    expected.wind.v_ms - got.wind.v_ms,
                    expected.wind.s_ms - got.wind.s_ms,
                ];
                assert!(
                    off.iter().all(|off| off.abs() < TOLERANCE_MS),
                    "{make:?}: expected {expected:?}, got {got:?}"
                );
            }
            (expected, got) => panic!("{make:?}: expected {expected:?}, got {got:?}"),
        }
    }
    assert!(
        samples(&plain).iter().any(Option::is_none),
        "some places are land"
    );
}

fn assert_reads_the_same(make: &Make) {
    assert_same(make, &SourceOptions::default());
}

#[test]
fn nodes_hold_what_was_written() {
    let climate = read(&Make::plain(), &SourceOptions::default(), &Region::world());
    for month in Month::ALL {
        let index = usize::from(month.number()) - 1;
        let [u_ms, v_ms, mean_speed_ms] = wind(-35.0, 25.0, index).expect("sea");
        let local = climate.month_at(place(-35.0, 25.0), month).expect("sea");
        assert!((local.wind.u_ms - u_ms).abs() < TOLERANCE_MS);
        assert!((local.wind.v_ms - v_ms).abs() < TOLERANCE_MS);
        assert!((local.wind.mean_speed_ms() - mean_speed_ms).abs() < TOLERANCE_MS);
        assert_eq!(
            (local.air_temperature_c, local.replaced_share),
            (None, None)
        );
    }
    assert!(
        climate.label().contains("climate.nc (an invented climate)"),
        "{}",
        climate.label()
    );
    assert_eq!(climate.notes(), [] as [&str; 0]);
}

#[test]
fn latitudes_may_fall_and_longitudes_start_anywhere() {
    let mut falling = Make::plain();
    falling.latitudes_deg.reverse();
    assert_reads_the_same(&falling);

    let mut from_180_west = Make::plain();
    from_180_west.longitudes_deg = (0..36)
        .map(|column| -175.0 + 10.0 * f64::from(column))
        .collect();
    assert_reads_the_same(&from_180_west);

    let mut westward = Make::plain();
    westward.longitudes_deg.reverse();
    assert_reads_the_same(&westward);

    let mut repeated = Make::plain();
    repeated.longitudes_deg.push(365.0);
    assert_reads_the_same(&repeated);
}

#[test]
fn every_storage_and_mark_for_missing_values_reads_the_same() {
    for (storage, marks) in [
        (
            Storage::Double,
            &[
                Missing::OtherValue,
                Missing::Nan,
                Missing::ValidRange,
                Missing::NeverWritten,
            ][..],
        ),
        (
            Storage::Single,
            &[
                Missing::FillValue,
                Missing::OtherValue,
                Missing::Nan,
                Missing::NeverWritten,
            ],
        ),
        (
            Storage::Packed,
            &[
                Missing::FillValue,
                Missing::OtherValue,
                Missing::ValidRange,
                Missing::NeverWritten,
            ],
        ),
        (
            Storage::UnsignedByte,
            &[Missing::FillValue, Missing::OtherValue],
        ),
        (
            Storage::MarkedByte,
            &[Missing::FillValue, Missing::OtherValue],
        ),
    ] {
        for &missing in marks {
            assert_reads_the_same(&Make {
                storage,
                missing,
                ..Make::plain()
            });
        }
    }
}

#[test]
fn every_order_of_dimensions_reads_the_same() {
    for order in [
        ["time", "lon", "lat"],
        ["lat", "lon", "time"],
        ["lat", "time", "lon"],
        ["lon", "lat", "time"],
        ["lon", "time", "lat"],
    ] {
        assert_reads_the_same(&Make {
            order,
            ..Make::plain()
        });
    }
    assert_reads_the_same(&Make {
        level: Some(("height", "m", 10.0)),
        ..Make::plain()
    });
}

#[test]
fn knots_and_kilometres_per_hour_read_the_same() {
    for units in ["knots", "km/h"] {
        assert_reads_the_same(&Make {
            units: Some(units),
            ..Make::plain()
        });
    }
}

#[test]
fn every_kind_of_netcdf_reads_the_same() {
    for kind in [
        Kind::Classic,
        Kind::Offset64,
        Kind::Data64,
        Kind::Netcdf4Classic,
    ] {
        assert_reads_the_same(&Make {
            kind,
            storage: Storage::Packed,
            ..Make::plain()
        });
    }
}

#[test]
fn every_way_to_date_the_months_reads_the_same() {
    for time in [
        Time::HoursSinceYearOne,
        Time::MonthNumbers,
        Time::Undated,
        Time::JulyFirst,
    ] {
        assert_reads_the_same(&Make {
            time,
            ..Make::plain()
        });
    }
}

#[test]
fn months_without_dates_are_assumed_and_said() {
    let undated = Make {
        time: Time::Undated,
        ..Make::plain()
    };
    let climate = read(&undated, &SourceOptions::default(), &Region::world());
    assert!(
        climate.notes()[0].contains("taken as January to December"),
        "{:?}",
        climate.notes()
    );
}

/// When each month of 1990 begins and ends.
fn edges_of_months() -> Vec<[f64; 2]> {
    MONTH_EDGES
        .windows(2)
        .map(|pair| [pair[0], pair[1]])
        .collect()
}

fn notes(make: &Make) -> String {
    read(make, &SourceOptions::default(), &Region::world())
        .notes()
        .join("\n")
}

/// A file may stamp a month at its end; then the bounds say which month it is.
#[test]
fn bounds_say_which_month_a_step_is() {
    for time in [Time::MonthEnds, Time::MonthBegins, Time::DaysSince] {
        let bounded = Make {
            time,
            bounds: Some(("bounds", edges_of_months())),
            ..Make::plain()
        };
        assert_reads_the_same(&bounded);
        assert_eq!(notes(&bounded), "", "{time:?}");
    }
    // Means over the same month of 30 years (CF conventions, section 7.4): from the first year's
    // beginning to the last year's end.
    const YEARS_DAYS: f64 = 29.0 * 365.0 + 7.0;
    let climatology = Make {
        time: Time::MonthEnds,
        bounds: Some((
            "climatology",
            edges_of_months()
                .into_iter()
                .map(|[begin, end]| [begin, end + YEARS_DAYS])
                .collect(),
        )),
        ..Make::plain()
    };
    assert_reads_the_same(&climatology);
    assert_eq!(notes(&climatology), "");
}

#[test]
fn steps_where_two_months_meet_are_read_by_their_year_and_that_is_said() {
    for (time, said) in [
        (
            Time::MonthEnds,
            "months that end then, the first step as January and the last as December",
        ),
        (
            Time::MonthBegins,
            "months that begin then, the first step as January and the last as December",
        ),
    ] {
        let make = Make {
            time,
            ..Make::plain()
        };
        assert_reads_the_same(&make);
        assert!(notes(&make).contains(said), "{}", notes(&make));
    }
}

#[test]
fn bounds_that_cannot_be_used_are_said() {
    // Some files give the first and the last January's stamp.
    let stamps = edges_of_months()
        .into_iter()
        .map(|[begin, _]| [begin, begin + 365.0]);
    for (pairs, said) in [
        (
            Vec::new(),
            "which the file does not have; they are not used",
        ),
        (stamps.collect(), "which do not run over one month each"),
    ] {
        let make = Make {
            time: Time::MonthBegins,
            bounds: Some(("climatology", pairs)),
            ..Make::plain()
        };
        assert_reads_the_same(&make);
        let notes = notes(&make);
        assert!(
            notes.contains(said) && notes.contains("months that begin then"),
            "{notes}"
        );
    }
}

#[test]
fn usual_names_and_names_given_are_found() {
    let usual = Make {
        standard_names: false,
        names: ["lat", "lon", "UWND", "v10", "wspd"],
        ..Make::plain()
    };
    assert_reads_the_same(&usual);
    let odd = Make {
        standard_names: false,
        names: ["lat", "lon", "a", "b", "c"],
        ..Make::plain()
    };
    let named = SourceOptions {
        eastward_wind: Some("a".to_owned()),
        northward_wind: Some("b".to_owned()),
        wind_speed: Some("c".to_owned()),
        ..SourceOptions::default()
    };
    assert_same(&odd, &named);
}

/// The file with air temperatures added: 290 K north of the line, none south of it.
fn with_air_temperature(folder: &Path, units: &str) -> PathBuf {
    let make = Make::plain();
    let path = make.write(folder);
    let mut file = netcdf::append(&path).expect("append");
    let mut air = file
        .add_variable::<f32>("t2m", &["time", "latitude", "longitude"])
        .expect("variable");
    air.put_attribute("units", units).expect("attribute");
    air.put_attribute("_FillValue", -999f32).expect("attribute");
    let month = make.latitudes_deg.iter().flat_map(|&latitude_deg| {
        let kelvin = if latitude_deg > 0.0 { 290.0 } else { -999.0 };
        std::iter::repeat_n(kelvin, make.longitudes_deg.len())
    });
    let month: Vec<f32> = month.collect();
    air.put_values(&month.repeat(12), ..).expect("values");
    file.close().expect("close");
    path
}

#[test]
fn kelvin_are_read_as_celsius_and_missing_air_stays_missing() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = with_air_temperature(folder.path(), "K");
    let climate =
        Climate::open(&path, &SourceOptions::default(), &Region::world()).expect("a climate");
    let air_c = |latitude_deg| {
        let local = climate.at(place(latitude_deg, 140.0), SeasonDay::from_days(50.0));
        local.expect("sea").air_temperature_c
    };
    for north_deg in [45.0, 2.0] {
        let off = air_c(north_deg).expect("air") - 16.85;
        assert!(off.abs() < 1e-5, "{north_deg}: off by {off}");
    }
    assert_eq!(air_c(-45.0), None);
}

#[test]
fn air_in_an_unknown_unit_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = with_air_temperature(folder.path(), "degF");
    let error = Climate::open(&path, &SourceOptions::default(), &Region::world())
        .expect_err("a refusal")
        .to_string();
    assert!(error.contains("'t2m'") && error.contains("degF") && error.contains("K or degC"));
}

#[test]
fn a_pressure_level_is_said() {
    let level = Make {
        level: Some(("level", "hPa", 1000.0)),
        ..Make::plain()
    };
    let climate = read(&level, &SourceOptions::default(), &Region::world());
    assert!(
        climate.notes()[0].contains("level 1000 hPa"),
        "{:?}",
        climate.notes()
    );
    assert_eq!(climate.height_scaling(), None);
    assert_reads_the_same(&level);
}

#[test]
fn a_level_named_beside_the_grid_is_said() {
    for (scalar, said) in [
        (("plev", "hPa", 1000.0), "the wind is for plev 1000 hPa"),
        (("height", "cm", 2000.0), "the wind is for height 2000 cm"),
    ] {
        let make = Make {
            scalar: Some(scalar),
            ..Make::plain()
        };
        let notes = notes(&make);
        assert!(notes.contains(said), "{notes}");
        assert!(notes.contains("taken as a 10 m wind"), "{notes}");
        // Whoever gives the height knows better.
        let given = SourceOptions {
            wind_height_m: Some(20.0),
            ..SourceOptions::default()
        };
        let notes = read(&make, &given, &Region::world()).notes().join("\n");
        assert!(!notes.contains(said), "{notes}");
    }
    // No level at all.
    let date = Make {
        scalar: Some(("forecast_time", "days since 1990-01-01", 3.0)),
        ..Make::plain()
    };
    assert_eq!(notes(&date), "");
}

#[test]
fn only_the_region_is_kept_and_it_reads_the_same() {
    let options = SourceOptions::default();
    let world = read(&Make::plain(), &options, &Region::world());
    // Over the file's seam at 0 E, and over the antimeridian.
    for (west_deg, east_deg) in [(-25.0, 38.0), (150.0, -150.0)] {
        let region = Region::between(-48.0, 12.0, west_deg, east_deg);
        let part = read(&Make::plain(), &options, &region);
        assert!(part.extent().east_span_deg < 100.0);
        for step in 0..=20 {
            let longitude_deg = west_deg + region.east_span_deg * f64::from(step) / 20.0;
            for latitude_deg in [-48.0, -33.3, 12.0] {
                let season = SeasonDay::from_days(77.0);
                let kept = part
                    .at(place(latitude_deg, longitude_deg), season)
                    .expect("sea")
                    .wind;
                let whole = world
                    .at(place(latitude_deg, longitude_deg), season)
                    .expect("sea")
                    .wind;
                assert!((kept.u_ms - whole.u_ms).abs() < TOLERANCE_MS);
                assert!((kept.v_ms - whole.v_ms).abs() < TOLERANCE_MS);
                assert!((kept.s_ms - whole.s_ms).abs() < TOLERANCE_MS);
            }
        }
    }
}

#[test]
fn uneven_latitudes_are_read() {
    let mut uneven = Make::plain();
    uneven.latitudes_deg = vec![-60.0, -52.0, -45.0, -30.0, -28.0];
    let climate = read(&uneven, &SourceOptions::default(), &Region::world());
    let node = wind(-45.0, 5.0, 0).expect("sea");
    let next = wind(-30.0, 5.0, 0).expect("sea");
    let between = climate
        .month_at(place(-40.0, 5.0), Month::ALL[0])
        .expect("sea")
        .wind
        .u_ms;
    assert!((between - (2.0 * node[0] + next[0]) / 3.0).abs() < TOLERANCE_MS);
}

#[test]
fn a_height_in_the_file_or_given_is_brought_to_10_m() {
    let plain = read(&Make::plain(), &SourceOptions::default(), &Region::world());
    let at_20_m = SourceOptions {
        wind_height_m: Some(20.0),
        ..SourceOptions::default()
    };
    let in_file = Make {
        level: Some(("height", "m", 20.0)),
        ..Make::plain()
    };
    for climate in [
        read(&in_file, &SourceOptions::default(), &Region::world()),
        read(&Make::plain(), &at_20_m, &Region::world()),
    ] {
        let scaling = climate.height_scaling().expect("scaled");
        assert!((scaling.factor - 0.940).abs() < 5e-4);
        assert_eq!(scaling.from_height_m, 20.0);
        assert!(climate.notes()[0].contains("20 m"), "{:?}", climate.notes());
        let local = |climate: &Climate| {
            climate
                .month_at(place(-35.0, 25.0), Month::ALL[4])
                .expect("sea")
                .wind
        };
        let (before, after) = (local(&plain), local(&climate));
        assert!((after.u_ms - scaling.factor * before.u_ms).abs() < TOLERANCE_MS);
        assert!((after.s_ms - scaling.factor * before.s_ms).abs() < 10.0 * TOLERANCE_MS);
    }
}

#[test]
fn without_a_mean_speed_the_spread_comes_from_an_assumed_steadiness() {
    let no_speed = Make {
        with_speed: false,
        ..Make::plain()
    };
    for (given, expected) in [(None, 0.6), (Some(0.8), 0.8)] {
        let options = SourceOptions {
            assumed_steadiness: given,
            ..SourceOptions::default()
        };
        let climate = read(&no_speed, &options, &Region::world());
        assert_eq!(climate.assumed_steadiness(), Some(expected));
        assert!(
            climate.notes()[0].contains("assumed"),
            "{:?}",
            climate.notes()
        );
        let wind = climate
            .month_at(place(-35.0, 25.0), Month::ALL[0])
            .expect("sea")
            .wind;
        let steadiness = wind.steadiness().expect("some wind");
        assert!((steadiness - expected).abs() < 1e-4, "{steadiness}");
    }
    let plain = read(&Make::plain(), &SourceOptions::default(), &Region::world());
    assert_eq!(plain.assumed_steadiness(), None);
}
