//! SMuFL glyph names and code points the engraver uses (SMuFL 1.4, "Glyph tables").

use std::fmt;

/// A glyph of a SMuFL font: its row in the table of them all. Glyphs are ordered as the table is, by
/// their names.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Glyph(Row);

impl Glyph {
    /// The canonical SMuFL name.
    pub fn name(self) -> &'static str {
        self.row().0
    }

    /// The code point, in the Private Use Area.
    pub fn code(self) -> char {
        self.row().1
    }

    /// Its place in [`Glyph::ALL`].
    pub(super) fn index(self) -> usize {
        self.0 as usize
    }

    fn row(self) -> (&'static str, char) {
        // A row of the table by construction.
        TABLE[self.index()]
    }

    /// The digit of a time signature, 0 to 9; zero for anything else.
    pub fn time_digit(digit: u32) -> Self {
        Self::TIME_DIGITS.get(digit as usize).copied().unwrap_or(Self::TIME_SIG_0)
    }

    /// The digit of a tuplet number, 0 to 9; zero for anything else.
    pub fn tuplet_digit(digit: u32) -> Self {
        Self::TUPLET_DIGITS.get(digit as usize).copied().unwrap_or(Self::TUPLET_0)
    }

    const TIME_DIGITS: [Self; 10] = [
        Self::TIME_SIG_0,
        Self::TIME_SIG_1,
        Self::TIME_SIG_2,
        Self::TIME_SIG_3,
        Self::TIME_SIG_4,
        Self::TIME_SIG_5,
        Self::TIME_SIG_6,
        Self::TIME_SIG_7,
        Self::TIME_SIG_8,
        Self::TIME_SIG_9,
    ];
    const TUPLET_DIGITS: [Self; 10] = [
        Self::TUPLET_0,
        Self::TUPLET_1,
        Self::TUPLET_2,
        Self::TUPLET_3,
        Self::TUPLET_4,
        Self::TUPLET_5,
        Self::TUPLET_6,
        Self::TUPLET_7,
        Self::TUPLET_8,
        Self::TUPLET_9,
    ];
}

impl fmt::Debug for Glyph {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Glyph").field("name", &self.name()).field("code", &self.code()).finish()
    }
}

macro_rules! glyphs {
    ($($constant:ident $name:literal $code:literal;)*) => {
        #[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[allow(
            non_camel_case_types,
            clippy::upper_case_acronyms,
            reason = "each variant is named like its constant"
        )]
        enum Row { $($constant),* }

        /// Name and code point of each glyph.
        const TABLE: &[(&str, char)] = &[$(($name, $code)),*];

        #[allow(missing_docs, reason = "each constant is the SMuFL name in capitals")]
        impl Glyph {
            $(pub const $constant: Self = Self(Row::$constant);)*
            /// Every glyph the engraver may ask for.
            pub const ALL: &'static [Self] = &[$(Self::$constant),*];
        }
    };
}

