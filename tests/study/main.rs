//! The whole program through the library: what must hold for any voyage, and whatever a file holds.

mod invented;
mod plan;
mod properties;
mod spoilt_texts;
