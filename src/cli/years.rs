//! `offing years`: the voyage in each real year of its winds.

use super::arguments::YearsOptions;
use super::voyage::{open_voyage, warn_of_land};
use super::{CliError, deliver, print_data, screen, show};
use crate::report::{Files, to_json, years_csv, years_text};
use crate::study::years;

pub(super) fn run(options: &YearsOptions) -> Result<(), CliError> {
    let asked = options.spread.checked()?;
    let voyage = open_voyage(&options.voyage, None)?;
    let climate = voyage.open_climate()?;
    let years = years(&voyage, &climate, &voyage.open_years()?, &asked)?;
    warn_of_land(&years, &options.land)?;
    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, years_csv(&years));
    }
    deliver(files, || {
        if options.json {
            print_data(&to_json(&years))
        } else {
            show(&years_text(&years, screen()))
        }
    })
}
