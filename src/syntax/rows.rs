//! The indented lines of a block.

use super::codes;
use super::grammar::{Piece, Rule};
use super::row::Reader;
use super::tree::{Content, Row, Setting, Word};
use super::{count, hits, sticks, tables, words};
use crate::score::{BlockWord, HitsRow, RowWord, is_built_in, row_meant};
use crate::source::{Diagnostics, Span, nearest};

/// Names of instruments that rows usually have; only to tell rows from prose and to find what a
/// misspelt name meant.
const INSTRUMENTS: [&str; 16] = [
    "hat", "ride", "crash", "snare", "kick", "tom1", "tom2", "tom3", "splash", "china", "bell",
    "cowbell", "floor", "crash2", "cross", "foot",
];

/// An indented line of a block.
#[derive(Debug)]
pub enum BlockLine<'a> {
    /// `--`.
    Break,
    /// `player` and a name in quotes: the name with its quotes, and without.
    Player(Piece<'a>, Piece<'a>),
    /// `key: value`; the value is empty where nothing was written.
    Setting(Piece<'a>, Piece<'a>),
    /// A name and its content.
    Row(Piece<'a>, Option<Piece<'a>>),
}

/// Takes an indented line apart.
pub fn line<'a>(piece: Piece<'a>, word: Option<BlockWord>) -> BlockLine<'a> {
    match plain_row(piece) {
        Some((name, content)) => BlockLine::Row(name, Some(content)),
        None => line_by_grammar(piece, word),
    }
}

/// Name and content of a row whose name is small letters and digits, without the grammar, which comes to the same.
/// Nearly all lines of blocks are so, and most are looked at more than once.
fn plain_row(piece: Piece<'_>) -> Option<(Piece<'_>, Piece<'_>)> {
    let (name, rest) = piece.text.split_once(' ')?;
    let plain = name.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit());
    let text = rest.trim_start_matches(' ');
    if !plain
        || matches!(name, "" | "player")
        || !text.starts_with(|first: char| first.is_ascii_graphic())
    {
        return None;
    }
    let start = piece.start + (piece.text.len() - text.len());
    Some((Piece { text: name, ..piece }, Piece { text, start }))
}

fn line_by_grammar<'a>(piece: Piece<'a>, word: Option<BlockWord>) -> BlockLine<'a> {
    let mut read = BlockLine::Row(piece, None);
    for token in piece.tokens(Rule::indented_line) {
        match token.as_rule() {
            Rule::set_break => read = BlockLine::Break,
            Rule::player => {
                let name = token.into_inner().next().map(|name| piece.part(&name));
                let start = piece.text.find(is_quote).unwrap_or(0);
                let quoted = Piece { text: &piece.text[start..], start: piece.start + start };
                read = BlockLine::Player(quoted, name.unwrap_or(quoted).trimmed());
            }
            Rule::setting => {
                let (key, value) = setting_parts(piece, token);
                read = if word == Some(BlockWord::Kit) && key.text.len() == 1 {
                    BlockLine::Row(Piece { text: &piece.text[..2], ..piece }, Some(value))
                } else {
                    BlockLine::Setting(key, value)
                };
            }
            _ => {
                let mut parts = token.into_inner().map(|part| piece.part(&part));
                if let Some(name) = parts.next() {
                    read = BlockLine::Row(name, parts.next());
                }
            }
        }
    }
    read
}

/// Key and value of a setting.
pub fn setting_parts<'a>(
    piece: Piece<'a>,
    token: super::grammar::Token<'a>,
) -> (Piece<'a>, Piece<'a>) {
    let end = Piece { text: "", start: piece.start + piece.text.len() };
    let mut parts = token.into_inner().map(|part| piece.part(&part));
    (parts.next().unwrap_or(piece), parts.next().unwrap_or(end))
}

/// The setting of a key and a value; an empty value is a fault.
pub fn setting(key: Piece<'_>, value: Piece<'_>, diagnostics: &mut Diagnostics) -> Option<Setting> {
    if value.text.is_empty() {
        diagnostics
            .error(key.span(), format!("nothing is written after `{}:`", key.text))
            .code(codes::VALUE_MISSING)
            .mend("write its value on the same line, or take the line out");
        return None;
    }
    Some(Setting {
        key: Word::new(key.text.to_owned(), key.span()),
        value: Word::new(value.text.to_owned(), value.span()),
    })
}

