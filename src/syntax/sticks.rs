//! Stickings: `stick` and `pedal` rows.

use super::codes;
use super::grammar::{Piece, Rule, Token};
use super::limits::{GROUP_CELLS, ORNAMENTS};
use super::row::{EntryKind, Reader};
use super::splits::{SplitOf, Splits};
use super::tree::{Entry, StickCell, StickGroup, StickKind};
use crate::score::{Accent, Hand};
use crate::source::Span;

/// Reads the content of a sticking.
pub fn read(reader: &mut Reader<'_>, piece: Piece<'_>) -> Vec<Entry<StickGroup>> {
    reader.entries(piece, Rule::sticks, |reader, piece, token| {
        group(reader, piece, token).map(Entry::Group)
    })
}

fn group(reader: &mut Reader<'_>, piece: Piece<'_>, token: Token<'_>) -> Option<StickGroup> {
    let span = piece.span_of(&token);
    let mut splits = Splits::new(SplitOf::Cells, GROUP_CELLS);
    let mut tokens = token.into_inner().peekable();
    while let Some(token) = tokens.next() {
        let mut at = piece.span_of(&token);
        let kind = match token.as_rule() {
            Rule::stick => letter(reader, piece, token),
            Rule::silence => StickKind::Silence,
            Rule::hold => StickKind::NoLetter,
            Rule::split_open => {
                splits.open(reader, at);
                continue;
            }
            Rule::split_close => {
                splits.close(reader, at, split);
                continue;
            }
            Rule::spread => {
                reader
                    .fault(
                        codes::STICKING_SPREAD,
                        at,
                        "a sticking is not spread; it follows its hits",
                    )
                    .replace(at, "", "leave the number out here");
                continue;
            }
            Rule::unknown_grace => {
                lost_grace(reader, token.as_str(), at);
                continue;
            }
            Rule::unknown => {
                let mut text = token.as_str().to_owned();
                while let Some(next) = tokens.next_if(|next| next.as_rule() == Rule::unknown) {
                    at = at.join(piece.span_of(&next));
                    text.push_str(next.as_str());
                }
                unknown(reader, &text, at);
                StickKind::NoLetter
            }
            rule => {
                reader.unknown_sign(EntryKind::Letters, rule, token.as_str(), at);
                StickKind::NoLetter
            }
        };
        splits.push(reader, StickCell { kind, span: at }, at);
    }
    let cells = splits.finish(reader, split);
    (!cells.is_empty()).then_some(StickGroup { cells, span })
}

fn split(cells: Vec<StickCell>, span: Span) -> StickCell {
    StickCell { kind: StickKind::Split(cells), span }
}

fn letter(reader: &mut Reader<'_>, piece: Piece<'_>, token: Token<'_>) -> StickKind {
    let whole = piece.span_of(&token);
    let mut grace = Vec::new();
    let mut accent = None;
    let mut hand = Hand::Both;
    let mut other = None;
    for token in token.into_inner() {
        let side = side(token.as_str());
        match token.as_rule() {
            Rule::other_hand => other = other_hand(reader, piece, hand, token),
            Rule::hand => hand = side,
            Rule::grace_hand => grace.push(side),
            rule => {
                if accent.is_some() {
                    let at = piece.span_of(&token);
                    reader.fault(codes::SIGN_TWICE, at, "this hit has two accents").replace(
                        at,
                        "",
                        "write `>` or `^` once",
                    );
                }
                accent = Some(if rule == Rule::marcato { Accent::Marcato } else { Accent::Accent });
            }
        }
    }
    if grace.len() > ORNAMENTS {
        grace.truncate(ORNAMENTS);
        reader
            .fault(codes::ORNAMENT_TOO_LONG, whole, "a hit has at most three grace notes")
            .mend("write one small letter for each of them before the capital, as `llR`");
    }
    StickKind::Letter { hand, grace, accent: accent.unwrap_or_default(), other }
}

/// The hand of a letter, small or capital.
fn side(letter: &str) -> Hand {
    match letter {
        "R" | "r" => Hand::Right,
        "L" | "l" => Hand::Left,
        _ => Hand::Both,
    }
}

/// The hand in brackets after a letter, which may play its hit as well.
fn other_hand(
    reader: &mut Reader<'_>,
    piece: Piece<'_>,
    hand: Hand,
    token: Token<'_>,
) -> Option<Hand> {
    let span = piece.span_of(&token);
    let letter = token.into_inner().as_str();
    let capital = letter.to_ascii_uppercase();
    let other = side(letter);
    if other == hand {
        let message = format!("`{capital}` is the hand that plays it already");
        reader.fault(codes::OTHER_HAND, span, message).replace(
            span,
            "",
            "write the other hand in brackets, as `R(L)`, or leave the brackets out",
        );
    } else if capital != letter {
        let message = "the other hand of a hit is a capital too";
        reader.fault(codes::OTHER_HAND, span, message).replace(
            span,
            format!("({capital})"),
            format!("write `({capital})`"),
        );
    }
    Some(other)
}

fn lost_grace(reader: &mut Reader<'_>, text: &str, span: Span) {
    if text.chars().any(char::is_alphabetic) {
        let capitals = text.to_ascii_uppercase();
        let mend = format!("write hits with capitals, as `{capitals}`");
        let message = "these small letters are grace notes with no hit after them";
        let fault = reader.fault(codes::LETTER_MISSING, span, message);
        if text.chars().all(char::is_alphabetic) {
            fault.replace(span, capitals, mend);
        } else {
            fault.mend(mend);
        }
    } else {
        reader
            .fault(codes::LETTER_MISSING, span, "there is no letter after this accent")
            .mend("write it right before its letter, as `>R`");
    }
}

fn unknown(reader: &mut Reader<'_>, text: &str, span: Span) {
    let mut signs = text.chars();
    if !signs.all(char::is_alphabetic) {
        reader.unknown_sign(EntryKind::Letters, Rule::unknown, text, span);
        return;
    }
    let mend = match text {
        "H" | "h" | "D" | "d" => "write `R` or `L` for the hand that plays",
        "X" | "x" => "`-` leaves a hit without a letter",
        _ => "`R` is right, `L` left, `B` both; `-` leaves a hit without a letter",
    };
    reader.fault(codes::LETTER_UNKNOWN, span, "a sticking knows R, L and B").mend(mend);
}

/// Whether the content of a `stick` line is a rule and not letters: its first word holds a letter
/// that stands for no hand.
pub(super) fn is_rule(content: &str) -> bool {
    let word = content.split_whitespace().next().unwrap_or("");
    word.len() > 1
        && word.chars().all(|c| c.is_ascii_lowercase())
        && word.chars().any(|c| !"rlb".contains(c))
}
