//! What faces have to know of characters.

/// Characters that steer shaping and line breaking and have no ink of their own.
pub(super) fn is_invisible(c: char) -> bool {
    matches!(c, '\u{00AD}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}'
        | '\u{2060}'..='\u{2064}' | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}')
}

/// Whether a character belongs to the one before it: a combining mark of Latin, Greek and Cyrillic
/// (Unicode, "Combining Diacritical Marks"), or nothing seen.
pub(super) fn joins(c: char) -> bool {
    is_invisible(c)
        || matches!(c, '\u{0300}'..='\u{036F}' | '\u{1AB0}'..='\u{1AFF}' | '\u{1DC0}'..='\u{1DFF}'
            | '\u{20D0}'..='\u{20FF}')
}

/// Whether a character is Latin or of all scripts, has no ink of others and is seen (Unicode, "Scripts").
pub(super) fn is_plain(c: char) -> bool {
    matches!(c, ' '..='~' | '\u{A0}'..='\u{24F}' | '\u{2002}' | '\u{2010}'..='\u{2027}')
        && !is_invisible(c)
}
