//! The header of a file.

use super::cursor::Outline;
use crate::source::{Span, say};
use crate::syntax::grammar::{Piece, Rule, is_value};
use crate::syntax::lines::Line;
use crate::syntax::{codes, rows};

/// The keys a file may begin with; only to tell a header without colons from prose.
const HEADER_KEYS: [&str; 70] = [
    "title",
    "subtitle",
    "author",
    "copyright",
    "dedication",
    "publisher",
    "printing",
    "year",
    "thanks",
    "isbn",
    "level",
    "language",
    "page",
    "paper",
    "style",
    "staff-height",
    "chapters",
    "contents",
    "binding",
    "title-page",
    "front-matter",
    "running-heads",
    "numbers",
    "index",
    "key",
    "text-font",
    "prose",
    "blocks",
    "answers",
    "ink",
    "background",
    "blank",
    "staff",
    "counts",
    "sticking",
    "stick",
    "voices",
    "bars",
    "columns",
    "tags",
    "print",
    "beams",
    "first-bar",
    "bar-numbers",
    "sections",
    "starts",
    "keep",
    "grace-slurs",
    "grace-spread",
    "practice",
    "click",
    "count-in",
    "looseness",
    "fastest-hand",
    "fastest-foot",
    "double-pedal",
    "as-played",
    "kit",
    "drummers",
    "short",
    "empty-players",
    "pickup",
    "goal",
    "tempo",
    "time",
    "swing",
    "counting",
    "compound",
    "odd",
    "rests",
];
/// Values without figures that no prose has after the name of a key.
const TELLING: [&str; 6] = ["common", "cut", "eighths", "sixteenths", "letter", "handout"];

/// Whether a file may begin with this key.
#[cfg(test)]
pub fn is_header_key(key: &str) -> bool {
    HEADER_KEYS.contains(&key)
}

impl<'a> Outline<'a> {
    /// Reads the header, if there is one.
    pub(super) fn header(&mut self) {
        let Some(first) = self.lines.iter().position(|line| line.body.is_some()) else { return };
        if self.header_setting(first).is_none() && !self.is_header_without_colons(first) {
            return;
        }
        let end = first
            + self.lines[first..]
                .iter()
                .position(Line::is_blank)
                .unwrap_or(self.lines.len() - first);
        let is_key =
            |at: &usize| self.header_setting(*at).or_else(|| self.known_key(*at)).is_some();
        let last = (first..end).rfind(is_key).unwrap_or(first);
        for at in first..end {
            self.at = at;
            let Some(body) = self.lines[at].body else { continue };
            if let Some((key, value)) = self.header_setting(at) {
                self.settings.extend(rows::setting(key, value, &mut self.diagnostics));
            } else if at <= last {
                self.lost_setting(at, body);
            } else {
                let start = self.lines[at].span.start();
                self.diagnostics
                    .error(body.span(), "the header goes on to the first blank line, and this line is no part of it")
                    .code(codes::HEADER_UNENDED)
                    .replace(Span::new(start, start), "\n", "put a blank line before it");
                return;
            }
        }
        self.at = end;
    }

    /// Tells of a line of the header that is no key and value, and takes what it most likely says.
    fn lost_setting(&mut self, at: usize, body: Piece<'a>) {
        let (known, words) = (self.known_key(at), self.key_and_words(at));
        self.settings.extend(
            known.and_then(|(key, value)| rows::setting(key, value, &mut self.diagnostics)),
        );
        let fault = self
            .diagnostics
            .error(body.span(), "this line of the header has no key and colon")
            .code(codes::HEADER_LINE_UNKNOWN);
        match words {
            Some((Piece { text: key, .. }, Piece { text: value, .. })) => {
                let mend = format!("write `{key}: {}`", say::shortened(value));
                fault.replace(body.span(), format!("{key}: {value}"), mend);
            }
            None => fault.mend("write a key, a colon and its value, as `tempo: 92`"),
        }
    }

    /// Whether the lines up to the first blank one, which begin with no key and colon, are a header all the
    /// same: each begins with the name of a key, and a colon or what follows one of them tells it from prose.
    fn is_header_without_colons(&self, first: usize) -> bool {
        if self.known_key(first).is_some_and(|(key, value)| is_surely_value(key.text, value.text)) {
            return true;
        }
        let lines =
            self.lines.iter().enumerate().skip(first).take_while(|(_, line)| !line.is_blank());
        let mut telling = false;
        for (at, _) in lines.filter(|(_, line)| line.body.is_some()) {
            match (self.header_setting(at), self.known_key(at)) {
                (Some((key, _)), _) if HEADER_KEYS.contains(&key.text) => telling = true,
                (None, Some((_, value))) => telling |= is_telling(value.text),
                (Some(_) | None, _) => return false,
            }
        }
        telling
    }

    /// The name of a key that a line begins with, and what follows it, where no colon stands between.
    fn known_key(&self, at: usize) -> Option<(Piece<'a>, Piece<'a>)> {
        self.key_and_words(at).filter(|(key, _)| HEADER_KEYS.contains(&key.text))
    }

    /// The first word of a line, where it could be a key, and those after it.
    fn key_and_words(&self, at: usize) -> Option<(Piece<'a>, Piece<'a>)> {
        let body = self.lines.get(at).filter(|line| !line.indented)?.body?;
        let (key, _) = body.text.split_once(char::is_whitespace).filter(|(key, _)| is_key(key))?;
        let rest = Piece { text: &body.text[key.len()..], start: body.start + key.len() };
        Some((Piece { text: key, ..body }, rest.trimmed()))
    }

    fn header_setting(&self, at: usize) -> Option<(Piece<'a>, Piece<'a>)> {
        let line = self.lines.get(at).filter(|line| !line.indented || line.oddly)?;
        let body = line.body?;
        let token = body.tokens(Rule::header_line).find(|t| t.as_rule() == Rule::setting)?;
        Some(rows::setting_parts(body, token))
    }
}

/// Whether what follows the name of a key is a time signature or a tempo, which no prose begins with.
fn is_surely_value(key: &str, value: &str) -> bool {
    match key {
        "time" => is_value(Rule::time_value, value),
        "tempo" => is_value(Rule::tempo_value, value),
        _ => false,
    }
}

/// Whether a value is surely no prose.
fn is_telling(value: &str) -> bool {
    value.contains(|c: char| c.is_ascii_digit()) || TELLING.contains(&value)
}

/// Whether a word could be a key.
fn is_key(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_alphabetic())
        && word.chars().all(|c| c.is_ascii_alphabetic() || c == '-')
}
