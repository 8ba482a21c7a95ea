//! Spoilt voyage, polar, log, route and keep-out files: whatever a text holds, it is read or refused
//! without a panic and in good time, and what is read has only finite numbers.

use std::fmt::Debug;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use offing::boat::Logbook;
use offing::climate::Region;
use offing::passage::EnsembleOptions;
use offing::route::{RouteFile, geojson_text, gpx_text, waypoints_csv};
use offing::shaping::KeepOut;
use offing::study::{Options, compare};
use offing::{Climate, Polar, Voyage};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// A text is read or refused within this time, on a loaded machine.
const LONGEST: Duration = Duration::from_secs(10);
/// Of the voyages read, every so many are sailed.
const SAILED: usize = 12;

/// What stands in a file where a number or a word was.
const INSTEAD: [&str; 36] = [
    "",
    "0",
    "-0",
    "-1",
    "1e308",
    "-1e308",
    "1e-320",
    "1e999",
    "nan",
    "-nan",
    "inf",
    "-inf",
    "NaN",
    "Infinity",
    "90",
    "-90",
    "180",
    "-180",
    "360",
    "361",
    "99999999999999999999",
    "0x10",
    "1_000",
    "1,5",
    "1970-01-01",
    "9999-12-31",
    "true",
    "\"\"",
    "\"5 L\"",
    "[]",
    "{}",
    "null",
    "\u{202e}",
    "\u{feff}",
    "\u{1b}[31m",
    "\0",
];

/// What may come between.
const PIECES: [&str; 18] = [
    "\"",
    "'",
    "\"\"\"",
    "[",
    "]",
    "[[route]]\n",
    "{",
    "}",
    ",",
    ";",
    "=",
    "<",
    "</rtept>",
    "&amp;",
    "<!DOCTYPE x [<!ENTITY a \"b\">]>",
    "#",
    "\r",
    "\n\n",
];

fn below(random: &mut Xoshiro256PlusPlus, bound: usize) -> usize {
    (random.next_u64() % bound.max(1) as u64) as usize
}

/// The words of a text: where numbers and names begin and end.
fn words(text: &[u8]) -> Vec<(usize, usize)> {
    let of_word = |byte: u8| byte.is_ascii_alphanumeric() || b".-_+".contains(&byte);
    let mut words = Vec::new();
    let mut start = None;
    for (at, &byte) in text.iter().chain([&b' ']).enumerate() {
        match (start, of_word(byte)) {
            (None, true) => start = Some(at),
            (Some(from), false) => {
                words.push((from, at));
                start = None;
            }
            _ => {}
        }
    }
    words
}

/// What a slip of the hand, a bad copy, another program or an enemy may do to a text, one to three
/// times.
fn spoilt(sound: &str, random: &mut Xoshiro256PlusPlus) -> Vec<u8> {
    let mut text = sound.as_bytes().to_vec();
    for _ in 0..1 + below(random, 3) {
        let at = below(random, text.len());
        let end = (at + 1 + below(random, 60)).min(text.len());
        match below(random, 10) {
            0 => text.truncate(at),
            1 => drop(text.drain(at..end)),
            2 => {
                let again = text[at..end].to_vec();
                text.splice(end..end, again);
            }
            3 => {
                if let Some(byte) = text.get_mut(at) {
                    *byte ^= 1 << below(random, 8);
                }
            }
            4 => {
                let piece = PIECES[below(random, PIECES.len())];
                text.splice(at..at, piece.bytes());
            }
            5 => {
                // Two lines change places.
                let mut lines: Vec<Vec<u8>> = text
                    .split_inclusive(|byte| *byte == b'\n')
                    .map(<[u8]>::to_vec)
                    .collect();
                let count = lines.len();
                if count > 0 {
                    lines.swap(below(random, count), below(random, count));
                }
                text = lines.concat();
            }
            _ => {
                let words = words(&text);
                if !words.is_empty() {
                    let (from, to) = words[below(random, words.len())];
                    let instead = INSTEAD[below(random, INSTEAD.len())];
                    text.splice(from..to, instead.bytes());
                }
            }
        }
    }
    text
}

