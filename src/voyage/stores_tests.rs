//! Stores tables good and bad: each complaint names file, line, key, what was found and allowed.

use super::tests::{complaint_about, read as read_voyage};
use super::*;
use crate::boat::{Burn, FuelSupply};
use crate::stores::*;

/// All that a voyage must say.
const SHORT: &str = r#"[crew]
people = 2
sex = "female"
age_years = 40
mass = "60 kg"
"#;

/// All that a voyage may say.
const FULL: &str = r#"[[crew.person]]
name = "Ann"
sex = "female"
age_years = 40
mass = "132.277 lb"
height = "5.5 ft"
activity_level = 1.9

[[crew.person]]
kcal_per_day = 1500
keeps_watch = false

[[crew.pet]]
name = "Tar"
animal = "cat"
mass = "4 kg"

[reserve]
confidence_percent = 80
food_share = 0.25
water_share = 0.3
arrival_engine_hours = 20

[resupply]
days = 5
price_ratio = 1.5
sold_there = ["diesel", "spares"]

[water]
tank = "130 US gal"
per_person_day = "5 L"
bottled = "20 L"
heat_per_person_day = "2 L"
ration_per_person_day = "2.5 L"
emergency_per_person = "5 L"

[[water.use]]
name = "washing"
per_person_day = "2 L"

[[water.use]]
name = "laundry"
per_person_day = "500 ml"

[water.watermaker]
per_hour = "30 L"
power = "0.2 kW"
hours_per_day = 1

[power]
only_listed = true

[[power.load]]
name = "autopilot"
power = "60 W"
when = "always"

[[power.load]]
name = "lamp"
power = "5 W"
when = "dark"

[[power.load]]
name = "kettle"
power = "1 kW"
hours_per_day = 0.2

[power.battery]
kind = "lead"
size = "400 Ah"
volts = 12
usable_share = 0.4

[power.solar]
peak = "300 W"
clearness = 0.4
in_use_share = 0.7

[power.wind]
rated = "400 W"
rated_wind_ms = 12
starts_at_ms = 3
wind_share = 0.5

[power.alternator]
net = "800 W"
charge_efficiency = 0.9
litres_per_hour = 1.1

[food]
refrigerator = false
cold_share = 0.2
heavy_weather_share = 0.1
spoilage_share = 0.3
least_no_cook_days = 4
pet_food_kcal_per_kg = 4000

[[food.kind]]
name = "rice"
keeping = "dry"
share = 0.3
kcal_per_kg = 3600
litres_per_kg = 1.2
keeps_days = 700

[[service.item]]
name = "engine oil"
every_engine_hours = 200
engine_hours_since = 50
fluid = "5 L"
in_hand = 0

[[service.item]]
name = "membrane"
every_water_litres = 90000
pieces = 1

[watches]
chores_hours = 4
asleep_share = 0.8
gale_lost_share = 0.4
hard_beat_lost_share = 0.2

[output]
units = "us"
temperature = "fahrenheit"
"#;

/// The rest of a voyage.
const VOYAGE: &str = r#"
[voyage]
name = "A crossing"
departure = 2027-05-01

[boat]
polar = "polar.csv"

[[route]]
name = "Out"
waypoint = [{name = "A", position = "10 S, 20 E"}, {name = "B", position = "12 S, 30 E"}]
"#;

const ENGINE: &str = r#"
[boat.engine]
motor_speed_kn = 4.5
litres_per_hour = 2
fuel_litres = 240
usable_share = 0.9
cans = "24 L"
"#;

fn with_voyage(stores: &str) -> String {
    format!("{stores}{VOYAGE}{ENGINE}")
}

fn read(stores: &str) -> Result<StoresSettings, VoyageError> {
    read_voyage(&with_voyage(stores))?.stores_of_crew().cloned()
}

/// The complaint about `sound` with `old` replaced by `new`.
fn complaint(sound: &str, old: &str, new: &str) -> String {
    complaint_about(&with_voyage(sound), old, new)
}

#[test]
fn what_is_left_out_has_its_default() {
    let settings = read(SHORT).unwrap();
    let body = Body {
        sex: Sex::Female,
        age_years: 40.0,
        mass_kg: 60.0,
        height_cm: None,
        activity: Activity::Moderate,
    };
    let mut expected = StoresSettings::new(
        CrewSettings {
            people: Person::alike(2, FoodNeed::Body(body)),
            pets: Vec::new(),
        },
        WaterSettings::new(None),
    );
    // The engine: 240 L, nine tenths of it usable, and 24 L in cans.
    expected.engine = Some(EngineSettings {
        burn: Burn::LitresPerHour(2.0),
        charging_litres_per_hour: None,
        supply: FuelSupply {
            tank_litres: 240.0,
            usable_share: Some(0.9),
            can_litres: 24.0,
        },
        arrival_hours: None,
    });
    assert_eq!(settings, expected);
}

