//! Conditions on the way: shares of time, each by the wind against the course.

use std::borrow::Cow;
use std::ops::{Index, IndexMut};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};

use super::measured::{CountedBesideModel, MeasuredHere, MeasuredHours};
use super::wind_nodes::WindNodes;
use crate::climate::{Current, CurrentBasis, LocalClimate, Wind, WindScatter, turned_along};
use crate::units::{Course, GRAVITY_MS2, KN_PER_MS, MS_PER_KN};

/// A headwind blows from less than this far off the course: our definition.
pub(super) const HEADWIND_OFF_DEG: f64 = 60.0;
/// A wind aft of the beam blows from more than this far off the course: our definition.
const ABAFT_OFF_DEG: f64 = 110.0;
/// A headwind of this speed or more makes it beating in strong wind: our definition.
const HARD_BEAT_KN: f64 = 20.0;
/// Below this speed the air is light: our definition.
pub const LIGHT_AIR_KN: f64 = 6.0;
/// At this speed or more the wind is strong: the lower bound of Beaufort force 6 (WMO).
pub const STRONG_KN: f64 = 22.0;
pub use crate::climate::GALE_KN;

/// Significant height of a fully developed sea: Hs = 0.22 U10^2 / g.
/// Source: R. H. Stewart, Introduction to Physical Oceanography, chapter 16, eq. 16.33.
const DEVELOPED_SEA: f64 = 0.22;

/// The significant height of the sea that a wind of this square, m2/s2, raises where it blows long and
/// far enough, metres: an upper estimate.
pub(super) fn developed_wave_height_m(wind_speed_ms2: f64) -> f64 {
    DEVELOPED_SEA / GRAVITY_MS2 * wind_speed_ms2
}

/// A kind of exposure: the one list of them. All that counts, shows or writes exposures goes over
/// [`ExposureKind::ALL`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ExposureKind {
    /// The wind less than 60 degrees off the course.
    Headwind,
    /// A headwind of 20 kn or more.
    HardBeat,
    /// The wind more than 110 degrees off the course.
    Abaft,
    /// Wind below 6 kn.
    LightAir,
    /// Wind of 22 kn or more.
    Strong,
    /// Wind of 34 kn or more.
    Gale,
    /// Under power.
    UnderPower,
}

/// How one kind of exposure is named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KindNames {
    /// Its name in JSON and, with `_share` behind it, in CSV.
    pub id: &'static str,
    /// Its name in tables, with its bounds.
    pub label: &'static str,
    /// Its name at the head of a narrow column.
    pub column: &'static str,
    /// What days of it are called, where routes are compared by it: `days beating in 20 kn or more`.
    pub told: Option<&'static str>,
    /// What it is, for those who read JSON.
    pub meaning: &'static str,
    /// Whether a crew would rather have more of it.
    pub welcome: bool,
}

impl ExposureKind {
    /// All kinds, in the order in which they are shown.
    pub const ALL: [Self; 7] = [
        Self::Headwind,
        Self::HardBeat,
        Self::Abaft,
        Self::LightAir,
        Self::Strong,
        Self::Gale,
        Self::UnderPower,
    ];

    /// What it is called.
    pub const fn names(self) -> KindNames {
        let (id, label, column, told, meaning) = match self {
            Self::Headwind => (
                "headwind",
                "headwind (under 60° off the course)",
                "Head",
                Some("with a headwind"),
                "with the wind less than 60 degrees off the course",
            ),
            Self::HardBeat => (
                "hard_beat",
                "beating in 20 kn or more",
                "Beat",
                Some("beating in 20 kn or more"),
                "with a headwind of 20 kn or more",
            ),
            Self::Abaft => (
                "abaft",
                "wind aft of the beam (over 110°)",
                "Aft",
                None,
                "with the wind more than 110 degrees off the course",
            ),
            Self::LightAir => (
                "light_air",
                "light air (under 6 kn)",
                "Light",
                Some("of light air"),
                "with wind below 6 kn",
            ),
            Self::Strong => (
                "strong",
                "strong wind (22 kn or more)",
                "Strong",
                None,
                "with wind of 22 kn or more",
            ),
            Self::Gale => (
                "gale",
                "gale (34 kn or more)",
                "Gale",
                Some("of gale"),
                "with wind of 34 kn or more",
            ),
            Self::UnderPower => (
                "under_power",
                "engine running",
                "Power",
                Some("under power"),
                "under power",
            ),
        };
        KindNames {
            id,
            label,
            column,
            told,
            meaning,
            welcome: matches!(self, Self::Abaft),
        }
    }