glyphs! {
    ARTIC_ACCENT_ABOVE "articAccentAbove" '\u{E4A0}';
    ARTIC_ACCENT_BELOW "articAccentBelow" '\u{E4A1}';
    ARTIC_MARCATO_ABOVE "articMarcatoAbove" '\u{E4AC}';
    ARTIC_MARCATO_BELOW "articMarcatoBelow" '\u{E4AD}';
    ARTIC_STACCATO_ABOVE "articStaccatoAbove" '\u{E4A2}';
    ARTIC_STACCATO_BELOW "articStaccatoBelow" '\u{E4A3}';
    ARTIC_TENUTO_ABOVE "articTenutoAbove" '\u{E4A4}';
    ARTIC_TENUTO_BELOW "articTenutoBelow" '\u{E4A5}';
    AUGMENTATION_DOT "augmentationDot" '\u{E1E7}';
    BRASS_MUTE_CLOSED "brassMuteClosed" '\u{E5E5}';
    BRASS_MUTE_OPEN "brassMuteOpen" '\u{E5E7}';
    BREATH_MARK_COMMA "breathMarkComma" '\u{E4CE}';
    BUZZ_ROLL "buzzRoll" '\u{E22A}';
    CAESURA "caesura" '\u{E4D1}';
    CODA "coda" '\u{E048}';
    DA_CAPO "daCapo" '\u{E046}';
    DAL_SEGNO "dalSegno" '\u{E045}';
    DYNAMIC_FORTE "dynamicForte" '\u{E522}';
    DYNAMIC_MEZZO "dynamicMezzo" '\u{E521}';
    DYNAMIC_NIENTE "dynamicNiente" '\u{E526}';
    DYNAMIC_PIANO "dynamicPiano" '\u{E520}';
    DYNAMIC_RINFORZANDO "dynamicRinforzando" '\u{E523}';
    DYNAMIC_SFORZANDO "dynamicSforzando" '\u{E524}';
    DYNAMIC_Z "dynamicZ" '\u{E525}';
    FERMATA_ABOVE "fermataAbove" '\u{E4C0}';
    FERMATA_BELOW "fermataBelow" '\u{E4C1}';
    FLAG_128TH_DOWN "flag128thDown" '\u{E249}';
    FLAG_128TH_UP "flag128thUp" '\u{E248}';
    FLAG_16TH_DOWN "flag16thDown" '\u{E243}';
    FLAG_16TH_UP "flag16thUp" '\u{E242}';
    FLAG_256TH_DOWN "flag256thDown" '\u{E24B}';
    FLAG_256TH_UP "flag256thUp" '\u{E24A}';
    FLAG_32ND_DOWN "flag32ndDown" '\u{E245}';
    FLAG_32ND_UP "flag32ndUp" '\u{E244}';
    FLAG_64TH_DOWN "flag64thDown" '\u{E247}';
    FLAG_64TH_UP "flag64thUp" '\u{E246}';
    FLAG_8TH_DOWN "flag8thDown" '\u{E241}';
    FLAG_8TH_UP "flag8thUp" '\u{E240}';
    GRACE_NOTE_SLASH_STEM_DOWN "graceNoteSlashStemDown" '\u{E565}';
    GRACE_NOTE_SLASH_STEM_UP "graceNoteSlashStemUp" '\u{E564}';
    MET_AUGMENTATION_DOT "metAugmentationDot" '\u{ECB7}';
    MET_NOTE_16TH_UP "metNote16thUp" '\u{ECA9}';
    MET_NOTE_32ND_UP "metNote32ndUp" '\u{ECAB}';
    MET_NOTE_8TH_UP "metNote8thUp" '\u{ECA7}';
    MET_NOTE_HALF_UP "metNoteHalfUp" '\u{ECA3}';
    MET_NOTE_QUARTER_UP "metNoteQuarterUp" '\u{ECA5}';
    MET_NOTE_WHOLE "metNoteWhole" '\u{ECA2}';
    NOTEHEAD_BLACK "noteheadBlack" '\u{E0A4}';
    NOTEHEAD_CIRCLE_X "noteheadCircleX" '\u{E0B3}';
    NOTEHEAD_CIRCLE_X_HALF "noteheadCircleXHalf" '\u{E0B2}';
    NOTEHEAD_CIRCLE_X_WHOLE "noteheadCircleXWhole" '\u{E0B1}';
    NOTEHEAD_DIAMOND_BLACK "noteheadDiamondBlack" '\u{E0DB}';
    NOTEHEAD_DIAMOND_HALF "noteheadDiamondHalf" '\u{E0D9}';
    NOTEHEAD_DIAMOND_WHOLE "noteheadDiamondWhole" '\u{E0D8}';
    NOTEHEAD_HALF "noteheadHalf" '\u{E0A3}';
    NOTEHEAD_PARENTHESIS_LEFT "noteheadParenthesisLeft" '\u{E0F5}';
    NOTEHEAD_PARENTHESIS_RIGHT "noteheadParenthesisRight" '\u{E0F6}';
    NOTEHEAD_PLUS_BLACK "noteheadPlusBlack" '\u{E0AF}';
    NOTEHEAD_PLUS_HALF "noteheadPlusHalf" '\u{E0AE}';
    NOTEHEAD_PLUS_WHOLE "noteheadPlusWhole" '\u{E0AD}';
    NOTEHEAD_ROUND_WHITE "noteheadRoundWhite" '\u{E114}';
    NOTEHEAD_SLASH_VERTICAL_ENDS "noteheadSlashVerticalEnds" '\u{E100}';
    NOTEHEAD_SLASH_WHITE_HALF "noteheadSlashWhiteHalf" '\u{E103}';
    NOTEHEAD_SLASH_WHITE_WHOLE "noteheadSlashWhiteWhole" '\u{E102}';
    NOTEHEAD_SQUARE_BLACK "noteheadSquareBlack" '\u{E0B9}';
    NOTEHEAD_SQUARE_BLACK_WHITE "noteheadSquareBlackWhite" '\u{E11B}';
    NOTEHEAD_SQUARE_WHITE "noteheadSquareWhite" '\u{E0B8}';
    NOTEHEAD_TRIANGLE_DOWN_BLACK "noteheadTriangleDownBlack" '\u{E0C7}';
    NOTEHEAD_TRIANGLE_UP_BLACK "noteheadTriangleUpBlack" '\u{E0BE}';
    NOTEHEAD_TRIANGLE_UP_HALF "noteheadTriangleUpHalf" '\u{E0BC}';
    NOTEHEAD_TRIANGLE_UP_WHOLE "noteheadTriangleUpWhole" '\u{E0BB}';
    NOTEHEAD_WHOLE "noteheadWhole" '\u{E0A2}';
    NOTEHEAD_X_BLACK "noteheadXBlack" '\u{E0A9}';
    NOTEHEAD_X_HALF "noteheadXHalf" '\u{E0A8}';
    NOTEHEAD_X_WHOLE "noteheadXWhole" '\u{E0A7}';
    PICT_CHOKE_CYMBAL "pictChokeCymbal" '\u{E805}';
    PICT_DEAD_NOTE_STEM "pictDeadNoteStem" '\u{E80D}';
    PICT_HALF_OPEN_1 "pictHalfOpen1" '\u{E7F6}';
    PICT_OPEN "pictOpen" '\u{E7F8}';
    PICT_OPEN_RIM_SHOT "pictOpenRimShot" '\u{E7F5}';
    PICT_RIM_SHOT_ON_STEM "pictRimShotOnStem" '\u{E7FD}';
    PICT_SWISH_STEM "pictSwishStem" '\u{E808}';
    REPEAT_1_BAR "repeat1Bar" '\u{E500}';
    REPEAT_2_BARS "repeat2Bars" '\u{E501}';
    REPEAT_4_BARS "repeat4Bars" '\u{E502}';
    REPEAT_DOT "repeatDot" '\u{E044}';
    REST_128TH "rest128th" '\u{E4EA}';
    REST_16TH "rest16th" '\u{E4E7}';
    REST_256TH "rest256th" '\u{E4EB}';
    REST_32ND "rest32nd" '\u{E4E8}';
    REST_64TH "rest64th" '\u{E4E9}';
    REST_8TH "rest8th" '\u{E4E6}';
    REST_DOUBLE_WHOLE "restDoubleWhole" '\u{E4E2}';
    REST_HBAR "restHBar" '\u{E4EE}';
    REST_HALF "restHalf" '\u{E4E4}';
    REST_QUARTER "restQuarter" '\u{E4E5}';
    REST_WHOLE "restWhole" '\u{E4E3}';
    SEGNO "segno" '\u{E047}';
    TIME_SIG_0 "timeSig0" '\u{E080}';
    TIME_SIG_1 "timeSig1" '\u{E081}';
    TIME_SIG_2 "timeSig2" '\u{E082}';
    TIME_SIG_3 "timeSig3" '\u{E083}';
    TIME_SIG_4 "timeSig4" '\u{E084}';
    TIME_SIG_5 "timeSig5" '\u{E085}';
    TIME_SIG_6 "timeSig6" '\u{E086}';
    TIME_SIG_7 "timeSig7" '\u{E087}';
    TIME_SIG_8 "timeSig8" '\u{E088}';
    TIME_SIG_9 "timeSig9" '\u{E089}';
    TIME_SIG_COMMON "timeSigCommon" '\u{E08A}';
    TIME_SIG_CUT_COMMON "timeSigCutCommon" '\u{E08B}';
    TIME_SIG_PLUS "timeSigPlus" '\u{E08C}';
    TREMOLO_1 "tremolo1" '\u{E220}';
    TREMOLO_2 "tremolo2" '\u{E221}';
    TREMOLO_3 "tremolo3" '\u{E222}';
    TREMOLO_4 "tremolo4" '\u{E223}';
    TREMOLO_5 "tremolo5" '\u{E224}';
    TUPLET_0 "tuplet0" '\u{E880}';
    TUPLET_1 "tuplet1" '\u{E881}';
    TUPLET_2 "tuplet2" '\u{E882}';
    TUPLET_3 "tuplet3" '\u{E883}';
    TUPLET_4 "tuplet4" '\u{E884}';
    TUPLET_5 "tuplet5" '\u{E885}';
    TUPLET_6 "tuplet6" '\u{E886}';
    TUPLET_7 "tuplet7" '\u{E887}';
    TUPLET_8 "tuplet8" '\u{E888}';
    TUPLET_9 "tuplet9" '\u{E889}';
    TUPLET_COLON "tupletColon" '\u{E88A}';
    UNPITCHED_PERCUSSION_CLEF_1 "unpitchedPercussionClef1" '\u{E069}';
    UNPITCHED_PERCUSSION_CLEF_2 "unpitchedPercussionClef2" '\u{E06A}';
}
