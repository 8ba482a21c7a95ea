//! Ports by name: "Fremantle, Australia".
//!
//! Some 7,100 of them, from GeoNames (CC BY 4.0), each at a place a mile or more off the coast; origin
//! and rules are in `fixtures/places/README.md`. Such a place is a mark to measure a passage from,
//! no anchorage and no harbour entrance.

use std::fmt;
use std::sync::OnceLock;

use deunicode::deunicode;
use schemars::JsonSchema;
use serde::Serialize;

use crate::geodesy::Position;
use crate::text::brief;

const PLACES: &str = include_str!("../../fixtures/places/places.csv");
const COUNTRIES: &str = include_str!("../../fixtures/places/countries.csv");

/// What people write for a country that the list of countries does not have.
const ALSO: [(&str, &str); 7] = [
    ("uk", "gb"),
    ("great britain", "gb"),
    ("america", "us"),
    ("cape verde", "cv"),
    ("netherlands", "nl"),
    ("holland", "nl"),
    ("burma", "mm"),
];

/// Spellings offered for one that is unknown, and how alike they must be (Jaro-Winkler, our choice).
const MOST_SPELLINGS: usize = 3;
const LIKE_ENOUGH: f64 = 0.85;
/// Ports of one name that are told apart in a message; more are counted.
const MOST_NAMESAKES: usize = 8;

/// A port and the place at sea from which passages begin and end there.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Port {
    /// Its name.
    pub name: String,
    /// The country; before it the state or the part, in the two countries where those are known.
    pub country: String,
    /// A place off it at sea.
    pub position: Position,
}

impl fmt::Display for Port {
    /// As it can be looked up.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.name, self.country)
    }
}

/// What keeps a name from being a port.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PortError {
    /// No port of that name is known there.
    #[error(
        "no port '{}' is known; allowed: a name such as \"Fremantle, Australia\"",
        brief(found)
    )]
    Unknown {
        /// What was looked for.
        found: String,
        /// Names much like it, the likeliest first.
        nearest: Vec<String>,
    },
    /// Several ports have that name.
    #[error("'{}' is the name of {} ports: {}", brief(found), .ports.len(), namesakes(.ports))]
    Several {
        /// What was looked for.
        found: String,
        /// The ports.
        ports: Vec<Port>,
    },
}

impl PortError {
    /// What to write instead.
    pub fn hint(&self) -> String {
        match self {
            Self::Unknown { nearest, .. } => match &nearest[..] {
                [] => "write the name as on a map, or give a position".to_owned(),
                names => format!("did you mean `{}`?", names.join("`, or `")),
            },
            Self::Several { ports, .. } if ports.iter().any(|port| is_alone(port, ports)) => {
                "write the country too, or give a position".to_owned()
            }
            Self::Several { .. } => "give a position instead".to_owned(),
        }
    }
}

/// Whether the port's name and country are those of no other.
fn is_alone(port: &Port, ports: &[Port]) -> bool {
    let same = |other: &&Port| (&other.name, &other.country) == (&port.name, &port.country);
    ports.iter().filter(same).count() == 1
}

fn namesakes(ports: &[Port]) -> String {
    let shown = ports.iter().take(MOST_NAMESAKES);
    let mut names: Vec<String> = shown
        .map(|port| match is_alone(port, ports) {
            true => port.to_string(),
            false => format!("{port} ({})", port.position),
        })
        .collect();
    if let Some(more) = ports.len().checked_sub(MOST_NAMESAKES + 1) {
        names.push(format!("{} more", more + 1));
    }
    names.join("; ")
}

/// The port of a name, such as `Fremantle, Australia`: capitals and accents do not matter, and the
/// country may be left out, or be its code, where that leaves just one.
///
/// # Errors
/// No such port, or several.
pub fn find_port(text: &str) -> Result<Port, PortError> {
    let found = text.trim().to_owned();
    let mut parts = text.split(',').map(folded);
    let name = parts.next().unwrap_or_default();
    let areas: Vec<String> = parts.filter(|part| !part.is_empty()).collect();
    let gazetteer = Gazetteer::embedded();
    let mut ports: Vec<Port> = gazetteer
        .entries
        .iter()
        .filter(|entry| entry.folded == name && gazetteer.is_in(entry, &areas))
        .map(|entry| gazetteer.port(entry))
        .collect();
    match (ports.pop(), ports.is_empty()) {
        (Some(port), true) => Ok(port),
        (Some(port), false) => {
            ports.push(port);
            Err(PortError::Several { found, ports })
        }
        (None, _) => Err(PortError::Unknown {
            found,
            nearest: gazetteer.nearest(&name, &areas),
        }),
    }
}

/// A text without capitals, accents and punctuation: what two spellings of one name share.
fn folded(text: &str) -> String {
    let spaced = deunicode(text).replace('-', " ");
    let plain = |letter: &char| letter.is_ascii_alphanumeric() || *letter == ' ';
    let plain: String = spaced.chars().filter(plain).collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    words.join(" ").to_ascii_lowercase()
}

