//! The shape of the Earth and the lines a ship follows on it.
//!
//! The Earth is the WGS84 ellipsoid. A great-circle leg is its geodesic, a rhumb leg its loxodrome
//! and a composite leg a geodesic that touches a limiting latitude, a run along that parallel and a
//! geodesic away from it. Distances are nautical miles of exactly 1852 m, courses degrees true.
//!
//! A [`LegTrack`] is one leg prepared once and then sampled as often as wanted:
//!
//! ```
//! use offing::geodesy::{LegKind, LegTrack, Position, Step};
//!
//! # fn main() -> Result<(), offing::geodesy::GeodesyError> {
//! let fremantle: Position = "32°03.2'S 115°44.0'E".parse()?;
//! let durban: Position = "29°52.0'S 031°04.0'E".parse()?;
//! let direct = LegTrack::new(fremantle, durban, LegKind::GreatCircle)?;
//! let steady = LegTrack::new(fremantle, durban, LegKind::Rhumb)?;
//! assert!(direct.length_nm() < steady.length_nm());
//! for segment in direct.segments(Step::default()) {
//!     assert!(segment.length_nm <= Step::default().nm());
//! }
//! # Ok(())
//! # }
//! ```

mod composite;
mod earth;
mod error;
mod great_circle;
mod leg;
mod magnetic;
mod meridian;
mod position;
mod position_text;
mod rhumb;
mod sun;
mod track;

pub use composite::{CompositeLine, CompositeParts};
pub use earth::Earth;
pub use error::{GeodesyError, PositionFault};
pub use great_circle::{GreatCircle, Vertex};
pub use leg::{LegKind, LegKindFault, LegTrack, Step};
pub use magnetic::magnetic_variation_deg;
pub use position::Position;
pub use position_text::Coordinate;
pub use rhumb::RhumbLine;
pub use sun::{SunDay, daylight_hours};
pub use track::{Segment, TrackPoint};
