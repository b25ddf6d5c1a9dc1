//! Straight quotes and doubled hyphens in words that are read, as the language of the file prints them.
//! Code, addresses and names stay as they are written.

use super::quote_marks::QuoteMarks;
use crate::score::front_matter::FrontMatter;
use crate::score::prose::{List, Note, Table};
use crate::score::{Figure, Header, Inline, ProseBlock};
use std::sync::Arc;

/// Makes words typographic, in the quotes of a language.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Typographer(QuoteMarks);

impl Typographer {
    /// One for a language tag, or for English.
    pub(super) fn of(language: Option<&str>) -> Self {
        Self(QuoteMarks::of(language))
    }

    /// One for the language of a header, whose own words it sets.
    pub(super) fn of_header(header: &mut Header) -> Self {
        let own = Self::of(header.language.as_deref());
        own.header(header);
        own
    }

    fn header(self, header: &mut Header) {
        let Header { title, subtitle, author, copyright, level, front, .. } = header;
        let FrontMatter { dedication, publisher, printing, thanks, year: _, isbn: _ } = front;
        let of_book = [dedication, publisher, printing, thanks];
        let of_title = [title, subtitle, author, copyright, level];
        for words in of_title.into_iter().chain(of_book).flatten() {
            *words = self.words(words);
        }
    }

    /// A line of words.
    pub(super) fn words(self, words: &str) -> String {
        let mut words = words.to_owned();
        if self.touches(&words) {
            self.set(&mut [Leaf::Words(&mut words)]);
        }
        words
    }

    /// Words with their look; the very same where nothing in them changes.
    pub(super) fn inlines(self, text: &Arc<[Inline]>) -> Arc<[Inline]> {
        if text.iter().any(|inline| self.touches_inline(inline)) {
            self.text(text).into()
        } else {
            text.clone()
        }
    }

    /// A block of prose; the very same where nothing in it changes.
    pub(super) fn prose(self, block: &Arc<ProseBlock>) -> Arc<ProseBlock> {
        let mut touched = false;
        block.for_each_text(&mut |text| {
            touched |= text.iter().any(|inline| self.touches_inline(inline));
        });
        block.for_each_figure(&mut |figure| {
            touched |= self.touches(&figure.said) || self.touches(&figure.caption);
        });
        if touched { Arc::new(self.block(block)) } else { block.clone() }
    }

    /// Blocks nest as deep as the reader allows, and this recurses no deeper.
    fn block(self, block: &ProseBlock) -> ProseBlock {
        let blocks = |blocks: &[ProseBlock]| -> Vec<ProseBlock> {
            blocks.iter().map(|block| self.block(block)).collect()
        };
        let cells = |row: &Vec<Vec<Inline>>| -> Vec<Vec<Inline>> {
            row.iter().map(|cell| self.text(cell)).collect()
        };
        match block {
            ProseBlock::Paragraph(text) => ProseBlock::Paragraph(self.text(text)),
            ProseBlock::List(list) => ProseBlock::List(List {
                entries: list.entries.iter().map(|entry| blocks(entry)).collect(),
                ..*list
            }),
            ProseBlock::Quote(inner) => ProseBlock::Quote(blocks(inner)),
            ProseBlock::Table(table) => ProseBlock::Table(Table {
                columns: table.columns.clone(),
                head: cells(&table.head),
                rows: table.rows.iter().map(cells).collect(),
            }),
            ProseBlock::Figure(figure) => ProseBlock::Figure(Figure {
                said: self.words(&figure.said),
                caption: self.words(&figure.caption),
                ..figure.clone()
            }),
            ProseBlock::Notes(notes) => {
                let note = |note: &Note| Note { number: note.number, blocks: blocks(&note.blocks) };
                ProseBlock::Notes(notes.iter().map(note).collect())
            }
            ProseBlock::Break | ProseBlock::Code(_) => block.clone(),
        }
    }

    fn text(self, text: &[Inline]) -> Vec<Inline> {
        let mut text = text.to_vec();
        let mut leaves = Vec::new();
        add_leaves(&mut text, &mut leaves);
        self.set(&mut leaves);
        text
    }

