//! The blocks of a stretch of prose.

use super::reader::ProseReader;
use super::text::ProseText;
use crate::score::prose::{List, Note};
use crate::score::{Figure, Inline, Placed, ProseBlock};
use crate::source::{Diagnostics, Span};
use crate::syntax::grammar::Piece;
use crate::syntax::heading::HeadingWords;
use crate::syntax::tree::{Heading, Item, Word};
use crate::syntax::{codes, limits};
use pulldown_cmark::{Event, HeadingLevel, Tag};
use std::ops::Range;

/// Reads a stretch of prose. Its footnotes and the addresses its links name stand in it.
pub fn read(text: &ProseText, found: &mut Diagnostics) -> Vec<Item> {
    let mut reader = StretchReader {
        reader: ProseReader::new(text, true, found),
        defined: Vec::new(),
        items: Vec::new(),
    };
    while let Some((event, range)) = reader.reader.peek() {
        let (is_heading, range) =
            (matches!(event, Event::Start(Tag::Heading { .. })), range.clone());
        let at = text.at(range.start);
        reader.reader.from = at;
        if is_heading {
            reader.heading();
            continue;
        }
        let blocks = reader.block(0);
        reader.items.extend(blocks.into_iter().map(|block| Item::Prose(Placed::new(block, at))));
    }
    reader.finish()
}

/// A footnote that is written out.
struct Defined {
    label: String,
    place: Span,
    blocks: Vec<ProseBlock>,
}

struct StretchReader<'t, 'd> {
    reader: ProseReader<'t, 'd>,
    defined: Vec<Defined>,
    items: Vec<Item>,
}

