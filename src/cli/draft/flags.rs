//! The flags of a wish, made from its table of items.

use clap::{Arg, ArgAction, ArgMatches, Command, Error, FromArgMatches};

use crate::planner::draft::Form;
use crate::planner::draft::form::items;
use crate::units::Units;

/// A wish as it stands on the command line.
#[derive(Debug, Clone, Default)]
pub(super) struct Typed(pub(super) Form);

impl clap::Args for Typed {
    fn augment_args(mut command: Command) -> Command {
        for item in items() {
            let usual = match (item.usual(Units::Mm), item.usual(Units::Inch)) {
                ("" | "none", _) => String::new(),
                (mm, inch) if mm == inch => format!(" [default: {mm}]"),
                (mm, inch) => format!(" [default: {mm}, in inch shops {inch}]"),
            };
            let action = match item.key {
                "steel" => ArgAction::Append,
                _ => ArgAction::Set,
            };
            let arg = Arg::new(item.key)
                .long(item.key)
                .value_name(item.takes)
                .action(action)
                .help_heading(item.group.heading())
                .help(format!("{}{usual}", item.words));
            command = command.arg(arg);
        }
        command
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for Typed {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, Error> {
        let mut typed = Self::default();
        typed.update_from_arg_matches(matches)?;
        Ok(typed)
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), Error> {
        for item in items() {
            for text in matches.get_many::<String>(item.key).into_iter().flatten() {
                if item.key == "steel" {
                    self.0.add_steel(text);
                } else if self.0.put(item.key, text).is_err() {
                    // flags and items are one table
                    return Err(Error::new(clap::error::ErrorKind::UnknownArgument));
                }
            }
        }
        Ok(())
    }
}
