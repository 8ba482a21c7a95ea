//! `offing season`: when to leave.

use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::arguments::SeasonOptions;
use super::voyage::{open_voyage, warn_of_land};
use super::{CliError, deliver, print_data, screen, show};
use crate::passage::SEASON_EVERY_DAYS;
use crate::report::{Files, season_csv, season_summary, season_text, to_json};
use crate::shaping::ranges;
use crate::study::{self, season};

/// A bar appears where the work takes longer than this.
const BAR_AFTER: Duration = Duration::from_secs(1);

pub(super) fn run(options: &SeasonOptions) -> Result<(), CliError> {
    SEASON_EVERY_DAYS
        .check(f64::from(options.every))
        .map_err(CliError::option("--every"))?;
    let percent = ranges::STORM_PER_CENT
        .check(options.max_storm_chance)
        .map_err(CliError::option("--max-storm-chance"))?;
    let asked = options.spread.checked()?;
    let mut voyage = open_voyage(&options.voyage, None)?;
    if let Some(new_year) = options.year {
        voyage
            .leave_on(new_year)
            .map_err(CliError::option("--year"))?;
        voyage.check_dates()?;
    }
    let climate = voyage.open_climate()?;

    let departures = study::SeasonOptions {
        every_days: options.every,
        most_storm_chance: percent / 100.0,
    };
    let count = departures.dates(&voyage).count();
    let bar = ProgressBar::with_draw_target(Some(count as u64), ProgressDrawTarget::hidden())
        .with_style(
            ProgressStyle::with_template("Departures {pos} of {len} {wide_bar} {eta} left")
                .unwrap_or_else(|_| ProgressStyle::default_bar()),
        );
    let started = Instant::now();
    let season = season(&voyage, &climate, &asked, departures, || {
        if bar.is_hidden() && started.elapsed() > BAR_AFTER {
            // Drawn only where standard error is a terminal.
            bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        bar.inc(1);
    })?;
    bar.finish_and_clear();
    warn_of_land(&season, &options.land)?;

    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, season_csv(&season));
    }
    deliver(files, || {
        if options.json {
            print_data(&to_json(&season))
        } else if options.full {
            show(&season_text(&season))
        } else {
            show(&season_summary(&season, screen()))
        }
    })
}
