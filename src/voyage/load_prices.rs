//! From the settings of prices to those of the stores.

use super::error::{Complaint, Problem};
use super::load::one_of_two_at_most;
use super::locate::KeyPath;
use super::settings_prices::{PlacePricesTable, Price, PricesTable};
use super::values::quoted;
use crate::route::{Route, Stop};
use crate::stores::{PriceSettings, Prices};
use crate::units::nearest;

const LITRES_PER_M3: f64 = 1000.0;

/// The prices, everywhere and at the stops and ends of `routes`.
pub(super) fn load_prices(
    table: &PricesTable,
    routes: &[Route],
) -> Result<PriceSettings, Complaint> {
    let at = KeyPath::of("prices");
    let places = places(routes);
    let mut settings = PriceSettings {
        usual: Prices {
            diesel_per_litre: table.diesel_per_litre.map(f64::from),
            water_per_litre: water(&at, table.water_per_litre, table.water_per_m3)?,
            food_per_person_day: table.food_per_person_day.map(f64::from),
            harbour_per_day: table.harbour_per_day.map(f64::from),
        },
        at: Vec::new(),
    };
    for (index, table) in table.at.iter().enumerate() {
        let at = at.key("at").item(index);
        let place = table.place.as_str();
        if settings.at.iter().any(|(other, _)| other == place) {
            let problem = Problem::NameTwice(place.to_owned());
            return Err(Complaint::new(at.key("place"), problem));
        }
        if !places.contains(&place) {
            return Err(not_called_at(&at, place, &places));
        }
        settings
            .at
            .push((place.to_owned(), load_place(&at, table)?));
    }
    Ok(settings)
}

fn load_place(at: &KeyPath, table: &PlacePricesTable) -> Result<Prices, Complaint> {
    Ok(Prices {
        diesel_per_litre: table.diesel_per_litre.map(f64::from),
        water_per_litre: water(at, table.water_per_litre, table.water_per_m3)?,
        food_per_person_day: table.food_per_person_day.map(f64::from),
        harbour_per_day: table.harbour_per_day.map(f64::from),
    })
}

fn water(
    at: &KeyPath,
    per_litre: Option<Price>,
    per_m3: Option<Price>,
) -> Result<Option<f64>, Complaint> {
    let per_litre = per_litre.map(f64::from);
    let per_m3 = per_m3.map(|price| f64::from(price) / LITRES_PER_M3);
    one_of_two_at_most(at, ["water_per_litre", "water_per_m3"], per_litre, per_m3)
}

/// The names of all ends and stops, each once.
fn places(routes: &[Route]) -> Vec<&str> {
    let mut places = Vec::new();
    for route in routes {
        let last = route.waypoints().len() - 1;
        for (index, waypoint) in route.waypoints().iter().enumerate() {
            let stop = waypoint.stop.as_ref();
            let is_called_at =
                index == 0 || index == last || stop.is_some_and(Stop::breaks_the_passage);
            if is_called_at && !places.contains(&waypoint.name.as_str()) {
                places.push(&waypoint.name);
            }
        }
    }
    places
}

fn not_called_at(at: &KeyPath, place: &str, places: &[&str]) -> Complaint {
    /// More are not told.
    const MOST_TOLD: usize = 8;
    let more = if places.len() > MOST_TOLD {
        " and more"
    } else {
        ""
    };
    let told = &places[..places.len().min(MOST_TOLD)];
    let problem = Problem::WrongKind {
        found: quoted(place),
        allowed: format!("a stop or an end of a route: {}{more}", told.join(", ")),
    };
    let complaint = Complaint::new(at.key("place"), problem);
    match nearest(place, places.iter().copied()) {
        Some(nearest) => complaint.with_hint(format!("did you mean `{nearest}`?")),
        None => complaint,
    }
}
