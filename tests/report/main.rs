//! The pages of `offing compare --html` and `offing shape --html`, as a crew sees them: in a real
//! browser, on a phone, on a screen and on paper. Set OFFING_PICTURES to a folder to have what the
//! tests see put there.

mod access;
mod browser;
mod figures;
mod files;
mod names;
mod page;
mod paper;
mod shape;
mod sizes;
