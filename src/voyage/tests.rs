//! Voyage files good and bad: each complaint names file, line, key, what was found and allowed.

use super::load::Shelf;
use super::read::Document;
use super::*;
use crate::boat::{GenericBoat, Keel, Rig};
use crate::geodesy::LegKind;
use crate::route::{Goods, Stay};

const POLAR: &str = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn
10,40,4
10,90,6
10,180,5
20,40,5
20,90,7
20,180,6
";

pub(super) const SOUND: &str = r#"[voyage]
name = "Out and back"
departure = 2027-05-01

[boat]
polar = "polar.csv"

[[route]]
name = "Out"

[[route.waypoint]]
name = "A"
position = "10 00.0 S, 20 00.0 E"

[[route.waypoint]]
name = "B"
position = "12.5 S, 30 E"
leg = "rhumb"
"#;

const DEPARTURE: &str = "departure = 2027-05-01";

/// The voyage of a text called voyage.toml, beside a sound polar.
pub(super) fn read(text: &str) -> Result<Voyage, VoyageError> {
    Document::parse("voyage.toml".to_owned(), text)?
        .voyage(Shelf::embedded(&[("polar.csv", POLAR)]))
}

/// The complaint about `sound` with `old` replaced by `new`.
pub(super) fn complaint_about(sound: &str, old: &str, new: &str) -> String {
    assert!(sound.contains(old), "the sound voyage has no {old:?}");
    read(&sound.replacen(old, new, 1)).unwrap_err().to_string()
}

/// The complaint about [`SOUND`] with `old` replaced by `new`.
fn complaint(old: &str, new: &str) -> String {
    complaint_about(SOUND, old, new)
}

#[test]
fn a_sound_voyage_is_read_as_written() {
    let voyage = read(SOUND).unwrap();
    assert_eq!(voyage.name, "Out and back");
    assert_eq!(voyage.departure, jiff::civil::date(2027, 5, 1));
    assert_eq!((voyage.step.nm(), voyage.boat.factor()), (60.0, 1.0));
    let waypoints = voyage.routes[0].waypoints();
    assert_eq!(waypoints[1].reached_by, LegKind::Rhumb);
    assert_eq!(waypoints[0].position.latitude_deg(), -10.0);
}

#[test]
fn the_demo_is_sound() {
    let voyage = Voyage::demo().unwrap();
    assert_eq!(voyage.routes.len(), 2);
    assert_eq!(voyage.departure.month(), 5);
}

#[test]
fn a_misspelt_key_is_told_the_nearest() {
    assert_eq!(
        complaint("departure", "departur"),
        "voyage.toml:3: voyage.departur: unknown key; allowed: name, departure, \
         arrive_by, leave_after, step_nm\n\
         hint: did you mean `departure`?"
    );
    let message = complaint("[boat]", "[boat]\nengines = 2");
    assert!(message.starts_with("voyage.toml:6: boat.engines: unknown key; allowed: name, polar"));
    assert!(message.ends_with("\nhint: did you mean `engine`?"));
    let message = complaint("[boat]", "[boat]\nxyz = 2");
    assert!(
        message.starts_with("voyage.toml:6: boat.xyz: unknown key; allowed: "),
        "{message}"
    );
}

#[test]
fn wrong_keys_are_told_all_at_once_and_where_they_belong() {
    let text = SOUND
        .replacen("[voyage]", "departure = 2027-05-01\n[voyage]", 1)
        .replacen("[boat]", "[boat]\nfuel = \"3 L\"\nfactor = true", 1)
        .replacen(
            "[[route]]",
            "[engine]\npower_kw = 3\n\n[[route]]\nleg = \"composite\"",
            1,
        )
        .replacen("position = \"10", "positions = \"10", 1);
    let expected = "\
voyage.toml:1: departure: unknown key; allowed: voyage, boat, handling, climate, current, route, stage, \
crew, reserve, resupply, water, power, food, service, watches, prices, output
hint: `departure` belongs in `[voyage]`
voyage.toml:7: boat.fuel: unknown key; allowed: name, polar, generic, factor, factors, \
factor_uncertainty, polar_from, engine
hint: `fuel` belongs in `[boat.engine]`
voyage.toml:8: boat.factor: found true; allowed: a number
voyage.toml:11: engine: unknown key; allowed: voyage, boat, handling, climate, current, route, stage, \
crew, reserve, resupply, water, power, food, service, watches, prices, output
hint: write `[boat.engine]`
voyage.toml:15: route[1].leg: found the text \"composite\"; allowed: \"great-circle\" or \"rhumb\"
voyage.toml:20: route[1].waypoint[1].positions: unknown key; allowed: name, position, place, \
leg, limit_latitude, stay, stay_until, resupply, arrive_by, leave_after
hint: did you mean `position`?";
    let message = read(&text).unwrap_err().to_string();
    assert_eq!(message, expected);
}

