//! Prints the legs of the demonstration voyage: courses, days, winds.

use offing::{Error, Options, Voyage, compare};

fn main() -> Result<(), Error> {
    let voyage = Voyage::demo()?;
    let comparison = compare(&voyage, &voyage.open_climate()?, &Options::default())?;
    for route in &comparison.routes {
        println!("{}", route.name);
        for leg in route.expected.iter().flat_map(|passage| &passage.legs) {
            println!(
                "  {} to {}: {:03.0} to {:03.0} true, {:.0} nm, {:.1} days, wind {:.0} kn",
                leg.from,
                leg.to,
                leg.departure_course.deg(),
                leg.arrival_course.deg(),
                leg.distance_nm,
                leg.days,
                leg.wind.mean_speed_kn
            );
        }
    }
    println!("A planning aid from averages, not a forecast; the skipper decides.");
    Ok(())
}
