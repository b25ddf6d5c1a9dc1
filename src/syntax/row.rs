//! What every kind of row shares: bars, spreads and signs that make no sense.

use super::codes;
use super::grammar::{Piece, Rule, Token};
use super::limits::{SPREAD_BEATS, SPREAD_DIVISORS, TIMES};
use super::lines::is_unseen;
use super::tree::{BarSign, Entry, SameBar, Spread};
use crate::source::{Code, Diagnostic, Diagnostics, Span, Spanned};

/// Reads one row and remembers whether anything in it was wrong.
pub struct Reader<'d> {
    diagnostics: &'d mut Diagnostics,
    /// Whether a fault was found.
    pub damaged: bool,
    /// Brackets of splits that were reported as open; those that close them later are no fault
    /// of their own.
    pub open_splits: usize,
}

/// What a row is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EntryKind {
    /// Hits.
    Hits,
    /// The letters of a sticking.
    Letters,
}

impl<'d> Reader<'d> {
    /// A reader that reports to `diagnostics`.
    pub fn new(diagnostics: &'d mut Diagnostics) -> Self {
        Self { diagnostics, damaged: false, open_splits: 0 }
    }

    /// Reports a fault of the row.
    pub fn fault(&mut self, code: Code, span: Span, message: impl Into<String>) -> &mut Diagnostic {
        self.damaged = true;
        self.diagnostics.error(span, message).code(code)
    }

    /// Reads a row of groups and bars; `group` turns the tokens of one group into its tree, with its barline
    /// where it goes on over one.
    pub fn entries<'a, T, I: IntoIterator<Item = Entry<T>>>(
        &mut self,
        piece: Piece<'a>,
        entry: Rule,
        mut group: impl FnMut(&mut Self, Piece<'a>, Token<'a>) -> I,
    ) -> Vec<Entry<T>> {
        let mut entries = Vec::new();
        for token in piece.tokens(entry) {
            let span = piece.span_of(&token);
            match token.as_rule() {
                Rule::bar => entries.extend(self.bar(piece, token).map(Entry::Bar)),
                Rule::same_bar => entries.push(Entry::SameBar(self.same_bar(token, span))),
                _ => entries.extend(group(self, piece, token)),
            }
        }
        entries
    }

    /// Reads `%`, `%2` or `%4`.
    pub fn same_bar(&mut self, token: Token<'_>, span: Span) -> SameBar {
        let number = token.into_inner().next().map(|number| number.as_str());
        let bars = match number {
            None | Some("1") => 1,
            Some("2") => 2,
            Some("4") => 4,
            Some(_) => {
                let message = "there are signs for one, two and four bars again";
                self.fault(codes::SAME_BAR_COUNT, span, message)
                    .mend("write `%`, `%2` or `%4`, or write the bars out");
                1
            }
        };
        SameBar { bars, span }
    }

    /// Reads a barline.
    pub fn bar(&mut self, piece: Piece<'_>, token: Token<'_>) -> Option<Spanned<BarSign>> {
        let span = piece.span_of(&token);
        let mut sign = None;
        for part in token.into_inner() {
            sign = match part.as_rule() {
                Rule::single_bar => Some(BarSign::Single),
                Rule::double_bar => Some(BarSign::Double),
                Rule::repeat_start => Some(BarSign::RepeatStart),
                Rule::repeat_end => Some(BarSign::RepeatEnd { times: 2, counted: false }),
                Rule::repeat_both => Some(BarSign::RepeatBoth { times: 2, counted: false }),
                Rule::times => self.times(piece, part, sign),
                _ => {
                    self.fault(codes::BAR_FINAL, span, "`|.` is no bar line").replace(
                        span,
                        "",
                        "leave it out: the last bar of a block is closed by itself",
                    );
                    None
                }
            };
        }
        sign.map(|sign| Spanned::new(sign, span))
    }

    fn times(
        &mut self,
        piece: Piece<'_>,
        token: Token<'_>,
        sign: Option<BarSign>,
    ) -> Option<BarSign> {
        let span = piece.span_of(&token);
        let number = token.into_inner().next().and_then(|n| n.as_str().parse::<u32>().ok());
        let Some(times) = number.filter(|n| (1..=TIMES).contains(n)) else {
            self.fault(codes::TIMES_RANGE, span, "a passage is played 1 to 99 times")
                .mend("write the number of times in all, as `:| x4`");
            return sign;
        };
        sign.map(|sign| match sign {
            BarSign::RepeatBoth { .. } => BarSign::RepeatBoth { times, counted: true },
            _ => BarSign::RepeatEnd { times, counted: true },
        })
    }

    /// Reads `:2` or `:1/2`.
    pub fn spread(&mut self, piece: Piece<'_>, token: Token<'_>) -> Option<Spanned<Spread>> {
        let span = piece.span_of(&token);
        let mut numbers = token.into_inner().map(|n| n.as_str().parse::<u32>().ok());
        let beats = numbers.next().flatten();
        let divided_by = numbers.next().unwrap_or(Some(1));
        let Some(beats) = beats.filter(|n| (1..=SPREAD_BEATS).contains(n)) else {
            self.fault(codes::SPREAD_RANGE, span, "a group is spread over 1 to 64 beats")
                .mend("write the number of beats, as `:2`");
            return None;
        };
        let Some(divided_by) = divided_by.filter(|n| SPREAD_DIVISORS.contains(n)) else {
            let message = "the beats of a spread are divided by 1, 2, 3, 4, 6 or 8";
            self.fault(codes::SPREAD_DIVISOR, span, message)
                .mend("write for instance `:1/2` for half a beat");
            return None;
        };
        Some(Spanned::new(Spread { beats, divided_by }, span))
    }

    /// Reports a run of characters that a row of hits or letters does not know.
    pub fn unknown_sign(&mut self, kind: EntryKind, rule: Rule, text: &str, span: Span) {
        self.damaged = true;
        if text.chars().all(is_unseen) {
            return;
        }
        let message = match rule {
            Rule::unknown_dash => "this dash is not the plain one".to_owned(),
            Rule::unknown_dots => "these are not three dots but one sign".to_owned(),
            Rule::unknown_quote => "quotes have no place here".to_owned(),
            Rule::unknown_number => format!("the number {text} has no place here"),
            _ => unknown_message(text),
        };
        let mut mends = text.chars().map(|c| mend(kind, rule, c));
        let first = mends.next().flatten();
        let same = mends.all(|mend| mend == first);
        let fault = self.fault(codes::SIGN_UNKNOWN, span, message);
        let Some(mend) = first.filter(|_| same) else { return };
        let meant: Option<String> = text.chars().map(|c| meant(kind, rule, c)).collect();
        match meant {
            Some(meant) => fault.replace(span, meant, mend),
            None => fault.mend(mend),
        }
    }
}

