//! The page: every part worked out, then laid out by the template.

use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{Environment, UndefinedBehavior, Value};
use serde::Serialize;

use super::frame::{mark, route_class};
use super::origins::{Origin, origins};
use super::shaping::Shaping;
use super::svg::{Drawing, Path};
use super::tables::{Group, Legs, blocks, comparison, legs, loading};
use super::{answer, exposure, map, season, spread};
use crate::climate::{Climate, Month, SeasonDay};
use crate::passage::{Departure, PassageError};
use crate::report::Study;
use crate::report::cautions::CAUTIONS;
use crate::report::comparison::{engine_words, figures_note, spread_note};
use crate::report::land_warnings;
use crate::report::legs::legs_key;
use crate::report::loading::caution;
use crate::report::notes::notes;
use crate::report::season::window_sentence;
use crate::report::sentences::{cyclone_warnings, sentences};
use crate::report::shaped::ShapedStudy;
use crate::report::wording::{date, grouped};

const TEMPLATE: &str = include_str!("page.html");
const STYLE: &str = include_str!("style.css");

/// What a page is about.
#[derive(Debug, Clone, Copy)]
pub enum Subject<'a> {
    /// A voyage's routes side by side.
    Comparison(Study<'a>),
    /// A shaped course beside the routes drawn.
    Shaping(ShapedStudy<'a>),
}

impl<'a> Subject<'a> {
    fn study(&self) -> &Study<'a> {
        match self {
            Self::Comparison(study) => study,
            Self::Shaping(shaped) => &shaped.study,
        }
    }
}

/// What a page shows.
#[derive(Debug, Clone, Copy)]
pub struct Page<'a> {
    /// The voyage and what came of it.
    pub subject: Subject<'a>,
    /// Winds of the sea around the routes, for the map; without them those of the study, which may
    /// end close beside the routes.
    pub winds: Option<&'a Climate>,
    /// Departures through the year, if the page is to show them, or why there are none: a gap in the
    /// winds that the voyage's own departure does not meet.
    pub season: Option<Result<&'a [Departure], &'a PassageError>>,
    /// The command that made the page, word by word, as it is typed.
    pub command: &'a [String],
}

