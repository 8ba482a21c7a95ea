//! Which step of time is which month, by numbers or by times of the year.

use crate::climate::error::ClimateFault;
use crate::climate::month::Month;

/// A time as near as this to where two months meet is taken to be there, in months: two hours, by which a
/// coordinate in single precision may be out.
const NEAR: f64 = 2.0 / 24.0 / 30.0;

/// The time step of each month.
pub(in crate::climate) struct MonthSteps {
    /// The step of January, February and so on; one step alone for the whole year.
    pub(in crate::climate) steps: Vec<usize>,
    /// What had to be assumed.
    pub(in crate::climate) notes: Vec<String>,
}

impl MonthSteps {
    /// One step, the mean of the year.
    pub(in crate::climate) fn of_the_year() -> Self {
        Self {
            steps: vec![0],
            notes: Vec::new(),
        }
    }

    pub(in crate::climate) fn in_file_order(why: &str) -> Self {
        Self {
            steps: (0..Month::ALL.len()).collect(),
            notes: vec![format!(
                "{why}; its twelve steps are taken as January to December"
            )],
        }
    }

    /// The steps in the order of their months, by the variable that says so.
    pub(in crate::climate) fn of(
        variable: &str,
        months: &[usize],
        notes: Vec<String>,
    ) -> Result<Self, ClimateFault> {
        let mut steps = [None; 12];
        for (step, &month) in months.iter().enumerate() {
            if let Some(first_step) = steps[month].replace(step) {
                return Err(ClimateFault::RepeatedMonth {
                    variable: variable.to_owned(),
                    month: Month::ALL[month].name().into(),
                    first_step: first_step + 1,
                    second_step: step + 1,
                });
            }
        }
        // Twelve steps without a repeat fill all twelve months.
        Ok(Self {
            steps: steps.map(Option::unwrap_or_default).to_vec(),
            notes,
        })
    }
}

/// Months, 0 to 11, of times of year in months, and what to say where each falls between two.
pub(in crate::climate) fn months_of_stamps(
    name: &str,
    stamps: &[f64],
) -> (Vec<usize>, Option<String>) {
    let between_two = |stamp: &f64| (stamp - stamp.round()).abs() < NEAR;
    if !stamps.iter().all(between_two) {
        return (
            stamps.iter().map(|stamp| *stamp as usize % 12).collect(),
            None,
        );
    }
    let begin: Vec<usize> = stamps
        .iter()
        .map(|stamp| stamp.round() as usize % 12)
        .collect();
    let end: Vec<usize> = begin.iter().map(|month| (month + 11) % 12).collect();
    // From 1 February to 1 January: a year by the months that end then, and by no other reading.
    let year = (0..12).collect::<Vec<_>>();
    let (months, doing) = if end == year {
        (end, "end")
    } else {
        (begin, "begin")
    };
    let [first, last] = [0, months.len() - 1].map(|step| Month::ALL[months[step]].name());
    let note = format!(
        "'{name}' puts its steps where one month ends and the next begins, and has no bounds that \
         say which is meant; they are taken as the months that {doing} then, the first step as \
         {first} and the last as {last}. Check the winds of a month that you know"
    );
    (months, Some(note))
}