impl<'t> StretchReader<'t, '_> {
    /// A heading at the left edge.
    fn heading(&mut self) {
        let Some((Event::Start(Tag::Heading { level, .. }), range)) = self.reader.next() else {
            return;
        };
        let refers = std::mem::replace(&mut self.reader.refers, false);
        let mut text = self.reader.words(0, &mut None);
        self.reader.refers = refers;
        self.reader.next();
        let level = if level == HeadingLevel::H1 { 1 } else { 2 };
        if !text.is_empty() {
            let span = self.reader.text.span(&range);
            let line = self.last_line(&range);
            let end = line.map_or(span.end(), |line| line.span().end());
            let name = line.and_then(|line| self.name(line, &mut text));
            self.items.push(Item::Heading(Heading { level, text: text.into(), name, end, span }));
        }
    }

    /// The last line of words of a heading over a line of signs.
    fn last_line(&self, range: &Range<usize>) -> Option<Piece<'t>> {
        let whole = self.reader.text.as_str().get(range.clone())?.trim_end();
        let words = whole.rfind('\n').and_then(|end| whole.get(..end))?;
        let line = words.rfind('\n').map_or(0, |end| end + 1);
        let start = self.reader.text.at(range.start + line);
        Some(Piece { text: words.get(line..)?, start }.trimmed())
    }

    /// The name at the end of a line of a heading, which is taken out of its words.
    fn name(&mut self, line: Piece<'_>, text: &mut [Inline]) -> Option<Word> {
        let heading = HeadingWords::read(line);
        heading.report(self.reader.found);
        let name = heading.name?;
        if let Some(Inline::Text(last)) = text.last_mut() {
            let title = last.trim_end().strip_suffix(&format!("{{#{}}}", name.value));
            if let Some(title) = title.map(|title| title.trim_end().to_owned()) {
                *last = title;
            }
        }
        Some(name)
    }

    /// The blocks up to the end of what they stand in.
    fn blocks(&mut self, depth: usize) -> Vec<ProseBlock> {
        let mut blocks = Vec::new();
        // Blocks that lie too deep to stand in another.
        let mut open = 0_usize;
        while let Some((event, range)) = self.reader.peek() {
            match event {
                Event::End(_) if open == 0 => break,
                Event::End(_) => {
                    self.reader.next();
                    open -= 1;
                }
                Event::Start(
                    Tag::BlockQuote(_) | Tag::List(_) | Tag::Item | Tag::FootnoteDefinition(_),
                ) if depth >= limits::PROSE_DEPTH => {
                    let range = range.clone();
                    self.warn_of_depth(&range);
                    self.reader.next();
                    open += 1;
                }
                _ => blocks.extend(self.block(depth)),
            }
        }
        blocks
    }

    /// What the next block comes to.
    fn block(&mut self, depth: usize) -> Vec<ProseBlock> {
        if self.starts_words() {
            return self.paragraph();
        }
        let Some((event, range)) = self.reader.next() else { return Vec::new() };
        match event {
            Event::Start(Tag::Paragraph) => {
                let blocks = self.paragraph();
                self.reader.next();
                blocks
            }
            Event::Start(Tag::Heading { .. }) => self.inner_heading(&range),
            Event::Start(Tag::BlockQuote(_)) => {
                let blocks = self.blocks(depth + 1);
                self.reader.next();
                vec![ProseBlock::Quote(blocks)]
            }
            Event::Start(Tag::List(first)) => vec![ProseBlock::List(self.list(first, depth))],
            Event::Start(Tag::CodeBlock(_)) => vec![self.code()],
            Event::Start(Tag::HtmlBlock) => self.html(&range),
            Event::Start(Tag::FootnoteDefinition(label)) => {
                self.note(&label, &range, depth);
                Vec::new()
            }
            Event::Start(Tag::Table(columns)) => {
                self.reader.table(&columns, &range).into_iter().collect()
            }
            Event::Rule => vec![ProseBlock::Break],
            Event::Start(_) => {
                // Nothing else is asked of the library.
                self.reader.skip_element();
                Vec::new()
            }
            Event::End(_)
            | Event::Text(_)
            | Event::Code(_)
            | Event::InlineMath(_)
            | Event::DisplayMath(_)
            | Event::Html(_)
            | Event::InlineHtml(_)
            | Event::FootnoteReference(_)
            | Event::SoftBreak
            | Event::HardBreak
            | Event::TaskListMarker(_) => Vec::new(),
        }
    }

    /// Whether words come next: an entry of a tight list has them without a paragraph.
    fn starts_words(&mut self) -> bool {
        matches!(
            self.reader.peek(),
            Some((
                Event::Text(_)
                    | Event::Code(_)
                    | Event::InlineHtml(_)
                    | Event::FootnoteReference(_)
                    | Event::SoftBreak
                    | Event::HardBreak
                    | Event::Start(
                        Tag::Emphasis | Tag::Strong | Tag::Link { .. } | Tag::Image { .. }
                    ),
                _
            ))
        )
    }

    /// Words, with the pictures among them on lines of their own.
    fn paragraph(&mut self) -> Vec<ProseBlock> {
        let mut figures = Some(Vec::new());
        let words = self.reader.words(0, &mut figures);
        with_figures(words, figures.unwrap_or_default())
    }

    fn list(&mut self, first: Option<u64>, depth: usize) -> List {
        let mut list = List { first, loose: false, entries: Vec::new() };
        while let Some((Event::Start(Tag::Item), _)) = self.reader.peek() {
            self.reader.next();
            list.loose |= matches!(self.reader.peek(), Some((Event::Start(Tag::Paragraph), _)));
            list.entries.push(self.blocks(depth + 1));
            self.reader.next();
        }
        self.reader.next();
        list
    }

    fn code(&mut self) -> ProseBlock {
        let mut code = String::new();
        while let Some((event, _)) = self.reader.next() {
            match event {
                Event::Text(text) => code.push_str(&text),
                Event::End(_) => break,
                _ => {}
            }
        }
        ProseBlock::Code(code.lines().map(str::to_owned).collect())
    }

    /// A block of HTML: the words between its tags.
    fn html(&mut self, range: &Range<usize>) -> Vec<ProseBlock> {
        let mut html = String::new();
        while let Some((event, _)) = self.reader.next() {
            match event {
                Event::Html(text) | Event::Text(text) => html.push_str(&text),
                Event::End(_) => break,
                _ => {}
            }
        }
        self.reader.warn_of_html(range);
        let words = outside_tags(&html);
        if words.is_empty() {
            Vec::new()
        } else {
            vec![ProseBlock::Paragraph(vec![Inline::Text(words)])]
        }
    }

    /// A heading inside a quote, a list or a footnote.
    fn inner_heading(&mut self, range: &Range<usize>) -> Vec<ProseBlock> {
        let words = self.reader.words(0, &mut None);
        self.reader.next();
        let place = self.reader.text.span(range);
        self.reader
            .found
            .warning(place, "a heading can't stand inside something else, and is printed as words")
            .code(codes::HEADING_INSIDE)
            .mend("begin it at the left edge");
        vec![ProseBlock::Paragraph(vec![Inline::Strong(words)])]
    }

    /// A footnote, which is set at the end of its stretch.
    fn note(&mut self, label: &str, range: &Range<usize>, depth: usize) {
        let from = std::mem::replace(&mut self.reader.from, self.reader.text.start());
        let blocks = self.blocks(depth + 1);
        self.reader.next();
        self.reader.from = from;
        let place = self.reader.text.span(range);
        self.defined.push(Defined { label: label.to_lowercase(), place, blocks });
    }

    fn warn_of_depth(&mut self, range: &Range<usize>) {
        if std::mem::replace(&mut self.reader.told_deep, true) {
            return;
        }
        let place = self.reader.text.span(range);
        let deepest = limits::PROSE_DEPTH;
        self.reader
            .found
            .warning(place, format!("quotes and lists lie at most {deepest} deep in one another"))
            .code(codes::PROSE_TOO_DEEP)
            .mend("what lies deeper is printed as if it did not");
    }

    /// The items, and the footnotes after them.
    fn finish(mut self) -> Vec<Item> {
        let mut notes = Vec::new();
        for Defined { label, place, blocks } in self.defined {
            if !self.reader.notes.contains_key(&label) {
                self.reader
                    .found
                    .warning(place, format!("nothing refers to the footnote `{label}`"))
                    .code(codes::NOTE_UNUSED)
                    .mend(format!("write `[^{label}]` after the words it belongs to, in the same stretch of prose"));
            }
            let next = u32::try_from(self.reader.notes.len() + 1).unwrap_or(u32::MAX);
            let (number, _) = *self.reader.notes.entry(label).or_insert((next, place));
            notes.push(Note { number, blocks });
        }
        notes.sort_by_key(|note| note.number);
        if !notes.is_empty() {
            let start = self.reader.text.start();
            self.items.push(Item::Prose(Placed::new(ProseBlock::Notes(notes), start)));
        }
        self.items
    }
}

