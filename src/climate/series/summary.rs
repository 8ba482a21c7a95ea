//! What there is to say about a measured climate: of what, and its figures over the whole area.

use super::catalogue::Catalogue;
use super::measure::Measured;
use super::reduce::BandMonth;
use super::spacing::{Spacing, moment};
use crate::climate::gridded::Quantity;
use crate::climate::measured_winds::{MeasuredMonth, MeasuredPicture, MeasuredWinds};
use crate::climate::month::Month;
use crate::climate::region::Region;
use crate::units::{KN_PER_MS, wrap_180_deg};

/// Rows and columns of the picture, at most.
const MOST_CELLS: [usize; 2] = [18, 72];

/// A mean that is being taken, with weights.
#[derive(Debug, Clone, Copy, Default)]
struct Weighted {
    weight: f64,
    sum: f64,
}

impl Weighted {
    fn add(&mut self, weight: f64, value: f64) {
        if !value.is_nan() {
            self.weight += weight;
            self.sum += weight * value;
        }
    }

    fn mean(self) -> Option<f64> {
        (self.weight > 0.0).then(|| self.sum / self.weight)
    }
}

/// The figures of a month whose means are taken.
const FIGURES: [fn(&Measured) -> f64; 9] = [
    |node| f64::from(node.speed_ms) * KN_PER_MS,
    vector_mean_kn,
    // Variances are averaged, and their root is printed.
    |node| 0.5 * (f64::from(node.u_variance) + f64::from(node.v_variance)),
    |node| f64::from(node.gale_share),
    |node| f64::from(node.calm_share),
    |node| f64::from(node.slow_share),
    |node| f64::from(node.fast_hours),
    |node| f64::from(node.single_hours),
    |node| 0.5 * (f64::from(node.u_year_variance) + f64::from(node.v_year_variance)),
];

fn vector_mean_kn(node: &Measured) -> f64 {
    f64::from(node.u_ms).hypot(f64::from(node.v_ms)) * KN_PER_MS
}

/// Takes what the summary needs while bands go by.
pub(super) struct Summary {
    months: [[Weighted; FIGURES.len()]; 12],
    steps: [u32; 12],
    cells: Vec<Weighted>,
    shape: [usize; 2],
    has_wind: Vec<bool>,
    of_mean_vector: bool,
}

impl Summary {
    pub(super) fn new(catalogue: &Catalogue) -> Self {
        let [rows, columns] = MOST_CELLS;
        let shape = [
            catalogue.latitudes.len().min(rows),
            catalogue.longitudes.len().min(columns),
        ];
        Self {
            months: Default::default(),
            steps: [0; 12],
            cells: vec![Weighted::default(); shape[0] * shape[1]],
            shape,
            has_wind: vec![false; catalogue.nodes()],
            of_mean_vector: catalogue.spacing == Spacing::Monthly
                && !catalogue.others.contains(&Quantity::WindSpeed),
        }
    }

    pub(super) fn add(&mut self, catalogue: &Catalogue, band: &BandMonth) {
        let columns = catalogue.longitudes.len();
        for (place, node) in band.nodes.iter().enumerate() {
            let (row, column) = (band.rows.start + place / columns, place % columns);
            let weight = catalogue
                .latitudes
                .value_deg(row)
                .to_radians()
                .cos()
                .max(1e-6);
            for (mean, figure) in self.months[band.month].iter_mut().zip(FIGURES) {
                mean.add(weight, figure(node));
            }
            self.steps[band.month] = self.steps[band.month].max(node.steps);
            self.has_wind[row * columns + column] |= node.steps > 0;
            let north = catalogue.latitudes.len() - 1 - row;
            let cell = [
                north * self.shape[0] / catalogue.latitudes.len(),
                column * self.shape[1] / columns,
            ];
            let kn = if self.of_mean_vector {
                vector_mean_kn(node)
            } else {
                f64::from(node.speed_ms) * KN_PER_MS
            };
            self.cells[cell[0] * self.shape[1] + cell[1]].add(weight, kn);
        }
    }

