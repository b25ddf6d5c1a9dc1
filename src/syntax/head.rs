//! The head line of a block, and how it is told from prose.

use super::codes;
use super::grammar::{PLAIN, Piece, Rule};
use super::plain_head;
use super::plain_head::PlainHead;
use super::tree::Word;
use crate::score::BlockWord;
use crate::source::{Diagnostics, Span, nearest, say};

/// A line that could be the head of a block.
#[derive(Debug)]
pub struct BlockHead<'a> {
    /// Its first word.
    pub word: Piece<'a>,
    /// The block word it is, where it is one.
    pub exact: Option<BlockWord>,
    /// The first name after it.
    pub name: Option<Word>,
    /// The name after `of`.
    pub parent: Option<Word>,
    /// The first phrase in quotes, without them.
    pub title: Option<Word>,
    /// The whole line.
    pub span: Span,
    line: Piece<'a>,
    wrong: Option<Wrong<'a>>,
}

/// The first thing in a head that does not belong there.
#[derive(Debug)]
enum Wrong<'a> {
    /// Words that are neither a name nor in quotes, up to the end of the line or the next quote.
    Words(Piece<'a>),
    /// A title without closing quotes.
    Open(Span),
    /// Nothing between the quotes.
    Empty(Span),
    /// Something after the title.
    Trailing(Span),
    /// `of` once more, after what a block is made from.
    Of(Span),
}

fn block_word(word: &str) -> Option<BlockWord> {
    BlockWord::ALL.into_iter().find(|own| own.as_str() == word)
}

impl<'a> BlockHead<'a> {
    /// Takes a line apart.
    pub fn read(line: Piece<'a>) -> Self {
        let plain = if PLAIN { plain_head::read(line) } else { None };
        plain.map_or_else(|| Self::by_grammar(line), |plain| Self::plain(line, plain))
    }

    fn plain(line: Piece<'a>, PlainHead { word, name, title }: PlainHead<'a>) -> Self {
        let exact = block_word(word.text);
        Self { word, exact, name, parent: None, title, span: line.span(), line, wrong: None }
    }

    fn by_grammar(line: Piece<'a>) -> Self {
        let mut head = Self {
            word: Piece { text: "", start: line.start },
            exact: None,
            name: None,
            parent: None,
            title: None,
            span: line.span(),
            line,
            wrong: None,
        };
        let mut titled = false;
        for token in line.tokens(Rule::head_line) {
            if head.wrong.is_some() && (titled || token.as_rule() != Rule::title) {
                continue;
            }
            let span = line.span_of(&token);
            let wrong = match token.as_rule() {
                Rule::block_word => {
                    head.word = line.part(&token);
                    head.exact = block_word(token.as_str());
                    continue;
                }
                Rule::unknown_title if !titled => Wrong::Open(span),
                _ if titled => Wrong::Trailing(Span::new(span.start(), line.span().end())),
                Rule::title => {
                    titled = true;
                    let text = token.into_inner().as_str().trim();
                    if !text.is_empty() {
                        head.title = Some(Word::new(text.to_owned(), span));
                        continue;
                    }
                    Wrong::Empty(span)
                }
                Rule::parent
                    if head.takes_parent() && head.parent.is_none() && head.wrong.is_none() =>
                {
                    let name = token.into_inner().next();
                    head.parent = name.map(|n| Word::new(n.as_str().to_owned(), line.span_of(&n)));
                    continue;
                }
                Rule::block_name if head.parent.is_some() && token.as_str() == "of" => {
                    Wrong::Of(span)
                }
                Rule::block_name if head.name.is_none() && head.wrong.is_none() => {
                    head.name = Some(Word::new(token.as_str().to_owned(), span));
                    continue;
                }
                _ => Wrong::Words(words(line, span.start())),
            };
            head.wrong.get_or_insert(wrong);
        }
        head
    }

    /// Whether the block it opens can be made from another.
    fn takes_parent(&self) -> bool {
        matches!(self.exact, Some(BlockWord::Variation | BlockWord::Series))
    }

    /// Whether it has the shape of a head: a word, then a name or not, then a title or not.
    pub fn is_whole(&self) -> bool {
        self.wrong.is_none()
    }

    /// Reports what is wrong with the shape of a head.
    pub fn report(&self, diagnostics: &mut Diagnostics) {
        match &self.wrong {
            None => {}
            Some(Wrong::Words(words)) => self.report_words(*words, diagnostics),
            Some(Wrong::Open(span)) => {
                let mend = "close them at the end of the line";
                let fault = diagnostics
                    .error(*span, "the quotes of this title are not closed")
                    .code(codes::TITLE_UNCLOSED);
                if span.end() > span.start() + 1 {
                    fault.replace(Span::new(span.end(), span.end()), "\"", mend);
                } else {
                    fault.mend(mend);
                }
            }
            Some(Wrong::Empty(span)) => {
                diagnostics.error(*span, "this title is empty").code(codes::TITLE_EMPTY).replace(
                    *span,
                    "",
                    "write a title between the quotes, or leave the quotes out",
                );
            }
            Some(Wrong::Of(span)) => diagnostics
                .error(*span, "`of` stands before what a block is made from, and not after it")
                .code(codes::BLOCK_NAME_WRONG)
                .replace(*span, "", "leave this `of` out"),
            Some(Wrong::Trailing(span)) => diagnostics
                .error(*span, "nothing stands after the title of a block")
                .code(codes::HEAD_TOO_LONG)
                .mend("put it on an indented line of its own, as `tempo: 66`"),
        }
    }

