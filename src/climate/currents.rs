//! Surface currents: bilinear between nodes, linear between months.

use ndarray::Array3;

use super::axis::{Axis, Between};
use super::grid::Climate;
use super::month::Month;
use super::season::SeasonDay;
use crate::geodesy::Position;
use crate::units::{Course, wrap_360_deg};

/// A surface current: where it sets and how fast.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Current {
    /// Toward the east, knots.
    pub east_kn: f64,
    /// Toward the north, knots.
    pub north_kn: f64,
}

impl Current {
    /// Its parts along a course and across it to port, knots.
    pub fn on_course(&self, course: Course) -> [f64; 2] {
        let (east, north) = course.deg().to_radians().sin_cos();
        [
            self.east_kn * east + self.north_kn * north,
            self.north_kn * east - self.east_kn * north,
        ]
    }
}

impl Current {
    /// Where it sets, degrees true, 0 to 360; none where there is none.
    pub fn set_deg(&self) -> Option<f64> {
        let set_deg = wrap_360_deg(self.east_kn.atan2(self.north_kn).to_degrees());
        (self.drift_kn() > 0.0).then_some(set_deg)
    }

    /// How fast, knots.
    pub fn drift_kn(&self) -> f64 {
        self.east_kn.hypot(self.north_kn)
    }
}

/// The surface currents of a voyage's waters.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Currents {
    /// None are reckoned with.
    #[default]
    None,
    /// The same everywhere and always.
    Uniform(Current),
    /// By place, and by month where the file has months.
    Field(Box<CurrentField>),
}

/// Currents on a grid.
#[derive(Debug, Clone, PartialEq)]
pub struct CurrentField {
    pub(super) latitudes: Axis,
    pub(super) longitudes: Axis,
    /// By month (or one step for the whole year), latitude and longitude; not a number where none is
    /// known.
    pub(super) east_kn: Array3<f32>,
    pub(super) north_kn: Array3<f32>,
    /// Left out because the current turns there with the season, where the file says so.
    pub(super) not_applied: Option<Array3<bool>>,
    pub(super) label: String,
    pub(super) notes: Vec<String>,
    /// Whether they come with the winds, out of one file.
    pub(super) of_climate: bool,
}

/// What the current at a place rests on, as shares from 0 to 1; the rest of it is known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CurrentBasis {
    /// Nothing is known there.
    pub unknown: f64,
    /// It turns with the monsoon there and is not applied.
    pub monsoon: f64,
}

impl CurrentField {
    /// The field of a file: its axes, its parts toward the east and the north, the nodes left out for
    /// the monsoon, and its label with what is to be said about it.
    pub(super) fn new(
        (latitudes, longitudes): (Axis, Axis),
        (east_kn, north_kn): (Array3<f32>, Array3<f32>),
        not_applied: Option<Array3<bool>>,
        (label, notes): (String, Vec<String>),
    ) -> Self {
        Self {
            latitudes,
            longitudes,
            east_kn,
            north_kn,
            not_applied,
            label,
            notes,
            of_climate: false,
        }
    }

    /// The same, said to come with the winds.
    #[cfg(feature = "netcdf")]
    pub(super) fn of_the_climate(mut self) -> Self {
        self.of_climate = true;
        self
    }

    /// Whether they come with the winds, out of one file.
    pub fn is_of_the_climate(&self) -> bool {
        self.of_climate
    }

    /// The nodes around a place in a month, each with its weight; none off the grid.
    fn around(&self, place: Position, month: Month) -> Option<[([usize; 3], f64); 4]> {
        let row = self.latitudes.around_latitude(place.latitude_deg())?;
        let column = self.longitudes.around_longitude(place.longitude_deg())?;
        let step = if self.is_monthly() { month.index() } else { 0 };
        let ends = |between: Between| {
            [
                (between.low, 1.0 - between.high_share),
                (between.high, between.high_share),
            ]
        };
        let ([south, north], [west, east]) = (ends(row), ends(column));
        let node =
            |row: (usize, f64), column: (usize, f64)| ([step, row.0, column.0], row.1 * column.1);
        Some([
            node(south, west),
            node(south, east),
            node(north, west),
            node(north, east),
        ])
    }

