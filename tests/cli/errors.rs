//! Every error that the command line can show, once, as its reader sees it; and a list of those that it
//! cannot show.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use crate::climate_files::{Kind, Make, Time};
use crate::command::{Unfiltered, shown, snapshot_settings};

const VOYAGE: &str = r#"[voyage]
name = "Test"
departure = 2027-05-01

[boat]
polar = "polar.csv"

[[route]]
name = "Out"
[[route.waypoint]]
name = "A"
position = "30 S, 110 E"
[[route.waypoint]]
name = "B"
position = "30 S, 90 E"
leg = "rhumb"
"#;
/// The waypoints of [`VOYAGE`].
const WAYPOINTS: &str = r#"[[route.waypoint]]
name = "A"
position = "30 S, 110 E"
[[route.waypoint]]
name = "B"
position = "30 S, 90 E"
leg = "rhumb"
"#;
const POLAR: &str = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n\
                     6,45,3\n6,90,4\n6,180,3\n20,45,5\n20,90,7\n20,180,6\n";
const LOG: &str = "time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg\n";

/// A variant, and a run that ends in it.
struct Case {
    variant: &'static str,
    files: Vec<(&'static str, String)>,
    arguments: Vec<&'static str>,
    /// What else to do in the folder first.
    prepare: Box<dyn Fn(&Path)>,
}

impl Case {
    fn prepared(mut self, prepare: impl Fn(&Path) + 'static) -> Self {
        self.prepare = Box::new(prepare);
        self
    }
}

fn case(variant: &'static str, files: &[(&'static str, &str)], arguments: &[&'static str]) -> Case {
    let files = files.iter().map(|(name, text)| (*name, (*text).to_owned()));
    Case {
        variant,
        files: files.collect(),
        arguments: arguments.to_vec(),
        prepare: Box::new(|_| ()),
    }
}

/// [`VOYAGE`] with a waypoint more, between its two, that has these keys.
fn stopping(keys: &str) -> String {
    let last = "[[route.waypoint]]\nname = \"B\"";
    let between = "[[route.waypoint]]\nname = \"Between\"\nposition = \"30 S, 100 E\"";
    assert!(VOYAGE.contains(last));
    VOYAGE.replacen(last, &format!("{between}\n{keys}\n{last}"), 1)
}

/// [`stopping`], as [`voyage`].
fn stop(variant: &'static str, keys: &str) -> Case {
    case(
        variant,
        &[("voyage.toml", &stopping(keys))],
        &["check", "voyage.toml"],
    )
}

/// [`VOYAGE`] with a crew that waits on forecasts of this skill by day.
fn waits(variant: &'static str, skill: &str) -> Case {
    let handling = format!(
        "[handling]\nwait_up_to = \"5 days\"\nforecast_skill_by_day = [{skill}]\n\n[[route]]"
    );
    voyage(variant, "[[route]]", &handling)
}

/// [`VOYAGE`] as the first of two stages, of which the second begins at a place.
fn staged(place: &str) -> String {
    let first = VOYAGE.replace("[[route", "[[stage.route");
    let first = first.replacen(
        "[[stage.route]]",
        "[[stage]]\nname = \"One\"\n[[stage.route]]",
        1,
    );
    let waypoints = WAYPOINTS.replace("[[route", "[[stage.route");
    let waypoints = waypoints
        .replace("30 S, 90 E", "30 S, 80 E")
        .replace("30 S, 110 E", place);
    format!("{first}[[stage]]\nname = \"Two\"\n[[stage.route]]\nname = \"On\"\n{waypoints}")
}

/// A run on the voyage with two stages.
fn of_stages(variant: &'static str, arguments: &[&'static str]) -> Case {
    case(
        variant,
        &[("voyage.toml", &staged("30 S, 90 E"))],
        arguments,
    )
}

/// [`VOYAGE`] with another text in place of `old`.
fn voyage(variant: &'static str, old: &str, new: &str) -> Case {
    assert!(VOYAGE.contains(old), "{old}");
    let text = VOYAGE.replacen(old, new, 1);
    case(
        variant,
        &[("voyage.toml", &text)],
        &["check", "voyage.toml"],
    )
}

fn polar(variant: &'static str, text: &str) -> Case {
    case(variant, &[("polar.csv", text)], &["check", "voyage.toml"])
}

/// [`POLAR`] without the rows that begin with these.
fn polar_without(variant: &'static str, rows: &[&str]) -> Case {
    let kept = POLAR
        .lines()
        .filter(|row| !rows.iter().any(|left| row.starts_with(left)));
    polar(variant, &kept.collect::<Vec<_>>().join("\n"))
}

/// A voyage whose route is of a file.
fn route_file(variant: &'static str, name: &'static str, text: &str, keys: &str) -> Case {
    let route = format!("file = \"{name}\"\n{keys}");
    let voyage = VOYAGE.replace(WAYPOINTS, &route);
    case(
        variant,
        &[("voyage.toml", &voyage), (name, text)],
        &["check", "voyage.toml"],
    )
}

fn gpx(variant: &'static str, inner: &str, keys: &str) -> Case {
    let text = format!("<gpx version=\"1.1\" creator=\"test\">{inner}</gpx>");
    route_file(variant, "plan.gpx", &text, keys)
}

