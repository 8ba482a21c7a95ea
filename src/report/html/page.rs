//! The page: every part worked out, then laid out by the template.

use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{Environment, UndefinedBehavior, Value};
use serde::Serialize;

use super::key::{Key, route_keys};
use super::sea_winds::{mark_keys, shade_keys};
use super::shaping::ShapingParts;
use super::tables::{
    Group, Legs, Table, blocks, comparison, deciding, legs, loading, places, stages,
};
use super::years::YearsParts;
use super::{answer, curves, map, spread, swings};
use crate::climate::{Climate, Month, SeasonDay};
use crate::passage::LayOff;
use crate::report::cautions::voyage_cautions;
use crate::report::compare::{figures_note, spread_note};
use crate::report::laid_off::pieces_key;
use crate::report::land_warnings;
use crate::report::legs::legs_key;
use crate::report::loading::caution;
use crate::report::notes::{AboutRoutes, engine_words};
use crate::report::season::window_sentence;
use crate::report::sentences::{beside_verdict, storm_warnings};
use crate::report::shaped::capital;
use crate::report::swings::Swung;
use crate::report::wording::{date, grouped};
use crate::stores::RoutePlan;
use crate::study::{AboutVoyage, Comparison, LaidOffRoute, RealYears, Season, Shaping, StudyError};
use crate::text::visible;

const TEMPLATE: &str = include_str!("page.html");
pub(super) const STYLE: &str = include_str!("style.css");

