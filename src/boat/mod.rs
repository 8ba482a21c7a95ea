//! How fast the boat goes: polar, course made good, handling, engine.
