//! What the tests of shaped courses share: simple boats and winds, a made-up island, and the
//! demonstration voyage.

use jiff::civil::{Date, date};
use offing::boat::{Boat, Handling, Polar};
use offing::climate::{Climate, LocalClimate, Region, SeasonDay, Wind};
use offing::geodesy::{Earth, GreatCircle, LegKind, LegTrack, Position, Step};
use offing::passage::{ExpectedPassage, Walk};
use offing::shaping::{Shaped, Shore, Task, Winds, corners_of};
use offing::voyage::Voyage;

/// How densely a course is looked at for limits, in nautical miles.
const DENSE_NM: f64 = 2.0;

pub const DEPARTURE: Date = date(2027, 5, 1);

pub fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).unwrap()
}

/// A boat that sails half the wind's speed on any heading.
pub fn round_boat() -> Boat {
    let mut text = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n".to_owned();
    for wind_kn in [10, 20, 30, 40] {
        for angle_deg in [0, 60, 120, 180] {
            text += &format!("{wind_kn},{angle_deg},{}\n", wind_kn / 2);
        }
    }
    let polar = Polar::parse(&text, "round.csv").unwrap();
    Boat::new(&polar, 1.0, None, Handling::default()).unwrap()
}

pub fn local(u_ms: f64, v_ms: f64) -> Option<LocalClimate> {
    Some(LocalClimate {
        wind: Wind {
            u_ms,
            v_ms,
            s_ms: 0.5,
        },
        air_temperature_c: None,
        replaced_share: None,
    })
}

pub fn task<'a>(
    winds: &'a dyn Winds,
    shore: &'a dyn Shore,
    boat: &'a Boat,
    [from, to]: [Position; 2],
    region: Region,
) -> Task<'a> {
    Task {
        winds,
        shore,
        boat,
        departure: DEPARTURE,
        from,
        to,
        drawn: Vec::new(),
        sampling: Step::default(),
        region,
        grid_deg: 2.0,
    }
}

pub fn length_nm(corners: &[Position]) -> f64 {
    let legs = corners.windows(2);
    legs.map(|pair| {
        GreatCircle::between(Earth::WGS84, pair[0], pair[1])
            .unwrap()
            .length_nm()
    })
    .sum()
}

/// A made-up island: a square in longitude and latitude.
pub struct Island {
    pub south_deg: f64,
    pub north_deg: f64,
    pub west_deg: f64,
    pub east_deg: f64,
}

impl Island {
    pub fn distance_nm(&self, place: Position) -> f64 {
        let near = at(
            place.latitude_deg().clamp(self.south_deg, self.north_deg),
            place.longitude_deg().clamp(self.west_deg, self.east_deg),
        );
        GreatCircle::between(Earth::WGS84, place, near).map_or(0.0, |circle| circle.length_nm())
    }
}

impl Shore for Island {
    fn is_land(&self, place: Position) -> bool {
        (self.south_deg..=self.north_deg).contains(&place.latitude_deg())
            && (self.west_deg..=self.east_deg).contains(&place.longitude_deg())
    }
    fn meets_land(&self, from: Position, to: Position) -> bool {
        (0..=20).any(|step| {
            let share = f64::from(step) / 20.0;
            let mix = |a: f64, b: f64| a + share * (b - a);
            self.is_land(at(
                mix(from.latitude_deg(), to.latitude_deg()),
                mix(from.longitude_deg(), to.longitude_deg()),
            ))
        })
    }
    fn is_nearer_than_nm(&self, place: Position, distance_nm: f64) -> bool {
        self.distance_nm(place) < distance_nm
    }
}

pub struct Demo {
    pub voyage: Voyage,
    pub climate: Climate,
    pub region: Region,
}

pub fn demo(departure: Date) -> Demo {
    let mut voyage = Voyage::demo().unwrap();
    voyage.leave_on(departure).unwrap();
    let region = Region::between(-52.0, -6.0, 20.0, 126.0);
    let climate = voyage
        .open_climate_of(&Region::between(-58.0, 0.0, 14.0, 132.0))
        .unwrap();
    Demo {
        voyage,
        climate,
        region,
    }
}

impl Demo {
    pub fn task<'a>(&'a self, shore: &'a dyn Shore) -> Task<'a> {
        let waypoints = self.voyage.routes[0].waypoints();
        Task {
            departure: self.voyage.departure,
            drawn: self.voyage.routes.iter().map(corners_of).collect(),
            ..task(
                &self.climate,
                shore,
                &self.voyage.boat,
                [
                    waypoints[0].position,
                    waypoints[waypoints.len() - 1].position,
                ],
                self.region,
            )
        }
    }

    pub fn walk(&self, shaped: &Shaped) -> ExpectedPassage {
        let route = shaped.route("Shaped", ["Fremantle", "Durban"]).unwrap();
        match self.voyage.walk(&route, &self.climate).unwrap() {
            Walk::Arrives(passage) => *passage,
            Walk::Stalls(stall) => panic!("stalls at {}", stall.position),
        }
    }

    /// Every place along a course with the day the boat is there, by the expected walk over short
    /// legs.
    pub fn dense(&self, shaped: &Shaped) -> Vec<(Position, SeasonDay)> {
        let mut corners = vec![shaped.corners[0]];
        for pair in shaped.corners.windows(2) {
            let track = LegTrack::new(pair[0], pair[1], LegKind::GreatCircle).unwrap();
            let segments = track.segments(self.voyage.step);
            corners.extend(segments.iter().map(|segment| {
                let end_nm = segment.start_nm + segment.length_nm;
                track.at_nm(end_nm).unwrap().position
            }));
        }
        let cut = Shaped {
            corners,
            ..shaped.clone()
        };
        let mut places = Vec::new();
        for leg in &self.walk(&cut).legs {
            let track = LegTrack::new(leg.start, leg.end, LegKind::GreatCircle).unwrap();
            let count = (track.length_nm() / DENSE_NM).ceil();
            for index in 0..=count as u32 {
                let share = f64::from(index) / count;
                let hours = 24.0 * (leg.elapsed_days - leg.days * (1.0 - share));
                let day = SeasonDay::from_date(self.voyage.departure).plus_hours(hours);
                let along_nm = share * track.length_nm();
                places.push((track.at_nm(along_nm).unwrap().position, day));
            }
        }
        places
    }
}
