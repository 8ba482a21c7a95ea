//! The names of the waters in which tropical storms are counted.
//!
//! The names are those by which the World Meteorological Organization's regional centres divide
//! the tropics, from memory and drawn with straight edges. They only say where: whether and when
//! storms come is read from the observed table ([`StormDays`](super::StormDays)).

use std::fmt;

use crate::geodesy::Position;
use crate::units::serialize_by_name;

/// A part of the ocean with tropical storms of its own, for naming it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Basin {
    /// The North Atlantic with the Caribbean and the Gulf of Mexico.
    NorthAtlantic,
    /// The North Pacific east of the antimeridian.
    NorthEastPacific,
    /// The North Pacific west of the antimeridian, with the South China Sea.
    NorthWestPacific,
    /// The Arabian Sea and the Bay of Bengal.
    NorthIndian,
    /// The South Indian Ocean west of 90° E.
    SouthWestIndian,
    /// From 90° E to 160° E, around the north of Australia.
    Australian,
    /// The South Pacific from 160° E to 120° W.
    SouthPacific,
}

/// A box of latitudes from south to north and longitudes from west eastward, degrees.
struct Extent {
    basin: Basin,
    latitudes_deg: [f64; 2],
    longitudes_deg: [f64; 2],
}

/// To what latitude toward the poles the names go, degrees: the storms counted end there.
const POLEWARD_EDGE_DEG: f64 = 65.0;
const NORTHERN_INDIAN_EDGE_DEG: f64 = 30.0;

/// West of this longitude the water at a latitude of the Americas is the Pacific, from the latitude
/// given northward: the middle of the land between the oceans (from memory).
const AMERICAN_DIVIDE_DEG: [(f64, f64); 6] = [
    (0.0, -77.0),
    (8.0, -80.0),
    (9.2, -84.0),
    (14.0, -90.0),
    (17.0, -97.0),
    (20.0, -101.0),
];

/// The eastern edge of the North Atlantic's name, degrees east.
const ATLANTIC_EAST_DEG: f64 = 0.0;

const BOXES: [Extent; 5] = [
    Extent {
        basin: Basin::NorthWestPacific,
        latitudes_deg: [0.0, POLEWARD_EDGE_DEG],
        longitudes_deg: [100.0, 180.0],
    },
    Extent {
        basin: Basin::NorthIndian,
        latitudes_deg: [0.0, NORTHERN_INDIAN_EDGE_DEG],
        longitudes_deg: [43.0, 100.0],
    },
    Extent {
        basin: Basin::SouthWestIndian,
        latitudes_deg: [-POLEWARD_EDGE_DEG, 0.0],
        longitudes_deg: [20.0, 90.0],
    },
    Extent {
        basin: Basin::Australian,
        latitudes_deg: [-POLEWARD_EDGE_DEG, 0.0],
        longitudes_deg: [90.0, 160.0],
    },
    Extent {
        basin: Basin::SouthPacific,
        latitudes_deg: [-POLEWARD_EDGE_DEG, 0.0],
        longitudes_deg: [160.0, 240.0],
    },
];

serialize_by_name!(
    Basin,
    Basin::name,
    Basin::ALL,
    "A part of the ocean with tropical storms of its own."
);

impl Basin {
    const ALL: [Self; 7] = [
        Self::NorthAtlantic,
        Self::NorthEastPacific,
        Self::NorthWestPacific,
        Self::NorthIndian,
        Self::SouthWestIndian,
        Self::Australian,
        Self::SouthPacific,
    ];

