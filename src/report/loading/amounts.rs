//! How amounts are written in the loading list, and where a line says it comes from.

use super::super::table::{WIDTH, wrap};
use super::super::wording::grouped;
use crate::stores::{Amount, Line, Subject};
use crate::units::{OutputUnits, Unit};

/// Where the amounts end in the list's lines.
const AMOUNTS_END: usize = 62;

/// A figure to three places or so: 1,234, 45.2, 0.85.
pub(super) fn figure(value: f64) -> String {
    let size = value.abs();
    if size >= 99.95 {
        grouped(value)
    } else if size >= 0.995 || size == 0.0 {
        let text = format!("{value:.1}");
        text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
    } else {
        format!("{value:.2}")
    }
}

/// An amount and its unit.
pub(super) fn with_unit(quantity: f64, unit: Unit) -> String {
    format!("{} {}", figure(quantity), unit.symbol())
}

/// An amount as it is loaded.
pub(in super::super) fn shown(amount: &Amount) -> String {
    with_unit(amount.quantity, amount.unit)
}

/// Litres or kilograms in the voyage's choice of units.
pub(super) fn in_units(quantity: f64, unit: Unit, units: OutputUnits) -> String {
    let (quantity, unit) = unit.convert(quantity, units);
    with_unit(quantity, unit)
}

/// A line: what it is and how much, then where that comes from.
pub(super) fn lines_of(line: &Line) -> String {
    // Turns on watch are counted, not loaded.
    let amount = match (line.subject, line.unit) {
        (Subject::Watches, Unit::Piece) => figure(line.quantity),
        (_, unit) => with_unit(line.quantity, unit),
    };
    let taken = textwrap::core::display_width(&line.item) + textwrap::core::display_width(&amount);
    let head = if 2 + taken < AMOUNTS_END {
        format!(
            "  {}{}{amount}",
            line.item,
            " ".repeat(AMOUNTS_END - 2 - taken)
        )
    } else {
        wrap(&format!("  {}: {amount}", line.item), "    ")
    };
    let how = textwrap::fill(
        &origin(line),
        textwrap::Options::new(usize::from(WIDTH))
            .initial_indent("      ")
            .subsequent_indent("      "),
    );
    format!("{head}\n{how}")
}

/// Days, rate, reserve, rule and basis, those that enter.
fn origin(line: &Line) -> String {
    let mut parts = Vec::new();
    if let Some(days) = line.days {
        parts.push(format!("{} days", figure(days)));
    }
    if let Some(rate) = line.rate {
        parts.push(format!(
            "{} per {}",
            with_unit(rate.value, rate.unit),
            rate.per
        ));
    }
    if let Some(share) = line.reserve_share {
        parts.push(format!("reserve {} %", figure(100.0 * share)));
    }
    parts.push(line.rule.clone());
    format!("{} [{}]", parts.join("; "), line.basis)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_keep_about_three_places() {
        assert_eq!(figure(1234.4), "1,234");
        assert_eq!(figure(99.96), "100");
        assert_eq!(figure(45.24), "45.2");
        assert_eq!(figure(3.0), "3");
        assert_eq!(figure(0.854), "0.85");
        assert_eq!(figure(0.0), "0");
    }

    #[test]
    fn us_amounts_are_converted_once() {
        assert_eq!(
            in_units(378.541_178_4, Unit::Litre, OutputUnits::Us),
            "100 US gal"
        );
        assert_eq!(in_units(3.0, Unit::Kilogram, OutputUnits::Metric), "3 kg");
    }
}
