//! Real years: by how much each month of each year departed from the average, and a climate with one
//! year's departures added.

use ndarray::{Array3, Array4, ArrayView2, ArrayView3, Axis as Along, Zip};

use super::axis::{Axis, Between};
use super::error::{ClimateError, ClimateFault, ClimatePart};
use super::grid::{Climate, WindFields};
use super::month::Month;
use super::season::SeasonDay;
use crate::geodesy::Position;

/// The mean winds of each month of some real years, less the average of all of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Years {
    pub(super) latitudes: Axis,
    pub(super) longitudes: Axis,
    /// Calendar years, ascending.
    pub(super) years: Vec<i64>,
    pub(super) anomalies: Anomalies,
    pub(super) label: String,
    pub(super) notes: Vec<String>,
}

/// Departures from the average, m/s, by year, month, latitude (south to north) and longitude (west to
/// east); NaN where there is none.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Anomalies {
    pub(super) u_ms: Array4<f32>,
    pub(super) v_ms: Array4<f32>,
}

/// A passage of more days meets all months.
const MOST_DAYS_APART: f64 = 300.0;

impl Years {
    /// Where they come from: the file, and its title where it has one.
    pub fn label(&self) -> &str {
        &self.label
    }

    /// What is to be said about them, one sentence each.
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// The years in which no month is missing.
    pub fn whole(&self) -> Vec<i64> {
        let years = self.years.iter().copied();
        years.filter(|year| self.place(*year).is_some()).collect()
    }

    /// The years in which a month is missing.
    pub fn incomplete(&self) -> Vec<i64> {
        let years = self.years.iter().copied();
        years.filter(|year| self.place(*year).is_none()).collect()
    }

    /// The departure of a month's mean wind at a place from the average, toward the east and the north,
    /// m/s: bilinear between nodes. None where nothing is known.
    pub fn anomaly_at(&self, place: Position, year: i64, month: Month) -> Option<[f64; 2]> {
        let number = self.years.iter().position(|one| *one == year)?;
        let row = self.latitudes.around_latitude(place.latitude_deg())?;
        let column = self.longitudes.around_longitude(place.longitude_deg())?;
        let of = |field: &Array4<f32>| {
            let of_year = field.index_axis(Along(0), number);
            between(&of_year.index_axis(Along(0), month.index()), row, column)
        };
        Some([of(&self.anomalies.u_ms)?, of(&self.anomalies.v_ms)?])
    }

    /// The place of a year in which no month is missing.
    fn place(&self, year: i64) -> Option<usize> {
        let place = self.years.iter().position(|one| *one == year)?;
        let months = self.anomalies.u_ms.index_axis(Along(0), place);
        let has_value = |month: ArrayView2<f32>| month.iter().any(|value| !value.is_nan());
        months.outer_iter().all(has_value).then_some(place)
    }

    /// For each calendar month, the place of the year whose departures it has where a passage leaves on
    /// `departure` in `year`: the months from that which is needed first, on into the next year. None for
    /// a month of a year that is not there or is not whole.
    fn places(&self, year: i64, departure: SeasonDay) -> [Option<usize>; 12] {
        let first = departure.month_mix().earlier;
        let first_year = year - i64::from(first.index() > departure.month().index());
        let mut places = [None; 12];
        for on in 0..Month::ALL.len() {
            let month = first.months_on(on);
            let next_year = first.index() + on >= Month::ALL.len();
            places[month.index()] = self.place(first_year + i64::from(next_year));
        }
        places
    }

    /// The months that have no departures where a passage leaves on `departure` in `year`, for the year
    /// they fall in is not there or is not whole: average winds blow in them. In the order of the
    /// passage, of those it meets until `hours` after its departure.
    pub fn average_months(&self, year: i64, departure: SeasonDay, hours: f64) -> Vec<Month> {
        let places = self.places(year, departure);
        let first = departure.month_mix().earlier;
        let count = if hours < MOST_DAYS_APART * 24.0 {
            let end = departure.plus_hours(hours).month_mix();
            let last = if end.later_share > 0.0 {
                end.later
            } else {
                end.earlier
            };
            (last.index() + 12 - first.index()) % 12 + 1
        } else {
            12
        };
        (0..count)
            .map(|on| first.months_on(on))
            .filter(|month| places[month.index()].is_none())
            .collect()
    }
}