#[test]
fn a_table_and_a_list_are_not_a_value() {
    let cases = [
        (
            "name = \"Out and back\"",
            "name = [1]",
            "voyage.name: found a list; allowed: a text",
        ),
        (
            "factor",
            "factor = 99999999999999999999",
            "boat.factor: found 99999999999999999999; ",
        ),
        (
            "factor",
            "engine = 5",
            "boat.engine: found 5; allowed: a table",
        ),
        (
            "factor",
            "generic = [{}]",
            "boat.generic: found a list; allowed: a table",
        ),
        (
            "crew",
            "crew.person = {}",
            "crew.person: found a table; allowed: a list of tables",
        ),
        (
            "crew",
            "crew.person = [3]",
            "crew.person[1]: found 3; allowed: a table",
        ),
        (
            "crew",
            "crew.people = 2.0",
            "crew.people: found 2.0; allowed: a whole number",
        ),
        (
            "crew",
            "handling = 2027-05-01",
            "handling: found 2027-05-01; allowed: a table",
        ),
    ];
    for (old, new, said) in cases {
        let text = match old {
            "factor" => SOUND.replacen("[boat]", &format!("[boat]\n{new}"), 1),
            "crew" => format!("{new}\n{SOUND}"),
            _ => SOUND.replacen(old, new, 1),
        };
        let message = read(&text).unwrap_err().to_string();
        assert!(message.contains(said), "{message}");
    }
}

#[test]
fn a_voyage_in_memory_is_held_to_the_same() {
    let read = read(SOUND).unwrap();
    let new = |departure, routes| Voyage::new("x", departure, read.boat.clone(), routes);
    let (day, routes) = (read.departure, read.routes.clone());
    assert!(new(day, routes.clone()).unwrap().stores.is_none());
    let message = |departure, routes| new(departure, routes).unwrap_err().to_string();
    assert_eq!(
        message(day, Vec::new()),
        "route: missing; it is needed here"
    );
    assert_eq!(
        message(day, [&routes[..], &routes[..]].concat()),
        "route[2].name: the name 'Out' is used twice; give each its own"
    );
    assert_eq!(
        message(jiff::civil::date(1492, 8, 3), routes),
        "voyage.departure: the year of departure is 1492; allowed: 1900 to 2199"
    );
}

#[test]
fn a_missing_key_is_named_with_its_table() {
    let message = complaint("name = \"Out and back\"", "");
    assert_eq!(
        message,
        "voyage.toml:1: voyage.name: missing; it is needed here"
    );
}

#[test]
fn a_value_of_the_wrong_kind_or_size_is_told_what_is_allowed() {
    assert_eq!(
        complaint("2027-05-01", "\"in spring\""),
        "voyage.toml:3: voyage.departure: found the text \"in spring\"; allowed: a date like \
         2027-05-01, or with hour and zone 2027-05-01T09:00:00+08:00"
    );
    assert_eq!(
        complaint("2027-05-01", "1492-08-03"),
        "voyage.toml:3: voyage.departure: the year of departure is 1492; allowed: 1900 to 2199"
    );
    let message = complaint("[boat]", "[boat]\nfactor = nan");
    assert!(
        message.starts_with("voyage.toml:6: boat.factor: "),
        "{message}"
    );
    let message = complaint("[boat]", "[boat]\nfactor = \"0.9\"");
    assert_eq!(
        message,
        "voyage.toml:6: boat.factor: found the text \"0.9\"; allowed: a number"
    );
}