fn track(points: impl Iterator<Item = (f64, f64)>) -> String {
    let points = points.map(|(lat, lon)| format!("<trkpt lat=\"{lat:.5}\" lon=\"{lon:.5}\"/>"));
    let points: String = points.collect();
    format!("<trk><name>T</name><trkseg>{points}</trkseg></trk>")
}

/// Areas to keep out of.
fn areas(variant: &'static str, text: &str) -> Case {
    let arguments = ["shape", "voyage.toml", "--keep-out", "areas.geojson"];
    case(variant, &[("areas.geojson", text)], &arguments)
}

fn log(variant: &'static str, command: &'static str, rows: &str) -> Case {
    let arguments = match command {
        "learn" => &["boat", command, "log.csv", "--voyage", "voyage.toml"][..],
        _ => &["boat", command, "log.csv", "voyage.toml"],
    };
    case(variant, &[("log.csv", rows)], arguments)
}

/// Entries of a log, an hour each, of this wind and boat speed.
fn entries(count: usize, of: impl Fn(usize) -> (f64, f64)) -> String {
    let row = |hour: usize| {
        let (wind_kn, speed_kn) = of(hour);
        let (day, hour) = (hour / 24 + 1, hour % 24);
        format!("2025-04-{day:02}T{hour:02}:00:00Z,{speed_kn:.2},{wind_kn:.2},90\n")
    };
    let rows: String = (0..count).map(row).collect();
    format!("{LOG}{rows}")
}

fn shape(variant: &'static str, more: &[&'static str]) -> Case {
    case(variant, &[], &[&["shape", "voyage.toml"], more].concat())
}

fn compare(variant: &'static str, more: &[&'static str]) -> Case {
    case(
        variant,
        &[],
        &[&["compare", "voyage.toml", "--members", "10"], more].concat(),
    )
}

fn climate(variant: &'static str, bytes: &str) -> Case {
    let files = [("winds.nc", bytes)];
    case(
        variant,
        &files,
        &["climate", "20 S, 80 E", "--climate", "winds.nc"],
    )
}

fn of_units_and_places() -> Vec<Case> {
    let position = |variant, text: &str| voyage(variant, "30 S, 110 E", text);
    let fuel = |variant, text: &str| {
        let engine = format!(
            "[boat.engine]\nmotor_speed_kn = 5\nlitres_per_hour = 2\nfuel = {text}\n\n[[route]]"
        );
        voyage(variant, "[[route]]", &engine)
    };
    let line = |a: &str, b: &str, more: &str| {
        WAYPOINTS
            .replace("30 S, 110 E", a)
            .replace("30 S, 90 E", b)
            .replace("leg = \"rhumb\"\n", more)
    };
    let leg = |variant, a, b, more| voyage(variant, WAYPOINTS, &line(a, b, more));
    let composite = "leg = \"composite\"\nlimit_latitude = 35\n";
    vec![
        fuel("QuantityError::NotAQuantity", "\"much\""),
        fuel("QuantityError::NoUnit", "\"200\""),
        fuel("QuantityError::UnknownUnit", "\"200 pots\""),
        fuel("QuantityError::AmbiguousUnit", "\"50 gal\""),
        fuel("QuantityError::WrongKind", "\"50 kg\""),
        position("GeodesyError::PositionText", "somewhere"),
        position("PositionFault::NotTwoParts", "30 S"),
        position("PositionFault::Letter", "30 E, 110 S"),
        position("PositionFault::SignAndLetter", "-30 S, 110 E"),
        position("PositionFault::Number", "3x0 S, 110 E"),
        position("PositionFault::Shape", "30 1 2 3 S, 110 E"),
        position("PositionFault::Minutes", "30 60 S, 110 E"),
        position("PositionFault::BrokenDegrees", "30.5 10 S, 110 E"),
        position("PositionFault::LetterMissing", "30 10, 110 10"),
        leg("GeodesyError::SamePlace", "30 S, 90 E", "30 S, 90 E", ""),
        leg(
            "GeodesyError::EndBeyondLimit",
            "30 S, 110 E",
            "40 S, 30 E",
            composite,
        ),
        leg(
            "GeodesyError::HemispheresDiffer",
            "10 N, 80 E",
            "10 S, 60 E",
            composite,
        ),
        route_file(
            "GeodesyError::LimitInOtherHemisphere",
            "plan.csv",
            "latitude_deg,longitude_deg,leg,limit_latitude_deg\n30,160,,\n30,-160,composite,-35\n",
            "",
        ),
        voyage(
            "PortError::Unknown",
            "position = \"30 S, 110 E\"",
            "place = \"Fremantel\"",
        ),
        voyage(
            "PortError::Several",
            "position = \"30 S, 110 E\"",
            "place = \"Newport\"",
        ),
    ]
}