    /// The current at a place in a month: bilinear over the nodes that have one, those without left
    /// out and the rest reweighted; none where no node around has one.
    fn known(&self, place: Position, month: Month) -> Option<Current> {
        let (mut sum, mut weights) = (Current::default(), 0.0);
        for (node, weight) in self.around(place, month)? {
            let north_kn = f64::from(self.north_kn[node]);
            if !north_kn.is_nan() {
                sum.east_kn += weight * f64::from(self.east_kn[node]);
                sum.north_kn += weight * north_kn;
                weights += weight;
            }
        }
        (weights > 0.0).then(|| Current {
            east_kn: sum.east_kn / weights,
            north_kn: sum.north_kn / weights,
        })
    }

    fn basis(&self, place: Position, month: Month) -> CurrentBasis {
        if self.known(place, month).is_some() {
            return CurrentBasis::default();
        }
        let turns = |not_applied: &Array3<bool>| {
            let mut nodes = self.around(place, month).into_iter().flatten();
            nodes.any(|(node, weight)| weight > 0.0 && not_applied[node])
        };
        let monsoon = self.not_applied.as_ref().is_some_and(turns);
        CurrentBasis {
            unknown: f64::from(u8::from(!monsoon)),
            monsoon: f64::from(u8::from(monsoon)),
        }
    }

    /// Whether it has a current for each month, rather than one for the year.
    pub fn is_monthly(&self) -> bool {
        self.east_kn.dim().0 == Month::ALL.len()
    }

    /// Where it comes from: the file, and its title where it has one.
    pub fn label(&self) -> &str {
        &self.label
    }

    /// What was assumed when it was read, a sentence each.
    pub fn notes(&self) -> &[String] {
        &self.notes
    }
}

impl Currents {
    /// The current at a place in a month; still water where nothing is known of it.
    pub(super) fn in_month(&self, place: Position, month: Month) -> Current {
        match self {
            Self::None => Current::default(),
            Self::Uniform(current) => *current,
            Self::Field(field) => field.known(place, month).unwrap_or_default(),
        }
    }

    /// Whether any are reckoned with.
    pub fn are_used(&self) -> bool {
        *self != Self::None
    }

    /// Whether nothing is known of the current in any month at any of these places.
    pub(crate) fn unknown_at_all(&self, mut places: impl Iterator<Item = Position>) -> bool {
        let Self::Field(field) = self else {
            return false;
        };
        let months = if field.is_monthly() {
            &Month::ALL[..]
        } else {
            &Month::ALL[..1]
        };
        let known = |place| {
            let mut months = months.iter();
            months.any(|month| field.known(place, *month).is_some())
        };
        !places.any(known)
    }
}

impl Climate {
    /// The same winds over other currents.
    pub fn with_currents(mut self, currents: Currents) -> Self {
        self.currents = currents;
        self
    }

    /// The currents under its winds.
    pub fn currents(&self) -> &Currents {
        &self.currents
    }

    /// The current at a place in a month; still water where nothing is known of it.
    pub fn current_in_month(&self, place: Position, month: Month) -> Current {
        self.currents.in_month(place, month)
    }

    /// The current at a place on a day: months linear between their middles.
    pub fn current_at(&self, place: Position, day: SeasonDay) -> Current {
        let mix = day.month_mix();
        let [a, b] = [mix.earlier, mix.later].map(|month| self.current_in_month(place, month));
        Current {
            east_kn: a.east_kn + mix.later_share * (b.east_kn - a.east_kn),
            north_kn: a.north_kn + mix.later_share * (b.north_kn - a.north_kn),
        }
    }