#[test]
fn a_departure_is_a_day_or_a_time_with_its_zone() {
    for written in [
        "2027-05-01T18:30:00",
        "2027-05-01 18:30:00",
        "\"2027-05-01T18:30\"",
        "\"2027-W18-6\"",
        "\"20270501\"",
        "18:30:00",
    ] {
        let message = complaint(DEPARTURE, &format!("departure = {written}"));
        assert!(
            message.starts_with("voyage.toml:3: voyage.departure: found ")
                && message.contains("allowed: a date like 2027-05-01, or with hour and zone"),
            "{message}"
        );
    }
    for (written, words, day) in [
        ("2027-05-01T03:00:00+08:00", "1 May 2027, 03:00 UTC+8", 30),
        ("\"2027-04-30T18:30:00Z\"", "30 Apr 2027, 18:30 UTC", 30),
    ] {
        let timed = read(&SOUND.replace(DEPARTURE, &format!("departure = {written}"))).unwrap();
        assert_eq!(timed.departure, jiff::civil::date(2027, 4, day));
        assert_eq!(timed.departure_time.unwrap().words(), words);
        let mut later = timed;
        later.leave_on(jiff::civil::date(2027, 6, 1)).unwrap();
        assert_eq!(later.departure_time, None);
    }
    let quoted = SOUND.replace(DEPARTURE, "departure = \"2027-05-01\"");
    assert_eq!(
        read(&quoted).unwrap().departure,
        jiff::civil::date(2027, 5, 1)
    );
}

#[test]
fn a_limit_short_of_an_end_is_told_with_one_that_holds() {
    let legs = "leg = \"composite\"\nlimit_latitude = 11";
    let message = complaint("leg = \"rhumb\"", legs);
    assert!(
        message.contains("waypoint[2].limit_latitude: "),
        "{message}"
    );
    assert!(
        message.contains("beyond the limiting latitude 11°S"),
        "{message}"
    );
    let hint = message.split("write `limit_latitude = ").nth(1).unwrap();
    let works = hint.split('`').next().unwrap();
    assert!(read(&SOUND.replace("leg = \"rhumb\"", &legs.replace("11", works))).is_ok());
}

#[test]
fn a_limiting_latitude_may_be_as_near_the_pole_as_a_line_can_go() {
    let legs = "leg = \"composite\"\nlimit_latitude = 89.5";
    assert!(read(&SOUND.replace("leg = \"rhumb\"", legs)).is_ok());
    let message = complaint("leg = \"rhumb\"", &legs.replace("89.5", "90"));
    assert!(
        message.ends_with("allowed: -89.999 to 89.999 degrees"),
        "{message}"
    );
}

#[test]
fn a_bad_position_is_named_with_its_waypoint() {
    let message = complaint("12.5 S", "91 S");
    assert!(
        message.starts_with("voyage.toml:17: route[1].waypoint[2].position: "),
        "{message}"
    );
    assert!(message.contains("91"), "{message}");
    let message = complaint("12.5 S, 30 E", "somewhere");
    assert!(message.contains("somewhere"), "{message}");
}

#[test]
fn legs_are_as_the_trade_names_them() {
    let message = complaint("leg = \"rhumb\"", "leg = \"straight\"");
    assert!(
        message.starts_with("voyage.toml:18: route[1].waypoint[2].leg: "),
        "{message}"
    );
    assert!(
        message.ends_with("allowed: \"great-circle\", \"rhumb\" or \"composite\""),
        "{message}"
    );
    let message = complaint("leg = \"rhumb\"", "leg = \"composite\"");
    assert!(message.contains("limit_latitude: missing"), "{message}");
    let message = complaint("leg = \"rhumb\"", "limit_latitude = 40");
    assert!(message.contains("only a leg = \"composite\""), "{message}");
    let message = complaint("20 00.0 E\"", "20 00.0 E\"\nleg = \"rhumb\"");
    assert!(message.contains("first waypoint"), "{message}");
}

#[test]
fn a_route_needs_two_places_and_a_name_of_its_own() {
    let message = complaint("12.5 S, 30 E", "10 S, 20 E");
    assert!(
        message.contains("route 'Out', leg 1 from A to B"),
        "{message}"
    );
    let one = SOUND
        .split("\n[[route.waypoint]]\nname = \"B\"")
        .next()
        .unwrap();
    let message = read(one).unwrap_err().to_string();
    assert!(
        message.ends_with("route 'Out' has 1 waypoint; allowed: 2 to 2000"),
        "{message}"
    );
    let twice = format!("{SOUND}\n{}", &SOUND[SOUND.find("[[route]]").unwrap()..]);
    let message = read(&twice).unwrap_err().to_string();
    assert!(
        message.ends_with("the name 'Out' is used twice; give each its own"),
        "{message}"
    );
    let none = &SOUND[..SOUND.find("[[route]]").unwrap()];
    assert!(
        read(none)
            .unwrap_err()
            .to_string()
            .ends_with("route: missing; it is needed here")
    );
}

