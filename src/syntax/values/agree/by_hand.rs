//! What a context plays, taken apart by hand.

use crate::derive::variation::change::small;
use crate::source::Span;
use crate::syntax::tree::Word;
use crate::syntax::values::sequence::PlayedBlock;

pub fn pieces(text: &str, from: usize) -> Result<Vec<PlayedBlock>, Span> {
    let mut found = Vec::new();
    let mut start = from;
    for part in text.split(',') {
        let mut at = start;
        start += part.len() + 1;
        let mut words = Vec::new();
        for word in part.split(' ') {
            if !word.is_empty() {
                words.push(Word::new(word.to_owned(), Span::new(at, at + word.len())));
            }
            at += word.len() + 1;
        }
        found.push(piece(&words).ok_or(match (words.first(), words.last()) {
            (Some(first), Some(last)) => first.span.join(last.span),
            _ => Span::new(from, from + text.len()),
        })?);
    }
    Ok(found)
}

fn piece(words: &[Word]) -> Option<PlayedBlock> {
    let (name, rest) = words.split_first()?;
    let mut piece = PlayedBlock { name: name.clone(), times: 1, ending: None };
    let mut rest = rest;
    if let Some((word, after)) = rest.split_first()
        && let Some(number) = word.value.strip_prefix(['x', '×'])
    {
        piece.times = number.parse().ok().filter(|n| (1..=99).contains(n))?;
        rest = after;
    } else if let [number, times, after @ ..] = rest
        && times.value == "times"
    {
        piece.times = small(&number.value)?;
        rest = after;
    }
    match rest {
        [] => Some(piece),
        [word, name] if word.value == "ending" => {
            piece.ending = Some(name.clone());
            Some(piece)
        }
        _ => None,
    }
}
