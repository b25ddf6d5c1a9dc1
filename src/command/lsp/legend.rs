//! The words of the protocol for what tokens are.

use flamacue::assist::TokenKind;
use lsp_types::{SemanticTokenModifier, SemanticTokenType, SemanticTokensLegend};

/// The types of tokens, by their numbers.
const TYPES: [SemanticTokenType; 11] = [
    SemanticTokenType::KEYWORD,
    SemanticTokenType::CLASS,
    SemanticTokenType::STRING,
    SemanticTokenType::PROPERTY,
    SemanticTokenType::ENUM_MEMBER,
    SemanticTokenType::FUNCTION,
    SemanticTokenType::VARIABLE,
    SemanticTokenType::OPERATOR,
    SemanticTokenType::NUMBER,
    SemanticTokenType::MACRO,
    SemanticTokenType::COMMENT,
];
const DECLARATION: u32 = 1;
const ACCENTED: u32 = 2;
const GHOSTED: u32 = 4;
const SILENT: u32 = 8;
const HEADING: u32 = 16;

/// What the numbers stand for. The last modifiers are no standard ones; an editor that does not know them
/// shows the type alone.
pub fn legend() -> SemanticTokensLegend {
    let own = ["accented", "ghosted", "silent", "heading"].map(SemanticTokenModifier::new);
    let modifiers = std::iter::once(SemanticTokenModifier::DECLARATION).chain(own);
    SemanticTokensLegend { token_types: TYPES.to_vec(), token_modifiers: modifiers.collect() }
}

/// The numbers of a token's type and modifiers.
pub fn numbers(kind: TokenKind) -> (u32, u32) {
    match kind {
        TokenKind::BlockWord => (0, 0),
        TokenKind::NameGiven => (1, DECLARATION),
        TokenKind::NameUsed => (1, 0),
        TokenKind::Words => (2, 0),
        TokenKind::Key => (3, 0),
        TokenKind::Value => (4, 0),
        TokenKind::RowWord => (5, 0),
        TokenKind::Letter => (6, 0),
        TokenKind::AccentedLetter => (6, ACCENTED),
        TokenKind::GhostedLetter => (6, GHOSTED),
        TokenKind::Rest => (7, SILENT),
        TokenKind::Hold | TokenKind::Barline => (7, 0),
        TokenKind::Number => (8, 0),
        TokenKind::Syllable => (8, 0),
        TokenKind::Mark => (9, 0),
        TokenKind::Heading => (0, HEADING),
        TokenKind::Comment => (10, 0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_is_in_the_legend() {
        let legend = legend();
        for kind in TokenKind::ALL {
            let (token, modifiers) = numbers(kind);
            assert!((token as usize) < legend.token_types.len(), "{kind:?}");
            assert!(modifiers < 1 << legend.token_modifiers.len(), "{kind:?}");
        }
    }
}
