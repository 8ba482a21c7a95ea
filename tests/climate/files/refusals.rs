//! Files that cannot be used, and that the error says why.

use std::fs;
use std::path::Path;

use offing::climate::{
    Climate, ClimateError, ClimateFault, ClimateGap, Month, Region, SeasonDay, SourceOptions,
};

use super::variants::place;
use super::writing::{Kind, Make, Storage, Time};

fn open(path: &Path) -> Result<Climate, ClimateError> {
    Climate::open(path, &SourceOptions::default(), &Region::world())
}

fn refusal(make: &Make) -> String {
    refusal_with(make, &SourceOptions::default(), &Region::world())
}

fn refusal_with(make: &Make, options: &SourceOptions, region: &Region) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let path = make.write(folder.path());
    let error = Climate::open(&path, options, region)
        .expect_err("a refusal")
        .to_string();
    assert!(error.contains("climate.nc"), "names the file: {error}");
    error
}

fn assert_says(error: &str, words: &[&str]) {
    for word in words {
        assert!(error.contains(word), "'{word}' is not in: {error}");
    }
}

/// The error on a file holding `bytes`.
fn refusal_of_bytes(bytes: &[u8]) -> ClimateError {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("winds.nc");
    fs::write(&path, bytes).expect("write");
    open(&path).expect_err("a refusal")
}

fn bytes_of(make: &Make) -> Vec<u8> {
    let folder = tempfile::tempdir().expect("a folder");
    fs::read(make.write(folder.path())).expect("read")
}

#[test]
fn what_is_not_a_readable_file_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let absent = open(&folder.path().join("absent.nc")).expect_err("a refusal");
    assert!(matches!(*absent.fault, ClimateFault::Unreadable(_)));
    assert_says(&absent.to_string(), &["absent.nc", "cannot be read"]);
    let directory = open(folder.path()).expect_err("a refusal");
    assert!(matches!(*directory.fault, ClimateFault::NotAFile));
    assert!(matches!(*refusal_of_bytes(b"").fault, ClimateFault::Empty));
}

#[cfg(unix)]
#[test]
fn a_file_without_permission_is_refused() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().expect("a folder");
    let path = Make::plain().write(folder.path());
    fs::set_permissions(&path, fs::Permissions::from_mode(0o000)).expect("permissions");
    // The superuser reads everything.
    if fs::File::open(&path).is_err() {
        let error = open(&path).expect_err("a refusal").to_string();
        assert_says(
            &error,
            &["climate.nc", "cannot be read", "ermission denied"],
        );
    }
}

#[test]
fn what_is_not_netcdf_is_refused() {
    let error = refusal_of_bytes(b"latitude,longitude\n1,2\n");
    assert!(matches!(*error.fault, ClimateFault::NotNetcdf { .. }));
    assert_says(&error.to_string(), &["winds.nc", "\"latitude\"", "NetCDF"]);
    for stub in [&b"CDF"[..], b"CDF\x01", b"CDF\x09\0\0\0\0", b"C"] {
        let error = refusal_of_bytes(stub);
        assert!(
            matches!(
                *error.fault,
                ClimateFault::Damaged { .. } | ClimateFault::NotNetcdf { .. }
            ),
            "{error}"
        );
    }
}

/// The C library itself gives zeros for the part that is missing.
#[test]
fn a_classic_file_cut_short_is_refused() {
    for kind in [Kind::Classic, Kind::Offset64, Kind::Data64] {
        let bytes = bytes_of(&Make {
            kind,
            storage: Storage::Packed,
            ..Make::plain()
        });
        for length in [bytes.len() - 5, bytes.len() / 2] {
            let error = refusal_of_bytes(&bytes[..length]);
            assert!(
                matches!(*error.fault, ClimateFault::CutShort { .. }),
                "{error}"
            );
            assert_says(&error.to_string(), &["cut short", &length.to_string()]);
        }
        let error = refusal_of_bytes(&bytes[..60]);
        assert!(
            matches!(*error.fault, ClimateFault::Damaged { .. }),
            "{error}"
        );
    }
}

#[test]
fn a_netcdf_4_file_cut_short_is_refused() {
    let bytes = bytes_of(&Make::plain());
    for length in [bytes.len() - 1, bytes.len() / 2, 600, 20] {
        let error = refusal_of_bytes(&bytes[..length]);
        assert!(
            matches!(*error.fault, ClimateFault::Damaged { .. }),
            "{error}"
        );
        assert_says(&error.to_string(), &["cut short", "download it again"]);
    }
}

/// The length is right, the contents are not.
#[test]
fn a_netcdf_4_file_overwritten_is_refused() {
    let mut bytes = bytes_of(&Make::plain());
    let length = bytes.len();
    bytes[48..length].fill(0xA5);
    let error = refusal_of_bytes(&bytes);
    assert!(
        matches!(*error.fault, ClimateFault::Damaged { .. }),
        "{error}"
    );
    assert_says(&error.to_string(), &["damaged", "download it again"]);
}

#[test]
fn a_file_without_a_component_is_refused() {
    let make = Make {
        standard_names: false,
        names: ["lat", "lon", "u", "sideways", "speed"],
        ..Make::plain()
    };
    let error = refusal(&make);
    assert_says(&error, &["no northward wind", "sideways", "vwnd"]);
    let named = SourceOptions {
        northward_wind: Some("vv".to_owned()),
        ..SourceOptions::default()
    };
    let error = refusal_with(&make, &named, &Region::world());
    assert_says(&error, &["no variable 'vv'", "sideways"]);
}

#[test]
fn two_variables_for_one_quantity_are_refused() {
    let make = Make {
        standard_names: false,
        names: ["lat", "lon", "u", "v", "u10"],
        ..Make::plain()
    };
    assert_says(&refusal(&make), &["more than one eastward wind: u, u10"]);
}

