//! What stands in the lines of prose: words with their look, links, and the marks of footnotes.

use super::mentions::with_mentions;
use super::reader::ProseReader;
use super::text::ProseText;
use crate::score::{Figure, Inline};
use crate::source::Diagnostics;
use crate::syntax::address::with_addresses;
use crate::syntax::grammar::Piece;
use crate::syntax::{codes, limits};
use pulldown_cmark::{Event, LinkType, Tag};
use std::ops::Range;

/// How an address begins to which a page can lead.
const SCHEMES: [&str; 3] = ["https://", "http://", "mailto:"];

/// The words of a heading, or of another line that is no paragraph.
pub fn heading(line: Piece<'_>, found: &mut Diagnostics) -> Vec<Inline> {
    // Only after the sign of a heading is all of a line words.
    let text = ProseText::after("# ", line);
    let mut reader = ProseReader::new(&text, false, found);
    reader.next();
    reader.words(0, &mut None)
}

/// Pictures among the words of a paragraph: each with the number of inlines before it.
pub(super) type PlacedFigures = Option<Vec<(usize, Figure)>>;

/// Words as they are gathered.
#[derive(Default)]
struct Gathered {
    inlines: Vec<Inline>,
    text: String,
    /// Where the pieces of the text start, in it and in the text that is read.
    starts: Vec<(usize, usize)>,
}

impl Gathered {
    fn push(&mut self, words: &str, at: usize) {
        self.starts.push((self.text.len(), at));
        self.text.push_str(words);
    }

    /// Makes inlines of the words gathered last.
    fn close(&mut self, reader: &ProseReader<'_, '_>, in_link: bool) {
        let text = std::mem::take(&mut self.text);
        let starts = std::mem::take(&mut self.starts);
        if text.is_empty() {
            return;
        }
        if in_link {
            self.inlines.push(Inline::Text(text));
        } else if reader.refers && text.contains('@') {
            let at = |offset: usize| {
                let piece = starts.partition_point(|(start, _)| *start <= offset);
                let piece = piece.checked_sub(1).and_then(|piece| starts.get(piece));
                let byte = piece.map_or(0, |(start, at)| at + (offset - start));
                reader.text.at(byte).saturating_sub(reader.from)
            };
            self.inlines.extend(with_mentions(&text, &at));
        } else {
            self.inlines.extend(with_addresses(text));
        }
    }
}

