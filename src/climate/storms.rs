//! How often the centre of a tropical storm was near a place, month by month: the observed table.
//!
//! The table counts, by cells of 5 degrees, the days on which the centre of a listed storm with
//! 34 kn or more was there; its origin is in `fixtures/climate/README.md`. Each cell's days are
//! spread evenly over it and its eight neighbours, which keeps their sum, and divided by the cell's
//! area: a square mile in a high latitude is not thought safer for its narrower cell. Between the
//! middles of cells the rate is bilinear, between the middles of months linear, as the winds are.
//!
//! 31 seasons stand behind the North Atlantic and the North Pacific east of 180, ten only behind all
//! other waters. There a month of a cell hangs on single storms.

use std::iter::Sum;
use std::sync::LazyLock;

use serde::Deserialize;

use super::axis::Axis;
use super::month::Month;
use super::season::SeasonDay;
use crate::geodesy::Position;

/// Within this distance of a storm's centre it is counted as met, in nautical miles. Winds of 34 kn
/// reach about so far from the centre of a large storm (common practice, no source).
pub const STORM_CIRCLE_NM: f64 = 200.0;

/// The sides of a cell, degrees, and how many there are.
const CELL_DEG: f64 = 5.0;
const ROWS: usize = 36;
const COLUMNS: usize = 72;

/// A rate is quiet below this share of the greatest of the year (our definition).
const QUIET_SHARE: f64 = 0.1;

const TABLE: &str = include_str!("../../fixtures/climate/storm-days.csv");

static OBSERVED: LazyLock<StormDays> =
    LazyLock::new(|| StormDays::parse(TABLE).expect("a test reads the table in the program"));

/// The observed storms of all oceans, smoothed.
#[derive(Debug)]
pub struct StormDays {
    /// By month for each cell, rows from the south, columns from 180 west: storm-days a day on a
    /// square nautical mile.
    density: Vec<[f64; 12]>,
    latitudes: Axis,
    longitudes: Axis,
}

/// Days with the centre of a storm within [`STORM_CIRCLE_NM`] of a place, per day, month by month.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StormRate {
    by_month: [f64; 12],
}

/// A cell that the table has in error.
#[derive(Debug, thiserror::Error)]
enum TableFault {
    #[error(transparent)]
    Unreadable(#[from] csv::Error),
    #[error("cell {south_deg}, {west_deg}: {what}")]
    Cell {
        south_deg: f64,
        west_deg: f64,
        what: &'static str,
    },
}

/// A row of the table: storm-days a year in a cell.
#[derive(Debug, Deserialize)]
struct Row {
    south_deg: f64,
    west_deg: f64,
    jan: Option<f64>,
    feb: Option<f64>,
    mar: Option<f64>,
    apr: Option<f64>,
    may: Option<f64>,
    jun: Option<f64>,
    jul: Option<f64>,
    aug: Option<f64>,
    sep: Option<f64>,
    oct: Option<f64>,
    nov: Option<f64>,
    dec: Option<f64>,
}

impl StormDays {
    /// The table carried in the program.
    pub fn observed() -> &'static Self {
        &OBSERVED
    }

    fn parse(text: &str) -> Result<Self, TableFault> {
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_reader(text.as_bytes());
        let mut days = vec![[0.0; 12]; ROWS * COLUMNS];
        for row in reader.deserialize() {
            let row: Row = row?;
            days[row.cell()?] = row.days()?;
        }
        let mut density = smoothed(&days);
        for (cell, density) in density.iter_mut().enumerate() {
            let area_nm2 = cell_area_nm2(cell / COLUMNS);
            for (density, month) in density.iter_mut().zip(Month::ALL) {
                *density /= month.days() * area_nm2;
            }
        }
        let middles = |count: usize, first_deg: f64| {
            let middle = |index| first_deg + CELL_DEG * (f64::from(index) + 0.5);
            (0..count as u32).map(middle).collect()
        };
        Ok(Self {
            density,
            latitudes: Axis::new(middles(ROWS, -90.0), false),
            longitudes: Axis::new(middles(COLUMNS, -180.0), true),
        })
    }

    /// The rate about a place.
    pub fn at(&self, place: Position) -> StormRate {
        let circle_nm2 = std::f64::consts::PI * STORM_CIRCLE_NM.powi(2);
        // Beyond the outermost middles the outermost rows stand: there are no storms near the poles.
        let pole_deg = 90.0 - 0.5 * CELL_DEG;
        let latitude_deg = place.latitude_deg().clamp(-pole_deg, pole_deg);
        let (Some(rows), Some(columns)) = (
            self.latitudes.around_latitude(latitude_deg),
            self.longitudes.around_longitude(place.longitude_deg()),
        ) else {
            return StormRate::default();
        };
        let row = |row: usize, share: f64, month: usize| {
            let at = |column: usize| self.density[row * COLUMNS + column][month];
            let (low, high) = (at(columns.low), at(columns.high));
            share * (low + columns.high_share * (high - low))
        };
        StormRate {
            by_month: std::array::from_fn(|month| {
                let density = row(rows.low, 1.0 - rows.high_share, month)
                    + row(rows.high, rows.high_share, month);
                density * circle_nm2
            }),
        }
    }
}

