//! Where a key stands: its path through the tables, and the line of a path in a document.

use std::fmt;

use serde_path_to_error::{Path, Segment};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A key and the tables it stands in. It is shown as `route[1].waypoint[2].position`, the lists
/// counted from 1.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct KeyPath(Vec<Step>);

#[derive(Debug, Clone, PartialEq, Eq)]
enum Step {
    Key(String),
    /// An item of a list, from 0.
    Item(usize),
}

impl KeyPath {
    /// A table at the top.
    pub fn of(key: &str) -> Self {
        Self::default().key(key)
    }

    /// A key in the table that this path leads to.
    pub fn key(&self, key: &str) -> Self {
        self.then(Step::Key(key.to_owned()))
    }

    /// An item, from 0, in the list that this path leads to.
    pub fn item(&self, index: usize) -> Self {
        self.then(Step::Item(index))
    }

    fn then(&self, step: Step) -> Self {
        let mut steps = self.0.clone();
        steps.push(step);
        Self(steps)
    }

    /// The line, from 1, of the key in a document; of what holds it where it is missing.
    pub fn line_in(&self, document: &DeTable<'_>, text: &str) -> usize {
        let mut offset = 0;
        let mut found: Option<&Spanned<DeValue<'_>>> = None;
        for step in &self.0 {
            found = match (step, found.map(Spanned::get_ref)) {
                (Step::Key(key), None) => document.get(key.as_str()),
                (Step::Key(key), Some(DeValue::Table(table))) => table.get(key.as_str()),
                (Step::Item(index), Some(DeValue::Array(list))) => list.get(*index),
                _ => None,
            };
            match found {
                Some(value) => offset = value.span().start,
                None => break,
            }
        }
        line_at(text, offset)
    }
}

/// The line of a place in a text, from 1.
pub(super) fn line_at(text: &str, offset: usize) -> usize {
    let before = &text.as_bytes()[..offset.min(text.len())];
    before.iter().filter(|byte| **byte == b'\n').count() + 1
}

impl From<&Path> for KeyPath {
    fn from(path: &Path) -> Self {
        let steps = path.iter().filter_map(|segment| match segment {
            Segment::Map { key } => Some(Step::Key(key.clone())),
            Segment::Seq { index } => Some(Step::Item(*index)),
            Segment::Enum { .. } | Segment::Unknown => None,
        });
        Self(steps.collect())
    }
}

impl fmt::Display for KeyPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, step) in self.0.iter().enumerate() {
            match step {
                Step::Key(key) if index == 0 => f.write_str(key)?,
                Step::Key(key) => write!(f, ".{key}")?,
                Step::Item(item) => write!(f, "[{}]", item + 1)?,
            }
        }
        Ok(())
    }
}
