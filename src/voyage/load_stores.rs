//! From the settings of the loading list to those of the stores.

use super::error::{Complaint, Problem};
use super::load::{one_of_two, one_of_two_at_most};
use super::load_prices::load_prices;
use super::locate::KeyPath;
use super::settings::Settings;
use super::settings_stores::{
    ActivityKind, AlternatorTable, BatteryTable, CM_PER_M, Crew, Food, FoodKindTable, LoadTable,
    PersonTable, Power, Reserve, Resupply, Service, ServiceItemTable, Watches, Water,
    WaterUseTable, When,
};
use crate::route::Route;
use crate::stores::power_sources::BATTERY_ENERGY;
use crate::stores::{
    Activity, Alternator, Basis, Battery, Body, CrewSettings, EngineSettings, Figure, FoodKind,
    FoodNeed, FoodSettings, Interval, Load, Person, Pet, PowerSettings, Purpose, ReserveSettings,
    ResupplySettings, Running, ServiceItem, ServiceSettings, Solar, StoresSettings, WatchSettings,
    WaterSettings, WaterUse, Watermaker, WindGenerator,
};
use crate::units::{Kind, Unit};

/// Tables of the loading list without the one that says who is aboard.
pub(super) fn no_crew() -> Complaint {
    Complaint::new(KeyPath::of("crew"), Problem::Missing).with_hint(
        "write a table [crew] with people = 2, sex = \"female\", age_years = 45 and mass = \
         \"70 kg\", or a [[crew.person]] for each",
    )
}

/// What the loading list is made from, if any of its tables is there; `engine` is the boat's, `routes` are
/// those whose places have prices.
pub(super) fn load_stores(
    settings: &Settings,
    engine: Option<EngineSettings>,
    routes: &[Route],
) -> Result<Option<StoresSettings>, Complaint> {
    let Some(crew) = &settings.crew else {
        let others = [
            settings.reserve.is_some(),
            settings.resupply.is_some(),
            settings.water.is_some(),
            settings.power.is_some(),
            settings.food.is_some(),
            settings.service.is_some(),
            settings.watches.is_some(),
            settings.prices.is_some(),
            settings.output.is_some(),
        ];
        return if others.contains(&true) {
            Err(no_crew())
        } else {
            Ok(None)
        };
    };
    let alternator = settings
        .power
        .as_ref()
        .and_then(|power| power.alternator.as_ref());
    if alternator.is_some() && engine.is_none() {
        let at = KeyPath::of("power").key("alternator");
        let reason = "there is no [boat.engine] to turn it";
        return Err(Complaint::new(at, Problem::OutOfPlace(reason)));
    }
    let water = match &settings.water {
        Some(water) => load_water(water)?,
        None => WaterSettings::new(None),
    };
    let mut stores = StoresSettings::new(load_crew(crew)?, water);
    stores.engine = engine.map(|engine| EngineSettings {
        charging_litres_per_hour: alternator.and_then(|table| given(table.litres_per_hour)),
        arrival_hours: settings
            .reserve
            .as_ref()
            .and_then(|table| given(table.arrival_engine_hours)),
        ..engine
    });
    stores.power = settings.power.as_ref().map(load_power).transpose()?;
    if let Some(reserve) = &settings.reserve {
        stores.reserve = load_reserve(reserve);
    }
    if let Some(resupply) = &settings.resupply {
        stores.resupply = load_resupply(resupply);
    }
    if let Some(food) = &settings.food {
        stores.food = load_food(food)?;
    }
    if let Some(service) = &settings.service {
        stores.service = load_service(service)?;
    }
    if let Some(watches) = &settings.watches {
        stores.watches = load_watches(watches);
    }
    let prices = settings.prices.as_ref();
    stores.prices = prices.map(|table| load_prices(table, routes)).transpose()?;
    Ok(Some(stores))
}

fn given(amount: Option<impl Into<f64>>) -> Option<f64> {
    amount.map(Into::into)
}

