//! `offing completions` and `offing man`: the completion script and the manual pages.

use clap::{Command, CommandFactory as _};

use super::arguments::{Arguments, CompletionsOptions, ManOptions};
use super::{CliError, print_data};

const NAME: &str = "offing";

pub(super) fn completions(options: &CompletionsOptions) -> Result<(), CliError> {
    let mut script = Vec::new();
    clap_complete::generate(options.shell, &mut Arguments::command(), NAME, &mut script);
    print_data(&String::from_utf8_lossy(&script))
}

pub(super) fn man(options: &ManOptions) -> Result<(), CliError> {
    let mut all = Arguments::command();
    // Tells each command its full name.
    all.build();
    let page: Command = match &options.command {
        None => all,
        Some(name) => {
            let pages = pages(&all);
            match pages.iter().find(|(page, _)| page == name) {
                Some((_, command)) => (*command).clone(),
                None => {
                    return Err(CliError::NoSuchCommand {
                        found: name.clone(),
                        names: pages.into_iter().map(|(page, _)| page).collect(),
                    });
                }
            }
        }
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page)
        .render(&mut text)
        .map_err(CliError::Stdout)?;
    print_data(&String::from_utf8_lossy(&text))
}

/// Every command with the name of its page: `boat-fit` for `boat fit`.
fn pages(all: &Command) -> Vec<(String, &Command)> {
    let mut pages = Vec::new();
    for command in all.get_subcommands() {
        let name = command.get_name();
        pages.push((name.to_owned(), command));
        // `help` has every command below it again.
        let below = command.get_subcommands().filter(|_| name != "help");
        pages.extend(below.map(|below| (format!("{name}-{}", below.get_name()), below)));
    }
    pages
}
