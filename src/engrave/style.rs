//! The engraver's own numbers, read from the tables in `styles/`, the one place for them. Line
//! weights come from the font.
//!
//! Lengths are staff spaces unless said otherwise. Sources are named where a number has one; all
//! from memory.

use crate::score::settings::Look;
use serde::Deserialize;

/// The numbers a page is engraved with.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Style {
    /// Height of a five-line staff, in millimetres (the brief: 7 for handouts, 6 for books).
    pub staff_mm: f64,
    /// A block stands on one line, however many bars it has.
    pub one_line: bool,

    /// Length of a stem from its outermost head (Gould: an octave, 3.5).
    pub stem: f64,
    /// What a stem loses for each step its head lies beyond the staff's outer line in the
    /// direction of the stem (Gould: stems that point away from the staff are shortened).
    pub stem_shortening: f64,
    /// No stem is shorter.
    pub stem_min: f64,
    /// What a stem gains for each beam or flag beyond the second.
    pub stem_per_extra_beam: f64,
    /// Free stem between a head and the innermost beam.
    pub stem_under_beam: f64,
    /// Distance of neighbouring strokes through a stem.
    pub stroke_pitch: f64,
    /// Greatest rise of a beam over its whole length (Ross: a space and a half at most; less suits
    /// drums, whose lines leap).
    pub beam_rise_max: f64,
    /// Rise of a beam for each space of horizontal run, at most.
    pub beam_slope_max: f64,
    /// Length of a beamlet.
    pub beamlet: f64,

    /// Ideal width of the time of a sixteenth.
    pub sixteenth: f64,
    /// How much wider twice the time is (Gould gives about 1.4 to 1.5).
    pub doubling: f64,
    /// Least space between the ink of neighbouring columns.
    pub column_gap: f64,
    /// Least space between words of one row.
    pub word_gap: f64,
    /// From a barline to the first note.
    pub after_barline: f64,
    /// From the last note's time to the barline.
    pub before_barline: f64,
    /// From the left end of the staff to the clef.
    pub before_clef: f64,
    /// From the clef to the time signature.
    pub after_clef: f64,
    /// Before the time signature and after it together, without its width, from the left end of a bar to the first
    /// note.
    pub after_time: f64,
    /// The narrowest a line may be set against its ideal, as a factor.
    pub tightest: f64,
    /// The widest a justified line may be set against its ideal, as a factor.
    pub loosest: f64,

    /// Size of grace notes against full ones (Gould: between 60 and 75 per cent).
    pub grace_scale: f64,
    /// Stem length of grace notes.
    pub grace_stem: f64,
    /// Between grace notes.
    pub grace_pitch: f64,
    /// From the last grace note's head to its main note's ink.
    pub grace_gap: f64,

    /// From a head to its augmentation dot.
    pub dot_gap: f64,
    /// From ghost bracket to head.
    pub bracket_gap: f64,
    /// Least vertical space between signs stacked over or under the notes.
    pub stack_gap: f64,
    /// From the staff or the lowest ink to the first row under it.
    pub row_gap: f64,
    /// Between rows.
    pub between_rows: f64,

    /// Size of sticking letters.
    pub sticking: f64,
    /// Size of counts.
    pub count: f64,
    /// Size of free words, and of the labels of rows.
    pub words: f64,
    /// Size of tempo words.
    pub tempo: f64,
    /// Size of bar numbers.
    pub bar_number: f64,
    /// No word at the staff but the number of a bar is smaller, in points.
    pub smallest_pt: f64,

    /// Size of the title, in points, as all sizes of words that stand between the music: on a staff
    /// of another height they change by the square root of how the staff does.
    pub title_pt: f64,
    /// Size of the subtitle and the author.
    pub subtitle_pt: f64,
    /// Size of a part's heading.
    pub part_pt: f64,
    /// Size of a chapter's heading.
    pub chapter_pt: f64,
    /// Size of a section's heading.
    pub section_pt: f64,
    /// Size of a block's title.
    pub block_title_pt: f64,
    /// Size of prose.
    pub prose_pt: f64,
    /// Distance of baselines in prose, as a factor on its size.
    pub leading: f64,
    /// Size of running heads and page numbers.
    pub foot_pt: f64,
}