/// Asserts that no number in what was read is infinite or none; names are left out.
fn assert_finite(read: &impl Debug) {
    let shown = format!("{read:?}");
    let (mut plain, mut quoted, mut escaped) = (String::new(), false, false);
    for letter in shown.chars() {
        match letter {
            _ if escaped => escaped = false,
            '\\' if quoted => escaped = true,
            '"' => quoted = !quoted,
            letter if !quoted => plain.push(letter),
            _ => {}
        }
    }
    let odd = |word: &str| word == "NaN" || word == "inf";
    assert!(
        !plain
            .split(|letter: char| !letter.is_alphanumeric())
            .any(odd),
        "{shown}"
    );
}

struct Trial {
    folder: tempfile::TempDir,
    count: usize,
    random: Xoshiro256PlusPlus,
}

impl Trial {
    /// `OFFING_MUTANTS=10000` spoils more.
    fn new() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
            count: std::env::var("OFFING_MUTANTS").map_or(300, |count| count.parse().unwrap()),
            random: Xoshiro256PlusPlus::seed_from_u64(20_270_502),
        }
    }

    fn put(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.folder.path().join(name);
        fs::write(&path, bytes).unwrap();
        path
    }

    /// Spoils a text called `name`, and has it read: by an error's text where it is refused.
    fn run(
        &mut self,
        name: &str,
        sound: &str,
        mut read: impl FnMut(&Path, usize) -> Result<(), String>,
    ) {
        let path = self.put(name, sound);
        if let Err(said) = read(&path, 0) {
            panic!("a sound {name}: {said}");
        }
        let (mut accepted, mut refused, mut longest) = (0, 0, Duration::ZERO);
        for number in 1..=self.count {
            let bytes = spoilt(sound, &mut self.random);
            let path = self.put(name, &bytes);
            let started = Instant::now();
            match read(&path, number) {
                Ok(()) => accepted += 1,
                Err(said) => {
                    assert!(said.contains(name), "{said}");
                    refused += 1;
                }
            }
            longest = longest.max(started.elapsed());
        }
        self.put(name, sound);
        println!(
            "{name}: of {} spoilt files {accepted} were read and {refused} refused, each within \
             {} ms",
            self.count,
            longest.as_millis()
        );
        assert!(longest < LONGEST, "{name}: {longest:?}");
        assert!(accepted > 0 && refused > 0, "{name}: spoils all or nothing");
    }
}

fn demo(name: &str) -> String {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    fs::read_to_string(demo.join(name)).unwrap()
}

#[test]
fn no_spoilt_voyage_panics_or_gives_a_number_that_is_none() {
    let mut trial = Trial::new();
    let voyage_text = demo("fremantle-durban.toml");
    trial.put("cutter-12m.csv", demo("cutter-12m.csv"));
    let climate = Climate::ship_winds(&Region::world()).unwrap();
    let few = EnsembleOptions {
        members: 10,
        ..EnsembleOptions::default()
    };
    let options = Options::default().without_swings().with_ensemble(few);
    let mut accepted = 0;
    let mut sailed = 0;
    trial.run("voyage.toml", &voyage_text, |path, _| {
        let voyage = Voyage::read(path).map_err(|error| error.to_string())?;
        for route in &voyage.routes {
            assert_finite(&(route.waypoints(), route.length_nm()));
        }
        let boat = &voyage.boat;
        assert_finite(&(boat.polar(), boat.engine(), boat.handling(), boat.factor()));
        assert_finite(&(&voyage.stores, &voyage.generic_boat, &voyage.step));
        accepted += 1;
        if accepted % SAILED == 0
            && let Ok(found) = compare(&voyage, &climate, &options)
        {
            for route in &found.routes {
                assert_finite(&route.expected);
                assert_finite(&route.ensemble.days);
                assert_finite(&route.ensemble.exposure);
            }
            sailed += 1;
        }
        Ok(())
    });
    println!("of those read {sailed} were sailed");
    assert!(sailed > 0);
}