struct Entry {
    name: &'static str,
    folded: String,
    /// A country's code, or that of a part of it: `AU`, `US-RI`.
    code: &'static str,
    position: Position,
}

struct Area {
    code: &'static str,
    name: &'static str,
    /// What people write for it.
    spellings: Vec<String>,
}

/// The list carried in the program.
struct Gazetteer {
    entries: Vec<Entry>,
    areas: Vec<Area>,
}

impl Gazetteer {
    fn embedded() -> &'static Self {
        static GAZETTEER: OnceLock<Gazetteer> = OnceLock::new();
        GAZETTEER.get_or_init(|| Self {
            entries: rows(PLACES).filter_map(Entry::read).collect(),
            areas: rows(COUNTRIES).filter_map(Area::read).collect(),
        })
    }

    fn area(&self, code: &str) -> Option<&Area> {
        self.areas.iter().find(|area| area.code == code)
    }

    /// The areas that an entry lies in: a part of a country where there is one, and the country.
    fn areas_of(&self, entry: &Entry) -> impl Iterator<Item = &Area> {
        let country = entry.code.split('-').next().unwrap_or_default();
        let part = (country != entry.code).then_some(entry.code);
        part.into_iter()
            .chain([country])
            .filter_map(|code| self.area(code))
    }

    /// Whether the entry lies in every one of these.
    fn is_in(&self, entry: &Entry, written: &[String]) -> bool {
        let lies_in = |text: &String| {
            self.areas_of(entry)
                .any(|area| area.spellings.contains(text))
        };
        written.iter().all(lies_in)
    }

    fn port(&self, entry: &Entry) -> Port {
        let country: Vec<&str> = self.areas_of(entry).map(|area| area.name).collect();
        Port {
            name: entry.name.to_owned(),
            country: country.join(", "),
            position: entry.position,
        }
    }

    /// The ports with the names most like one that is unknown, the likeliest first; only those of the
    /// country where it has any.
    fn nearest(&self, name: &str, areas: &[String]) -> Vec<String> {
        let likeness = |entry: &Entry| {
            let begins = entry.folded.strip_prefix(name);
            let begins = begins.is_some_and(|rest| rest.is_empty() || rest.starts_with(' '));
            match begins && !name.is_empty() {
                true => 1.0,
                false => strsim::jaro_winkler(name, &entry.folded),
            }
        };
        let mut alike: Vec<(f64, &Entry)> = self
            .entries
            .iter()
            .map(|entry| (likeness(entry), entry))
            .filter(|(likeness, _)| *likeness >= LIKE_ENOUGH)
            .collect();
        if alike.iter().any(|(_, entry)| self.is_in(entry, areas)) {
            alike.retain(|(_, entry)| self.is_in(entry, areas));
        }
        alike.sort_by(|a, b| b.0.total_cmp(&a.0));
        let best = alike.into_iter().take(MOST_SPELLINGS);
        best.map(|(_, entry)| self.port(entry).to_string())
            .collect()
    }
}

/// The rows of an embedded list, below its heading. Its names hold no commas, as a test says.
fn rows(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    text.lines().skip(1).map(|line| line.split(',').collect())
}

impl Entry {
    fn read(row: Vec<&'static str>) -> Option<Self> {
        let [name, code, latitude_deg, longitude_deg] = row[..] else {
            return None;
        };
        let position = Position::new(latitude_deg.parse().ok()?, longitude_deg.parse().ok()?);
        Some(Self {
            name,
            folded: folded(name),
            code,
            position: position.ok()?,
        })
    }
}

