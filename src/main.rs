//! The `offing` command: a thin face over the library.

fn main() {}