#[test]
fn people_water_and_reserve_are_read_as_written() {
    let settings = read(FULL).unwrap();
    let [ann, child] = &settings.crew.people[..] else {
        panic!("two people");
    };
    let FoodNeed::Body(body) = ann.need else {
        panic!("Ann has a body");
    };
    assert!((body.mass_kg - 60.0).abs() < 1e-3, "{}", body.mass_kg);
    assert!((body.height_cm.unwrap() - 167.64).abs() < 1e-9);
    assert_eq!(body.activity, Activity::Level(1.9));
    assert_eq!(child.name, "person 2");
    assert_eq!(
        (child.need, child.keeps_watch),
        (FoodNeed::Given(1500.0), false)
    );
    assert_eq!(settings.crew.pets[0].animal, Animal::Cat);
    assert_eq!(settings.reserve.confidence_percent, Some(80.0));
    assert_eq!(settings.reserve.water_share, Some(0.3));
    assert_eq!(settings.engine.unwrap().arrival_hours, Some(20.0));
    let sold = settings.resupply.sold_there.as_deref();
    assert_eq!(sold, Some(&[Supply::Diesel, Supply::Spares][..]));
    let water = &settings.water;
    assert!((water.tank_litres.unwrap() - 492.103_531_92).abs() < 1e-9);
    let uses: Vec<(&str, f64)> = water
        .uses
        .iter()
        .map(|water_use| (water_use.purpose.name(), water_use.litres_per_person_day))
        .collect();
    let expected = [
        ("drinking and cooking", 5.0),
        ("washing", 2.0),
        ("laundry", 0.5),
    ];
    assert_eq!(uses, expected, "the default replaced, other uses added");
    assert_eq!(
        (water.bottled_litres, water.heat_litres_per_person_day),
        (20.0, Some(2.0))
    );
    assert_eq!(
        (
            water.ration_litres_per_person_day,
            water.emergency_litres_per_person
        ),
        (Some(2.5), Some(5.0))
    );
    let maker = water.watermaker.unwrap();
    assert_eq!(
        (maker.litres_per_hour, maker.watts, maker.hours_per_day),
        (30.0, 200.0, Some(1.0))
    );
}

#[test]
fn power_food_service_and_watches_are_read_as_written() {
    let settings = read(FULL).unwrap();
    let power = settings.power.unwrap();
    let loads: Vec<(&str, f64, Running)> = power
        .loads
        .iter()
        .map(|load| (load.name.as_str(), load.watts, load.running))
        .collect();
    let expected = [
        ("autopilot", 60.0, Running::AllDay),
        ("lamp", 5.0, Running::Dark),
        ("kettle", 1000.0, Running::Hours(0.2)),
    ];
    assert_eq!(loads, expected, "only those listed");
    let battery = power.battery.unwrap();
    assert_eq!(
        (battery.watt_hours, battery.usable_share),
        (4800.0, Some(0.4))
    );
    let solar = power.solar.unwrap();
    assert_eq!(
        (solar.peak_watts, solar.clearness, solar.in_use_share),
        (300.0, Some(0.4), Some(0.7))
    );
    let wind = power.wind.unwrap();
    assert_eq!((wind.rated_watts, wind.rated_wind_ms), (400.0, 12.0));
    assert_eq!((wind.starts_at_ms, wind.wind_share), (3.0, Some(0.5)));
    let alternator = power.alternator.unwrap();
    assert_eq!(
        (alternator.net_watts, alternator.charge_efficiency),
        (800.0, Some(0.9))
    );
    assert_eq!(settings.engine.unwrap().charging_litres_per_hour, Some(1.1));
    let food = &settings.food;
    assert!(!food.refrigerator);
    assert_eq!(
        (food.cold_share, food.heavy_weather_share),
        (Some(0.2), Some(0.1))
    );
    assert_eq!(
        (food.spoilage_share, food.least_no_cook_days),
        (Some(0.3), Some(4.0))
    );
    assert_eq!(food.pet_food_kcal_per_kg, Some(4000.0));
    assert_eq!(food.kinds.len(), default_kinds().len());
    let rice = food.kinds.iter().find(|kind| kind.name == "rice").unwrap();
    assert_eq!(rice.share, 0.3);
    let items = &settings.service.items;
    assert_eq!(items.len(), ServiceSettings::default().items.len() + 1);
    assert_eq!(
        (
            items[0].since_last,
            items[0].per_change.value,
            items[0].in_hand
        ),
        (50.0, 5.0, Some(0.0))
    );
    assert_eq!(items[0].interval, Interval::EngineHours(200.0));
    assert_eq!(
        items.last().unwrap().interval,
        Interval::WaterLitres(90_000.0)
    );
    let given = [
        power.loads[0].basis,
        rice.basis,
        items[0].basis,
        items[0].per_change.basis,
        settings.water.uses[0].basis,
        settings.water.uses[1].basis,
    ];
    assert_eq!(given, [Basis::GIVEN; 6], "listed in the file");
    let bread = food.kinds.iter().find(|kind| kind.name == "bread");
    let left = [bread.unwrap().basis, items[1].basis];
    assert!(!left.contains(&Basis::GIVEN), "left out of it");
    let expected = WatchSettings {
        chores_h: Some(4.0),
        asleep_share: Some(0.8),
        gale_lost_share: Some(0.4),
        hard_beat_lost_share: Some(0.2),
    };
    assert_eq!(settings.watches, expected);
    let voyage = read_voyage(&with_voyage(FULL)).unwrap();
    assert_eq!(voyage.units, crate::units::OutputUnits::Us);
    let scale = crate::units::TemperatureScale::Fahrenheit;
    assert_eq!(voyage.temperature, scale);
    settings.engine.unwrap().validate().unwrap();
}

