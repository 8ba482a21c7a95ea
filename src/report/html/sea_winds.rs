//! The month's wind over the map's sea: its mean speed as shades of one hue, its mean direction and
//! how steady that is as marks.
//!
//! Winds from opposite sides cancel in a vector mean, so that a sea of gales from everywhere may have
//! one near nought. So the speed shown, by shade and by barbs, is the mean of the speed whatever the
//! direction; a staff is drawn only where there is a direction to speak of.

use super::barb::{Barb, barb};
use super::frame::Frame;
use super::key::Key;
use super::labels::Taken;
use super::shade::{BANDS_KN, shades};
use super::sheet::{Sheet, degrees};
use super::svg::{Drawing, Path, Point};
use crate::climate::{Climate, Month};
use crate::geodesy::Position;
use crate::report::wording::percent;
use crate::route::Land;
use crate::units::{KN_PER_MS, wrap_180_deg};

/// A wind of at least this steadiness has a whole staff (our definition).
const STEADY: f64 = 0.6;
/// One of less than this has none (our definition).
const FROM_ALL_SIDES: f64 = 0.3;
/// Barbs whose middle is nearer to a route than this would hide its strokes.
const CLEAR_OF_ROUTES: f64 = 14.0;
/// Half the size of the cross of a wind from all sides, and the radius of a calm, in the drawing's
/// units.
const CROSS: f64 = 3.2;

/// A month's winds for a map.
#[derive(Clone, Copy)]
pub(super) struct SeaWinds<'a> {
    pub climate: &'a Climate,
    pub month: Month,
}

/// The mean wind of one place.
#[derive(Debug, Clone, Copy)]
struct MeanWind {
    place: Position,
    from_deg: f64,
    /// The mean of the speed whatever the direction.
    speed_kn: f64,
    /// The vector mean over the mean of the speed, 0 to 1.
    steadiness: f64,
}

impl MeanWind {
    /// For a reader who rests on it.
    fn told(&self) -> String {
        let latitude = degrees(self.place.latitude_deg().round(), ["N", "S"]);
        let longitude = degrees(self.place.longitude_deg().round(), ["E", "W"]);
        let speed_kn = self.speed_kn;
        if self.steadiness < FROM_ALL_SIDES {
            return format!("{latitude} {longitude}: mean {speed_kn:.0} kn, from all sides");
        }
        format!(
            "{latitude} {longitude}: mean {speed_kn:.0} kn, mostly from {:03.0}°, steadiness {}",
            self.from_deg,
            percent(self.steadiness)
        )
    }
}

/// The strokes of many marks, by how steady the wind is.
#[derive(Default)]
struct Marks {
    steady: Path,
    varying_staffs: Path,
    varying: Path,
    pennants: Path,
    crosses: Path,
    calms: Vec<Point>,
}

impl Marks {
    /// Adds the mark of a wind at a station, `from` being where it comes from on the drawing.
    fn add(&mut self, station: Point, from: Point, wind: &MeanWind, length: f64) {
        let southern = wind.place.latitude_deg() < 0.0;
        let Some(Barb {
            staff,
            barbs,
            pennants,
        }) = barb(station, from, wind.speed_kn, southern, length)
        else {
            self.calms.push(station);
            return;
        };
        if wind.steadiness < FROM_ALL_SIDES {
            let [x, y] = station;
            self.crosses.add(&[[x - CROSS, y], [x + CROSS, y]], false);
            self.crosses.add(&[[x, y - CROSS], [x, y + CROSS]], false);
            return;
        }
        if wind.steadiness >= STEADY {
            self.steady.join(&staff);
            self.steady.join(&barbs);
        } else {
            self.varying_staffs.join(&staff);
            self.varying.join(&barbs);
        }
        self.pennants.join(&pennants);
    }

    fn draw(&self, drawing: &mut Drawing) {
        for (class, path) in [
            ("barb", &self.steady),
            ("barb varying", &self.varying),
            ("barb varying broken", &self.varying_staffs),
            ("pennant", &self.pennants),
            ("barb cross", &self.crosses),
        ] {
            if *path != Path::default() {
                drawing.path(class, path);
            }
        }
        for station in &self.calms {
            drawing.circle("barb", *station, CROSS);
        }
    }
}

