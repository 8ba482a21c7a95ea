//! The map's projection: Lambert's azimuthal equal-area, centred on what is to be shown.
//!
//! It keeps routes whole wherever they lie, over the antimeridian and round the poles too. For a
//! picture the Earth is a sphere here; every distance in the report is computed on WGS84.

use super::svg::Point;
use crate::geodesy::Position;

/// The projection about one centre. Lengths are in radii of the Earth, x to the east and y to the
/// south of the centre.
#[derive(Debug, Clone, Copy)]
pub(super) struct Projection {
    centre_longitude_deg: f64,
    sin_centre: f64,
    cos_centre: f64,
}

impl Projection {
    /// Centred on the mean direction of some places; none where they cancel out.
    pub(super) fn centred_on(places: impl IntoIterator<Item = Position>) -> Option<Self> {
        /// A mean direction shorter than this share of the places' number is none.
        const NO_DIRECTION: f64 = 1e-6;
        let (mut sum, mut count) = ([0.0; 3], 0.0);
        for place in places {
            let (sin_lat, cos_lat) = place.latitude_deg().to_radians().sin_cos();
            let (sin_lon, cos_lon) = place.longitude_deg().to_radians().sin_cos();
            sum[0] += cos_lat * cos_lon;
            sum[1] += cos_lat * sin_lon;
            sum[2] += sin_lat;
            count += 1.0;
        }
        let level = sum[0].hypot(sum[1]);
        let length = level.hypot(sum[2]);
        (length > NO_DIRECTION * count).then(|| Self {
            centre_longitude_deg: sum[1].atan2(sum[0]).to_degrees(),
            sin_centre: sum[2] / length,
            cos_centre: level / length,
        })
    }

    /// The longitude of the centre, degrees east.
    pub(super) fn centre_longitude_deg(&self) -> f64 {
        self.centre_longitude_deg
    }

    /// Where a place lies on the map.
    ///
    /// Source: J. P. Snyder, Map Projections: A Working Manual, USGS Professional Paper 1395, 1987,
    /// chapter 24, oblique aspect on the sphere; from memory. A test holds it to PROJ.
    pub(super) fn point(&self, latitude_deg: f64, longitude_deg: f64) -> Point {
        let (sin_lat, cos_lat) = latitude_deg.to_radians().sin_cos();
        let (sin_lon, cos_lon) = (longitude_deg - self.centre_longitude_deg)
            .to_radians()
            .sin_cos();
        let towards = 1.0 + self.sin_centre * sin_lat + self.cos_centre * cos_lat * cos_lon;
        let k = (2.0 / towards.max(f64::EPSILON)).sqrt();
        let east = k * cos_lat * sin_lon;
        let north = k * (self.cos_centre * sin_lat - self.sin_centre * cos_lat * cos_lon);
        [east, -north]
    }

    /// Latitude and longitude, in degrees, of a point of the map; none off the Earth.
    pub(super) fn place(&self, [east, south]: Point) -> Option<(f64, f64)> {
        let from_centre = east.hypot(south);
        if from_centre == 0.0 {
            let latitude_deg = self.sin_centre.atan2(self.cos_centre).to_degrees();
            return Some((latitude_deg, self.centre_longitude_deg));
        }
        if from_centre >= 2.0 {
            return None;
        }
        let (sin_c, cos_c) = (2.0 * (from_centre / 2.0).asin()).sin_cos();
        let north = -south;
        let sin_lat = cos_c * self.sin_centre + north * sin_c * self.cos_centre / from_centre;
        let longitude_deg = self.centre_longitude_deg
            + (east * sin_c)
                .atan2(from_centre * self.cos_centre * cos_c - north * self.sin_centre * sin_c)
                .to_degrees();
        Some((sin_lat.clamp(-1.0, 1.0).asin().to_degrees(), longitude_deg))
    }

