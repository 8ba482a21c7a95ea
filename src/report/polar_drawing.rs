//! A polar drawn in plain characters: a bar for each angle.

use super::table::WIDTH;
use crate::boat::Polar;

/// A light, a moderate and a fresh wind, kn, and the mark each is drawn with.
const WINDS: [(f64, char); 3] = [(6.0, '#'), (12.0, '+'), (20.0, '.')];
const ANGLE_STEP_DEG: u32 = 15;
/// Columns before the bars: the angle and a rule.
const MARGIN: usize = 5;

/// A bar for every 15 degrees off the true wind, its length the speed. The part a lighter wind
/// already gives has that wind's mark. Winds above the polar's last are not drawn.
pub(super) fn drawing(polar: &Polar) -> String {
    let winds_kn = polar.true_wind_speeds_kn();
    let last_kn = winds_kn[winds_kn.len() - 1];
    let mut winds: Vec<(f64, char)> = WINDS.into_iter().filter(|wind| wind.0 <= last_kn).collect();
    if winds.is_empty() {
        winds.push((last_kn, '#'));
    }
    let speeds_kn = |angle_deg: f64| {
        winds
            .iter()
            .map(move |&(wind_kn, mark)| (polar.speed_kn(wind_kn, angle_deg), mark))
    };
    let angles_deg = (0..=180 / ANGLE_STEP_DEG).map(|step| f64::from(step * ANGLE_STEP_DEG));
    let fastest_kn = angles_deg
        .clone()
        .flat_map(speeds_kn)
        .fold(1.0, |fastest: f64, (speed_kn, _)| fastest.max(speed_kn));
    let room = usize::from(WIDTH) - MARGIN - 3;
    let per_kn = (room / fastest_kn.ceil() as usize).max(1);

    let legend: Vec<String> = winds
        .iter()
        .map(|(wind_kn, mark)| format!("{mark} {wind_kn} kn"))
        .collect();
    let mut lines = vec![format!(
        "Polar drawn, one bar for each angle; true wind speeds: {}",
        legend.join(", ")
    )];
    lines.push(scale(fastest_kn.ceil() as usize, per_kn));
    for angle_deg in angles_deg {
        let columns: Vec<(usize, char)> = speeds_kn(angle_deg)
            .map(|(speed_kn, mark)| ((speed_kn * per_kn as f64).round() as usize, mark))
            .collect();
        let length = columns.iter().map(|column| column.0).max().unwrap_or(0);
        let bar: String = (0..length)
            .map(|at| {
                let reaches = |column: &&(usize, char)| column.0 > at;
                columns.iter().find(reaches).map_or(' ', |column| column.1)
            })
            .collect();
        lines.push(format!("{angle_deg:>3} |{bar}"));
    }
    lines.join("\n")
}

/// The knots above the bars, as close as the numbers leave room.
fn scale(last_kn: usize, per_kn: usize) -> String {
    let every = 4_usize.div_ceil(per_kn);
    let mut line = " ".repeat(MARGIN - 1);
    for kn in (0..=last_kn).step_by(every) {
        let number = kn.to_string();
        // A number stands right above the column where its knots end.
        let at = MARGIN - 1 + kn * per_kn;
        line += &" ".repeat(at.saturating_sub(line.len() + number.len() - 1));
        line += &number;
    }
    line + " kn"
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(text: &str) -> Vec<String> {
        let polar = Polar::parse(text, "polar.csv").unwrap();
        drawing(&polar).lines().map(str::to_owned).collect()
    }

    const HEAD: &str = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n";

    #[test]
    fn a_bar_is_as_long_as_the_speed_and_marked_by_the_lightest_wind() {
        let lines = drawn(&format!(
            "{HEAD}6,45,3\n6,90,4\n6,180,2\n12,45,6\n12,90,9\n12,180,5\n20,45,5\n20,90,9\n20,180,6\n"
        ));
        // 9 kn in 72 columns: 8 to the knot.
        assert_eq!(lines.len(), 2 + 13);
        let bar = |deg: usize| lines[2 + deg / 15].split_once('|').unwrap().1.to_owned();
        assert_eq!(bar(0), "");
        assert_eq!(bar(45), "#".repeat(24) + &"+".repeat(24));
        assert_eq!(bar(180), "#".repeat(16) + &"+".repeat(24) + &".".repeat(8));
        let column = lines[1].find('9').unwrap();
        assert_eq!(column, lines[2 + 6].len() - 1);
    }

    #[test]
    fn it_keeps_to_the_width_whatever_the_speed() {
        for fastest in ["0.2", "7.9", "13", "39.6", "40"] {
            let lines = drawn(&format!(
                "{HEAD}1,45,0.1\n1,90,0.1\n1,180,0.1\n2,45,0.2\n2,90,{fastest}\n2,180,0.2\n"
            ));
            for line in lines {
                assert!(line.chars().count() <= usize::from(WIDTH), "{line}");
            }
        }
    }
}
