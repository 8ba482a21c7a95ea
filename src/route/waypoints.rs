//! A route as drawn: named waypoints, and the line by which each is reached.

use jiff::civil::Date;

use super::error::StopFault;
use super::{RouteError, Stay, Stop};
use crate::geodesy::{LegKind, LegTrack, Position, TrackPoint};

/// The shortest route, in nautical miles (our choice): over less, a day's wind and a day's run say
/// nothing.
pub const LEAST_ROUTE_NM: f64 = 1.0;

/// The most waypoints a route may have: more than a table can show.
pub(super) const MOST_WAYPOINTS: usize = 2_000;

/// A named place on a route and how it is reached from the one before.
#[derive(Debug, Clone, PartialEq)]
pub struct Waypoint {
    /// The name shown in tables.
    pub name: String,
    /// Where it is.
    pub position: Position,
    /// The line sailed to it from the waypoint before; of no meaning for a route's first.
    pub reached_by: LegKind,
    /// What is done there, and by when; none where it is only passed.
    pub stop: Option<Stop>,
}

impl Waypoint {
    /// A waypoint, and the line that leads to it.
    pub fn new(name: impl Into<String>, position: Position, reached_by: LegKind) -> Self {
        Self {
            name: name.into(),
            position,
            reached_by,
            stop: None,
        }
    }
}

/// A leg of a route, its line solved and ready to be stepped along.
#[derive(Debug, Clone)]
pub struct Leg {
    /// The leg's number on its route, from 1.
    pub number: usize,
    /// The name of the waypoint it leaves.
    pub from: String,
    /// The name of the waypoint it reaches.
    pub to: String,
    /// The line over the ground.
    pub track: LegTrack,
}

/// A named list of waypoints, each leg between them solved.
#[derive(Debug, Clone)]
pub struct Route {
    name: String,
    waypoints: Vec<Waypoint>,
    legs: Vec<Leg>,
}

impl Route {
    /// Solves every leg of a route.
    ///
    /// # Errors
    /// Fewer than two waypoints or more than 2,000, two in a row at one place, a composite leg whose limit cannot be
    /// kept, a stop where there can be none, a stay out of range, or a whole shorter than
    /// [`LEAST_ROUTE_NM`].
    pub fn new(name: impl Into<String>, waypoints: Vec<Waypoint>) -> Result<Self, RouteError> {
        let name = name.into();
        if !(2..=MOST_WAYPOINTS).contains(&waypoints.len()) {
            return Err(RouteError::WaypointCount {
                route: name,
                found: waypoints.len(),
            });
        }
        check_stops(&name, &waypoints)?;
        let legs = waypoints
            .windows(2)
            .enumerate()
            .map(|(index, ends)| {
                let number = index + 1;
                let (from, to) = (ends[0].name.clone(), ends[1].name.clone());
                match LegTrack::new(ends[0].position, ends[1].position, ends[1].reached_by) {
                    Ok(track) => Ok(Leg {
                        number,
                        from,
                        to,
                        track,
                    }),
                    Err(source) => Err(RouteError::Leg {
                        route: name.clone(),
                        number,
                        from,
                        to,
                        source: Box::new(source),
                    }),
                }
            })
            .collect::<Result<_, _>>()?;
        let route = Self {
            name,
            waypoints,
            legs,
        };
        let length_nm = route.length_nm();
        if length_nm < LEAST_ROUTE_NM {
            return Err(RouteError::TooShort {
                route: route.name,
                length_nm,
            });
        }
        Ok(route)
    }

    /// The same route with a day by which she means to be at its end; an earlier one there stays.
    pub fn arriving_by(mut self, by: Date) -> Self {
        if let Some(last) = self.waypoints.last_mut() {
            let stop = last.stop.get_or_insert_default();
            stop.arrive_by = Some(stop.arrive_by.map_or(by, |own| own.min(by)));
        }
        self
    }

    /// The route's name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Its waypoints, in the order they are passed.
    pub fn waypoints(&self) -> &[Waypoint] {
        &self.waypoints
    }

    /// Its legs, in the order they are sailed.
    pub fn legs(&self) -> &[Leg] {
        &self.legs
    }

    /// The point `distance_nm` nautical miles from the route's start, with its leg; none off the
    /// route's ends. The point's own distance is from the start of its leg.
    pub fn at_nm(&self, distance_nm: f64) -> Option<(&Leg, TrackPoint)> {
        let mut start_nm = 0.0;
        for leg in &self.legs {
            let end_nm = start_nm + leg.track.length_nm();
            if distance_nm <= end_nm || leg.number == self.legs.len() {
                return Some((leg, leg.track.at_nm(distance_nm - start_nm)?));
            }
            start_nm = end_nm;
        }
        None
    }

    /// Its whole length over the ground, in nautical miles.
    pub fn length_nm(&self) -> f64 {
        self.legs.iter().map(|leg| leg.track.length_nm()).sum()
    }
}