    /// The way a true direction points on the map at a place: a unit vector.
    pub(super) fn towards(&self, latitude_deg: f64, longitude_deg: f64, true_deg: f64) -> Point {
        /// Short enough for the map to be straight, long enough for figures to hold.
        const A_LITTLE_DEG: f64 = 1e-4;
        let (sin, cos) = true_deg.to_radians().sin_cos();
        let (north_deg, east_deg) = (
            A_LITTLE_DEG * cos,
            A_LITTLE_DEG * sin / latitude_deg.to_radians().cos().max(A_LITTLE_DEG),
        );
        let back = self.point(latitude_deg - north_deg, longitude_deg - east_deg);
        let on = self.point(latitude_deg + north_deg, longitude_deg + east_deg);
        let (x, y) = (on[0] - back[0], on[1] - back[1]);
        let length = x.hypot(y);
        [x / length, y / length]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MAP_TOLERANCE_RADII: f64 = 1e-6;
    const PLACE_TOLERANCE_DEG: f64 = 1e-9;

    fn centred(latitude_deg: f64, longitude_deg: f64) -> Projection {
        Projection::centred_on([Position::new(latitude_deg, longitude_deg).unwrap()]).unwrap()
    }

    /// Computed: `+proj=laea +R=1 +lat_0=.. +lon_0=..`, PROJ 9.5.1 by pyproj 3.7.2. Latitude and
    /// longitude of the centre, and of a place; then x and y, in radii.
    const PROJ_LAEA: [[f64; 6]; 8] = [
        [-30.0, 75.0, -33.5, 95.25, 0.292037103, -0.087846475],
        [-30.0, 75.0, -10.0, 39.5, -0.605995389, 0.265432471],
        [45.0, -160.0, 41.5, -139.75, 0.261498082, -0.028563326],
        [45.0, -160.0, 65.0, -195.5, -0.252848449, 0.409610130],
        [-60.0, 179.0, -63.5, 199.25, 0.155044658, -0.085266921],
        [-60.0, 179.0, -40.0, 143.5, -0.460232265, 0.226267088],
        [0.0, 0.0, -3.5, 20.25, 0.351095300, -0.062042329],
        [0.0, 0.0, 20.0, -35.5, -0.580871728, 0.364076016],
    ];

    #[test]
    fn agrees_with_proj() {
        for [centre_lat, centre_lon, latitude, longitude, x, y] in PROJ_LAEA {
            let got = centred(centre_lat, centre_lon).point(latitude, longitude);
            approx::assert_abs_diff_eq!(got[0], x, epsilon = MAP_TOLERANCE_RADII);
            approx::assert_abs_diff_eq!(-got[1], y, epsilon = MAP_TOLERANCE_RADII);
        }
    }

    #[test]
    fn a_point_leads_back_to_its_place() {
        let map = centred(-30.0, 179.0);
        for (latitude_deg, longitude_deg) in [(-30.0, 179.0), (-31.0, 182.0), (10.0, 150.0)] {
            let (lat, lon) = map.place(map.point(latitude_deg, longitude_deg)).unwrap();
            approx::assert_abs_diff_eq!(lat, latitude_deg, epsilon = PLACE_TOLERANCE_DEG);
            approx::assert_abs_diff_eq!(lon, longitude_deg, epsilon = PLACE_TOLERANCE_DEG);
        }
        assert!(map.place([2.0, 0.0]).is_none());
    }

    #[test]
    fn a_route_over_the_antimeridian_stays_whole() {
        let ends = [(-17.0, 178.0), (-17.0, -178.0)].map(|(lat, lon)| Position::new(lat, lon));
        let map = Projection::centred_on(ends.into_iter().map(Result::unwrap)).unwrap();
        let [west, east] = [map.point(-17.0, 178.0), map.point(-17.0, -178.0)];
        // Four degrees of longitude at 17 degrees of latitude.
        let apart = 4f64.to_radians() * 17f64.to_radians().cos();
        approx::assert_abs_diff_eq!(east[0] - west[0], apart, epsilon = 1e-3);
    }

    #[test]
    fn north_is_up_at_the_centre_and_leans_beside_it() {
        let map = centred(-30.0, 75.0);
        let up = map.towards(-30.0, 75.0, 0.0);
        approx::assert_abs_diff_eq!(up[0], 0.0, epsilon = 1e-6);
        approx::assert_abs_diff_eq!(up[1], -1.0, epsilon = 1e-6);
        assert!(
            map.towards(-30.0, 105.0, 0.0)[0] > 0.1,
            "meridians part northward in the south"
        );
    }

    #[test]
    fn places_all_round_have_no_middle() {
        let round = [0.0, 90.0, 180.0, 270.0].map(|lon| Position::new(0.0, lon).unwrap());
        assert!(Projection::centred_on(round).is_none());
    }
}