#[test]
fn a_polar_that_cannot_be_read_is_named_with_the_key() {
    let message = complaint("polar.csv", "none.csv");
    assert!(
        message.starts_with("voyage.toml:6: boat.polar: "),
        "{message}"
    );
    assert!(message.contains("none.csv"), "{message}");
}

#[test]
fn motoring_needs_an_engine() {
    let message = complaint("[[route]]", "[handling]\nmotor_below_kn = 2\n\n[[route]]");
    assert!(
        message.contains("no [boat.engine] to motor with: take this key out too"),
        "{message}"
    );
}

/// [`SOUND`] with these keys of waiting for weather.
fn waiting_by(keys: &str) -> String {
    SOUND.replacen("[[route]]", &format!("[handling]\n{keys}\n\n[[route]]"), 1)
}

#[test]
fn a_wait_for_weather_is_read_as_written() {
    let waiting = |keys: &str| {
        let voyage = read(&waiting_by(keys)).unwrap();
        voyage.boat.handling().waiting().copied()
    };
    assert_eq!(waiting("heave_to_kn = 40"), None);
    assert_eq!(waiting("wait_up_to = \"0 days\""), None);
    let usual = waiting("wait_up_to = \"5 days\"").unwrap();
    assert_eq!((usual.most_days(), usual.forecast_days()), (5, 3.0));
    assert_eq!(
        (usual.headwind_below_kn(), usual.progress_share()),
        (20.0, 0.7)
    );
    let other = waiting(
        "wait_up_to = \"36 h\"\nforecast = \"2 days\"\nwait_for_headwind_below_kn = 15\n\
         wait_for_progress_share = 0.9\nforecast_skill_by_day = [0.9, 0.6]",
    );
    let other = other.unwrap();
    assert_eq!((other.most_days(), other.forecast_days()), (1, 2.0));
    assert_eq!(
        (other.headwind_below_kn(), other.progress_share()),
        (15.0, 0.9)
    );
    assert_eq!(
        [0.0, 24.0, 48.0].map(|hours| other.skill().at(hours)),
        [0.9, 0.6, 0.0]
    );
}

#[test]
fn a_wait_that_makes_no_sense_is_refused() {
    for (keys, expected) in [
        (
            "forecast = \"3 days\"",
            "handling.forecast: she leaves on the day without `wait_up_to`",
        ),
        (
            "wait_up_to = 5",
            "handling.wait_up_to: found '5', a bare number",
        ),
        (
            "wait_up_to = \"31 days\"",
            "handling.wait_up_to: the wait for weather is 744 h; allowed: 0 to 720 h",
        ),
        (
            "wait_up_to = \"5 days\"\nforecast = \"12 h\"",
            "handling.forecast: the forecast is 12 h; allowed: 24 to 240 h",
        ),
        (
            "wait_up_to = \"5 days\"\nforecast_skill = \"good\"",
            "allowed: \"usual\", \"perfect\" or \"none\"",
        ),
        (
            "wait_up_to = \"5 days\"\nforecast_skill_by_day = [0.9, 0.8]",
            "forecast_skill_by_day: found 2; allowed: one for each day of the forecast, 3 or more",
        ),
        (
            "wait_up_to = \"5 days\"\nforecast_skill_by_day = [0.9, 0.8, 0.99]",
            "forecast skill of day 3 is 0.99; allowed: 0 to 0.8",
        ),
        (
            "wait_up_to = \"5 days\"\nforecast_skill = \"none\"\nforecast_skill_by_day = [0.9, 0.8, 0.7]",
            "found both of `forecast_skill` and `forecast_skill_by_day`",
        ),
    ] {
        let message = read(&waiting_by(keys)).unwrap_err().to_string();
        assert!(message.starts_with("voyage.toml:"), "{message}");
        assert!(message.contains(expected), "{message}");
    }
}

#[test]
fn what_is_not_toml_is_told_its_line() {
    let message = complaint("[boat]", "[boat");
    assert!(
        message.starts_with("voyage.toml:5: not a TOML file: "),
        "{message}"
    );
    let error = Voyage::read(std::path::Path::new("no such voyage.toml")).unwrap_err();
    assert!(
        error
            .to_string()
            .starts_with("cannot read the voyage file no such voyage.toml: ")
    );
}

