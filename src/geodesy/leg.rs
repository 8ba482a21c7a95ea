//! One leg of a route, prepared once and sampled along its length.

use schemars::JsonSchema;
use serde::Serialize;

use super::composite::CompositeLine;
use super::earth::Earth;
use super::error::GeodesyError;
use super::great_circle::{GreatCircle, Vertex};
use super::position::Position;
use super::rhumb::RhumbLine;
use super::track::{Segment, TrackPoint};
use crate::units::{METRES_PER_NM, Range, serialize_by_name};

/// How far apart a leg is sampled, at most.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Step(f64);

impl Step {
    /// The steps allowed.
    pub const RANGE: Range = Range::new("sampling step", "nm", 0.1, 1000.0);

    /// A step of `step_nm` nautical miles.
    ///
    /// # Errors
    /// [`GeodesyError::OutOfRange`] for a step outside [`Step::RANGE`].
    pub fn from_nm(step_nm: f64) -> Result<Self, GeodesyError> {
        Ok(Self(Self::RANGE.check(step_nm)?))
    }

    /// Nautical miles.
    pub fn nm(self) -> f64 {
        self.0
    }
}

impl Default for Step {
    /// 60 nm.
    fn default() -> Self {
        Self(60.0)
    }
}

/// Room for rounding when a leg is a whole number of steps long, in steps.
const STEP_ROUNDING: f64 = 1e-9;

/// The kind of line a leg follows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LegKind {
    /// The shortest line, whose course changes all along.
    GreatCircle,
    /// The line of constant course.
    Rhumb,
    /// The shortest line that goes no nearer the pole than a limiting latitude. Where the great
    /// circle stays clear of the limit by itself, this is the great circle.
    Composite {
        /// The limit in degrees. A bare magnitude applies to the hemisphere of the leg's ends; a
        /// negative value says south and is refused for a leg in the north.
        limit_latitude_deg: f64,
    },
}

/// Why a name is no kind of leg.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LegKindFault {
    /// No kind is called so.
    Unknown,
    /// A composite leg without its limiting latitude.
    NoLimit,
    /// A limiting latitude on a leg that is not composite.
    LimitOutOfPlace,
}

impl LegKind {
    /// One of each kind.
    fn all(limit_latitude_deg: f64) -> [Self; 3] {
        let composite = Self::Composite { limit_latitude_deg };
        [Self::GreatCircle, Self::Rhumb, composite]
    }

    /// The kind called `name`, by the names that [`LegKind::name`] gives, with the limiting latitude
    /// of a composite leg in degrees.
    ///
    /// # Errors
    /// A name of no kind, or a limit where there should be none or none where there should be one.
    pub fn parse(name: &str, limit_latitude_deg: Option<f64>) -> Result<Self, LegKindFault> {
        let kind = Self::all(limit_latitude_deg.unwrap_or(f64::NAN))
            .into_iter()
            .find(|kind| kind.name() == name)
            .ok_or(LegKindFault::Unknown)?;
        match (kind, limit_latitude_deg) {
            (Self::Composite { .. }, None) => Err(LegKindFault::NoLimit),
            (Self::GreatCircle | Self::Rhumb, Some(_)) => Err(LegKindFault::LimitOutOfPlace),
            _ => Ok(kind),
        }
    }

    /// Its name, as it is read and written everywhere.
    pub fn name(self) -> &'static str {
        match self {
            Self::GreatCircle => "great-circle",
            Self::Rhumb => "rhumb",
            Self::Composite { .. } => "composite",
        }
    }
}

serialize_by_name!(
    LegKind,
    LegKind::name,
    LegKind::all(0.0),
    "The kind of line a leg follows."
);

/// A leg from one place to another, ready to be sampled.
#[derive(Debug, Clone, PartialEq)]
pub struct LegTrack {
    from: Position,
    to: Position,
    kind: LegKind,
    line: Line,
}

#[derive(Debug, Clone, PartialEq)]
enum Line {
    GreatCircle(GreatCircle),
    Rhumb(RhumbLine),
    Composite(CompositeLine),
}

impl LegTrack {
    /// The leg from `from` to `to` on the WGS84 Earth.
    ///
    /// # Errors
    /// [`GeodesyError::SamePlace`] when the ends are within a millimetre of each other; for a
    /// composite leg also those of [`CompositeLine::between`].
    pub fn new(from: Position, to: Position, kind: LegKind) -> Result<Self, GeodesyError> {
        Self::with_earth(Earth::WGS84, from, to, kind)
    }

