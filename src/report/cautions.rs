//! What the reader must know before trusting a number with a life.

/// The cautions printed under every result.
pub(super) const CAUTIONS: [&str; 5] = [
    "A planning aid from averages of many years, not a forecast: the season you sail in will \
     differ.",
    "Left out: currents, ice, tropical cyclones as events, squalls, leeway, the sea as a brake \
     beyond the polar factor, coasts, and a skipper who waits for a window.",
    "Ships avoid foul weather, so their reports under-state gales; anemometers high on a ship \
     over-state the wind.",
    "Check official pilot charts and routeing guides, warnings, notices to mariners and local \
     rules.",
    "The skipper decides.",
];