    /// Whether it is met in a wind of `speed_kn` from `off_deg` (0 to 180) off the course; never for
    /// [`Self::UnderPower`], on which the boat decides.
    pub fn applies(self, speed_kn: f64, off_deg: f64) -> bool {
        let headwind = off_deg < HEADWIND_OFF_DEG;
        match self {
            Self::Headwind => headwind,
            Self::HardBeat => headwind && speed_kn >= HARD_BEAT_KN,
            Self::Abaft => off_deg > ABAFT_OFF_DEG,
            Self::LightAir => speed_kn < LIGHT_AIR_KN,
            Self::Strong => speed_kn >= STRONG_KN,
            Self::Gale => speed_kn >= GALE_KN,
            Self::UnderPower => false,
        }
    }

    /// The share of time that `wind` gives a boat on `course`; none of it under power.
    fn share(self, wind: &Wind, course: Course) -> f64 {
        let astern = Course::from_deg(course.deg() + 180.0);
        let hard_beat_ms = HARD_BEAT_KN * MS_PER_KN;
        match self {
            Self::Headwind => wind.share_within(course, HEADWIND_OFF_DEG),
            Self::HardBeat => wind.share_within_at_or_above(course, HEADWIND_OFF_DEG, hard_beat_ms),
            Self::Abaft => wind.share_within(astern, 180.0 - ABAFT_OFF_DEG),
            Self::LightAir => wind.share_below(LIGHT_AIR_KN * MS_PER_KN),
            Self::Strong => wind.share_at_or_above(STRONG_KN * MS_PER_KN),
            Self::Gale => wind.share_at_or_above(GALE_KN * MS_PER_KN),
            Self::UnderPower => 0.0,
        }
    }
}

/// A value for each kind of exposure; serialised as an object by their names.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ByKind<T>([T; ExposureKind::ALL.len()]);

/// Shares of time, each from 0 to 1.
pub type Exposure = ByKind<f64>;

impl<T> ByKind<T> {
    /// The value that `of` gives for each kind.
    pub fn of(of: impl FnMut(ExposureKind) -> T) -> Self {
        Self(ExposureKind::ALL.map(of))
    }

    /// Each kind with its value.
    pub fn iter(&self) -> impl Iterator<Item = (ExposureKind, &T)> {
        ExposureKind::ALL.into_iter().zip(&self.0)
    }
}

impl<T> Index<ExposureKind> for ByKind<T> {
    type Output = T;

    fn index(&self, kind: ExposureKind) -> &T {
        &self.0[kind as usize]
    }
}

impl<T> IndexMut<ExposureKind> for ByKind<T> {
    fn index_mut(&mut self, kind: ExposureKind) -> &mut T {
        &mut self.0[kind as usize]
    }
}

impl<T: Serialize> Serialize for ByKind<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.iter().map(|(kind, value)| (kind.names().id, value)))
    }
}

impl<T: JsonSchema> JsonSchema for ByKind<T> {
    fn schema_name() -> Cow<'static, str> {
        format!("ByKindOf_{}", T::schema_name()).into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let mut properties = serde_json::Map::new();
        for kind in ExposureKind::ALL {
            let KindNames { id, meaning, .. } = kind.names();
            let mut value = generator.subschema_for::<T>();
            value.insert("description".to_owned(), format!("Time {meaning}.").into());
            properties.insert(id.to_owned(), value.into());
        }
        json_schema!({
            "description": "A value for each kind of exposure.",
            "type": "object",
            "properties": properties,
            "required": ExposureKind::ALL.map(|kind| kind.names().id),
        })
    }
}

