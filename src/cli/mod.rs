//! The command line: arguments, options, one file per command.
