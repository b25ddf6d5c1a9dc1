//! Lists with commas: tags, files, languages.

use crate::syntax::Piece;
use crate::syntax::grammar::{Rule, is_value, value_tokens};

/// Most tags of a block.
const MOST_TAGS: usize = 20;
/// Quotes that may stand round words.
const QUOTES: [char; 3] = ['"', '“', '”'];

/// The parts between commas, each without the white space round it; a part may be empty.
pub fn parts(piece: Piece<'_>) -> Vec<Piece<'_>> {
    piece.tokens(Rule::list_value).map(|token| piece.part(&token).trimmed()).collect()
}

/// Names of files with commas between them, with or without quotes.
pub fn files(text: &str) -> Vec<String> {
    let names = parts(Piece { text, start: 0 }).into_iter().map(|p| unquoted(p.text).trim());
    names.filter(|name| !name.is_empty()).map(str::to_owned).collect()
}

/// Words between commas, each once whatever its capitals; nothing where there are none or more
/// than 20.
pub fn tags(text: &str) -> Option<Vec<String>> {
    let mut tags: Vec<String> = Vec::new();
    for part in parts(Piece { text, start: 0 }) {
        let known = tags.iter().any(|other| other.eq_ignore_ascii_case(part.text));
        if !part.text.is_empty() && !known {
            tags.push(part.text.to_owned());
        }
    }
    (1..=MOST_TAGS).contains(&tags.len()).then_some(tags)
}

/// Reads a language tag: first two or three letters, then letters and figures after hyphens
/// (BCP 47).
pub fn language(text: &str) -> Option<&str> {
    is_value(Rule::language_value, text).then_some(text.trim())
}

/// Which of some words, or runs of words, a value is; capitals and the room between words do not
/// count.
pub fn choice<T: Copy>(text: &str, choices: &[(&str, T)]) -> Option<T> {
    let words: Vec<String> =
        value_tokens(Rule::words_value, text)?.map(|word| word.as_str().to_lowercase()).collect();
    let said = words.join(" ");
    choices.iter().find(|(name, _)| *name == said).map(|(_, choice)| *choice)
}

/// Words without the quotes round them.
pub(super) fn unquoted(text: &str) -> &str {
    text.trim_matches(QUOTES)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_know_their_places() {
        let found = parts(Piece { text: "a,  b c , ", start: 5 });
        let found: Vec<(&str, usize)> = found.iter().map(|p| (p.text, p.start)).collect();
        assert_eq!(found, [("a", 5), ("b c", 9), ("", 15)]);
    }

    #[test]
    fn tags_are_told_once() {
        assert_eq!(tags("flams, hands, Flams,"), Some(vec!["flams".into(), "hands".into()]));
        assert_eq!(tags(" , "), None);
        assert_eq!(tags(&(0..21).map(|n| n.to_string()).collect::<Vec<_>>().join(",")), None);
    }

    #[test]
    fn files_may_stand_in_quotes() {
        assert_eq!(files("\"Kettle.otf\", “b.otf”,"), ["Kettle.otf", "b.otf"]);
        assert!(files("").is_empty());
    }

    #[test]
    fn language_tags() {
        assert_eq!(language("de-CH"), Some("de-CH"));
        assert_eq!(language("en"), Some("en"));
        for text in ["", "e", "deutsch", "de-", "de--CH", "de-123456789", "de_CH"] {
            assert_eq!(language(text), None, "{text}");
        }
    }

    #[test]
    fn a_choice_is_one_of_its_words() {
        let choices = [("none", 0), ("first page", 1)];
        assert_eq!(choice("First  page", &choices), Some(1));
        assert_eq!(choice("none", &choices), Some(0));
        assert_eq!(choice("firstpage", &choices), None);
    }
}
