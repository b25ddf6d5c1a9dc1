//! Why there is nothing to practise.

use std::fmt;

/// Why a plan can't be made.
#[derive(Clone, Debug, PartialEq)]
pub enum PlanError {
    /// No block has a name that was asked for.
    NoSuchBlock(String),
    /// No player has a name that is to be silent.
    NoSuchPlayer(String),
    /// There are more passes than anyone can count.
    TooManyPasses,
    /// It takes longer than half a day.
    TooLong {
        /// How long it would be.
        hours: f64,
    },
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSuchBlock(name) => write!(f, "the text has no block called `{name}`"),
            Self::NoSuchPlayer(name) => {
                write!(f, "no player is called \"{name}\", who is to be silent")
            }
            Self::TooManyPasses => {
                write!(
                    f,
                    "this is practised in more than 10,000 passes; ask for fewer steps or fewer blocks"
                )
            }
            Self::TooLong { hours } => {
                write!(
                    f,
                    "this would play for {hours:.0} hours, and 12 are the most; ask for fewer times or fewer blocks"
                )
            }
        }
    }
}

impl std::error::Error for PlanError {}