/// What a page is about.
#[derive(Debug, Clone, Copy)]
pub enum Subject<'a> {
    /// A voyage's routes side by side.
    Comparison(&'a Comparison),
    /// A shaped course beside the routes drawn.
    Shaping(&'a Shaping),
}

/// What a page shows.
#[derive(Debug, Clone, Copy)]
pub struct Page<'a> {
    /// What came of the voyage.
    pub subject: Subject<'a>,
    /// Winds of the sea around the routes, for the map.
    pub winds: &'a Climate,
    /// Departures through the year, if the page is to show them, or why there are none: a gap in the
    /// winds that the voyage's own departure does not meet.
    pub season: Option<Result<&'a Season, &'a StudyError>>,
    /// The voyage in each real year of its winds, if the page is to show it.
    pub years: Option<&'a RealYears>,
    /// The routes' median passages noon by noon; a route may be left out.
    pub by_day: &'a [LaidOffRoute],
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
    shaping: Option<ShapingParts>,
    facts: Vec<(&'static str, String)>,
    routes: Vec<Key>,
    /// From which route to before which each table that shows them side by side goes.
    blocks: Vec<[usize; 2]>,
    deciding: Vec<Group>,
    comparison: Vec<Group>,
    /// How many figures that is.
    comparison_rows: usize,
    sentences: Vec<String>,
    spread_note: String,
    figures_note: String,
    map: Value,
    map_month: &'static str,
    shades: Vec<Key>,
    marks: Vec<Key>,
    spread: Value,
    swings: Value,
    swings_measure: Option<String>,
    exposure: Value,
    season: Option<Value>,
    /// How many passages stand behind each departure of the season.
    season_members: Option<String>,
    /// How many departures there are, and how many days apart.
    season_departures: Option<usize>,
    season_every_days: Option<i32>,
    no_season: Option<String>,
    windows: Vec<String>,
    years: Option<YearsParts>,
    loading: Option<Group>,
    loading_cautions: Vec<String>,
    /// What to load where, and what it costs.
    places: Vec<Table>,
    places_said: Vec<String>,
    /// The stages of the routes with stops, and the deadlines.
    stages: Vec<Table>,
    legs: Vec<Legs>,
    legs_key: String,
    days_key: String,
    warnings: Vec<String>,
    storm_warnings: Vec<String>,
    notes: Vec<String>,
    cautions: Vec<&'static str>,
    origins: Vec<Origin>,
    command: &'a [String],
    version: &'static str,
}

/// Where a dataset behind a page comes from, and under which licence.
#[derive(Serialize)]
pub(super) struct Origin {
    what: &'static str,
    origin: String,
    licence: &'static str,
}

/// The page as HTML.
pub fn html_page(page: &Page<'_>) -> String {
    let Page { winds, command, .. } = page;
    let (result, question, answer, sentences, shaping) = match page.subject {
        Subject::Comparison(result) => (
            result,
            answer::question(result),
            answer::answer(result),
            beside_verdict(result),
            None,
        ),
        Subject::Shaping(shaping) => (
            &shaping.comparison,
            answer::shaping_question(shaping),
            answer::shaping_answer(shaping),
            answer::beside_shaping_answer(shaping),
            Some(ShapingParts::of(shaping)),
        ),
    };
    let (season, no_season) = match page.season {
        Some(Ok(season)) => (Some(season), None),
        Some(Err(error)) => (None, Some(error.to_string())),
        None => (None, None),
    };
    let voyage = &result.voyage;
    let month = middle_month(result);
    let comparison = comparison(result);
    let (places, places_said) = places(result);
    let context = Context {
        style: Value::from_safe_string(STYLE.to_owned()),
        title: format!("{}: {}", voyage.name, date(voyage.departure)),
        question,
        answer,
        shaping,
        facts: facts(voyage),
        routes: route_keys(&result.routes),
        blocks: blocks(result.routes.len()),
        deciding: deciding(result),
        comparison_rows: comparison.iter().map(Group::rows).sum(),
        comparison,
        sentences,
        spread_note: spread_note(&result.simulated, &result.voyage.winds),
        figures_note: figures_note(result),
        map: Value::from_safe_string(map::map(result, winds, month)),
        map_month: month.name(),
        shades: shade_keys(),
        marks: result.routes.first().map_or(Vec::new(), |route| {
            mark_keys(route.route.waypoints()[0].position)
        }),
        spread: Value::from_safe_string(spread::spread(result)),
        swings_measure: Swung::of(result).map(|swung| capital(&swung.measure())),
        swings: Value::from_safe_string(swings::swings(result)),
        exposure: Value::from_safe_string(curves::exposure(result)),
        season_departures: season.map(|season| season.departures.len()),
        season_every_days: season.and_then(days_between),
        season_members: season.map(|season| grouped(season.simulated.members as f64)),
        season: season.map(|season| Value::from_safe_string(curves::season(season))),
        no_season,
        windows: season.map_or(Vec::new(), |season| {
            let routes = season.routes.iter();
            routes
                .map(|route| window_sentence(route, season.most_storm_chance))
                .collect()
        }),
        years: page.years.map(YearsParts::of),
        loading: loading(result),
        loading_cautions: loading_cautions(result),
        places,
        places_said,
        stages: stages(result),
        legs: legs(result, page.by_day),
        legs_key: legs_key(result),
        days_key: pieces_key(LayOff::Day),
        warnings: land_warnings(result),
        storm_warnings: storm_warnings(result),
        notes: result.noticed().notes(),
        cautions: voyage_cautions(&result.voyage),
        origins: origins(voyage),
        command,
        version: env!("CARGO_PKG_VERSION"),
    };
    let mut templates = Environment::new();
    templates.set_syntax(usual_syntax());
    templates.set_undefined_behavior(UndefinedBehavior::Strict);
    templates
        .add_template("page.html", TEMPLATE)
        .and_then(|()| {
            let template = templates.get_template("page.html")?;
            template.render(Serde(&context))
        })
        .expect("a test renders the template with every part there and with none")
}

/// Without the line ends and the blanks about a template's own lines.
pub(super) fn usual_syntax() -> SyntaxConfig {
    SyntaxConfig::builder()
        .trim_blocks(true)
        .lstrip_blocks(true)
        .build()
        .expect("the usual syntax")
}

/// The month in which the quickest passage is half over, or the month of departure.
fn middle_month(comparison: &Comparison) -> Month {
    let quickest = comparison.verdict.by_median_days.first();
    let quickest = quickest.and_then(|name| comparison.route(name));
    let median_days = quickest.and_then(|route| {
        let ensemble = &route.ensemble;
        ensemble.whole_days.unwrap_or(ensemble.days).p50
    });
    SeasonDay::from_date(comparison.voyage.departure)
        .plus_hours(median_days.unwrap_or(0.0) * 12.0)
        .month()
}

/// How far apart a season's departures are, in days.
fn days_between(season: &Season) -> Option<i32> {
    let [first, second] = [0, 1].map(|place| season.departures.get(place));
    Some(first?.date.until(second?.date).ok()?.get_days())
}

/// What was compared, line by line.
pub(super) fn facts(voyage: &AboutVoyage) -> Vec<(&'static str, String)> {
    let boat = voyage.boat.name.as_deref().unwrap_or("not named");
    vec![
        ("Departure", date(voyage.departure)),
        ("Boat", boat.to_owned()),
        ("Polar", format!("× {}", voyage.boat.factor)),
        ("Engine", engine_words(&voyage.boat, voyage.units)),
        ("Winds", visible(&voyage.winds.label).into_owned()),
    ]
}

/// What the loading lists warn of, each with the routes it is about where that is not all of them.
fn loading_cautions(comparison: &Comparison) -> Vec<String> {
    let mut found: Vec<(String, Vec<&str>)> = Vec::new();
    for route in &comparison.routes {
        let plan = route.loading.as_ref().and_then(RoutePlan::planned);
        for said in plan.into_iter().flat_map(|plan| &plan.cautions) {
            let text = caution(said, comparison.voyage.units);
            match found.iter_mut().find(|(other, _)| *other == text) {
                Some((_, routes)) => routes.push(&route.name),
                None => found.push((text, vec![&route.name])),
            }
        }
    }
    let said = found.into_iter().map(|(text, routes)| {
        if routes.len() == comparison.routes.len() {
            text
        } else {
            format!("{}: {text}", routes.join(", "))
        }
    });
    said.collect()
}

/// Everything a page rests on.
pub(super) fn origins(voyage: &AboutVoyage) -> Vec<Origin> {
    let AboutVoyage {
        winds, currents, ..
    } = voyage;
    let winds = if winds.own_file {
        Origin {
            what: "Winds",
            origin: visible(&winds.label).into_owned(),
            licence: "your own file: as its makers say",
        }
    } else {
        Origin {
            what: "Winds and air temperature",
            origin: "monthly ship observations (COADS), repaired with US Navy monthly winds; from \
                     the Debian package ferret-datasets"
                .to_owned(),
            licence: "public domain (US Government)",
        }
    };
    let storms = Origin {
        what: "Tropical storms",
        origin: "best tracks: HURDAT2 1989 to 2019, NOAA National Hurricane Center; IBTrACS, ten \
                 seasons from 2010 to 2025, NOAA National Centers for Environmental Information"
            .to_owned(),
        licence: "public domain (US Government; from memory)",
    };
    let land = Origin {
        what: "Land",
        origin: "Natural Earth 1:10m land, from the npm package world-atlas 2.0.2, simplified"
            .to_owned(),
        licence: "public domain",
    };
    let variation = Origin {
        what: "Magnetic variation",
        origin: "World Magnetic Model 2025 and 2020, NOAA".to_owned(),
        licence: "public domain (US Government)",
    };
    let currents = currents.as_ref().map(|currents| {
        if currents.own_file {
            return Origin {
                what: "Currents",
                origin: visible(&currents.label).into_owned(),
                licence: "your own file: as its makers say",
            };
        }
        Origin {
            what: "Currents",
            origin:
                "surface drifters (NOAA Global Drifter Program), from the PyPI package driftmlp \
                     1.2"
                .to_owned(),
            licence: "MIT",
        }
    });
    let others = [storms, land, variation];
    [winds].into_iter().chain(currents).chain(others).collect()
}

#[cfg(test)]
#[path = "page_tests.rs"]
mod tests;