fn of_boats() -> Vec<Case> {
    let header = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn";
    let row = "2025-04-01T00:00:00Z,5,12,90\n";
    let two_logs = ["boat", "learn", "a.csv", "b.csv", "--voyage", "voyage.toml"];
    let fixes = "time,latitude,longitude,true_wind_speed_kn,true_wind_angle_deg\n\
                 2025-04-01T00:00:00Z,-30,100,12,90\n2025-04-02T00:00:00Z,-30,98,12,90\n";
    let engine = "[boat.engine]\nmotor_speed_kn = 3\nlitres_per_hour = 2\nfuel_litres = 90\n\n\
                  [handling]\nmotor_below_kn = 4\n\n[[route]]";
    // More than twice the polar's speeds.
    let swift = |hour: usize| {
        let wind_kn = 13.0 + 7.0 * (hour as f64 / 7.0).sin();
        (wind_kn, 2.2 * (4.0 + (wind_kn - 6.0) * 3.0 / 14.0))
    };
    vec![
        voyage("BoatError::Read", "polar.csv", "none.csv"),
        polar("BoatError::Empty", ""),
        polar("BoatError::Header", "wind,angle,speed\n6,45,3\n"),
        polar("BoatError::CellCount", &format!("{header}\n6,45,3,1\n")),
        polar(
            "BoatError::Cell",
            &POLAR.replace("20,90,7", "20,90,\u{1b}[31mfast"),
        ),
        polar("BoatError::DuplicatePoint", &format!("{POLAR}6,45,3\n")),
        polar("BoatError::NoSpeed", &format!("{header}\n6,45,0\n6,90,0\n")),
        polar_without("BoatError::MissingPoints", &["20,90"]),
        polar_without("BoatError::TooFew", &["20,"]),
        polar("BoatError::NotToDownwind", &POLAR.replace(",180,", ",170,")),
        polar("BoatError::NotToWindward", &POLAR.replace(",45,", ",60,")),
        voyage("BoatError::MotorSlower", "[[route]]", engine),
        waits(
            "BoatError::SkillDays",
            "0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1",
        ),
        waits("BoatError::Skill", "0.99, 0.98, 0.97, 0.96"),
        log("BoatError::Column", "fit", "time,speed\n1,2\n"),
        log("BoatError::TimeOrder", "fit", &format!("{LOG}{row}{row}")),
        log("BoatError::TooFewEntries", "fit", &format!("{LOG}{row}")),
        log("BoatError::TooFewToLearn", "learn", &format!("{LOG}{row}")),
        log(
            "BoatError::NoWinds",
            "learn",
            &format!("{LOG}2025-04-01T00:00:00Z,5,,\n"),
        ),
        log(
            "BoatError::NoSpeedNorFixes",
            "learn",
            &format!("{LOG}2025-04-01T00:00:00Z,,12,90\n"),
        ),
        log("BoatError::NoWindDirection", "learn", fixes),
        case(
            "BoatError::ColumnsDiffer",
            &[("a.csv", &format!("{LOG}{row}")), ("b.csv", fixes)],
            &two_logs,
        ),
        log(
            "BoatError::WindsTooAlike",
            "learn",
            &entries(400, |_| (12.0, 5.0)),
        ),
        log("BoatError::UnlikelyFactor", "fit", &entries(300, swift)),
        log("BoatError::UnlikelyPolar", "learn", &entries(700, swift)),
    ]
}

