//! `offing check`: whether a voyage file can be used, with the boat and the winds it names.

use super::arguments::CheckOptions;
use super::voyage::{read_voyage, warn_of_land};
use super::{CliError, print_data, show};
use crate::report::{check_text, to_json};
use crate::study::check;

pub(super) fn run(options: &CheckOptions) -> Result<(), CliError> {
    let voyage = read_voyage(Some(&options.voyage))?;
    let checked = check(&voyage, &voyage.open_climate()?);
    warn_of_land(&checked, &options.land)?;
    if options.json {
        print_data(&to_json(&checked))
    } else {
        show(&check_text(&checked))
    }
}