/// The defaults, each replaced by the listed entry of its name, and then the other listed entries.
fn over<T, E>(
    defaults: Vec<T>,
    only_listed: Option<bool>,
    (at, listed): (&KeyPath, &[E]),
    load: fn(&KeyPath, &E) -> Result<T, Complaint>,
    name: fn(&T) -> &str,
) -> Result<Vec<T>, Complaint> {
    let mut list = if only_listed.unwrap_or(false) {
        Vec::new()
    } else {
        defaults
    };
    let mut names: Vec<String> = Vec::new();
    for (index, entry) in listed.iter().enumerate() {
        let at = at.item(index);
        let item = load(&at, entry)?;
        let called = name(&item).to_owned();
        if names.contains(&called) {
            return Err(Complaint::new(at.key("name"), Problem::NameTwice(called)));
        }
        match list.iter_mut().find(|default| name(default) == called) {
            Some(default) => *default = item,
            None => list.push(item),
        }
        names.push(called);
    }
    Ok(list)
}

fn load_crew(table: &Crew) -> Result<CrewSettings, Complaint> {
    let at = KeyPath::of("crew");
    let listed = (!table.person.is_empty()).then_some(None);
    let aboard = one_of_two_at_most(&at, ["people", "person"], table.people.map(Some), listed)?;
    let people = match aboard {
        None => return Err(Complaint::new(at.key("people"), Problem::Missing)),
        Some(Some(count)) => {
            let each = PersonTable {
                name: None,
                keeps_watch: None,
                sex: table.sex,
                age_years: table.age_years,
                mass: table.mass,
                height: table.height,
                activity: table.activity,
                activity_level: table.activity_level,
                kcal_per_day: table.kcal_per_day,
            };
            Person::alike(f64::from(count) as usize, load_need(&at, &each)?)
        }
        Some(None) => {
            let people = table.person.iter().enumerate();
            people
                .map(|(index, person)| {
                    let name = person.name.clone().map(String::from);
                    Ok(Person {
                        name: name.unwrap_or_else(|| format!("person {}", index + 1)),
                        need: load_need(&at.key("person").item(index), person)?,
                        keeps_watch: person.keeps_watch.unwrap_or(true),
                    })
                })
                .collect::<Result<_, _>>()?
        }
    };
    let pets = table.pet.iter().map(|pet| Pet {
        name: pet.name.as_str().to_owned(),
        animal: pet.animal,
        mass_kg: pet.mass.into(),
    });
    let crew = CrewSettings {
        people,
        pets: pets.collect(),
    };
    let nobody_watches = crew.people.iter().all(|person| !person.keeps_watch);
    crew.validate().map_err(|error| {
        let complaint = Complaint::refused(at, error);
        match nobody_watches {
            true => complaint.with_hint("`keeps_watch` is false for everyone"),
            false => complaint,
        }
    })?;
    Ok(crew)
}

fn load_need(at: &KeyPath, table: &PersonTable) -> Result<FoodNeed, Complaint> {
    let activity = table.activity.map(|kind| match kind {
        ActivityKind::Sedentary => Activity::Sedentary,
        ActivityKind::Moderate => Activity::Moderate,
        ActivityKind::Vigorous => Activity::Vigorous,
    });
    let level = given(table.activity_level).map(Activity::Level);
    let activity = one_of_two_at_most(at, ["activity", "activity_level"], activity, level)?;
    if let Some(kcal) = table.kcal_per_day {
        let body = [
            table.sex.is_some(),
            table.age_years.is_some(),
            table.mass.is_some(),
            table.height.is_some(),
            activity.is_some(),
        ];
        if body.contains(&true) {
            let reason = "the body already says what food is needed; keep one of the two";
            return Err(Complaint::new(
                at.key("kcal_per_day"),
                Problem::OutOfPlace(reason),
            ));
        }
        return Ok(FoodNeed::Given(kcal.into()));
    }
    let missing = |key| move || Complaint::new(at.key(key), Problem::Missing);
    Ok(FoodNeed::Body(Body {
        sex: table.sex.ok_or_else(missing("sex"))?,
        age_years: table.age_years.ok_or_else(missing("age_years"))?.into(),
        mass_kg: table.mass.ok_or_else(missing("mass"))?.into(),
        height_cm: given(table.height).map(|height_m| height_m * CM_PER_M),
        activity: activity.unwrap_or(Activity::Moderate),
    }))
}

fn load_reserve(table: &Reserve) -> ReserveSettings {
    ReserveSettings {
        confidence_percent: given(table.confidence_percent),
        food_share: given(table.food_share),
        water_share: given(table.water_share),
    }
}

fn load_resupply(table: &Resupply) -> ResupplySettings {
    ResupplySettings {
        days: given(table.days),
        price_ratio: given(table.price_ratio),
        sold_there: table.sold_there.clone(),
    }
}

