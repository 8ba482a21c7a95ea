//! What a page says of a shaped course beside the routes: its waypoints, its limits, the choice.

use minijinja::Value;
use serde::Serialize;

use super::choice::choice;
use super::courses::courses;
use super::tables::Table;
use crate::report::shaped::{ShapedStudy, WAITING_PAYS, corners_rows};
use crate::report::trade_off::{FEW_COURSES_NOTE, TradeOff, trade_off_rows};

/// The parts a shaped course adds.
#[derive(Serialize)]
pub(super) struct Shaping {
    route: String,
    corners: Option<Table>,
    limits: Option<Table>,
    waiting: Option<&'static str>,
    choice: Option<ChoiceParts>,
}

/// The choice between fast and gentle.
#[derive(Serialize)]
struct ChoiceParts {
    described: String,
    curve: Value,
    map: Value,
    table: Table,
    few: Option<&'static str>,
}

impl Shaping {
    pub(super) fn of(shaped: &ShapedStudy<'_>) -> Self {
        let route = shaped.study.voyage.routes.last();
        let route = route.map_or("", |route| route.name()).to_owned();
        let corners = shaped.course().map(|(_, passage)| {
            let (mut heading, rows) = corners_rows(passage);
            heading[0] = "Waypoint".to_owned();
            heading[1] = "Position".to_owned();
            Table::new(format!("{route}: the waypoints"), heading, 2, vec![rows])
        });
        Self {
            corners,
            limits: limits(shaped),
            waiting: shaped.shaped.waiting_pays.then_some(WAITING_PAYS),
            choice: shaped
                .trade_off
                .as_ref()
                .map(|trade_off| ChoiceParts::of(shaped, trade_off)),
            route,
        }
    }
}

/// The limits in force and what each costs; none where none is set.
fn limits(shaped: &ShapedStudy<'_>) -> Option<Table> {
    let rows: Vec<Vec<String>> = shaped
        .limit_costs
        .iter()
        .map(|cost| {
            let days = if cost.is_felt() {
                format!("{:.1}", cost.days)
            } else {
                "next to nothing".to_owned()
            };
            vec![shaped.limits.describe(cost.limit), days]
        })
        .collect();
    let heading = ["Limit", "Days it costs"].map(str::to_owned).to_vec();
    let caption = "What each limit costs beside the others".to_owned();
    (!rows.is_empty()).then(|| Table::new(caption, heading, 1, vec![rows]))
}

impl ChoiceParts {
    fn of(shaped: &ShapedStudy<'_>, trade_off: &TradeOff<'_>) -> Self {
        let rows = trade_off_rows(shaped, trade_off);
        let mut heading = rows.heading;
        heading[0] = "Course".to_owned();
        let caption = format!("Days and exposures, by {}", trade_off.hardship);
        Self {
            described: trade_off.described(),
            curve: Value::from_safe_string(choice(shaped, trade_off)),
            map: Value::from_safe_string(courses(shaped, trade_off)),
            table: Table::new(caption, heading, 1, vec![rows.courses, rows.drawn]),
            few: trade_off.is_short().then_some(FEW_COURSES_NOTE),
        }
    }
}
