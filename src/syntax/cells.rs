//! Rows of hits: `play`, `hands`, `feet` and instruments.

use super::codes;
use super::grammar::{Piece, Rule, Token};
use super::hit::{strike, struck};
use super::limits::{GROUP_CELLS, ORNAMENTS, STRIKES};
use super::row::{EntryKind, Reader};
use super::splits::{SplitOf, Splits};
use super::tree::{AcrossPart, BarSign, Cell, CellGroup, CellKind, Entry, Hit, WrittenGrace};
use crate::score::division::BarlineSide;
use crate::source::{Span, Spanned};

/// Reads the content of a row of hits, whatever signs it has.
pub fn read(reader: &mut Reader<'_>, piece: Piece<'_>) -> Vec<Entry<CellGroup>> {
    reader.entries(piece, Rule::cells, |reader, piece, token| {
        let whole = piece.span_of(&token);
        let mut tokens = token.into_inner();
        let across = tokens.clone().next_back().filter(|last| last.as_rule() == Rule::across);
        if across.is_some() {
            tokens.next_back();
        }
        let span = across
            .as_ref()
            .map_or(whole, |rest| Span::new(whole.start(), piece.span_of(rest).start()));
        let before = group(reader, piece, tokens, span);
        let Some(rest) = across else {
            return [before.map(Entry::Group), None, None].into_iter().flatten();
        };
        let mut rest_tokens = rest.clone().into_inner();
        let line = rest_tokens.next().map_or(span, |line| piece.span_of(&line));
        let after =
            group(reader, piece, rest_tokens, Span::new(line.end(), piece.span_of(&rest).end()));
        over_barline(before, line, after, whole).into_iter().flatten()
    })
}

/// The two parts of a group over a barline with the barline; where both are groups of their own, they are
/// left so.
fn over_barline(
    before: Option<CellGroup>,
    line: Span,
    after: Option<CellGroup>,
    whole: Span,
) -> [Option<Entry<CellGroup>>; 3] {
    let (mut before, mut after) = (before, after);
    if let (Some(before), Some(after)) = (&mut before, &mut after)
        && let Some(spread) = after.spread.as_ref().map(|spread| spread.value)
        && before.spread.is_none()
        && after.cells.iter().any(|cell| !matches!(cell.kind, CellKind::Silence))
    {
        let part = |side| AcrossPart {
            side,
            before: before.cells.len(),
            after: after.cells.len(),
            spread,
            whole,
        };
        let parts = (part(BarlineSide::Before), part(BarlineSide::After));
        (before.across, after.across) = (Some(parts.0), Some(parts.1));
    }
    let line = Spanned::new(BarSign::Single, line);
    [before.map(Entry::Group), Some(Entry::Bar(line)), after.map(Entry::Group)]
}

fn group<'a>(
    reader: &mut Reader<'_>,
    piece: Piece<'a>,
    tokens: impl Iterator<Item = Token<'a>>,
    span: Span,
) -> Option<CellGroup> {
    let mut splits = Splits::new(SplitOf::Cells, GROUP_CELLS);
    let mut spread = None;
    let mut tokens = tokens.peekable();
    while let Some(token) = tokens.next() {
        let mut at = piece.span_of(&token);
        let kind = match token.as_rule() {
            Rule::hit => CellKind::Hit(hit(reader, piece, token)),
            Rule::silence => CellKind::Silence,
            Rule::hold => CellKind::Hold,
            Rule::tied_hold => CellKind::TiedHold,
            Rule::beat_slash => CellKind::Slash,
            Rule::split_open => {
                splits.open(reader, at);
                continue;
            }
            Rule::split_close => {
                splits.close(reader, at, |cells, span| Cell { kind: CellKind::Split(cells), span });
                continue;
            }
            Rule::spread if tokens.peek().is_none() && splits.is_flat() => {
                spread = reader.spread(piece, token);
                continue;
            }
            Rule::spread => {
                spread_inside(reader, at);
                continue;
            }
            Rule::unknown => {
                while let Some(next) = tokens.next_if(|next| next.as_rule() == Rule::unknown) {
                    at = at.join(piece.span_of(&next));
                }
                let text = piece.within(at);
                reader.unknown_sign(EntryKind::Hits, Rule::unknown, text, at);
                CellKind::Silence
            }
            rule => {
                if !lost_sign(reader, rule, token.as_str(), at) {
                    continue;
                }
                CellKind::Silence
            }
        };
        splits.push(reader, Cell { kind, span: at }, at);
    }
    let cells = splits.finish(reader, |cells, span| Cell { kind: CellKind::Split(cells), span });
    if cells.is_empty() {
        no_cells(reader, span);
        return None;
    }
    Some(CellGroup { cells, spread, across: None, span })
}

