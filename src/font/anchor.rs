//! Named points of music glyphs.

/// Named points of a glyph (SMuFL 1.4, "glyphsWithAnchors").
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each variant is the SMuFL anchor of the same name")]
pub enum Anchor {
    StemUpSE,
    StemDownNW,
    StemUpNW,
    StemDownSW,
    CutOutNE,
    CutOutSE,
    CutOutSW,
    CutOutNW,
    GraceNoteSlashSW,
    GraceNoteSlashNE,
    GraceNoteSlashNW,
    GraceNoteSlashSE,
    RepeatOffset,
    OpticalCenter,
    NoteheadOrigin,
}

impl Anchor {
    /// Every anchor the engraver may ask for.
    pub const ALL: [Self; 15] = [
        Self::StemUpSE,
        Self::StemDownNW,
        Self::StemUpNW,
        Self::StemDownSW,
        Self::CutOutNE,
        Self::CutOutSE,
        Self::CutOutSW,
        Self::CutOutNW,
        Self::GraceNoteSlashSW,
        Self::GraceNoteSlashNE,
        Self::GraceNoteSlashNW,
        Self::GraceNoteSlashSE,
        Self::RepeatOffset,
        Self::OpticalCenter,
        Self::NoteheadOrigin,
    ];

    /// The SMuFL name.
    pub fn name(self) -> &'static str {
        match self {
            Self::StemUpSE => "stemUpSE",
            Self::StemDownNW => "stemDownNW",
            Self::StemUpNW => "stemUpNW",
            Self::StemDownSW => "stemDownSW",
            Self::CutOutNE => "cutOutNE",
            Self::CutOutSE => "cutOutSE",
            Self::CutOutSW => "cutOutSW",
            Self::CutOutNW => "cutOutNW",
            Self::GraceNoteSlashSW => "graceNoteSlashSW",
            Self::GraceNoteSlashNE => "graceNoteSlashNE",
            Self::GraceNoteSlashNW => "graceNoteSlashNW",
            Self::GraceNoteSlashSE => "graceNoteSlashSE",
            Self::RepeatOffset => "repeatOffset",
            Self::OpticalCenter => "opticalCenter",
            Self::NoteheadOrigin => "noteheadOrigin",
        }
    }
}
