//! `offing season`: when to leave.

use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::arguments::SeasonOptions;
use super::land::look_out;
use super::study::open_voyage;
use super::{CliError, print};
use crate::passage::{EnsembleOptions, SEASON_EVERY_DAYS, season, season_length};
use crate::report::{Files, Year, season_csv, season_json, season_text};

/// Work is done in silence for so long before a bar appears.
const PATIENCE: Duration = Duration::from_secs(1);

pub(super) fn run(options: &SeasonOptions) -> Result<(), CliError> {
    SEASON_EVERY_DAYS
        .check(f64::from(options.every))
        .map_err(CliError::option("--every"))?;
    let spread: EnsembleOptions = options.spread.checked()?;
    let voyage = open_voyage(&options.voyage, None)?;
    let land = look_out(&voyage.routes, &options.land)?;
    let climate = voyage.open_climate()?;

    let count = season_length(voyage.departure.year(), options.every);
    let bar = ProgressBar::with_draw_target(Some(count as u64), ProgressDrawTarget::hidden())
        .with_style(
            ProgressStyle::with_template("Departures {pos} of {len} {wide_bar} {eta} left")
                .unwrap_or_else(|_| ProgressStyle::default_bar()),
        );
    let started = Instant::now();
    let departures = season(
        &voyage.boat,
        &voyage.routes,
        &climate,
        voyage.departure.year(),
        spread,
        options.every,
        || {
            if bar.is_hidden() && started.elapsed() > PATIENCE {
                // Drawn only where standard error is a terminal.
                bar.set_draw_target(ProgressDrawTarget::stderr());
            }
            bar.inc(1);
        },
    )?;
    bar.finish_and_clear();

    let year = Year {
        voyage: &voyage,
        climate: &climate,
        land: &land,
        departures: &departures,
    };
    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, season_csv(&year));
    }
    files.write()?;
    print(&if options.json {
        season_json(&year)
    } else {
        season_text(&year)
    })
}