impl Exposure {
    /// The shares of time that `wind` gives a boat on `course`; none of it under power.
    pub fn of_wind(wind: &Wind, course: Course) -> Self {
        Self::of(|kind| kind.share(wind, course))
    }

    /// The same of a wind that scatters so about its mean, counted over the nodes that stand for it.
    pub(super) fn of_scatter(
        wind: &Wind,
        scatter: &WindScatter,
        course: Course,
        nodes: &WindNodes,
    ) -> Self {
        let (east, north) = course.deg().to_radians().sin_cos();
        let mut counts = ByKind::<u32>::default();
        nodes.mean(|x, y| {
            let [ahead, abeam] = turned_along(scatter.about(wind, x, y), [east, north]);
            let off_deg = abeam.abs().atan2(ahead).to_degrees();
            let speed_kn = ahead.hypot(abeam) * KN_PER_MS;
            for kind in ExposureKind::ALL {
                counts[kind] += u32::from(kind.applies(speed_kn, off_deg));
            }
            0.0
        });
        Self::of(|kind| f64::from(counts[kind]) / nodes.len() as f64)
    }

    /// Adds `weight` times another exposure to this one.
    pub fn add(&mut self, other: &Self, weight: f64) {
        for (sum, share) in self.0.iter_mut().zip(&other.0) {
            *sum += weight * share;
        }
    }

    /// This exposure with every share multiplied by `factor`.
    pub fn scaled(&self, factor: f64) -> Self {
        Self(self.0.map(|share| share * factor))
    }
}

/// Air temperature along a passage, from monthly means, in degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct AirTemperature {
    /// The mean over the time, degrees Celsius.
    pub mean: f64,
    /// The lowest monthly mean met, degrees Celsius.
    pub lowest: f64,
}

/// The current at a place, as it meets a course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct CurrentHere {
    pub current: Current,
    /// Its part along the course, knots.
    pub along_kn: f64,
    pub basis: CurrentBasis,
}

/// Adds up what is met, hour by hour.
#[derive(Debug, Clone, Default)]
pub(super) struct Tally {
    hours: f64,
    exposure_hours: Exposure,
    wind: WindHours,
    temperature: Option<(f64, f64)>,
    temperature_hours: f64,
    replaced_hours: Option<f64>,
    current: Option<CurrentHours>,
    measured: MeasuredHours,
}

/// Sums over time of the current's parts, and of what they rest on.
#[derive(Debug, Clone, Copy, Default)]
struct CurrentHours {
    east_kn: f64,
    north_kn: f64,
    along_kn: f64,
    unknown: f64,
    monsoon: f64,
}

/// Sums over time of the wind's moments.
#[derive(Debug, Clone, Copy, Default)]
struct WindHours {
    east_ms: f64,
    north_ms: f64,
    spread_ms2: f64,
    speed_ms: f64,
    speed_ms2: f64,
}

/// The time's mean of what was tallied.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Means {
    pub exposure: Exposure,
    pub wind: Wind,
    pub mean_speed_kn: f64,
    pub wave_height_m: f64,
    /// None where it was not measured for enough of the time.
    pub measured_wave_height_m: Option<f64>,
    /// None where they were not counted for enough of the time.
    pub counted: Option<CountedBesideModel>,
    pub air_temperature_c: Option<AirTemperature>,
    pub replaced_share: Option<f64>,
    /// None where no currents are reckoned with.
    pub current: Option<CurrentHere>,
}

