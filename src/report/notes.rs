//! What is to be said about the boat, the winds and the land wherever they are used.

use super::cautions::voyage_cautions;
use super::loading::amount;
use super::table::wrap;
use super::wording::{date, grouped};
use crate::boat::{AtSea, GenericBoat};
use crate::route::{LandCheck, LandCrossing};
use crate::study::{
    AboutBoat, AboutCurrents, AboutVoyage, AboutWinds, CheckedVoyage, Comparison, Loading, Rally,
    RealYears, Season, YearPlan,
};
use crate::text::visible;
use crate::units::{METRES_PER_FOOT, OutputUnits, Unit};

/// What a check for land cannot know; said wherever land is checked.
const SMALL_ISLANDS: &str = "Land is checked against coarse outlines (1:10 million, within a mile, \
     more on intricate coasts): small islands, rocks, reefs and shoals are missing, so a clear \
     check is no proof of a clear passage; lay every leg off on the chart.";

/// A voyage and its routes' checks for land: what the notes under a result are about.
pub(super) struct Noticed<'a> {
    pub voyage: &'a AboutVoyage,
    pub land: Vec<(&'a str, &'a LandCheck)>,
}

/// A result about a voyage's routes.
pub trait AboutRoutes {
    /// Which voyage, and what of each route lies on land.
    #[allow(private_interfaces)]
    fn noticed(&self) -> Noticed<'_>;
}

macro_rules! about_routes {
    ($($result:ty),*) => {
        $(impl AboutRoutes for $result {
            #[allow(private_interfaces)]
            fn noticed(&self) -> Noticed<'_> {
                let routes = self.routes.iter();
                Noticed {
                    voyage: &self.voyage,
                    land: routes.map(|route| (route.name.as_str(), &route.land)).collect(),
                }
            }
        })*
    };
}

about_routes!(Comparison, Season, Loading, CheckedVoyage, RealYears, Rally);

impl AboutRoutes for YearPlan {
    #[allow(private_interfaces)]
    fn noticed(&self) -> Noticed<'_> {
        let ways = self.stages.iter().flat_map(|stage| &stage.ways);
        Noticed {
            voyage: &self.voyage,
            land: ways.map(|way| (way.name.as_str(), &way.land)).collect(),
        }
    }
}

impl Noticed<'_> {
    /// All notes, a sentence or two each.
    pub(super) fn notes(&self) -> Vec<String> {
        let boat = boat_notes(&self.voyage.boat, self.voyage.units);
        [boat, self.notes_of_winds_and_land()].concat()
    }

    /// Those that do not hang on the boat.
    fn notes_of_winds_and_land(&self) -> Vec<String> {
        let winds = self.voyage.winds.notes.clone();
        [winds, self.current_notes().to_vec(), self.land_notes()].concat()
    }

    /// What the reader of the currents has to say about them.
    fn current_notes(&self) -> &[String] {
        let currents = self.voyage.currents.as_ref();
        currents.map_or(&[], |currents| &currents.notes)
    }

    /// The same under headings, for a terminal, with a line for each route that crosses land.
    pub(super) fn under_headings(&self) -> Vec<String> {
        self.headed(self.warnings())
    }

    /// The same with a line for each crossing.
    pub(super) fn with_each_crossing(&self) -> Vec<String> {
        self.headed(self.crossings())
    }

    fn headed(&self, warnings: Vec<String>) -> Vec<String> {
        let mut parts: Vec<String> = about_the_boat(&self.voyage.boat, self.voyage.units)
            .into_iter()
            .collect();
        parts.extend(about_the_winds(&self.voyage.winds));
        let currents = self.current_notes();
        if !currents.is_empty() {
            parts.push(format!("About the currents\n{}", bullets(currents)));
        }
        let warnings = warnings.into_iter();
        let mut lines: Vec<String> = warnings.map(|line| format!("WARNING: {line}.")).collect();
        lines.extend(self.land_notes());
        parts.push(format!("About the land\n{}", bullets(&lines)));
        parts
    }

    /// A warning for each route that crosses land: how often, for how long, and where most.
    fn warnings(&self) -> Vec<String> {
        let routes = self.land.iter();
        routes
            .filter_map(|(name, check)| warning(name, &check.crossings))
            .collect()
    }

    /// The same as a paragraph of a short report; none where no route crosses land.
    pub(super) fn said_of_land(&self) -> Option<String> {
        let warnings = self.warnings();
        let lines = warnings.iter();
        let lines: Vec<String> = lines
            .map(|line| wrap(&format!("WARNING: {line}."), "  "))
            .collect();
        (!lines.is_empty()).then(|| lines.join("\n"))
    }

    /// A warning for each stretch of a route on land.
    fn crossings(&self) -> Vec<String> {
        let of_route = |(name, check): &(&str, &LandCheck)| {
            let found = check.crossings.iter();
            found.map(|found| crossing(name, found)).collect::<Vec<_>>()
        };
        self.land.iter().flat_map(of_route).collect()
    }

    /// What there is to say about the check for land, crossings apart.
    fn land_notes(&self) -> Vec<String> {
        let near = self
            .land
            .iter()
            .filter(|(_, check)| check.near_ends_nm > 0.0);
        let near: Vec<String> = near
            .map(|(name, check)| format!("{name} {} nm", miles(check.near_ends_nm)))
            .collect();
        let mut notes = Vec::new();
        if !near.is_empty() {
            notes.push(format!(
                "Over land within {:.0} nm of a route's ends: {}. That is not counted as a crossing: \
                 harbours lie where the outlines are least exact.",
                LandCheck::ENDS_NM,
                near.join(", ")
            ));
        }
        notes.push(SMALL_ISLANDS.to_owned());
        notes
    }
}

