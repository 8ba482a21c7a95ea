//! Lists in a voyage file that stand over lists of defaults.

use crate::units::Range;
use crate::voyage_file::{Problem, Table, VoyageError};

/// What a list is made of: the key it stands under, the keys of an entry, and how one is read.
pub(super) struct List<T> {
    pub key: &'static str,
    pub keys: &'static [&'static str],
    pub decode: fn(&Table<'_>, String) -> Result<T, VoyageError>,
    pub name: fn(&T) -> &str,
}

impl<T> List<T> {
    /// The defaults, each replaced by the listed entry of its name, and then the other listed
    /// entries; `only_listed = true` in `table` leaves the defaults out.
    pub(super) fn over(&self, defaults: Vec<T>, table: &Table<'_>) -> Result<Vec<T>, VoyageError> {
        let only_listed = table.flag("only_listed")?.is_some_and(|entry| entry.value);
        let mut list = if only_listed { Vec::new() } else { defaults };
        let mut listed: Vec<String> = Vec::new();
        for entry in table.tables(self.key, self.keys)? {
            let name = entry.required("name", entry.text("name")?)?;
            if listed.iter().any(|other| other == name.value) {
                return Err(name.error(Problem::NameTwice {
                    found: name.value.to_owned(),
                }));
            }
            listed.push(name.value.to_owned());
            let item = (self.decode)(&entry, name.value.to_owned())?;
            match list
                .iter_mut()
                .find(|default| (self.name)(default) == name.value)
            {
                Some(default) => *default = item,
                None => list.push(item),
            }
        }
        Ok(list)
    }
}

/// The number of an optional key within its range, where the file has it.
pub(super) fn given(
    table: &Table<'_>,
    key: &str,
    range: &Range,
) -> Result<Option<f64>, VoyageError> {
    Ok(table.number(key, range)?.map(|entry| entry.value))
}
