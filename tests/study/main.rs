//! The whole program through the library: what must hold for any voyage, and whatever a file holds.

#[path = "../support/noise.rs"]
mod noise;
// What these tests do not need of it, the climate's own tests do.
#[allow(dead_code)]
#[path = "../climate/series/writing.rs"]
mod series_files;

mod invented;
mod measured;
mod plan;
mod properties;
mod spoilt_texts;
