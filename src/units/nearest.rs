//! The name that was probably meant.

/// Names less alike than this are not taken for each other.
const LIKE_ENOUGH: f64 = 0.75;

/// The name most like the one found, in capitals or not; none where none is like it.
pub(crate) fn nearest<'a>(
    found: &str,
    names: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let found = found.to_lowercase();
    names
        .into_iter()
        .map(|name| (strsim::jaro_winkler(&found, &name.to_lowercase()), name))
        .filter(|(likeness, _)| *likeness >= LIKE_ENOUGH)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_recognised_and_another_word_is_not() {
        let names = ["Trades", "Direct"];
        assert_eq!(nearest("Tades", names), Some("Trades"));
        assert_eq!(nearest("DIRECT", names), Some("Direct"));
        assert_eq!(nearest("Panama", names), None);
    }
}
