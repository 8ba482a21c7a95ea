//! A great circle kept from going too near the pole.
//!
//! A geodesic that only just reaches the limiting latitude runs due east or west there, so by
//! Clairaut's relation (Karney 2013, equation 5) the cosine of the limit's reduced latitude fixes
//! its azimuth everywhere. On the auxiliary sphere the arc from the touching point to where the
//! geodesic has reduced latitude b is acos(sin b / sin b_limit); the geodesic itself turns that arc
//! into distance and longitude. On a sphere this is Napier's rule for composite sailing.

use schemars::JsonSchema;
use serde::Serialize;

use super::earth::Earth;
use super::error::GeodesyError;
use super::great_circle::GeodesicPath;
use super::position::Position;
use super::rhumb::easting_deg;
use super::track::{TrackPoint, along_m};
use crate::units::{Course, METRES_PER_NM, Range};

/// A geodesic to the limiting latitude, a run along that parallel and a geodesic away from it.
#[derive(Debug, Clone, PartialEq)]
pub struct CompositeLine {
    /// The geodesic that touches the limit at longitude 0, heading east. Both geodesics are this
    /// one moved in longitude, and mirrored when the leg runs west.
    touching: GeodesicPath,
    limit_latitude_deg: f64,
    /// 1 for a leg that runs east, -1 for west.
    eastward: f64,
    reach_longitude_deg: f64,
    leave_longitude_deg: f64,
    parallel_radius_m: f64,
    inbound_m: f64,
    parallel_m: f64,
    outbound_m: f64,
}

/// Where a composite leg meets and leaves its limiting parallel.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct CompositeParts {
    /// The limiting latitude in degrees, north positive.
    pub limit_latitude_deg: f64,
    /// Where the first geodesic touches the parallel; at the leg's start when that is on it.
    pub reach: TrackPoint,
    /// Where the second geodesic leaves the parallel; at the leg's end when that is on it.
    pub leave: TrackPoint,
}

impl CompositeLine {
    /// Limiting latitudes allowed, north positive.
    pub const LIMIT_LATITUDE: Range = Range::new("limiting latitude", "degrees", -89.999, 89.999);

    /// The composite line from `from` to `to` with a limiting latitude. The limit may be given as a
    /// bare magnitude, and then applies to the hemisphere of the ends, or with the sign of that
    /// hemisphere. None when the great circle between the ends stays on the equator's side of the
    /// limit. When the ends are exactly 180 degrees of longitude apart it runs east.
    ///
    /// # Errors
    /// [`GeodesyError::HemispheresDiffer`], [`GeodesyError::LimitInOtherHemisphere`],
    /// [`GeodesyError::EndBeyondLimit`], or [`GeodesyError::OutOfRange`] for a limit that is not a
    /// latitude short of the poles. An end on the equator belongs to either hemisphere.
    pub fn between(
        earth: Earth,
        from: Position,
        to: Position,
        limit_latitude_deg: f64,
    ) -> Result<Option<Self>, GeodesyError> {
        let limit_latitude_deg = signed_limit_deg(from, to, limit_latitude_deg)?;
        let easting_deg = easting_deg(from, to);
        let eastward = 1f64.copysign(easting_deg);
        let touching = GeodesicPath::new(&earth.geodesic(), limit_latitude_deg, 0.0, (1.0, 0.0));
        let inbound = run_from_limit(earth, &touching, limit_latitude_deg, from);
        let outbound = run_from_limit(earth, &touching, limit_latitude_deg, to);

        let parallel_deg = easting_deg.abs() - inbound.easting_deg - outbound.easting_deg;
        if parallel_deg <= 0.0 {
            return Ok(None);
        }
        let parallel_radius_m = earth.parallel_radius_m(limit_latitude_deg);
        let reach_longitude_deg = from.longitude_deg() + eastward * inbound.easting_deg;
        Ok(Some(Self {
            touching,
            limit_latitude_deg,
            eastward,
            reach_longitude_deg,
            leave_longitude_deg: reach_longitude_deg + eastward * parallel_deg,
            parallel_radius_m,
            inbound_m: inbound.length_m,
            parallel_m: parallel_radius_m * parallel_deg.to_radians(),
            outbound_m: outbound.length_m,
        }))
    }

    /// Length in nautical miles.
    pub fn length_nm(&self) -> f64 {
        self.length_m() / METRES_PER_NM
    }