/// What is to be said of a rally: of each boat under her name, and of winds and land.
pub(super) fn rally_notes(rally: &Rally) -> Vec<String> {
    let boats = rally.boats.iter().flat_map(|boat| {
        let name = boat.name.as_deref().unwrap_or_default();
        let notes = boat_notes(boat, rally.voyage.units).into_iter();
        notes.map(move |note| format!("{}: {note}", visible(name)))
    });
    boats
        .chain(rally.noticed().notes_of_winds_and_land())
        .collect()
}

/// A warning for each route that crosses land.
pub fn land_warnings(result: &impl AboutRoutes) -> Vec<String> {
    result.noticed().warnings()
}

/// A warning for each stretch of the routes on land.
pub fn land_crossings(result: &impl AboutRoutes) -> Vec<String> {
    result.noticed().crossings()
}

/// What is said of all crossings of a route; none where there are none.
fn warning(route: &str, crossings: &[LandCrossing]) -> Option<String> {
    let worst = crossings
        .iter()
        .max_by(|a, b| a.over_nm.total_cmp(&b.over_nm))?;
    let most = format!(
        "{} nm from {} on leg {}",
        miles(worst.over_nm),
        worst.enters,
        worst.leg
    );
    let where_most = match crossings.len() {
        1 => format!("once, {most}; `offing check` says more"),
        times => format!("{times} times, the longest {most}; `offing check` lists all"),
    };
    Some(format!("route '{route}' crosses land {where_most}"))
}

fn crossing(route: &str, crossing: &LandCrossing) -> String {
    format!(
        "route '{route}', leg {} from {} to {}, crosses land: it meets it at {}, {:.0} nm along the \
         leg, and stays on it for {} nm",
        crossing.leg,
        crossing.from,
        crossing.to,
        crossing.enters,
        crossing.enters_nm,
        miles(crossing.over_nm)
    )
}

/// Few miles with a decimal, many without.
fn miles(nm: f64) -> String {
    match nm {
        ..0.05 => "less than 0.1".to_owned(),
        ..9.95 => format!("{nm:.1}"),
        _ => format!("{nm:.0}"),
    }
}

/// What was asked: the voyage, the boat and the winds.
pub(super) fn voyage_heading(voyage: &AboutVoyage) -> String {
    let boat = voyage.boat.name.as_deref().unwrap_or("not named");
    [
        format!("{}, {}", voyage.name, leaving(voyage)),
        format!(
            "Boat: {boat}; polar x {}; {}",
            voyage.boat.factor,
            engine_words(&voyage.boat, voyage.units)
        ),
        format!("Winds: {}", visible(&voyage.winds.label)),
        format!("Currents: {}", currents_words(voyage.currents.as_ref())),
    ]
    .map(|line| wrap(&line, "  "))
    .join("\n")
}

