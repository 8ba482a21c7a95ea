//! Waypoints and the legs between them.