    /// The point `distance_nm` nautical miles from the start. None when that is more than a
    /// millimetre before the start or past the end, or not a number.
    pub fn at_nm(&self, distance_nm: f64) -> Option<TrackPoint> {
        along_m(distance_nm, self.length_m()).map(|m| self.at_m(m))
    }

    /// Where the line meets and leaves its parallel.
    pub fn parts(&self) -> CompositeParts {
        CompositeParts {
            limit_latitude_deg: self.limit_latitude_deg,
            reach: self.at_m(self.inbound_m),
            leave: self.at_m(self.inbound_m + self.parallel_m),
        }
    }

    pub(super) fn length_m(&self) -> f64 {
        self.inbound_m + self.parallel_m + self.outbound_m
    }

    pub(super) fn at_m(&self, distance_m: f64) -> TrackPoint {
        let past_reach_m = distance_m - self.inbound_m;
        let past_leave_m = past_reach_m - self.parallel_m;
        let (position, azimuth_deg) = if past_reach_m < 0.0 {
            self.on_geodesic(self.reach_longitude_deg, past_reach_m)
        } else if past_leave_m > 0.0 {
            self.on_geodesic(self.leave_longitude_deg, past_leave_m)
        } else {
            let easting_deg = (past_reach_m / self.parallel_radius_m).to_degrees();
            let longitude_deg = self.reach_longitude_deg + self.eastward * easting_deg;
            let position = Position::computed(self.limit_latitude_deg, longitude_deg);
            (position, 90.0)
        };
        TrackPoint {
            position,
            course: Course::from_deg(self.eastward * azimuth_deg),
            distance_nm: distance_m / METRES_PER_NM,
        }
    }

    /// The place `past_touch_m` after the geodesic touches the limit at `touch_longitude_deg`, and
    /// the azimuth there as it would be heading east.
    fn on_geodesic(&self, touch_longitude_deg: f64, past_touch_m: f64) -> (Position, f64) {
        let point = self.touching.at_m(past_touch_m);
        let longitude_deg = touch_longitude_deg + self.eastward * point.longitude_deg;
        (
            Position::computed(point.latitude_deg, longitude_deg),
            point.azimuth_deg,
        )
    }
}

/// The stretch of the touching geodesic between the limit and one end of the leg.
struct RunFromLimit {
    easting_deg: f64,
    length_m: f64,
}

fn run_from_limit(
    earth: Earth,
    touching: &GeodesicPath,
    limit_latitude_deg: f64,
    end: Position,
) -> RunFromLimit {
    let (limit_sin, _) = earth.reduced_sin_cos(limit_latitude_deg.abs());
    let (end_sin, _) = earth.reduced_sin_cos(end.latitude_deg().abs());
    // acos(end_sin / limit_sin), without its loss of digits when the end is close to the limit.
    let arc = ((limit_sin - end_sin) * (limit_sin + end_sin))
        .sqrt()
        .atan2(end_sin);
    let point = touching.at_arc_deg(arc.to_degrees());
    RunFromLimit {
        easting_deg: point.longitude_deg,
        length_m: point.distance_m,
    }
}

/// The limit with the sign of the leg's hemisphere, checked against the ends.
fn signed_limit_deg(
    from: Position,
    to: Position,
    limit_latitude_deg: f64,
) -> Result<f64, GeodesyError> {
    CompositeLine::LIMIT_LATITUDE.check(limit_latitude_deg)?;
    let (from_deg, to_deg) = (from.latitude_deg(), to.latitude_deg());
    if from_deg * to_deg < 0.0 {
        return Err(GeodesyError::HemispheresDiffer { from, to });
    }
    let southern = from_deg.min(to_deg) < 0.0;
    let northern = from_deg.max(to_deg) > 0.0;
    if limit_latitude_deg < 0.0 && northern {
        return Err(GeodesyError::LimitInOtherHemisphere {
            limit_latitude_deg,
            from,
            to,
        });
    }
    let magnitude_deg = limit_latitude_deg.abs();
    let signed_deg = if southern {
        -magnitude_deg
    } else {
        magnitude_deg
    };
    match [from, to]
        .into_iter()
        .find(|end| end.latitude_deg().abs() > magnitude_deg)
    {
        Some(end) => Err(GeodesyError::EndBeyondLimit {
            end,
            limit_latitude_deg: signed_deg,
        }),
        None => Ok(signed_deg),
    }
}