fn of_routes() -> Vec<Case> {
    let point = "<rtept lat=\"-30\" lon=\"110\"/><rtept lat=\"-30\" lon=\"90\"/>";
    let route = |name: &str| format!("<rte><name>{name}</name>{point}</rte>");
    let geojson = |variant, text: &str| route_file(variant, "plan.geojson", text, "");
    let csv = |variant, rows: &str| {
        let text = format!("name,latitude_deg,longitude_deg\n{rows}");
        route_file(variant, "plan.csv", &text, "")
    };
    let winding = (0..9000).map(|n| {
        let off_deg = f64::from(n) * 0.002;
        (if n % 2 == 0 { off_deg } else { -off_deg }, 80.0)
    });
    let apart = "<trk><name>T</name><trkseg><trkpt lat=\"-30\" lon=\"110\"/></trkseg>\
                 <trkseg><trkpt lat=\"-30\" lon=\"90\"/></trkseg></trk>";
    let feature = |geometry: &str| {
        format!("{{\"type\": \"Feature\", \"properties\": {{}}, \"geometry\": {geometry}}}")
    };
    vec![
        voyage(
            "RouteError::WaypointCount",
            WAYPOINTS,
            &WAYPOINTS[..WAYPOINTS.rfind("[[").unwrap()],
        ),
        voyage(
            "RouteError::Leg",
            WAYPOINTS,
            &WAYPOINTS
                .replace("110 E", "90 E")
                .replace("name = \"B\"", "name = \"Back\""),
        ),
        voyage(
            "RouteError::TooShort",
            WAYPOINTS,
            &WAYPOINTS.replace("30 S, 110 E", "30 00.1 S, 90 E"),
        ),
        route_file("RouteError::File", "plan.gpx", "", ""),
        voyage(
            "RouteFileProblem::Unreadable",
            WAYPOINTS,
            "file = \"none.gpx\"\n",
        ),
        route_file("RouteFileProblem::UnknownKind", "plan.kml", "", ""),
        gpx("RouteFileProblem::Malformed", "<rte>", ""),
        gpx(
            "RouteFileProblem::HiddenCharacter",
            &route("Home\u{202e}emoH"),
            "",
        ),
        gpx(
            "RouteFileProblem::LongName",
            &route(&"long ".repeat(50)),
            "",
        ),
        geojson(
            "RouteFileProblem::WrongGeometry",
            &feature(
                "{\"type\": \"Polygon\", \"coordinates\": [[[1, 2], [3, 4], [5, 1], [1, 2]]]}",
            ),
        ),
        geojson("RouteFileProblem::NoGeometry", &feature("null")),
        geojson(
            "RouteFileProblem::PartsApart",
            &feature(
                "{\"type\": \"MultiLineString\", \"coordinates\": [[[1, 2], [3, 4]], [[5, 6], [7, 8]]]}",
            ),
        ),
        gpx("RouteFileProblem::SegmentsApart", apart, ""),
        gpx(
            "RouteFileProblem::NoRoute",
            "<wpt lat=\"1\" lon=\"2\"/>",
            "",
        ),
        gpx(
            "RouteFileProblem::SeveralRoutes",
            &(1..=25)
                .map(|n| route(&format!("R{n}")))
                .collect::<String>(),
            "",
        ),
        gpx(
            "RouteFileProblem::NoSuchRoute",
            &route("R"),
            "file_route = \"S\"\n",
        ),
        gpx(
            "RouteFileProblem::NameTwice",
            &[route("R"), route("R")].concat(),
            "file_route = \"R\"\n",
        ),
        gpx(
            "RouteFileProblem::TrackLegs",
            &track([(-30.0, 110.0), (-30.0, 90.0)].into_iter()),
            "leg = \"rhumb\"\n",
        ),
        gpx("RouteFileProblem::TrackTooWinding", &track(winding), ""),
        gpx(
            "RouteFileProblem::TooManyPoints",
            &track((0..200_001).map(|n| (-30.0, 80.0 + f64::from(n) * 1e-5))),
            "",
        ),
        csv("RouteFileProblem::Position", "Off,-95,110\n"),
        route_file(
            "RouteFileProblem::Column",
            "plan.csv",
            "latitude,longitude\n1,2\n",
            "",
        ),
        route_file(
            "RouteFileProblem::NoColumn",
            "plan.csv",
            "name,latitude_deg\nA,1\n",
            "",
        ),
        csv("RouteFileProblem::Cell", "A,thirty,110\n"),
    ]
}

fn of_voyages() -> Vec<Case> {
    let routes = VOYAGE.split("[[route]]").nth(1).unwrap();
    let many: String = (1..=100)
        .map(|n| {
            format!(
                "[[route]]{}",
                routes.replace("\"Out\"", &format!("\"R{n}\""))
            )
        })
        .collect();
    let person = "[[crew.person]]\nsex = \"female\"\nage_years = 40\nmass = \"60 kg\"\n\n";
    let food = "[[food.kind]]\nname = \"bread\"\nkeeping = \"fresh\"\nshare = 0.6\nkcal_per_kg = 2000\n\
                litres_per_kg = 2\nkeeps_days = 20\n\n";
    let misspelt: String = (1..=30).map(|n| format!("departur{n} = 1\n")).collect();
    vec![
        case("VoyageError::Unreadable", &[], &["check", "none.toml"]),
        voyage("VoyageError::NotToml", "[boat]", "[boat"),
        voyage(
            "VoyageError::Entries",
            "[boat]",
            &format!("{misspelt}\n[boat]"),
        ),
        voyage(
            "Problem::UnknownKey",
            "departure =",
            "\"depart\\u001b[2Jure\" =",
        ),
        voyage("Problem::Missing", "departure = 2027-05-01\n", ""),
        voyage("Problem::WrongKind", "\"Test\"", "5"),
        voyage("Problem::Value", "\"Test\"", "\"\\u202eTest\""),
        voyage(
            "Problem::NameTwice",
            VOYAGE,
            &format!("{VOYAGE}[[route]]{routes}"),
        ),
        case(
            "Problem::Apart",
            &[("voyage.toml", &staged("31 S, 90 E"))],
            &["check", "voyage.toml"],
        ),
        stop("Problem::Date", "arrive_by = 2027-04-30"),
        voyage(
            "StopFault::AtStart",
            "name = \"A\"",
            "name = \"A\"\nstay = \"2 days\"",
        ),
        voyage("StopFault::AtEnd", "leg = \"rhumb\"", "stay = \"2 days\""),
        voyage(
            "RouteError::Stop",
            "leg = \"rhumb\"",
            "resupply = [\"diesel\"]",
        ),
        voyage("Problem::TooMany", VOYAGE, &format!("{VOYAGE}{many}")),
        voyage(
            "Problem::OutOfPlace",
            "[[route]]",
            "[handling]\nmotor_below_kn = 2\n\n[[route]]",
        ),
        voyage("Problem::OneOfTwo", "polar = \"polar.csv\"\n", ""),
        voyage(
            "StoresError::OutOfRange",
            "[[route]]",
            &format!("{}[[route]]", person.repeat(21)),
        ),
        voyage(
            "StoresError::Conflict",
            "[[route]]",
            &format!("{person}{food}{}[[route]]", food.replace("bread", "fruit")),
        ),
    ]
}

