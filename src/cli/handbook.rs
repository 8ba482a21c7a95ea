//! `offing completions` and `offing man`: what a shell and a reader need, made from the arguments.

use clap::{Command, CommandFactory as _};

use super::arguments::{Arguments, CompletionsOptions, ManOptions};
use super::{CliError, print};

const NAME: &str = "offing";

pub(super) fn completions(options: &CompletionsOptions) -> Result<(), CliError> {
    let mut script = Vec::new();
    clap_complete::generate(options.shell, &mut Arguments::command(), NAME, &mut script);
    print(&String::from_utf8_lossy(&script))
}

pub(super) fn man(options: &ManOptions) -> Result<(), CliError> {
    let mut all = Arguments::command();
    // Tells each command its full name.
    all.build();
    let page: Command = match &options.command {
        None => all,
        Some(name) => match all.find_subcommand(name) {
            Some(found) => found.clone(),
            None => {
                let names = all
                    .get_subcommands()
                    .map(|command| command.get_name().to_owned());
                return Err(CliError::NoSuchCommand {
                    found: name.clone(),
                    names: names.collect(),
                });
            }
        },
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page)
        .render(&mut text)
        .map_err(CliError::Stdout)?;
    print(&String::from_utf8_lossy(&text))
}
