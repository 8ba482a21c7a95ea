//! What the reader must know before trusting a number with a life.

/// The cautions printed under every result.
pub(super) const CAUTIONS: [&str; 7] = [
    "A planning aid from averages of many years, not a forecast: the season you sail in will \
     differ.",
    "Left out: differences between years (the spread is within an average season), currents, ice, \
     tropical cyclones as events, squalls, leeway, the sea as a brake beyond the polar factor, \
     coasts.",
    "Cyclone basins are boxes and their seasons whole months, both from memory; storms stray \
     poleward of the boxes and come out of season. Clear of them here is not clear of storms.",
    "A skipper who waits for a window does better than these means at departure; one who must \
     leave on the day may do worse.",
    "Ships avoid foul weather, so their reports under-state gales; anemometers high on a ship \
     over-state the wind.",
    "Check official pilot charts and routeing guides, warnings, notices to mariners and local \
     rules.",
    "The skipper decides.",
];

/// The cautions under a boat's own speeds.
pub(super) const BOAT_CAUTIONS: [&str; 3] = [
    "A polar holds for smooth water and a boat in good order. Waves, fouling, a heavy load and a \
     tired crew are allowed for only by the factor.",
    "The wind speed at which the boat heaves to is a setting of this computation, not advice on \
     when to heave to.",
    "The skipper decides.",
];

/// The cautions under a factor from the crew's own log.
pub(super) const FIT_CAUTIONS: [&str; 2] = [
    "The factor holds for the winds, the seas, the load and the state of the bottom in which the \
     log was kept; allow for a slower boat where the passage will be rougher.",
    "Wind instruments and speed logs have errors; a speed log that reads high makes the factor too \
     high, and the stores computed with it too small.",
];
