//! What each command does.

mod args;
mod build;
mod check;
mod clash;
mod derivation;
mod editions;
mod files;
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
