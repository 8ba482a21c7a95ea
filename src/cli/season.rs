//! `offing season`: when to leave; for a voyage with stages when and by which way on each.

use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::arguments::SeasonOptions;
use super::typed::typed_command;
use super::voyage::{open_year, warn_of_land};
use super::{CliError, deliver, print_data, screen, show};
use crate::passage::SEASON_EVERY_DAYS;
use crate::report::{
    Files, PlanPage, plan_csv, plan_page, plan_summary, plan_text, season_csv, season_summary,
    season_text, to_json,
};
use crate::shaping::ranges;
use crate::study::{self, Options, PLAN_MONTHS, PlanOptions, season, year_plan};
use crate::voyage::Voyage;

/// A bar appears where the work takes longer than this.
const BAR_AFTER: Duration = Duration::from_secs(1);

pub(super) fn run(options: &SeasonOptions) -> Result<(), CliError> {
    SEASON_EVERY_DAYS
        .check(f64::from(options.every))
        .map_err(CliError::option("--every"))?;
    let percent = ranges::STORM_PER_CENT
        .check(options.max_storm_chance)
        .map_err(CliError::option("--max-storm-chance"))?;
    if let Some(months) = options.months {
        PLAN_MONTHS
            .check(f64::from(months))
            .map_err(CliError::option("--months"))?;
    }
    let asked = options.spread.checked()?;
    let mut voyage = open_year(&options.voyage, None)?;
    if let Some(new_year) = options.year {
        voyage
            .leave_on(new_year)
            .map_err(CliError::option("--year"))?;
        voyage.check_dates()?;
    }
    let most_storm_chance = percent / 100.0;
    if voyage.has_stages() {
        return plan(options, &asked, &voyage, most_storm_chance);
    }
    let of_stages = [
        ("--months", options.months.is_some()),
        ("--html", options.html.is_some()),
    ];
    if let Some((option, _)) = of_stages.into_iter().find(|(_, given)| *given) {
        return Err(CliError::OfStages { option });
    }
    let climate = voyage.open_climate()?;

    let departures = study::SeasonOptions {
        every_days: options.every,
        most_storm_chance,
    };
    let progress = Progress::of(departures.dates(&voyage).count());
    let season = season(&voyage, &climate, &asked, departures, || progress.step())?;
    progress.bar.finish_and_clear();
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

/// The plan of a year.
fn plan(
    options: &SeasonOptions,
    asked: &Options,
    voyage: &Voyage,
    most_storm_chance: f64,
) -> Result<(), CliError> {
    let climate = voyage.open_climate()?;
    let usual = PlanOptions::default();
    let departures = PlanOptions {
        every_days: options.every,
        months: options.months.unwrap_or(usual.months),
        most_storm_chance,
    };
    let progress = Progress::of(departures.count(voyage));
    let plan = year_plan(voyage, &climate, asked, departures, || progress.step())?;
    progress.bar.finish_and_clear();
    warn_of_land(&plan, &options.land)?;

    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, plan_csv(&plan));
    }
    if let Some(file) = &options.html {
        let page = PlanPage {
            plan: &plan,
            command: &typed_command(),
        };
        files.add(file, plan_page(&page));
    }
    deliver(files, || {
        if options.json {
            print_data(&to_json(&plan))
        } else if options.full {
            show(&plan_text(&plan))
        } else {
            show(&plan_summary(&plan))
        }
    })
}

/// A bar that is drawn only where the work takes long and standard error is a terminal.
struct Progress {
    bar: ProgressBar,
    started: Instant,
}

impl Progress {
    fn of(count: usize) -> Self {
        let bar = ProgressBar::with_draw_target(Some(count as u64), ProgressDrawTarget::hidden());
        let style = ProgressStyle::with_template("Departures {pos} of {len} {wide_bar} {eta} left");
        Self {
            bar: bar.with_style(style.unwrap_or_else(|_| ProgressStyle::default_bar())),
            started: Instant::now(),
        }
    }

    fn step(&self) {
        if self.bar.is_hidden() && self.started.elapsed() > BAR_AFTER {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        self.bar.inc(1);
    }
}