#[test]
fn no_spoilt_polar_or_log_panics_or_gives_a_number_that_is_none() {
    let mut trial = Trial::new();
    trial.run("polar.csv", &demo("cutter-12m.csv"), |path, _| {
        let polar = Polar::read(path).map_err(|error| error.to_string())?;
        assert_finite(&polar);
        for (wind_kn, angle_deg) in [(0.0, 0.0), (7.3, 44.0), (20.0, 110.0), (80.0, 180.0)] {
            let speed_kn = polar.speed_kn(wind_kn, angle_deg);
            assert!((0.0..100.0).contains(&speed_kn), "{speed_kn}");
        }
        Ok(())
    });
    let mut log = String::from(
        "time,latitude,longitude,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg,heading_deg,\
         under_power,remarks\n",
    );
    for hour in 0..20 {
        log += &format!(
            "2027-05-02T{hour:02}:00Z,{:.3},{:.3},{:.1},{},{},270,{},fair\n",
            -32.0 + 0.01 * f64::from(hour),
            115.0 - 0.1 * f64::from(hour),
            5.0 + 0.1 * f64::from(hour),
            12 + hour % 5,
            100 + hour,
            if hour % 7 == 0 { "yes" } else { "no" },
        );
    }
    trial.run("log.csv", &log, |path, _| {
        let log = Logbook::read(path).map_err(|error| error.to_string())?;
        assert_finite(&log);
        // Refused or not, without a panic.
        let _ = log.between_fixes();
        Ok(())
    });
}

#[test]
fn no_spoilt_route_file_panics_or_gives_a_number_that_is_none() {
    let mut trial = Trial::new();
    let routes = Voyage::demo().unwrap().routes;
    let track: String = (0..40)
        .map(|hour| {
            let (latitude, longitude) = (
                -32.0 + 0.02 * f64::from(hour),
                115.0 - 0.1 * f64::from(hour),
            );
            format!("<trkpt lat=\"{latitude:.4}\" lon=\"{longitude:.4}\"><ele>0</ele></trkpt>\n")
        })
        .collect();
    let gpx_track = format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"a plotter\" \
         xmlns=\"http://www.topografix.com/GPX/1/1\">\n<trk><name>Out</name><trkseg>\n{track}</trkseg></trk>\n</gpx>\n"
    );
    for (name, sound) in [
        ("route.gpx", gpx_text(&routes)),
        ("track.gpx", gpx_track),
        ("route.geojson", geojson_text(&routes)),
        ("route.csv", waypoints_csv(&routes)),
    ] {
        trial.run(name, &sound, |path, _| {
            let file = RouteFile::read(path).map_err(|error| error.to_string())?;
            assert_finite(&file);
            for choice in file.names() {
                if let Ok(route) = file.route("Route", Some(&choice), None) {
                    assert_finite(&(route.waypoints(), route.length_nm()));
                }
            }
            Ok(())
        });
    }
}

#[test]
fn no_spoilt_keep_out_file_panics() {
    let area = r#"{"type": "FeatureCollection", "features": [
{"type": "Feature", "properties": {"name": "ice"}, "geometry": {"type": "Polygon",
 "coordinates": [[[20, -45], [60, -45.5], [100, -47], [100, -60], [20, -60], [20, -45]]]}},
{"type": "Feature", "properties": {}, "geometry": {"type": "MultiPolygon",
 "coordinates": [[[[70, -30], [75, -30], [72.5, -25], [70, -30]]]]}}]}
"#;
    Trial::new().run("area.geojson", area, |path, _| {
        let area = KeepOut::read(path).map_err(|error| error.to_string())?;
        assert_finite(&area);
        let place = |latitude, longitude| offing::Position::new(latitude, longitude).unwrap();
        let _ = area.holds(place(-28.0, 72.0));
        let _ = area.meets(place(-20.0, 60.0), place(-60.0, 90.0));
        Ok(())
    });
}
