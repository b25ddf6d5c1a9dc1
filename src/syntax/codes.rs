//! The kinds of faults a text can have before anything in it is understood.

use crate::source::codes;

codes! {
    // Files and lines.
    /// A file too large to be read.
    FILE_TOO_LARGE = "file-too-large",
    /// A file that can't be joined.
    INCLUDE_REFUSED = "include-refused",
    /// A file named where none can be read.
    INCLUDE_UNAVAILABLE = "include-unavailable",
    /// A line that all but includes a file.
    INCLUDE_LOST = "include-lost",
    /// A line too long to be read.
    LINE_TOO_LONG = "line-too-long",
    /// A control character.
    CHARACTER_UNSEEN = "character-unseen",
    /// A space that is not the plain one.
    SPACE_ODD = "space-odd",

    // Header and headings.
    /// A line of the header that is no key and value.
    HEADER_LINE_UNKNOWN = "header-line-unknown",
    /// A header without a blank line after it.
    HEADER_UNENDED = "header-unended",
    /// A key without a value.
    VALUE_MISSING = "value-missing",
    /// A heading without words.
    HEADING_EMPTY = "heading-empty",
    /// More than two signs of a heading.
    HEADING_LEVEL = "heading-level",
    /// Brackets after a heading that name nothing.
    HEADING_NAME_WRONG = "heading-name-wrong",
    /// No space after the signs of a heading.
    HEADING_UNSPACED = "heading-unspaced",

    // Prose.
    /// Lines of code that nothing closes.
    FENCE_UNCLOSED = "fence-unclosed",
    /// A heading inside a quote, a list or a footnote.
    HEADING_INSIDE = "heading-inside",
    /// Tags of HTML.
    HTML_UNKNOWN = "html-unknown",
    /// A link to what no page can lead to.
    LINK_UNKNOWN = "link-unknown",
    /// The mark of a footnote that is not written.
    NOTE_UNKNOWN = "note-unknown",
    /// A footnote that nothing refers to.
    NOTE_UNUSED = "note-unused",
    /// A picture where none can stand.
    PICTURE_INSIDE = "picture-inside",
    /// Quotes and lists too deep in one another.
    PROSE_TOO_DEEP = "prose-too-deep",
    /// A row of a table with more cells than its head.
    TABLE_ROW_TOO_LONG = "table-row-too-long",
    /// A table of too many columns or rows.
    TABLE_TOO_LARGE = "table-too-large",

    // Blocks.
    /// A misspelt block word.
    BLOCK_UNKNOWN = "block-unknown",
    /// A name that can't be one.
    BLOCK_NAME_WRONG = "block-name-wrong",
    /// A head whose rows are not indented.
    BLOCK_LOST = "block-lost",
    /// A title without quotes.
    TITLE_UNQUOTED = "title-unquoted",
    /// A title without closing quotes.
    TITLE_UNCLOSED = "title-unclosed",
    /// Quotes with nothing in them.
    TITLE_EMPTY = "title-empty",
    /// Something after the title.
    HEAD_TOO_LONG = "head-too-long",
    /// `--` outside a block.
    BREAK_STRAY = "break-stray",
    /// `--` in a block that is made.
    BREAK_IN_MADE = "break-in-made",
    /// `--` with no rows before it.
    BREAK_EARLY = "break-early",
    /// `--` with no rows after it.
    BREAK_LATE = "break-late",

    // Rows.
    /// Indented lines with no block above them.
    ROWS_STRAY = "rows-stray",
    /// What may be a row that is not indented.
    ROW_LOST = "row-lost",
    /// Rows that are not indented.
    ROWS_FLUSH = "rows-flush",
    /// A player in a block that has none.
    PLAYER_MISPLACED = "player-misplaced",
    /// A player without a name.
    PLAYER_NAMELESS = "player-nameless",
    /// A player named twice in one set.
    PLAYER_TWICE = "player-twice",
    /// More players than a block can have.
    PLAYERS_TOO_MANY = "players-too-many",
    /// A player whose name is not in quotes.
    PLAYER_UNQUOTED = "player-unquoted",
    /// A misspelt name of a row.
    ROW_UNKNOWN = "row-unknown",
    /// A row with nothing in it.
    ROW_EMPTY = "row-empty",
    /// A colon after the name of a row, or after the letter of a kit.
    ROW_COLON = "row-colon",

    // Signs in rows.
    /// A sign that means nothing where it stands.
    SIGN_UNKNOWN = "sign-unknown",
    /// `|.`.
    BAR_FINAL = "bar-final",
    /// A number after `:|` that can't be one.
    TIMES_RANGE = "times-range",
    /// A number after `%` that can't be one.
    SAME_BAR_COUNT = "same-bar-count",
    /// A spread over too many beats, or over none.
    SPREAD_RANGE = "spread-range",
    /// A spread divided by what it can't be.
    SPREAD_DIVISOR = "spread-divisor",
    /// A spread that is not at its group's end.
    SPREAD_INSIDE = "spread-inside",
    /// A spread with nothing before it.
    SPREAD_ALONE = "spread-alone",
    /// Too many cells in a group or a split.
    CELLS_TOO_MANY = "cells-too-many",
    /// Splits too deep in one another.
    SPLIT_TOO_DEEP = "split-too-deep",
    /// `[` without `]`.
    SPLIT_UNCLOSED = "split-unclosed",
    /// `]` without `[`.
    SPLIT_UNOPENED = "split-unopened",
    /// `[]`.
    SPLIT_EMPTY = "split-empty",

    // Hits and letters.
    /// A sign of a hit without its hit.
    HIT_MISSING = "hit-missing",
    /// More than one letter in the brackets of a ghost note.
    GHOST_TOO_LONG = "ghost-too-long",
    /// A small note in braces with an accent.
    SMALL_NOTE_ACCENTED = "small-note-accented",
    /// The other hand of a letter, in brackets, that is none.
    OTHER_HAND = "other-hand",
    /// Something of a hit said twice.
    SIGN_TWICE = "sign-twice",
    /// More grace notes, or strokes through a stem, than there can be.
    ORNAMENT_TOO_LONG = "ornament-too-long",
    /// A roll of too few or too many strokes.
    ROLL_RANGE = "roll-range",
    /// Too many instruments struck together.
    STRIKES_TOO_MANY = "strikes-too-many",
    /// A letter that names no hand.
    LETTER_UNKNOWN = "letter-unknown",
    /// Grace notes of a sticking without their hit.
    LETTER_MISSING = "letter-missing",
    /// A spread of a sticking.
    STICKING_SPREAD = "sticking-spread",

    // Counts and words.
    /// `(` without `)`.
    DIVISION_UNCLOSED = "division-unclosed",
    /// `)` without `(`.
    DIVISION_UNOPENED = "division-unopened",
    /// `()`.
    DIVISION_EMPTY = "division-empty",
    /// A bracket in a bracket.
    DIVISION_NESTED = "division-nested",
    /// Too many words in a bracket.
    DIVISION_TOO_LONG = "division-too-long",
    /// A square bracket among counts.
    COUNT_BRACKET = "count-bracket",
    /// `+` without a mark on both its sides.
    JOIN_ALONE = "join-alone",
    /// Words that run into one another.
    WORDS_UNSPACED = "words-unspaced",
    /// Quotes without words.
    QUOTES_EMPTY = "quotes-empty",
    /// Quotes that are not closed.
    QUOTES_UNCLOSED = "quotes-unclosed",

    // Tables.
    /// Nothing between two commas.
    COMMA_TWICE = "comma-twice",
    /// The name of an instrument in several words.
    INSTRUMENT_NAME_SPACED = "instrument-name-spaced",
}
