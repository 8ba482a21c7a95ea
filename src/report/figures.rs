//! The one table of a route's figures: what they are called, how they are written, where they come
//! from. The terminal's table, CSV, the page and the season's CSV all go over it.

use std::sync::LazyLock;

use jiff::civil::Date;

use super::loading::Need;
use super::wording::{date, grouped, number, percent, percent_met, temperature};
use crate::passage::{
    AirTemperature, DaysPercentiles, Ensemble, ExpectedPassage, Exposure, ExposureKind,
    SeasonPassage,
};
use crate::stores::{LoadingPlan, RoutePlan};
use crate::study::{AboutVoyage, Comparison, RouteResult};
use crate::units::Unit;

/// What is known of one route: what a figure is read from.
pub(super) struct Facts<'a> {
    pub name: &'a str,
    distance_nm: Option<f64>,
    expected: Option<&'a ExpectedPassage>,
    exposure: Option<&'a Exposure>,
    air: Option<AirTemperature>,
    ensemble: &'a Ensemble,
    loading: Option<&'a RoutePlan>,
    current_days: Option<f64>,
    far_from_land_nm: Option<f64>,
}

impl<'a> From<&'a RouteResult> for Facts<'a> {
    fn from(route: &'a RouteResult) -> Self {
        let expected = route.expected.as_ref();
        Self {
            name: &route.name,
            distance_nm: Some(route.distance_nm),
            expected,
            exposure: expected.map(|passage| &passage.exposure),
            air: expected.and_then(|passage| passage.air_temperature_c),
            ensemble: &route.ensemble,
            loading: route.loading.as_ref(),
            current_days: route.current_days,
            far_from_land_nm: Some(route.far_from_land.longest_run_nm),
        }
    }
}

impl<'a> From<&'a SeasonPassage> for Facts<'a> {
    fn from(passage: &'a SeasonPassage) -> Self {
        Self {
            name: &passage.name,
            distance_nm: None,
            expected: None,
            exposure: Some(&passage.ensemble.exposure),
            air: passage.air_temperature_c,
            ensemble: &passage.ensemble,
            loading: None,
            current_days: None,
            far_from_land_nm: None,
        }
    }
}

/// A figure's value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Value {
    Number(f64),
    Day(Date),
}

/// How a value is written for a reader.
#[derive(Debug, Clone, Copy)]
enum Format {
    /// To one decimal.
    Tenths,
    /// Days to one decimal where their standard error allows it, whole where not.
    Days(fn(&DaysPercentiles) -> Option<f64>),
    /// To one decimal, with its sign.
    SignedTenths,
    /// To two decimals, with its sign.
    SignedHundredths,
    /// Whole, thousands apart.
    Whole,
    /// A share as a percentage.
    Share,
    /// A share of which any at all is to be seen.
    ShareMet,
    /// A percentage that is one already.
    Percent,
    /// An amount in a unit, shown in the crew's own, with what does not fit.
    Amount(Unit),
    /// Degrees Celsius, shown on the crew's scale.
    Temperature,
    Day,
}

/// What stands where a route has no such figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Without {
    /// Nothing; a row of nothing but that is left out.
    Empty,
    /// The boat stalls on the mean wind.
    Stalls,
    /// That share of the passages does not arrive.
    NoArrival,
    /// Too few passages arrive for a loading list; left out where no list was made.
    TooFew,
}

/// Which of two values is the better one to have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Better {
    Lower,
    Higher,
    Neither,
}