fn load_water(table: &Water) -> Result<WaterSettings, Complaint> {
    let at = KeyPath::of("water");
    if table.watermaker.is_some() && table.tank.is_none() {
        // What is left when it fails is what the tanks hold.
        return Err(Complaint::new(at.key("tank"), Problem::Missing));
    }
    let usual = WaterSettings::new(given(table.tank));
    let uses = over(
        drinking_and_cooking(table, usual.uses)?,
        table.only_listed,
        (&at.key("use"), &table.uses),
        |_, entry| {
            Ok(WaterUse {
                purpose: entry.name.as_str().to_owned().into(),
                litres_per_person_day: entry.per_person_day.into(),
                basis: Basis::GIVEN,
            })
        },
        |water_use| water_use.purpose.name(),
    )?;
    let water = WaterSettings {
        uses,
        heat_litres_per_person_day: given(table.heat_per_person_day),
        tank_litres: usual.tank_litres,
        bottled_litres: given(table.bottled).unwrap_or(usual.bottled_litres),
        watermaker: table.watermaker.as_ref().map(|maker| Watermaker {
            litres_per_hour: maker.per_hour.into(),
            watts: maker.power.into(),
            hours_per_day: given(maker.hours_per_day),
        }),
        ration_litres_per_person_day: given(table.ration_per_person_day),
        emergency_litres_per_person: given(table.emergency_per_person),
    };
    water
        .validate()
        .map_err(|error| Complaint::refused(at, error))?;
    Ok(water)
}

/// The `usual` use, of as much as the file says of it. Water that is in it already is not to be listed
/// beside it, or it would be counted twice.
fn drinking_and_cooking(table: &Water, usual: Vec<WaterUse>) -> Result<Vec<WaterUse>, Complaint> {
    let at = KeyPath::of("water");
    let all = given(table.per_person_day);
    if table.only_listed.unwrap_or(false) {
        let reason = "it is for drinking and cooking, which `only_listed = true` leaves out";
        let out_of_place = Complaint::new(at.key("per_person_day"), Problem::OutOfPlace(reason));
        return all.map_or(Ok(usual), |_: f64| Err(out_of_place));
    }
    let is_in_it = |entry: &WaterUseTable| {
        let purpose = Purpose::from(entry.name.as_str().to_owned());
        matches!(
            purpose,
            Purpose::DrinkingAndCooking | Purpose::Drinking | Purpose::Cooking
        )
    };
    if let Some(index) = table.uses.iter().position(is_in_it) {
        let reason = "drinking and cooking are counted already: write `per_person_day` in \
                      [water] for both, or `only_listed = true` beside the uses listed";
        let at = at.key("use").item(index).key("name");
        return Err(Complaint::new(at, Problem::OutOfPlace(reason)));
    }
    let Some(litres_per_person_day) = all else {
        return Ok(usual);
    };
    Ok(vec![WaterUse {
        purpose: Purpose::DrinkingAndCooking,
        litres_per_person_day,
        basis: Basis::GIVEN,
    }])
}

fn load_power(table: &Power) -> Result<PowerSettings, Complaint> {
    let at = KeyPath::of("power");
    let loads = over(
        PowerSettings::default().loads,
        table.only_listed,
        (&at.key("load"), &table.load),
        load_load,
        |load| &load.name,
    )?;
    let battery = table.battery.as_ref();
    Ok(PowerSettings {
        loads,
        battery: battery
            .map(|table| load_battery(&at.key("battery"), table))
            .transpose()?,
        solar: table.solar.as_ref().map(|solar| Solar {
            peak_watts: solar.peak.into(),
            clearness: given(solar.clearness),
            in_use_share: given(solar.in_use_share),
        }),
        wind: table.wind.as_ref().map(|wind| WindGenerator {
            rated_watts: wind.rated.into(),
            rated_wind_ms: wind.rated_wind_ms.into(),
            starts_at_ms: wind.starts_at_ms.into(),
            wind_share: given(wind.wind_share),
        }),
        alternator: table.alternator.as_ref().map(load_alternator),
    })
}

fn load_load(at: &KeyPath, table: &LoadTable) -> Result<Load, Complaint> {
    let when = table.when.map(|when| match when {
        When::Always => Running::AllDay,
        When::Dark => Running::Dark,
    });
    let hours = given(table.hours_per_day).map(Running::Hours);
    Ok(Load {
        name: table.name.as_str().to_owned(),
        watts: table.power.into(),
        running: one_of_two(at, ["when", "hours_per_day"], when, hours)?,
        basis: Basis::GIVEN,
    })
}

