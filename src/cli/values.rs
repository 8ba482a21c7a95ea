//! Values on the command line, read so that a refusal says what is allowed.

use jiff::civil::Date;

use crate::climate::Region;
use crate::geodesy::Position;
use crate::passage::MOST_STORM_CHANCE;
use crate::text::plain_date;

/// A day of the calendar.
pub(super) fn day(text: &str) -> Result<Date, String> {
    plain_date(text).ok_or_else(|| "not a date; allowed: a date such as 2027-05-01".to_owned())
}

/// The largest chance of a tropical storm unless another is given, in percent.
pub(super) const MOST_STORM_PERCENT: f64 = 100.0 * MOST_STORM_CHANCE;

/// A number; its range is checked later.
pub(super) fn number(text: &str) -> Result<f64, String> {
    let number = text.parse().ok().filter(|number: &f64| number.is_finite());
    number.ok_or_else(|| "not a number; allowed: a number such as 12 or 2.5".to_owned())
}

/// A whole number; its range is checked later.
pub(super) fn whole_number<T: TryFrom<u64>>(text: &str) -> Result<T, String> {
    let number: u64 = text
        .parse()
        .map_err(|_| "not a whole number; allowed: a number such as 12".to_owned())?;
    T::try_from(number).map_err(|_| "too large".to_owned())
}

/// The first day of a year.
pub(super) fn new_year(text: &str) -> Result<Date, String> {
    let year = text.parse().ok();
    year.and_then(|year| Date::new(year, 1, 1).ok())
        .ok_or_else(|| "not a year; allowed: a year such as 2028".to_owned())
}

/// A year of the calendar.
pub(super) fn real_year(text: &str) -> Result<i64, String> {
    let year = text.parse().ok();
    year.filter(|year| (1..=9999).contains(year))
        .ok_or_else(|| "not a year; allowed: a year such as 1983".to_owned())
}

/// A span of calendar years, or one.
pub(super) fn years(text: &str) -> Result<(i64, i64), String> {
    let year = |text: &str| text.trim().parse::<i64>().ok().filter(|year| *year > 0);
    let span = match text.split_once('-') {
        Some((first, last)) => year(first).zip(year(last)),
        None => year(text).map(|year| (year, year)),
    };
    span.filter(|(first, last)| first <= last)
        .ok_or_else(|| "not a span of years; allowed: 1991-2020, or a year such as 1998".to_owned())
}

/// An area by its south-west and north-east corners, as far eastward as it takes.
pub(super) fn area(text: &str) -> Result<Region, String> {
    let corners = text.split_once(" to ");
    let corner = |text: &str| text.parse::<Position>().map_err(|error| error.to_string());
    let Some((south_west, north_east)) = corners else {
        return Err(
            "has no ` to ` between two corners; allowed: the south-west and the north-east \
                    corner, such as 50 S, 20 E to 10 S, 120 E"
                .to_owned(),
        );
    };
    let (south_west, north_east) = (corner(south_west)?, corner(north_east)?);
    let (south_deg, north_deg) = (south_west.latitude_deg(), north_east.latitude_deg());
    if south_deg >= north_deg {
        return Err(
            "the first corner is not south of the second; allowed: the south-west corner, then the \
             north-east one"
                .to_owned(),
        );
    }
    let (west_deg, east_deg) = (south_west.longitude_deg(), north_east.longitude_deg());
    if west_deg == east_deg {
        return Err("both corners lie on one meridian; allowed: two of them".to_owned());
    }
    Ok(Region::between(south_deg, north_deg, west_deg, east_deg))
}

/// A latitude as a crew writes it, in degrees north.
pub(super) fn latitude(text: &str) -> Result<f64, String> {
    let lettered = text.ends_with(|letter: char| letter.is_ascii_alphabetic());
    let longitude = if lettered { "0 E" } else { "0" };
    let place = format!("{text}, {longitude}").parse::<Position>();
    place
        .map(|place| place.latitude_deg())
        .map_err(|_| "not a latitude; allowed: 40S, 40 30.5 S or -40.5, from 90S to 90N".to_owned())
}