impl StormRate {
    /// In the middle of a month.
    pub fn in_month(&self, month: Month) -> f64 {
        self.by_month[month.index()]
    }

    /// On a day: linear between the middles of the months.
    pub fn on(&self, day: SeasonDay) -> f64 {
        let mix = day.month_mix();
        let [earlier, later] = [mix.earlier, mix.later].map(|month| self.in_month(month));
        earlier + mix.later_share * (later - earlier)
    }

    /// The same so many times.
    pub fn times(&self, times: f64) -> Self {
        Self {
            by_month: self.by_month.map(|rate| times * rate),
        }
    }

    /// The first month after that with the greatest rate in which it is below a tenth of that; none
    /// where there are no storms, or where it is never so low.
    pub fn quiet_from(&self) -> Option<Month> {
        let most = self.by_month.into_iter().fold(0.0, f64::max);
        let peak = Month::ALL
            .into_iter()
            .find(|month| most > 0.0 && self.in_month(*month) >= most)?;
        (1..12)
            .map(|months| peak.months_on(months))
            .find(|month| self.in_month(*month) < QUIET_SHARE * most)
    }
}

impl Sum for StormRate {
    fn sum<I: Iterator<Item = Self>>(rates: I) -> Self {
        rates.fold(Self::default(), |sum, rate| Self {
            by_month: std::array::from_fn(|month| sum.by_month[month] + rate.by_month[month]),
        })
    }
}

/// The chance of at least one storm in a time with so many storm-days expected, 0 to 1. A storm
/// moves: its centre passes a circle of 200 nm in about a day (common practice, no source), so that
/// storm-days count storms; storms are taken to come independently of each other (Poisson).
pub fn storm_chance(storm_days: f64) -> f64 {
    -(-storm_days).exp_m1()
}

impl Row {
    fn fault(&self, what: &'static str) -> TableFault {
        TableFault::Cell {
            south_deg: self.south_deg,
            west_deg: self.west_deg,
            what,
        }
    }

    /// The number of its cell.
    fn cell(&self) -> Result<usize, TableFault> {
        let row = (self.south_deg + 90.0) / CELL_DEG;
        let column = (self.west_deg + 180.0) / CELL_DEG;
        if row.fract() != 0.0 || column.fract() != 0.0 {
            return Err(self.fault("its edges are not multiples of 5 degrees"));
        }
        // The outermost rows have no neighbours to be spread over.
        if !(1.0..=(ROWS - 2) as f64).contains(&row) {
            return Err(self.fault("its south edge is not from -85 to 80"));
        }
        if !(0.0..COLUMNS as f64).contains(&column) {
            return Err(self.fault("its west edge is not from -180 to 175"));
        }
        Ok(row as usize * COLUMNS + column as usize)
    }

    /// Its storm-days by month.
    fn days(&self) -> Result<[f64; 12], TableFault> {
        let days = [
            self.jan, self.feb, self.mar, self.apr, self.may, self.jun, self.jul, self.aug,
            self.sep, self.oct, self.nov, self.dec,
        ];
        // An empty month is zero: the table says so.
        let days = days.map(|days| days.unwrap_or(0.0));
        let sound = |days: &f64| days.is_finite() && *days >= 0.0;
        if !days.iter().all(sound) {
            return Err(self.fault("storm-days are not a number from 0 upward"));
        }
        Ok(days)
    }
}

/// Each cell's days spread evenly over it and its eight neighbours.
fn smoothed(days: &[[f64; 12]]) -> Vec<[f64; 12]> {
    let mut smoothed = vec![[0.0; 12]; days.len()];
    for (cell, days) in days.iter().enumerate() {
        let (row, column) = (cell / COLUMNS, cell % COLUMNS);
        if days.iter().all(|days| *days <= 0.0) {
            continue;
        }
        for row in row - 1..=row + 1 {
            for east in [COLUMNS - 1, 0, 1] {
                let beside = &mut smoothed[row * COLUMNS + (column + east) % COLUMNS];
                for (sum, days) in beside.iter_mut().zip(days) {
                    *sum += days / 9.0;
                }
            }
        }
    }
    smoothed
}

