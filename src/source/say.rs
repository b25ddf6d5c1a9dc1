//! Numbers and lists as a drummer says them in a message.

use num_rational::Ratio;

/// Characters of a text that are quoted.
const QUOTED: usize = 40;

const SMALL: [&str; 21] = [
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
];

/// `three`; numerals above twenty.
pub(crate) fn number(n: usize) -> String {
    SMALL.get(n).map_or_else(|| n.to_string(), |word| (*word).to_owned())
}

/// `2,000`.
pub(crate) fn thousands(n: u64) -> String {
    let digits = n.to_string();
    let mut text = String::with_capacity(digits.len() + digits.len() / 3);
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// `one beat`, `three beats`.
pub(crate) fn several(n: usize, thing: &str) -> String {
    let s = if n == 1 { "" } else { "s" };
    format!("{} {thing}{s}", number(n))
}

/// `three beats`, `half a beat`, `four and a half beats`, `2/3 of a beat`.
pub(crate) fn beats(n: Ratio<i64>, thing: &str) -> String {
    let whole = usize::try_from(n.to_integer()).unwrap_or(0);
    let rest = n.fract();
    if rest == Ratio::from_integer(0) {
        several(whole, thing)
    } else if rest == Ratio::new(1, 2) {
        match whole {
            0 => format!("half a {thing}"),
            _ => format!("{} and a half {thing}s", number(whole)),
        }
    } else if whole == 0 {
        format!("{rest} of a {thing}")
    } else {
        format!("{whole} and {rest} {thing}s")
    }
}

/// `` `a`, `b` and `c` ``.
pub(crate) fn listed<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    joined(words, "and")
}

/// `4, 8 or 16`.
pub(crate) fn choice_of_numbers(numbers: &[String]) -> String {
    match numbers {
        [] => String::new(),
        [one] => one.clone(),
        [before @ .., last] => format!("{} or {last}", before.join(", ")),
    }
}

/// `` `a`, `b` or `c` ``.
pub(crate) fn choice<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    joined(words, "or")
}

fn joined<'a>(words: impl IntoIterator<Item = &'a str>, last: &str) -> String {
    let quoted: Vec<String> = words.into_iter().map(|w| format!("`{w}`")).collect();
    match quoted.split_last() {
        None => String::new(),
        Some((only, [])) => only.clone(),
        Some((end, head)) => format!("{} {last} {end}", head.join(", ")),
    }
}

/// `a series`, `an edition`.
pub(crate) fn one(word: &str) -> String {
    let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {word}")
}

/// `1st`, `2nd`, `3rd`, `4th`.
pub(crate) fn ordinal(n: usize) -> String {
    let end = match (n % 100, n % 10) {
        (11..=13, _) => "th",
        (_, 1) => "st",
        (_, 2) => "nd",
        (_, 3) => "rd",
        _ => "th",
    };
    format!("{n}{end}")
}

/// The start of a text that is too long to be quoted whole.
pub(crate) fn shortened(text: &str) -> String {
    match text.char_indices().nth(QUOTED) {
        Some((at, _)) => format!("{} ...", text[..at].trim_end()),
        None => text.to_owned(),
    }
}

/// The row and the bar a fault lies in: `` `snare`, bar 2 ``; without the bar where the block has
/// only one.
#[derive(Clone, Copy, Debug)]
pub struct RowBar<'a> {
    /// The row's name.
    pub row: &'a str,
    /// The bar in its block, from 1.
    pub bar: Option<usize>,
}

impl std::fmt::Display for RowBar<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.bar {
            Some(bar) => write!(f, "`{}`, bar {bar}", self.row),
            None => write!(f, "`{}`", self.row),
        }
    }
}
