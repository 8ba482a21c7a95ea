//! The page: every part worked out, then laid out by the template.

use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{Environment, UndefinedBehavior, Value};
use serde::Serialize;

use super::frame::{mark, route_class};
use super::origins::{Origin, origins};
use super::svg::{Drawing, Path};
use super::tables::{Group, Legs, comparison, legs, loading};
use super::{answer, exposure, map, season, spread};
use crate::climate::{Climate, Month, SeasonDay};
use crate::passage::{Departure, PassageError};
use crate::report::Study;
use crate::report::cautions::CAUTIONS;
use crate::report::comparison::{MEAN_WIND_NOTE, spread_note};
use crate::report::land_warnings;
use crate::report::legs::LEGS_KEY;
use crate::report::loading::caution;
use crate::report::notes::notes;
use crate::report::season::window_sentence;
use crate::report::sentences::sentences;
use crate::report::wording::{date, grouped};

const TEMPLATE: &str = include_str!("page.html");
const STYLE: &str = include_str!("style.css");

/// What a page shows.
#[derive(Debug, Clone, Copy)]
pub struct Page<'a> {
    /// The voyage and what came of it.
    pub study: Study<'a>,
    /// Winds of the sea around the routes, for the map; without them those of the study, which may
    /// end close beside the routes.
    pub winds: Option<&'a Climate>,
    /// Departures through the year, or why there are none: a gap in the winds that the voyage's own
    /// departure does not meet.
    pub season: Result<&'a [Departure], &'a PassageError>,
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
    facts: Vec<(&'static str, String)>,
    routes: Vec<Key>,
    comparison: Vec<Group>,
    sentences: Vec<String>,
    spread_note: String,
    mean_wind_note: &'static str,
    map: Value,
    map_month: &'static str,
    spread: Value,
    exposure: Value,
    season: Option<Value>,
    no_season: Option<String>,
    windows: Vec<String>,
    loading: Option<Vec<Group>>,
    loading_cautions: Vec<String>,
    legs: Vec<Legs>,
    legs_key: &'static str,
    warnings: Vec<String>,
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
    let Page {
        study,
        winds,
        season: departures,
        command,
    } = page;
    let voyage = study.voyage;
    let month = middle_month(study);
    let windows = departures.as_ref().map_or(Vec::new(), |departures| {
        let routes = voyage.routes.iter().enumerate();
        routes
            .map(|(index, route)| window_sentence(departures, index, route.name()))
            .collect()
    });
    let question = answer::question(study);
    let context = Context {
        style: Value::from_safe_string(STYLE.to_owned()),
        title: format!("{}: {}", voyage.name, date(voyage.departure)),
        question,
        answer: answer::answer(study),
        facts: facts(study),
        routes: keys(study),
        comparison: comparison(study),
        sentences: sentences(study),
        spread_note: study.ensembles.first().map(spread_note).unwrap_or_default(),
        mean_wind_note: MEAN_WIND_NOTE,
        map: Value::from_safe_string(map::map(study, winds.unwrap_or(study.climate), month)),
        map_month: month.name(),
        spread: Value::from_safe_string(spread::spread(study)),
        exposure: Value::from_safe_string(exposure::exposure(study)),
        season: departures
            .as_ref()
            .ok()
            .map(|departures| Value::from_safe_string(season::season(study, departures))),
        no_season: departures.as_ref().err().map(ToString::to_string),
        windows,
        loading: loading(study),
        loading_cautions: loading_cautions(study),
        legs: legs(study),
        legs_key: LEGS_KEY,
        warnings: land_warnings(&voyage.routes, study.land),
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
    let engine = voyage
        .boat
        .engine()
        .map_or("no engine".to_owned(), |engine| {
            format!("{} litres of diesel", grouped(engine.fuel_litres()))
        });
    let boat = voyage.boat_name.as_deref().unwrap_or("not named");
    vec![
        ("Departure", date(voyage.departure)),
        ("Boat", boat.to_owned()),
        ("Polar", format!("× {}", voyage.boat.factor())),
        ("Engine", engine),
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
        for text in plan.cautions.iter().map(caution) {
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
mod tests {
    use super::*;
    use crate::climate::ClimateGap;
    use crate::passage::{
        Ensemble, EnsembleOptions, EnsembleRunner, Stall, Voyage, Walk, walk_expected,
    };
    use crate::route::{Land, LandCheck};

    /// The demonstration voyage, walked, with few members.
    fn page_of(change: impl FnOnce(&mut Vec<Walk>), season: bool) -> String {
        let voyage = Voyage::demo().unwrap();
        let climate = voyage.open_climate().unwrap();
        let options = EnsembleOptions {
            members: 10,
            ..EnsembleOptions::default()
        };
        let runner = EnsembleRunner::new(&voyage.boat, options);
        let routes = || voyage.routes.iter();
        let mut walks: Vec<Walk> = routes()
            .map(|route| walk_expected(&voyage, route, &climate).unwrap())
            .collect();
        change(&mut walks);
        let ensembles: Vec<Ensemble> = routes()
            .map(|route| runner.run(route, &climate, voyage.departure).unwrap())
            .collect();
        let land: Vec<LandCheck> = routes()
            .map(|route| LandCheck::of(route, Land::natural_earth()))
            .collect();
        let study = Study {
            voyage: &voyage,
            climate: &climate,
            walks: &walks,
            ensembles: &ensembles,
            loading: None,
            land: &land,
        };
        let gap = PassageError::Gap {
            route: "Direct".to_owned(),
            run_nm: 100.0,
            gap: ClimateGap::NoData {
                latitude_deg: -40.0,
                longitude_deg: 80.0,
                month: Month::ALL[0],
            },
        };
        let departures = crate::passage::season(&voyage, &climate, options, 31, || ()).unwrap();
        html_page(&Page {
            study,
            winds: None,
            season: if season { Ok(&departures) } else { Err(&gap) },
            command: &["offing".to_owned(), "compare".to_owned()],
        })
    }

    #[test]
    fn every_part_is_there() {
        let page = page_of(|_| (), true);
        for id in [
            "comparison",
            "map",
            "days",
            "on-the-way",
            "when",
            "legs",
            "cautions",
        ] {
            assert!(page.contains(&format!("<section id=\"{id}\"")), "{id}");
        }
        assert!(page.contains("id=\"season-wide\""));
        assert!(
            !page.contains("id=\"to-load\""),
            "the study says nothing of stores"
        );
    }

    #[test]
    fn what_there_is_not_is_left_out_and_said() {
        let stall = |walks: &mut Vec<Walk>| {
            for walk in walks {
                *walk = Walk::Stalls(Stall {
                    leg: 1,
                    position: crate::geodesy::Position::new(-31.0, 100.0).unwrap(),
                    date: jiff::civil::date(2027, 5, 20),
                });
            }
        };
        let page = page_of(stall, false);
        assert!(!page.contains("id=\"on-the-way\"") && !page.contains("season-wide"));
        assert!(page.contains("no wind data around latitude -40.00"));
        assert!(page.contains(">stalls here</text>"));
        assert!(page.contains("Trades stalls on leg 1 near"));
    }

    #[test]
    fn the_same_study_makes_the_same_page() {
        assert_eq!(page_of(|_| (), true), page_of(|_| (), true));
    }
}