#[test]
fn months_other_than_twelve_are_refused() {
    for (steps, found) in [
        (11, "11 time step(s)"),
        (13, "13 time step(s)"),
        (1, "1 time step(s)"),
    ] {
        let make = Make {
            steps,
            time: Time::MonthNumbers,
            ..Make::plain()
        };
        assert_says(&refusal(&make), &["eastward", found, "expected 12"]);
    }
    let error = refusal(&Make {
        time: Time::AllJanuary,
        ..Make::plain()
    });
    assert_says(&error, &["time", "steps 1 and 2", "January"]);
}

#[test]
fn missing_or_unknown_units_are_refused() {
    let error = refusal(&Make {
        units: None,
        ..Make::plain()
    });
    assert_says(&error, &["eastward", "no units", "knots"]);
    let error = refusal(&Make {
        units: Some("furlongs"),
        ..Make::plain()
    });
    assert_says(&error, &["eastward", "'furlongs'", "m s-1"]);
}

#[test]
fn absurd_winds_are_refused() {
    let error = refusal(&Make {
        factor: 100.0,
        ..Make::plain()
    });
    assert_says(
        &error,
        &["eastward", "m/s", "January", "at 85°00.0'S", "-31 to 31"],
    );
}

#[test]
fn a_grid_that_misses_the_region_is_refused() {
    let mut make = Make::plain();
    make.latitudes_deg = vec![10.0, 20.0, 30.0];
    make.longitudes_deg = vec![120.0, 130.0, 140.0];
    for region in [
        Region::between(-40.0, -10.0, 125.0, 130.0),
        Region::between(15.0, 20.0, 150.0, 170.0),
    ] {
        let error = refusal_with(&make, &SourceOptions::default(), &region);
        assert_says(
            &error,
            &[
                "latitudes 10°00.0'N to 30°00.0'N",
                "longitudes 120°00.0'E to 140°00.0'E",
                "do not meet",
            ],
        );
    }
}

#[test]
fn a_region_without_any_wind_is_refused() {
    let land = Region::between(-15.0, 15.0, 45.0, 65.0);
    let error = refusal_with(&Make::plain(), &SourceOptions::default(), &land);
    assert_says(&error, &["eastward", "no value at all"]);
}

#[test]
fn coordinates_that_are_none_are_refused() {
    let mut make = Make::plain();
    make.latitudes_deg[3] = -90.0;
    assert_says(&refusal(&make), &["latitude", "rise or fall"]);
    make.latitudes_deg[3] = 1000.0;
    assert_says(&refusal(&make), &["latitude", "1000", "-90 to 90"]);
    let mut make = Make::plain();
    make.longitudes_deg.swap(3, 9);
    assert_says(&refusal(&make), &["longitude", "one way"]);
}

#[test]
fn coordinates_that_jump_are_refused() {
    let mut make = Make::plain();
    make.latitudes_deg[7] += 3.0;
    assert_says(
        &refusal(&make),
        &[
            "latitude",
            "jumps from -25 to -12 degrees",
            "most steps are 10",
        ],
    );
    let mut make = Make::plain();
    make.longitudes_deg[20] -= 4.0;
    assert_says(&refusal(&make), &["longitude", "jumps from 195 to 201"]);
}

/// All values would be the offset's.
#[test]
fn a_scale_factor_of_nought_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = Make {
        storage: Storage::Packed,
        ..Make::plain()
    }
    .write(folder.path());
    let mut file = netcdf::append(&path).expect("open");
    let mut wind = file.variable_mut("eastward").expect("variable");
    wind.put_attribute("scale_factor", 0.0).expect("attribute");
    file.close().expect("close");
    let error = open(&path).expect_err("a refusal").to_string();
    assert_says(&error, &["'eastward'", "scale_factor is 0; expected"]);
}

/// Neither part is too strong, both together are.
#[test]
fn a_mean_wind_above_60_kn_is_refused() {
    let strong = Make {
        factor: 2.7,
        with_speed: false,
        ..Make::plain()
    };
    let error = refusal(&strong);
    assert_says(&error, &["eastward' and 'northward'", "0 to 31 m/s"]);
}

#[test]
fn settings_out_of_range_are_refused() {
    let height = SourceOptions {
        wind_height_m: Some(0.0),
        ..SourceOptions::default()
    };
    let error = refusal_with(&Make::plain(), &height, &Region::world());
    assert_says(&error, &["height of the wind", "0 m", "1 to 200"]);
    let steadiness = SourceOptions {
        assumed_steadiness: Some(1.0),
        ..SourceOptions::default()
    };
    let error = refusal_with(&Make::plain(), &steadiness, &Region::world());
    assert_says(&error, &["steadiness", "0.05 to 0.99"]);
}

#[test]
fn gaps_are_told_with_place_and_month() {
    let folder = tempfile::tempdir().expect("a folder");
    let climate = open(&Make::plain().write(folder.path())).expect("a climate");
    let july = Month::ALL[6];
    let gap = climate
        .at(place(0.0, 55.0), july.middle())
        .expect_err("land");
    assert_eq!(
        gap,
        ClimateGap::NoData {
            place: place(0.0, 55.0),
            month: july
        }
    );
    assert_says(&gap.to_string(), &["around 00°00.0'N 055°00.0'E in July"]);
    let outside = climate
        .at(place(-88.0, 10.0), SeasonDay::from_days(0.0))
        .expect_err("beyond the last row");
    assert!(matches!(outside, ClimateGap::Outside { .. }));
    assert_says(
        &outside.to_string(),
        &[
            "88°00.0'S 010°00.0'E lies outside",
            "latitudes 85°00.0'S to 85°00.0'N",
        ],
    );
}