    /// The leg from `from` to `to` on another Earth.
    ///
    /// # Errors
    /// Those of [`LegTrack::new`].
    pub fn with_earth(
        earth: Earth,
        from: Position,
        to: Position,
        kind: LegKind,
    ) -> Result<Self, GeodesyError> {
        let line = match kind {
            LegKind::Rhumb => Line::Rhumb(RhumbLine::between(earth, from, to)?),
            LegKind::GreatCircle => Line::GreatCircle(GreatCircle::between(earth, from, to)?),
            LegKind::Composite { limit_latitude_deg } => {
                let circle = GreatCircle::between(earth, from, to)?;
                match CompositeLine::between(earth, from, to, limit_latitude_deg)? {
                    Some(composite) => Line::Composite(composite),
                    None => Line::GreatCircle(circle),
                }
            }
        };
        Ok(Self {
            from,
            to,
            kind,
            line,
        })
    }

    /// Where the leg begins.
    pub fn from(&self) -> Position {
        self.from
    }

    /// Where the leg ends.
    pub fn to(&self) -> Position {
        self.to
    }

    /// The kind of line asked for.
    pub fn kind(&self) -> LegKind {
        self.kind
    }

    /// Length in nautical miles.
    pub fn length_nm(&self) -> f64 {
        self.length_m() / METRES_PER_NM
    }

    /// The point `distance_nm` nautical miles from the start, with the course there. None when that
    /// is more than a millimetre before the start or past the end, or not a number.
    pub fn at_nm(&self, distance_nm: f64) -> Option<TrackPoint> {
        match &self.line {
            Line::GreatCircle(circle) => circle.at_nm(distance_nm),
            Line::Rhumb(rhumb) => rhumb.at_nm(distance_nm),
            Line::Composite(composite) => composite.at_nm(distance_nm),
        }
    }

    /// The start of the leg, with the course at departure.
    pub fn start(&self) -> TrackPoint {
        TrackPoint {
            position: self.from,
            ..self.at_m(0.0)
        }
    }

    /// The end of the leg, with the course at arrival.
    pub fn end(&self) -> TrackPoint {
        TrackPoint {
            position: self.to,
            ..self.at_m(self.length_m())
        }
    }

    /// The leg cut into equal segments, each at most a `step` long.
    pub fn segments(&self, step: Step) -> Vec<Segment> {
        let steps = self.length_nm() / step.nm();
        let count = (steps - STEP_ROUNDING).ceil().max(1.0) as u32;
        let edge_m = |n: u32| self.length_m() * f64::from(n) / f64::from(count);
        let cut = |n| Segment {
            start_nm: edge_m(n) / METRES_PER_NM,
            length_nm: self.length_nm() / f64::from(count),
            midpoint: self.at_m(0.5 * (edge_m(n) + edge_m(n + 1))),
        };
        (0..count).map(cut).collect()
    }

    /// The vertex of a leg that follows a great circle: the point of the whole circle farthest from
    /// the equator, on the leg or not. None for other legs and along the equator.
    pub fn vertex(&self) -> Option<Vertex> {
        match &self.line {
            Line::GreatCircle(circle) => circle.vertex(),
            Line::Rhumb(_) | Line::Composite(_) => None,
        }
    }

    fn length_m(&self) -> f64 {
        match &self.line {
            Line::GreatCircle(circle) => circle.length_m(),
            Line::Rhumb(rhumb) => rhumb.length_m(),
            Line::Composite(composite) => composite.length_m(),
        }
    }

