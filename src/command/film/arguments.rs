//! The arguments of `film`.

use crate::command::common::{FontFiles, Limit, Roots};
use crate::command::practising::Practising;
use clap::ValueHint;
use flamacue::film::{FilmSize, Follow, Rate, Turn};
use flamacue::score::Colour;
use flamacue::syntax::values::colour::colour;
use std::path::PathBuf;

/// Sizes of frames that are called by their ratio: as wide or as high as a video usually is.
const RATIOS: [(&str, (u32, u32)); 3] =
    [("16:9", (1920, 1080)), ("1:1", (1080, 1080)), ("9:16", (1080, 1920))];

/// How it is used.
pub const EXAMPLES: &str = "Examples:
  flamacue film handout.flam                        handout.apng, all blocks one after another
  flamacue film handout.flam --block gate -o gate.svg
                                                    one of them, for a web page
  flamacue film handout.flam --transparent --ink white --rate 29.97 -o frames/
                                                    pictures to lay over a video
  flamacue film handout.flam --practice \"slow x2, alone x2\" --each
                                                    a film for each block, slow first
  flamacue film handout.flam --block gate --at 12.40 --transparent -o - | ffmpeg ...
                                                    in step with a video; the guide has the whole line

What is shown, how often and how fast, is what is heard: the keys `practice`, `click` and `count-in` of the text, and the options of the same names.";

/// A card that is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CardKind {
    Title,
    End,
    Thumbnail,
}

impl CardKind {
    const ALL: [(&'static str, Self); 3] =
        [("title", Self::Title), ("end", Self::End), ("thumbnail", Self::Thumbnail)];

    /// What it is called.
    pub fn name(self) -> &'static str {
        Self::ALL.into_iter().find(|(_, own)| *own == self).map_or("", |(name, _)| name)
    }
}

#[derive(Debug, clap::Args)]
pub struct FilmArguments {
    /// A file of drum-text; `-` reads what another program sends.
    #[arg(value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub file: PathBuf,

    /// Where to write: a name ending in .apng or .svg, a folder for numbered PNG pictures, or `-`.
    ///
    /// `.apng` is one animated PNG, `.svg` one animated SVG that stays sharp at any size. A folder, written with
    /// a slash at its end, takes a PNG picture for each frame: `frame-000000.png` and so on. `-` writes the bytes of
    /// all frames to standard output for another program: red, green, blue and opacity of each pixel. Without
    /// this, an animated PNG stands beside the file.
    #[arg(short, long, value_name = "OUT", value_hint = ValueHint::AnyPath)]
    pub output: Option<PathBuf>,

    /// A film for each block, named `handout-gate.apng`.
    #[arg(long)]
    pub each: bool,

    /// Size of a frame in pixels, as 1920x300, or 16:9, 1:1 or 9:16.
    #[arg(long, value_name = "SIZE", default_value = "1920x300", value_parser = size)]
    pub size: FilmSize,

    /// Frames a second: 30, 60, 29.97, 23.976, or an exact fraction as 30000/1001.
    #[arg(long, value_name = "RATE", default_value = "30", value_parser = rate)]
    pub rate: Rate,

    /// In the colours of an edition that the text has.
    #[arg(long, value_name = "NAME")]
    pub edition: Option<String>,

    /// Colour of the notation: black, white, gray, or as on the web, `#204060`.
    #[arg(long, value_name = "COLOUR", value_parser = colour_of)]
    pub ink: Option<Colour>,

    /// Colour behind it.
    #[arg(long, value_name = "COLOUR", value_parser = colour_of, conflicts_with = "transparent")]
    pub paper: Option<Colour>,

    /// Nothing behind it: to be laid over a video.
    #[arg(long)]
    pub transparent: bool,

    /// Colour of what is played now.
    #[arg(long, value_name = "COLOUR", value_parser = colour_of)]
    pub lit: Option<Colour>,

    /// What shows where the music is: line, wedge and notes, with commas between, or none.
    #[arg(long, value_name = "WHAT", default_value = "line,notes", value_parser = follow)]
    pub cursor: Follow,

    /// How a block goes by that is longer than a frame is wide: pages, or scroll.
    ///
    /// Pages hold whole bars and turn at a barline. A scroll goes steadily, without a jerk.
    #[arg(long, value_name = "HOW", default_value = "pages", value_parser = turn)]
    pub turn: Turn,

    /// Hide the notes, and show only the counting.
    #[arg(long, value_name = "notes", value_parser = ["notes"])]
    pub hide: Option<String>,

    /// A card in place of a film: title, end (with --address), or thumbnail; a PNG or SVG picture.
    ///
    /// A thumbnail shows number and title of the block of --block, or of the first one, and its first bar, large; with
    /// --each there is one for each block. --size 16:9, 1:1 and 9:16 are the usual ratios.
    #[arg(long, value_name = "CARD", value_parser = card)]
    pub card: Option<CardKind>,

    /// The address on an end card.
    #[arg(long, value_name = "ADDRESS", requires = "card")]
    pub address: Option<String>,

    /// Begin again after the end, where the film is one file.
    #[arg(long)]
    pub repeat: bool,

    #[command(flatten)]
    pub fonts: FontFiles,

    #[command(flatten)]
    pub roots: Roots,

    #[command(flatten)]
    pub limit: Limit,

    // Last: what follows would stand under its headings in the help.
    #[command(flatten)]
    pub practising: Practising,
}

fn size(words: &str) -> Result<FilmSize, String> {
    let ratio = RATIOS.iter().find(|(name, _)| *name == words);
    let size = match ratio {
        Some((_, (width, height))) => FilmSize::new(*width, *height),
        None => FilmSize::read(words),
    };
    size.ok_or_else(|| {
        "write pixels from 64 to 8192 as 1920x300, at most 9,437,184 in all; or 16:9, 1:1 or 9:16"
            .into()
    })
}

fn rate(words: &str) -> Result<Rate, String> {
    Rate::read(words)
        .ok_or_else(|| "write frames a second from 1 to 240, as 30, 29.97 or 30000/1001".into())
}

fn colour_of(words: &str) -> Result<Colour, String> {
    colour(words).ok_or_else(|| {
        "write black, white, gray, or six figures as on the web, such as \"#204060\"".into()
    })
}

fn follow(words: &str) -> Result<Follow, String> {
    Follow::read(words)
        .ok_or_else(|| "write line, wedge and notes, with commas between, or none".into())
}

fn turn(words: &str) -> Result<Turn, String> {
    match words {
        "pages" => Ok(Turn::Pages),
        "scroll" => Ok(Turn::Scroll),
        _ => Err("write pages or scroll".into()),
    }
}

fn card(words: &str) -> Result<CardKind, String> {
    let found = CardKind::ALL.into_iter().find(|(name, _)| *name == words);
    found.map(|(_, card)| card).ok_or_else(|| "write title, end or thumbnail".into())
}