/// What a figure is read by.
#[derive(Clone, Copy)]
enum Source {
    Number(fn(&Facts<'_>) -> Option<f64>),
    Day(fn(&Facts<'_>) -> Option<Date>),
    Share(ExposureKind),
}

/// One figure.
#[derive(Clone, Copy)]
pub(super) struct Figure {
    /// Its name, with its unit at the end; for a share of time that of the exposure.
    id: &'static str,
    /// The heading it stands under; none for one that stands alone.
    pub heading: Option<&'static str>,
    /// Its name for a reader, with its unit.
    pub label: &'static str,
    /// Which way is better.
    pub better: Better,
    /// Whether it is one of a departure in a season too.
    pub of_season: bool,
    /// Whether it is one of those that decide, shown on one screen.
    decides: bool,
    format: Format,
    without: Without,
    source: Source,
    /// Whether its value is only the least it may be.
    is_least: fn(&Facts<'_>) -> bool,
    /// What does not fit of an amount, in its unit.
    short: fn(&Facts<'_>) -> Option<f64>,
}

/// A decimal is written where the standard error is below this, days: twice that is half a day.
const TENTHS_BELOW: f64 = 0.25;

/// The kinds of exposure whose shares decide.
const DECIDING_KINDS: [ExposureKind; 5] = [
    ExposureKind::Headwind,
    ExposureKind::HardBeat,
    ExposureKind::LightAir,
    ExposureKind::Gale,
    ExposureKind::UnderPower,
];

/// Shares of passages equal but for this are equal.
const ROUNDING: f64 = 1e-9;

const DAYS: &str = "Days, of many passages";
const ARRIVAL: &str = "Arrival";
const SHARE: &str = "Share of time with";
const CHANCE: &str = "Chance of";
const LOAD: &str = "Stores to load";

impl Figure {
    const fn new(
        id: &'static str,
        label: &'static str,
        format: Format,
        number: fn(&Facts<'_>) -> Option<f64>,
    ) -> Self {
        Self {
            id,
            heading: None,
            label,
            better: Better::Neither,
            of_season: false,
            decides: false,
            format,
            without: Without::Empty,
            source: Source::Number(number),
            is_least: |_| false,
            short: |_| None,
        }
    }

    const fn day(
        id: &'static str,
        label: &'static str,
        day: fn(&Facts<'_>) -> Option<Date>,
    ) -> Self {
        let figure = Self::new(id, label, Format::Day, |_| None);
        Self {
            source: Source::Day(day),
            ..figure
        }
    }

    fn share(kind: ExposureKind) -> Self {
        let names = kind.names();
        let better = if names.welcome { Higher } else { Lower };
        let figure = Self::new(names.id, names.label, Format::Share, |_| None)
            .under(SHARE)
            .or(Without::Stalls)
            .in_season()
            .better(better);
        Self {
            decides: DECIDING_KINDS.contains(&kind),
            source: Source::Share(kind),
            ..figure
        }
    }

    const fn under(mut self, heading: &'static str) -> Self {
        self.heading = Some(heading);
        self
    }

    const fn or(mut self, without: Without) -> Self {
        self.without = without;
        self
    }

    const fn in_season(mut self) -> Self {
        self.of_season = true;
        self
    }

    const fn deciding(mut self) -> Self {
        self.decides = true;
        self
    }

    const fn better(mut self, better: Better) -> Self {
        self.better = better;
        self
    }

    const fn least_where(mut self, is_least: fn(&Facts<'_>) -> bool) -> Self {
        self.is_least = is_least;
        self
    }

    const fn short_by(mut self, short: fn(&Facts<'_>) -> Option<f64>) -> Self {
        self.short = short;
        self
    }

    /// The figure of a column in CSV.
    pub(super) fn named(column: &str) -> Option<&'static Self> {
        FIGURES.iter().find(|figure| figure.column() == column)
    }

    /// Whether it is a share, from 0 to 1, shown in per cent.
    pub(super) fn is_share(&self) -> bool {
        matches!(self.format, Share | ShareMet)
    }

    /// The heading of its column in CSV.
    pub(super) fn column(&self) -> String {
        match self.source {
            Source::Share(_) => format!("{}_share", self.id),
            _ => self.id.to_owned(),
        }
    }

    /// Its value; none where there is none.
    pub(super) fn value(&self, facts: &Facts<'_>) -> Option<Value> {
        match self.source {
            Source::Number(number) => number(facts).map(Value::Number),
            Source::Day(day) => day(facts).map(Value::Day),
            Source::Share(kind) => facts.exposure.map(|shares| Value::Number(shares[kind])),
        }
    }

    /// Its value for a reader.
    pub(super) fn cell(&self, facts: &Facts<'_>, voyage: &AboutVoyage) -> String {
        match (self.value(facts), self.without) {
            (Some(Value::Number(value)), _) if !self.is_known_to_tenths(facts) => grouped(value),
            (Some(Value::Number(value)), _) => self.number(value, facts, voyage),
            (Some(Value::Day(day)), _) => date(day),
            (None, Without::Empty) => String::new(),
            (None, Without::Stalls) if facts.expected.is_some() => String::new(),
            (None, Without::Stalls) => "stalls".to_owned(),
            (None, Without::NoArrival) => "no arrival".to_owned(),
            (None, Without::TooFew) => match facts.loading {
                Some(RoutePlan::TooFewArrive(_)) => "too few arrive".to_owned(),
                _ => String::new(),
            },
        }
    }

    /// Whether its first decimal says something; that of days may be left to chance.
    fn is_known_to_tenths(&self, facts: &Facts<'_>) -> bool {
        match self.format {
            Format::Days(error) => {
                error(&facts.ensemble.days).is_some_and(|days| days < TENTHS_BELOW)
            }
            _ => true,
        }
    }

    /// The route with the better value, if one is better than all others as they are written.
    fn best(&self, facts: &[Facts<'_>], cells: &[String]) -> Option<usize> {
        let sign = match self.better {
            Better::Lower => 1.0,
            Better::Higher => -1.0,
            Better::Neither => return None,
        };
        let number = |facts: &Facts<'_>| match self.value(facts) {
            Some(Value::Number(number)) => Some(sign * number),
            _ => None,
        };
        let numbers = facts.iter().enumerate();
        let (best, _) = numbers
            .filter_map(|(index, facts)| Some((index, number(facts)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        let alike = cells.iter().filter(|cell| **cell == cells[best]).count();
        (facts.len() > 1 && alike == 1).then_some(best)
    }

    /// A number as a reader sees it.
    fn number(&self, value: f64, facts: &Facts<'_>, voyage: &AboutVoyage) -> String {
        match self.format {
            Format::Tenths | Format::Days(_) => format!("{value:.1}"),
            Format::SignedTenths => format!("{value:+.1}"),
            Format::SignedHundredths => format!("{value:+.2}"),
            Format::Whole | Format::Day => grouped(value),
            Format::Share => percent(value),
            Format::ShareMet => percent_met(value),
            Format::Percent => format!("{value} %"),
            Format::Amount(unit) => self.need(value, unit, facts).written(voyage.units),
            Format::Temperature => temperature(value, voyage.temperature),
        }
    }

    fn need(&self, quantity: f64, unit: Unit, facts: &Facts<'_>) -> Need {
        Need {
            quantity,
            unit,
            is_least: (self.is_least)(facts),
            short: (self.short)(facts).unwrap_or(0.0),
        }
    }

    /// Of an amount, its cells with the unit and what does not fit apart; none of another figure.
    fn apart(&self, facts: &[Facts<'_>], voyage: &AboutVoyage) -> Option<Apart> {
        let Format::Amount(unit) = self.format else {
            return None;
        };
        let needs = facts.iter().map(|facts| match self.value(facts) {
            Some(Value::Number(value)) => {
                let need = self.need(value, unit, facts);
                (
                    need.without_unit(voyage.units),
                    need.short_without_unit(voyage.units),
                )
            }
            _ => (self.cell(facts, voyage), String::new()),
        });
        let (cells, short) = needs.unzip();
        Some(Apart {
            unit: unit.shown_in(voyage.units).symbol(),
            cells,
            short,
        })
    }

    /// Its cell in CSV; empty where there is none.
    pub(super) fn csv(&self, facts: &Facts<'_>) -> String {
        match self.value(facts) {
            Some(Value::Number(value)) => number(value),
            Some(Value::Day(day)) => day.to_string(),
            None => String::new(),
        }
    }
}

fn planned<'a>(facts: &Facts<'a>) -> Option<&'a LoadingPlan> {
    facts.loading?.planned()
}

/// Whether a passage that ran dry stands at the place of the percentile or just above it: then more
/// was wanted than the tanks gave. Those that ran dry are those that burnt most.
fn ran_dry_at(percentile: f64, facts: &Facts<'_>) -> bool {
    let dry = facts.ensemble.chance.dry_tanks;
    dry.is_some_and(|share| share > 0.0 && share + ROUNDING >= 1.0 - percentile)
}

fn days(facts: &Facts<'_>) -> DaysPercentiles {
    facts.ensemble.days
}

use Better::{Higher, Lower};
use Format::{
    Percent, Share, ShareMet, SignedHundredths, SignedTenths, Temperature, Tenths, Whole,
};

/// All figures of a route, in the order in which they are read.
pub(super) static FIGURES: LazyLock<Vec<Figure>> = LazyLock::new(|| {
    let shares = ExposureKind::ALL.into_iter().map(Figure::share);
    BEFORE.into_iter().chain(shares).chain(AFTER).collect()
});

/// Figures that stand before the shares of time.
const BEFORE: [Figure; 14] = [
    Figure::new("distance_nm", "Distance, nm", Whole, |f| f.distance_nm)
        .deciding()
        .better(Lower),
    Figure::new("days_mean_wind", "Days on the mean wind", Tenths, |f| {
        Some(f.expected?.days)
    })
    .or(Without::Stalls)
    .better(Lower),
    Figure::new(
        "days_p10",
        "P10 (10 % of passages are faster)",
        Format::Days(|days| days.p10_se),
        |f| days(f).p10,
    )
    .under(DAYS)
    .or(Without::NoArrival)
    .in_season()
    .better(Lower),
    Figure::new(
        "days_p50",
        "median",
        Format::Days(|days| days.p50_se),
        |f| days(f).p50,
    )
    .under(DAYS)
    .or(Without::NoArrival)
    .in_season()
    .deciding()
    .better(Lower),
    Figure::new(
        "days_p90",
        "P90 (10 % are slower)",
        Format::Days(|days| days.p90_se),
        |f| days(f).p90,
    )
    .under(DAYS)
    .or(Without::NoArrival)
    .in_season()
    .deciding()
    .better(Lower),
    Figure::new(
        "in_harbour_days_p50",
        "in harbour besides, median",
        Tenths,
        |f| Some(f.ensemble.in_harbour_days?.p50),
    )
    .under(DAYS)
    .in_season(),
    Figure::day("arrival_p10", "P10", |f| f.ensemble.arrival.p10)
        .under(ARRIVAL)
        .in_season(),
    Figure::day("arrival_p50", "median", |f| f.ensemble.arrival.p50)
        .under(ARRIVAL)
        .in_season(),
    Figure::day("arrival_p90", "P90", |f| f.ensemble.arrival.p90)
        .under(ARRIVAL)
        .in_season(),
    Figure::new("mean_speed_kn", "Mean speed made good, kn", Tenths, |f| {
        Some(f.expected?.mean_speed_kn)
    })
    .or(Without::Stalls)
    .better(Higher),
    Figure::new(
        "current_along_kn",
        "Current along the track, kn",
        SignedHundredths,
        |f| f.expected?.current.current_along_kn,
    )
    .better(Higher),
    Figure::new(
        "current_days",
        "Days gained by the current",
        SignedTenths,
        |f| f.current_days,
    )
    .better(Higher),
    Figure::new(
        "current_unknown_share",
        "Time without a known current",
        ShareMet,
        |f| {
            f.expected?
                .current
                .current_unknown_share
                .filter(|share| *share > 0.0)
        },
    )
    .better(Lower),
    Figure::new(
        "current_monsoon_share",
        "Time in monsoon currents, not applied",
        ShareMet,
        |f| {
            f.expected?
                .current
                .current_monsoon_share
                .filter(|share| *share > 0.0)
        },
    )
    .better(Lower),
];

/// Figures that stand after the shares of time.
const AFTER: [Figure; 24] = [
    Figure::new(
        "counted_gale_share",
        "gale, as counted in the series",
        Share,
        |f| Some(f.expected?.counted?.gale),
    )
    .under(SHARE)
    .better(Lower),
    Figure::new("model_calm_share", "calm (below 1 kn)", Share, |f| {
        Some(f.expected?.counted?.model_calm)
    })
    .under(SHARE)
    .better(Lower),
    Figure::new(
        "counted_calm_share",
        "calm, as counted in the series",
        Share,
        |f| Some(f.expected?.counted?.calm),
    )
    .under(SHARE)
    .better(Lower),
    Figure::new("gale_6h_chance", "a gale of 6 hours or more", Share, |f| {
        Some(f.ensemble.chance.gale_6h)
    })
    .under(CHANCE)
    .in_season()
    .better(Lower),
    Figure::new(
        "storm_chance",
        "a tropical storm within 200 nm",
        ShareMet,
        |f| Some(f.ensemble.storms.as_ref()?.chance),
    )
    .under(CHANCE)
    .in_season()
    .deciding()
    .better(Lower),
    Figure::new(
        "hard_beat_24h_chance",
        "beating in 20 kn for over 24 hours",
        Share,
        |f| Some(f.ensemble.chance.hard_beat_24h),
    )
    .under(CHANCE)
    .in_season()
    .better(Lower),
    Figure::new(
        "dry_tanks_chance",
        "motoring until the tanks are dry",
        Share,
        |f| f.ensemble.chance.dry_tanks,
    )
    .under(CHANCE)
    .in_season()
    .better(Lower),
    Figure::new(
        "fuel_short_chance",
        "needing more diesel than tanks hold",
        Share,
        |f| {
            let plan = planned(f)?;
            let on_any_filling = plan.staged.as_ref().and_then(|all| all.diesel_short_chance);
            on_any_filling.or(Some(plan.fuel.as_ref()?.reserve_broken_chance))
        },
    )
    .under(CHANCE)
    .or(Without::TooFew)
    .deciding()
    .better(Lower),
    Figure::new(
        "late_chance",
        "being late for the deadline most missed",
        ShareMet,
        |f| {
            let chances = f.ensemble.late.iter().map(|late| late.chance);
            chances.max_by(f64::total_cmp)
        },
    )
    .under(CHANCE)
    .in_season()
    .better(Lower),
    Figure::new(
        "longest_light_air_p90_hours",
        "Longest light air, P90, hours",
        Whole,
        |f| Some(f.ensemble.longest_light_air_hours.p90),
    )
    .in_season()
    .better(Lower),
    Figure::new(
        "diesel_p50_litres",
        "Diesel burnt, median",
        Format::Amount(Unit::Litre),
        |f| Some(f.ensemble.litres?.p50),
    )
    .least_where(|f| ran_dry_at(0.5, f))
    .in_season()
    .better(Lower),
    Figure::new(
        "diesel_p90_litres",
        "Diesel burnt, P90",
        Format::Amount(Unit::Litre),
        |f| Some(f.ensemble.litres?.p90),
    )
    .least_where(|f| ran_dry_at(0.9, f))
    .in_season()
    .better(Lower),
    Figure::new("air_temperature_mean_c", "Air, mean", Temperature, |f| {
        Some(f.air?.mean)
    })
    .in_season()
    .better(Higher),
    Figure::new(
        "air_temperature_lowest_c",
        "Air, coldest month met",
        Temperature,
        |f| Some(f.air?.lowest),
    )
    .in_season()
    .deciding()
    .better(Higher),
    Figure::new(
        "wave_height_m",
        "Fully developed wave height",
        Format::Amount(Unit::Metre),
        |f| {
            let expected = f.expected?;
            let measured = expected.measured_wave_height_m.is_some();
            (!measured).then_some(expected.wave_height_m)
        },
    )
    .or(Without::Stalls)
    .better(Lower),
    Figure::new(
        "measured_wave_height_m",
        "Mean significant height, measured",
        Format::Amount(Unit::Metre),
        |f| f.expected?.measured_wave_height_m,
    )
    .better(Lower),
    Figure::new(
        "far_from_land_nm",
        "Longest run over 500 nm from land, nm",
        Whole,
        |f| f.far_from_land_nm,
    )
    .better(Lower),
    Figure::new(
        "replaced_data_share",
        "Time on gap-filled wind data",
        Share,
        |f| f.expected?.replaced_share,
    )
    .better(Lower),
    Figure::new(
        "load_confidence_percent",
        "enough for this share of passages",
        Percent,
        |f| Some(planned(f)?.chosen.percent),
    )
    .under(LOAD)
    .or(Without::TooFew),
    Figure::new(
        "load_diesel_litres",
        "diesel",
        Format::Amount(Unit::Litre),
        |f| Some(planned(f)?.fuel.as_ref()?.chosen.to_load_litres),
    )
    .least_where(|f| {
        let fuel = planned(f).and_then(|plan| plan.fuel.as_ref());
        fuel.is_some_and(|fuel| fuel.chosen.is_least)
    })
    .short_by(|f| Some(planned(f)?.fuel.as_ref()?.shortfall_litres))
    .under(LOAD)
    .or(Without::TooFew)
    .deciding()
    .better(Lower),
    Figure::new(
        "load_food_kg",
        "food",
        Format::Amount(Unit::Kilogram),
        |f| Some(planned(f)?.food.to_load_kg),
    )
    .under(LOAD)
    .or(Without::TooFew)
    .better(Lower),
    Figure::new(
        "load_water_litres",
        "water",
        Format::Amount(Unit::Litre),
        |f| Some(planned(f)?.water.to_load_litres),
    )
    .short_by(|f| planned(f)?.water.shortfall_litres)
    .under(LOAD)
    .or(Without::TooFew)
    .deciding()
    .better(Lower),
    Figure::new("cost", "Cost, in the money of the prices", Whole, |f| {
        let costs = planned(f)?.costs.as_ref()?;
        let all_known = costs.purchases.iter().all(|bought| bought.cost.is_some());
        all_known.then_some(costs.total)
    })
    .deciding()
    .better(Lower),
    Figure::new(
        "no_arrival_chance",
        "no arrival within 400 days",
        ShareMet,
        |f| Some(f.ensemble.chance.no_arrival).filter(|chance| *chance > 0.0),
    )
    .in_season()
    .better(Lower),
];

/// Rows under one heading, or under none.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Group {
    pub heading: Option<&'static str>,
    pub rows: Vec<Row>,
}

/// A figure of every route.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Row {
    pub label: &'static str,
    pub cells: Vec<String>,
    /// The route that has the better value; none where two or more are written alike, or neither way
    /// is better.
    pub best: Option<usize>,
    /// Of an amount, the cells for columns too narrow for the unit; none of another figure.
    pub apart: Option<Apart>,
}

/// An amount of every route with its unit apart.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Apart {
    /// The unit of all cells.
    pub unit: &'static str,
    pub cells: Vec<String>,
    /// What does not fit of each; empty where all fits.
    pub short: Vec<String>,
}

/// The comparison's figures in groups; a row in which no route has a figure is left out.
pub(super) fn groups(comparison: &Comparison) -> Vec<Group> {
    grouped_figures(comparison, |_| true)
}

/// The few figures that decide, likewise; a share or a chance that is the same on all of several routes
/// is left out.
pub(super) fn deciding_groups(comparison: &Comparison) -> Vec<Group> {
    let mut groups = grouped_figures(comparison, |figure| figure.decides);
    if comparison.routes.len() > 1 {
        let may_go = |group: &&mut Group| matches!(group.heading, Some(SHARE | CHANCE));
        for group in groups.iter_mut().filter(may_go) {
            let differs = |row: &Row| row.cells.iter().any(|cell| *cell != row.cells[0]);
            group.rows.retain(differs);
        }
        groups.retain(|group| !group.rows.is_empty());
    }
    groups
}

/// The figure of a column of the CSV on every route, for a reader; `*` behind the better value.
pub(super) fn cells_of(comparison: &Comparison, column: &str) -> Vec<String> {
    let facts: Vec<Facts<'_>> = comparison.routes.iter().map(Facts::from).collect();
    let Some(figure) = Figure::named(column) else {
        return vec![String::new(); facts.len()];
    };
    let cells = facts.iter();
    let cells: Vec<String> = cells
        .map(|facts| figure.cell(facts, &comparison.voyage))
        .collect();
    let best = figure.best(&facts, &cells);
    let marked = cells.iter().enumerate().map(|(index, cell)| {
        let mark = match best {
            _ if cell.is_empty() => "",
            Some(best) if best == index => "*",
            _ => " ",
        };
        format!("{cell}{mark}")
    });
    marked.collect()
}

fn grouped_figures(comparison: &Comparison, wanted: impl Fn(&Figure) -> bool) -> Vec<Group> {
    let facts: Vec<Facts<'_>> = comparison.routes.iter().map(Facts::from).collect();
    let mut groups: Vec<Group> = Vec::new();
    for figure in FIGURES.iter().filter(|figure| wanted(figure)) {
        let cells: Vec<String> = facts
            .iter()
            .map(|facts| figure.cell(facts, &comparison.voyage))
            .collect();
        if cells.iter().all(String::is_empty) {
            continue;
        }
        let row = Row {
            label: figure.label,
            best: figure.best(&facts, &cells),
            apart: figure.apart(&facts, &comparison.voyage),
            cells,
        };
        match groups.last_mut() {
            Some(group) if group.heading == figure.heading => group.rows.push(row),
            _ => groups.push(Group {
                heading: figure.heading,
                rows: vec![row],
            }),
        }
    }
    groups
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;

    #[test]
    fn every_figure_has_a_name_of_its_own_and_groups_hold_together() {
        let columns: HashSet<String> = FIGURES.iter().map(Figure::column).collect();
        assert_eq!(columns.len(), FIGURES.len());
        let mut headings: Vec<_> = FIGURES.iter().filter_map(|figure| figure.heading).collect();
        headings.dedup();
        let once: HashSet<&str> = headings.iter().copied().collect();
        assert_eq!(
            once.len(),
            headings.len(),
            "a group is broken: {headings:?}"
        );
    }
}
