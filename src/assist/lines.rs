//! The line a byte stands in, as it is written: what is being typed may be no part of the tree yet.

use crate::score::BlockWord;
use crate::source::{Source, Span};

/// How many lines above a line its block is looked for.
const FARTHEST: usize = 5_000;

/// What stands before a byte, in its line and above it.
#[derive(Debug)]
pub struct Written<'a> {
    /// The line up to the byte, without the white space before it.
    pub before: &'a str,
    /// The byte.
    pub offset: usize,
    /// Where the line stands.
    pub place: Place,
}

/// Where a line stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// At the left edge before the first blank line, where every line above it is a key.
    Header,
    /// At the left edge.
    Flush,
    /// Indented, in no block.
    Nowhere,
    /// Indented under the head of a block, which starts at a byte.
    Block(BlockPlace),
}

/// Where in a block a line stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BlockPlace {
    /// The word of the block.
    pub word: BlockWord,
    /// Its first byte.
    pub at: usize,
    /// After a line of `--`.
    pub later: bool,
    /// Under the name of a player.
    pub player: bool,
}

impl<'a> Written<'a> {
    /// What stands before a byte of a source.
    pub fn at(source: &'a Source, offset: usize) -> Self {
        let line = source.line_at(offset);
        let whole = source.slice(Span::new(line.start(), offset.min(line.end())));
        let before = whole.trim_start();
        let place = if before.len() < whole.len() {
            in_block(source, line.start())
        } else if in_header(source, line.start()) {
            Place::Header
        } else {
            Place::Flush
        };
        Self { before, offset: line.start() + whole.len(), place }
    }

    /// The word that is being typed: the letters, digits and hyphens before the byte.
    pub fn word(&self) -> &'a str {
        let kept = |c: char| c.is_alphanumeric() || c == '-';
        let start = self.before.trim_end_matches(kept).len();
        self.before.get(start..).unwrap_or("")
    }

    /// Where that word stands.
    pub fn word_span(&self) -> Span {
        Span::new(self.offset - self.word().len(), self.offset)
    }
}

/// The lines above a byte that starts one, from the nearest up.
fn above(source: &Source, start: usize) -> impl Iterator<Item = (usize, &str)> {
    let first = source.span_of(source.file_at(start)).start();
    let text = source.slice(Span::new(first, start));
    let mut end = text.len();
    std::iter::from_fn(move || {
        if end == 0 {
            return None;
        }
        let line = text.get(..end - 1).unwrap_or("");
        let at = line.rfind('\n').map_or(0, |newline| newline + 1);
        let body = text.get(at..end).unwrap_or("").trim_end_matches(['\n', '\r']);
        end = at;
        Some((first + at, body))
    })
    .take(FARTHEST)
}

fn in_block(source: &Source, start: usize) -> Place {
    let (mut later, mut player) = (false, false);
    for (at, line) in above(source, start) {
        let body = line.trim_start();
        if body.is_empty() || body.starts_with("//") {
            continue;
        }
        if body == "--" {
            later = true;
            continue;
        }
        if body.len() < line.len() {
            player |= !later && body.starts_with("player");
            continue;
        }
        let first = body.split([' ', '\t', '"']).next().unwrap_or("");
        let word = BlockWord::ALL.into_iter().find(|word| word.as_str() == first);
        return match word {
            Some(word) => Place::Block(BlockPlace { word, at, later, player }),
            None => Place::Nowhere,
        };
    }
    Place::Nowhere
}

fn in_header(source: &Source, start: usize) -> bool {
    let mut lines: Vec<&str> = above(source, start).map(|(_, line)| line.trim()).collect();
    // Blank lines and comments may stand before the first key.
    while lines.last().is_some_and(|line| line.is_empty() || line.starts_with("//")) {
        lines.pop();
    }
    let is_key = |line: &&str| {
        line.starts_with("//")
            || line.split_once(':').is_some_and(|(key, _)| {
                !key.is_empty() && key.chars().all(|c| c.is_ascii_alphabetic() || c == '-')
            })
    };
    lines.iter().all(is_key)
}
