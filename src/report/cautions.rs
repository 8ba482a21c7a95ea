//! What the reader must know before trusting a number with a life.

use crate::study::{AboutCurrents, AboutVoyage};

/// The cautions printed under a result about a voyage.
pub(super) fn voyage_cautions(voyage: &AboutVoyage) -> Vec<&'static str> {
    let about_currents: &[&str] = match &voyage.currents {
        None => &[LEFT_OUT_WITH_CURRENTS],
        Some(AboutCurrents {
            own_file: false, ..
        }) => &[LEFT_OUT, DRIFTERS[0], DRIFTERS[1]],
        Some(AboutCurrents { own_file: true, .. }) => &[LEFT_OUT, OWN_CURRENTS],
    };
    let of_a_year: &[&str] = match voyage.winds.real_year {
        None => &[],
        Some(_) => &[IN_ONE_YEAR],
    };
    let leaving: &[&str] = match voyage.boat.waiting {
        None => &[LEAVES_ON_THE_DAY],
        Some(_) => &[WAITS],
    };
    [&[PLANNING_AID], of_a_year, about_currents, leaving, &COMMON].concat()
}

/// The cautions printed under the years of a voyage.
pub(super) fn years_cautions(voyage: &AboutVoyage) -> Vec<&'static str> {
    [&[PAST_YEARS], &voyage_cautions(voyage)[..]].concat()
}

const PAST_YEARS: &str = "The years are real ones, shown beside one another: they do not widen the spread \
     of days that `offing compare` gives, and next year is none of them.";

/// The cautions printed under the winds of a place or a route.
pub(super) fn wind_cautions() -> Vec<&'static str> {
    [&[PLANNING_AID, LEFT_OUT_WITH_CURRENTS], &COMMON[..]].concat()
}

/// The cautions printed under a climate that was measured.
pub(super) const MEASURED_CAUTIONS: [&str; 4] = [
    "A planning aid from averages, not a forecast: the season you sail in will differ.",
    "Winds of a reanalysis or a satellite are a model's or an instrument's, on its grid: squalls, \
     tropical storms and the coast are smoothed, and light airs near the equator are least certain. \
     Compare the winds of a place and month that you know.",
    "What the files hold is theirs: keep to their licence, and name their source.",
    "Check official pilot charts, warnings and local rules; the skipper decides.",
];

const PLANNING_AID: &str = "A planning aid from averages of many years, not a forecast: the season \
     you sail in will differ.";
const IN_ONE_YEAR: &str = "The mean winds are those of one past year, which will not come again: the \
     spread is within that year.";
const LEFT_OUT: &str = "Left out: differences between years (the spread is within an average \
     season), ice, tropical cyclones as events, squalls, leeway, swell from elsewhere, tides, coasts.";
const LEFT_OUT_WITH_CURRENTS: &str = "Left out: differences between years (the spread is within an \
     average season), currents, ice, tropical cyclones as events, squalls, leeway, swell from \
     elsewhere, tides, coasts.";
const DRIFTERS: [&str; 2] = [
    "Currents are averages over years of drifting buoys on a grid of 60 miles: the great streams \
     (Gulf Stream, Agulhas, Kuroshio, East Australian) show half to four fifths of the speed of \
     their cores, broad drifts the low end of what is published; seasons, eddies and the weak South \
     Indian Countercurrent are not in them.",
    "In the monsoon seas (Indian Ocean north of 5 S, South China Sea) currents turn with the season \
     and none is applied.",
];
const OWN_CURRENTS: &str = "Currents are means from your own file: eddies and the years' differences \
     are not in them.";

const LEAVES_ON_THE_DAY: &str = "Passages leave on the day, whatever the weather. A skipper who waits for \
     a fair forecast chooses the first days, and not the weeks after: `wait_up_to` in [handling] shows \
     how much that is.";
const WAITS: &str = "The forecasts that the crew waits for are as good as the voyage says or a rule of \
     thumb has it, with errors that are new every day; those of a coast, of squalls and of the tropics are \
     worse. Storm chances, the passage on the mean wind and the days on the map are for leaving on the day.";

/// The cautions that stand under all of them.
const COMMON: [&str; 4] = [
    "Storm chances count past centres of 34 kn or more within 200 nm: of 31 seasons in the Atlantic \
     and East Pacific, of ten only elsewhere, where single storms decide. A season may have twice \
     the mean, and next to none on record is not none.",
    "Ships avoid foul weather, so their reports under-state gales; anemometers high on a ship \
     over-state the wind.",
    "Check official pilot charts and routeing guides, warnings, notices to mariners and local \
     rules.",
    "The skipper decides.",
];

/// The cautions under a boat's own speeds.
pub(super) const BOAT_CAUTIONS: [&str; 3] = [
    "A polar holds for a boat in good order. Fouling, a heavy load and a tired crew are allowed for \
     only by the factor, and the sea by a rule of thumb.",
    "The wind speed at which the boat heaves to is a setting of this computation, not advice on \
     when to heave to.",
    "The skipper decides.",
];

/// The cautions under a polar from the crew's own logs.
pub(super) const LEARN_CAUTIONS: [&str; 4] = [
    "The polar holds for the winds, the seas, the load and the state of the bottom in which the logs \
     were kept; where a part has few entries it is that of the voyage file, by the factor of the \
     whole.",
    "Errors that are the same in every entry are not found: a wind or speed instrument that reads \
     high, or a current between fixes that always sets the same way.",
    "Do not learn again from the same logs on top of this polar: they would count twice.",
    "The skipper decides.",
];

/// The cautions under a factor from the crew's own log.
pub(super) const FIT_CAUTIONS: [&str; 2] = [
    "The factor holds for the winds, the seas, the load and the state of the bottom in which the \
     log was kept; allow for a slower boat where the passage will be rougher.",
    "Wind instruments and speed logs have errors; a speed log that reads high makes the factor too \
     high, and the stores computed with it too small.",
];
