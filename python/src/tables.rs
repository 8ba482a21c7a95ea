//! Dicts of Python as the tables of a voyage file.

use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyBool, PyDict, PyFloat, PyInt, PyString};
use toml::{Table, Value};

/// The tables of a dict; a value of None is left out, as a key that is not given.
///
/// # Errors
/// `TypeError` where a value is none that a voyage file can hold, with its place.
pub(crate) fn table(dict: &Bound<'_, PyDict>, at: &str) -> PyResult<Table> {
    let mut table = Table::new();
    for (key, value) in dict {
        let Ok(key) = key.extract::<String>() else {
            return Err(refused(at, "a key", &key, "a str"));
        };
        let at = if at.is_empty() {
            key.clone()
        } else {
            format!("{at}.{key}")
        };
        if !value.is_none() {
            table.insert(key, self::value(&value, &at)?);
        }
    }
    Ok(table)
}

fn value(value: &Bound<'_, PyAny>, at: &str) -> PyResult<Value> {
    if let Ok(dict) = value.cast::<PyDict>() {
        return table(dict, at).map(Value::Table);
    }
    if value.is_instance_of::<PyString>() {
        return value.extract().map(Value::String);
    }
    if value.is_instance_of::<PyBool>() {
        return value.extract().map(Value::Boolean);
    }
    if value.is_instance_of::<PyInt>() {
        return value.extract().map(Value::Integer);
    }
    if value.is_instance_of::<PyFloat>() {
        return value.extract().map(Value::Float);
    }
    // Paths, dates and hours of departure as they are written in a file.
    for method in ["__fspath__", "isoformat"] {
        if value.hasattr(method)? {
            let text: String = value.call_method0(method)?.extract()?;
            return Ok(Value::String(text));
        }
    }
    // Numbers of NumPy's own.
    if value.hasattr("__index__")? {
        return value.extract().map(Value::Integer);
    }
    if value.hasattr("__float__")? {
        return value.extract().map(Value::Float);
    }
    let Ok(items) = value.try_iter() else {
        let allowed = "a dict, a list, a str, a number, a bool, a date or a path";
        return Err(refused(at, "a value", value, allowed));
    };
    let items = items.enumerate();
    let items = items.map(|(index, item)| self::value(&item?, &format!("{at}[{}]", index + 1)));
    items.collect::<PyResult<_>>().map(Value::Array)
}

fn refused(at: &str, what: &str, found: &Bound<'_, PyAny>, allowed: &str) -> PyErr {
    let kind = found.get_type();
    let kind = kind.name().map(|name| name.to_string());
    let kind = kind.unwrap_or_else(|_| "an object".to_owned());
    let at = if at.is_empty() { "the voyage" } else { at };
    PyTypeError::new_err(format!(
        "{at}: {what} is of type {kind}; allowed: {allowed}"
    ))
}