fn load_battery(at: &KeyPath, table: &BatteryTable) -> Result<Battery, Complaint> {
    let size = table.size.0;
    let watt_hours = match size.unit.kind() {
        Kind::Charge => {
            let missing = || Complaint::new(at.key("volts"), Problem::Missing);
            size.in_base() * f64::from(table.volts.ok_or_else(missing)?)
        }
        _ => size.in_base(),
    };
    BATTERY_ENERGY
        .check(watt_hours)
        .map_err(|breach| Complaint::refused(at.key("size"), breach))?;
    Ok(Battery {
        kind: table.kind,
        watt_hours,
        usable_share: given(table.usable_share),
    })
}

fn load_alternator(table: &AlternatorTable) -> Alternator {
    Alternator {
        net_watts: table.net.into(),
        charge_efficiency: given(table.charge_efficiency),
    }
}

fn load_food(table: &Food) -> Result<FoodSettings, Complaint> {
    let at = KeyPath::of("food");
    let usual = FoodSettings::default();
    let food = FoodSettings {
        refrigerator: table.refrigerator.unwrap_or(usual.refrigerator),
        cold_share: given(table.cold_share),
        heavy_weather_share: given(table.heavy_weather_share),
        spoilage_share: given(table.spoilage_share),
        least_no_cook_days: given(table.least_no_cook_days),
        pet_food_kcal_per_kg: given(table.pet_food_kcal_per_kg),
        kinds: over(
            usual.kinds,
            table.only_listed,
            (&at.key("kind"), &table.kind),
            load_kind,
            |kind| &kind.name,
        )?,
    };
    food.validate()
        .map_err(|error| Complaint::refused(at, error))?;
    Ok(food)
}

fn load_kind(_: &KeyPath, table: &FoodKindTable) -> Result<FoodKind, Complaint> {
    Ok(FoodKind {
        name: table.name.as_str().to_owned(),
        keeping: table.keeping,
        share: table.share.into(),
        kcal_per_kg: table.kcal_per_kg.into(),
        litres_per_kg: table.litres_per_kg.into(),
        keeps_days: table.keeps_days.into(),
        basis: Basis::GIVEN,
    })
}

fn load_service(table: &Service) -> Result<ServiceSettings, Complaint> {
    Ok(ServiceSettings {
        items: over(
            ServiceSettings::default().items,
            table.only_listed,
            (&KeyPath::of("service").key("item"), &table.item),
            load_item,
            |item| &item.name,
        )?,
    })
}

fn load_item(at: &KeyPath, table: &ServiceItemTable) -> Result<ServiceItem, Complaint> {
    let interval = one_of_two(
        at,
        ["every_engine_hours", "every_water_litres"],
        given(table.every_engine_hours).map(Interval::EngineHours),
        given(table.every_water_litres).map(Interval::WaterLitres),
    )?;
    let engine = ("engine_hours_since", table.engine_hours_since);
    let water = ("water_litres_since", table.water_litres_since);
    let ((_, since), (other_key, other)) = match interval {
        Interval::EngineHours(_) => (engine, water),
        Interval::WaterLitres(_) => (water, engine),
    };
    if other.is_some() {
        let problem = Problem::OutOfPlace("it is not what the item is changed by");
        return Err(Complaint::new(at.key(other_key), problem));
    }
    let (value, unit) = one_of_two(
        at,
        ["pieces", "fluid"],
        given(table.pieces).map(|pieces| (pieces, Unit::Piece)),
        given(table.fluid).map(|litres| (litres, Unit::Litre)),
    )?;
    Ok(ServiceItem {
        name: table.name.as_str().to_owned(),
        interval,
        since_last: given(since).unwrap_or(0.0),
        per_change: Figure {
            value,
            basis: Basis::GIVEN,
        },
        unit,
        in_hand: given(table.in_hand),
        basis: Basis::GIVEN,
    })
}

fn load_watches(table: &Watches) -> WatchSettings {
    WatchSettings {
        chores_h: given(table.chores_hours),
        asleep_share: given(table.asleep_share),
        gale_lost_share: given(table.gale_lost_share),
        hard_beat_lost_share: given(table.hard_beat_lost_share),
    }
}
