//! The JSON Schema of a voyage's settings.

use schemars::Schema;
use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use serde_json::Value;

use super::settings::Settings;

/// The JSON Schema (draft 2020-12) of a voyage file: every table and key with its meaning, unit and
/// range. An editor that knows it completes and checks the file.
pub fn voyage_schema() -> Schema {
    let mut settings = SchemaSettings::draft2020_12();
    settings.inline_subschemas = true;
    let mut schema = settings
        .with_transform(RecursiveTransform(without_null))
        .with_transform(RecursiveTransform(unwrap_lines))
        .into_generator()
        .into_root_schema_for::<Settings>();
    schema.insert("title".to_owned(), "voyage file of offing".into());
    schema
}

/// Takes out the null that stands for a key left out: a file leaves it out.
fn without_null(schema: &mut Schema) {
    if let Some(Value::Array(kinds)) = schema.get_mut("type") {
        kinds.retain(|kind| kind != "null");
        if let [kind] = &mut kinds[..] {
            let kind = kind.take();
            schema.insert("type".to_owned(), kind);
        }
    }
    let Some(Value::Array(branches)) = schema.get_mut("anyOf") else {
        return;
    };
    branches.retain(|branch| branch["type"] != "null");
    if let [Value::Object(only)] = &mut branches[..] {
        let only = std::mem::take(only);
        schema.remove("anyOf");
        for (name, value) in only {
            // The key's own description says more than its type's.
            if schema.get(&name).is_none() {
                schema.insert(name, value);
            }
        }
    }
}

/// Joins a description's lines, which are broken where the source's are.
fn unwrap_lines(schema: &mut Schema) {
    if let Some(Value::String(description)) = schema.get_mut("description") {
        *description = description.replace('\n', " ");
    }
}
