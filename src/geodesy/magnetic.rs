//! Magnetic variation, for turning a true course into a compass course.

use jiff::civil::Date;
use world_magnetic_model::GeomagneticField;
use world_magnetic_model::time;
use world_magnetic_model::uom::si::angle::degree;
use world_magnetic_model::uom::si::f32::{Angle, Length};
use world_magnetic_model::uom::si::length::meter;

use super::position::Position;

/// Magnetic variation at sea level in degrees, east positive, by the World Magnetic Model (NOAA and
/// British Geological Survey). None on a date outside the models carried, which cover 2020 to 2029.
///
/// Near the magnetic poles the compass itself is unreliable whatever the variation.
///
/// ```
/// use jiff::civil::date;
/// use offing::geodesy::{Position, magnetic_variation_deg};
///
/// let cape_leeuwin = Position::new(-34.37, 115.14).unwrap();
/// let variation_deg = magnetic_variation_deg(cape_leeuwin, date(2026, 5, 1)).unwrap();
/// assert!(variation_deg < 0.0, "westerly there");
/// assert_eq!(magnetic_variation_deg(cape_leeuwin, date(1950, 5, 1)), None);
/// ```
pub fn magnetic_variation_deg(position: Position, date: Date) -> Option<f64> {
    variation_at_height_deg(position, 0.0, date)
}

fn variation_at_height_deg(position: Position, height_m: f32, date: Date) -> Option<f64> {
    let day = u16::try_from(date.day_of_year()).ok()?;
    let date = time::Date::from_ordinal_date(i32::from(date.year()), day).ok()?;
    let field = GeomagneticField::new(
        Length::new::<meter>(height_m),
        Angle::new::<degree>(position.latitude_deg() as f32),
        Angle::new::<degree>(position.longitude_deg() as f32),
        date,
    )
    .ok()?;
    Some(f64::from(field.declination().get::<degree>()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The reference values are printed to 0.01 degree.
    const VARIATION_TOLERANCE_DEG: f64 = 0.01;

    #[derive(serde::Deserialize)]
    struct Row {
        id: String,
        year: i16,
        day_of_year: i16,
        height_km: f32,
        latitude_deg: f64,
        longitude_deg: f64,
        variation_deg: f64,
    }

    #[test]
    fn variation_agrees_with_the_published_values_of_wmm2025() {
        let path = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/fixtures/reference/geodesy/magnetic.csv"
        );
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_path(path)
            .unwrap();
        let mut rows = 0;
        for row in reader.deserialize() {
            let row: Row = row.unwrap();
            let position = Position::new(row.latitude_deg, row.longitude_deg).unwrap();
            let new_year = Date::constant(row.year, 1, 1);
            let date = new_year
                .checked_add(jiff::Span::new().days(row.day_of_year - 1))
                .unwrap();
            let found_deg =
                variation_at_height_deg(position, row.height_km * 1000.0, date).unwrap();
            let error_deg = (found_deg - row.variation_deg).abs();
            assert!(
                error_deg <= VARIATION_TOLERANCE_DEG,
                "{}: expected {}, found {found_deg:.4}, error {error_deg:.4} degrees",
                row.id,
                row.variation_deg
            );
            rows += 1;
        }
        assert_eq!(rows, 16);
    }

    #[test]
    fn there_is_no_variation_outside_the_years_of_the_model() {
        let position = Position::new(0.0, 0.0).unwrap();
        let on =
            |year, month, day| magnetic_variation_deg(position, Date::constant(year, month, day));
        assert!(on(2020, 1, 1).is_some());
        assert!(on(2029, 12, 31).is_some());
        assert_eq!(on(2019, 12, 31), None);
        assert_eq!(on(2030, 1, 1), None);
    }
}