    /// Reports words that are neither a name nor in quotes. A name right before them is the first word of a
    /// title that lacks its quotes, but for one in small letters before a capital.
    fn report_words(&self, words: Piece<'_>, diagnostics: &mut Diagnostics) {
        let close = |name: &&Word| {
            self.line.within(Span::new(name.span.end(), words.start)).trim().is_empty()
        };
        let name = self.name.as_ref().filter(close);
        let small = |text: &str| text.starts_with(char::is_lowercase);
        let kept = name.is_none_or(|name| small(&name.value) && !small(words.text));
        let start =
            if kept { words.start } else { name.map_or(words.start, |name| name.span.start()) };
        let span = Span::new(start, words.span().end());
        let text = self.line.within(span);
        if let Some(title) = &self.title
            && name.is_some()
        {
            let joined = self.line.within(name.map_or(span, |name| name.span.join(span)));
            let joined = joined.split_whitespace().collect::<Vec<_>>().join("-");
            let mend = format!(
                "write `{} {} \"{}\"`",
                self.start(false),
                say::shortened(&joined),
                say::shortened(&title.value)
            );
            let whole = name.map_or(span, |name| name.span.join(span));
            let fault = diagnostics
                .error(whole, "the name of a block is one word")
                .code(codes::BLOCK_NAME_WRONG);
            if joined.chars().all(|c| c.is_alphabetic() || c.is_ascii_digit() || c == '-') {
                fault.replace(whole, joined, mend);
            } else {
                fault.mend(mend);
            }
            return;
        }
        let (code, message) = if self.name.is_none() {
            (
                codes::BLOCK_NAME_WRONG,
                "the name of a block is letters, digits and hyphens, and starts with a letter",
            )
        } else {
            (codes::TITLE_UNQUOTED, "the title of a block stands in quotes")
        };
        let mend = format!("write `{} \"{}\"`", self.start(kept), say::shortened(text));
        let fault = diagnostics.error(span, message).code(code);
        if self.title.is_none() && span.end() == self.span.end() {
            fault.replace(span, format!("\"{text}\""), mend);
        } else {
            fault.mend(mend);
        }
    }

    /// Its word, its name if that is wanted, and what it is made from.
    fn start(&self, named: bool) -> String {
        let word = self.meant().map_or(self.word.text, |word| word.as_str());
        let name = self.name.iter().filter(|_| named).map(|name| say::shortened(&name.value));
        let parent = self.parent.iter().map(|name| format!("of {}", say::shortened(&name.value)));
        let all = std::iter::once(say::shortened(word)).chain(name).chain(parent);
        all.collect::<Vec<_>>().join(" ")
    }

    /// The block word it starts with or, where that is misspelt, was meant to.
    pub fn meant(&self) -> Option<BlockWord> {
        if self.exact.is_some() {
            return self.exact;
        }
        let word = nearest(self.word.text, BlockWord::ALL.map(BlockWord::as_str))?;
        block_word(&word)
    }
}

fn words(line: Piece<'_>, start: usize) -> Piece<'_> {
    let text = line.text.get(start - line.start..).unwrap_or("");
    let end = text.find(['"', '“', '”', '„']).unwrap_or(text.len());
    Piece { text: text[..end].trim_end(), start }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Where a head is plain, the grammar comes to the same. Whether it is plain.
    fn is_read_alike(text: &str) -> bool {
        let line = Piece { text, start: 7 };
        let Some(plain) = plain_head::read(line) else { return false };
        let (plain, by_grammar) = (BlockHead::plain(line, plain), BlockHead::by_grammar(line));
        assert_eq!(format!("{plain:?}"), format!("{by_grammar:?}"), "{text}");
        true
    }

    #[test]
    fn what_is_plain_and_what_is_not() {
        for text in ["fill", "fill a-1B", "groove  \"Now // é\"", "no", "roll of-it \" x \""] {
            assert!(is_read_alike(text), "{text}");
        }
        for text in [
            "",
            " fill",
            "Fill",
            "fill 1",
            "fill é",
            "fill a b",
            "fill of",
            "variation a of b",
            "fill a\"T\"",
            "fill \"T",
            "fill \" \"",
            "fill \"T\" x",
            "fill \"T\"T\"",
            "fill “T”",
            "fill \"T”\"",
            "fill\ta",
        ] {
            assert!(!is_read_alike(text), "{text}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4_000))]

        #[test]
        fn the_grammar_says_what_a_plain_head_says(
            parts in prop::collection::vec(
                prop::sample::select(vec![
                    "fill", "series", "of", "a", "b-2", "X", "\"", "\"Title\"", "“", "„", "é", "1", "-", " ", "  ", "\t", "\u{a0}", ":",
                ]),
                0..10,
            ),
        ) {
            is_read_alike(&parts.concat());
        }
    }
}
