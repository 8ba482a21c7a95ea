//! The comparison of a voyage's routes, for a terminal.

use super::Study;
use super::cautions::CAUTIONS;
use super::sentences::sentences;
use super::table::{layout, wrap};
use super::wording::{date, grouped, percent};
use crate::climate::Climate;
use crate::passage::{ExpectedPassage, Voyage, Walk};

/// How many routes stand side by side before the table breaks into another below.
const ROUTES_ABREAST: usize = 4;

/// One line of the comparison: its name, and how a route's figure is written.
type Line = (&'static str, fn(&ExpectedPassage) -> String);

/// The lines of the comparison in the order they are read. What is not available is an empty cell.
const LINES: [Line; 18] = [
    ("Distance, nm", |passage| grouped(passage.distance_nm)),
    ("Days", |passage| format!("{:.1}", passage.days())),
    ("Arrival", |passage| date(passage.arrival.date())),
    ("Mean speed made good, kn", |passage| {
        format!("{:.1}", passage.mean_speed_kn())
    }),
    ("Share of time with", |_| String::new()),
    ("  headwind (under 60° off)", |passage| {
        percent(passage.exposure.headwind)
    }),
    ("  hard beat (and 20 kn up)", |passage| {
        percent(passage.exposure.hard_beat)
    }),
    ("  wind from abaft (over 110°)", |passage| {
        percent(passage.exposure.abaft)
    }),
    ("  light air (under 6 kn)", |passage| {
        percent(passage.exposure.light_air)
    }),
    ("  strong wind (22 kn up)", |passage| {
        percent(passage.exposure.strong)
    }),
    ("  gale (34 kn up)", |passage| {
        percent(passage.exposure.gale)
    }),
    ("  engine running", |passage| {
        percent(passage.exposure.under_power)
    }),
    ("Diesel burnt, litres", |passage| {
        passage.litres.map_or(String::new(), grouped)
    }),
    ("Air, mean, °C", |passage| {
        passage
            .air_temperature_c
            .map_or(String::new(), |air| format!("{:.1}", air.mean))
    }),
    ("Air, lowest month met, °C", |passage| {
        passage
            .air_temperature_c
            .map_or(String::new(), |air| format!("{:.1}", air.lowest))
    }),
    ("Full sea for the wind, m", |passage| {
        format!("{:.1}", passage.wave_height_m)
    }),
    ("On replaced wind data", |passage| {
        passage.replaced_share.map_or(String::new(), percent)
    }),
    ("Legs", |passage| passage.legs.len().to_string()),
];

/// The whole comparison as text: table, sentences, notes and cautions.
pub fn comparison_text(study: &Study<'_>) -> String {
    let mut parts = vec![voyage_heading(study.voyage, study.climate)];
    for (block, walks) in study.walks.chunks(ROUTES_ABREAST).enumerate() {
        parts.push(table(study, block * ROUTES_ABREAST, walks));
    }
    let said = sentences(study);
    if !said.is_empty() {
        parts.push(bullets(&said));
    }
    parts.extend(about_the_winds(study.climate));
    parts.push(cautions());
    parts.join("\n\n") + "\n"
}

/// What was compared: the voyage, the boat and the winds.
pub(super) fn voyage_heading(voyage: &Voyage, climate: &Climate) -> String {
    let boat = voyage.boat_name.as_deref().unwrap_or("not named");
    let factor = voyage.boat.factor();
    let engine = voyage
        .boat
        .engine()
        .map_or("no engine".to_owned(), |engine| {
            format!("{} litres of diesel", grouped(engine.fuel_litres()))
        });
    [
        format!("{}, leaving {}", voyage.name, date(voyage.departure)),
        format!("Boat: {boat}; polar x {factor}; {engine}"),
        format!("Winds: {}", climate.label()),
    ]
    .map(|line| wrap(&line, "  "))
    .join("\n")
}

/// What the reader of the winds has to say about them, if anything.
pub(super) fn about_the_winds(climate: &Climate) -> Option<String> {
    let notes = climate.notes();
    (!notes.is_empty()).then(|| format!("About the winds\n{}", bullets(notes)))
}

/// The cautions under every result.
pub(super) fn cautions() -> String {
    format!("Cautions\n{}", bullets(&CAUTIONS))
}

fn bullets<T: AsRef<str>>(lines: &[T]) -> String {
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
    let rows: Vec<Vec<String>> = LINES
        .iter()
        .map(|(name, write)| {
            let mut row = vec![(*name).to_owned()];
            row.extend(walks.iter().map(|walk| match walk {
                Walk::Arrives(passage) => write(passage),
                Walk::Stalls(_) if *name == "Days" => "stalls".to_owned(),
                Walk::Stalls(_) => String::new(),
            }));
            row
        })
        .collect();
    layout(&columns, &rows, 1)
}