fn of_passages_and_courses() -> Vec<Case> {
    let polygon =
        |corners: &str| format!("{{\"type\": \"Polygon\", \"coordinates\": [[{corners}]]}}");
    let square = polygon("[95, -60], [105, -60], [105, 30], [95, 30], [95, -60]");
    let mut closed = areas("ShapingError::Closed", &square);
    closed.arguments.extend(["--grid", "5"]);
    vec![
        case("PassageError::NoWinds", &[], &["climate", "47 N, 70 E"]),
        case(
            "PassageError::TooMany",
            &[],
            &[
                "season",
                "voyage.toml",
                "--every",
                "1",
                "--members",
                "1000000",
            ],
        ),
        {
            let late = VOYAGE.replacen("[boat]", "leave_after = 2027-05-01\n[boat]", 1);
            case(
                "PassageError::NoDeparture",
                &[("voyage.toml", &late)],
                &["season", "voyage.toml", "--year", "2026"],
            )
        },
        case(
            "PassageError::ShortPieces",
            &[],
            &["legs", "voyage.toml", "--by", "1nm"],
        ),
        case(
            "PassageError::ManyPieces",
            &[(
                "voyage.toml",
                &VOYAGE.replacen("[boat]", "step_nm = 0.5\n[boat]", 1),
            )],
            &["legs", "voyage.toml", "--by", "0.5nm"],
        ),
        {
            let inland = VOYAGE
                .replace("30 S, 110 E", "25 S, 160 E")
                .replace("30 S, 90 E", "25 S, 110 E");
            case(
                "ClimateGap::NoData",
                &[("voyage.toml", &inland)],
                &["compare", "voyage.toml"],
            )
        },
        shape("ShapingError::EndOnLand", &["--from", "25 S, 130 E"]),
        shape(
            "ShapingError::NoPassage",
            &["--from", "30 S, 100 E", "--to", "30 S, 100 E"],
        ),
        case(
            "ShapingError::Stops",
            &[("voyage.toml", &stopping("stay = \"6 days\""))],
            &["shape", "voyage.toml"],
        ),
        shape("ShapingError::EndBreaksLimit", &["--not-south-of", "-20"]),
        shape(
            "ShapingError::CrossedLatitudes",
            &["--not-south-of", "10", "--not-north-of", "-10"],
        ),
        closed,
        // From the Black Sea: the outlines have no Bosporus.
        shape(
            "ShapingError::NoWay",
            &["--from", "43 N, 34 E", "--to", "35 N, 20 E", "--grid", "5"],
        ),
        shape("ShapingError::NoEngine", &["--tradeoff", "engine"]),
        case(
            "KeepOutError::Unreadable",
            &[],
            &["shape", "voyage.toml", "--keep-out", "none.geojson"],
        ),
        areas("KeepOutError::NotGeoJson", "{\n\"type\": Polygon}"),
        areas(
            "KeepOutError::NoPolygon",
            "{\"type\": \"FeatureCollection\", \"features\": []}",
        ),
        areas(
            "KeepOutError::NoGeometry",
            "{\"type\": \"Feature\", \"properties\": {}, \"geometry\": null}",
        ),
        areas(
            "KeepOutError::NotAnArea",
            "{\"type\": \"Point\", \"coordinates\": [1, 2]}",
        ),
        areas(
            "KeepOutError::Unsound",
            &polygon("[0, 0], [10, 10], [10, 0], [0, 10], [0, 0]"),
        ),
    ]
}

/// A file of winds of the climate's own tests, changed or in a voyage as the arguments say.
fn made(variant: &'static str, make: Make, arguments: &[&'static str]) -> Case {
    case(variant, &[], arguments).prepared(move |folder| {
        make.write(folder);
    })
}

/// Winds, or currents, on the grids of these sizes, all 1 in `units` but for what `gap` leaves out.
fn fields(
    folder: &Path,
    fields: [&str; 2],
    grids: [&[usize]; 2],
    gap: impl Fn(usize, usize) -> bool,
) {
    let mut file = netcdf::create(folder.join("climate.nc")).unwrap();
    let mut sizes = BTreeSet::new();
    for (field, (name, grid)) in fields.iter().zip(grids).enumerate() {
        let names = grid.iter().map(|size| format!("d{size}"));
        let names: Vec<String> = names.collect();
        for (name, size) in names.iter().zip(grid) {
            if sizes.insert(*size) {
                file.add_dimension(name, *size).unwrap();
                let (units, first, step) = match size {
                    12 => ("days since 1990-01-01", 15.0, 30.4),
                    18 | 9 => ("degrees_north", -85.0, 10.0),
                    _ => ("degrees_east", 5.0, 10.0),
                };
                let mut along = file.add_variable::<f64>(name, &[name]).unwrap();
                along.put_attribute("units", units).unwrap();
                let values: Vec<f64> = (0..*size).map(|n| first + step * n as f64).collect();
                along.put_values(&values, ..).unwrap();
            }
        }
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let mut variable = file.add_variable::<f64>(name, &names).unwrap();
        variable.put_attribute("standard_name", *name).unwrap();
        variable.put_attribute("units", "m s-1").unwrap();
        let count = grid.iter().product();
        let value = |place| if gap(field, place) { f64::NAN } else { 1.0 };
        let values: Vec<f64> = (0..count).map(value).collect();
        variable.put_values(&values, ..).unwrap();
    }
    file.close().unwrap();
}

