//! Where and when tropical cyclones may occur.
//!
//! The basins are those by which the World Meteorological Organization's regional centres divide
//! the tropics, their seasons those in common use, both from memory and drawn with straight edges:
//! good for planning, not for deciding that a day is safe. Cyclones also come out of season and
//! stray beyond these edges, most of all poleward.

use std::fmt;

use super::month::Month;
use crate::geodesy::Position;
use crate::units::serialize_by_name;

/// A part of the ocean with tropical cyclones of its own.
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

/// Where a tropical cyclone is still to be expected as one, degrees: within 5 of the equator next
/// to none form; toward the poles they lose their kind (from memory, rough).
const NEAR_EQUATOR_DEG: f64 = 5.0;
const NORTHERN_EDGE_DEG: f64 = 40.0;
const NORTHERN_INDIAN_EDGE_DEG: f64 = 30.0;
const SOUTHERN_EDGE_DEG: f64 = -30.0;

/// West of this longitude the water at a latitude of the Americas is the Pacific, from the latitude
/// given northward: the middle of the land between the oceans (from memory).
const AMERICAN_DIVIDE_DEG: [(f64, f64); 6] = [
    (5.0, -77.0),
    (8.0, -80.0),
    (9.2, -84.0),
    (14.0, -90.0),
    (17.0, -97.0),
    (20.0, -101.0),
];

/// The eastern edge of the North Atlantic's cyclones, degrees east.
const ATLANTIC_EAST_DEG: f64 = -15.0;

const BOXES: [Extent; 5] = [
    Extent {
        basin: Basin::NorthWestPacific,
        latitudes_deg: [NEAR_EQUATOR_DEG, NORTHERN_EDGE_DEG],
        longitudes_deg: [100.0, 180.0],
    },
    Extent {
        basin: Basin::NorthIndian,
        latitudes_deg: [NEAR_EQUATOR_DEG, NORTHERN_INDIAN_EDGE_DEG],
        longitudes_deg: [43.0, 100.0],
    },
    Extent {
        basin: Basin::SouthWestIndian,
        latitudes_deg: [SOUTHERN_EDGE_DEG, -NEAR_EQUATOR_DEG],
        longitudes_deg: [30.0, 90.0],
    },
    Extent {
        basin: Basin::Australian,
        latitudes_deg: [SOUTHERN_EDGE_DEG, -NEAR_EQUATOR_DEG],
        longitudes_deg: [90.0, 160.0],
    },
    Extent {
        basin: Basin::SouthPacific,
        latitudes_deg: [SOUTHERN_EDGE_DEG, -NEAR_EQUATOR_DEG],
        longitudes_deg: [160.0, 240.0],
    },
];

serialize_by_name!(
    Basin,
    Basin::name,
    Basin::ALL,
    "A part of the ocean with tropical cyclones of its own."
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

    /// When its season is, in words.
    pub fn season(self) -> &'static str {
        match self {
            Self::NorthAtlantic => "June to November",
            Self::NorthEastPacific => "mid-May to November",
            Self::NorthWestPacific => "all year, most from July to November",
            Self::NorthIndian => "April to June and October to December",
            Self::SouthWestIndian | Self::Australian | Self::SouthPacific => "November to April",
        }
    }

    /// Whether a month is in its season, if only in part. From memory.
    pub fn has_season_in(self, month: Month) -> bool {
        let number = month.number();
        match self {
            Self::NorthAtlantic => (6..=11).contains(&number),
            Self::NorthEastPacific => (5..=11).contains(&number),
            Self::NorthWestPacific => true,
            Self::NorthIndian => (4..=6).contains(&number) || (10..=12).contains(&number),
            Self::SouthWestIndian | Self::Australian | Self::SouthPacific => {
                number >= 11 || number <= 4
            }
        }
    }
}

impl fmt::Display for Basin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// The cyclone basin a place lies in, whatever the season; edges included, land not left out.
pub fn cyclone_basin(place: Position) -> Option<Basin> {
    let latitude_deg = place.latitude_deg();
    let longitude_deg = place.longitude_deg();
    if (NEAR_EQUATOR_DEG..=NORTHERN_EDGE_DEG).contains(&latitude_deg)
        && (-180.0..=ATLANTIC_EAST_DEG).contains(&longitude_deg)
    {
        let (_, divide_deg) = AMERICAN_DIVIDE_DEG
            .iter()
            .rev()
            .find(|(from_deg, _)| latitude_deg >= *from_deg)?;
        return Some(if longitude_deg < *divide_deg {
            Basin::NorthEastPacific
        } else {
            Basin::NorthAtlantic
        });
    }
    let within = |extent: &&Extent| {
        let [south_deg, north_deg] = extent.latitudes_deg;
        let [west_deg, east_deg] = extent.longitudes_deg;
        // Longitudes of the boxes run from 30 to 240 and those of places from -180 to 180.
        (south_deg..=north_deg).contains(&latitude_deg)
            && [longitude_deg, longitude_deg + 360.0]
                .iter()
                .any(|longitude_deg| (west_deg..=east_deg).contains(longitude_deg))
    };
    BOXES.iter().find(within).map(|extent| extent.basin)
}

/// The cyclone basin a place lies in, where `month` is in its season.
pub fn in_season(place: Position, month: Month) -> Option<Basin> {
    cyclone_basin(place).filter(|basin| basin.has_season_in(month))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
        Position::new(latitude_deg, longitude_deg).unwrap()
    }

    fn month(number: u8) -> Month {
        Month::from_number(number).unwrap()
    }

    /// Places whose basin nobody doubts.
    #[test]
    fn well_known_waters_lie_in_their_basin() {
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
            ("the equator", 0.0, 70.0, None),
            ("the Roaring Forties", -42.0, 80.0, None),
            ("Saint Helena", -16.0, -5.7, None),
            ("the Mediterranean", 36.0, 18.0, None),
        ];
        for (name, latitude_deg, longitude_deg, basin) in expected {
            assert_eq!(
                cyclone_basin(at(latitude_deg, longitude_deg)),
                basin,
                "{name}"
            );
        }
    }

    #[test]
    fn the_antimeridian_divides_the_north_pacific_and_not_the_south() {
        let north = [179.9, -179.9].map(|lon| cyclone_basin(at(15.0, lon)));
        assert_eq!(
            north,
            [Some(Basin::NorthWestPacific), Some(Basin::NorthEastPacific)]
        );
        let south = [179.9, -180.0, -179.9].map(|lon| cyclone_basin(at(-15.0, lon)));
        assert_eq!(south, [Some(Basin::SouthPacific); 3]);
    }

    #[test]
    fn the_season_turns_with_the_hemisphere() {
        let (mauritius, barbados, guam) = (at(-20.0, 57.0), at(13.0, -59.0), at(13.0, 145.0));
        assert_eq!(in_season(mauritius, month(1)), Some(Basin::SouthWestIndian));
        assert_eq!(in_season(mauritius, month(5)), None);
        assert_eq!(in_season(barbados, month(9)), Some(Basin::NorthAtlantic));
        assert_eq!(in_season(barbados, month(1)), None);
        assert!(Month::ALL.iter().all(|m| in_season(guam, *m).is_some()));
        assert_eq!(in_season(at(15.0, 65.0), month(8)), None);
    }
}