/// The table every other style starts from.
const HANDOUT: &str = include_str!("../../styles/handout.toml");
const STAND: &str = include_str!("../../styles/stand.toml");
const BOOK: &str = include_str!("../../styles/book.toml");
const SCREEN: &str = include_str!("../../styles/screen.toml");

/// A table of a style that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StyleError(pub String);

impl std::fmt::Display for StyleError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for StyleError {}

impl Style {
    /// A style that is part of the program.
    ///
    /// # Errors
    /// Says what is wrong with the table; the tables of the program are tested.
    pub fn built_in(look: Look) -> Result<Self, StyleError> {
        match look {
            Look::Handout => parse(HANDOUT, None),
            Look::Stand => Self::from_table(STAND),
            Look::Book => Self::from_table(BOOK),
            Look::Screen => Self::from_table(SCREEN),
        }
    }

    /// A style of one's own: a table of what differs from the handout.
    ///
    /// # Errors
    /// Names a value that is unknown, out of its range (most may be 0 to 100) or no number.
    pub fn from_table(table: &str) -> Result<Self, StyleError> {
        parse(HANDOUT, Some(table))
    }
}

fn parse(base: &str, changes: Option<&str>) -> Result<Style, StyleError> {
    let read = |text: &str| text.parse::<toml::Table>().map_err(|e| StyleError(e.to_string()));
    let mut table = read(base)?;
    for (name, value) in changes.map(read).transpose()?.unwrap_or_default() {
        let number = value.as_float().or(value.as_integer().map(|n| n as f64));
        let (least, most) = range(&name);
        if number.is_some_and(|number| !(least..=most).contains(&number)) {
            return Err(StyleError(format!("`{name}` must lie between {least} and {most}")));
        }
        table.insert(name, value);
    }
    table.try_into().map_err(|e: toml::de::Error| StyleError(e.message().to_owned()))
}

/// Between which numbers a value of a table may lie. What all else is measured by must not vanish: a staff
/// of no height makes endless pages.
fn range(name: &str) -> (f64, f64) {
    match name {
        // As the heights of a text's `staff-height:`.
        "staff_mm" => (3.0, 20.0),
        "smallest_pt" => (0.0, 100.0),
        "leading" => (0.5, 10.0),
        "sixteenth" | "doubling" | "tightest" | "loosest" | "grace_scale" => (0.1, 100.0),
        "sticking" | "count" | "words" | "tempo" | "bar_number" => (0.1, 100.0),
        _ if name.ends_with("_pt") => (1.0, 100.0),
        _ => (0.0, 100.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_of_the_program_can_be_read() {
        for look in [Look::Handout, Look::Stand, Look::Book, Look::Screen] {
            Style::built_in(look).unwrap();
        }
    }

    #[test]
    fn a_table_changes_what_it_names_and_nothing_else() {
        let handout = Style::built_in(Look::Handout).unwrap();
        let own = Style::from_table("stem = 4").unwrap();
        assert_eq!(own, Style { stem: 4.0, ..handout });
    }

    #[test]
    fn a_wrong_table_is_refused_by_name() {
        assert!(Style::from_table("stemm = 4").unwrap_err().0.contains("stemm"));
        assert!(Style::from_table("stem = -1").unwrap_err().0.contains("stem"));
        assert!(Style::from_table("stem = nan").is_err());
        for nothing in
            ["staff_mm = 0", "staff_mm = 1e-300", "prose_pt = 0", "leading = 0", "count = 0"]
        {
            assert!(
                Style::from_table(nothing).unwrap_err().0.contains("must lie between"),
                "{nothing}"
            );
        }
        assert!(Style::from_table("stem = \"long\"").is_err());
    }
}