fn of_climates() -> Vec<Case> {
    const PLACE: [&str; 4] = ["climate", "20 S, 80 E", "--climate", "climate.nc"];
    const WINDS: [&str; 2] = ["eastward_wind", "northward_wind"];
    const CURRENTS: [&str; 2] = [
        "eastward_sea_water_velocity",
        "northward_sea_water_velocity",
    ];
    let plain = Make::plain;
    let own = |keys: &str| format!("{VOYAGE}\n[climate]\nfile = \"climate.nc\"\n{keys}");
    let with_own = |variant, keys: &str, arguments: &[&'static str]| {
        let files = [("voyage.toml", &*own(keys))];
        case(variant, &files, arguments).prepared(|folder| drop(Make::plain().write(folder)))
    };
    let change = |variant, change: fn(&Path)| {
        made(variant, Make::plain(), &PLACE).prepared(move |folder| {
            change(&Make::plain().write(folder));
        })
    };
    let short = Make {
        kind: Kind::Classic,
        ..plain()
    };
    let unlike = |names| Make {
        standard_names: false,
        names,
        ..plain()
    };
    let mut jagged = plain();
    jagged.latitudes_deg[3] = -90.0;
    let part = Make {
        latitudes_deg: vec![-40.0, -30.0, -20.0],
        longitudes_deg: vec![80.0, 90.0, 100.0],
        ..plain()
    };
    let current = format!("{VOYAGE}\n[current]\nfile = \"climate.nc\"\n");
    vec![
        case(
            "ClimateFault::Unreadable",
            &[],
            &["climate", "20 S, 80 E", "--climate", "none.nc"],
        ),
        case(
            "ClimateFault::NotAFile",
            &[],
            &["climate", "20 S, 80 E", "--climate", "."],
        ),
        climate("ClimateFault::Empty", ""),
        climate("ClimateFault::NotNetcdf", "<html>\u{1b}[2J"),
        case("ClimateFault::CutShort", &[], &PLACE).prepared(move |folder| {
            let file = short.write(folder);
            let bytes = fs::read(&file).unwrap();
            fs::write(file, &bytes[..bytes.len() - 5]).unwrap();
        }),
        made(
            "ClimateFault::NoVariable",
            unlike(["lat", "lon", "u", "sideways", "speed"]),
            &PLACE,
        ),
        with_own(
            "ClimateFault::NoSuchVariable",
            "[climate.variables]\neastward_wind = \"vv\"\n",
            &["check", "voyage.toml"],
        ),
        made(
            "ClimateFault::Ambiguous",
            unlike(["lat", "lon", "u", "v", "u10"]),
            &PLACE,
        ),
        case("ClimateFault::Layout", &[], &PLACE)
            .prepared(|folder| fields(folder, WINDS, [&[18, 36], &[18, 36]], |_, _| false)),
        made(
            "ClimateFault::Months",
            Make {
                steps: 11,
                time: Time::MonthNumbers,
                ..plain()
            },
            &PLACE,
        ),
        made(
            "ClimateFault::RepeatedMonth",
            Make {
                time: Time::AllJanuary,
                ..plain()
            },
            &PLACE,
        ),
        case("ClimateFault::OtherGrid", &[], &PLACE)
            .prepared(|folder| fields(folder, WINDS, [&[12, 18, 36], &[12, 9, 36]], |_, _| false)),
        made("ClimateFault::Coordinate", jagged, &PLACE),
        made(
            "ClimateFault::Units",
            Make {
                units: Some("furlongs\u{1b}[31m"),
                ..plain()
            },
            &PLACE,
        ),
        change("ClimateFault::Attribute", |file| {
            let mut file = netcdf::append(file).unwrap();
            let mut variable = file.variable_mut("eastward").unwrap();
            variable.put_attribute("scale_factor", "two").unwrap();
        }),
        change("ClimateFault::NearAttribute", |file| {
            let mut file = netcdf::append(file).unwrap();
            let mut variable = file.variable_mut("eastward").unwrap();
            variable.put_attribute("add_offsett", 1.0).unwrap();
        }),
        made(
            "ClimateFault::Misses",
            part,
            &["climate", "20 N, 30 W", "--climate", "climate.nc"],
        ),
        case(
            "ClimateFault::AllMissing",
            &[("voyage.toml", &own(""))],
            &["check", "voyage.toml"],
        )
        .prepared(|folder| fields(folder, WINDS, [&[12, 18, 36]; 2], |_, _| true)),
        case(
            "ClimateFault::NoWind",
            &[("voyage.toml", &own(""))],
            &["check", "voyage.toml"],
        )
        .prepared(|folder| {
            fields(folder, WINDS, [&[12, 18, 36]; 2], |field, place| {
                place % 2 == field
            });
        }),
        case(
            "ClimateFault::NoCurrent",
            &[("voyage.toml", &current.replace("30 S, 90 E", "10 S, 90 E"))],
            &["check", "voyage.toml"],
        )
        .prepared(|folder| {
            // Known only at 5 S 115 E, to one side of the route.
            fields(folder, CURRENTS, [&[18, 36]; 2], |_, place| {
                place != 8 * 36 + 11
            });
        }),
        made(
            "ClimateFault::Absurd",
            Make {
                factor: 100.0,
                ..plain()
            },
            &PLACE,
        ),
        case(
            "ShapingError::CurrentTooStrong",
            &[
                ("voyage.toml", &current),
                (
                    "polar.csv",
                    &POLAR
                        .replace(",3\n", ",0.1\n")
                        .replace(",4\n", ",0.1\n")
                        .replace(",5\n", ",0.2\n")
                        .replace(",6\n", ",0.2\n")
                        .replace(",7\n", ",0.2\n"),
                ),
            ],
            &["shape", "voyage.toml", "--grid", "5"],
        )
        .prepared(|folder| fields(folder, CURRENTS, [&[18, 36]; 2], |_, _| false)),
        with_own(
            "ShapingError::EndWithoutWind",
            "",
            &["shape", "voyage.toml", "--from", "5 S, 60 E"],
        ),
        with_own(
            "ShapingError::NoAirTemperature",
            "",
            &["shape", "voyage.toml", "--min-air", "5"],
        ),
    ]
}

