//! `offing winds`: a climate of one's own, measured from files of real winds.

use std::path::Path;
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::arguments::WindsOptions;
use super::deliver::no_drafts;
use super::guarded::{self, Filled, Watch};
use super::typed::typed_command;
use super::voyage::read_voyage;
use super::{CliError, print, print_data};
use crate::climate::{Region, SourceOptions, Unfinished, WindSeries, measure_winds};
use crate::report::{Files, measured_text, to_json};

/// A bar appears where the work takes longer than this.
const BAR_AFTER: Duration = Duration::from_secs(1);

pub(super) fn run(options: &WindsOptions) -> Result<(), CliError> {
    let mut read = options.files.clone();
    let source = match &options.voyage {
        Some(file) => {
            let voyage = read_voyage(Some(file))?;
            read.extend(voyage.files);
            voyage.climate.options
        }
        None => Default::default(),
    };
    if let Some(draft) = guarded::draft_to_fill() {
        return measure(options, source, &draft);
    }
    let drafts = no_drafts();
    let draft = Files::beside_read(&read).reserve(&options.out, &drafts)?;
    match guarded::fill(&draft).inspect_err(|_| drafts.discard())? {
        Filled::Whole => {
            drafts.put()?;
            let unfinished = Unfinished::beside(&options.out);
            unfinished.remove().map_err(CliError::NotRemoved)
        }
        Filled::Refused(code) => {
            drafts.discard();
            std::process::exit(code)
        }
    }
}

/// Measures the winds of the files into a draft, and prints what they are.
fn measure(options: &WindsOptions, source: SourceOptions, draft: &Path) -> Result<(), CliError> {
    let series = WindSeries {
        files: options.files.clone(),
        options: source,
        area: options.area.unwrap_or(Region::world()),
        years: options.years,
        command: typed_command().join(" "),
        unfinished: Unfinished::beside(&options.out),
    };
    let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden()).with_style(
        ProgressStyle::with_template("Steps {human_pos} of {human_len} {wide_bar} {eta} left")
            .unwrap_or_else(|_| ProgressStyle::default_bar()),
    );
    let started = Instant::now();
    let watch = Watch::new();
    let name = options.out.display().to_string();
    let winds = measure_winds(&series, draft, &name, &mut |progress| {
        watch.heard();
        if bar.is_hidden() && started.elapsed() > BAR_AFTER {
            // Drawn only where standard error is a terminal.
            bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        bar.set_length(progress.of as u64);
        bar.set_position(progress.read as u64);
    });
    bar.finish_and_clear();
    let winds = winds.map_err(Box::new)?;
    if options.json {
        print_data(&to_json(&winds))
    } else {
        print(&measured_text(&winds))
    }
}