fn spread_inside(reader: &mut Reader<'_>, at: Span) {
    reader
        .fault(codes::SPREAD_INSIDE, at, "a spread stands at the end of its group")
        .mend("put a space after the number, or write the spread after the closing bracket");
}

/// Reports a group without cells, where nothing else of the row was wrong.
fn no_cells(reader: &mut Reader<'_>, span: Span) {
    if !reader.damaged {
        reader
            .fault(codes::SPREAD_ALONE, span, "this group has a spread but no cells")
            .mend("write its cells before the colon, as `sss:2`");
    }
}

/// Reports a sign without its hit. Whether it stood in the place of a cell.
fn lost_sign(reader: &mut Reader<'_>, rule: Rule, text: &str, span: Span) -> bool {
    let (message, mend) = match rule {
        Rule::unknown_prefix if text.contains('^') => {
            ("there is no hit after this accent", "write `^` right before its letter, as `^s`")
        }
        Rule::unknown_prefix => (
            "there is no hit after this tick",
            "write the ticks right before the letter, as `'s`; the notes of a split take them one by one",
        ),
        Rule::unknown_postfix if text.starts_with('/') => (
            "there is no hit before this slash",
            "write the slashes right after the letter, as `s//`; a tie goes after them, as `s//_`; a beat of time to keep is one slash alone in its group",
        ),
        Rule::unknown_postfix if text.starts_with('~') => {
            ("there is no hit before this buzz", "write `~` right after the letter, as `s~`")
        }
        Rule::unknown_postfix if text.starts_with(',') => {
            ("there is no hit before this dot", "write `,` right after the letter, as `s,`")
        }
        Rule::unknown_small if text.ends_with('}') && text.len() > 2 => (
            "there is no hit after these small notes",
            "write them right before the letter of their hit, as `{t}s`",
        ),
        Rule::unknown_small => (
            "braces hold the letters of small notes",
            "write one to three letters of the kit in them, right before a hit, as `{t}s`",
        ),
        Rule::unknown_postfix if text.starts_with('?') => (
            "there is no hit before this question mark",
            "write `?` right after the letter, as `s?`",
        ),
        Rule::unknown_postfix if text.starts_with('=') => {
            ("there is no hit before this dash", "write `=` right after the letter, as `s=`")
        }
        Rule::unknown_postfix => {
            ("there is no hit before this choke", "write `!` right after the letter, as `c!`")
        }
        Rule::unknown_join => {
            ("`+` has no hit on both its sides", "write hits that sound together as `c+k`")
        }
        Rule::unknown_ghost => (
            "ghost brackets hold one letter",
            "give each ghost note its own, as `(s)(s)`; one cell is split with `[` and `]`",
        ),
        _ => {
            reader.unknown_sign(EntryKind::Hits, rule, text, span);
            return true;
        }
    };
    if rule == Rule::unknown_ghost {
        let letters = text.chars().filter(char::is_ascii_alphabetic);
        let each: String = letters.map(|letter| format!("({letter})")).collect();
        reader.fault(codes::GHOST_TOO_LONG, span, message).replace(span, each, mend);
        return true;
    }
    reader.fault(codes::HIT_MISSING, span, message).mend(mend);
    // A question mark may stand where a hit was not heard at all.
    text.starts_with('?')
}

