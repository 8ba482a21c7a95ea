//! A CSV without its comments, and the lines its records stand on.

/// The text of a CSV without its blank lines and its comments, the lines that begin with `#`.
///
/// The csv crate counts lines from before the comments and blanks it skips; taken out here, each
/// record keeps the line a reader will look for.
pub struct CsvText {
    kept: String,
    /// For each line kept its number in the file, from 1.
    numbers: Vec<usize>,
}

impl CsvText {
    /// Takes out what is no record.
    pub fn new(text: &str) -> Self {
        let (numbers, kept): (Vec<usize>, Vec<&str>) = (1..)
            .zip(text.lines())
            .filter(|(_, line)| !line.trim().is_empty() && !line.trim_start().starts_with('#'))
            .unzip();
        Self {
            kept: kept.join("\n"),
            numbers,
        }
    }

    /// What is left, for the csv crate to read.
    pub fn bytes(&self) -> &[u8] {
        self.kept.as_bytes()
    }

    /// The line in the file of a place in what is left; none for a place that is not in it.
    pub fn line_of(&self, place: Option<&csv::Position>) -> Option<usize> {
        let index = usize::try_from(place?.line()).ok()?.checked_sub(1)?;
        self.numbers.get(index).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn records_keep_the_lines_they_stand_on() {
        let text = CsvText::new("# a log\n\na,b\n  # more\n1,2\n\n3,4\n");
        let mut reader = csv::Reader::from_reader(text.bytes());
        let heading = reader.headers().unwrap().clone();
        assert_eq!(text.line_of(heading.position()), Some(3));
        let lines: Vec<Option<usize>> = reader
            .records()
            .map(|record| text.line_of(record.unwrap().position()))
            .collect();
        assert_eq!(lines, [Some(5), Some(7)]);
        assert_eq!(text.line_of(None), None);
    }
}
