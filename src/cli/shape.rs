//! `offing shape`: the fastest course under the crew's own limits, beside the routes drawn.

use super::shape_options::{HardshipKind, LimitOptions, ShapeOptions};
use super::typed::typed_command;
use super::voyage::{open_voyage, warn_of_land, winds_around};
use super::{CliError, deliver, print_data, screen, show};
use crate::passage::LayOff;
use crate::report::{
    Files, Page, Subject, comparison_csv, html_page, shaped_summary, shaped_text, to_json,
    trade_off_csv,
};
use crate::route::gpx_text;
use crate::shaping::{Hardship, KeepOut, Limits, ShapingError, Task, ranges};
use crate::study::{self, Shaping, TradeOffCourse, laid_off, shape};
use crate::units::Range;
use crate::voyage::route_toml;

pub(super) fn run(options: &ShapeOptions) -> Result<(), CliError> {
    let asked = options.spread.checked()?;
    in_range("--grid", &Task::GRID_DEG, options.grid)?;
    let course = study::ShapeOptions {
        from: options.from,
        to: options.to,
        limits: options.limits.checked()?,
        trade_off: options.tradeoff.map(Hardship::from),
        grid_deg: options.grid,
    };
    let voyage = open_voyage(&options.voyage, None)?;
    let shaping = shape(&voyage, &asked, &course)?;
    let picked = options
        .pick
        .map(|number| pick(&shaping, number))
        .transpose()?;
    let course = match picked {
        Some(course) => Some(&course.route),
        None => {
            let found = shaping.comparison.route(&shaping.shaped.route);
            found.map(|found| &found.route)
        }
    };
    warn_of_land(&shaping.comparison, &options.land)?;

    let mut read = voyage.files.clone();
    read.extend(options.limits.keep_out.clone());
    let mut files = Files::beside_read(&read);
    if let Some(file) = &options.csv {
        let rows = match (&shaping.trade_off, picked) {
            (_, Some(course)) => trade_off_csv(std::slice::from_ref(course)),
            (Some(trade_off), None) => trade_off_csv(&trade_off.courses),
            (None, None) => comparison_csv(&shaping.comparison),
        };
        files.add(file, rows);
    }
    if let (Some(file), Some(course)) = (&options.gpx, course) {
        files.add(file, gpx_text(std::slice::from_ref(course)));
    }
    if let (Some(file), Some(course)) = (&options.toml, course) {
        files.add(file, route_toml(course));
    }
    if let Some(file) = &options.html {
        let routes = shaping.comparison.routes.iter();
        let mut sailed = voyage.clone();
        sailed.routes = routes.map(|route| route.route.clone()).collect();
        let page = Page {
            subject: Subject::Shaping(&shaping),
            winds: &winds_around(&sailed)?,
            season: None,
            years: None,
            by_day: &laid_off(&sailed, &shaping.comparison, LayOff::Day)?,
            command: &typed_command(),
        };
        files.add(file, html_page(&page));
    }
    deliver(files, || {
        if options.json {
            print_data(&to_json(&shaping))
        } else if options.full {
            show(&shaped_text(&shaping, screen()))
        } else {
            show(&shaped_summary(&shaping))
        }
    })
}

/// The course of the trade-off with a number.
fn pick(shaping: &Shaping, number: usize) -> Result<&TradeOffCourse, CliError> {
    let courses = shaping.trade_off.iter().flat_map(|choice| &choice.courses);
    let last = courses.clone().count();
    courses
        .into_iter()
        .find(|course| course.number == number)
        .ok_or(CliError::NoSuchCourse {
            found: number,
            last,
        })
}

fn in_range(option: &'static str, range: &Range, value: f64) -> Result<f64, CliError> {
    range.check(value).map_err(CliError::option(option))
}

impl LimitOptions {
    /// The limits, each within its range.
    fn checked(&self) -> Result<Limits, CliError> {
        let within = |option, range, value: Option<f64>| {
            value
                .map(|value| in_range(option, range, value))
                .transpose()
        };
        let share = |option, percent| {
            let percent = within(option, &ranges::PER_CENT, percent)?;
            Ok::<_, CliError>(percent.map(|percent| percent / 100.0))
        };
        let latitude = |option, value| within(option, &ranges::LATITUDE_DEG, value);
        let keep_out = self.keep_out.as_deref().map(KeepOut::read).transpose();
        let limits = Limits {
            southernmost_deg: latitude("--not-south-of", self.not_south_of)?,
            northernmost_deg: latitude("--not-north-of", self.not_north_of)?,
            most_headwind: share("--max-headwind", self.max_headwind)?,
            most_hard_beat: share("--max-hard-beat", self.max_hard_beat)?,
            most_gale: share("--max-gale", self.max_gale)?,
            coldest_air_c: within("--min-air", &ranges::AIR_C, self.min_air)?,
            off_land_nm: within("--off-land", &ranges::OFF_LAND_NM, self.off_land)?,
            keep_out: keep_out.map_err(ShapingError::from)?.unwrap_or_default(),
            most_storm_chance: within(
                "--max-storm-chance",
                &ranges::STORM_PER_CENT,
                self.avoid_cyclones.then_some(self.max_storm_chance),
            )?
            .map(|percent| percent / 100.0),
        };
        limits.check()?;
        Ok(limits)
    }
}

impl From<HardshipKind> for Hardship {
    fn from(kind: HardshipKind) -> Self {
        match kind {
            HardshipKind::Headwind => Self::Headwind,
            HardshipKind::HardBeat => Self::HardBeat,
            HardshipKind::LightAir => Self::LightAir,
            HardshipKind::StrongWind => Self::Strong,
            HardshipKind::Gale => Self::Gale,
            HardshipKind::Engine => Self::Engine,
        }
    }
}
