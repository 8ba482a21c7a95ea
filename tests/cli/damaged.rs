//! Damaged and hostile NetCDF files: whatever a file holds, the program ends in good time, by itself,
//! with figures or with a message.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use netcdf::Options;
use offing::climate::{
    Climate, ClimateFault, CurrentOptions, CurrentPeriod, Currents, Guard, Region, SourceOptions,
};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};
use serde_json::Value;

use crate::command::{offing, printed, refused};

/// The program gives up a file after 20 s; a loaded machine takes a while to notice.
const LONGEST: Duration = Duration::from_secs(25);

/// A place in the ship winds and in the invented ones.
const PLACE: &str = "10 S, 80 E";

fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("fixtures/climate")
        .join(name)
}

fn ship_winds() -> Vec<u8> {
    fs::read(fixture("ship-winds.nc")).unwrap()
}

fn guard() -> Guard {
    Guard::new(assert_cmd::cargo::cargo_bin("offing"))
}

/// A run that shows a place's winds by a file of these bytes: what it says where it refuses them.
fn outcome(bytes: &[u8]) -> Result<Value, String> {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("own.nc"), bytes).unwrap();
    outcome_in(folder.path())
}

/// The same with the file `own.nc` in a folder.
fn outcome_in(folder: &Path) -> Result<Value, String> {
    let arguments = ["climate", PLACE, "--climate", "own.nc", "--json"];
    let started = Instant::now();
    let output = offing(folder, &arguments).get_output().clone();
    assert!(started.elapsed() < LONGEST, "{:?}", started.elapsed());
    let said = String::from_utf8(output.stderr).unwrap();
    match output.status.code() {
        Some(0) => {
            assert_eq!(said, "");
            Ok(serde_json::from_slice(&output.stdout).unwrap())
        }
        Some(2) => {
            assert!(output.stdout.is_empty());
            assert!(said.starts_with("error: "), "{said}");
            assert!(said.lines().count() <= 3, "{said}");
            Err(said)
        }
        _ => panic!("{}: {said}", output.status),
    }
}

fn assert_damaged(found: Result<Value, String>) {
    let said = found.expect_err("a refusal");
    assert!(
        said.starts_with("error: wind climate own.nc: is damaged")
            && said.contains("copy or download it again"),
        "{said}"
    );
}

#[test]
fn a_sound_file_gives_the_figures_it_gave_in_process() {
    let own = outcome(&ship_winds()).expect("figures");
    let folder = tempfile::tempdir().unwrap();
    let embedded = printed(folder.path(), &["climate", PLACE, "--json"]);
    let embedded: Value = serde_json::from_str(&embedded).unwrap();
    assert_eq!(own["places"], embedded["places"]);
}

/// A signal with some libraries, an error of theirs with others.
#[test]
fn a_flipped_bit_that_corrupts_the_librarys_memory_is_told() {
    let mut bytes = ship_winds();
    bytes[5343] ^= 1 << 1;
    assert_damaged(outcome(&bytes));
}

#[test]
fn a_flipped_bit_that_makes_the_binding_panic_is_told() {
    let mut bytes = ship_winds();
    bytes[5859] ^= 1 << 6;
    assert_damaged(outcome(&bytes));
}

#[test]
fn a_file_of_a_series_that_ends_its_reader_is_told_and_nothing_stays() {
    let folder = tempfile::tempdir().unwrap();
    let mut bytes = ship_winds();
    bytes[5859] ^= 1 << 6;
    fs::write(folder.path().join("part.nc"), bytes).unwrap();
    let said = refused(folder.path(), &["winds", "part.nc", "--out", "mine.nc"]);
    assert!(said.contains("one of the files is damaged"), "{said}");
    assert!(!said.contains("panicked"), "{said}");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn an_endless_loop_is_given_up() {
    let mut bytes = ship_winds();
    bytes[6144..6144 + 512].fill(0);
    assert_damaged(outcome(&bytes));
}

/// A folder with the ship winds, changed by a writer of HDF5.
fn changed(change: impl FnOnce(&hdf5_metno::File)) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let own = folder.path().join("own.nc");
    fs::write(&own, ship_winds()).unwrap();
    let file = hdf5_metno::File::append(&own).unwrap();
    change(&file);
    file.close().unwrap();
    folder
}

