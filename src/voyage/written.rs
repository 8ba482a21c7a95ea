//! A route as the `[[route]]` of a voyage file, to paste.

use std::fmt::Write as _;

use crate::geodesy::{LegKind, Position};
use crate::route::Route;

/// A route as a `[[route]]` with its waypoints. Positions are written to a thousandth of a minute,
/// two metres; read back, the route has the same names and legs.
pub fn route_toml(route: &Route) -> String {
    let mut text = format!("[[route]]\nname = {}\n", quoted(route.name()));
    for (index, waypoint) in route.waypoints().iter().enumerate() {
        // Writing to a string cannot fail.
        let _ = write!(
            text,
            "\n[[route.waypoint]]\nname = {}\nposition = \"{}\"\n",
            quoted(&waypoint.name),
            written(waypoint.position)
        );
        if index > 0 {
            let _ = writeln!(text, "leg = \"{}\"", waypoint.reached_by.name());
        }
        if let (true, LegKind::Composite { limit_latitude_deg }) = (index > 0, waypoint.reached_by)
        {
            let _ = writeln!(text, "limit_latitude = {limit_latitude_deg:?}");
        }
    }
    text
}

fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

fn written(place: Position) -> String {
    format!(
        "{}, {}",
        coordinate(place.latitude_deg(), 2, ["N", "S"]),
        coordinate(place.longitude_deg(), 3, ["E", "W"])
    )
}

fn coordinate(deg: f64, digits: usize, [positive, negative]: [&str; 2]) -> String {
    /// Thousandths of a minute in a degree.
    const IN_A_DEGREE: u32 = 60_000;
    let thousandths = (deg.abs() * f64::from(IN_A_DEGREE)).round() as u32;
    let letter = if deg < 0.0 { negative } else { positive };
    let minutes = thousandths % IN_A_DEGREE;
    format!(
        "{:0digits$} {:02}.{:03} {letter}",
        thousandths / IN_A_DEGREE,
        minutes / 1000,
        minutes % 1000
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::route::Waypoint;
    use crate::voyage::Voyage;

    /// Under a voyage of our own the text is read as the route it was written from.
    #[test]
    fn a_route_written_is_read_as_it_was() {
        let composite = LegKind::Composite {
            limit_latitude_deg: -42.5,
        };
        let waypoints = [
            (
                "The \"old\" mole",
                -32.05,
                115.666_666_7,
                LegKind::GreatCircle,
            ),
            ("C:\\ 2", -40.999_999_99, 80.0, composite),
            ("East of nought", -29.5, 0.000_05, LegKind::Rhumb),
            ("Past it", -29.866_7, -31.1, LegKind::GreatCircle),
        ];
        let waypoints = waypoints.map(|(name, latitude_deg, longitude_deg, kind)| {
            let place = Position::new(latitude_deg, longitude_deg).unwrap();
            Waypoint::new(name, place, kind)
        });
        let route = Route::new("Course 3 'by night'", waypoints.to_vec()).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let polar = include_str!("../../fixtures/demo/cutter-12m.csv");
        std::fs::write(folder.path().join("polar.csv"), polar).unwrap();
        let file = folder.path().join("voyage.toml");
        let head =
            "[voyage]\nname = \"V\"\ndeparture = 2027-05-01\n[boat]\npolar = \"polar.csv\"\n";
        std::fs::write(&file, format!("{head}\n{}", route_toml(&route))).unwrap();
        let read = &Voyage::read(&file).unwrap().routes[0];
        assert_eq!(read.name(), route.name());
        for (read, written) in read.waypoints().iter().zip(route.waypoints()) {
            assert_eq!(read.name, written.name);
            let [a, b] = [read.position, written.position];
            assert!((a.latitude_deg() - b.latitude_deg()).abs() < 1e-5, "{a}");
            assert!((a.longitude_deg() - b.longitude_deg()).abs() < 1e-5, "{a}");
        }
        let kinds = |route: &Route| -> Vec<LegKind> {
            let reached = route.waypoints().iter().skip(1);
            reached.map(|waypoint| waypoint.reached_by).collect()
        };
        assert_eq!(kinds(read), kinds(&route));
        assert_eq!(read.waypoints().len(), route.waypoints().len());
    }
}