#[test]
fn of_very_many_wrong_keys_some_are_told_soon() {
    let keys: String = (0..20_000).map(|n| format!("key{n} = {n}\n")).collect();
    let message = complaint("[voyage]", &format!("{keys}[voyage]"));
    assert!(
        message.starts_with("voyage.toml:1: key0: unknown key"),
        "{message}"
    );
    assert!(message.ends_with("\nand 990 more"), "{message}");
}

#[test]
fn names_are_one_plain_line() {
    let message = complaint("\"Out and back\"", "\"Out\\nand back\"");
    assert!(
        message.starts_with(
            "voyage.toml:2: voyage.name: found the text \"Out\\nand back\", with a line"
        ),
        "{message}"
    );
    for hidden in ["\\u001b[2J", "\\u009b", "\\u202e", "\\u2066", "\\u2028"] {
        let message = complaint("\"Out and back\"", &format!("\"Out {hidden}\""));
        assert!(message.contains("allowed: one plain line"), "{message}");
        assert!(!message.chars().any(crate::text::is_hidden), "{message}");
    }
    let long = |letters: usize| format!("\"{}\"", "é".repeat(letters));
    let message = complaint("\"Out and back\"", &long(201));
    assert_eq!(
        message,
        "voyage.toml:2: voyage.name: found 201 characters; allowed: up to 200"
    );
    assert!(complaint("\"Out and back\"", "\" \"").contains("voyage.name: empty"));
}

/// [`SOUND`] with an engine of these keys.
fn with_engine(keys: &str) -> String {
    let engine = format!("[boat.engine]\n{keys}\n\n[[route]]");
    SOUND.replacen("[[route]]", &engine, 1)
}

#[test]
fn the_engine_burns_what_tanks_and_cans_give() {
    let keys = "motor_speed_kn = 5\nlitres_per_hour = 2\nfuel = \"100 US gal\"\nusable_share = 0.9\n\
                cans = \"20 L\"";
    let voyage = read(&with_engine(keys)).unwrap();
    let usable = 0.9 * 378.541_178_4 + 20.0;
    let engine = voyage.boat.engine().unwrap();
    assert!((engine.fuel_litres() - usable).abs() < 1e-9);
    assert_eq!(engine.litres_per_hour(), 2.0);
    // Without a share, nine tenths of the tank.
    let keys = "motor_speed_kn = 5\nlitres_per_hour = 2\nfuel_litres = 100";
    let voyage = read(&with_engine(keys)).unwrap();
    assert_eq!(voyage.boat.engine().unwrap().fuel_litres(), 90.0);
}

#[test]
fn the_burn_follows_from_power_where_that_is_given() {
    let keys = "motor_speed_kn = 5\npower_kw = 20\npower_speed_kn = 7\nfuel_litres = 100";
    let engine = *read(&with_engine(keys)).unwrap().boat.engine().unwrap();
    // 20 kW x (5 / 7)^3 x 250 g/kWh / 0.84 kg/L.
    let expected = 20.0 * (5.0f64 / 7.0).powi(3) * 0.25 / 0.84;
    assert!((engine.litres_per_hour() - expected).abs() < 1e-12);
}

#[test]
fn an_engine_told_twice_or_not_at_all_is_refused() {
    let cases = [
        (
            "motor_speed_kn = 5\nlitres_per_hour = 2\npower_kw = 20\nfuel_litres = 100",
            "boat.engine.power_kw: litres_per_hour already says",
        ),
        (
            "motor_speed_kn = 5\npower_kw = 20\nfuel_litres = 100",
            "boat.engine.power_speed_kn: missing",
        ),
        (
            "motor_speed_kn = 5\npower_kw = 20\npower_speed_kn = 4\nfuel_litres = 100",
            "boat.engine.power_speed_kn: below motor_speed_kn",
        ),
        (
            "motor_speed_kn = 5\nfuel_litres = 100",
            "boat.engine.litres_per_hour: missing",
        ),
        (
            "motor_speed_kn = 5\nlitres_per_hour = 2",
            "boat.engine: found neither of `fuel_litres` and `fuel`; allowed: one of the two",
        ),
        (
            "motor_speed_kn = 5\nlitres_per_hour = 2\nfuel_litres = 1\nfuel = \"1 L\"",
            "boat.engine.fuel: found both of `fuel_litres` and `fuel`; allowed: one of the two",
        ),
        (
            "motor_speed_kn = 5\nlitres_per_hour = 2\nfuel = 130",
            "boat.engine.fuel: found '130', a bare number; write its unit: L, ml, US gal, imp gal",
        ),
        (
            "motor_speed_kn = 5\nlitres_per_hour = 2\nfuel_litres = 1\nusable_share = 0.2",
            "usable share of the tank is 0.2; allowed: 0.5 to 1",
        ),
    ];
    for (keys, words) in cases {
        let message = read(&with_engine(keys)).unwrap_err().to_string();
        assert!(message.contains(words), "{message}");
    }
}

