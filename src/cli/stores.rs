//! `offing stores`: what each route asks to be loaded.

use super::arguments::StoresOptions;
use super::voyage::{open_voyage, warn_of_land};
use super::{CliError, deliver, print_data, show};
use crate::report::{Files, loading_csv, loading_summary, loading_text, to_json};
use crate::study::stores;

pub(super) fn run(options: &StoresOptions) -> Result<(), CliError> {
    let asked = options.spread.checked()?;
    let mut voyage = open_voyage(&options.voyage, options.route.as_deref())?;
    if let Some(percent) = options.confidence {
        voyage
            .provide_for(percent)
            .map_err(CliError::option("--confidence"))?;
    }
    let loading = stores(&voyage, &voyage.open_climate()?, &asked)?;
    warn_of_land(&loading, &options.land)?;
    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, loading_csv(&loading));
    }
    deliver(files, || {
        if options.json {
            print_data(&to_json(&loading))
        } else if options.full {
            show(&loading_text(&loading))
        } else {
            show(&loading_summary(&loading))
        }
    })
}