/// Characters of an unknown run that are quoted.
const QUOTED: usize = 12;

fn unknown_message(text: &str) -> String {
    let mut characters = text.chars();
    match (characters.next(), characters.next()) {
        (Some('`'), None) => "this backtick means nothing here".to_owned(),
        (Some(c), None) if is_invisible(c) => {
            format!("an invisible character stands here (U+{:04X})", u32::from(c))
        }
        _ if text.chars().nth(QUOTED).is_some() || text.contains('`') => {
            "these characters mean nothing here".to_owned()
        }
        _ => format!("`{text}` means nothing here"),
    }
}

/// What a character was most likely meant to be.
fn mend(kind: EntryKind, rule: Rule, c: char) -> Option<&'static str> {
    let hits = kind == EntryKind::Hits;
    Some(match (rule, c) {
        (Rule::unknown_dash, _) if hits => "type `-`, which lets the hit before go on",
        (Rule::unknown_dash, _) => "type `-`, which leaves a hit without a letter",
        (Rule::unknown_dots, _) => "type `...`",
        (Rule::unknown_quote, _) if hits => {
            "type two ticks `''` for a drag; words go in a `say` or `mark` row"
        }
        (Rule::unknown_quote, _) => "words go in a `say` or `mark` row",
        (Rule::unknown_number, _) if hits => {
            "to spread a group over beats put a colon before it, as `sss:2`"
        }
        (Rule::unknown_number, _) => "leave it out: a sticking is letters only",
        (_, '%') => "`%` repeats a whole bar and stands alone between bar lines",
        (_, '{' | '}') => "one cell is split with `[` and `]`",
        (_, ',' | ';') => "leave it out: cells stand side by side, groups are set off by spaces",
        (_, '•' | '·' | '∙' | '*') => "a silent cell is `.`",
        (_, '&') => "counts go in the `count` row",
        (_, c) if is_invisible(c) => "delete it",
        _ if !hits => match c {
            '\'' | '’' | '‘' => "a grace note is a small letter before its capital, as `lR`",
            '(' | ')' | '/' | '~' | '!' | '_' | '+' => {
                "leave it out: ghost notes, strokes and the like go in the row of hits"
            }
            c if c.is_alphabetic() => {
                "`R` is right, `L` left, `B` both; `-` leaves a hit without a letter"
            }
            _ => return None,
        },
        (_, '>') => "an accent is a capital letter, as `S`; `^s` is the strong accent",
        (_, '<') => "a hairpin goes in the `dyn` row",
        (_, ':') => "a spread is a colon and a number right after its group, as `sss:2`",
        (_, '(' | ')') => "a ghost note is one letter in brackets, as `(s)`",
        (_, '\\') => "a stroke through the stem is `/`",
        (_, '`' | '´' | 'ʼ' | '′') => "a flam is the tick `'`",
        (_, '=') => "`-` lets the hit before go on",
        (_, c) if c.is_alphabetic() => "the letters of a kit are `a` to `z`",
        _ => return None,
    })
}

/// What stands in place of a character where it was surely meant; nothing where it is to go.
fn meant(kind: EntryKind, rule: Rule, c: char) -> Option<&'static str> {
    let hits = kind == EntryKind::Hits;
    Some(match (rule, c) {
        (Rule::unknown_dash, _) => "-",
        (Rule::unknown_dots, _) => "...",
        (Rule::unknown_quote | Rule::unknown_number, _) => return None,
        (_, '{') => "[",
        (_, '}') => "]",
        (_, ',' | ';') => "",
        (_, '•' | '·' | '∙' | '*') => ".",
        (_, c) if is_invisible(c) => "",
        (_, '\\') if hits => "/",
        (_, '`' | '´' | 'ʼ' | '′') if hits => "'",
        (_, '=') if hits => "-",
        _ => return None,
    })
}

fn is_invisible(c: char) -> bool {
    matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}' | '\u{feff}')
}
