//! What `--help` says: a change of an option is seen here.

use crate::command::{assert_shown, shown};

const COMMANDS: [&str; 16] = [
    "compare",
    "legs",
    "check",
    "season",
    "years",
    "boat",
    "boat fit",
    "boat learn",
    "climate",
    "winds",
    "stores",
    "new",
    "schema",
    "completions",
    "man",
    "shape",
];

#[test]
fn the_first_help() {
    let folder = tempfile::tempdir().unwrap();
    assert_shown!(folder.path(), shown(folder.path(), &["--help"]), @"
    $ offing --help
    Compare ocean sailing routes using average winds by month: distance, time at
    sea, conditions

    A planning aid from averages, not a forecast. Check official pilot charts,
    warnings and local rules; the skipper decides.

    Usage: offing <COMMAND>

    Commands:
      compare      Compare the routes of a voyage: distance, days, conditions
      legs         Show the routes of a voyage leg by leg: courses, days, winds
      check        Check a voyage file, its boat and its winds, without simulating
                   passages
      season       Find the best time to leave: compare departures through the year
      years        Sail a voyage in each real year of its winds: days by year, and
                   the bad years
      boat         Show the boat's polar, best angles and course made good; or fit a
                   factor or learn a polar from logs
      climate      Show the winds at a place by month, or along a route
      winds        Measure your own wind climate from NetCDF files of real winds
      stores       List the stores to load: diesel, water, food, power, spares; and
                   the watches
      new          Write a voyage file from your answers, or an example with every
                   key explained
      schema       Print the JSON Schema of the voyage file, or of what a command
                   prints with --json
      completions  Print a shell completion script
      man          Print the manual page of the program or of one command
      shape        Find the fastest course within the crew's limits
      help         Print this message or the help of the given subcommand(s)

    Options:
      -h, --help
              Print help (see a summary with '-h')

      -V, --version
              Print version
    ");
}

#[test]
fn the_help_of_each_command() {
    let folder = tempfile::tempdir().unwrap();
    for command in COMMANDS {
        let mut arguments: Vec<&str> = command.split(' ').collect();
        arguments.push("--help");
        let name = format!("help_{}", command.replace(' ', "_"));
        assert_shown!(name, folder.path(), shown(folder.path(), &arguments));
    }
}