impl SeaWinds<'_> {
    /// The shades of the mean speed, and what a pointer that rests on them is told.
    pub(super) fn ground(&self, sheet: &Sheet, drawing: &mut Drawing) {
        let speed_kn = |at: Point| Some(self.at(sheet, at)?.speed_kn);
        for (band, path) in shades(&sheet.window, speed_kn).iter().enumerate() {
            drawing.path(&format!("shade s{band}"), path);
        }
        // A phone has no pointer to rest.
        if sheet.frame == Frame::Wide {
            let size = lattice(sheet);
            for station in stations(sheet, size) {
                if let Some(wind) = self.at_sea(sheet, station) {
                    let corner = [0, 1].map(|i| station[i] - size[i] / 2.0);
                    drawing.hover(&wind.told(), corner, size[0], size[1]);
                }
            }
        }
    }

    /// The marks of direction, where nothing else stands.
    pub(super) fn marks(&self, sheet: &Sheet, drawing: &mut Drawing, taken: &Taken) {
        let staff = sheet.frame.pick(21.0, 16.0);
        let mut marks = Marks::default();
        for station in stations(sheet, lattice(sheet)) {
            let Some(wind) = self.at_sea(sheet, station) else {
                continue;
            };
            let from = sheet.projection.towards(
                wind.place.latitude_deg(),
                wind.place.longitude_deg(),
                wind.from_deg,
            );
            let middle = [0, 1].map(|i| station[i] + 0.5 * staff * from[i]);
            let half = [0, 1].map(|i| 0.5 * staff * from[i].abs() + 4.0);
            if sheet.clearance(middle, |_| true) >= CLEAR_OF_ROUTES && taken.is_free(middle, half) {
                marks.add(station, from, &wind, staff);
            }
        }
        marks.draw(drawing);
    }

    fn at(&self, sheet: &Sheet, at: Point) -> Option<MeanWind> {
        let (latitude_deg, longitude_deg) = sheet.projection.place(sheet.window.on_map(at))?;
        let place = Position::new(latitude_deg, wrap_180_deg(longitude_deg)).ok()?;
        let wind = self.climate.month_at(place, self.month)?.wind;
        Some(MeanWind {
            place,
            from_deg: wind.direction().deg(),
            speed_kn: wind.mean_speed_ms() * KN_PER_MS,
            steadiness: wind.steadiness().unwrap_or(0.0),
        })
    }

    fn at_sea(&self, sheet: &Sheet, at: Point) -> Option<MeanWind> {
        let wind = self.at(sheet, at)?;
        (!Land::natural_earth().covers(wind.place)).then_some(wind)
    }
}

/// The width and height of a mark's part of the window.
fn lattice(sheet: &Sheet) -> [f64; 2] {
    let apart = sheet.frame.pick(44.0, 30.0);
    let window = &sheet.window;
    [window.width, window.height].map(|side| side / (side / apart).round().max(1.0))
}

/// The middles of the parts of a window.
fn stations(sheet: &Sheet, [across, down]: [f64; 2]) -> Vec<Point> {
    let window = &sheet.window;
    let count = |side: f64, step: f64| (side / step).round() as u32;
    let (columns, rows) = (count(window.width, across), count(window.height, down));
    let station = |row: u32, column: u32| {
        [
            window.left + (f64::from(column) + 0.5) * across,
            window.top + (f64::from(row) + 0.5) * down,
        ]
    };
    (0..rows)
        .flat_map(|row| (0..columns).map(move |column| station(row, column)))
        .collect()
}

/// The shades and the speeds they stand for.
pub(super) fn shade_keys() -> Vec<Key> {
    let ends = BANDS_KN.iter().skip(1).map(Some).chain([None]);
    let bands = BANDS_KN.iter().zip(ends).enumerate();
    let key = |(band, (from, to)): (usize, (&f64, Option<&f64>))| {
        let name = match to {
            Some(to) if band == 0 => format!("under {to}"),
            Some(to) => format!("{from}–{to}"),
            None => format!("over {from}"),
        };
        let mut sample = Drawing::new(26.0, 14.0);
        sample.rectangle(&format!("shade s{band}"), [1.0, 1.0], 24.0, 12.0);
        Key::new(name, sample)
    };
    bands.map(key).collect()
}

/// The marks and what they say, with the barbs on the side they have at a place.
pub(super) fn mark_keys(place: Position) -> Vec<Key> {
    let key = |name: &str, steadiness: f64, speed_kn: f64| {
        let mut marks = Marks::default();
        let (width, station, staff) = if steadiness < FROM_ALL_SIDES {
            (14.0, [7.0, 8.0], 1.0)
        } else {
            (34.0, [30.0, 12.0], 24.0)
        };
        let wind = MeanWind {
            place,
            from_deg: 270.0,
            speed_kn,
            steadiness,
        };
        marks.add(station, [-1.0, 0.0], &wind, staff);
        let mut sample = Drawing::new(width, 16.0);
        marks.draw(&mut sample);
        Key::new(name.to_owned(), sample)
    };
    vec![
        key("15 kn, mostly from there", 1.0, 15.0),
        key("direction varies", 0.5, 15.0),
        key("from all sides, not calm: see the shade", 0.0, 15.0),
        key("calm", 0.0, 0.0),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A sea of gales from all sides is not drawn as a calm, however little its vector mean is.
    #[test]
    fn only_a_calm_is_drawn_as_a_calm() {
        let drawn = |speed_kn: f64, steadiness: f64| {
            let wind = MeanWind {
                place: Position::new(32.0, -45.0).unwrap(),
                from_deg: 250.0,
                speed_kn,
                steadiness,
            };
            let mut marks = Marks::default();
            marks.add([0.0, 0.0], [-1.0, 0.0], &wind, 20.0);
            marks
        };
        let none = Path::default();
        let all_sides = drawn(14.0, 0.05);
        assert!(all_sides.calms.is_empty() && all_sides.crosses != none);
        assert_eq!((&all_sides.steady, &all_sides.varying), (&none, &none));
        let varying = drawn(14.0, 0.5);
        assert!(varying.varying_staffs != none && varying.steady == none);
        let steady = drawn(14.0, 0.9);
        assert!(steady.steady != none && steady.varying == none && steady.crosses == none);
        assert_eq!(drawn(1.0, 0.9).calms.len(), 1);
    }
}
