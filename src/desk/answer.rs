//! What is answered.

use super::sent::SentPage;
use crate::write::motion::MotionDump;
use serde::Serialize;
use std::collections::BTreeMap;

/// What a text came to.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Look {
    /// Whether the pages are those of the text as it is; where it has an error, they are those of the text
    /// when it was last without one.
    pub current: bool,
    /// How many pages there are.
    pub pages: usize,
    /// The width and the height of the first, in points.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size: Option<[f64; 2]>,
    /// Those that came to look different, by index.
    pub changed: Vec<usize>,
    /// Those that are seen and are not as they were sent; those that are not seen may be others too.
    pub sent: BTreeMap<usize, SentPage>,
    /// The colours of what is seen of the text.
    pub tokens: Vec<Token>,
    /// What is wrong with it.
    pub findings: Vec<Found>,
}

/// A word or sign of the text.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Token {
    /// Where it starts.
    pub from: usize,
    /// Where it ends.
    pub to: usize,
    /// What it is, as the name of a class of a style sheet.
    pub kind: &'static str,
}

/// The colours of a range.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Tokens {
    /// They.
    pub tokens: Vec<Token>,
}

/// Something wrong.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Found {
    /// Where it starts; nothing where it is in an included file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<usize>,
    /// Where it ends.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<usize>,
    /// The name of the included file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// Its line, from 1.
    pub line: usize,
    /// `error` or `warning`.
    pub severity: &'static str,
    /// What is wrong, and under it how it is mended, in words.
    pub message: String,
    /// The change that mends it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mend: Option<Mended>,
}

/// A change that mends what is wrong.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Mended {
    /// What it does, in words.
    pub title: String,
    /// Where what is replaced starts.
    pub from: usize,
    /// Where it ends.
    pub to: usize,
    /// What stands there afterwards.
    pub text: String,
}

/// A page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Shown {
    /// All of it; nothing where there is no such page.
    pub page: Option<SentPage>,
}

/// How a word may go on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Offer {
    /// What is shown.
    pub label: String,
    /// What it means.
    pub about: String,
    /// Where what is replaced starts.
    pub from: usize,
    /// Where it ends.
    pub to: usize,
    /// What stands there afterwards.
    pub text: String,
}

/// The ways a word may go on.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Offered {
    /// They, the likeliest first.
    pub offers: Vec<Offer>,
}

/// What stands at a place.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Explained {
    /// In words.
    pub words: Option<String>,
    /// The page on which its block begins, by index.
    pub page: Option<usize>,
}

/// Changes that set a text in columns.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Tidied {
    /// They, by place, none over another.
    pub edits: Vec<Mended>,
}

/// What is heard of a block.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Heard {
    /// What a reader knows the block by.
    pub name: String,
    /// What a reader knows each exercise by that is heard, where it is of a series.
    pub exercises: Vec<String>,
    /// The second its music starts at.
    pub music: f64,
    /// The seconds it takes once, with the pause before it comes again.
    pub once: f64,
    /// The beats a minute it is written at, where it begins.
    pub tempo: f64,
    /// The file it is written in, 0 the one the text starts with, and its first and last line.
    pub file: usize,
    /// The first line, from 1.
    pub from: usize,
    /// The last line.
    pub to: usize,
    /// Its strokes, by time.
    pub strokes: Vec<HeardStroke>,
    /// What moves on the pages while it is played once: that of the block, or of each exercise that is heard, one
    /// after another.
    pub moving: Vec<HeardMotion>,
}

/// What moves on the pages while a block is heard.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HeardMotion {
    /// What a reader knows it by.
    pub name: String,
    /// The second its music starts at, after that of the first.
    pub from: f64,
    /// Where it is drawn: pages, from 0, and which of the blocks of each it is, from 0.
    pub blocks: Vec<(usize, usize)>,
    /// What moves, in seconds from the start of its music.
    pub motion: MotionDump,
}

/// A stroke that is heard.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HeardStroke {
    /// The second it begins at.
    pub seconds: f64,
    /// What it is of, as an index of the exercises; zero where it is of no series.
    pub exercise: usize,
    /// The bar of its note, from 1, as in the drawing.
    pub bar: usize,
    /// Its place in the bar, as in the drawing.
    pub beat: String,
}

/// A text that was opened.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Opened {
    /// The name of its file.
    pub name: String,
    /// Where the file is: what the page keeps for it, it keeps under that.
    pub path: String,
    /// The text.
    pub text: String,
    /// Whether the file has it.
    pub saved: bool,
    /// What it came to.
    #[serde(flatten)]
    pub look: Look,
}

/// That the page and whoever holds its text do not have the same text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Lost {
    /// Always so.
    pub lost: bool,
}

/// Why something was not made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// In words.
    pub why: String,
}
