//! What each command does.

mod along;
mod args;
mod build;
mod check;
mod clash;
mod common;
mod derivation;
mod editions;
mod files;
mod film;
mod fmt;
mod fonts;
mod heard;
mod interrupt;
mod manual;
mod new;
mod outcome;
mod plan;
mod practising;
mod reach;
mod reading;
mod recording;
mod report;
mod run;
mod standard;
mod temporary;
mod writing;

pub use run::run;
