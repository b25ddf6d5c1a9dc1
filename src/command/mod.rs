//! What each command does.

mod args;
mod args_values;
mod book;
mod build;
mod check;
mod clash;
mod common_args;
mod derivation;
mod desk;
mod editions;
mod files;
mod fingerprint;
mod fmt;
mod fonts;
mod heard;
mod interrupt;
mod lesson;
mod lesson_files;
mod lsp;
mod manual;
mod new;
mod outcome;
mod output;
mod plan;
mod practising;
mod press;
mod reach;
mod reading;
mod recording;
mod report;
mod run;
mod standard;
mod temporary;
mod watch;
mod writing;

pub use run::run;