impl<'t> ProseReader<'t, '_> {
    /// The words up to the end of the element they stand in, or to a block in it. Where `figures` is
    /// nothing, a picture can't stand here.
    pub(super) fn words(&mut self, depth: usize, figures: &mut PlacedFigures) -> Vec<Inline> {
        self.words_in(depth, figures, false)
    }

    fn words_in(
        &mut self,
        depth: usize,
        figures: &mut PlacedFigures,
        in_link: bool,
    ) -> Vec<Inline> {
        let mut gathered = Gathered::default();
        // Looks too deep in one another to be told apart.
        let mut open = 0_usize;
        while let Some((event, range)) = self.next_inline(&mut open) {
            let look: fn(Vec<Inline>) -> Inline = match event {
                Event::Text(words) => {
                    self.gather_text(&mut gathered, &words, &range);
                    continue;
                }
                Event::SoftBreak => {
                    gathered.push(" ", range.start);
                    continue;
                }
                Event::Start(Tag::Emphasis) => Inline::Emphasis,
                Event::Start(Tag::Strong) => Inline::Strong,
                other => {
                    gathered.close(self, in_link);
                    let placed = (other, range);
                    self.special(placed, &mut gathered, (depth, in_link), figures);
                    continue;
                }
            };
            if depth >= limits::INLINE_DEPTH {
                open += 1;
                continue;
            }
            gathered.close(self, in_link);
            let inner = self.words_in(depth + 1, &mut None, in_link);
            self.next();
            gathered.inlines.push(look(inner));
        }
        gathered.close(self, in_link);
        gathered.inlines
    }

    /// The next event of a line; `open` are ends to be passed over.
    fn next_inline(&mut self, open: &mut usize) -> Option<(Event<'t>, Range<usize>)> {
        while *open > 0 && matches!(self.peek(), Some((Event::End(_), _))) {
            self.next();
            *open -= 1;
        }
        let inline = match &self.peek()?.0 {
            Event::Text(_)
            | Event::Code(_)
            | Event::InlineMath(_)
            | Event::DisplayMath(_)
            | Event::InlineHtml(_)
            | Event::FootnoteReference(_)
            | Event::SoftBreak
            | Event::HardBreak
            | Event::TaskListMarker(_) => true,
            Event::Start(tag) => matches!(
                tag,
                Tag::Emphasis
                    | Tag::Strong
                    | Tag::Strikethrough
                    | Tag::Superscript
                    | Tag::Subscript
                    | Tag::Link { .. }
                    | Tag::Image { .. }
            ),
            Event::End(_) | Event::Html(_) | Event::Rule => false,
        };
        if inline { self.next() } else { None }
    }

    fn gather_text(&mut self, gathered: &mut Gathered, words: &str, range: &Range<usize>) {
        if let Some(label) = words.strip_prefix('^').filter(|label| !label.trim().is_empty())
            && gathered.text.ends_with('[')
        {
            let place = self.text.span(&(range.start.saturating_sub(1)..range.end));
            self.found
                .warning(place, format!("there is no footnote `{}`", label.trim()))
                .code(codes::NOTE_UNKNOWN)
                .mend(format!(
                    "write it in the same stretch of prose, as `[^{label}]: What it says.`"
                ));
        }
        // What a stroke makes an ordinary character names no block.
        let escaped = range.start.checked_sub(1).and_then(|at| self.text.as_str().get(at..=at));
        if words.starts_with('@') && escaped == Some("\\") && self.refers {
            gathered.push("@", range.start);
        }
        gathered.push(words, range.start);
    }

    /// What is neither plain words nor emphasis.
    fn special(
        &mut self,
        (event, range): (Event<'t>, Range<usize>),
        gathered: &mut Gathered,
        (depth, in_link): (usize, bool),
        figures: &mut PlacedFigures,
    ) {
        match event {
            Event::Code(words) | Event::InlineMath(words) | Event::DisplayMath(words) => {
                gathered.inlines.push(Inline::Code(words.into_string()));
            }
            Event::HardBreak => gathered.inlines.push(Inline::Break),
            Event::FootnoteReference(label) => {
                let number = self.note(&label, &range);
                gathered.inlines.push(Inline::Note(number));
            }
            Event::InlineHtml(_) => self.warn_of_html(&range),
            Event::Start(Tag::Link { link_type, dest_url, .. }) => {
                let inner = self.words_in(depth + 1, &mut None, true);
                self.next();
                let bare = matches!(link_type, LinkType::Autolink | LinkType::Email);
                let link =
                    self.link((&dest_url, link_type == LinkType::Email), &range, inner, bare);
                gathered.inlines.extend(link);
            }
            Event::Start(Tag::Image { dest_url, title, .. }) => {
                let said = self.words_of_image();
                let span = self.place(&range);
                match figures {
                    Some(list) if !in_link => {
                        let (file, caption) = (dest_url.into_string(), title.into_string());
                        list.push((gathered.inlines.len(), Figure { file, said, caption, span }));
                    }
                    Some(_) | None => {
                        self.warn_of_figure(&range);
                        gathered.inlines.push(Inline::Text(said));
                    }
                }
            }
            Event::Text(_)
            | Event::SoftBreak
            | Event::Start(_)
            | Event::End(_)
            | Event::Html(_)
            | Event::Rule
            | Event::TaskListMarker(_) => {}
        }
    }

    /// A link; its words alone where it can't lead there.
    fn link(
        &mut self,
        (address, of_mail): (&str, bool),
        range: &Range<usize>,
        words: Vec<Inline>,
        bare: bool,
    ) -> Vec<Inline> {
        let address = if of_mail { format!("mailto:{address}") } else { address.to_owned() };
        let lower = address.to_ascii_lowercase();
        if !SCHEMES.iter().any(|scheme| lower.starts_with(scheme)) {
            let place = self.text.span(range);
            self.found
                .warning(place, "this link leads nowhere a page can lead, and only its words are printed")
                .code(codes::LINK_UNKNOWN)
                .mend("an address starts with `https://`, `http://` or `mailto:`; a block of music is referred to as `@name`");
            return words;
        }
        if (bare && !of_mail) || words.is_empty() {
            return vec![Inline::Address(address)];
        }
        vec![Inline::Link { address, words }]
    }

    /// What a picture shows; its start was read.
    fn words_of_image(&mut self) -> String {
        let mut said = String::new();
        let mut open = 1_usize;
        while let Some((event, _)) = self.next() {
            match event {
                Event::Start(_) => open += 1,
                Event::End(_) => open -= 1,
                Event::Text(words) | Event::Code(words) => said.push_str(&words),
                Event::SoftBreak | Event::HardBreak => said.push(' '),
                _ => {}
            }
            if open == 0 {
                break;
            }
        }
        said
    }

    fn warn_of_figure(&mut self, range: &Range<usize>) {
        let place = self.text.span(range);
        self.found
            .warning(place, "a picture can't stand here, and what it shows is said in its place")
            .code(codes::PICTURE_INSIDE)
            .mend("write it in a paragraph of its own");
    }

    pub(super) fn warn_of_html(&mut self, range: &Range<usize>) {
        let place = self.text.span(range);
        self.found
            .warning(place, "tags of HTML mean nothing here and are not printed")
            .code(codes::HTML_UNKNOWN)
            .mend("take them out; write `\\<` for the sign itself, and `// ` before a comment");
    }
}
