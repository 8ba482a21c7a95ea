//! The page with every part there, and with none.

use super::*;
use crate::climate::ClimateGap;
use crate::passage::{Ensemble, EnsembleOptions, EnsembleRunner, Exposure, Stall, Walk};
use crate::report::{LimitCost, TradeOff};
use crate::route::{Land, LandCheck};
use crate::shaping::{Hardship, Limit, Limits, Prices, Shaped};
use crate::voyage::Voyage;

/// Few members: the tests look at the page, not at the spread.
fn options() -> EnsembleOptions {
    EnsembleOptions {
        members: 10,
        ..EnsembleOptions::default()
    }
}

/// A voyage, walked.
struct Walked {
    voyage: Voyage,
    climate: Climate,
    walks: Vec<Walk>,
    ensembles: Vec<Ensemble>,
    land: Vec<LandCheck>,
}

impl Walked {
    fn new(voyage: Voyage) -> Self {
        let climate = voyage.open_climate().unwrap();
        let runner = EnsembleRunner::new(&voyage.boat, options());
        let routes = || voyage.routes.iter();
        Self {
            walks: routes()
                .map(|route| voyage.walk(route, &climate).unwrap())
                .collect(),
            ensembles: routes()
                .map(|route| runner.run(route, &climate, voyage.departure).unwrap())
                .collect(),
            land: routes()
                .map(|route| LandCheck::of(route, Land::natural_earth()))
                .collect(),
            climate,
            voyage,
        }
    }

    fn study(&self) -> Study<'_> {
        Study {
            voyage: &self.voyage,
            climate: &self.climate,
            walks: &self.walks,
            ensembles: &self.ensembles,
            loading: None,
            land: &self.land,
        }
    }
}

/// The demonstration's page.
fn page_of(change: impl FnOnce(&mut Vec<Walk>), season: bool) -> String {
    let mut walked = Walked::new(Voyage::demo().unwrap());
    change(&mut walked.walks);
    let gap = PassageError::Gap {
        route: "Direct".to_owned(),
        run_nm: 100.0,
        gap: ClimateGap::NoData {
            place: crate::geodesy::Position::new(-40.0, 80.0).unwrap(),
            month: Month::ALL[0],
        },
    };
    let departures = crate::passage::season(
        &walked.voyage.boat,
        &walked.voyage.routes,
        &walked.climate,
        2027,
        options(),
        31,
        || (),
    )
    .unwrap();
    html_page(&Page {
        subject: Subject::Comparison(walked.study()),
        winds: None,
        season: Some(if season { Ok(&departures) } else { Err(&gap) }),
        command: &["offing".to_owned(), "compare".to_owned()],
    })
}

/// Two courses by hand, the first of them the course shaped.
fn shaped_courses(voyage: &Voyage) -> Vec<Shaped> {
    let waypoints = voyage.routes[0].waypoints();
    let [from, to] = [0, waypoints.len() - 1].map(|end| waypoints[end].position);
    let by = |latitude_deg: f64| Shaped {
        corners: vec![
            from,
            crate::geodesy::Position::new(latitude_deg, 80.0).unwrap(),
            to,
        ],
        days: 45.0,
        exposure: Exposure::default(),
        prices: Prices::default(),
        waiting_pays: false,
    };
    vec![by(-32.0), by(-24.0)]
}

/// The page of the demonstration with a course shaped, under limits or none.
fn shaping_page(
    limits: &Limits,
    limit_costs: &[LimitCost],
    trade_off: bool,
    change: impl FnOnce(&mut Vec<Walk>),
) -> String {
    let mut voyage = Voyage::demo().unwrap();
    let courses = shaped_courses(&voyage);
    let ends = ["Fremantle", "Durban"];
    let route = |index: usize, name: &str| courses[index].route(name, ends).unwrap();
    voyage.routes.push(route(0, "Shaped"));
    let routes = [route(0, "Course 1"), route(1, "Course 2")];
    let mut walked = Walked::new(voyage);
    let walks: Vec<Walk> = routes
        .iter()
        .map(|route| walked.voyage.walk(route, &walked.climate).unwrap())
        .collect();
    change(&mut walked.walks);
    html_page(&Page {
        subject: Subject::Shaping(ShapedStudy {
            study: walked.study(),
            shaped: &courses[0],
            limits,
            limit_costs,
            trade_off: trade_off.then_some(TradeOff {
                hardship: Hardship::Headwind,
                courses: &courses,
                routes: &routes,
                walks: &walks,
            }),
        }),
        winds: None,
        season: None,
        command: &["offing".to_owned(), "shape".to_owned()],
    })
}

fn stalled() -> Walk {
    Walk::Stalls(Stall {
        leg: 1,
        position: crate::geodesy::Position::new(-31.0, 100.0).unwrap(),
        date: jiff::civil::date(2027, 5, 20),
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
            *walk = stalled();
        }
    };
    let page = page_of(stall, false);
    assert!(!page.contains("id=\"on-the-way\"") && !page.contains("season-wide"));
    assert!(page.contains("no wind data around 40°00.0"));
    assert!(page.contains(">stalls here</text>"));
    assert!(page.contains("Trades stalls on leg 1 near"));
}

#[test]
fn time_in_cyclone_waters_is_warned_of_at_the_top() {
    let leaving = |month| {
        let mut voyage = Voyage::demo().unwrap();
        voyage.departure = jiff::civil::date(2027, month, 5);
        let walked = Walked::new(voyage);
        html_page(&Page {
            subject: Subject::Comparison(walked.study()),
            winds: None,
            season: None,
            command: &[],
        })
    };
    let january = leaving(1);
    let (top, _) = january.split_once("<section").unwrap();
    assert!(top.contains("Warning: cyclone waters in their season"));
    assert!(top.contains("<li>Trades spends up to"));
    assert!(!leaving(6).contains("Warning: cyclone"));
}

#[test]
fn the_same_study_makes_the_same_page() {
    assert_eq!(page_of(|_| (), true), page_of(|_| (), true));
}

#[test]
fn a_shaped_course_adds_its_parts_and_no_season() {
    let limits = Limits {
        southernmost_deg: Some(-36.0),
        avoid_cyclones: true,
        ..Limits::default()
    };
    let costs = [(Limit::Southernmost, 1.26), (Limit::Cyclones, 0.01)]
        .map(|(limit, days)| LimitCost { limit, days });
    let page = shaping_page(&limits, &costs, true, |_| ());
    for part in [
        "<section id=\"course\"",
        "<section id=\"choice\"",
        "id=\"choice-wide\"",
        "id=\"map-courses-narrow\"",
        "Within your limits (not south of 36°S; out of cyclone basins in season)",
        "<th scope=\"row\">not south of 36°S</th><td>1.3</td>",
        "<th scope=\"row\">cyclone basins in season</th><td>next to nothing</td>",
        "These waters offer no more courses",
    ] {
        assert!(page.contains(part), "{part}");
    }
    assert!(!page.contains("When to leave"));
}

#[test]
fn without_limits_or_a_trade_off_neither_is_shown() {
    let page = shaping_page(&Limits::default(), &[], false, |_| ());
    assert!(page.contains("No limits were set.") && page.contains("With no limits set the course"));
    assert!(!page.contains("id=\"choice\"") && !page.contains("need not keep"));
}

#[test]
fn where_no_drawn_route_arrives_nothing_is_gained_on_one() {
    let page = shaping_page(&Limits::default(), &[], true, |walks| {
        walks[0] = stalled();
        walks[1] = stalled();
    });
    assert!(page.contains("; none of the routes drawn arrives."));
}