fn of_the_command_line() -> Vec<Case> {
    let read_only = |folder: &Path| {
        let file = folder.join("out.csv");
        fs::write(&file, "old").unwrap();
        let mut permissions = fs::metadata(&file).unwrap().permissions();
        permissions.set_readonly(true);
        fs::set_permissions(file, permissions).unwrap();
    };
    vec![
        compare("OutputError::ReadOnly", &["--csv", "out.csv"]).prepared(read_only),
        case("CliError::Arguments", &[], &["compare", "--membrs", "20"]),
        compare("CliError::Option", &["--persistence", "1e300"]),
        case(
            "CliError::NoSuchRoute",
            &[],
            &["legs", "voyage.toml", "--route", "Ou\u{9b}t"],
        ),
        shape(
            "CliError::NoSuchCourse",
            &["--tradeoff", "headwind", "--pick", "99", "--grid", "5"],
        ),
        {
            let over = VOYAGE
                .replace("30 S, 110 E", "24 S, 50 E")
                .replace("30 S, 90 E", "24 S, 42 E");
            case(
                "CliError::OverLand",
                &[("voyage.toml", &over)],
                &["check", "voyage.toml", "--strict"],
            )
        },
        case(
            "CliError::Unanswered",
            &[],
            &["new", "--from", "Fremantle, Australia"],
        )
        .prepared(|folder| fs::remove_file(folder.join("voyage.toml")).unwrap()),
        case("CliError::NoSuchCommand", &[], &["man", "compere"]),
        compare("OutputError::Refused", &["--csv", "no\nwhere/out.csv"]),
        compare("OutputError::Twice", &["--csv", "out", "--html", "./out"]),
        compare("OutputError::AlsoRead", &["--csv", "polar.csv"]),
        case("OutputError::AlreadyThere", &[], &["new", "--example"]),
        of_stages("CliError::Stages", &["compare", "voyage.toml"]),
        of_stages(
            "CliError::NoSuchStage",
            &["compare", "voyage.toml", "--stage", "Too"],
        ),
        case(
            "CliError::OfStages",
            &[],
            &["season", "voyage.toml", "--html", "plan.html"],
        ),
        compare("OutputError::FolderName", &["--csv", "nodir/"]),
    ]
}