/// Reads the rows of the blocks of one file.
#[derive(Clone, Debug, Default)]
pub struct Rows {
    /// Names that `kit` blocks of the file give to instruments.
    pub instruments: Vec<String>,
}

impl Rows {
    /// The row of a name and its content. A row without content is a fault.
    pub fn row(
        &self,
        word: BlockWord,
        name: Piece<'_>,
        content: Option<Piece<'_>>,
        diagnostics: &mut Diagnostics,
    ) -> Option<Row> {
        let Some(piece) = content.filter(|content| !content.text.is_empty()) else {
            diagnostics
                .error(name.span(), format!("the row `{}` is empty", name.text))
                .code(codes::ROW_EMPTY)
                .mend("write what it plays after its name, or take the line out");
            return None;
        };
        let mut reader = Reader::new(diagnostics);
        let (name, content) = match word {
            BlockWord::Kit => {
                let mut name = name;
                if let Some(letter) = name.text.strip_suffix(':').filter(|_| name.text.len() == 2) {
                    name.text = letter;
                    let end = Span::new(name.span().end(), name.span().end() + 1);
                    reader
                        .fault(codes::ROW_COLON, end, "no colon stands after a letter of the kit")
                        .replace(end, " ", format!("write `{letter}  {}`", piece.text));
                }
                let letter = tables::kit_letter(&mut reader, piece)?;
                (to_word(name), Content::KitLetter(letter))
            }
            BlockWord::Syllables => (to_word(name), Content::Syllables(tables::syllables(piece))),
            _ => self.music(&mut reader, name, piece),
        };
        let span = name.span.join(piece.span());
        Some(Row { name, content, damaged: reader.damaged, span })
    }

    fn music(&self, reader: &mut Reader<'_>, name: Piece<'_>, piece: Piece<'_>) -> (Word, Content) {
        let word = RowWord::read(name.text);
        let RowWord::Hits(HitsRow::Instrument(_)) = word else {
            return (to_word(name), content(reader, word, piece));
        };
        let mut quiet = Diagnostics::default();
        let mut trial = Reader::new(&mut quiet);
        let cells = content(&mut trial, word.clone(), piece);
        if !trial.damaged {
            return (to_word(name), cells);
        }
        let meant = self.meant(name.text).filter(|meant| RowWord::is_word(meant));
        let Some(meant) = meant else {
            return (to_word(name), content(reader, word, piece));
        };
        let content = content(reader, RowWord::read(&meant), piece);
        reader
            .fault(codes::ROW_UNKNOWN, name.span(), format!("there is no row `{}`", name.text))
            .replace(name.span(), meant.as_str(), format!("did you mean `{meant}`?"));
        (Word::new(meant, name.span()), content)
    }

    /// Whether a name is one of an instrument, or is short for one.
    pub fn is_instrument(&self, name: &str) -> bool {
        let own = self.instruments.iter().any(|own| own == name);
        own || is_built_in(name) || row_meant(name).is_some()
    }

    /// The row a misspelt name meant.
    fn meant(&self, name: &str) -> Option<String> {
        let known = RowWord::words().into_iter().chain(INSTRUMENTS);
        let own = self.instruments.iter().map(String::as_str);
        if INSTRUMENTS.contains(&name) || self.instruments.iter().any(|own| own == name) {
            return None;
        }
        nearest(name, known.chain(own))
    }
}

/// The content of a row of music.
fn content(reader: &mut Reader<'_>, row: RowWord, piece: Piece<'_>) -> Content {
    match row {
        RowWord::Count => Content::Count(count::read(reader, piece)),
        RowWord::Hits(row) => Content::Cells(row, hits::read(reader, piece)),
        RowWord::Sticks(limb) => Content::Sticks(limb, sticks::read(reader, piece)),
        RowWord::Words(row) => Content::Words(row, words::read(reader, piece, row)),
    }
}