/// The area of a cell in a row from the south, on a sphere on which a minute of arc is a mile.
fn cell_area_nm2(row: usize) -> f64 {
    let radius_nm = 60.0 * 180.0 / std::f64::consts::PI;
    let south_deg = CELL_DEG * row as f64 - 90.0;
    let [south, north] = [south_deg, south_deg + CELL_DEG].map(|deg| deg.to_radians().sin());
    radius_nm.powi(2) * CELL_DEG.to_radians() * (north - south)
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEAD: &str = "# a comment\nsouth_deg,west_deg,seasons,jan,feb,mar,apr,may,jun,jul,aug,sep,\
                        oct,nov,dec\n";

    fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
        Position::new(latitude_deg, longitude_deg).unwrap()
    }

    fn month(number: u8) -> Month {
        Month::from_number(number).unwrap()
    }

    fn table(rows: &str) -> Result<StormDays, TableFault> {
        StormDays::parse(&format!("{HEAD}{rows}"))
    }

    /// The storm-days a year in all cells.
    fn total(storms: &StormDays) -> f64 {
        let cells = storms.density.iter().enumerate();
        cells
            .map(|(cell, density)| {
                let months = density.iter().zip(Month::ALL);
                let days: f64 = months.map(|(density, month)| density * month.days()).sum();
                days * cell_area_nm2(cell / COLUMNS)
            })
            .sum()
    }

    #[test]
    fn the_table_in_the_program_is_read_and_keeps_its_storm_days() {
        // The sum of all numbers of the file, by the readings of check_storms.py.
        assert!((total(StormDays::observed()) - 402.2).abs() < 0.05);
    }

    #[test]
    fn a_cell_is_spread_over_nine_across_the_antimeridian() {
        let storms = table("10,175,10,,,,,,,,9,,,,\n").unwrap();
        assert!((total(&storms) - 9.0).abs() < 1e-9);
        // A ninth of nine days on each cell's own area, in the 31 days of August.
        let circle_nm2 = std::f64::consts::PI * 200.0 * 200.0;
        for (latitude_deg, longitude_deg) in [(12.5, 177.5), (7.5, -177.5), (17.5, 172.5)] {
            let row = ((latitude_deg + 90.0) / 5.0) as usize;
            let rate = storms.at(at(latitude_deg, longitude_deg));
            let expected = circle_nm2 / (31.0 * cell_area_nm2(row));
            assert!((rate.in_month(month(8)) / expected - 1.0).abs() < 1e-9);
            assert_eq!(rate.in_month(month(7)), 0.0);
        }
        assert_eq!(storms.at(at(12.5, -172.5)), StormRate::default());
        // Half way between the middles of August and September.
        let rate = storms.at(at(12.5, 177.5));
        let half =
            SeasonDay::from_days(0.5 * (month(8).middle().days() + month(9).middle().days()));
        assert!((rate.on(half) / rate.in_month(month(8)) - 0.5).abs() < 1e-9);
    }

    #[test]
    fn a_cell_has_the_area_of_its_share_of_the_sphere() {
        let whole: f64 = (0..ROWS).map(|row| 72.0 * cell_area_nm2(row)).sum();
        let radius_nm = 60.0 * 180.0 / std::f64::consts::PI;
        let sphere = 4.0 * std::f64::consts::PI * radius_nm * radius_nm;
        assert!((whole / sphere - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_faulty_cell_is_refused() {
        for row in [
            "11,175,10,,,,,,,,9,,,,\n",
            "85,175,10,,,,,,,,9,,,,\n",
            "10,180,10,,,,,,,,9,,,,\n",
            "10,175,10,,,,,,,,-1,,,,\n",
            "10,175,10,,,,,,,,NaN,,,,\n",
            "10,175,10,,,,,,,,many,,,,\n",
            "10,175,10,,,,\n",
        ] {
            assert!(table(row).is_err(), "{row}");
        }
    }

    #[test]
    fn quiet_begins_where_the_rate_is_below_a_tenth() {
        let storms = table("10,175,10,2,,,,,,,9,10,8,1.2,1.0\n").unwrap();
        let rate = storms.at(at(12.5, 177.5));
        // By the day: 1.0 / 31 in December is under a tenth of September's 10 / 30, 1.2 / 30 in
        // November is not.
        assert_eq!(rate.quiet_from(), Some(month(12)));
        assert_eq!(StormRate::default().quiet_from(), None);
        let all_year = table("10,175,10,5,5,5,5,5,5,5,9,10,8,5,5\n").unwrap();
        assert_eq!(all_year.at(at(12.5, 177.5)).quiet_from(), None);
    }

    #[test]
    fn a_chance_grows_to_one() {
        assert_eq!(storm_chance(0.0), 0.0);
        assert!((storm_chance(0.05) - 0.048_770_575).abs() < 1e-9);
        assert!(storm_chance(40.0) <= 1.0 && storm_chance(3.0) > 0.95);
    }
}
