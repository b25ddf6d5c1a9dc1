//! Arguments that are made when their command is called.

use clap::builder::Resettable;
use clap::{ArgMatches, Args, Command, Error, FromArgMatches};
use std::ops::Deref;

/// The arguments of one command of several. Those of all together take longer to make than the words of a command
/// line to read, and only one command is called.
#[derive(Debug)]
pub struct Deferred<T>(Box<T>);

impl<T> Deref for Deferred<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.0
    }
}

/// A command with arguments, which says of itself what it did without: arguments that several commands share say
/// something of their own.
fn with(command: Command, arguments: fn(Command) -> Command) -> Command {
    let about = Resettable::from(command.get_about().cloned());
    let long_about = Resettable::from(command.get_long_about().cloned());
    arguments(command).about(about).long_about(long_about)
}

impl<T: Args> Args for Deferred<T> {
    fn augment_args(command: Command) -> Command {
        command.defer(|command| with(command, T::augment_args))
    }

    fn augment_args_for_update(command: Command) -> Command {
        command.defer(|command| with(command, T::augment_args_for_update))
    }
}

impl<T: FromArgMatches> FromArgMatches for Deferred<T> {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, Error> {
        T::from_arg_matches(matches).map(|arguments| Self(Box::new(arguments)))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), Error> {
        self.0.update_from_arg_matches(matches)
    }
}