#[test]
fn a_crew_must_be_there_and_a_count() {
    let said = "crew: missing; it is needed here\nhint: write a table [crew] with people = 2, sex = \
                \"female\", age_years = 45 and mass = \"70 kg\", or a [[crew.person]] for each";
    let voyage = read_voyage(VOYAGE).unwrap();
    assert!(voyage.stores.is_none());
    assert_eq!(voyage.stores_of_crew().unwrap_err().to_string(), said);
    let message = read("[water]\ntank = \"1 L\"\n").unwrap_err().to_string();
    assert_eq!(message, format!("voyage.toml:1: {said}"));
    assert_eq!(
        complaint(SHORT, "people = 2", "people = -2"),
        "voyage.toml:2: crew.people: crew is -2 people; allowed: 1 to 20 people"
    );
    assert_eq!(
        complaint(SHORT, "people = 2", "people = 1.5"),
        "voyage.toml:2: crew.people: found 1.5; allowed: a whole number"
    );
    assert_eq!(
        complaint(SHORT, "people = 2\n", ""),
        "voyage.toml:1: crew.people: missing; it is needed here"
    );
    assert_eq!(
        complaint(SHORT, "sex = \"female\"\n", ""),
        "voyage.toml:1: crew.sex: missing; it is needed here"
    );
    let message = complaint(
        FULL,
        "kcal_per_day = 1500",
        "kcal_per_day = 1500\nsex = \"male\"",
    );
    assert!(
        message.starts_with("voyage.toml:10: crew.person[2].kcal_per_day: "),
        "{message}"
    );
    let nobody = "name = \"Ann\"\nkeeps_watch = false";
    let message = complaint(FULL, "name = \"Ann\"", nobody);
    assert_eq!(
        message,
        "voyage.toml:1: crew: watch keepers: none; needed: at least one person who keeps watch\n\
         hint: `keeps_watch` is false for everyone"
    );
}

#[test]
fn quantities_need_a_unit_of_their_kind() {
    let tank = |text: &str| complaint(FULL, "tank = \"130 US gal\"", text);
    assert_eq!(
        tank("tank = 130"),
        "voyage.toml:30: water.tank: found '130', a bare number; write its unit: L, ml, US gal, \
         imp gal"
    );
    assert_eq!(
        tank("tank = \"130 gal\""),
        "voyage.toml:30: water.tank: found '130 gal', which means different amounts to different \
         people; write '130 US gal' (492.1 L) or '130 imp gal' (591.0 L)"
    );
    assert!(tank("tank = \"130 firkins\"").contains("whose unit is unknown"));
    assert!(tank("tank = \"130 kg\"").contains("a volume is needed"));
    assert!(tank("tank = true").contains("a number and its unit, in quotes"));
    assert_eq!(
        tank("tank = \"-3 L\""),
        "voyage.toml:30: water.tank: water is -3 L; allowed: 0 to 20000 L"
    );
    let message = complaint(FULL, "size = \"400 Ah\"", "size = 400");
    assert!(
        message.ends_with("a bare number; write its unit: Ah, Wh, kWh"),
        "{message}"
    );
    let message = complaint(FULL, "volts = 12\n", "");
    assert!(
        message.contains("power.battery.volts: missing"),
        "{message}"
    );
}