#[test]
fn a_group_within_itself_is_given_up() {
    let folder = changed(|file| file.link_hard("/", "within").unwrap());
    assert_damaged(outcome_in(folder.path()));
}

/// What the binding to the library does not expect.
#[test]
fn tables_for_attributes_and_links_to_elsewhere_do_not_stop_the_program() {
    let table = changed(|file| {
        let title = file.new_attr::<f64>().shape((2, 2)).create("table");
        drop(title.unwrap());
        let winds = file.dataset(&file.member_names().unwrap()[0]).unwrap();
        drop(winds.new_attr::<f64>().shape((2, 2)).create("units_of"));
        drop(
            winds
                .new_attr::<f64>()
                .shape((2, 2))
                .create("missing_value"),
        );
    });
    let _ = outcome_in(table.path());
    let elsewhere = changed(|file| {
        file.link_external("absent.nc", "/u", "elsewhere").unwrap();
    });
    let _ = outcome_in(elsewhere.path());
}

#[test]
fn a_name_that_is_not_text_is_told() {
    let mut bytes = ship_winds();
    let names = bytes.windows(10).enumerate();
    let places: Vec<usize> = names
        .filter(|(_, letters)| *letters == b"wind_speed")
        .map(|(at, _)| at)
        .collect();
    assert!(!places.is_empty());
    for at in places {
        bytes[at] = 0xFF;
    }
    assert_damaged(outcome(&bytes));
}

/// What is wrong with a file is said in the same words whoever finds it, and its type is kept.
#[test]
fn a_fault_comes_through_the_guard_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        fs::write(&path, bytes).unwrap();
        path
    };
    let text = at("text.nc", b"latitude,longitude\n1,2\n");
    let empty = at("empty.nc", b"");
    let classic = invented(Options::empty());
    let short = at("short.nc", &classic[..classic.len() - 500]);
    let whole = at("whole.nc", &classic);
    let unknown = SourceOptions {
        eastward_wind: Some("ua".to_owned()),
        ..SourceOptions::default()
    };
    let unsteady = SourceOptions {
        assumed_steadiness: Some(3.0),
        ..SourceOptions::default()
    };
    let high = SourceOptions {
        wind_height_m: Some(1e4),
        ..SourceOptions::default()
    };
    let usual = SourceOptions::default();
    let world = Region::world();
    let beyond = Region::between(70.0, 80.0, 0.0, 10.0);
    let files = [
        &folder.path().join("absent.nc"),
        folder.path(),
        &text,
        &empty,
        &short,
    ];
    let mut cases: Vec<_> = files.map(|file| (file, &usual, &world)).to_vec();
    cases.push((&whole, &unknown, &world));
    cases.push((&whole, &unsteady, &world));
    cases.push((&whole, &high, &world));
    cases.push((&whole, &usual, &beyond));
    for (file, options, region) in cases {
        let alone = Climate::open(file, options, region).expect_err("a fault");
        let guarded = SourceOptions {
            guard: Some(guard()),
            ..options.clone()
        };
        let guarded = Climate::open(file, &guarded, region).expect_err("a fault");
        assert_eq!(guarded.to_string(), alone.to_string());
        assert_eq!(
            std::mem::discriminant(&*guarded.fault),
            std::mem::discriminant(&*alone.fault)
        );
    }
    let guarded = CurrentOptions {
        guard: Some(guard()),
        ..CurrentOptions::default()
    };
    let alone = Currents::open(&whole, &CurrentOptions::default(), &world).expect_err("a fault");
    let error = Currents::open(&whole, &guarded, &world).expect_err("a fault");
    assert_eq!(error.to_string(), alone.to_string());
}

