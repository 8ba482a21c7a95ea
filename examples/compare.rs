//! Compares the routes of the demonstration voyage and says which is quicker.

use offing::{Error, Options, Voyage, compare};

fn main() -> Result<(), Error> {
    let voyage = Voyage::demo()?;
    let climate = voyage.open_climate()?;
    let comparison = compare(&voyage, &climate, &Options::default())?;
    for route in &comparison.routes {
        let days = &route.ensemble.days;
        let [p10, median, p90] = [days.p10, days.p50, days.p90]
            .map(|days| days.map_or("no arrival".to_owned(), |days| format!("{days:.1}")));
        println!(
            "{}: {:.0} nm; days: P10 {p10}, median {median}, P90 {p90}",
            route.name, route.distance_nm
        );
    }
    match &comparison.verdict.quicker {
        Some(name) => println!("{name} is quicker"),
        None => println!("too close to call on time"),
    }
    println!("A planning aid from averages, not a forecast; the skipper decides.");
    Ok(())
}
