//! The house as a whole: its floors' order, and that the library is silent.

mod floors;
mod quiet;
