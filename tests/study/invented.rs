//! Climates and voyages made up for a property: any field of winds, any boat, any legs.

use jiff::ToSpan;
use jiff::civil::{Date, date};
use offing::climate::{Climate, Region, SourceOptions};
use offing::passage::EnsembleOptions;
use offing::study::{Comparison, Options, compare};
use offing::{
    Boat, Engine, GenericBoat, Handling, Keel, LegKind, Position, Rig, Route, Voyage, Waypoint,
};
use proptest::prelude::*;

/// Degrees between the nodes of an invented climate.
const NODES_DEG: f64 = 5.0;

/// A node in a month (0 to 11): what a field of winds is asked about.
#[derive(Clone, Copy)]
pub struct Node {
    pub latitude_deg: f64,
    pub longitude_deg: f64,
    pub month: usize,
}

/// Mean east and north components and mean speed, m/s.
pub type Winds = [f64; 3];

/// Winds that change with latitude, longitude and season, trades and westerlies among them.
pub fn changing(node: Node) -> Winds {
    let (latitude, longitude) = (
        node.latitude_deg.to_radians(),
        node.longitude_deg.to_radians(),
    );
    let season = (node.month as f64 + 0.5) * std::f64::consts::TAU / 12.0;
    let u = -5.0 * (4.0 * latitude).cos() + 1.5 * (2.0 * longitude + season).sin();
    let v = 2.0 * (3.0 * latitude).sin() + 1.5 * longitude.cos() + season.cos();
    [u, v, u.hypot(v).hypot(4.0 + 2.0 * latitude.abs())]
}

/// The same all the year.
pub fn lasting(node: Node) -> Winds {
    changing(Node { month: 0, ..node })
}

/// The climate of a field of winds, whose longitudes are counted from `west_deg`.
pub fn climate_from(west_deg: f64, winds: impl Fn(Node) -> Winds) -> Climate {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("invented.nc");
    let mut file = netcdf::create(&path).unwrap();
    let axis = |first_deg: f64, count: i32| -> Vec<f64> {
        let nodes = 0..count;
        nodes
            .map(|node| first_deg + NODES_DEG * f64::from(node))
            .collect()
    };
    let (latitudes, longitudes) = (axis(-70.0, 29), axis(west_deg, 72));
    let times: Vec<f64> = (0..12)
        .map(|month| 15.2 + 30.437 * f64::from(month))
        .collect();
    for (name, values, units) in [
        ("time", &times, "days since 2001-01-01"),
        ("lat", &latitudes, "degrees_north"),
        ("lon", &longitudes, "degrees_east"),
    ] {
        file.add_dimension(name, values.len()).unwrap();
        let mut variable = file.add_variable::<f64>(name, &[name]).unwrap();
        variable.put_attribute("units", units).unwrap();
        variable.put_values(values, ..).unwrap();
    }
    for (part, standard_name) in ["eastward_wind", "northward_wind", "wind_speed"]
        .into_iter()
        .enumerate()
    {
        let mut values = Vec::new();
        for month in 0..12 {
            for &latitude_deg in &latitudes {
                for &longitude_deg in &longitudes {
                    let node = Node {
                        latitude_deg,
                        longitude_deg,
                        month,
                    };
                    values.push(winds(node)[part]);
                }
            }
        }
        let mut variable = file
            .add_variable::<f64>(standard_name, &["time", "lat", "lon"])
            .unwrap();
        variable
            .put_attribute("standard_name", standard_name)
            .unwrap();
        variable.put_attribute("units", "m s-1").unwrap();
        variable.put_values(&values, ..).unwrap();
    }
    file.close().unwrap();
    Climate::open(&path, &SourceOptions::default(), &Region::world()).unwrap()
}

/// The climate of a field of winds.
pub fn climate(winds: impl Fn(Node) -> Winds) -> Climate {
    climate_from(0.0, winds)
}

/// A voyage of one route, before it is one.
#[derive(Debug, Clone)]
pub struct Plan {
    pub departure: Date,
    /// Latitudes and longitudes, degrees.
    pub places: Vec<[f64; 2]>,
    /// How each leg is sailed.
    pub kinds: Vec<LegKind>,
    pub boat: Boat,
}

/// The boat of a few dimensions, `factor` times as fast, with an engine or without.
pub fn boat(factor: f64, engine: Option<Engine>) -> Boat {
    let size = GenericBoat {
        waterline_length_m: 10.2,
        displacement_kg: 11e3,
        sail_area_m2: 80.0,
        rig: Rig::Cutter,
        keel: Keel::Long,
    };
    let handling = Handling::new(45.0, engine.map(|_| 2.5)).unwrap();
    Boat::new(&size.polar().unwrap(), factor, engine, handling).unwrap()
}

/// Any voyage of two legs between 5 and 60 degrees of either hemisphere.
pub fn plan() -> impl Strategy<Value = Plan> {
    let kind = || prop_oneof![Just(LegKind::GreatCircle), Just(LegKind::Rhumb)];
    (
        any::<bool>(),
        [5.0..55.0f64, 5.0..55.0, 5.0..55.0],
        -180.0..180.0f64,
        [-40.0..40.0f64, -40.0..40.0],
        [kind(), kind()],
        0i64..365,
        0.6..1.1f64,
        prop::option::of(10.0..300.0f64),
    )
        .prop_map(
            |(south, latitudes, longitude, eastings, kinds, day, factor, litres)| {
                let side = if south { -1.0 } else { 1.0 };
                // Whole ten-thousandths of a degree in binary, so that another turn is no rounding.
                let exact = |deg: f64| (deg * 8192.0).round() / 8192.0;
                let mut longitude_deg = exact(longitude);
                let mut places = vec![[side * exact(latitudes[0]), longitude_deg]];
                for (latitude, easting) in latitudes[1..].iter().zip(eastings) {
                    longitude_deg += exact(easting) + 2.0f64.copysign(easting);
                    places.push([
                        side * exact(*latitude),
                        offing::units::wrap_180_deg(longitude_deg),
                    ]);
                }
                Plan {
                    departure: date(2027, 1, 1) + day.days(),
                    places,
                    kinds: kinds.to_vec(),
                    boat: boat(
                        factor,
                        litres.map(|litres| Engine::new(5.0, 2.0, litres).unwrap()),
                    ),
                }
            },
        )
}

impl Plan {
    /// The voyage, by a route of this name.
    pub fn voyage_called(&self, name: &str) -> Voyage {
        let waypoints = self.places.iter().enumerate().map(|(index, [lat, lon])| {
            let kind = self.kinds[index.saturating_sub(1)];
            let position = Position::new(*lat, *lon).unwrap();
            Waypoint::new(format!("{name} {index}"), position, kind)
        });
        let route = Route::new(name, waypoints.collect()).unwrap();
        Voyage::new(name, self.departure, self.boat.clone(), vec![route]).unwrap()
    }

    /// The voyage in a climate, with `members` passages.
    pub fn sailed(&self, climate: &Climate, members: usize) -> Comparison {
        compared(&self.voyage_called("Route"), climate, members)
    }
}

/// A voyage in a climate, with `members` passages.
pub fn compared(voyage: &Voyage, climate: &Climate, members: usize) -> Comparison {
    let few = EnsembleOptions {
        members,
        ..EnsembleOptions::default()
    };
    let options = Options::default().without_swings().with_ensemble(few);
    compare(voyage, climate, &options).unwrap()
}
