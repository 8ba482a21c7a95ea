//! The page with every part there, and with none.

use std::sync::LazyLock;

use super::*;
use crate::climate::ClimateGap;
use crate::geodesy::Position;
use crate::passage::{EnsembleOptions, LayOff, PassageError, Stall, Walk};
use crate::route::Route;
use crate::shaping::{Hardship, Limit, Prices, Shaped};
use crate::study::{
    self, LimitCost, Options, RealYears, RouteResult, SeasonOptions, ShapedCourse, TradeOff,
    TradeOffCourse,
};
use crate::voyage::Voyage;

static DEMO: LazyLock<Voyage> = LazyLock::new(|| Voyage::demo().unwrap());
static WINDS: LazyLock<Climate> = LazyLock::new(|| DEMO.open_climate().unwrap());

/// Few members: the tests look at the page, not at the spread.
fn options() -> Options {
    Options::default().with_ensemble(EnsembleOptions {
        members: 10,
        ..EnsembleOptions::default()
    })
}

fn compared(voyage: &Voyage) -> Comparison {
    study::compare(voyage, &WINDS, &options()).unwrap()
}

fn page(subject: Subject<'_>, season: Option<Result<&Season, &StudyError>>) -> String {
    page_with_years(subject, season, None)
}

fn page_with_years(
    subject: Subject<'_>,
    season: Option<Result<&Season, &StudyError>>,
    years: Option<&RealYears>,
) -> String {
    let by_day = match subject {
        Subject::Comparison(comparison) => study::laid_off(&DEMO, comparison, LayOff::Day).unwrap(),
        Subject::Shaping(_) => Vec::new(),
    };
    html_page(&Page {
        subject,
        winds: &WINDS,
        season,
        years,
        by_day: &by_day,
        command: &["offing".to_owned()],
    })
}

fn place(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).unwrap()
}

/// A page with every part that a comparison can have.
fn full_page() -> String {
    let every = SeasonOptions {
        every_days: 31,
        ..SeasonOptions::default()
    };
    let season = study::season(&DEMO, &WINDS, &options(), every, || ()).unwrap();
    let found = DEMO.open_years().unwrap();
    let years = study::years(&DEMO, &WINDS, &found, &options()).unwrap();
    let comparison = compared(&DEMO);
    let subject = Subject::Comparison(&comparison);
    page_with_years(subject, Some(Ok(&season)), Some(&years))
}

fn stall(route: &mut RouteResult) {
    route.expected = None;
    route.stalled = Some(Stall {
        leg: 1,
        position: place(-31.0, 100.0),
        date: jiff::civil::date(2027, 5, 20),
    });
}

/// The demonstration with a course made by hand as the one shaped.
fn shaping(limits: Vec<LimitCost>, trade_off: bool) -> Shaping {
    let waypoints = DEMO.routes[0].waypoints();
    let [from, to] = [0, waypoints.len() - 1].map(|end| waypoints[end].position);
    let course = |latitude_deg: f64, name: &str| -> Route {
        let shaped = Shaped {
            corners: vec![from, place(latitude_deg, 80.0), to],
            days: 45.0,
            exposure: Default::default(),
            prices: Prices::default(),
            waiting_pays: false,
        };
        shaped.route(name, ["Fremantle", "Durban"]).unwrap()
    };
    let traded = |(index, latitude_deg): (usize, f64)| {
        let name = format!("Course {}", index + 1);
        let route = course(latitude_deg, &name);
        let Walk::Arrives(expected) = DEMO.walk(&route, &WINDS).unwrap() else {
            panic!("{name} stalls");
        };
        TradeOffCourse {
            name,
            number: index + 1,
            drawn: false,
            price_hours_an_hour: Some(0.0),
            expected: *expected,
            corners: Vec::new(),
            route,
        }
    };
    let mut voyage = DEMO.clone();
    voyage.routes.push(course(-32.0, "Shaped"));
    Shaping {
        comparison: compared(&voyage),
        shaped: ShapedCourse {
            route: "Shaped".to_owned(),
            corners: Vec::new(),
            inland_ends: Vec::new(),
            limits,
            waiting_pays: false,
        },
        trade_off: trade_off.then(|| TradeOff {
            hardship: Hardship::Headwind,
            courses: [-32.0, -24.0].into_iter().enumerate().map(traded).collect(),
        }),
    }
}

#[test]
fn every_part_is_there() {
    let page = full_page();
    for id in [
        "comparison",
        "figures",
        "map",
        "days",
        "hangs-on",
        "on-the-way",
        "when",
        "real-years",
        "to-load",
        "legs",
        "cautions",
        "origins",
    ] {
        assert!(page.contains(&format!("<section id=\"{id}\"")), "{id}");
    }
    assert!(page.contains("id=\"season-wide\""));
    assert_eq!(
        page.matches("the median passage noon by noon</caption>")
            .count(),
        2
    );
}

