//! The page of a year's plans: the calendar, the tables, cautions and origins.

use minijinja::value::Serde;
use minijinja::{Environment, UndefinedBehavior, Value};
use serde::Serialize;

use super::calendar::calendar;
use super::page::{Origin, STYLE, facts, origins, usual_syntax};
use super::tables::Table;
use crate::report::cautions::voyage_cautions;
use crate::report::land_warnings;
use crate::report::notes::AboutRoutes as _;
use crate::report::plan::{
    COLUMNS, harbour_words, hardship_words, legend, plan_fails, rows, storm_words, time_words,
};
use crate::report::wording::{date, heads};
use crate::study::{Plan, YearPlan};

const TEMPLATE: &str = include_str!("plan.html");

/// What the page of a year's plans shows.
#[derive(Debug, Clone, Copy)]
pub struct PlanPage<'a> {
    /// The plans.
    pub plan: &'a YearPlan,
    /// The command that made the page, word by word, as it is typed.
    pub command: &'a [String],
}

/// All the template asks for. Pictures and the style sheet are markup; all else is escaped.
#[derive(Serialize)]
struct Context<'a> {
    style: Value,
    title: String,
    answers: Vec<String>,
    warnings: Vec<String>,
    calendar: Value,
    tables: Vec<Table>,
    legend: String,
    facts: Vec<(&'static str, String)>,
    notes: Vec<String>,
    cautions: Vec<&'static str>,
    origins: Vec<Origin>,
    command: &'a [String],
    version: &'static str,
}

/// The page as HTML.
pub fn plan_page(page: &PlanPage<'_>) -> String {
    let year = page.plan;
    let table = |plan: &Plan, caption: &str| {
        Table::new(caption.to_owned(), heads(&COLUMNS), 1, vec![rows(plan)])
    };
    let (mut answers, mut tables, mut warnings) = (Vec::new(), Vec::new(), land_warnings(year));
    if let (Some(by_time), Some(by_hardship)) = (&year.by_time, &year.by_hardship) {
        answers.push(time_words(by_time));
        answers.push(hardship_words(year, by_hardship));
        let differ = by_time.stages != by_hardship.stages;
        tables.push(table(
            by_time,
            if differ {
                "By time (T)"
            } else {
                "The plan (T)"
            },
        ));
        if differ {
            tables.push(table(by_hardship, "By hardship (H)"));
        }
        warnings.extend(storm_words(year));
        warnings.extend(harbour_words(year));
    }
    answers.extend(plan_fails(year));
    let context = Context {
        style: Value::from_safe_string(STYLE.to_owned()),
        title: format!("{}: from {}", year.voyage.name, date(year.first)),
        answers,
        warnings,
        calendar: Value::from_safe_string(calendar(year)),
        tables,
        legend: legend(year),
        facts: facts(&year.voyage),
        notes: year.noticed().notes(),
        cautions: voyage_cautions(&year.voyage),
        origins: origins(&year.voyage),
        command: page.command,
        version: env!("CARGO_PKG_VERSION"),
    };
    let mut templates = Environment::new();
    templates.set_syntax(usual_syntax());
    templates.set_undefined_behavior(UndefinedBehavior::Strict);
    templates
        .add_template("plan.html", TEMPLATE)
        .and_then(|()| templates.get_template("plan.html")?.render(Serde(&context)))
        .expect("a test renders the template with a plan and with none")
}
