//! What `--help` says: a change of an option is seen here.

use crate::command::{assert_shown, shown};

const COMMANDS: [&str; 13] = [
    "compare",
    "legs",
    "check",
    "season",
    "boat",
    "boat fit",
    "climate",
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
    Compare ocean sailing routes on real wind climatology: distance, days, and what the crew meets.

    A planning aid from averages, not a forecast. Check official pilot charts, warnings and local rules;
    the skipper decides.

    Usage: offing <COMMAND>

    Commands:
      compare      Compare a voyage's routes: distance, days, exposure
      legs         Show a voyage leg by leg: courses, days, winds
      check        Check a voyage file, its boat and its winds, without walking the routes
      season       Find the best time to leave: departures through the year on every route
      boat         Show the boat: polar, best angles, course made good; or fit her factor to a log
      climate      Show the winds of a place through the months, or along a route
      stores       List what to load for a voyage's routes: diesel, water, food, power, spares, watches
      new          Write a voyage file to begin with, every key explained, and a polar beside it
      schema       Print the JSON Schema of what a command prints with --json: every name, meaning and
                   unit
      completions  Print the script that lets a shell complete this program's commands
      man          Print the manual page, or that of one command
      shape        Shape a course: the fastest route under the crew's own limits
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