impl Climate {
    /// This climate in a real year: a passage that leaves on `departure` in `year` meets the average
    /// winds and that year's departures from them, from New Year on those of the next year. A month of a
    /// year that is not there, or is not whole, keeps its average. The standard deviation about the mean
    /// is that of the average, and a node without a departure has no wind.
    ///
    /// # Errors
    /// A year that is not there, or is not whole.
    pub fn in_year(
        &self,
        years: &Years,
        year: i64,
        departure: SeasonDay,
    ) -> Result<Self, ClimateError> {
        if years.place(year).is_none() {
            let fault = ClimateFault::NoSuchYear {
                found: year,
                allowed: year_list(&years.whole()),
            };
            return Err(fault.in_file(ClimatePart::Winds, years.label()));
        }
        let mut climate = self.clone();
        let places = years.places(year, departure);
        let rows: Vec<_> =
            between_nodes(&self.latitudes, |deg| years.latitudes.around_latitude(deg));
        let columns: Vec<_> = between_nodes(&self.longitudes, |deg| {
            years.longitudes.around_longitude(deg)
        });
        let WindFields { u_ms, v_ms, s_ms } = &mut climate.wind;
        for (month, place) in places.into_iter().enumerate() {
            let Some(place) = place else { continue };
            for (field, anomaly) in [
                (&mut *u_ms, &years.anomalies.u_ms),
                (&mut *v_ms, &years.anomalies.v_ms),
            ] {
                let anomaly = anomaly.index_axis(Along(0), place);
                add(field, s_ms, (month, anomaly), (&rows, &columns));
            }
        }
        let provenance = &mut climate.provenance;
        provenance.label = format!("{}, in the year {year}", provenance.label);
        provenance.real_year = Some(year);
        provenance.notes.push(format!(
            "the mean winds are those of the real year {year}: the averages and that year's departures \
             from them by month ({}), from New Year on the next year's; winds scatter about them as in an \
             average year",
            years.label
        ));
        let average = Month::ALL.into_iter().zip(places);
        let average: Vec<&str> = average
            .filter_map(|(month, place)| place.is_none().then_some(month.name()))
            .collect();
        if !average.is_empty() {
            provenance.notes.push(format!(
                "a passage that meets {} there has average winds in that time: the year it falls in is not \
                 in the record, or lacks a month",
                average.join(", ")
            ));
        }
        provenance.notes.extend(years.notes.iter().cloned());
        Ok(climate)
    }
}

/// Adds a month's departures to a field; where there is none, there is no wind.
fn add(
    field: &mut Array3<f32>,
    s_ms: &mut Array3<f32>,
    (month, anomaly): (usize, ArrayView3<f32>),
    (rows, columns): (&[Option<Between>], &[Option<Between>]),
) {
    let anomaly = anomaly.index_axis(Along(0), month);
    let mut values = field.index_axis_mut(Along(0), month);
    let mut deviations = s_ms.index_axis_mut(Along(0), month);
    Zip::indexed(&mut values)
        .and(&mut deviations)
        .for_each(|(row, column), value, s_ms| {
            let here = rows[row].zip(columns[column]);
            match here.and_then(|(row, column)| between(&anomaly, row, column)) {
                Some(anomaly) => *value += anomaly as f32,
                None => *s_ms = f32::NAN,
            }
        });
}

/// The value between four nodes, those without one left out and the others reweighted.
fn between(field: &ArrayView2<f32>, row: Between, column: Between) -> Option<f64> {
    let ends = |between: Between| {
        [
            (between.low, 1.0 - between.high_share),
            (between.high, between.high_share),
        ]
    };
    let (mut sum, mut weight) = (0.0, 0.0);
    for (row, row_weight) in ends(row) {
        for (column, column_weight) in ends(column) {
            let value = f64::from(field[[row, column]]);
            if !value.is_nan() {
                weight += row_weight * column_weight;
                sum += row_weight * column_weight * value;
            }
        }
    }
    (weight > 0.0).then(|| sum / weight)
}

/// Where each node of one axis lies on another.
fn between_nodes(axis: &Axis, around: impl Fn(f64) -> Option<Between>) -> Vec<Option<Between>> {
    (0..axis.len())
        .map(|node| around(axis.value_deg(node)))
        .collect()
}