    pub(super) fn finish(
        self,
        catalogue: &Catalogue,
        file: &str,
        notes: Vec<String>,
    ) -> MeasuredWinds {
        let daily = catalogue.spacing != Spacing::Monthly;
        let has_speed = !self.of_mean_vector;
        let years = catalogue.years();
        let real = |place: usize| {
            (!catalogue.is_climatology)
                .then(|| moment(catalogue.calendar, catalogue.steps[place].minutes))
        };
        let months = Month::ALL.iter().map(|&month| {
            let mean = |figure: usize| self.months[month.index()][figure].mean();
            let deviation =
                |figure: usize| mean(figure).map(|mean| mean.max(0.0).sqrt() * KN_PER_MS);
            MeasuredMonth {
                month,
                steps: self.steps[month.index()],
                mean_speed_kn: mean(0),
                vector_mean_speed_kn: mean(1),
                standard_deviation_kn: deviation(2),
                gale_share: mean(3),
                calm_share: mean(4),
                slow_share: mean(5),
                fast_hours: mean(6),
                single_hours: mean(7),
                between_years_kn: deviation(8),
            }
        });
        let months: Vec<MeasuredMonth> = months.collect();
        let has_memory = months.iter().any(|month| month.slow_share.is_some());
        let mut measured = vec!["mean wind"];
        let mut assumed = Vec::new();
        let mut put = |known: bool, what, otherwise: Option<&'static str>| {
            if known {
                measured.push(what);
            } else {
                assumed.extend(otherwise);
            }
        };
        put(has_speed, "mean speed", None);
        put(
            daily,
            "standard deviation, gales and calms",
            Some(if has_speed {
                "standard deviation: that which gives the mean speed (Rice distribution)"
            } else {
                "standard deviation: from an assumed steadiness"
            }),
        );
        put(has_memory, "the wind's memory", None);
        put(years.len() > 1, "each year's departure from the mean", None);
        assumed.push("one standard deviation for both components, whatever their covariance");
        assumed
            .push("the memory of simulated passages: 24 and 400 hours, from moorings and logbooks");
        let cells = self.cells.chunks(self.shape[1]);
        let longitudes = &catalogue.longitudes;
        let latitudes = &catalogue.latitudes;
        MeasuredWinds {
            file: file.to_owned(),
            files_read: catalogue.files.len(),
            first: real(0),
            last: real(catalogue.steps.len() - 1),
            spacing: catalogue.spacing.words(),
            calendar: catalogue.calendar.name(),
            steps: catalogue.steps.len(),
            missing_steps: if catalogue.is_climatology {
                0
            } else {
                catalogue.missing_steps()
            },
            months_with_gaps: if catalogue.is_climatology {
                Vec::new()
            } else {
                let gaps = catalogue.gaps().into_iter();
                gaps.map(|(year, month)| format!("{year:04}-{:02}", month + 1))
                    .collect()
            },
            years,
            area: Region {
                south_deg: latitudes.first_deg(),
                north_deg: latitudes.first_deg() + latitudes.span_deg(),
                west_deg: wrap_180_deg(longitudes.first_deg()),
                east_span_deg: longitudes.span_deg(),
            },
            rows: latitudes.len(),
            columns: longitudes.len(),
            nodes_without_wind: self.has_wind.iter().filter(|has| !**has).count(),
            also_found: catalogue
                .others
                .iter()
                .map(|quantity| quantity.words())
                .collect(),
            measured,
            assumed,
            months,
            picture: MeasuredPicture {
                of_mean_vector: self.of_mean_vector,
                rows: cells
                    .map(|row| row.iter().map(|cell| cell.mean()).collect())
                    .collect(),
            },
            notes,
        }
    }
}
