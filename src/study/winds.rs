//! The winds of a place through the months, or along a route.

use schemars::JsonSchema;
use serde::Serialize;

use super::StudyError;
use super::about::AboutWinds;
use crate::climate::{
    BeaufortForce, Climate, ClimateFault, CountedShares, LOWER_BOUNDS_KN, Month, Region, SeasonDay,
    Wind,
};
use crate::geodesy::Position;
use crate::passage::{
    GALE_KN, LIGHT_AIR_KN, PassageError, STRONG_KN, SurveyedPlace, survey_place, survey_route,
};
use crate::units::{KN_PER_MS, MS_PER_KN};
use crate::voyage::{ClimateChoice, Voyage};

/// Room around a place for which climate is read, so that the nodes on all sides of it are there
/// even on a coarse grid.
const MARGIN_DEG: f64 = 5.0;

/// The winds of a place through the months, or along a route.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct SurveyedWinds {
    /// The route's name; none for one place.
    pub route: Option<String>,
    /// Which winds.
    pub winds: AboutWinds,
    /// The place month by month, or the route's places in order; never empty.
    pub places: Vec<PlaceWinds>,
}

/// One place in one month.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct PlaceWinds {
    /// Where.
    pub position: Position,
    /// How far along the route, nautical miles; none off a route.
    pub distance_nm: Option<f64>,
    /// The month.
    pub month: Month,
    /// The wind; none without wind data there and then.
    pub wind: Option<WindFigures>,
    /// Mean air temperature, degrees Celsius; none where the climate has none.
    pub air_temperature_c: Option<f64>,
    /// Gales and calms as counted in the climate's series; none where they were not.
    pub counted: Option<CountedShares>,
    /// Share of these figures that rests on replaced wind data, 0 to 1; none where the climate does
    /// not say.
    pub replaced_share: Option<f64>,
}

/// The winds of a place in some months.
///
/// # Errors
/// Winds that cannot be read; a place without winds in all of the months.
pub fn winds_at(
    position: Position,
    months: &[Month],
    choice: &ClimateChoice,
) -> Result<SurveyedWinds, StudyError> {
    let place = (position.latitude_deg(), position.longitude_deg());
    let region = Region::covering([place], MARGIN_DEG).unwrap_or(Region::world());
    let climate = choice.open(&region).map_err(|error| match *error.fault {
        // To one who asks about a place, what matters is the place.
        ClimateFault::AllMissing { .. } | ClimateFault::NoWind { .. } => {
            StudyError::from(PassageError::no_winds(position, months))
        }
        _ => error.into(),
    })?;
    let places = survey_place(&climate, position, months)?;
    Ok(SurveyedWinds::new(&climate, choice, None, &places))
}

/// The winds along a voyage's first route, in one month or in that of the departure.
///
/// # Errors
/// Winds that cannot be read; a route without winds in all of its places.
pub fn winds_along(voyage: &Voyage, month: Option<Month>) -> Result<SurveyedWinds, StudyError> {
    let climate = voyage.open_climate()?;
    let month = month.unwrap_or_else(|| SeasonDay::from_date(voyage.departure).month());
    let route = &voyage.routes[0];
    let places = survey_route(&climate, route, month)?;
    let name = Some(route.name().to_owned());
    Ok(SurveyedWinds::new(&climate, &voyage.climate, name, &places))
}

impl SurveyedWinds {
    fn new(
        climate: &Climate,
        choice: &ClimateChoice,
        route: Option<String>,
        places: &[SurveyedPlace],
    ) -> Self {
        let figures = |place: &SurveyedPlace| PlaceWinds {
            position: place.position,
            distance_nm: place.run_nm,
            month: place.month,
            wind: place.climate.map(|local| WindFigures::of(&local.wind)),
            air_temperature_c: place.climate.and_then(|local| local.air_temperature_c),
            counted: climate.counted_in_month(place.position, place.month),
            replaced_share: place.climate.and_then(|local| local.replaced_share),
        };
        Self {
            route,
            winds: AboutWinds::new(climate, choice.is_own()),
            places: places.iter().map(figures).collect(),
        }
    }
}

/// What the eight sectors are called, clockwise from north.
pub const SECTORS: [&str; 8] = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];

