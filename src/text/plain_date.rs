//! A date as it is typed.

use jiff::civil::Date;

/// The date of a text like 2027-05-01 and nothing more; jiff's own reader would pass over a time of
/// day after it.
pub fn plain_date(text: &str) -> Option<Date> {
    const FORM: &[u8] = b"dddd-dd-dd";
    let fits = |(found, form): (u8, &u8)| match form {
        b'd' => found.is_ascii_digit(),
        other => found == *other,
    };
    let plain = text.len() == FORM.len() && text.bytes().zip(FORM).all(fits);
    plain.then(|| text.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_is_a_day_without_a_time() {
        assert_eq!(
            plain_date("2027-05-01"),
            Some(jiff::civil::date(2027, 5, 1))
        );
        for text in [
            "2027-05-01T18:30",
            "2027-W18-6",
            "20270501",
            "2027-02-29",
            "",
        ] {
            assert_eq!(plain_date(text), None, "{text}");
        }
    }
}
