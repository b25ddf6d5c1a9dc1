//! The kinds of faults a text can have in what it means.

use crate::source::{Code, codes};

codes! {
    // Keys.
    /// A key there is none of.
    KEY_UNKNOWN = "key-unknown",
    /// A key where it may not stand.
    KEY_MISPLACED = "key-misplaced",
    /// A key that is said twice.
    KEY_TWICE = "key-twice",
    /// A value that a key cannot have.
    KEY_VALUE = "key-value",

    /// A key of an included file that is not used there.
    KEY_UNUSED = "key-unused",

    // Names.
    /// A name that another block has.
    BLOCK_NAME_TAKEN = "block-name-taken",

    // Kits.
    /// A key in a kit.
    KIT_KEY = "kit-key",
    /// A row that does not begin with one letter.
    KIT_LETTER = "kit-letter",
    /// Two rows for one letter.
    KIT_LETTER_TWICE = "kit-letter-twice",
    /// A new letter without a name.
    KIT_NAME_MISSING = "kit-name-missing",
    /// A name that an instrument or a row has.
    KIT_NAME_TAKEN = "kit-name-taken",
    /// Something a kit can't say.
    KIT_FACT = "kit-fact",
    /// Something that is said twice, or that contradicts something else.
    KIT_FACT_TWICE = "kit-fact-twice",
    /// A kit that no block is played on.
    KIT_UNUSED = "kit-unused",
    /// A letter that the kit does not have.
    KIT_LETTER_UNKNOWN = "kit-letter-unknown",
    /// A row of an instrument that the kit does not have.
    INSTRUMENT_UNKNOWN = "instrument-unknown",

    /// A kit that is asked for by a name that none has.
    KIT_UNKNOWN = "kit-unknown",

    // Players.
    /// A row that belongs to a player and stands above the first.
    PLAYER_ROW_EARLY = "player-row-early",
    /// Players whose bars do not go together.
    PLAYERS_UNEQUAL = "players-unequal",
    /// A cue whose player does not stand in quotes.
    CUE_UNQUOTED = "cue-unquoted",
    /// A cue of a player whom the block does not have beside this one.
    CUE_UNKNOWN = "cue-unknown",
    /// Two cues in one bar.
    CUE_TWICE = "cue-twice",
    /// A cue in a bar in which its player does not rest.
    CUE_OVER_NOTES = "cue-over-notes",
    /// A cue of a player who rests as well.
    CUE_SILENT = "cue-silent",
    /// A player who is to be silent in practice and whom the text does not have.
    SILENT_UNKNOWN = "silent-unknown",
    /// What the band plays, in bars that are not those under it.
    BAND_UNEQUAL = "band-unequal",

    // Tables of syllables.
    /// A table without a name.
    TABLE_UNNAMED = "table-unnamed",
    /// A key in a table.
    TABLE_KEY = "table-key",
    /// A row that begins with no number of parts.
    TABLE_PARTS = "table-parts",
    /// Two rows for as many parts.
    TABLE_ROW_TWICE = "table-row-twice",
    /// A row with too few words, or too many.
    TABLE_WORDS = "table-words",

    /// A table with the name of a count that is built in.
    TABLE_BUILT_IN = "table-built-in",
    /// A table that no block is counted with.
    TABLE_UNUSED = "table-unused",

    // Words.
    /// More words than there are beats, syllables or hits for them.
    WORDS_TOO_MANY = "words-too-many",
    /// A word of a `dyn` row that is not a dynamic.
    DYNAMIC_UNKNOWN = "dynamic-unknown",
    /// The end of a hairpin where none is open.
    HAIRPIN_END = "hairpin-end",
    /// A hairpin that does not end.
    HAIRPIN_OPEN = "hairpin-open",
    /// A word of a `mark` row that is not a mark.
    MARK_UNKNOWN = "mark-unknown",

    // Rows and bars.
    /// A row that stands twice in its set.
    ROW_TWICE = "row-twice",
    /// Rows of one set that have not the same bars.
    BARS_DIFFER = "bars-differ",
    /// Rows none of which gives notes.
    NOTES_MISSING = "notes-missing",
    /// Barlines without notes.
    BARS_MISSING = "bars-missing",
    /// Several bars without a barline between them.
    BARLINES_MISSING = "barlines-missing",
    /// A bar that its groups do not fill.
    BAR_SHORT = "bar-short",
    /// A bar with more groups than it holds.
    BAR_LONG = "bar-long",
    /// More cells than a block can have.
    BLOCK_TOO_LONG = "block-too-long",
    /// A way back to a tempo that did not change.
    TEMPO_UNCHANGED = "tempo-unchanged",
    /// A group over a barline that does not reach over it, or stands where there is none to reach over.
    ACROSS_MISFIT = "across-misfit",
    /// The barline of a group over it at a place where it does not fall.
    ACROSS_LINE = "across-line",
    /// A barline inside a split.
    ACROSS_SPLIT = "across-split",
    /// A count row without a time signature.
    COUNT_UNMETERED = "count-unmetered",
    /// Groups under beams that do not add up to a bar.
    BEAMS_MISFIT = "beams-misfit",
    /// A pickup that is no shorter than a bar.
    PICKUP_TOO_LONG = "pickup-too-long",
    /// A pickup that the first bar does not take.
    PICKUP_UNUSED = "pickup-unused",

    // Repeats.
    /// The end of a repeat with nothing before it.
    REPEAT_OF_NOTHING = "repeat-of-nothing",
    /// The start of a repeat that no bar follows.
    REPEAT_EMPTY = "repeat-empty",
    /// Rows that do not agree how often a passage is played.
    REPEATS_DIFFER = "repeats-differ",
    /// A first ending that does not lead back.
    ENDING_UNCLOSED = "ending-unclosed",
    /// A repeat that starts and does not end.
    REPEAT_UNCLOSED = "repeat-unclosed",
    /// A jump that has nowhere to go, or to leave.
    JUMP_ASTRAY = "jump-astray",
    /// A `%` with something else in its bar.
    SAME_BAR_SHARED = "same-bar-shared",
    /// A `%` with no bar before it.
    SAME_BAR_FIRST = "same-bar-first",
    /// A `%` in a bar of other length than the one before.
    SAME_BAR_MISFIT = "same-bar-misfit",
    /// A `%` in a count row for a bar that cannot be counted so.
    SAME_BAR_COUNT_MISFIT = "same-bar-count-misfit",

    // Hits.
    /// A letter that the row of one instrument does not have.
    ROW_LETTER_UNKNOWN = "row-letter-unknown",
    /// An instrument that is struck twice in one hit.
    STRUCK_TWICE = "struck-twice",
    /// An instrument that two rows strike at once.
    ROWS_STRIKE_ONE = "rows-strike-one",
    /// Rows that give one hit different grace notes or strokes.
    ORNAMENTS_DIFFER = "ornaments-differ",
    /// More instruments at once than two hands can strike.
    HANDS_TOO_FEW = "hands-too-few",
    /// A `-` or `_` after silence.
    HOLD_STRAY = "hold-stray",
    /// The end of a phrase that no mark begins.
    PHRASE_END = "phrase-end",
    /// A beat slash in the row of one instrument.
    SLASH_MISPLACED = "slash-misplaced",
    /// A `_` that no hit follows.
    TIE_UNFOLLOWED = "tie-unfollowed",
    /// A tie into another drum.
    TIE_ELSEWHERE = "tie-elsewhere",
    /// A tie that other hits of its voice cut off.
    TIE_CUT = "tie-cut",
    /// A held hit that other hits of its voice cut short.
    HOLD_CUT = "hold-cut",
    /// Beats divided too finely to be written.
    DIVISION_TOO_FINE = "division-too-fine",
    /// Hits that only notes shorter than any that is written would do justice to.
    NOTE_TOO_SHORT = "note-too-short",
    /// Rows of one voice that divide a beat differently.
    DIVISIONS_CLASH = "divisions-clash",

    // Counts.
    /// A word that is no syllable of the count.
    SYLLABLE_UNKNOWN = "syllable-unknown",
    /// A beat that is not later than the one before.
    COUNT_AGAIN = "count-again",
    /// A number of a beat that the bar has not.
    COUNT_NO_BEAT = "count-no-beat",
    /// A syllable after the last beat of the bar.
    COUNT_PAST_BAR = "count-past-bar",
    /// A bracket with more words than a beat has parts.
    COUNT_TOO_FINE = "count-too-fine",
    /// Words that divide one beat in two ways.
    COUNT_DIVISIONS = "count-divisions",
    /// A spread where syllables are the rhythm.
    COUNT_SPREAD = "count-spread",
    /// Cells that are not as many as the syllables.
    CELLS_FOR_SYLLABLES = "cells-for-syllables",

    // Letters, words and marks.
    /// More letters of a sticking than hits.
    LETTERS_TOO_MANY = "letters-too-many",
    /// Fewer letters of a sticking than hits.
    LETTERS_TOO_FEW = "letters-too-few",
    /// Grace letters that differ from the grace notes of their hit.
    GRACE_LETTERS_DIFFER = "grace-letters-differ",

    /// Lines for pages that only a book with a title page has.
    FRONT_UNPRINTED = "front-unprinted",
    /// An order by levels where no block has one.
    EDITION_ORDER = "edition-order",
    /// Ink of the colour of what is behind it.
    INK_UNSEEN = "ink-unseen",

    // Editions.
    /// An edition without a name.
    EDITION_UNNAMED = "edition-unnamed",
    /// A name of a block that there is not.
    EDITION_BLOCK_UNKNOWN = "edition-block-unknown",

    // Blocks that are made.
    /// A line of a made block or an edition that begins with no word it knows.
    LINE_UNKNOWN = "line-unknown",
    /// A value that a line of a made block or an edition cannot have.
    LINE_VALUE = "line-value",
    /// A line of a made block or an edition that is said twice.
    LINE_TWICE = "line-twice",
    /// More lines that change something than a variation can have.
    CHANGES_TOO_MANY = "changes-too-many",
    /// A context without blocks.
    CONTEXT_EMPTY = "context-empty",
    /// Rows of a context where it has endings, or a line that speaks of rows it has not.
    CONTEXT_ROWS = "context-rows",
    /// Blocks of a context that cannot be read.
    CONTEXT_BLOCKS = "context-blocks",
    /// A series that goes through nothing, or through several things.
    SERIES_RULE = "series-rule",
}

/// What may come of a file that is missing: a kit, a table or the blocks after them may stand in it.
pub const OF_A_MISSING_FILE: [Code; 4] =
    [KIT_LETTER_UNKNOWN, INSTRUMENT_UNKNOWN, KIT_UNUSED, TABLE_UNUSED];

/// What may come of a time signature that can't be read.
pub const OF_A_LOST_TIME: [Code; 16] = [
    ACROSS_MISFIT,
    ACROSS_LINE,
    ACROSS_SPLIT,
    BEAMS_MISFIT,
    BARLINES_MISSING,
    BAR_SHORT,
    BAR_LONG,
    PICKUP_TOO_LONG,
    PICKUP_UNUSED,
    SAME_BAR_MISFIT,
    SAME_BAR_COUNT_MISFIT,
    COUNT_AGAIN,
    COUNT_NO_BEAT,
    COUNT_PAST_BAR,
    SYLLABLE_UNKNOWN,
    WORDS_TOO_MANY,
];
