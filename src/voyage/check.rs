//! A document against the schema of the settings: keys that are unknown or missing, and values of
//! another kind than their key takes, all of them at once. What a value of the right kind may be,
//! its own type says.

use schemars::Schema;
use serde_json::Value;
use toml::de::{DeTable, DeValue};

use super::error::{Complaint, Problem};
use super::locate::KeyPath;
use super::values::{
    DATE, DAY_FORMAT, PLAIN_DATE, PLAIN_DAY_FORMAT, QUANTITY, QUANTITY_FORMAT, quoted,
};
use crate::units::nearest;

/// The most tables named as those a key belongs in.
const MOST_PLACES: usize = 3;

/// The most complaints that are looked for: the line of each takes a look through the text.
const MOST_COMPLAINTS: usize = 1000;

/// What is wrong with the document's keys and kinds of values: all of it, or the first thousand.
pub(super) fn complaints(document: &DeTable<'_>, schema: &Schema) -> Vec<Complaint> {
    let mut walk = Walk {
        root: schema.as_value(),
        complaints: Vec::new(),
    };
    walk.table(&KeyPath::default(), document, schema.as_value());
    walk.complaints
}

struct Walk<'s> {
    root: &'s Value,
    complaints: Vec<Complaint>,
}

impl Walk<'_> {
    fn table(&mut self, at: &KeyPath, table: &DeTable<'_>, schema: &Value) {
        let known = || names(&schema["properties"]);
        let mut meant = None;
        for (key, value) in table {
            if self.complaints.len() >= MOST_COMPLAINTS {
                return;
            }
            let (key, value) = (key.get_ref().as_ref(), value.get_ref());
            let at = at.key(key);
            if let Some(schema) = schema["properties"].get(key) {
                self.value(&at, value, schema);
                continue;
            }
            let allowed = known().map(str::to_owned).collect();
            let mut complaint = Complaint::new(at, Problem::UnknownKey { allowed });
            if let Some(place) = self.belongs(key, value) {
                complaint = complaint.with_hint(place);
            } else if let Some(nearest) = nearest(key, known()) {
                complaint = complaint.with_hint(format!("did you mean `{nearest}`?"));
                meant = Some(nearest);
            }
            self.complaints.push(complaint);
        }
        for key in schema["required"].as_array().into_iter().flatten() {
            let key = key.as_str().unwrap_or_default();
            if !table.contains_key(key) && meant != Some(key) {
                let complaint = Complaint::new(at.key(key), Problem::Missing);
                self.complaints.push(complaint);
            }
        }
    }

    fn value(&mut self, at: &KeyPath, value: &DeValue<'_>, schema: &Value) {
        match (value, kind(schema)) {
            (DeValue::Table(table), "object") => self.table(at, table, schema),
            (DeValue::Array(list), "array") => {
                for (index, item) in list.iter().enumerate() {
                    if self.complaints.len() >= MOST_COMPLAINTS {
                        return;
                    }
                    self.value(&at.item(index), item.get_ref(), &schema["items"]);
                }
            }
            (value, _) if fits(value, schema) => {}
            _ => {
                let (found, allowed) = (describe(value), describe_allowed(schema));
                let problem = Problem::WrongKind { found, allowed };
                self.complaints.push(Complaint::new(at.clone(), problem));
            }
        }
    }

    /// The tables of the file that have a key of this name, if they are few.
    fn belongs(&self, key: &str, value: &DeValue<'_>) -> Option<String> {
        let is_table = |value: &DeValue<'_>| matches!(value, DeValue::Table(_));
        let is_table = is_table(value)
            || matches!(value, DeValue::Array(list) if list.iter().any(|item| is_table(item.get_ref())));
        let mut found = Vec::new();
        places(self.root, "", key, is_table, &mut found);
        if found.is_empty() || found.len() > MOST_PLACES {
            return None;
        }
        let places = found.join(" or ");
        Some(if is_table {
            format!("write {places}")
        } else {
            format!("`{key}` belongs in {places}")
        })
    }
}

