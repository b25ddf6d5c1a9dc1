//! The rows a block can have, and the words they begin with.

use super::kit::Limb;

/// A row by the word it begins with.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RowWord {
    /// `count`: the rhythm as it is spoken.
    Count,
    /// Hits in cells.
    Hits(HitsRow),
    /// `stick` and `pedal`: the letters of the hits of these limbs.
    Sticks(Limb),
    /// Words under and over the notes.
    Words(WordsRow),
}

/// A row of hits.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HitsRow {
    /// `play`: letters of the kit.
    Play,
    /// `hands` and `feet`: letters of the kit, played by these limbs.
    Limb(Limb),
    /// `band`: what the band plays over the drummer's time, in small notes.
    Band,
    /// Marks on one instrument, which the row is called after.
    Instrument(String),
}

/// A row of words, set off by spaces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WordsRow {
    /// `dyn`: dynamics and hairpins.
    Dyn,
    /// `say`: words under the notes.
    Say,
    /// `mark`: what stands over the staff.
    Mark,
    /// `cue`: the players whose notes are shown small where this one rests.
    Cue,
}

/// Every row that is not called after an instrument, in the order the rows are told in.
static ROWS: [RowWord; 11] = [
    RowWord::Count,
    RowWord::Hits(HitsRow::Play),
    RowWord::Hits(HitsRow::Limb(Limb::Hands)),
    RowWord::Hits(HitsRow::Limb(Limb::Feet)),
    RowWord::Hits(HitsRow::Band),
    RowWord::Sticks(Limb::Hands),
    RowWord::Sticks(Limb::Feet),
    RowWord::Words(WordsRow::Dyn),
    RowWord::Words(WordsRow::Say),
    RowWord::Words(WordsRow::Mark),
    RowWord::Words(WordsRow::Cue),
];

impl RowWord {
    /// The row of a word; a word that names no other row is the name of an instrument.
    #[must_use]
    pub fn read(word: &str) -> Self {
        let row = ROWS.iter().find(|row| row.as_str() == word);
        row.cloned().unwrap_or_else(|| Self::Hits(HitsRow::Instrument(word.to_owned())))
    }

    /// The word it begins with.
    #[must_use]
    pub fn as_str(&self) -> &str {
        match self {
            Self::Count => "count",
            Self::Hits(row) => row.as_str(),
            Self::Sticks(Limb::Hands) => "stick",
            Self::Sticks(Limb::Feet) => "pedal",
            Self::Words(WordsRow::Dyn) => "dyn",
            Self::Words(WordsRow::Say) => "say",
            Self::Words(WordsRow::Mark) => "mark",
            Self::Words(WordsRow::Cue) => "cue",
        }
    }

    /// The words of all rows that are not called after an instrument.
    #[must_use]
    pub fn words() -> [&'static str; 11] {
        ROWS.each_ref().map(Self::as_str)
    }

    /// Whether a word names such a row.
    #[must_use]
    pub fn is_word(word: &str) -> bool {
        Self::words().contains(&word)
    }
}

impl HitsRow {
    /// The word it begins with.
    #[must_use]
    pub fn as_str(&self) -> &str {
        match self {
            Self::Play => "play",
            Self::Limb(Limb::Hands) => "hands",
            Self::Limb(Limb::Feet) => "feet",
            Self::Band => "band",
            Self::Instrument(name) => name,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_read_as_they_are_written() {
        for row in &ROWS {
            assert_eq!(RowWord::read(row.as_str()), *row);
        }
        let snare = RowWord::Hits(HitsRow::Instrument("snare".to_owned()));
        assert_eq!(RowWord::read("snare"), snare);
        assert_eq!(snare.as_str(), "snare");
        assert!(RowWord::is_word("pedal") && !RowWord::is_word("snare"));
    }
}
