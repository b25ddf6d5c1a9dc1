//! Arguments that several commands have.

use clap::ValueHint;
use flamacue::derive::Budget;
use flamacue::source::Source;
use std::path::PathBuf;

/// Where files lie that texts may name.
#[derive(Debug, Default, clap::Args)]
pub struct Roots {
    /// Let texts name files in this folder too: chapters, pictures and fonts.
    ///
    /// Without it they name files in the folder of the file that a book starts with, and in folders inside
    /// of that. Give the option again for more folders. What the command line itself names may lie anywhere.
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub root: Vec<PathBuf>,
}

/// How much may be made.
#[derive(Debug, Clone, Copy, clap::Args)]
pub struct Limit {
    /// Allow so many times as much to be made by variations, contexts and series as usual.
    #[arg(
        long = "limit",
        value_name = "NUMBER",
        default_value_t = 1,
        hide_default_value = true,
        value_parser = clap::value_parser!(u32).range(1..)
    )]
    times: u32,
}

impl Default for Limit {
    fn default() -> Self {
        Self { times: 1 }
    }
}

impl Limit {
    /// What may be made of a text.
    pub fn of(self, source: &Source) -> Budget {
        Budget::of(source).times(self.times)
    }
}

/// Faces other than those of the program.
#[derive(Debug, Default, clap::Args)]
pub struct FontFiles {
    /// Set words in another font; give the option again for a bold face and then an italic one.
    ///
    /// It is used in place of what `text-font:` in a file names. What the font lacks is taken from the usual one.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub text_font: Vec<PathBuf>,

    /// Draw music with another font that follows the SMuFL standard; --music-metadata goes with it.
    #[arg(
        long,
        value_name = "FILE",
        requires = "music_metadata",
        value_hint = ValueHint::FilePath
    )]
    pub music_font: Option<PathBuf>,

    /// The SMuFL metadata file of that font.
    #[arg(
        long,
        value_name = "FILE",
        requires = "music_font",
        value_hint = ValueHint::FilePath
    )]
    pub music_metadata: Option<PathBuf>,
}
