//! What a bar asks of the line that begins with it, and of the line before.

use crate::engrave::notate::shown::Shown;
use crate::score::mark::LayoutMark;
use crate::score::{Bar, Closing, MarkKind};

/// What matters where a line begins with a bar.
#[derive(Clone, Copy, Debug, Default)]
pub struct LineStart {
    /// Whether one may.
    pub line_break: LineBreak,
    /// Its first note is tied from the bar before.
    pub tied_in: bool,
    /// Room before the staff for the names of players.
    pub names: f64,
    /// Room at the end of the line before for a time signature that warns of the bar's own.
    pub warning: f64,
}

/// Whether a line may begin with a bar.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LineBreak {
    /// Where it suits.
    #[default]
    Free,
    /// The text says it is a good place, or the music does: a section letter, a repeat that ends.
    Good,
    /// The text asks for it.
    Asked,
    /// A sign that stands for several bars goes on.
    Never,
}

/// Whether a line may begin with a bar: as the text wishes; else section letters, and what follows
/// a double barline or the end of a repeat, are good places.
pub fn wish(bar: &Bar, before: Option<&Bar>, shown: Shown) -> LineBreak {
    let has = |bar: &Bar, kind: &MarkKind| bar.marks.iter().any(|mark| mark.kind == *kind);
    let asked = |asked| has(bar, &MarkKind::Layout(LayoutMark::NewLine { asked }));
    let turned = before.is_some_and(|before| has(before, &MarkKind::Layout(LayoutMark::Turn)));
    if shown.goes_on() {
        LineBreak::Never
    } else if asked(true) || has(bar, &MarkKind::Layout(LayoutMark::NewPage)) {
        LineBreak::Asked
    } else if asked(false)
        || turned
        || bar.begins_section()
        || bar.repeat_start
        || before.is_some_and(|before| before.closing != Closing::Single)
    {
        LineBreak::Good
    } else {
        LineBreak::Free
    }
}