/// [`SOUND`] with dimensions for a polar.
fn generic() -> String {
    SOUND.replacen(
        "polar = \"polar.csv\"",
        "[boat.generic]\nwaterline_length_m = 10.2\ndisplacement_kg = 11000\nsail_area_m2 = 80\n\
         rig = \"ketch\"\nkeel = \"fin-and-skeg\"",
        1,
    )
}

/// The complaint about [`generic`] with `old` replaced by `new`.
fn generic_complaint(old: &str, new: &str) -> String {
    complaint_about(&generic(), old, new)
}

#[test]
fn a_polar_is_made_from_dimensions() {
    let voyage = read(&generic()).unwrap();
    let dimensions = GenericBoat {
        waterline_length_m: 10.2,
        displacement_kg: 11_000.0,
        sail_area_m2: 80.0,
        rig: Rig::Ketch,
        keel: Keel::FinAndSkeg,
    };
    assert_eq!(voyage.generic_boat, Some(dimensions));
    assert_eq!(
        voyage.boat.given_polar(),
        &dimensions.polar().unwrap(),
        "the boat sails by another polar"
    );
    assert_eq!(read(SOUND).unwrap().generic_boat, None);
}

#[test]
fn every_rig_and_keel_allowed_is_read() {
    for rig in ["sloop", "cutter", "ketch", "gaff"] {
        assert!(read(&generic().replacen("ketch", rig, 1)).is_ok(), "{rig}");
    }
    for keel in ["fin", "fin-and-skeg", "long"] {
        let text = generic().replacen("fin-and-skeg", keel, 1);
        assert!(read(&text).is_ok(), "{keel}");
    }
    assert_eq!(
        generic_complaint("ketch", "lateen"),
        "voyage.toml:10: boat.generic.rig: found the text \"lateen\"; allowed: \"sloop\", \"cutter\", \
         \"ketch\" or \"gaff\""
    );
    assert_eq!(
        generic_complaint("fin-and-skeg", "bulb"),
        "voyage.toml:11: boat.generic.keel: found the text \"bulb\"; allowed: \"fin\", \"fin-and-skeg\" or \
         \"long\""
    );
}

#[test]
fn a_boat_has_a_polar_or_dimensions_and_not_both() {
    assert_eq!(
        complaint("polar = \"polar.csv\"", ""),
        "voyage.toml:5: boat: found neither of `polar` and `generic`; allowed: one of the two"
    );
    assert_eq!(
        generic_complaint("[boat]", "[boat]\npolar = \"polar.csv\""),
        "voyage.toml:7: boat.generic: found both of `polar` and `generic`; allowed: one of the two"
    );
}

#[test]
fn dimensions_in_other_units_are_refused() {
    assert_eq!(
        generic_complaint("= 10.2", "= 33.5"),
        "voyage.toml:7: boat.generic.waterline_length_m: waterline length is 33.5 m; allowed: 5 to \
         30 m"
    );
    let in_square_feet = generic_complaint("sail_area_m2 = 80", "sail_area_m2 = 690");
    assert!(
        in_square_feet.starts_with("voyage.toml:6: boat.generic: sail area over displaced volume"),
        "{in_square_feet}"
    );
    assert_eq!(
        generic_complaint("sail_area_m2 = 80\n", ""),
        "voyage.toml:6: boat.generic.sail_area_m2: missing; it is needed here"
    );
}

