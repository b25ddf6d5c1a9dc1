//! The quotes of languages (Unicode CLDR, "delimiters", from memory).

/// The quotes of a language, and the inner ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct QuoteMarks {
    /// `"` at the start and at the end.
    pub(super) outer: [&'static str; 2],
    /// `'` at the start and at the end.
    pub(super) inner: [&'static str; 2],
    /// Signs of two parts, as `:` and `?`, stand off from the word before them.
    pub(super) sets_off: bool,
}

const fn marks(outer: [&'static str; 2], inner: [&'static str; 2]) -> QuoteMarks {
    QuoteMarks { outer, inner, sets_off: false }
}

const HIGH: [&str; 2] = ["“", "”"];
const HIGH_SINGLE: [&str; 2] = ["‘", "’"];
const LOW_HIGH: [&str; 2] = ["„", "“"];
const LOW_SINGLE: [&str; 2] = ["‚", "‘"];
const LOW_RIGHT: [&str; 2] = ["„", "”"];
const POINTING_OUT: [&str; 2] = ["«", "»"];
const POINTING_OUT_SINGLE: [&str; 2] = ["‹", "›"];
const POINTING_IN: [&str; 2] = ["»", "«"];
const RIGHT: [&str; 2] = ["”", "”"];
const RIGHT_SINGLE: [&str; 2] = ["’", "’"];

impl QuoteMarks {
    /// Those of a language tag; English ones where none is given or it is not known.
    pub(super) fn of(language: Option<&str>) -> Self {
        let tag = language.unwrap_or("en").to_ascii_lowercase();
        let mut parts = tag.split(['-', '_']);
        let (language, rest) = (parts.next().unwrap_or(""), parts.collect::<Vec<_>>());
        let region = |region: &str| rest.contains(&region);
        match language {
            "de" | "fr" | "it" if region("ch") || region("li") => {
                marks(POINTING_OUT, POINTING_OUT_SINGLE)
            }
            "de" | "bg" | "cs" | "hr" | "is" | "lt" | "sk" | "sl" | "sr" | "sq" => {
                marks(LOW_HIGH, LOW_SINGLE)
            }
            "et" => marks(LOW_HIGH, POINTING_OUT),
            "pl" | "ro" => marks(LOW_RIGHT, POINTING_OUT),
            "hu" => marks(LOW_RIGHT, POINTING_IN),
            "fr" => QuoteMarks { outer: ["«\u{202f}", "\u{202f}»"], inner: HIGH, sets_off: true },
            "pt" if region("br") => marks(HIGH, HIGH_SINGLE),
            "ca" | "el" | "es" | "gl" | "it" | "pt" => marks(POINTING_OUT, HIGH),
            "be" | "ru" | "uk" => marks(POINTING_OUT, LOW_HIGH),
            "nb" | "nn" | "no" => marks(POINTING_OUT, HIGH_SINGLE),
            "fi" | "sv" => marks(RIGHT, RIGHT_SINGLE),
            "ja" => marks(["「", "」"], ["『", "』"]),
            _ => marks(HIGH, HIGH_SINGLE),
        }
    }
}
