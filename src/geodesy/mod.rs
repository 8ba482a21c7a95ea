//! The shape of the Earth and the lines a ship follows on it.