/// When the voyage begins.
pub(super) fn leaving(voyage: &AboutVoyage) -> String {
    let day = date(voyage.departure);
    let when = match voyage.departure_time {
        Some(time) => format!("leaving {}, taken as 00:00 UTC on {day}", time.words()),
        None => format!("leaving {day}"),
    };
    match voyage.winds.real_year {
        Some(year) => format!("{when}, in the winds of {year}"),
        None => when,
    }
}

/// Which currents are reckoned with.
pub(super) fn currents_words(currents: Option<&AboutCurrents>) -> String {
    match currents {
        None => "none reckoned with".to_owned(),
        Some(currents) if currents.monthly => format!("{}, by month", visible(&currents.label)),
        Some(currents) => format!("{}, mean of the year", visible(&currents.label)),
    }
}

/// Whether there is an engine, and the diesel it can use.
pub(super) fn engine_words(boat: &AboutBoat, units: OutputUnits) -> String {
    boat.engine
        .as_ref()
        .map_or("no engine".to_owned(), |engine| {
            let diesel = match units {
                OutputUnits::Metric => format!("{} litres", grouped(engine.fuel_litres())),
                OutputUnits::Us => amount(engine.fuel_litres(), Unit::Litre, units),
            };
            format!("{diesel} of diesel usable")
        })
}

/// What is to be known about the boat's polar, if anything.
pub(super) fn about_the_boat(boat: &AboutBoat, units: OutputUnits) -> Option<String> {
    let notes = boat_notes(boat, units);
    (!notes.is_empty()).then(|| format!("About the boat\n{}", bullets(&notes)))
}

/// What the reader of the winds has to say about them, if anything.
pub(super) fn about_the_winds(winds: &AboutWinds) -> Option<String> {
    (!winds.notes.is_empty()).then(|| format!("About the winds\n{}", bullets(&winds.notes)))
}

/// Notes about the boat: what the sea takes off her speeds; that her polar is a generic one, and what
/// to do about it.
pub(super) fn boat_notes(boat: &AboutBoat, units: OutputUnits) -> Vec<String> {
    let mut notes = vec![at_sea_note(&boat.at_sea)];
    if let Some(dimensions) = &boat.generic {
        notes.push(format!(
            "The polar is generic: made from dimensions ({}), in smooth water, with a clean bottom \
             and good sails. It is a first guess; `offing boat fit` compares it with your own log.",
            dimensions_words(dimensions, units)
        ));
    }
    if boat.factor >= 1.0 && boat.at_sea.sea_brake > 0.0 {
        notes.push(format!(
            "The factor on it is {}: a boat loaded for the ocean and sailed by a small crew is \
             slower than that. Write a factor below 1 under [boat], such as 0.85 (common \
             practice, no source).",
            boat.factor
        ));
    }
    notes
}

/// A boat's dimensions, as given or in US units.
fn dimensions_words(boat: &GenericBoat, units: OutputUnits) -> String {
    let (length_m, area_m2) = (boat.waterline_length_m, boat.sail_area_m2);
    match units {
        OutputUnits::Metric => format!(
            "{length_m} m waterline, {} kg, {area_m2} m2 of sail",
            boat.displacement_kg
        ),
        OutputUnits::Us => format!(
            "{} waterline, {}, {} ft2 of sail",
            amount(length_m, Unit::Metre, units),
            amount(boat.displacement_kg, Unit::Kilogram, units),
            grouped(area_m2 / METRES_PER_FOOT.powi(2))
        ),
    }
}

