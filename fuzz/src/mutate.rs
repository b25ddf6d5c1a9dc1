//! Changes of a text by what it is made of: blocks, rows, words, cells, numbers and keys, its own and those
//! of the seeds. One change in eight is of bytes, and so is every change of what is no text.

use crate::pool::{Pool, key, rest};
use crate::targets::{BREAK, Target};
use std::ops::Range;

/// Signs that stand inside groups, and ends of lines.
const SIGNS: [&str; 30] = [
    "[", "]", "(", ")", "'", "/", "~", "_", "-", ".", "+", "!", "^", "|", " | ", " |: ", " :| ",
    " || ", " % ", " ", ":2", ":1/3", "\n", "\n\n", "\n--\n", "\"", "s", "K", ">", ", ",
];
/// Numbers at which limits lie.
const NUMBERS: [&str; 8] = ["0", "1", "2", "64", "255", "1000", "65536", "99999999999999999999"];

/// Numbers by chance (Marsaglia's xorshift, 2003, from memory).
struct Chance(u32);

impl Chance {
    fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 17;
        self.0 ^= self.0 << 5;
        self.0 as usize % most.max(1)
    }

    fn of<'a>(&mut self, all: &'a [String]) -> &'a str {
        all.get(self.below(all.len())).map_or("", String::as_str)
    }

    fn range(&mut self, all: &[Range<usize>]) -> Option<Range<usize>> {
        all.get(self.below(all.len())).cloned()
    }
}

/// Changes the first `size` bytes, `of_bytes` what is no text; how many there are then.
pub fn mutate(
    (target, pool): (&Target, &Pool),
    data: &mut [u8],
    (size, max_size): (usize, usize),
    seed: u32,
    of_bytes: impl FnOnce(&mut [u8]) -> usize,
) -> usize {
    // Neighbouring seeds would begin alike.
    let mut chance = Chance(seed.wrapping_mul(0x9E37_79B1) | 1);
    let known = data.get(..size).and_then(|data| std::str::from_utf8(data).ok());
    let known = known.filter(|_| target.takes_text() && chance.below(8) > 0);
    let Some(mut text) = known.map(str::to_owned) else {
        return of_bytes(data);
    };
    change(&mut text, (target, pool), &mut chance);
    let mut end = text.len().min(max_size).min(data.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    // What is too long ends with a whole line.
    if end < text.len() {
        end = text[..end].rfind('\n').map_or(end, |line| line + 1);
    }
    data[..end].copy_from_slice(&text.as_bytes()[..end]);
    end
}

fn change(text: &mut String, (target, pool): (&Target, &Pool), chance: &mut Chance) {
    match chance.below(if target.takes_edits() { 20 } else { 14 }) {
        0 | 1 => pieces(text, &blocks(text), &pool.blocks, chance),
        2 => pieces(text, &lines(text), &pool.lines, chance),
        3 => pieces(text, &words(text), &pool.words, chance),
        4..=6 => swap_rest(text, pool, chance),
        7..=9 => swap_word(text, pool, chance),
        10 | 11 => cells(text, chance),
        12 => number(text, pool, chance),
        13 => swap_key(text, pool, chance),
        _ => edit(text, pool, chance),
    }
}

/// What follows the first word of a line, in place of what followed the same word elsewhere.
fn swap_rest(text: &mut String, pool: &Pool, chance: &mut Chance) {
    let Some(line) = chance.range(&lines(text)) else { return };
    let (start, rests) = known_rests(text, &line, pool);
    let end = line.start + text[line.clone()].trim_end().len();
    if start <= end && !rests.is_empty() {
        text.replace_range(start..end, chance.of(rests));
    }
}

/// A word of such a line in place of a word, or beside it.
fn swap_word(text: &mut String, pool: &Pool, chance: &mut Chance) {
    let Some(line) = chance.range(&lines(text)) else { return };
    let (start, rests) = known_rests(text, &line, pool);
    let own: Vec<_> =
        words(text).into_iter().filter(|word| (start..line.end).contains(&word.start)).collect();
    let Some(place) = chance.range(&own) else { return };
    let new: Vec<String> = chance.of(rests).split_whitespace().map(str::to_owned).collect();
    match chance.below(3) {
        0 => text.insert_str(place.start, &format!("{} ", chance.of(&new))),
        _ => text.replace_range(place, chance.of(&new)),
    }
}

/// Where what follows the first word of a line starts, and what follows that word elsewhere.
fn known_rests<'p>(text: &str, line: &Range<usize>, pool: &'p Pool) -> (usize, &'p [String]) {
    let (first, _) = text[line.clone()].split_at(rest(&text[line.clone()]));
    let rests = pool.rests.get(first.trim()).map_or(&[][..], Vec::as_slice);
    (line.start + first.len(), rests)
}