    /// What the current at a place on a day rests on; none where no currents are reckoned with.
    pub fn current_basis(&self, place: Position, day: SeasonDay) -> Option<CurrentBasis> {
        let field = match &self.currents {
            Currents::None => return None,
            Currents::Uniform(_) => return Some(CurrentBasis::default()),
            Currents::Field(field) => field,
        };
        let mix = day.month_mix();
        let [a, b] = [mix.earlier, mix.later].map(|month| field.basis(place, month));
        let between = |a: f64, b: f64| a + mix.later_share * (b - a);
        Some(CurrentBasis {
            unknown: between(a.unknown, b.unknown),
            monsoon: between(a.monsoon, b.monsoon),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::Region;

    fn drifters(south_deg: f64, north_deg: f64, west_deg: f64, east_deg: f64) -> CurrentField {
        let region = Region::between(south_deg, north_deg, west_deg, east_deg);
        match Currents::drifters(&region).unwrap() {
            Currents::Field(field) => *field,
            other => panic!("{other:?}"),
        }
    }

    fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
        Position::new(latitude_deg, longitude_deg).unwrap()
    }

    /// Sets of great streams, common knowledge of any atlas; the speeds' bounds are wide.
    #[test]
    fn the_great_streams_set_as_every_atlas_has_them() {
        let july = Month::ALL[6];
        for (place, set_deg, least_kn) in [
            // Agulhas, South Equatorial of the Pacific, Gulf Stream, North Equatorial of the Atlantic.
            (at(-31.0, 30.5), 225.0, 1.0),
            (at(-3.0, -120.0), 270.0, 0.4),
            (at(36.5, -72.0), 67.5, 0.5),
            (at(15.0, -45.0), 280.0, 0.1),
        ] {
            let (lat, lon) = (place.latitude_deg(), place.longitude_deg());
            let field = drifters(lat - 3.0, lat + 3.0, lon - 3.0, lon + 3.0);
            let current = field.known(place, july).unwrap();
            let found_deg = current.set_deg().unwrap();
            let off_deg = (found_deg - set_deg + 540.0).rem_euclid(360.0) - 180.0;
            assert!(off_deg.abs() < 35.0, "{place}: {found_deg}");
            let drift_kn = current.drift_kn();
            assert!(drift_kn > least_kn, "{place}: {drift_kn} kn");
        }
    }

    #[test]
    fn between_nodes_it_is_bilinear_and_nodes_without_one_are_left_out() {
        let mut field = drifters(-32.0, -28.0, 70.0, 75.0);
        let (row, column) = (1, 1);
        let corner = |row: usize, column: usize| field.east_kn[[0, row, column]];
        let node = |axis: &Axis, index: usize| axis.value_deg(index);
        let middle = at(
            node(&field.latitudes, row) + 0.5,
            node(&field.longitudes, column) + 0.5,
        );
        let four = [(1, 1), (1, 2), (2, 1), (2, 2)].map(|(row, column)| corner(row, column));
        let mean = f64::from(four.iter().sum::<f32>()) / 4.0;
        let january = Month::ALL[0];
        let found = field.known(middle, january).unwrap();
        approx::assert_abs_diff_eq!(found.east_kn, mean, epsilon = 1e-6);
        field.north_kn[[0, 1, 1]] = f32::NAN;
        let three = f64::from(four[1..].iter().sum::<f32>()) / 3.0;
        let found = field.known(middle, january).unwrap();
        approx::assert_abs_diff_eq!(found.east_kn, three, epsilon = 1e-6);
        assert_eq!(field.basis(middle, january), CurrentBasis::default());
    }

    #[test]
    fn where_none_is_applied_it_is_said_why() {
        let field = drifters(5.0, 15.0, 60.0, 70.0);
        let (arabian_sea, off_it) = (at(10.0, 65.0), at(60.0, 65.0));
        let march = Month::ALL[2];
        assert_eq!(field.known(arabian_sea, march), None);
        assert_eq!(field.basis(arabian_sea, march).monsoon, 1.0);
        assert_eq!(field.basis(off_it, march).unknown, 1.0);
        // Beyond the grid, north of 79.5 N, and in the middle of Asia.
        assert!(Currents::drifters(&Region::between(82.0, 88.0, 0.0, 30.0)).is_ok());
        assert!(Currents::drifters(&Region::between(45.0, 50.0, 80.0, 90.0)).is_ok());
    }
}