/// Years as words: those that follow one another as first and last.
fn year_list(years: &[i64]) -> String {
    let runs = years.chunk_by(|a, b| a + 1 == *b).map(|run| match run {
        [first, .., last] => format!("{first} to {last}"),
        _ => run[0].to_string(),
    });
    let runs: Vec<String> = runs.collect();
    if runs.is_empty() {
        "none".to_owned()
    } else {
        runs.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;
    use crate::climate::Region;

    fn waters() -> Region {
        Region::between(-40.0, -20.0, 30.0, 120.0)
    }

    fn navy() -> Years {
        Years::navy(&waters().widened(5.0)).expect("the years in the program")
    }

    #[test]
    fn a_passage_over_new_year_has_the_next_years_winds_from_then_on() {
        let years = navy();
        let december = SeasonDay::from_date(date(1983, 12, 20));
        let places = years.places(1983, december);
        assert_eq!(places[11], Some(1));
        assert_eq!(places[..11], [Some(2); 11]);
        // In early January a day lies between the old year's last month and the new year's first.
        let january = SeasonDay::from_date(date(1983, 1, 5));
        let places = years.places(1983, january);
        assert_eq!(
            (places[11], places[0], places[10]),
            (Some(0), Some(1), Some(1))
        );
    }

    #[test]
    fn months_beyond_the_record_are_average_and_told() {
        let years = navy();
        let december = SeasonDay::from_date(date(1992, 12, 20));
        let told = |year, day, days: f64| years.average_months(year, day, 24.0 * days);
        let numbers = |months: Vec<Month>| months.iter().map(|m| m.number()).collect::<Vec<_>>();
        assert_eq!(numbers(told(1992, december, 40.0)), [1, 2]);
        assert!(told(1991, december, 40.0).is_empty());
        let january = SeasonDay::from_date(date(1982, 1, 5));
        assert_eq!(numbers(told(1982, january, 40.0)), [12]);
        let may = SeasonDay::from_date(date(1982, 5, 1));
        assert!(told(1982, may, 40.0).is_empty());
        assert_eq!(told(1992, may, 350.0).len(), 3, "January to March of 1993");
        let climate = Climate::ship_winds(&waters()).unwrap();
        let sailed = climate.in_year(&years, 1992, december).unwrap();
        // As text, for a missing value is not equal to itself.
        let january = |climate: &Climate| format!("{}", climate.wind.u_ms.index_axis(Along(0), 0));
        assert_eq!(january(&sailed), january(&climate));
        assert!(
            sailed
                .notes()
                .iter()
                .any(|note| note.contains("January, February"))
        );
    }

    #[test]
    fn the_years_departures_are_added_and_the_scatter_stays() {
        let (climate, years) = (Climate::ship_winds(&waters()).unwrap(), navy());
        let may = SeasonDay::from_date(date(1985, 5, 1));
        let sailed = climate.in_year(&years, 1985, may).unwrap();
        let place = Position::new(-35.0, 75.0).unwrap();
        let july = Month::from_number(7).unwrap();
        let [before, after] =
            [&climate, &sailed].map(|one| one.month_at(place, july).unwrap().wind);
        let [u_ms, v_ms] = years.anomaly_at(place, 1985, july).unwrap();
        // The climate's nodes about it lie a degree off, where the departure is another by a little.
        assert!((after.u_ms - before.u_ms - u_ms).abs() < 0.3);
        assert!((after.v_ms - before.v_ms - v_ms).abs() < 0.3);
        assert!(
            (after.u_ms - before.u_ms).abs() > 0.5,
            "{after:?} {before:?}"
        );
        assert_eq!(before.s_ms, after.s_ms);
        assert!(sailed.label().ends_with("in the year 1985"));
    }

    #[test]
    fn a_year_that_is_not_there_is_refused_with_those_that_are() {
        let climate = Climate::ship_winds(&waters()).unwrap();
        let may = SeasonDay::from_date(date(2001, 5, 1));
        let error = climate.in_year(&navy(), 2001, may).unwrap_err().to_string();
        assert!(
            error.contains("2001") && error.contains("1982 to 1992"),
            "{error}"
        );
        assert_eq!(year_list(&[1990, 1992, 1993, 1994]), "1990, 1992 to 1994");
    }

    #[test]
    fn a_year_without_one_of_its_months_is_not_whole() {
        let mut years = navy();
        years
            .anomalies
            .u_ms
            .index_axis_mut(Along(0), 2)
            .index_axis_mut(Along(0), 8)
            .fill(f32::NAN);
        assert_eq!(years.incomplete(), [1984]);
        assert_eq!(years.whole().len(), 10);
        let december = SeasonDay::from_date(date(1983, 12, 1));
        assert_eq!(years.average_months(1983, december, 24.0 * 30.0).len(), 1);
    }
}
