//! What there is to say about a climate that was measured from a series of winds.

use schemars::JsonSchema;
use serde::Serialize;

use super::month::Month;
use super::region::Region;

/// A climate that was measured from a series of winds.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct MeasuredWinds {
    /// The file the climate was written to.
    pub file: String,
    /// How many files were read.
    pub files_read: usize,
    /// The time of the first step, UTC, as year-month-day hour:minute; none where the files hold means over
    /// many years.
    pub first: Option<String>,
    /// The time of the last step; none likewise.
    pub last: Option<String>,
    /// What the steps are: monthly, daily, hourly, 6-hourly and so on.
    pub spacing: String,
    /// The calendar that the files count time in, by its name in the CF conventions.
    pub calendar: &'static str,
    /// How many steps were read.
    pub steps: usize,
    /// How many are missing between the first and the last.
    pub missing_steps: usize,
    /// The months in which steps are missing, as year-month; the first and the last month are not looked
    /// at for missing ends.
    pub months_with_gaps: Vec<String>,
    /// The calendar years, each with its own means in the file; none of them where the files hold means
    /// over many years, and no year's own means where there is one alone.
    pub years: Vec<i64>,
    /// The area between the outermost nodes.
    pub area: Region,
    /// Rows of nodes from south to north.
    pub rows: usize,
    /// Columns of nodes from west to east.
    pub columns: usize,
    /// Nodes without wind in any month, such as land.
    pub nodes_without_wind: usize,
    /// What was found besides the wind's components, in words.
    pub also_found: Vec<&'static str>,
    /// What the wind is known by.
    pub measured: Vec<&'static str>,
    /// What a voyage in this climate has to assume.
    pub assumed: Vec<&'static str>,
    /// The twelve months over the whole area.
    pub months: Vec<MeasuredMonth>,
    /// A picture of the area.
    pub picture: MeasuredPicture,
    /// What was assumed or changed when the files were read, a sentence each; in JSON with all others.
    #[serde(skip)]
    #[schemars(skip)]
    pub notes: Vec<String>,
}

/// One calendar month over the whole area: means over its nodes, each as large as its part of the sea.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct MeasuredMonth {
    /// The month.
    pub month: Month,
    /// The most steps any node has in it, in all years.
    pub steps: u32,
    /// Mean speed whatever the direction, knots; none without a mean speed or without wind.
    pub mean_speed_kn: Option<f64>,
    /// Size of the mean vector, knots; none without wind.
    pub vector_mean_speed_kn: Option<f64>,
    /// Standard deviation of a component about the mean of all years, knots; none of monthly means.
    pub standard_deviation_kn: Option<f64>,
    /// Share of the steps at 34 kn or more; none of monthly means.
    pub gale_share: Option<f64>,
    /// Share of the steps below 1 kn; none of monthly means.
    pub calm_share: Option<f64>,
    /// The slow part's share of the variance within a year's month; none without a memory.
    pub slow_share: Option<f64>,
    /// Time constant of the fast part, hours; none without a memory.
    pub fast_hours: Option<f64>,
    /// Time constant of one part alone, hours; none without a memory.
    pub single_hours: Option<f64>,
    /// Standard deviation of a component's monthly mean from year to year, knots; 0 where the weather within
    /// months explains all there is, none with one year.
    pub between_years_kn: Option<f64>,
}

/// The mean speed of all months over the area; where that is not known the size of the mean vector.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct MeasuredPicture {
    /// Whether it is the mean vector's size.
    pub of_mean_vector: bool,
    /// Rows from north to south, each with its cells from west to east: knots, none where there is no wind.
    pub rows: Vec<Vec<Option<f64>>>,
}