/// Whether an indented line is a row or a setting rather than prose that was indented.
pub fn looks_like_row(piece: Piece<'_>) -> bool {
    let (name, content) = match line(piece, None) {
        BlockLine::Row(name, Some(content)) => (name, content),
        BlockLine::Row(..) => return false,
        BlockLine::Break | BlockLine::Player(..) | BlockLine::Setting(..) => return true,
    };
    let known = || RowWord::words().into_iter().chain(INSTRUMENTS);
    let cells = |word: &str| is_notation(word) || is_few_letters(word);
    let named = is_built_in(name.text) || row_meant(name.text).is_some();
    known().any(|row| row == name.text)
        || (named && content.text.split_whitespace().take(64).all(cells))
        || content.text.split(char::is_whitespace).take(64).any(is_notation)
        || (nearest(name.text, known()).is_some()
            && content.text.split(char::is_whitespace).take(64).all(is_few_letters))
}

/// How far a line at the left edge reads like a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Likeness {
    /// Like prose.
    None,
    /// It has the name of a row and then nothing but words of one or two letters.
    Likely,
    /// So many of them, or such signs, that no prose is like it.
    Certain,
}

/// Least words of one or two letters that are surely cells: `play it` may be prose.
const CERTAIN_WORDS: usize = 3;

/// How far a line at the left edge reads like a row.
pub fn likeness(piece: Piece<'_>) -> Likeness {
    let BlockLine::Row(name, Some(content)) = line(piece, None) else { return Likeness::None };
    let known = RowWord::words().into_iter().chain(INSTRUMENTS).any(|row| row == name.text)
        || is_built_in(name.text)
        || (name.text.len() > 1 && row_meant(name.text).is_some());
    let mut words = content.text.split_whitespace().take(64);
    if !known || !words.clone().all(|word| is_notation(word) || is_few_letters(word)) {
        return Likeness::None;
    }
    let cells = |word: &str| is_notation(word) || has_inner_dot(word) || is_one_letter_over(word);
    if words.clone().any(cells) || words.nth(CERTAIN_WORDS - 1).is_some() {
        Likeness::Certain
    } else {
        Likeness::Likely
    }
}

/// Whether a word has at most two letters, though it may repeat them, as words of hits do.
fn is_few_letters(word: &str) -> bool {
    let mut letters: Vec<char> = Vec::new();
    for c in word.chars().filter(|c| c.is_alphabetic()).flat_map(char::to_lowercase) {
        if !letters.contains(&c) {
            letters.push(c);
        }
        if letters.len() > 2 {
            return false;
        }
    }
    true
}

/// Whether a word is one letter three times or more, as `ssss`.
fn is_one_letter_over(word: &str) -> bool {
    let mut letters = word.chars();
    let first = letters.next();
    word.len() > 2 && first.is_some_and(char::is_alphabetic) && letters.all(|c| Some(c) == first)
}

/// Whether a word has a dot before its end, as `R.LR`, and is no shortened phrase.
fn has_inner_dot(word: &str) -> bool {
    word.trim_end_matches('.').contains('.')
        && !["e.g", "i.e"].contains(&word.trim_end_matches('.'))
}

/// Whether a word has signs that prose does not have.
fn is_notation(word: &str) -> bool {
    word.contains(['|', '[', ']', '_', '~', '^'])
        || word.starts_with('.')
        || (word.contains("..") && word.trim_end_matches('.').chars().count() <= 2)
        || (word.contains('.') && word.chars().all(|c| "xXgohO.-".contains(c)))
}

/// Whether a character opens or closes a name in quotes.
fn is_quote(c: char) -> bool {
    ['"', '“', '”', '„'].contains(&c)
}

fn to_word(piece: Piece<'_>) -> Word {
    Word::new(piece.text.to_owned(), piece.span())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2_000))]

        #[test]
        fn the_grammar_says_what_a_plain_row_says(
            text in "(play|player|kick2|s|--|P| |)[ \\t:\"]{0,3}([s:\" \\t/|\u{a0}é-]{0,8})",
        ) {
            let piece = Piece { text: &text, start: 3 };
            prop_assert_eq!(
                format!("{:?}", line(piece, Some(BlockWord::Kit))),
                format!("{:?}", line_by_grammar(piece, Some(BlockWord::Kit)))
            );
        }
    }
}
