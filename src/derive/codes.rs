//! The kinds of faults that music made from music can have.

use crate::source::codes;

codes! {
    // Names.
    /// A block to be made from that no block above is named as.
    BLOCK_UNKNOWN = "block-name-unknown",
    /// A reference in prose to a block or a heading there is none of.
    REFERENCE_UNKNOWN = "reference-unknown",
    /// A reference to an exercise of what has none, or not this one.
    REFERENCE_EXERCISE = "reference-exercise",
    /// A reference to a block with nothing that could be printed for it.
    REFERENCE_UNPRINTABLE = "reference-unprintable",

    // The block that another is made from.
    /// None is named.
    PARENT_MISSING = "parent-missing",
    /// One is named where none is needed.
    PARENT_UNWANTED = "parent-unwanted",
    /// It is too long.
    PARENT_TOO_LONG = "parent-too-long",
    /// It plays an instrument that the kit does not have.
    PARENT_INSTRUMENT = "parent-instrument",
    /// Blocks whose players do not go together.
    PLAYERS_APART = "players-apart",
    /// Rows of a context that name a player whom the blocks it plays do not have.
    CONTEXT_PLAYER = "context-player",

    // How much is made.
    /// More than a text of its length may make.
    MADE_TOO_MUCH = "made-too-much",

    // Changes.
    /// A change that finds nothing to change, or cannot be made.
    CHANGE_IMPOSSIBLE = "change-impossible",

    /// A change that cuts a beat too fine to be written.
    CHANGE_TOO_FINE = "change-too-fine",

    // Stickings.
    /// A written sticking that goes a longer way than the rule asked for.
    STICKING_LONGER_WAY = "sticking-longer-way",
    /// A written sticking that differs from the rule asked for.
    STICKING_DIFFERS = "sticking-differs",

    // Contexts.
    /// More bars than a context can have.
    CONTEXT_TOO_LONG = "context-too-long",
    /// An ending that does not fit in place of the last bars.
    ENDING_MISFIT = "ending-misfit",
    /// Endings of nothing that is repeated, or fewer than two.
    ENDINGS_WRONG = "endings-wrong",
    /// A pickup that is longer than the bar it falls into.
    PICKUP_INSIDE = "pickup-inside",
    /// A block that comes in before anything was played.
    ENTRY_FIRST = "entry-first",
    /// A block with a pickup that is to come in elsewhere.
    ENTRY_PICKUP = "entry-pickup",
    /// A place to come in at that the bar has not, or from which on nothing is played.
    ENTRY_PLACE = "entry-place",
    /// A block that comes in over one in another time.
    ENTRY_MISFIT = "entry-misfit",
    /// What comes in and what goes on need three hands.
    ENTRY_HANDS = "entry-hands",
    /// A block that is printed in a context, and that none plays.
    CONTEXT_MISSING = "context-missing",
    /// Blocks of different feel.
    FEELS_DIFFER = "feels-differ",

    // Series.
    /// More exercises than a series can have.
    EXERCISES_TOO_MANY = "exercises-too-many",
    /// More bars than a series can have.
    SERIES_TOO_LONG = "series-too-long",
    /// An order that stickings do not have.
    SERIES_ORDER = "series-order",
    /// Patterns that meet a barline too late.
    PATTERNS_TOO_LONG = "patterns-too-long",
    /// A subdivision that the time signature does not have.
    SUBDIVISION_UNFIT = "subdivision-unfit",
    /// Stickings none of which can be played again and again.
    STICKINGS_NONE = "stickings-none",
    /// An exercise without notes.
    EXERCISE_SILENT = "exercise-silent",
    /// Exercises to be left out by a tempo that is not known.
    TEMPO_MISSING = "tempo-missing",
    /// A tempo at which no exercise can be played.
    EXERCISES_UNPLAYABLE = "exercises-unplayable",
}
