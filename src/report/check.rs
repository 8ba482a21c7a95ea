//! What a valid voyage file holds, as read, for a terminal.

use super::notes::{AboutRoutes as _, bullets, voyage_heading};
use super::table::layout;
use super::wording::{grouped, heads};
use crate::climate::Month;
use crate::study::{CheckedRoute, CheckedVoyage};

/// A voyage that was read without an error.
pub fn check_text(checked: &CheckedVoyage) -> String {
    let has_stages = checked.routes.iter().any(|route| route.stage.is_some());
    let of_what = if has_stages { "Stage: way" } else { "Route" };
    let heading = heads(&[of_what, "Legs", "nm", "Wind data"]);
    let rows: Vec<Vec<String>> = checked
        .routes
        .iter()
        .map(|route| {
            vec![
                match &route.stage {
                    Some(stage) => format!("{stage}: {}", route.name),
                    None => route.name.clone(),
                },
                route.legs.to_string(),
                grouped(route.distance_nm),
                wind_data(route),
            ]
        })
        .collect();
    let mut parts = vec![
        format!(
            "Valid: every entry can be used.\n{}",
            voyage_heading(&checked.voyage)
        ),
        layout(&heading, &rows, 1),
    ];
    if !checked.ports.is_empty() {
        let ports = checked.ports.iter();
        let lines: Vec<String> = ports
            .map(|port| format!("{port}: {}", port.position))
            .collect();
        parts.push(format!(
            "Ports given by name, each at a mark off the coast\n{}",
            bullets(&lines)
        ));
    }
    parts.extend(checked.noticed().with_each_crossing());
    parts.join("\n\n") + "\n"
}

fn wind_data(route: &CheckedRoute) -> String {
    if route.months_without_wind.is_empty() {
        return "in every month".to_owned();
    }
    let months = route.months_without_wind.iter();
    let names: Vec<&str> = months.map(|month: &Month| month.name()).collect();
    format!("missing on some of it in {}", names.join(", "))
}
