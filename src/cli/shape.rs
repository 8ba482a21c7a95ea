//! `offing shape`: the fastest course under the crew's own limits, beside the routes drawn.

use super::shape_options::{HardshipKind, LimitOptions, ShapeOptions};
use super::study::{Walked, open_voyage};
use super::typed::typed_command;
use super::{CliError, print};
use crate::climate::Climate;
use crate::passage::Walk;
use crate::report::{
    Files, LimitCost, Page, ShapedStudy, Subject, TradeOff, comparison_csv, html_page, shaped_json,
    shaped_text, trade_off_csv,
};
use crate::route::{Land, Route, gpx_text};
use crate::shaping::{
    Hardship, KeepOut, Limits, Shaped, Shaper, ShapingError, Task, corners_of, ranges,
    search_region,
};
use crate::units::Range;
use crate::voyage::Voyage;

/// Room about the waters searched for which climate is kept, in degrees, so that the nodes beside
/// their edge are there.
const CLIMATE_ROOM_DEG: f64 = 5.0;

pub(super) fn run(options: &ShapeOptions) -> Result<(), CliError> {
    let spread = options.spread.checked()?;
    let limits = options.limits.checked()?;
    in_range("--grid", &Task::GRID_DEG, options.grid)?;
    let mut voyage = open_voyage(&options.voyage, None)?;
    let first = voyage.routes[0].waypoints();
    let ends = [&first[0], &first[first.len() - 1]].map(|end| (end.name.clone(), end.position));
    let [from, to] = [
        (options.from, "Start", &ends[0]),
        (options.to, "End", &ends[1]),
    ]
    .map(|(asked, name, end)| asked.map_or(end.clone(), |place| (name.to_owned(), place)));

    let same_ends = |route: &Route| {
        let waypoints = route.waypoints();
        waypoints[0].position == from.1 && waypoints[waypoints.len() - 1].position == to.1
    };
    if options.from.is_some() || options.to.is_some() {
        // Routes between other ends are no comparison.
        voyage.routes.retain(same_ends);
        voyage.name = format!("{} to {}", from.1, to.1);
    }

    let region = search_region(from.1, to.1, &voyage.routes);
    let climate = voyage.open_climate_of(&region.widened(CLIMATE_ROOM_DEG));
    let climate = climate?;
    let shaper = Shaper::new(Task {
        winds: &climate,
        shore: Land::natural_earth(),
        boat: &voyage.boat,
        departure: voyage.departure,
        from: from.1,
        to: to.1,
        drawn: voyage
            .routes
            .iter()
            .filter(|route| same_ends(route))
            .map(corners_of)
            .collect(),
        sampling: voyage.step,
        region,
        grid_deg: options.grid,
    })?;
    let ends = [from.0.as_str(), to.0.as_str()];
    let trade_off = match options.tradeoff {
        None => None,
        Some(kind) => Some(Choice::new(
            &shaper,
            &limits,
            kind.into(),
            &voyage,
            &climate,
            ends,
        )?),
    };
    // The courses of a trade-off may be faster than the one found without it.
    let first = trade_off.as_ref().and_then(|choice| choice.courses.first());
    let shaped = match first {
        Some(first) => first.clone(),
        None => shaper.fastest(&limits)?,
    };
    let limit_costs = limit_costs(&shaper, &limits, &shaped)?;
    drop(shaper);

    let name = unused_name(&voyage);
    let route = shaped.route(&name, ends).map_err(ShapingError::from)?;
    voyage.routes.push(route);
    let walked = Walked::walk(voyage, climate, spread, &options.land)?;
    let report = ShapedStudy {
        study: walked.study(),
        shaped: &shaped,
        limits: &limits,
        limit_costs: &limit_costs,
        trade_off: trade_off.as_ref().map(Choice::shown),
    };
    let mut read = report.study.voyage.files.clone();
    read.extend(options.limits.keep_out.clone());
    let mut files = Files::beside_read(&read);
    if let Some(file) = &options.csv {
        let rows = match &report.trade_off {
            Some(trade_off) => trade_off_csv(trade_off),
            None => comparison_csv(&report.study),
        };
        files.add(file, rows);
    }
    if let Some(file) = &options.gpx {
        let course = report.study.voyage.routes.last();
        files.add(file, gpx_text(course.map_or(&[], std::slice::from_ref)));
    }
    if let Some(file) = &options.html {
        let winds = walked.winds_around();
        let page = Page {
            subject: Subject::Shaping(report),
            winds: winds.as_ref(),
            season: None,
            command: &typed_command(),
        };
        files.add(file, html_page(&page));
    }
    files.write()?;
    print(&if options.json {
        shaped_json(&report)
    } else {
        shaped_text(&report)
    })
}

/// The courses of a trade-off, walked, owned.
struct Choice {
    hardship: Hardship,
    courses: Vec<Shaped>,
    routes: Vec<Route>,
    walks: Vec<Walk>,
}

impl Choice {
    fn new(
        shaper: &Shaper<'_>,
        limits: &Limits,
        hardship: Hardship,
        voyage: &Voyage,
        climate: &Climate,
        ends: [&str; 2],
    ) -> Result<Self, CliError> {
        let courses = shaper.trade_off(limits, hardship)?;
        // Not as the waypoints of the course shaped are named, after it.
        let routes: Vec<Route> = courses
            .iter()
            .enumerate()
            .map(|(index, course)| course.route(&format!("Course {}", index + 1), ends))
            .collect::<Result<_, _>>()
            .map_err(ShapingError::from)?;
        let walks = routes
            .iter()
            .map(|route| voyage.walk(route, climate))
            .collect::<Result<_, _>>()?;
        Ok(Self {
            hardship,
            courses,
            routes,
            walks,
        })
    }

    fn shown(&self) -> TradeOff<'_> {
        TradeOff {
            hardship: self.hardship,
            courses: &self.courses,
            routes: &self.routes,
            walks: &self.walks,
        }
    }
}

/// How much faster the course would be without each limit.
fn limit_costs(
    shaper: &Shaper<'_>,
    limits: &Limits,
    shaped: &Shaped,
) -> Result<Vec<LimitCost>, CliError> {
    let set = limits.in_force().into_iter();
    set.map(|limit| {
        let without = shaper.fastest(&limits.without(limit))?;
        Ok(LimitCost {
            limit,
            days: shaped.days - without.days,
        })
    })
    .collect()
}

/// A name for the shaped course that no route of the voyage has.
fn unused_name(voyage: &Voyage) -> String {
    const NAME: &str = "Shaped";
    let taken = |name: &str| voyage.routes.iter().any(|route| route.name() == name);
    let numbered = (2..).map(|number| format!("{NAME} course {number}"));
    std::iter::once(NAME.to_owned())
        .chain(numbered)
        .find(|name| !taken(name))
        .unwrap_or_default()
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
            avoid_cyclones: self.avoid_cyclones,
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