fn hit(reader: &mut Reader<'_>, piece: Piece<'_>, token: Token<'_>) -> Hit {
    let whole = piece.span_of(&token);
    let mut hit = struck(WrittenGrace::Ticks(0));
    let mut marcato: Option<Span> = None;
    for token in token.into_inner() {
        let span = piece.span_of(&token);
        match token.as_rule() {
            Rule::ticks => {
                let count = token.as_str().chars().count();
                let count = ornament(reader, hit.grace.count(), count, span, Ornament::Grace);
                hit.grace = WrittenGrace::Ticks(count);
            }
            Rule::small_notes => small_notes(reader, piece, &mut hit, token),
            Rule::slashes => {
                let (held, count) = (usize::from(hit.strokes), token.as_str().len());
                hit.strokes = ornament(reader, held, count, span, Ornament::Strokes);
            }
            Rule::marcato => {
                if marcato.is_some() {
                    reader.fault(codes::SIGN_TWICE, span, "one `^` is as strong as an accent gets");
                }
                marcato = Some(span);
            }
            Rule::letter => strike(&mut hit, token.as_str(), span, marcato.take(), false),
            Rule::ghost => {
                let letter = token.into_inner().as_str();
                strike(&mut hit, letter, span, marcato.take(), true);
            }
            Rule::buzz => twice(reader, &mut hit.buzz, span, "the buzz `~`"),
            Rule::choke => twice(reader, &mut hit.choked, span, "the choke `!`"),
            Rule::staccato => twice(reader, &mut hit.touch.staccato, span, "the dot `,`"),
            Rule::unclear => twice(reader, &mut hit.touch.unclear, span, "the question mark"),
            Rule::tenuto => twice(reader, &mut hit.touch.tenuto, span, "the dash `=`"),
            Rule::roll => roll(reader, &mut hit.touch.roll, token.as_str(), span),
            _ => {}
        }
    }
    if hit.strikes.len() > STRIKES {
        hit.strikes.truncate(STRIKES);
        reader
            .fault(
                codes::STRIKES_TOO_MANY,
                whole,
                "more than 8 instruments are struck together here",
            )
            .mend("nobody has that many hands and feet; take some out");
    }
    hit
}

#[derive(Clone, Copy)]
enum Ornament {
    Grace,
    Strokes,
}

/// Grace notes on other drums: their letters, in lower case.
fn small_notes(reader: &mut Reader<'_>, piece: Piece<'_>, hit: &mut Hit, token: Token<'_>) {
    let span = piece.span_of(&token);
    let notes: Vec<(char, Span)> = token
        .into_inner()
        .filter_map(|note| Some((note.as_str().chars().next()?, piece.span_of(&note))))
        .collect();
    if notes.iter().any(|(letter, _)| letter.is_ascii_uppercase()) {
        let small = piece.within(span).to_ascii_lowercase();
        let message = "small notes have no accent of their own";
        reader.fault(codes::SMALL_NOTE_ACCENTED, span, message).replace(
            span,
            small.clone(),
            format!("write them with small letters, as `{small}`"),
        );
    }
    let count = ornament(reader, hit.grace.count(), notes.len(), span, Ornament::Grace);
    let letters = notes.into_iter().take(usize::from(count));
    let letters = letters.map(|(letter, span)| Spanned::new(letter.to_ascii_lowercase(), span));
    hit.grace = WrittenGrace::Letters(letters.collect());
}

/// How many ornaments a hit has, of which so many were held before; more than it may have are a fault.
fn ornament(reader: &mut Reader<'_>, held: usize, count: usize, span: Span, kind: Ornament) -> u8 {
    let (twice, many, mend) = match kind {
        Ornament::Grace => (
            "the grace notes of this hit are given twice",
            "a hit has at most three grace notes",
            "write `'` for a flam, `''` for a drag, `'''` for a ruff",
        ),
        Ornament::Strokes => (
            "the strokes of this hit are given twice",
            "at most three strokes go through a stem",
            "write `/` to double the note, `//` for four, `///` for eight",
        ),
    };
    if held > 0 {
        reader.fault(codes::SIGN_TWICE, span, twice).replace(
            span,
            "",
            "write them once for the whole hit",
        );
    } else if count > ORNAMENTS {
        reader.fault(codes::ORNAMENT_TOO_LONG, span, many).mend(mend);
    }
    count.min(ORNAMENTS) as u8
}

/// Fewest and most strokes a roll can be said to have.
const ROLL_STROKES: std::ops::RangeInclusive<u8> = 3..=99;

fn roll(reader: &mut Reader<'_>, held: &mut Option<u8>, text: &str, span: Span) {
    if held.is_some() {
        reader.fault(codes::SIGN_TWICE, span, "the strokes of this roll are given twice").replace(
            span,
            "",
            "write them once",
        );
    }
    *held = text.parse().ok().filter(|strokes| ROLL_STROKES.contains(strokes));
    if held.is_none() {
        reader
            .fault(codes::ROLL_RANGE, span, "a roll has from 3 to 99 strokes")
            .mend("write how many strokes it has, its last one with it, as `s//5_S`");
    }
}

fn twice(reader: &mut Reader<'_>, held: &mut bool, span: Span, what: &str) {
    if *held {
        reader
            .fault(codes::SIGN_TWICE, span, format!("{what} of this hit is given twice"))
            .replace(span, "", "write it once");
    }
    *held = true;
}
