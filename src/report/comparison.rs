//! The comparison of a voyage's routes, for a terminal.

use jiff::civil::Date;

use super::Study;
use super::cautions::CAUTIONS;
use super::loading::amount;
use super::notes::about_the_voyage;
use super::sentences::sentences;
use super::spread_chart::spread_chart;
use super::table::{layout, wrap};
use super::wording::{date, grouped, percent, percent_met};
use crate::climate::Climate;
use crate::passage::{Ensemble, ExpectedPassage, Walk};
use crate::stores::LoadingPlan;
use crate::units::{OutputUnits, Unit};
use crate::voyage::Voyage;

/// How many routes stand side by side before the table breaks into another below.
const ROUTES_ABREAST: usize = 4;

/// One line of the comparison: its name, and how a route's figure is written.
type Line = (&'static str, Figure);

/// A figure of the expected passage, or of the spread of passages.
enum Figure {
    Heading,
    Expected(fn(&ExpectedPassage) -> String),
    Spread(fn(&Ensemble) -> String),
    ToLoad(fn(&LoadingPlan, OutputUnits) -> String),
}

use Figure::{Expected, Heading, Spread, ToLoad};

/// The lines of the comparison in the order they are read. What is not available is an empty cell;
/// lines of the loading list are left out where the voyage has no crew.
const LINES: [Line; 35] = [
    (
        "Distance, nm",
        Expected(|passage| grouped(passage.distance_nm)),
    ),
    (
        "Days on the mean wind",
        Expected(|passage| days(passage.days())),
    ),
    ("Days, of many passages", Heading),
    (
        "  one in ten is quicker than",
        Spread(|spread| optional_days(spread.days_at(0.1))),
    ),
    (
        "  median",
        Spread(|spread| optional_days(spread.days_at(0.5))),
    ),
    (
        "  one in ten is slower than",
        Spread(|spread| optional_days(spread.days_at(0.9))),
    ),
    ("Arrival", Heading),
    (
        "  one in ten is before",
        Spread(|spread| optional_date(spread.arrival_at(0.1))),
    ),
    (
        "  median",
        Spread(|spread| optional_date(spread.arrival_at(0.5))),
    ),
    (
        "  one in ten is after",
        Spread(|spread| optional_date(spread.arrival_at(0.9))),
    ),
    (
        "Mean speed made good, kn",
        Expected(|passage| format!("{:.1}", passage.mean_speed_kn())),
    ),
    ("Share of time with", Heading),
    (
        "  headwind (under 60° off)",
        Expected(|passage| percent(passage.exposure.headwind)),
    ),
    (
        "  hard beat (and 20 kn up)",
        Expected(|passage| percent(passage.exposure.hard_beat)),
    ),
    (
        "  wind from abaft (over 110°)",
        Expected(|passage| percent(passage.exposure.abaft)),
    ),
    (
        "  light air (under 6 kn)",
        Expected(|passage| percent(passage.exposure.light_air)),
    ),
    (
        "  strong wind (22 kn up)",
        Expected(|passage| percent(passage.exposure.strong)),
    ),
    (
        "  gale (34 kn up)",
        Expected(|passage| percent(passage.exposure.gale)),
    ),
    (
        "  engine running",
        Expected(|passage| percent(passage.exposure.under_power)),
    ),
    ("Chance of", Heading),
    (
        "  a gale of 6 hours or more",
        Spread(|spread| percent(spread.chance.gale_6h)),
    ),
    (
        "  a hard beat over 24 hours",
        Spread(|spread| percent(spread.chance.hard_beat_24h)),
    ),
    (
        "  the engine emptying the tanks",
        Spread(|spread| optional(spread.chance.dry_tanks, percent)),
    ),
    (
        "  needing more diesel than fits",
        ToLoad(|plan, _| {
            optional(plan.fuel.as_ref(), |fuel| {
                percent(fuel.reserve_broken_chance)
            })
        }),
    ),
    (
        "Time in cyclone season waters",
        Spread(|spread| optional(spread.cyclone_share(), percent_met)),
    ),
    (
        "Longest light air, 90 %, hours",
        Spread(|spread| optional(spread.longest_light_air_h_at(0.9), grouped)),
    ),
    (
        "Diesel burnt, median, litres",
        Spread(|spread| optional(spread.litres_at(0.5), grouped)),
    ),
    (
        "Diesel burnt, 90 %, litres",
        Spread(|spread| optional(spread.litres_at(0.9), grouped)),
    ),
    (
        "Air, mean and lowest month, °C",
        Expected(|passage| {
            optional(passage.air_temperature_c, |air| {
                format!("{:.0}, {:.0}", air.mean, air.lowest)
            })
        }),
    ),
    (
        "Full sea for the wind, m",
        Expected(|passage| format!("{:.1}", passage.wave_height_m)),
    ),
    (
        "Time on replaced wind data",
        Expected(|passage| optional(passage.replaced_share, percent)),
    ),
    (
        "To load, as sure as asked",
        ToLoad(|plan, _| format!("{} %", plan.chosen.percent)),
    ),
    (
        "  diesel",
        ToLoad(|plan, units| {
            optional(plan.fuel.as_ref(), |fuel| {
                amount(fuel.chosen.to_load_litres, Unit::Litre, units)
            })
        }),
    ),
    (
        "  food",
        ToLoad(|plan, units| amount(plan.food.to_load_kg, Unit::Kilogram, units)),
    ),
    (
        "  water",
        ToLoad(|plan, units| amount(plan.water.to_load_litres, Unit::Litre, units)),
    ),
];

fn days(days: f64) -> String {
    format!("{days:.1}")
}

fn optional<T>(value: Option<T>, write: impl Fn(T) -> String) -> String {
    value.map_or(String::new(), write)
}

/// Days that not enough passages reach are said to be none, not left empty.
fn optional_days(value: Option<f64>) -> String {
    value.map_or("no arrival".to_owned(), days)
}

fn optional_date(value: Option<Date>) -> String {
    optional(value, date)
}

/// What the figures of the comparison are, and are not.
pub(super) fn figures_note(study: &Study<'_>) -> String {
    let mut said = vec![MEAN_WIND_NOTE];
    if study.loading.is_some() && study.voyage.boat.engine().is_some() {
        said.push(DIESEL_NOTE);
    }
    let mut cells = figures(study).into_iter().filter_map(|(_, cells)| cells);
    if cells.any(|cells| cells.iter().any(String::is_empty)) {
        said.push("An empty cell is a figure that is not available.");
    }
    said.join(" ")
}

/// What the two chances of running short of diesel count.
const DIESEL_NOTE: &str = "Needing more diesel than fits counts motoring, charging and the \
     arrival's reserve; emptying the tanks, motoring alone.";

/// Which of the figures are not of the spread.
const MEAN_WIND_NOTE: &str = "Shares of time, speed and sea are those of the passage on the mean wind; the time in cyclone \
     waters is that of an even pace, of the 10, 50 or 90 % passage, whichever has most of it.";

/// The whole comparison as text: table, sentences, notes and cautions.
pub fn comparison_text(study: &Study<'_>) -> String {
    let mut parts = vec![voyage_heading(study.voyage, study.climate)];
    parts.extend(side_by_side(study));
    parts.join("\n\n") + "\n"
}

/// The comparison below its heading: table, sentences, notes and cautions.
pub(super) fn side_by_side(study: &Study<'_>) -> Vec<String> {
    let mut parts = Vec::new();
    for (block, walks) in study.walks.chunks(ROUTES_ABREAST).enumerate() {
        parts.push(table(study, block * ROUTES_ABREAST, walks));
    }
    parts.extend(spread_chart(study));
    let said = sentences(study);
    if !said.is_empty() {
        parts.push(bullets(&said));
    }
    parts.extend(study.ensembles.first().map(spread_note));
    parts.push(wrap(&figures_note(study), ""));
    parts.extend(about_the_voyage(study.voyage, study.climate, study.land));
    parts.push(cautions());
    parts
}

/// How the spread came about, so that it can be made again.
pub(super) fn spread_note(spread: &Ensemble) -> String {
    wrap(
        &format!(
            "The spread is of {} passages a route through winds that persist for about {:.0} \
             hours, seed {}.",
            grouped(spread.members as f64),
            spread.persistence_hours,
            spread.seed
        ),
        "",
    )
}

/// What was compared: the voyage, the boat and the winds.
pub(super) fn voyage_heading(voyage: &Voyage, climate: &Climate) -> String {
    let boat = voyage.boat_name.as_deref().unwrap_or("not named");
    let factor = voyage.boat.factor();
    let engine = engine_words(voyage);
    [
        format!("{}, leaving {}", voyage.name, date(voyage.departure)),
        format!("Boat: {boat}; polar x {factor}; {engine}"),
        format!("Winds: {}", climate.label()),
    ]
    .map(|line| wrap(&line, "  "))
    .join("\n")
}

/// Whether there is an engine, and the diesel it can burn.
pub(super) fn engine_words(voyage: &Voyage) -> String {
    voyage
        .boat
        .engine()
        .map_or("no engine".to_owned(), |engine| {
            format!("{} litres of diesel usable", grouped(engine.fuel_litres()))
        })
}

/// The cautions under every result.
pub(super) fn cautions() -> String {
    format!("Cautions\n{}", bullets(&CAUTIONS))
}

pub(super) fn bullets<T: AsRef<str>>(lines: &[T]) -> String {
    lines
        .iter()
        .map(|line| wrap(&format!("- {}", line.as_ref()), "  "))
        .collect::<Vec<_>>()
        .join("\n")
}

fn table(study: &Study<'_>, first: usize, walks: &[Walk]) -> String {
    let names = study.voyage.routes[first..]
        .iter()
        .map(|route| route.name().to_owned());
    let mut columns = vec![String::new()];
    columns.extend(names.take(walks.len()));
    let rows: Vec<Vec<String>> = figures(study)
        .into_iter()
        .map(|(name, cells)| {
            let mut row = vec![name.to_owned()];
            match cells {
                Some(cells) => row.extend_from_slice(&cells[first..first + walks.len()]),
                None => row.resize(columns.len(), String::new()),
            }
            row
        })
        .collect();
    layout(&columns, &rows, 1)
}

/// The comparison line by line: its name, and the figure of every route; none for a heading of the
/// lines below it, whose names are set in.
pub(super) fn figures(study: &Study<'_>) -> Vec<(&'static str, Option<Vec<String>>)> {
    let lines = LINES.iter();
    let lines = lines.filter(|line| study.loading.is_some() || !matches!(line.1, ToLoad(_)));
    let line = |(name, figure): &Line| {
        let outcomes = study.walks.iter().zip(study.ensembles).enumerate();
        let cells = outcomes.map(|(index, (walk, spread))| match (figure, walk) {
            (Heading, _) => String::new(),
            (Expected(write), Walk::Arrives(passage)) => write(passage),
            (Expected(_), Walk::Stalls(_)) => "stalls".to_owned(),
            (Spread(write), _) => write(spread),
            (ToLoad(write), _) => study
                .loading
                .and_then(|plans| plans[index].planned())
                .map_or("too few arrive".to_owned(), |plan| {
                    write(plan, study.voyage.output)
                }),
        });
        (*name, (!matches!(figure, Heading)).then(|| cells.collect()))
    };
    lines.map(line).collect()
}