/// Those that no run can end in, or none that a test can make anywhere, and why.
const NOT_SHOWN: &[(&str, &str)] = &[
    (
        "CliError::NotStarted",
        "takes a system without a process to spare",
    ),
    ("CliError::Crashed", "damaged.rs"),
    (
        "CliError::Silent",
        "takes a disk that does not answer for ten minutes",
    ),
    (
        "CliError::NotRemoved",
        "takes a folder that is locked while the file beside it is written",
    ),
    ("ClimateFault::NoSuchYear", "years.rs"),
    ("ClimateFault::NoYears", "years.rs"),
    ("StudyError::SecondClimate", "years.rs"),
    ("StudyError::NoBoats", "no command: src/study/rally.rs"),
    ("StudyError::BoatTwice", "no command: src/study/rally.rs"),
    (
        "CliError::Threads",
        "takes a system without a thread to spare: tried by hand under `ulimit -u`",
    ),
    (
        "ClimateFault::NotMonthly",
        "winds.rs: a daily series as a climate",
    ),
    (
        "ClimateFault::NotStarted",
        "takes a system without a process to spare",
    ),
    ("ClimateFault::Series", "the words of a SeriesError"),
    (
        "ClimateFault::WithoutNetcdf",
        "the command line reads NetCDF: climate/no_reader.rs",
    ),
    ("ClimateFault::TooLarge", "takes a file of 4 GB"),
    (
        "ClimateFault::TooSlow",
        "damaged.rs: a reader that does not end",
    ),
    (
        "SeriesError::Duplicate",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::Mixed",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::NoMonth",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::NoQuantity",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::NoSuchYears",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::NoWind",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::NotWritten",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::OtherCalendar",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::OtherGrid",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::Spacing",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::InUse",
        "two runs at once: tests/climate/series/resumed.rs",
    ),
    (
        "SeriesError::NotKept",
        "a folder that is damaged: tests/climate/series/resumed.rs",
    ),
    (
        "SeriesError::Uneven",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::Unpaired",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "SeriesError::Unwritable",
        "files of a series: winds.rs and tests/climate/files",
    ),
    (
        "BoatError::Csv",
        "the csv crate finds fault with no text that is UTF-8",
    ),
    (
        "ClimateFault::Damaged",
        "in the NetCDF library's words: tests/climate/files/refusals.rs",
    ),
    ("ClimateFault::TooFine", "takes a file of gigabytes"),
    (
        "CliError::Terminal",
        "takes a terminal that breaks while it asks",
    ),
    (
        "CliError::Stdout",
        "takes a full disk for standard output: faults.rs",
    ),
    (
        "GeodesyError::BeyondPole",
        "no route asks for a distance on a course",
    ),
    ("GeodesyError::RhumbFromPole", "the same"),
    (
        "OutputError::IsStandardOutput",
        "takes a file for standard output: faults.rs",
    ),
    (
        "ClimateGap::Outside",
        "on a voyage a place off the file's grid is ClimateGap::NoData",
    ),
    ("PassageError::Gap", "shown by ClimateGap"),
    (
        "StoresError::Missing",
        "the file's reader misses the key first",
    ),
];

fn all() -> Vec<Case> {
    [
        of_units_and_places(),
        of_boats(),
        of_routes(),
        of_voyages(),
        of_passages_and_courses(),
        of_climates(),
        of_the_command_line(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[test]
fn every_error_is_shown_as_its_reader_sees_it() {
    let mut text = String::new();
    let folder = tempfile::tempdir().unwrap();
    for case in all() {
        let folder = folder.path().join(case.variant.replace("::", "_"));
        fs::create_dir(&folder).unwrap();
        let base = [
            ("voyage.toml", VOYAGE.to_owned()),
            ("polar.csv", POLAR.to_owned()),
        ];
        for (name, text) in base.iter().chain(&case.files) {
            fs::write(folder.join(name), text).unwrap();
        }
        (case.prepare)(&folder);
        let files = || fs::read_dir(&folder).unwrap().count();
        let before = files();
        let said = shown(&folder, &case.arguments);
        assert_eq!(files(), before, "{} writes", case.variant);
        let refused = said.contains("\n--- stderr\nerror: ") && said.ends_with("--- exit code 2\n");
        assert!(refused, "{}: {said}", case.variant);
        assert!(said.chars().count() < 4000, "{}: {said}", case.variant);
        let hidden = |letter: char| letter != '\n' && offing::text::is_hidden(letter);
        let (_, complaint) = said.split_once("--- stderr").unwrap();
        assert!(!complaint.chars().any(hidden), "{}: {said:?}", case.variant);
        text += &format!("# {}\n{said}\n", case.variant);
    }
    let _unfiltered = Unfiltered(&text);
    snapshot_settings(folder.path()).bind(|| insta::assert_snapshot!("every_error", text));
}

/// The variants of the errors declared in a source text, as `Error::Variant`.
fn variants(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut inside: Option<String> = None;
    let mut is_error = false;
    // Such a variant is shown as the error within it.
    let mut transparent = false;
    for line in text.lines() {
        if line.starts_with("#[derive(") {
            is_error = line.contains("Error");
        } else if let Some(rest) = line.strip_prefix("pub enum ") {
            let name = rest.split(' ').next().unwrap().to_owned();
            inside = is_error.then_some(name);
        } else if line == "}" {
            inside = None;
        } else if line.trim() == "#[error(transparent)]" {
            transparent = true;
        } else if let (Some(name), Some(rest)) = (&inside, line.strip_prefix("    "))
            && rest.starts_with(|first: char| first.is_ascii_uppercase())
        {
            let variant = rest.split(['{', '(', ',', ' ']).next().unwrap();
            if !transparent {
                found.push(format!("{name}::{variant}"));
            }
            transparent = false;
        }
    }
    found
}

fn declared(folder: &Path, all: &mut BTreeSet<String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            declared(&path, all);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            all.extend(variants(&fs::read_to_string(path).unwrap()));
        }
    }
}

#[test]
fn no_error_is_forgotten() {
    let mut declared_ones = BTreeSet::new();
    declared(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src"),
        &mut declared_ones,
    );
    assert!(declared_ones.len() > 100, "{declared_ones:?}");
    let told = all().into_iter().map(|case| case.variant.to_owned());
    let told = told.chain(NOT_SHOWN.iter().map(|(variant, _)| (*variant).to_owned()));
    let mut seen = BTreeSet::new();
    for variant in told {
        assert!(seen.insert(variant.clone()), "{variant} is told twice");
    }
    assert_eq!(seen, declared_ones);
}
