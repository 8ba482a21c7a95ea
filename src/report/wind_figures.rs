//! The one table of a place's wind figures: what they are called, how they are written, where they
//! come from. The terminal's tables and CSV go over it.

use super::csv::optional;
use super::wording::{percent, three_figures};
use crate::study::{PlaceWinds, SectorFigures, WindFigures};

/// How a figure is written for a reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Format {
    /// A direction in three figures.
    Direction,
    /// To one decimal.
    Tenths,
    /// Whole.
    Whole,
    /// A number that is whole, in CSV too.
    Count,
    /// A share of time as a percentage.
    Share,
}

/// One figure, read from a `T`.
pub(super) struct Figure<T> {
    /// Its column in CSV, with its unit at the end.
    pub id: &'static str,
    /// The heading of its column in a terminal's table.
    pub label: &'static str,
    /// What it is, with its unit.
    pub meaning: &'static str,
    format: Format,
    get: fn(&T) -> Option<f64>,
}

impl<T> Figure<T> {
    const fn new(
        id: &'static str,
        label: &'static str,
        meaning: &'static str,
        format: Format,
        get: fn(&T) -> Option<f64>,
    ) -> Self {
        Self {
            id,
            label,
            meaning,
            format,
            get,
        }
    }

    /// Its value for a reader; empty where there is none.
    pub(super) fn cell(&self, of: &T) -> String {
        let Some(value) = (self.get)(of) else {
            return String::new();
        };
        match self.format {
            Format::Direction => three_figures(value),
            Format::Tenths => format!("{value:.1}"),
            Format::Whole | Format::Count => format!("{value:.0}"),
            Format::Share => percent(value),
        }
    }

    /// Its value in CSV; empty where there is none.
    pub(super) fn csv(&self, of: &T) -> String {
        match self.format {
            Format::Count => self.cell(of),
            _ => optional((self.get)(of)),
        }
    }
}

use Format::{Count, Direction, Share, Tenths, Whole};

fn wind(place: &PlaceWinds) -> Option<&WindFigures> {
    place.wind.as_ref()
}

/// Speeds and direction.
pub(super) const WIND: [Figure<PlaceWinds>; 6] = [
    Figure::new(
        "wind_from_deg",
        "From",
        "where the mean vector comes from, degrees true",
        Direction,
        |place| wind(place)?.from_deg,
    ),
    Figure::new(
        "wind_mean_speed_kn",
        "Mean",
        "mean speed, kn",
        Tenths,
        |place| Some(wind(place)?.mean_speed_kn),
    ),
    Figure::new(
        "wind_vector_mean_speed_kn",
        "Vector",
        "size of the mean vector, kn",
        Tenths,
        |place| Some(wind(place)?.vector_mean_speed_kn),
    ),
    Figure::new(
        "wind_standard_deviation_kn",
        "Scatter",
        "standard deviation of the east and of the north component, kn",
        Tenths,
        |place| Some(wind(place)?.standard_deviation_kn),
    ),
    Figure::new(
        "steadiness",
        "Steady",
        "Vector as a share of Mean",
        Share,
        |place| wind(place)?.steadiness,
    ),
    Figure::new(
        "beaufort_force",
        "Force",
        "Beaufort force of Mean",
        Count,
        |place| Some(f64::from(wind(place)?.force.number)),
    ),
];

/// Shares of time, and what goes with them.
pub(super) const SHARES: [Figure<PlaceWinds>; 6] = [
    Figure::new("calm_share", "Calm", "under 1 kn", Share, |place| {
        Some(wind(place)?.share.calm)
    }),
    Figure::new(
        "light_air_share",
        "Light",
        "under 6 kn, calms included",
        Share,
        |place| Some(wind(place)?.share.light_air),
    ),
    Figure::new(
        "strong_share",
        "Strong",
        "22 kn or more, gales included",
        Share,
        |place| Some(wind(place)?.share.strong),
    ),
    Figure::new("gale_share", "Gale", "34 kn or more", Share, |place| {
        Some(wind(place)?.share.gale)
    }),
    Figure::new(
        "air_temperature_c",
        "Air °C",
        "mean air temperature of the month",
        Whole,
        |place| place.air_temperature_c,
    ),
    Figure::new(
        "replaced_data_share",
        "Filled",
        "share of the wind data smoothed or filled in from elsewhere",
        Share,
        |place| place.replaced_share,
    ),
];

/// What was counted in the series behind the climate.
pub(super) const COUNTED: [Figure<PlaceWinds>; 2] = [
    Figure::new("counted_calm_share", "Calm", "under 1 kn", Share, |place| {
        Some(place.counted?.calm)
    }),
    Figure::new(
        "counted_gale_share",
        "Gale",
        "34 kn or more",
        Share,
        |place| Some(place.counted?.gale),
    ),
];

/// The wind from one sector.
pub(super) const SECTOR: [Figure<SectorFigures>; 2] = [
    Figure::new(
        "share",
        "Share",
        "share of the time",
        Share,
        |sector: &SectorFigures| Some(sector.share),
    ),
    Figure::new("mean_speed_kn", "Mean kn", "mean speed", Tenths, |sector| {
        sector.mean_speed_kn
    }),
];

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;
    use crate::climate::Month;
    use crate::geodesy::Position;

    #[test]
    fn every_figure_has_a_name_of_its_own() {
        let names = || {
            let figures = WIND.iter().chain(&SHARES);
            figures.map(|figure| (figure.id, figure.label))
        };
        let ids: HashSet<_> = names().map(|(id, _)| id).collect();
        let labels: HashSet<_> = names().map(|(_, label)| label).collect();
        assert_eq!((ids.len(), labels.len()), (12, 12));
    }

    #[test]
    fn a_figure_that_is_not_there_is_an_empty_cell() {
        let place = PlaceWinds {
            position: Position::new(-20.0, 80.0).unwrap(),
            distance_nm: None,
            month: Month::ALL[4],
            wind: None,
            air_temperature_c: Some(24.46),
            counted: None,
            replaced_share: Some(0.042),
        };
        for figure in &WIND {
            assert_eq!(
                (figure.cell(&place), figure.csv(&place)),
                Default::default()
            );
        }
        let written = |id: &str| {
            let figure = SHARES.iter().find(|figure| figure.id == id).unwrap();
            (figure.cell(&place), figure.csv(&place))
        };
        let pair = |cell: &str, csv: &str| (cell.to_owned(), csv.to_owned());
        assert_eq!(written("air_temperature_c"), pair("24", "24.4600"));
        assert_eq!(written("replaced_data_share"), pair("4.2 %", "0.0420"));
    }
}