/// Words with the pictures among them, each a block of its own.
fn with_figures(words: Vec<Inline>, figures: Vec<(usize, Figure)>) -> Vec<ProseBlock> {
    let mut blocks = Vec::new();
    let mut rest = words.into_iter();
    let mut taken = 0;
    let put = |mut words: Vec<Inline>, blocks: &mut Vec<ProseBlock>| {
        if let Some(Inline::Text(first)) = words.first_mut() {
            *first = first.trim_start().to_owned();
        }
        let blank = |inline: &Inline| match inline {
            Inline::Text(text) => text.trim().is_empty(),
            Inline::Break => true,
            _ => false,
        };
        if !words.iter().all(blank) {
            blocks.push(ProseBlock::Paragraph(words));
        }
    };
    for (before, figure) in figures {
        put(rest.by_ref().take(before - taken).collect(), &mut blocks);
        taken = before;
        blocks.push(ProseBlock::Figure(figure));
    }
    put(rest.collect(), &mut blocks);
    blocks
}

/// What stands outside of tags and comments, with its white space as single spaces.
fn outside_tags(html: &str) -> String {
    let mut words = String::new();
    let mut rest = html;
    while let Some(open) = rest.find('<') {
        let (before, tag) = rest.split_at(open);
        words.push_str(before);
        words.push(' ');
        let end = if tag.starts_with("<!--") { "-->" } else { ">" };
        rest = tag.find(end).and_then(|at| tag.get(at + end.len()..)).unwrap_or("");
    }
    words.push_str(rest);
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}
