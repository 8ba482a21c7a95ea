//! How numbers, dates and names are written in tables and sentences.

use jiff::civil::Date;

use crate::units::{Course, TemperatureScale};

/// A whole number with its thousands apart: 4,212.
pub(super) fn grouped(value: f64) -> String {
    let digits = format!("{:.0}", value.abs());
    let mut out = if value < 0.0 && digits != "0" {
        "-".to_owned()
    } else {
        String::new()
    };
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index) % 3 == 0 {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// A number with at most one decimal: 12, 7.5.
pub(super) fn short(value: f64) -> String {
    let text = format!("{value:.1}");
    match text.strip_suffix(".0") {
        Some(whole) => whole.to_owned(),
        None => text,
    }
}

/// A temperature in whole degrees of a scale: 24 °C, 75 °F.
pub(super) fn temperature(celsius: f64, scale: TemperatureScale) -> String {
    format!("{} {}", grouped(scale.convert(celsius)), scale.symbol())
}

/// A number in CSV.
pub(super) fn number(value: f64) -> String {
    format!("{value:.4}")
}

/// The headings of a table's columns.
pub(super) fn heads(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

/// A share as a percentage, with a decimal where it is small: 47 %, 3.2 %.
pub(super) fn percent(share: f64) -> String {
    format!("{} %", per_cent(share))
}

/// A share of which any at all is to be seen: 47 %, 3.2 %, <0.1 %; 0.0 % is none.
pub(super) fn percent_met(share: f64) -> String {
    if share > 0.0 && share < 0.0005 {
        "<0.1 %".to_owned()
    } else {
        percent(share)
    }
}

/// A share in per cent, where a heading says so: 47, 3.2.
pub(super) fn per_cent(share: f64) -> String {
    let percent = share * 100.0;
    if percent >= 9.95 {
        format!("{percent:.0}")
    } else {
        format!("{percent:.1}")
    }
}

/// A date as a sailor writes it: 1 May 2027.
pub(super) fn date(date: Date) -> String {
    date.strftime("%-d %b %Y").to_string()
}

/// A direction in three figures: 007.
pub(super) fn three_figures(direction_deg: f64) -> String {
    format!("{:03.0}", direction_deg.round() % 360.0)
}

/// A course in three figures, true.
pub(super) fn course(course: Course) -> String {
    three_figures(course.deg())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_stand_apart() {
        assert_eq!(grouped(999.4), "999");
        assert_eq!(grouped(4212.4), "4,212");
        assert_eq!(grouped(-1_234_567.0), "-1,234,567");
        assert_eq!(grouped(-0.2), "0");
    }

    #[test]
    fn whole_numbers_have_no_decimals() {
        assert_eq!([12.0, 7.5, 0.04].map(short), ["12", "7.5", "0"]);
    }

    #[test]
    fn small_shares_keep_a_decimal() {
        assert_eq!(percent(0.471), "47 %");
        assert_eq!(percent(0.0994), "9.9 %");
        assert_eq!(percent(0.0999), "10 %");
    }

    #[test]
    fn the_least_share_is_told_from_none() {
        assert_eq!(
            [0.0, 0.0004, 0.0005, 0.3].map(percent_met),
            ["0.0 %", "<0.1 %", "0.1 %", "30 %"]
        );
    }

    #[test]
    fn water_freezes_at_32_and_boils_at_212_fahrenheit() {
        let shown = |scale| [0.0, 100.0, -40.0].map(|celsius| temperature(celsius, scale));
        let fahrenheit = shown(TemperatureScale::Fahrenheit);
        assert_eq!(fahrenheit, ["32 °F", "212 °F", "-40 °F"]);
        let celsius = shown(TemperatureScale::Celsius);
        assert_eq!(celsius, ["0 °C", "100 °C", "-40 °C"]);
    }

    #[test]
    fn north_is_written_as_zero() {
        assert_eq!(three_figures(359.7), "000");
        assert_eq!(three_figures(7.2), "007");
    }
}