/// The headings of the tables below `schema` with a value called `key`, or of those so called.
fn places(schema: &Value, path: &str, key: &str, is_table: bool, found: &mut Vec<String>) {
    for name in names(&schema["properties"]) {
        let inner = &schema["properties"][name];
        let path = [path, name].join(if path.is_empty() { "" } else { "." });
        let (inner, heading) = match kind(inner) {
            "object" => (inner, format!("`[{path}]`")),
            "array" => (&inner["items"], format!("`[[{path}]]`")),
            _ => continue,
        };
        // The ways of a stage have the keys of a `[[route]]`, which is named.
        if kind(inner) != "object" || path == "stage.route" {
            continue;
        }
        let has = |key| {
            let value = &inner["properties"][key];
            !value.is_null() && kind(value) != "object" && kind(&value["items"]) != "object"
        };
        if if is_table { name == key } else { has(key) } {
            found.push(heading);
        }
        places(inner, &path, key, is_table, found);
    }
}

fn names(properties: &Value) -> impl Iterator<Item = &str> {
    let properties = properties.as_object();
    properties
        .into_iter()
        .flat_map(|map| map.keys().map(String::as_str))
}

/// The schema's type; of a choice of words, each with its meaning, that of the words.
fn kind(schema: &Value) -> &str {
    schema["type"].as_str().unwrap_or("string")
}

/// The words to choose from; none where any text will do.
fn words(schema: &Value) -> Vec<&str> {
    let listed = schema["enum"].as_array().into_iter().flatten();
    let explained = schema["oneOf"].as_array().into_iter().flatten();
    let explained = explained.map(|branch| &branch["const"]);
    listed.chain(explained).filter_map(Value::as_str).collect()
}

fn fits(value: &DeValue<'_>, schema: &Value) -> bool {
    let format = schema["format"].as_str().unwrap_or_default();
    match (value, kind(schema)) {
        (DeValue::Integer(number), _)
            if i64::from_str_radix(number.as_str(), number.radix()).is_err() =>
        {
            false
        }
        (DeValue::Boolean(_), "boolean")
        | (DeValue::Integer(_), "integer" | "number")
        | (DeValue::Float(_), "number") => true,
        (DeValue::String(text), "string") => {
            let words = words(schema);
            words.is_empty() || words.contains(&text.as_ref())
        }
        (DeValue::Datetime(_), "string") => [DAY_FORMAT, PLAIN_DAY_FORMAT].contains(&format),
        // What reads quantities says which units there are.
        (DeValue::Integer(_) | DeValue::Float(_), "string") => format == QUANTITY_FORMAT,
        _ => false,
    }
}

/// What stands where something else should.
fn describe(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => quoted(text),
        DeValue::Integer(number) => number.to_string(),
        DeValue::Float(number) => number.to_string(),
        DeValue::Boolean(flag) => flag.to_string(),
        DeValue::Datetime(date) => date.to_string(),
        DeValue::Array(_) => "a list".to_owned(),
        DeValue::Table(_) => "a table".to_owned(),
    }
}

fn describe_allowed(schema: &Value) -> String {
    let words: Vec<String> = words(schema)
        .iter()
        .map(|word| format!("\"{word}\""))
        .collect();
    if let Some((last, others @ [_, ..])) = words.split_last() {
        return format!("{} or {last}", others.join(", "));
    }
    let format = schema["format"].as_str().unwrap_or_default();
    match kind(schema) {
        "object" => "a table",
        "array" if kind(&schema["items"]) == "object" => "a list of tables",
        "array" => return format!("a list of {}", describe_allowed(&schema["items"])),
        "boolean" => "true or false",
        "integer" => "a whole number",
        "number" => "a number",
        _ if format == DAY_FORMAT => DATE,
        _ if format == PLAIN_DAY_FORMAT => PLAIN_DATE,
        _ if format == QUANTITY_FORMAT => QUANTITY,
        _ => "a text in quotes",
    }
    .to_owned()
}