impl Tally {
    /// Adds a stretch of `hours` in one climate.
    pub(super) fn add(&mut self, hours: f64, climate: &LocalClimate, exposure: &Exposure) {
        self.hours += hours;
        self.exposure_hours.add(exposure, hours);

        let wind = &climate.wind;
        self.wind.east_ms += hours * wind.u_ms;
        self.wind.north_ms += hours * wind.v_ms;
        self.wind.spread_ms2 += hours * wind.s_ms * wind.s_ms;
        self.wind.speed_ms += hours * wind.mean_speed_ms();
        self.wind.speed_ms2 += hours * wind.mean_square_speed_ms2();

        if let Some(here_c) = climate.air_temperature_c {
            let (sum, lowest) = self.temperature.unwrap_or((0.0, f64::INFINITY));
            self.temperature = Some((sum + hours * here_c, lowest.min(here_c)));
            self.temperature_hours += hours;
        }
        if let Some(share) = climate.replaced_share {
            *self.replaced_hours.get_or_insert(0.0) += hours * share;
        }
    }

    /// Adds the current met in a stretch of `hours` that [`Self::add`] was told of.
    pub(super) fn add_current(&mut self, hours: f64, here: &CurrentHere) {
        let sums = self.current.get_or_insert_default();
        sums.east_kn += hours * here.current.east_kn;
        sums.north_kn += hours * here.current.north_kn;
        sums.along_kn += hours * here.along_kn;
        sums.unknown += hours * here.basis.unknown;
        sums.monsoon += hours * here.basis.monsoon;
    }

    /// Adds what was measured in a stretch of `hours` that [`Self::add`] was told of.
    pub(super) fn add_measured(&mut self, hours: f64, here: &MeasuredHere) {
        self.measured.add(hours, here);
    }

    pub(super) fn hours(&self) -> f64 {
        self.hours
    }

    pub(super) fn hours_under_power(&self) -> f64 {
        self.exposure_hours[ExposureKind::UnderPower]
    }

    /// The means over all the time tallied, which must not be none.
    pub(super) fn means(&self) -> Means {
        let per_hour = 1.0 / self.hours;
        Means {
            exposure: self.exposure_hours.scaled(per_hour),
            wind: Wind {
                u_ms: self.wind.east_ms * per_hour,
                v_ms: self.wind.north_ms * per_hour,
                s_ms: (self.wind.spread_ms2 * per_hour).sqrt(),
            },
            mean_speed_kn: self.wind.speed_ms * per_hour * KN_PER_MS,
            wave_height_m: developed_wave_height_m(self.wind.speed_ms2 * per_hour),
            measured_wave_height_m: self.measured.wave_height_m(self.hours),
            counted: self.measured.counted(self.hours),
            air_temperature_c: self.temperature.map(|(sum, lowest)| AirTemperature {
                mean: sum / self.temperature_hours,
                lowest,
            }),
            replaced_share: self.replaced_hours.map(|hours| hours * per_hour),
            current: self.current.map(|sums| CurrentHere {
                current: Current {
                    east_kn: sums.east_kn * per_hour,
                    north_kn: sums.north_kn * per_hour,
                },
                along_kn: sums.along_kn * per_hour,
                basis: CurrentBasis {
                    unknown: sums.unknown * per_hour,
                    monsoon: sums.monsoon * per_hour,
                },
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The shares of time against the rule for a single wind, counted over the wind's nodes.
    #[test]
    fn one_wind_and_the_shares_of_time_go_by_one_rule() {
        /// A node is a quarter of a thousandth, and a few lie at an edge.
        const SHARE_TOLERANCE: f64 = 0.005;
        let wind = Wind {
            u_ms: -4.0,
            v_ms: 3.0,
            s_ms: 6.0,
        };
        let (nodes, even) = (WindNodes::new(), WindScatter::even(wind.s_ms));
        for course_deg in [0.0, 100.0, 200.0, 330.0] {
            let course = Course::from_deg(course_deg);
            let counted = Exposure::of_scatter(&wind, &even, course, &nodes);
            for (kind, share) in Exposure::of_wind(&wind, course).iter() {
                let counted = counted[kind];
                approx::assert_abs_diff_eq!(*share, counted, epsilon = SHARE_TOLERANCE);
            }
        }
    }
}