/// All the template asks for. Pictures and the style sheet are markup; all else is escaped.
#[derive(Serialize)]
struct Context<'a> {
    style: Value,
    title: String,
    question: String,
    answer: String,
    shaping: Option<Shaping>,
    facts: Vec<(&'static str, String)>,
    routes: Vec<Key>,
    /// From which route to before which each table that shows them side by side goes.
    blocks: Vec<[usize; 2]>,
    comparison: Vec<Group>,
    sentences: Vec<String>,
    spread_note: String,
    figures_note: String,
    map: Value,
    map_month: &'static str,
    spread: Value,
    exposure: Value,
    season: Option<Value>,
    /// How many passages stand behind each departure of the season.
    season_members: Option<String>,
    no_season: Option<String>,
    windows: Vec<String>,
    loading: Option<Vec<Group>>,
    loading_cautions: Vec<String>,
    legs: Vec<Legs>,
    legs_key: String,
    warnings: Vec<String>,
    cyclone_warnings: Vec<String>,
    notes: Vec<String>,
    cautions: [&'static str; CAUTIONS.len()],
    origins: Vec<Origin>,
    command: &'a [String],
    version: &'static str,
}

/// A route's name and how its line looks.
#[derive(Serialize)]
struct Key {
    name: String,
    sample: Value,
}

/// The page as HTML.
pub fn html_page(page: &Page<'_>) -> String {
    let Page { winds, command, .. } = page;
    let study = page.subject.study();
    let (departures, no_season) = match page.season {
        Some(Ok(departures)) => (Some(departures), None),
        Some(Err(error)) => (None, Some(error.to_string())),
        None => (None, None),
    };
    let (question, answer, shaping) = match &page.subject {
        Subject::Comparison(study) => (answer::question(study), answer::answer(study), None),
        Subject::Shaping(shaped) => (
            answer::shaping_question(shaped),
            answer::shaping_answer(shaped),
            Some(Shaping::of(shaped)),
        ),
    };
    let voyage = study.voyage;
    let month = middle_month(study);
    let windows = departures.map_or(Vec::new(), |departures| {
        let routes = voyage.routes.iter().enumerate();
        routes
            .map(|(index, route)| window_sentence(departures, index, route.name()))
            .collect()
    });
    let context = Context {
        style: Value::from_safe_string(STYLE.to_owned()),
        title: format!("{}: {}", voyage.name, date(voyage.departure)),
        question,
        answer,
        shaping,
        facts: facts(study),
        routes: keys(study),
        blocks: blocks(voyage.routes.len()),
        comparison: comparison(study),
        sentences: sentences(study),
        spread_note: study.ensembles.first().map(spread_note).unwrap_or_default(),
        figures_note: figures_note(study),
        map: Value::from_safe_string(map::map(study, winds.unwrap_or(study.climate), month)),
        map_month: month.name(),
        spread: Value::from_safe_string(spread::spread(study)),
        exposure: Value::from_safe_string(exposure::exposure(study)),
        season_members: departures
            .and_then(|departures| departures.first()?.routes.first())
            .map(|passage| grouped(passage.ensemble.members as f64)),
        season: departures
            .map(|departures| Value::from_safe_string(season::season(study, departures))),
        no_season,
        windows,
        loading: loading(study),
        loading_cautions: loading_cautions(study),
        legs: legs(study),
        legs_key: legs_key(study),
        warnings: land_warnings(&voyage.routes, study.land),
        cyclone_warnings: cyclone_warnings(study),
        notes: notes(voyage, study.climate, study.land),
        cautions: CAUTIONS,
        origins: origins(study),
        command,
        version: env!("CARGO_PKG_VERSION"),
    };
    let mut templates = Environment::new();
    let syntax = SyntaxConfig::builder()
        .trim_blocks(true)
        .lstrip_blocks(true)
        .build()
        .expect("the usual syntax");
    templates.set_syntax(syntax);
    templates.set_undefined_behavior(UndefinedBehavior::Strict);
    templates
        .add_template("page.html", TEMPLATE)
        .and_then(|()| {
            let template = templates.get_template("page.html")?;
            template.render(Serde(&context))
        })
        .expect("a test renders the template with every part there and with none")
}

/// The month in which the quickest passage is half over, or the month of departure.
fn middle_month(study: &Study<'_>) -> Month {
    let medians = study
        .ensembles
        .iter()
        .filter_map(|spread| spread.days_at(0.5));
    let half_hours = medians.min_by(f64::total_cmp).unwrap_or(0.0) * 12.0;
    SeasonDay::from_date(study.voyage.departure)
        .plus_hours(half_hours)
        .month()
}

/// What was compared, line by line.
fn facts(study: &Study<'_>) -> Vec<(&'static str, String)> {
    let voyage = study.voyage;
    let boat = voyage.boat_name.as_deref().unwrap_or("not named");
    vec![
        ("Departure", date(voyage.departure)),
        ("Boat", boat.to_owned()),
        ("Polar", format!("× {}", voyage.boat.factor())),
        ("Engine", engine_words(voyage)),
        ("Winds", study.climate.label().to_owned()),
    ]
}

/// Each route's line, for the key.
fn keys(study: &Study<'_>) -> Vec<Key> {
    let routes = study.voyage.routes.iter().enumerate();
    routes
        .map(|(index, route)| {
            let mut sample = Drawing::new(44.0, 14.0);
            let line = Path::open(&[[1.0, 7.0], [43.0, 7.0]]);
            sample.path(&format!("line {}", route_class(index)), &line);
            sample.path(
                &format!("mark m{}", index % 4),
                &mark(index, [22.0, 7.0], 4.5),
            );
            Key {
                name: route.name().to_owned(),
                sample: Value::from_safe_string(sample.finish_plain("sample")),
            }
        })
        .collect()
}

/// What the loading lists warn of, each with the routes it is about where that is not all of them.
fn loading_cautions(study: &Study<'_>) -> Vec<String> {
    let mut found: Vec<(String, Vec<&str>)> = Vec::new();
    let plans = study.loading.unwrap_or_default();
    for plan in plans.iter().filter_map(|plan| plan.planned()) {
        for text in plan
            .cautions
            .iter()
            .map(|said| caution(said, study.voyage.output))
        {
            match found.iter_mut().find(|(other, _)| *other == text) {
                Some((_, routes)) => routes.push(&plan.route),
                None => found.push((text, vec![&plan.route])),
            }
        }
    }
    found
        .into_iter()
        .map(|(text, routes)| {
            if routes.len() == plans.len() {
                text
            } else {
                format!("{}: {text}", routes.join(", "))
            }
        })
        .collect()
}

#[cfg(test)]
#[path = "page_tests.rs"]
mod tests;