#[test]
fn what_is_read_under_guard_is_what_is_read_without() {
    let region = Region::between(-40.0, -20.0, 30.0, 120.0);
    let read = |guard: Option<Guard>| {
        let winds = SourceOptions {
            guard: guard.clone(),
            ..SourceOptions::default()
        };
        let currents = CurrentOptions {
            period: Some(CurrentPeriod::Annual),
            guard,
            ..CurrentOptions::default()
        };
        let winds = Climate::open(&fixture("ship-winds.nc"), &winds, &region).unwrap();
        let currents = Currents::open(&fixture("currents.nc"), &currents, &region).unwrap();
        // As text, for a missing value is not equal to itself.
        format!("{:?}", winds.with_currents(currents))
    };
    assert_eq!(read(Some(guard())), read(None));
}

/// Programs that answer nothing, something else, or never.
#[cfg(unix)]
#[test]
fn a_program_that_does_not_read_is_noticed() {
    let ask = |guard: Guard| {
        let options = SourceOptions {
            guard: Some(guard),
            ..SourceOptions::default()
        };
        let read = Climate::open(&fixture("ship-winds.nc"), &options, &Region::world());
        read.expect_err("a fault")
    };
    for other in ["/bin/true", "/bin/false", "/bin/echo"] {
        let error = ask(Guard::new(other));
        assert!(
            matches!(*error.fault, ClimateFault::Damaged { .. }),
            "{error}"
        );
    }
    let absent = ask(Guard::new("/no/such/program"));
    assert!(
        absent
            .to_string()
            .contains("/no/such/program does not start"),
        "{absent}"
    );
    let folder = tempfile::tempdir().unwrap();
    let slow = folder.path().join("slow");
    fs::write(&slow, "#!/bin/sh\nexec sleep 60\n").unwrap();
    let executable = std::os::unix::fs::PermissionsExt::from_mode(0o755);
    fs::set_permissions(&slow, executable).unwrap();
    let started = Instant::now();
    let error = ask(Guard {
        program: slow,
        time_limit: Duration::from_secs(1),
    });
    assert!(
        matches!(*error.fault, ClimateFault::TooSlow { .. }),
        "{error}"
    );
    assert!(started.elapsed() < Duration::from_secs(10));
}

#[test]
fn the_guards_command_is_not_the_sailors() {
    let folder = tempfile::tempdir().unwrap();
    for arguments in [&["--help"][..], &["man"], &["completions", "bash"]] {
        assert!(!printed(folder.path(), arguments).contains(Guard::COMMAND));
    }
    refused(folder.path(), &[Guard::COMMAND]);
}

/// A file that holds the same invented winds in every place and month, as a kind of NetCDF.
fn invented(kind: Options) -> Vec<u8> {
    hdf5_metno::silence_errors(true);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("invented.nc");
    let mut file = netcdf::create_with(&path, kind).unwrap();
    let latitudes: Vec<f64> = (0..13).map(|row| -60.0 + 10.0 * f64::from(row)).collect();
    let longitudes: Vec<f64> = (0..36).map(|column| 10.0 * f64::from(column)).collect();
    file.add_attribute("title", "an invented climate").unwrap();
    file.add_unlimited_dimension("time").unwrap();
    for (name, values, units) in [
        ("lat", &latitudes, "degrees_north"),
        ("lon", &longitudes, "degrees_east"),
    ] {
        file.add_dimension(name, values.len()).unwrap();
        let mut variable = file.add_variable::<f64>(name, &[name]).unwrap();
        variable.put_attribute("units", units).unwrap();
    }
    let mut time = file.add_variable::<f64>("time", &["time"]).unwrap();
    time.put_attribute("units", "days since 1990-01-01")
        .unwrap();
    let winds = [
        ("u", "eastward_wind"),
        ("v", "northward_wind"),
        ("w", "wind_speed"),
    ];
    for (name, standard_name) in winds {
        let mut wind = file
            .add_variable::<i16>(name, &["time", "lat", "lon"])
            .unwrap();
        wind.put_attribute("standard_name", standard_name).unwrap();
        wind.put_attribute("units", "m s-1").unwrap();
        wind.put_attribute("scale_factor", 0.01).unwrap();
        wind.put_attribute("add_offset", 2.0).unwrap();
    }
    file.enddef().unwrap();
    let mut put = |name: &str, values: &[f64]| {
        let mut variable = file.variable_mut(name).unwrap();
        variable.put_values(values, ..).unwrap();
    };
    put("lat", &latitudes);
    put("lon", &longitudes);
    for month in 0..12 {
        let mut time = file.variable_mut("time").unwrap();
        time.put_value(15.0 + 30.4 * month as f64, [month]).unwrap();
        for ((name, _), stored) in winds.into_iter().zip([300i16, -450, 600]) {
            let mut wind = file.variable_mut(name).unwrap();
            let nodes = vec![stored; latitudes.len() * longitudes.len()];
            wind.put_values(&nodes, (month, .., ..)).unwrap();
        }
    }
    file.close().unwrap();
    fs::read(path).unwrap()
}

