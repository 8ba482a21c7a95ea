//! Serialising a closed set of values by the names that they have everywhere else.

/// Implements `Serialize` and `JsonSchema` for a type whose values have names: `name` gives one,
/// `all` gives one value of each name.
macro_rules! serialize_by_name {
    ($type:ident, $name:path, $all:expr, $description:literal) => {
        impl serde::Serialize for $type {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str($name(*self))
            }
        }

        impl schemars::JsonSchema for $type {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($type).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({
                    "description": $description,
                    "type": "string",
                    "enum": $all.into_iter().map($name).collect::<Vec<_>>(),
                })
            }
        }
    };
}

pub(crate) use serialize_by_name;
