//! Colours by name and as the web writes them.

use crate::score::Colour;
use crate::syntax::grammar::{Rule, one_token};

/// Reads `black`, `white`, `gray` or `#204060`.
pub fn colour(text: &str) -> Option<Colour> {
    let token = one_token(Rule::colour_value, text)?;
    match token.as_rule() {
        Rule::black => Some(Colour::BLACK),
        Rule::white_colour => Some(Colour::WHITE),
        Rule::gray => Some(Colour::GRAY),
        _ => {
            let part = |at: usize| u8::from_str_radix(token.as_str().get(at..at + 2)?, 16).ok();
            Some(Colour { red: part(1)?, green: part(3)?, blue: part(5)? })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_figures() {
        assert_eq!(colour("Black"), Some(Colour::BLACK));
        assert_eq!(colour("grey"), colour("gray"));
        assert_eq!(colour("#20406F"), Some(Colour { red: 32, green: 64, blue: 111 }));
        for text in ["", "red", "#204", "#20406g", "204060", "black white"] {
            assert_eq!(colour(text), None, "{text}");
        }
    }
}