/// What a scrambled disk, a broken download or an enemy may do to a file.
fn spoilt(sound: &[u8], random: &mut Xoshiro256PlusPlus) -> Vec<u8> {
    let mut bytes = sound.to_vec();
    let mut below = |bound: usize| (random.next_u64() % bound as u64) as usize;
    // Half of the blows where the headers are.
    let reach = if below(2) == 0 {
        8192.min(bytes.len())
    } else {
        bytes.len()
    };
    let at = below(reach);
    let end = (at + 1 + below(512)).min(bytes.len());
    match below(5) {
        0 => bytes[at..end].fill(0),
        1 => bytes[at..end]
            .iter_mut()
            .for_each(|byte| *byte = below(256) as u8),
        2 => bytes.truncate(at),
        _ => {
            for _ in 0..1 + below(3) {
                bytes[below(reach)] ^= 1 << below(8);
            }
        }
    }
    bytes
}

/// Every number in a document is finite by its form; what matters is that it can be true.
fn assert_plausible(found: &Value) {
    for place in found["places"].as_array().unwrap() {
        if let Some(mean_kn) = place["wind"]["mean_speed_kn"].as_f64() {
            assert!((0.0..=62.0).contains(&mean_kn), "{place}");
        }
    }
}

/// `OFFING_MUTANTS=1000` spoils more of them.
#[test]
fn no_spoilt_file_crashes_hangs_or_misleads() {
    let count = std::env::var("OFFING_MUTANTS").map_or(20, |count| count.parse().unwrap());
    let files = [
        ("NetCDF-4", ship_winds()),
        ("classic", invented(Options::empty())),
        ("64-bit offset", invented(Options::_64BIT_OFFSET)),
        ("64-bit data", invented(Options::_64BIT_DATA)),
    ];
    let mut random = Xoshiro256PlusPlus::seed_from_u64(20_270_501);
    for (kind, sound) in &files {
        let (mut read, mut damaged, mut slow, mut other, mut changed) = (0, 0, 0, 0, 0);
        let whole = outcome(sound).expect("a sound file");
        for _ in 0..count {
            match outcome(&spoilt(sound, &mut random)) {
                Ok(found) => {
                    assert_plausible(&found);
                    read += 1;
                    changed += usize::from(found["places"] != whole["places"]);
                }
                Err(said) if said.contains("was given up") => slow += 1,
                Err(said) if said.contains("is damaged") => damaged += 1,
                Err(_) => other += 1,
            }
        }
        println!(
            "{kind}: of {count} spoilt files {read} were read ({changed} with other figures), \
             {damaged} were damaged, {slow} were given up, {other} refused for what they hold"
        );
        assert!(damaged + other > 0, "{kind}: nothing was noticed");
    }
}