/// One piece is put in, replaced, left out, put in again elsewhere, or changes places with another.
fn pieces(text: &mut String, own: &[Range<usize>], pool: &[String], chance: &mut Chance) {
    let (Some(one), Some(other)) = (chance.range(own), chance.range(own)) else {
        return text.push_str(chance.of(pool));
    };
    match chance.below(6) {
        0 | 1 => text.insert_str(one.start, chance.of(pool)),
        2 => text.replace_range(one, chance.of(pool)),
        3 => text.replace_range(one, ""),
        4 => {
            let again = text[one].to_owned();
            text.insert_str(other.start, &again);
        }
        _ => {
            let (first, last) = if one.start <= other.start { (one, other) } else { (other, one) };
            if first.end <= last.start {
                let (first_text, last_text) =
                    (text[first.clone()].to_owned(), text[last.clone()].to_owned());
                text.replace_range(last, &first_text);
                text.replace_range(first, &last_text);
            }
        }
    }
}

/// Signs among the letters of one place; or letters of another word for some of this one's.
fn cells(text: &mut String, chance: &mut Chance) {
    let all: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
    let at = all.get(chance.below(all.len())).copied().unwrap_or(0);
    let next = text[at..].chars().next().map_or(at, |c| at + c.len_utf8());
    match chance.below(5) {
        0 | 1 => text.insert_str(at, SIGNS[chance.below(SIGNS.len())]),
        2 => text.replace_range(at..next, SIGNS[chance.below(SIGNS.len())]),
        3 => text.replace_range(at..next, ""),
        _ => {
            let again = text[at..next].repeat(1 + chance.below(8));
            text.insert_str(at, &again);
        }
    }
}

fn number(text: &mut String, pool: &Pool, chance: &mut Chance) {
    let Some(range) = chance.range(&runs(text, |c| c.is_ascii_digit())) else { return };
    let now = text[range.clone()].parse::<u64>().unwrap_or(0);
    let new = match chance.below(5) {
        0 => now.saturating_add(1).to_string(),
        1 => now.saturating_sub(1).to_string(),
        2 => now.saturating_mul(2).to_string(),
        3 => NUMBERS[chance.below(NUMBERS.len())].to_owned(),
        _ => chance.of(&pool.numbers).to_owned(),
    };
    text.replace_range(range, &new);
}

/// Another key before a value.
fn swap_key(text: &mut String, pool: &Pool, chance: &mut Chance) {
    let keyed: Vec<Range<usize>> =
        lines(text).into_iter().filter(|line| key(&text[line.clone()]).is_some()).collect();
    let Some(line) = chance.range(&keyed) else {
        return text.insert_str(0, chance.of(&pool.lines));
    };
    let Some(known) = key(&text[line.clone()]) else { return };
    let start = line.start + text[line.clone()].find(known).unwrap_or(0);
    text.replace_range(start..start + known.len(), chance.of(&pool.keys));
}

/// An edit after the text: a place, how many bytes are cut, and what takes their place.
fn edit(text: &mut String, pool: &Pool, chance: &mut Chance) {
    let length = text.find(BREAK).unwrap_or(text.len());
    let letter = |number: usize| u32::try_from(number).ok().and_then(char::from_u32).unwrap_or(' ');
    let (at, cut) = (letter(2 + chance.below(length + 1)), letter(2 + chance.below(24)));
    let new = match chance.below(5) {
        0 => "",
        1 => chance.of(&pool.blocks),
        2 => chance.of(&pool.lines),
        3 => chance.of(&pool.words),
        _ => SIGNS[chance.below(SIGNS.len())],
    };
    text.extend([BREAK, at, cut]);
    text.push_str(new);
}

fn blocks(text: &str) -> Vec<Range<usize>> {
    parts(text, text.split_inclusive("\n\n"))
}

fn lines(text: &str) -> Vec<Range<usize>> {
    parts(text, text.split_inclusive('\n'))
}

fn words(text: &str) -> Vec<Range<usize>> {
    runs(text, |c| !c.is_whitespace())
}

/// Where parts that follow one another lie.
fn parts<'a>(text: &'a str, parts: impl Iterator<Item = &'a str>) -> Vec<Range<usize>> {
    let mut at = 0;
    let place = |part: &str| {
        let start = at;
        at = (at + part.len()).min(text.len());
        start..at
    };
    parts.map(place).collect()
}

/// Where letters of a kind stand together.
fn runs(text: &str, of: impl Fn(char) -> bool) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for (at, c) in text.char_indices().filter(|(_, c)| of(*c)) {
        match found.last_mut() {
            Some(last) if last.end == at => last.end += c.len_utf8(),
            _ => found.push(at..at + c.len_utf8()),
        }
    }
    found
}
