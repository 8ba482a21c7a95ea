//! Climate files of many makes: what is read, and what is refused and why.

mod refusals;
mod variants;
mod writing;