#[test]
fn what_does_not_go_together_is_said() {
    let cases = [
        (
            "people and persons",
            SHORT,
            "people = 2",
            "people = 2\nperson = [{kcal_per_day = 2000}]",
        ),
        (
            "two ways to run",
            FULL,
            "when = \"dark\"",
            "when = \"dark\"\nhours_per_day = 2",
        ),
        (
            "two intervals",
            FULL,
            "pieces = 1",
            "pieces = 1\nevery_engine_hours = 10",
        ),
        (
            "two amounts",
            FULL,
            "pieces = 1",
            "pieces = 1\nfluid = \"1 L\"",
        ),
        (
            "two activities",
            FULL,
            "activity_level = 1.9",
            "activity_level = 1.9\nactivity = \"moderate\"",
        ),
    ];
    for (what, sound, old, new) in cases {
        let message = complaint(sound, old, new);
        assert!(
            message.contains("allowed: one of the two"),
            "{what}: {message}"
        );
    }
    let message = complaint(FULL, "when = \"dark\"\n", "");
    assert!(
        message.contains("power.load[2]: found neither of `when` and `hours_per_day`"),
        "{message}"
    );
    let message = complaint(FULL, "pieces = 1\n", "");
    assert!(
        message.contains("service.item[2]: found neither of `pieces` and `fluid`"),
        "{message}"
    );
    let message = complaint(FULL, "tank = \"130 US gal\"\n", "");
    assert!(message.contains("water.tank: missing"), "{message}");
    let message = complaint(FULL, "name = \"laundry\"", "name = \"washing\"");
    assert!(message.contains("'washing' is used twice"), "{message}");
    let message = complaint(FULL, "[food]\n", "[food]\nonly_listed = true\n");
    assert!(message.contains("no-cook food: none"), "{message}");
    let message = complaint(
        SHORT,
        "mass = \"60 kg\"\n",
        "mass = \"60 kg\"\n[water]\nonly_listed = true\n",
    );
    assert_eq!(
        message,
        "voyage.toml:6: water: uses of water: none; needed: at least one, such as drinking"
    );
    let engineless = format!("{FULL}{VOYAGE}");
    let message = read_voyage(&engineless).unwrap_err().to_string();
    assert!(
        message.contains("power.alternator: there is no [boat.engine] to turn it"),
        "{message}"
    );
}

#[test]
fn water_to_drink_and_cook_is_not_counted_twice() {
    for name in ["drinking", "cooking", "drinking and cooking"] {
        let message = complaint(FULL, "name = \"laundry\"", &format!("name = \"{name}\""));
        let said = "water.use[2].name: drinking and cooking are counted already";
        assert!(message.contains(said), "{message}");
        let alone = "mass = \"60 kg\"\n[water]\nonly_listed = true\n";
        let listed = format!("[[water.use]]\nname = \"{name}\"\nper_person_day = \"3 L\"\n");
        let text = SHORT.replacen("mass = \"60 kg\"\n", &format!("{alone}{listed}"), 1);
        let uses = read(&text).unwrap().water.uses;
        assert_eq!(uses.len(), 1, "{name} alone");
        assert_eq!(uses[0].litres_per_person_day, 3.0);
    }
    let both = "[water]\nonly_listed = true\n";
    let message = complaint(FULL, "[water]\n", both);
    assert!(
        message.contains("water.per_person_day: it is for"),
        "{message}"
    );
}

#[test]
fn a_percentile_outside_50_to_99_is_refused() {
    for percent in ["49", "99.5", "nan"] {
        let message = complaint(FULL, "percent = 80", &format!("percent = {percent}"));
        assert!(
            message.starts_with("voyage.toml:19: reserve.confidence_percent: "),
            "{message}"
        );
        assert!(message.ends_with("allowed: 50 to 99 %"), "{message}");
    }
}

#[test]
fn a_misspelt_key_is_told_the_nearest() {
    assert_eq!(
        complaint(FULL, "per_hour = \"30 L\"", "per_hours = \"30 L\""),
        "voyage.toml:46: water.watermaker.per_hours: unknown key; allowed: per_hour, power, \
         hours_per_day\nhint: did you mean `per_hour`?"
    );
    let message = complaint(FULL, "animal = \"cat\"", "animal = \"parrot\"");
    assert!(
        message.ends_with("allowed: \"dog\" or \"cat\""),
        "{message}"
    );
    let message = complaint(FULL, "\"diesel\", \"spares\"", "\"beer\"");
    assert!(
        message.starts_with("voyage.toml:27: resupply.sold_there[1]: found the text \"beer\"; ")
            && message.ends_with("allowed: \"diesel\", \"water\", \"food\" or \"spares\""),
        "{message}"
    );
}