/// Whether the stops are where stops can be, and their stays in range.
fn check_stops(route: &str, waypoints: &[Waypoint]) -> Result<(), RouteError> {
    for (index, waypoint) in waypoints.iter().enumerate() {
        let Some(stop) = &waypoint.stop else {
            continue;
        };
        let refuse = |key, fault| {
            Err(RouteError::Stop {
                route: route.to_owned(),
                number: index + 1,
                waypoint: waypoint.name.clone(),
                key,
                fault: Box::new(fault),
            })
        };
        let mut stay_key = "stay_until";
        if let Stay::Hours(hours) = stop.stay {
            stay_key = "stay";
            if let Err(breach) = Stay::HOURS.check(hours) {
                return refuse(stay_key, StopFault::Range(breach));
            }
        }
        let is_first = index == 0;
        if !is_first && index + 1 < waypoints.len() {
            continue;
        }
        let keys = [
            (stay_key, stop.stay != Stay::default()),
            ("resupply", !stop.resupply.is_empty()),
            ("leave_after", stop.leave_after.is_some()),
            ("arrive_by", is_first && stop.arrive_by.is_some()),
        ];
        if let Some((key, _)) = keys.into_iter().find(|(_, given)| *given) {
            let fault = if is_first {
                StopFault::AtStart
            } else {
                StopFault::AtEnd
            };
            return refuse(key, fault);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn waypoint(name: &str, latitude_deg: f64, longitude_deg: f64) -> Waypoint {
        Waypoint {
            name: name.to_owned(),
            position: Position::new(latitude_deg, longitude_deg).unwrap(),
            reached_by: LegKind::Rhumb,
            stop: None,
        }
    }

    #[test]
    fn a_route_is_as_long_as_its_legs() {
        let route = Route::new(
            "There and back",
            vec![
                waypoint("A", 0.0, 0.0),
                waypoint("B", 0.0, 1.0),
                waypoint("A", 0.0, 0.0),
            ],
        )
        .unwrap();
        let leg_nm = route.legs()[0].track.length_nm();
        // One degree of the WGS84 equator: 6378137 m x pi / 180.
        approx::assert_abs_diff_eq!(leg_nm * 1852.0, 111_319.490_793, epsilon = 1e-3);
        approx::assert_abs_diff_eq!(route.length_nm(), 2.0 * leg_nm, epsilon = 1e-9);
        assert_eq!(
            (route.legs()[1].from.as_str(), route.legs()[1].to.as_str()),
            ("B", "A")
        );
    }

    #[test]
    fn a_point_on_a_route_lies_on_its_leg() {
        let places = vec![
            waypoint("A", 0.0, 0.0),
            waypoint("B", 0.0, 1.0),
            waypoint("C", 0.0, 3.0),
        ];
        let route = Route::new("East", places).unwrap();
        let degree_nm = route.legs()[0].track.length_nm();
        let (leg, point) = route.at_nm(1.5 * degree_nm).unwrap();
        assert_eq!(leg.number, 2);
        approx::assert_abs_diff_eq!(point.position.longitude_deg(), 1.5, epsilon = 1e-9);
        assert_eq!(route.at_nm(0.0).unwrap().0.number, 1);
        assert_eq!(route.at_nm(route.length_nm()).unwrap().0.number, 2);
        assert!(route.at_nm(-1.0).is_none() && route.at_nm(3.1 * degree_nm).is_none());
    }

    #[test]
    fn one_waypoint_is_not_a_route_and_thousands_are_none() {
        let error = Route::new("Short", vec![waypoint("A", 0.0, 0.0)]).unwrap_err();
        assert_eq!(
            error.to_string(),
            "route 'Short' has 1 waypoint; allowed: 2 to 2000"
        );
        let many = |count| {
            let places = (0..count).map(|n| waypoint("A", 0.0, 0.01 * f64::from(n)));
            Route::new("Long", places.collect()).map(|route| route.legs().len())
        };
        assert_eq!(many(2000), Ok(1999));
        assert_eq!(
            many(2001).unwrap_err().to_string(),
            "route 'Long' has 2001 waypoints; allowed: 2 to 2000"
        );
    }

    #[test]
    fn a_route_of_less_than_a_mile_is_refused_and_a_leg_is_not() {
        // 1 nm is 59.88 seconds of the WGS84 equator's longitude: 1852 m / (6378137 m x pi / 180).
        let degree_nm = 111_319.490_793 / 1852.0;
        let east = |nm: f64| waypoint("B", 0.0, nm / degree_nm);
        let length_nm = |places| Route::new("East", places).map(|route| route.length_nm());
        let error = length_nm(vec![waypoint("A", 0.0, 0.0), east(0.001)]).unwrap_err();
        assert_eq!(
            error.to_string(),
            "route 'East' is only 0.001 nm long; allowed: 1 nm or more"
        );
        assert!(length_nm(vec![waypoint("A", 0.0, 0.0), east(0.9999)]).is_err());
        assert!(length_nm(vec![waypoint("A", 0.0, 0.0), east(1.0001)]).is_ok());
        let short_leg = vec![waypoint("A", 0.0, 0.0), east(0.001), east(1.5)];
        approx::assert_abs_diff_eq!(length_nm(short_leg).unwrap(), 1.5, epsilon = 1e-9);
    }

    #[test]
    fn a_leg_to_the_same_place_is_named() {
        let same = vec![waypoint("A", 10.0, 20.0), waypoint("B", 10.0, 20.0)];
        let error = Route::new("Still", same).unwrap_err().to_string();
        assert!(
            error.starts_with("route 'Still', leg 1 from A to B: "),
            "{error}"
        );
    }
}