impl Area {
    fn read(row: Vec<&'static str>) -> Option<Self> {
        let [code, three_letters, name] = row[..] else {
            return None;
        };
        // California is no Canada: a part of a country goes by its name only.
        let codes = [code, three_letters].into_iter();
        let codes = codes.filter(|text| !text.is_empty() && !text.contains('-'));
        let mut spellings: Vec<String> = codes.chain([name]).map(folded).collect();
        let also = ALSO.iter().filter(|(_, of)| *of == spellings[0]);
        let also: Vec<String> = also.map(|(spelling, _)| (*spelling).to_owned()).collect();
        spellings.extend(also);
        Some(Self {
            code,
            name,
            spellings,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geodesy::{Earth, GreatCircle};
    use crate::route::Land;

    #[test]
    fn every_row_of_the_lists_is_read() {
        let gazetteer = Gazetteer::embedded();
        assert_eq!(gazetteer.entries.len(), PLACES.lines().count() - 1);
        assert_eq!(gazetteer.areas.len(), COUNTRIES.lines().count() - 1);
        for entry in &gazetteer.entries {
            let parts = entry.code.split('-').count();
            assert_eq!(gazetteer.areas_of(entry).count(), parts, "{}", entry.name);
            assert!(!entry.folded.is_empty(), "{}", entry.name);
        }
    }

    #[test]
    fn every_port_lies_at_sea() {
        let land = Land::natural_earth();
        let ashore = |entry: &&Entry| land.covers(entry.position);
        let ashore = Gazetteer::embedded().entries.iter().filter(ashore);
        let ashore: Vec<&str> = ashore.map(|entry| entry.name).collect();
        assert!(ashore.is_empty(), "{ashore:?}");
    }

    /// Positions of the harbours, to a few minutes: from memory.
    #[test]
    fn ports_are_where_sailors_know_them() {
        for (name, latitude_deg, longitude_deg) in [
            ("Fremantle, Australia", -32.05, 115.74),
            ("Durban, South Africa", -29.87, 31.03),
            ("Cape Town, South Africa", -33.91, 18.43),
            ("Horta, Portugal", 38.53, -28.62),
            ("Las Palmas de Gran Canaria, Spain", 28.13, -15.42),
            ("Mindelo, Cape Verde", 16.88, -24.99),
            ("Bridgetown, Barbados", 13.10, -59.62),
            ("Hamilton, Bermuda", 32.29, -64.78),
            ("Jamestown, Saint Helena", -15.92, -5.72),
            ("Port Louis, Mauritius", -20.15, 57.50),
            ("Papeete, French Polynesia", -17.53, -149.57),
            ("Suva, Fiji", -18.13, 178.42),
            ("Auckland, New Zealand", -36.84, 174.77),
            ("Hobart, Australia", -42.88, 147.34),
            ("Falmouth, England", 50.15, -5.05),
            ("Brest, France", 48.38, -4.49),
            ("Newport, Rhode Island", 41.49, -71.33),
            ("Honolulu, USA", 21.30, -157.86),
            ("Ushuaia, Argentina", -54.81, -68.30),
            ("Reykjavik, Iceland", 64.15, -21.93),
        ] {
            let port = find_port(name).unwrap_or_else(|error| panic!("{error}"));
            let known = Position::new(latitude_deg, longitude_deg).unwrap();
            let circle = GreatCircle::between(Earth::WGS84, known, port.position).unwrap();
            let off_nm = circle.length_nm();
            assert!(
                off_nm < 15.0,
                "{name} is {off_nm} nm off, at {}",
                port.position
            );
        }
    }

    #[test]
    fn spelling_is_free_within_reason() {
        let fremantle = find_port("Fremantle, Australia").unwrap();
        assert_eq!(fremantle.to_string(), "Fremantle, Australia");
        for text in [
            "fremantle",
            "FREMANTLE, au",
            " Fremantle ,AUS",
            "Fremantle,Australia",
        ] {
            assert_eq!(find_port(text).as_ref(), Ok(&fremantle), "{text}");
        }
        for (text, full) in [
            ("a coruna, spain", "A Coruña, Spain"),
            ("Noumea", "Nouméa, New Caledonia"),
            ("nuku'alofa, tonga", "Nuku‘alofa, Tonga"),
            ("saint denis, reunion", "Saint-Denis, Reunion"),
            (
                "Newport, Rhode Island, USA",
                "Newport, Rhode Island, United States",
            ),
            ("Plymouth, UK", "Plymouth, England, United Kingdom"),
        ] {
            assert_eq!(
                find_port(text).map(|port| port.to_string()).as_deref(),
                Ok(full),
                "{text}"
            );
        }
    }

    #[test]
    fn two_ports_of_one_name_are_told_apart() {
        let error = find_port("Brest, Freedonia").unwrap_err();
        assert!(
            error.hint().starts_with("did you mean `Brest, France`"),
            "{error}"
        );
        let error = find_port("Victoria").unwrap_err();
        assert!(
            error.to_string().contains("Victoria, Seychelles"),
            "{error}"
        );
        assert_eq!(error.hint(), "write the country too, or give a position");
        let twice = find_port("Calheta, Portugal").unwrap_err();
        assert_eq!(twice.hint(), "give a position instead", "{twice}");
        assert_eq!(twice.to_string().matches("'N 0").count(), 2, "{twice}");
    }

    #[test]
    fn a_slip_is_answered_by_the_likeliest_names() {
        let error = find_port("Fremantel, Australia").unwrap_err();
        assert_eq!(
            error.to_string(),
            "no port 'Fremantel, Australia' is known; allowed: a name such as \
             \"Fremantle, Australia\""
        );
        assert!(
            error.hint().contains("`Fremantle, Australia`"),
            "{}",
            error.hint()
        );
        let error = find_port("Las Palmas, Spain").unwrap_err();
        assert!(
            error.hint().contains("Las Palmas de Gran Canaria, Spain"),
            "{}",
            error.hint()
        );
        let error = find_port("Qxzzy").unwrap_err();
        assert_eq!(
            error.hint(),
            "write the name as on a map, or give a position"
        );
        assert!(find_port("").is_err() && find_port(", Australia").is_err());
    }
}