    fn touches(self, words: &str) -> bool {
        words.contains(['\'', '"']) || words.contains("--") || self.0.sets_off
    }

    fn touches_inline(self, inline: &Inline) -> bool {
        match inline {
            Inline::Text(words) => self.touches(words),
            Inline::Emphasis(inner) | Inline::Strong(inner) | Inline::Link { words: inner, .. } => {
                inner.iter().any(|inline| self.touches_inline(inline))
            }
            Inline::Code(_)
            | Inline::Break
            | Inline::Address(_)
            | Inline::Note(_)
            | Inline::Reference(_) => false,
        }
    }

    /// Sets the words of a paragraph, one look after another.
    fn set(self, leaves: &mut [Leaf<'_>]) {
        let mut characters: Vec<char> = Vec::new();
        for leaf in leaves.iter() {
            match leaf {
                Leaf::Words(words) => characters.extend(words.chars()),
                Leaf::Thing => characters.push(THING),
                Leaf::Space => characters.push(' '),
            }
        }
        let mut paragraph =
            Paragraph { marks: self.0, characters, at: 0, open: Vec::new(), singles: 0 };
        paragraph.singles = paragraph.closing_singles();
        for leaf in leaves {
            match leaf {
                Leaf::Words(words) => {
                    let count = words.chars().count();
                    **words = paragraph.take(count);
                }
                Leaf::Thing | Leaf::Space => paragraph.at += 1,
            }
        }
    }
}

/// What stands for code, an address or a name among words.
const THING: char = '\u{fffc}';

/// Words of one look, or what stands between them.
enum Leaf<'a> {
    Words(&'a mut String),
    Thing,
    Space,
}

/// The reader bounds how deep looks nest, and with it how deep this recurses.
fn add_leaves<'a>(text: &'a mut [Inline], leaves: &mut Vec<Leaf<'a>>) {
    for inline in text {
        match inline {
            Inline::Text(words) => leaves.push(Leaf::Words(words)),
            Inline::Emphasis(inner) | Inline::Strong(inner) | Inline::Link { words: inner, .. } => {
                add_leaves(inner, leaves);
            }
            Inline::Break => leaves.push(Leaf::Space),
            Inline::Code(_) | Inline::Address(_) | Inline::Note(_) | Inline::Reference(_) => {
                leaves.push(Leaf::Thing);
            }
        }
    }
}

/// The characters of a paragraph as they are set.
struct Paragraph {
    marks: QuoteMarks,
    characters: Vec<char>,
    at: usize,
    /// The quotes that are open: `"` or `'`.
    open: Vec<char>,
    /// Single signs ahead that could close a quote.
    singles: usize,
}

impl Paragraph {
    fn before(&self, at: usize) -> Option<char> {
        at.checked_sub(1).and_then(|at| self.characters.get(at)).copied()
    }

    fn after(&self, at: usize) -> Option<char> {
        self.characters.get(at + 1).copied()
    }

    /// Whether a sign stands where a quote opens: after a blank or a bracket, and before a word.
    fn opens(&self, at: usize) -> bool {
        let before = self.before(at).is_none_or(|c| {
            c.is_whitespace() || matches!(c, '(' | '[' | '{' | '-' | '–' | '—' | '/' | '"' | '\'')
        });
        before && self.after(at).is_some_and(|c| !c.is_whitespace())
    }

    /// Whether a single sign could close a quote.
    fn closes(&self, at: usize) -> bool {
        let before = self.before(at).is_some_and(|c| !c.is_whitespace());
        before && self.after(at).is_none_or(|c| !is_of_word(c))
    }

    /// How many single signs could close a quote.
    fn closing_singles(&self) -> usize {
        let signs = self.characters.iter().enumerate().filter(|(_, c)| **c == '\'');
        signs.filter(|(at, _)| self.closes(*at)).count()
    }

