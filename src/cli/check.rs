//! `offing check`: is a voyage file sound, with the boat and the winds it names?

use super::arguments::CheckOptions;
use super::land::look_out;
use super::{CliError, print};
use crate::report::{soundness_json, soundness_text};
use crate::voyage::Voyage;

pub(super) fn run(options: &CheckOptions) -> Result<(), CliError> {
    let voyage = Voyage::read(&options.voyage)?;
    let land = look_out(&voyage.routes, &options.land)?;
    let climate = voyage.open_climate()?;
    print(&if options.json {
        soundness_json(&voyage, &climate, &land)
    } else {
        soundness_text(&voyage, &climate, &land)
    })
}
