//! The one place for the engraver's own numbers. Line weights come from the font.
//!
//! Lengths are staff spaces unless said otherwise. Sources are named where a number has one; all
//! from memory.

/// The numbers a page is engraved with.
#[derive(Clone, Debug, PartialEq)]
pub struct Style {
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
    /// From the time signature to the first note.
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

    /// Size of sticking letters, in points.
    pub sticking_pt: f64,
    /// Size of counts, in points.
    pub count_pt: f64,
    /// Size of free words, in points.
    pub words_pt: f64,
    /// Size of tempo words, in points.
    pub tempo_pt: f64,
    /// Size of bar numbers, in points.
    pub bar_number_pt: f64,
}

impl Default for Style {
    fn default() -> Self {
        Self {
            stem: 3.5,
            stem_shortening: 0.25,
            stem_min: 2.5,
            stem_per_extra_beam: 0.75,
            stem_under_beam: 1.6,
            stroke_pitch: 0.75,
            beam_rise_max: 1.0,
            beam_slope_max: 0.18,
            beamlet: 1.0,
            sixteenth: 2.75,
            doubling: 1.4,
            column_gap: 0.3,
            word_gap: 0.45,
            after_barline: 1.2,
            before_barline: 0.8,
            before_clef: 0.6,
            after_clef: 1.0,
            after_time: 1.4,
            tightest: 0.72,
            loosest: 1.9,
            grace_scale: 0.65,
            grace_stem: 2.4,
            grace_pitch: 1.1,
            grace_gap: 0.35,
            dot_gap: 0.35,
            bracket_gap: 0.12,
            stack_gap: 0.35,
            row_gap: 1.0,
            between_rows: 0.7,
            sticking_pt: 9.5,
            count_pt: 9.0,
            words_pt: 9.0,
            tempo_pt: 10.0,
            bar_number_pt: 7.5,
        }
    }
}
