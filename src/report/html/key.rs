//! What stands in a picture's key: a sample and what it means.

use minijinja::Value;
use serde::Serialize;

use super::frame::{route_class, route_mark};
use super::svg::{Drawing, Path};
use crate::study::RouteResult;

/// A sample of a mark or a line, and its meaning.
#[derive(Serialize)]
pub(super) struct Key {
    name: String,
    sample: Value,
}

impl Key {
    pub(super) fn new(name: String, sample: Drawing) -> Self {
        let sample = Value::from_safe_string(sample.finish_plain("sample"));
        Self { name, sample }
    }
}

/// Each route's line.
pub(super) fn route_keys(routes: &[RouteResult]) -> Vec<Key> {
    let key = |(index, route): (usize, &RouteResult)| {
        let mut sample = Drawing::new(44.0, 14.0);
        let line = Path::open(&[[1.0, 7.0], [43.0, 7.0]]);
        sample.path(&format!("line {}", route_class(index)), &line);
        route_mark(&mut sample, index, [22.0, 7.0], 4.5);
        Key::new(route.name.clone(), sample)
    };
    routes.iter().enumerate().map(key).collect()
}