#[test]
fn a_waypoint_takes_a_port_or_a_position() {
    let at = "position = \"10 00.0 S, 20 00.0 E\"";
    let voyage = read(&SOUND.replacen(at, "place = \"Luanda, Angola\"", 1)).unwrap();
    let [port] = &voyage.ports[..] else {
        panic!("{:?}", voyage.ports);
    };
    assert_eq!(port.to_string(), "Luanda, Angola");
    assert_eq!(voyage.routes[0].waypoints()[0].position, port.position);
    assert!(read(SOUND).unwrap().ports.is_empty());

    let both = format!("{at}\nplace = \"Luanda, Angola\"");
    assert_eq!(
        complaint(at, &both),
        "voyage.toml:14: route[1].waypoint[1].place: found both of `position` and `place`; \
         allowed: one of the two"
    );
    assert_eq!(
        complaint(at, ""),
        "voyage.toml:11: route[1].waypoint[1]: found neither of `position` and `place`; allowed: \
         one of the two"
    );
    assert_eq!(
        complaint(at, "place = \"Luandra, Angola\""),
        "voyage.toml:13: route[1].waypoint[1].place: no port 'Luandra, Angola' is known; allowed: \
         a name such as \"Fremantle, Australia\"\nhint: did you mean `Luanda, Angola`?"
    );
}

#[test]
fn a_stop_is_read_as_written_and_wrong_ones_are_told() {
    const LAST: &str = "[[route.waypoint]]\nname = \"B\"";
    let between = |keys: &str| {
        format!("[[route.waypoint]]\nname = \"C\"\nposition = \"11 S, 25 E\"\n{keys}\n\n{LAST}")
    };
    let stop = |keys: &str| {
        let voyage = read(&SOUND.replacen(LAST, &between(keys), 1)).unwrap();
        voyage.routes[0].waypoints()[1].stop.clone()
    };
    assert_eq!(stop(""), None);
    let read = stop("stay = \"2 weeks\"\nresupply = [\"water\", \"fresh food\"]").unwrap();
    assert_eq!(read.stay, Stay::Hours(336.0));
    assert_eq!(read.resupply, [Goods::Water, Goods::FreshFood]);
    let until = stop("stay_until = 2027-07-01\nleave_after = \"2027-07-03\"").unwrap();
    let day = |month, day| jiff::civil::date(2027, month, day);
    assert_eq!(until.stay, Stay::Until(day(7, 1)));
    assert_eq!(until.not_before(), Some(day(7, 3)));

    let wrong = |keys: &str| complaint(LAST, &between(keys));
    for (keys, expected) in [
        (
            "stay = \"-2 days\"",
            "stay: the stay is -48 h; allowed: 0 to 8760 h",
        ),
        (
            "stay = 6",
            "stay: found '6', a bare number; write its unit: days, h, weeks",
        ),
        (
            "stay = \"6 days\"\nstay_until = 2027-07-01",
            "stay_until: found both of `stay` and `stay_until`; allowed: one of the two",
        ),
        (
            "resupply = [\"rum\"]",
            "resupply[1]: found the text \"rum\"; allowed: \"water\", \"diesel\", \"fresh food\" or \"all\"",
        ),
        (
            "resupply = \"diesel\"",
            "resupply: found the text \"diesel\"; allowed: a list of \"water\", \"diesel\", \"fresh \
             food\" or \"all\"",
        ),
        (
            "arrive_by = 2027-07-01T06:00:00Z",
            "arrive_by: found 2027-07-01T06:00:00+00:00; allowed: a date like 2027-05-01",
        ),
        (
            "stay_until = 2027-04-01",
            "stay_until: found 2027-04-01; allowed: 2027-05-01 to 2030-01-25, the departure and 1,000 \
             days after it",
        ),
    ] {
        let message = wrong(keys);
        assert!(message.starts_with("voyage.toml:1"), "{message}");
        let told = format!(": route[1].waypoint[2].{expected}");
        assert!(message.ends_with(&told), "{message}\n{told}");
    }
    assert_eq!(
        complaint(DEPARTURE, &format!("{DEPARTURE}\nleave_after = 2027-06-01")),
        "voyage.toml:3: voyage.departure: found 2027-05-01; allowed: 2027-06-01 or later, the \
         `leave_after` of `[voyage]`"
    );
}

#[test]
fn a_day_to_arrive_by_is_kept_at_the_end_of_every_route() {
    let text = SOUND.replacen(
        DEPARTURE,
        &format!("{DEPARTURE}\narrive_by = 2027-05-20"),
        1,
    );
    let mut voyage = read(&text).unwrap();
    let deadlines = voyage.routes[0].deadlines();
    assert_eq!((deadlines.len(), deadlines[0].waypoint), (1, 2));
    voyage.leave_on(jiff::civil::date(2027, 6, 1)).unwrap();
    assert!(voyage.check_departure().is_err());
}