    /// The next characters, set.
    fn take(&mut self, count: usize) -> String {
        let mut out = String::new();
        let end = self.at + count;
        while self.at < end {
            let at = self.at;
            match self.characters.get(at).copied() {
                Some('"') => out.push_str(self.double(at)),
                Some('\'') => out.push_str(self.single(at)),
                Some('-') => {
                    let hyphens = self.characters.get(at..end).unwrap_or(&[]);
                    let hyphens = hyphens.iter().take_while(|c| **c == '-').count();
                    match hyphens {
                        2 => out.push('–'),
                        3 => out.push('—'),
                        other => out.extend(std::iter::repeat_n('-', other)),
                    }
                    self.at += hyphens - 1;
                }
                Some(' ') if self.marks.sets_off => out.push(self.blank(at)),
                Some(other) => out.push(other),
                None => {}
            }
            self.at += 1;
        }
        out
    }

    fn double(&mut self, at: usize) -> &'static str {
        let [opening, closing] = self.marks.outer;
        let is_open = self.open.contains(&'"');
        // A number with the sign after it and no quote open is a size in inches.
        if !is_open && self.before(at).is_some_and(|c| c.is_ascii_digit()) {
            return "″";
        }
        if self.opens(at) && !is_open {
            self.open.push('"');
            return opening;
        }
        if let Some(place) = self.open.iter().rposition(|c| *c == '"') {
            self.open.truncate(place);
        }
        closing
    }

    fn single(&mut self, at: usize) -> &'static str {
        let [opening, closing] = self.marks.inner;
        let closes = self.closes(at);
        self.singles -= usize::from(closes);
        if closes && self.open.last() == Some(&'\'') {
            self.open.pop();
            return closing;
        }
        let year = self.after(at).is_some_and(|c| c.is_ascii_digit());
        if self.opens(at) && !year && self.singles > 0 {
            self.open.push('\'');
            return opening;
        }
        "’"
    }

    /// A blank before a sign that stands off from its word does not part them.
    fn blank(&self, at: usize) -> char {
        match self.after(at) {
            Some(':') => '\u{a0}',
            Some(';' | '!' | '?') => '\u{202f}',
            _ => ' ',
        }
    }
}

/// Whether a character is part of a word.
fn is_of_word(c: char) -> bool {
    c.is_alphanumeric() || c == THING
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(language: &str, words: &str) -> String {
        Typographer::of(Some(language)).words(words)
    }

    #[test]
    fn quotes_are_those_of_the_language() {
        let said = "\"Play 'slow' now\", she said";
        assert_eq!(set("en", said), "“Play ‘slow’ now”, she said");
        assert_eq!(set("de-AT", said), "„Play ‚slow‘ now“, she said");
        assert_eq!(set("de-CH", said), "«Play ‹slow› now», she said");
        assert_eq!(
            set("fr", "Il dit : \"vite !\""),
            "Il dit\u{a0}: «\u{202f}vite\u{202f}!\u{202f}»"
        );
        assert_eq!(set("sv", said), "”Play ’slow’ now”, she said");
        assert_eq!(set("xx", said), "“Play ‘slow’ now”, she said");
    }

    #[test]
    fn apostrophes_and_inches_are_no_quotes() {
        assert_eq!(
            set("en", "Don't rush, it's the '90s drummers' way"),
            "Don’t rush, it’s the ’90s drummers’ way"
        );
        assert_eq!(set("de", "Wie geht's, 'ne 14\" Snare"), "Wie geht’s, ’ne 14″ Snare");
        assert_eq!(set("en", "(\"so\" -- \"then\")"), "(“so” – “then”)");
    }

    #[test]
    fn hyphens_are_dashes() {
        assert_eq!(set("en", "bars 1--4---all, well-known ----"), "bars 1–4—all, well-known ----");
        assert_eq!(set("en", "nothing to do"), "nothing to do");
    }

    #[test]
    fn quotes_reach_over_looks_and_code_stays() {
        let text = vec![
            Inline::Text("\"".into()),
            Inline::Emphasis(vec![Inline::Text("so".into())]),
            Inline::Text("\" and ".into()),
            Inline::Code("\"x\" --".into()),
            Inline::Text("'s".into()),
        ];
        let expected = vec![
            Inline::Text("“".into()),
            Inline::Emphasis(vec![Inline::Text("so".into())]),
            Inline::Text("” and ".into()),
            Inline::Code("\"x\" --".into()),
            Inline::Text("’s".into()),
        ];
        assert_eq!(Typographer::of(None).text(&text), expected);
    }
}