    fn at_m(&self, distance_m: f64) -> TrackPoint {
        match &self.line {
            Line::GreatCircle(circle) => circle.at_m(distance_m),
            Line::Rhumb(rhumb) => rhumb.at_m(distance_m),
            Line::Composite(composite) => composite.at_m(distance_m),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leg(kind: LegKind) -> Result<LegTrack, GeodesyError> {
        let from = Position::new(-32.0, 115.0).unwrap();
        let to = Position::new(-30.0, 31.0).unwrap();
        LegTrack::new(from, to, kind)
    }

    #[test]
    fn results_are_written_by_name_and_in_degrees() {
        let leg = leg(composite(36.0)).unwrap();
        let json = |value: serde_json::Result<String>| value.unwrap();
        assert_eq!(json(serde_json::to_string(&leg.kind())), "\"composite\"");
        assert_eq!(
            json(serde_json::to_string(&leg.from())),
            r#"{"latitude_deg":-32.0,"longitude_deg":115.0}"#
        );
        let course = leg.start().course;
        assert_eq!(
            json(serde_json::to_string(&course)),
            course.deg().to_string()
        );
    }

    #[test]
    fn ends_are_exactly_the_places_given() {
        for kind in [LegKind::GreatCircle, LegKind::Rhumb, composite(36.0)] {
            let leg = leg(kind).unwrap();
            assert_eq!(leg.start().position, leg.from());
            assert_eq!(leg.end().position, leg.to());
            assert_eq!(leg.end().distance_nm, leg.length_nm());
            assert_eq!(leg.at_nm(-0.001), None);
            assert_eq!(leg.at_nm(leg.length_nm() + 0.001), None);
            assert_eq!(leg.at_nm(f64::NAN), None);
        }
    }

    #[test]
    fn a_leg_of_a_whole_number_of_steps_has_just_those() {
        let leg = leg(LegKind::Rhumb).unwrap();
        for count in [1, 7, 60] {
            let step_nm = leg.length_nm() / f64::from(count);
            if let Ok(step) = Step::from_nm(step_nm) {
                assert_eq!(leg.segments(step).len(), count as usize);
            }
        }
        for step_nm in [0.0, -60.0, f64::NAN, f64::INFINITY] {
            assert!(Step::from_nm(step_nm).is_err(), "{step_nm}");
        }
    }

    #[test]
    fn a_composite_leg_that_makes_no_sense_is_refused_in_words() {
        let refusal = |kind| leg(kind).unwrap_err().to_string();
        assert_eq!(
            refusal(composite(31.5)),
            "the leg's end at 32°00.0'S 115°00.0'E is beyond the limiting latitude 31.5°S; move \
             the limit poleward or sail this leg as a great circle or rhumb line"
        );
        assert!(refusal(composite(f64::NAN)).starts_with("limiting latitude is NaN degrees"));
        assert!(leg(composite(-36.0)).is_ok());

        let north = Position::new(30.0, 31.0).unwrap();
        let south = Position::new(-32.0, 115.0).unwrap();
        let equator = Position::new(0.0, 115.0).unwrap();
        assert!(matches!(
            LegTrack::new(south, north, composite(45.0)),
            Err(GeodesyError::HemispheresDiffer { .. })
        ));
        assert!(matches!(
            LegTrack::new(equator, north, composite(-45.0)),
            Err(GeodesyError::LimitInOtherHemisphere { .. })
        ));
        assert!(LegTrack::new(equator, north, composite(45.0)).is_ok());
        assert!(LegTrack::new(south, equator, composite(45.0)).is_ok());
    }

    #[test]
    fn kinds_are_read_by_the_names_they_have() {
        for kind in [LegKind::GreatCircle, LegKind::Rhumb] {
            assert_eq!(LegKind::parse(kind.name(), None), Ok(kind));
            let limited = LegKind::parse(kind.name(), Some(40.0));
            assert_eq!(limited, Err(LegKindFault::LimitOutOfPlace));
        }
        let kind = composite(-36.5);
        assert_eq!(LegKind::parse(kind.name(), Some(-36.5)), Ok(kind));
        let bare = LegKind::parse(kind.name(), None);
        assert_eq!(bare, Err(LegKindFault::NoLimit));
        assert_eq!(LegKind::parse("Rhumb", None), Err(LegKindFault::Unknown));
    }

    #[test]
    fn a_leg_needs_two_places() {
        let pole = |lon| Position::new(90.0, lon).unwrap();
        for kind in [LegKind::GreatCircle, LegKind::Rhumb] {
            assert!(matches!(
                LegTrack::new(pole(10.0), pole(50.0), kind),
                Err(GeodesyError::SamePlace { .. })
            ));
            let port = Position::new(-32.0, 115.0).unwrap();
            assert!(matches!(
                LegTrack::new(port, port, kind),
                Err(GeodesyError::SamePlace { .. })
            ));
        }
    }

    fn composite(limit_latitude_deg: f64) -> LegKind {
        LegKind::Composite { limit_latitude_deg }
    }
}