/// What the sea and the crew take off her speeds.
fn at_sea_note(at_sea: &AtSea) -> String {
    let brake = match at_sea.sea_brake {
        0.0 => "no brake for the sea".to_owned(),
        1.0 => "the usual brake for the sea with the wind ahead".to_owned(),
        times => format!("{times} times the usual brake for the sea with the wind ahead"),
    };
    let slats = at_sea.slat_below_kn.filter(|kn| *kn > 0.0);
    let slats = slats.map_or("no slatting".to_owned(), |kn| {
        format!("slatting in less than {kn} kn of apparent wind")
    });
    let beats = at_sea
        .beat_until_kn
        .map_or("beating in any wind".to_owned(), |kn| {
            format!("nothing made good to windward in {kn} kn of true wind or more")
        });
    if at_sea.sea_brake == 0.0 && at_sea.slat_below_kn.is_none() {
        return format!(
            "Her speeds are taken as those at sea: nothing comes off them for waves or slatting; \
             {beats} (common practice, no source)."
        );
    }
    format!(
        "Off her speeds in smooth water come: {brake}; {slats}; {beats} (common practice, no source)."
    )
}

/// The cautions under a result about a voyage.
pub(super) fn cautions(voyage: &AboutVoyage) -> String {
    format!("Cautions\n{}", bullets(&voyage_cautions(voyage)))
}

/// A line for each, with a dash before it.
pub(super) fn bullets<T: AsRef<str>>(lines: &[T]) -> String {
    lines
        .iter()
        .map(|line| wrap(&format!("- {}", line.as_ref()), "  "))
        .collect::<Vec<_>>()
        .join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{Keel, PointFactors, Rig};
    use crate::geodesy::Position;

    #[test]
    fn one_line_says_how_often_a_route_crosses_land_and_where_most() {
        let crossing = |leg, over_nm| LandCrossing {
            leg,
            from: "A".to_owned(),
            to: "B".to_owned(),
            enters: Position::new(-20.0, 48.5).unwrap(),
            enters_nm: 10.0,
            over_nm,
        };
        assert_eq!(warning("Over", &[]), None);
        let said = |crossings: &[LandCrossing]| warning("Over", crossings).unwrap();
        assert_eq!(
            said(&[crossing(1, 243.2)]),
            "route 'Over' crosses land once, 243 nm from 20°00.0'S 048°30.0'E on leg 1; \
             `offing check` says more"
        );
        assert_eq!(
            said(&[crossing(1, 3.0), crossing(2, 40.0), crossing(3, 0.01)]),
            "route 'Over' crosses land 3 times, the longest 40 nm from 20°00.0'S 048°30.0'E on leg \
             2; `offing check` lists all"
        );
    }

    #[test]
    fn a_generic_polar_is_said_to_be_one_and_a_factor_suggested_only_where_none_is() {
        let boat = |factor, generic| AboutBoat {
            name: None,
            factor,
            generic,
            factors: PointFactors::NONE,
            factor_uncertainty: 0.11,
            heave_to_kn: 45.0,
            motor_below_kn: None,
            at_sea: AtSea::SMOOTH_WATER,
            waiting: None,
            engine: None,
        };
        let dimensions = GenericBoat {
            waterline_length_m: 10.2,
            displacement_kg: 11_000.0,
            sail_area_m2: 80.0,
            rig: Rig::Sloop,
            keel: Keel::Fin,
        };
        let notes = |boat: &AboutBoat| boat_notes(boat, OutputUnits::Metric);
        let said = notes(&boat(1.0, None));
        assert_eq!(said.len(), 2);
        assert!(said[0].contains("4 kn of apparent wind"), "{said:?}");
        assert!(said[1].contains("Write a factor below 1"), "{said:?}");
        assert_eq!(notes(&boat(0.85, None)).len(), 1);
        let said = notes(&boat(0.85, Some(dimensions)));
        assert_eq!(said.len(), 2);
        assert!(said[1].contains("10.2 m waterline, 11000 kg, 80 m2"));
        let in_us = &boat_notes(&boat(0.85, Some(dimensions)), OutputUnits::Us)[1];
        // By 0.3048 m a foot and 0.453 592 37 kg a pound.
        let words = "(33.5 ft waterline, 24,251 lb, 861 ft2 of sail)";
        assert!(in_us.contains(words), "{in_us}");
        let said = notes(&boat(1.0, Some(dimensions)));
        assert!(said[2].contains("a factor below 1"), "{said:?}");
    }
}