    /// The basin's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::NorthAtlantic => "North Atlantic",
            Self::NorthEastPacific => "North-East Pacific",
            Self::NorthWestPacific => "North-West Pacific",
            Self::NorthIndian => "North Indian",
            Self::SouthWestIndian => "South-West Indian",
            Self::Australian => "Australian",
            Self::SouthPacific => "South Pacific",
        }
    }

    /// The waters a place lies in; edges included, land not left out.
    pub fn of(place: Position) -> Option<Self> {
        let latitude_deg = place.latitude_deg();
        let longitude_deg = place.longitude_deg();
        if (0.0..=POLEWARD_EDGE_DEG).contains(&latitude_deg)
            && (-180.0..=ATLANTIC_EAST_DEG).contains(&longitude_deg)
        {
            let (_, divide_deg) = AMERICAN_DIVIDE_DEG
                .iter()
                .rev()
                .find(|(from_deg, _)| latitude_deg >= *from_deg)?;
            return Some(if longitude_deg < *divide_deg {
                Self::NorthEastPacific
            } else {
                Self::NorthAtlantic
            });
        }
        let within = |extent: &&Extent| {
            let [south_deg, north_deg] = extent.latitudes_deg;
            let [west_deg, east_deg] = extent.longitudes_deg;
            // Longitudes of the boxes run from 20 to 240 and those of places from -180 to 180.
            (south_deg..=north_deg).contains(&latitude_deg)
                && [longitude_deg, longitude_deg + 360.0]
                    .iter()
                    .any(|longitude_deg| (west_deg..=east_deg).contains(longitude_deg))
        };
        BOXES.iter().find(within).map(|extent| extent.basin)
    }
}

impl fmt::Display for Basin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
        Position::new(latitude_deg, longitude_deg).unwrap()
    }

    /// Places whose name nobody doubts.
    #[test]
    fn well_known_waters_have_their_name() {
        let expected = [
            ("Barbados", 13.1, -59.5, Some(Basin::NorthAtlantic)),
            ("Gulf of Mexico", 25.0, -90.0, Some(Basin::NorthAtlantic)),
            ("Colon, Panama", 9.5, -79.9, Some(Basin::NorthAtlantic)),
            ("off Honduras", 16.2, -86.0, Some(Basin::NorthAtlantic)),
            ("off Costa Rica", 9.0, -85.5, Some(Basin::NorthEastPacific)),
            ("off Guatemala", 13.5, -91.5, Some(Basin::NorthEastPacific)),
            ("off Acapulco", 16.5, -100.0, Some(Basin::NorthEastPacific)),
            ("off Baja", 22.0, -112.0, Some(Basin::NorthEastPacific)),
            ("Hawaii", 21.0, -157.0, Some(Basin::NorthEastPacific)),
            ("Guam", 13.4, 144.8, Some(Basin::NorthWestPacific)),
            ("Bay of Bengal", 15.0, 88.0, Some(Basin::NorthIndian)),
            ("Mauritius", -20.2, 57.5, Some(Basin::SouthWestIndian)),
            ("off Broome", -17.5, 121.0, Some(Basin::Australian)),
            ("Fiji", -18.0, 178.0, Some(Basin::SouthPacific)),
            ("Tahiti", -17.5, -149.5, Some(Basin::SouthPacific)),
            ("Cape Verde", 15.0, -24.0, Some(Basin::NorthAtlantic)),
            ("the Antarctic ice", -68.0, 80.0, None),
            ("Saint Helena", -16.0, -5.7, None),
            ("the Mediterranean", 36.0, 18.0, None),
        ];
        for (name, latitude_deg, longitude_deg, basin) in expected {
            assert_eq!(Basin::of(at(latitude_deg, longitude_deg)), basin, "{name}");
        }
    }

    #[test]
    fn the_antimeridian_divides_the_north_pacific_and_not_the_south() {
        let north = [179.9, -179.9].map(|lon| Basin::of(at(15.0, lon)));
        assert_eq!(
            north,
            [Some(Basin::NorthWestPacific), Some(Basin::NorthEastPacific)]
        );
        let south = [179.9, -180.0, -179.9].map(|lon| Basin::of(at(-15.0, lon)));
        assert_eq!(south, [Some(Basin::SouthPacific); 3]);
    }
}