/// A wind as it is shown.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct WindFigures {
    /// Where the mean vector comes from, degrees true; none where there is none.
    pub from_deg: Option<f64>,
    /// Mean speed whatever the direction, knots.
    pub mean_speed_kn: f64,
    /// Size of the mean vector, knots.
    pub vector_mean_speed_kn: f64,
    /// Standard deviation of each component, knots.
    pub standard_deviation_kn: f64,
    /// Vector mean over mean speed, 0 to 1; none where the wind is always nil.
    pub steadiness: Option<f64>,
    /// The Beaufort force of the mean speed.
    pub force: ForceFigures,
    /// What all the others follow from, metres per second.
    pub components_ms: Components,
    /// Shares of time by speed, 0 to 1.
    pub share: SpeedShares,
    /// The wind by eight sectors, clockwise from north.
    pub rose: [SectorFigures; 8],
}

/// A Beaufort force.

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
pub struct ForceFigures {
    /// Its number, 0 to 12.
    pub number: u8,
    /// What it is called.
    pub name: &'static str,
}

/// A wind by its two components, metres per second.
#[derive(Debug, Clone, Copy, JsonSchema, Serialize)]
pub struct Components {
    /// Mean component toward the east, metres per second.
    pub toward_east: f64,
    /// Mean component toward the north, metres per second.
    pub toward_north: f64,
    /// Standard deviation of each, metres per second.
    pub standard_deviation: f64,
}

/// Shares of time by speed. Light air holds the calms, strong wind the gales.
#[derive(Debug, Clone, Copy, JsonSchema, Serialize)]
pub struct SpeedShares {
    /// Share of the time below 1 kn.
    pub calm: f64,
    /// Share of the time below 6 kn.
    pub light_air: f64,
    /// Share of the time at 22 kn or more.
    pub strong: f64,
    /// Share of the time at 34 kn or more.
    pub gale: f64,
}

/// The wind from one of eight sectors of 45 degrees.
#[derive(Debug, Clone, Copy, JsonSchema, Serialize)]
pub struct SectorFigures {
    /// The direction of its middle.
    #[schemars(extend("enum" = SECTORS))]
    pub from: &'static str,
    /// The direction of its middle, degrees true.
    pub from_deg: f64,
    /// Share of the time the wind comes from it, 0 to 1.
    pub share: f64,
    /// Mean speed of the wind from it, knots; none where there is none.
    pub mean_speed_kn: Option<f64>,
    /// The Beaufort force of that mean.
    pub force: Option<ForceFigures>,
}

impl ForceFigures {
    fn of(speed_kn: f64) -> Self {
        let force = BeaufortForce::from_speed_kn(speed_kn);
        Self {
            number: force.number(),
            name: force.name(),
        }
    }
}

impl WindFigures {
    fn of(wind: &Wind) -> Self {
        let mean_speed_kn = wind.mean_speed_ms() * KN_PER_MS;
        let vector_mean_speed_kn = wind.vector_mean_speed_ms() * KN_PER_MS;
        let mut names = SECTORS.into_iter();
        Self {
            from_deg: (vector_mean_speed_kn > 0.0).then(|| wind.direction().deg()),
            mean_speed_kn,
            vector_mean_speed_kn,
            standard_deviation_kn: wind.s_ms * KN_PER_MS,
            steadiness: wind.steadiness(),
            force: ForceFigures::of(mean_speed_kn),
            components_ms: Components {
                toward_east: wind.u_ms,
                toward_north: wind.v_ms,
                standard_deviation: wind.s_ms,
            },
            share: SpeedShares {
                calm: wind.share_below(LOWER_BOUNDS_KN[0] * MS_PER_KN),
                light_air: wind.share_below(LIGHT_AIR_KN * MS_PER_KN),
                strong: wind.share_at_or_above(STRONG_KN * MS_PER_KN),
                gale: wind.share_at_or_above(GALE_KN * MS_PER_KN),
            },
            rose: wind.rose().map(|sector| {
                let mean_speed_kn = sector.mean_speed_ms.map(|speed_ms| speed_ms * KN_PER_MS);
                SectorFigures {
                    from: names.next().unwrap_or_default(),
                    from_deg: sector.from.deg(),
                    share: sector.share,
                    mean_speed_kn,
                    force: mean_speed_kn.map(ForceFigures::of),
                }
            }),
        }
    }
}
