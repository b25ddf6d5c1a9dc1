//! What each command does.

mod args;
mod build;
mod check;
mod derivation;
mod files;
mod fmt;
mod fonts;
mod manual;
mod new;
mod outcome;
mod plan;
mod report;
mod run;

pub use run::run;