#[test]
fn what_there_is_not_is_left_out_and_said() {
    let gap = StudyError::from(PassageError::Gap {
        route: "Direct".to_owned(),
        run_nm: 100.0,
        gap: ClimateGap::NoData {
            place: place(-40.0, 80.0),
            month: Month::ALL[0],
        },
    });
    let mut result = compared(&DEMO);
    for route in &mut result.routes {
        stall(route);
        route.loading = None;
    }
    let page = page(Subject::Comparison(&result), Some(Err(&gap)));
    for id in ["on-the-way", "to-load", "season-wide", "real-years"] {
        assert!(!page.contains(&format!("id=\"{id}\"")), "{id}");
    }
    assert!(page.contains("no wind data around 40°00.0"));
    assert!(page.contains(">stalls here</text>"));
    assert!(page.contains("Trades stalls on leg 1 near"));
}

#[test]
fn storms_are_warned_of_at_the_top() {
    let leaving = |month| {
        let mut voyage = DEMO.clone();
        voyage.departure = jiff::civil::date(2027, month, 5);
        page(Subject::Comparison(&compared(&voyage)), None)
    };
    let january = leaving(1);
    let (top, _) = january.split_once("<section").unwrap();
    assert!(top.contains("Warning: tropical storms"));
    assert!(january.contains("<li>Trades: the chance of a tropical storm centre"));
    assert!(!leaving(6).contains("Warning: tropical storms"));
}

#[test]
fn the_answer_names_the_quicker_route_or_none() {
    let mut result = compared(&DEMO);
    let answer = |result: &Comparison| {
        let page = page(Subject::Comparison(result), None);
        let (_, after) = page.split_once("<p class=\"answer\">").unwrap();
        after.split_once("</p>").unwrap().0.to_owned()
    };
    result.verdict.quicker = Some(result.verdict.by_median_days[0].clone());
    let clear = answer(&result);
    assert!(
        clear.contains(" is quicker by ") && clear.contains("The chance that "),
        "{clear}"
    );
    result.verdict.quicker = None;
    let equal = answer(&result);
    assert!(
        equal.contains(" are too close to call on time, "),
        "{equal}"
    );
    result.verdict.by_median_days.pop();
    result.verdict.first_two = None;
    let one = answer(&result);
    assert!(
        one.ends_with("On one route half the passages or more do not arrive."),
        "{one}"
    );
    result.verdict.by_median_days.clear();
    assert_eq!(answer(&result), "On no route do half the passages arrive.");
}

#[test]
fn the_same_study_makes_the_same_page() {
    assert_eq!(full_page(), full_page());
}

#[test]
fn a_shaped_course_adds_its_parts_and_no_season() {
    let limits = [
        ("not south of 36°S", Limit::Southernmost, 1.26),
        (
            "no more than 5 % chance of a storm in ten days anywhere",
            Limit::Storms,
            0.01,
        ),
    ]
    .map(|(limit, kind, costs_days)| LimitCost {
        limit: limit.to_owned(),
        kind,
        costs_days,
    });
    let page = page(Subject::Shaping(&shaping(limits.to_vec(), true)), None);
    for part in [
        "<section id=\"course\"",
        "<section id=\"choice\"",
        "id=\"choice-wide\"",
        "id=\"map-courses-narrow\"",
        "Within your limits (not south of 36°S; no more than 5 % chance of a storm in ten days anywhere)",
        "<th scope=\"row\">not south of 36°S</th><td>1.3</td>",
        "<th scope=\"row\">no more than 5 % chance of a storm in ten days anywhere</th><td>under 0.1</td>",
        "These waters offer no more courses",
    ] {
        assert!(page.contains(part), "{part}");
    }
    assert!(!page.contains("When to leave"));
}

#[test]
fn without_limits_or_a_trade_off_neither_is_shown() {
    let page = page(Subject::Shaping(&shaping(Vec::new(), false)), None);
    assert!(page.contains("No limits were set.") && page.contains("With no limits set the course"));
    assert!(!page.contains("id=\"choice\"") && !page.contains("need not keep"));
}

#[test]
fn the_verdict_on_a_shaped_course_is_said_once() {
    let mut shaping = shaping(Vec::new(), false);
    let mut ranked = shaping.comparison.verdict.by_median_days.iter();
    let best = ranked.find(|name| *name != "Shaped").cloned().unwrap();
    let [shaped, other] =
        ["Shaped", &best].map(|name| shaping.comparison.route(name).unwrap().clone());
    shaping.comparison.verdict.first_two = Some(study::Pair::of(&shaped, &other));
    let verdict = crate::report::sentences::verdict(&shaping.comparison);
    let said = |shaping: &Shaping| answer::beside_shaping_answer(shaping);
    assert!(!verdict.is_empty());
    assert!(
        verdict
            .iter()
            .all(|sentence| !said(&shaping).contains(sentence))
    );
    // Of two routes drawn the answer says nothing.
    let drawn = shaping.comparison.routes[..2].to_vec();
    shaping.comparison.verdict.first_two = Some(study::Pair::of(&drawn[0], &drawn[1]));
    let verdict = crate::report::sentences::verdict(&shaping.comparison);
    assert!(
        verdict
            .iter()
            .all(|sentence| said(&shaping).contains(sentence))
    );
}

#[test]
fn where_no_drawn_route_arrives_nothing_is_gained_on_one() {
    let mut shaping = shaping(Vec::new(), true);
    shaping.comparison.verdict.by_median_days = vec!["Shaped".to_owned()];
    for route in &mut shaping.comparison.routes[..2] {
        stall(route);
    }
    let page = page(Subject::Shaping(&shaping), None);
    assert!(page.contains("; on no route drawn do half the passages arrive."));
}
