//! Dynamics: how loud, and where it changes.

use super::{Span, Time};

/// A dynamic or the start of a hairpin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dynamic {
    /// When.
    pub at: Time,
    /// Which.
    pub kind: DynamicKind,
    /// Where it is written.
    pub span: Span,
}

/// Dynamics.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DynamicKind {
    /// Letters, as `mf`.
    Letters(Letters),
    /// Louder and louder, up to the next dynamic or `!`.
    Louder(GradualSign),
    /// Softer and softer.
    Softer(GradualSign),
    /// The end of a gradual change where no dynamic follows (`!`).
    End,
}

/// How a gradual change of loudness is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GradualSign {
    /// As a hairpin.
    Hairpin,
    /// As words with dashes after them.
    Words,
}

/// How loud a note is, from silence to the loudest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "each variant is the plain name of its letters")]
pub enum Level {
    Niente,
    Pppp,
    Ppp,
    Pp,
    P,
    Mp,
    Mf,
    F,
    Ff,
    Fff,
    Ffff,
}

/// Letters of a dynamic: one of those the trade uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Letters {
    text: &'static str,
    struck: Level,
    then: Option<Level>,
}

/// Every dynamic, how loud its own note is, and how loud what follows: nothing where the loudness
/// stays as it was before. Common practice, no source.
const DYNAMICS: [(&str, Level, Option<Level>); 29] = {
    use Level::{F, Ff, Fff, Ffff, Mf, Mp, Niente, P, Pp, Ppp, Pppp};
    [
        ("pppp", Pppp, Some(Pppp)),
        ("ppp", Ppp, Some(Ppp)),
        ("pp", Pp, Some(Pp)),
        ("p", P, Some(P)),
        ("mp", Mp, Some(Mp)),
        ("mf", Mf, Some(Mf)),
        ("f", F, Some(F)),
        ("ff", Ff, Some(Ff)),
        ("fff", Fff, Some(Fff)),
        ("ffff", Ffff, Some(Ffff)),
        ("fp", F, Some(P)),
        ("ffp", Ff, Some(P)),
        ("pf", P, Some(F)),
        ("sf", F, None),
        ("sff", Ff, None),
        ("sfz", F, None),
        ("sffz", Ff, None),
        ("fz", F, None),
        ("ffz", Ff, None),
        ("sfp", F, Some(P)),
        ("sfpp", F, Some(Pp)),
        ("sfzp", F, Some(P)),
        ("rf", F, None),
        ("rfz", F, None),
        ("n", Niente, Some(Niente)),
        ("sfmp", F, Some(Mp)),
        ("sfmf", F, Some(Mf)),
        ("mfp", Mf, Some(P)),
        ("fpp", F, Some(Pp)),
    ]
};

impl Letters {
    /// The dynamic of some letters, lower case; nothing where the trade has none.
    #[must_use]
    pub fn read(letters: &str) -> Option<Self> {
        let found = DYNAMICS.iter().find(|(text, ..)| *text == letters);
        found.map(|(text, struck, then)| Self { text, struck: *struck, then: *then })
    }

    /// The letters of every dynamic.
    pub fn all() -> impl Iterator<Item = &'static str> {
        DYNAMICS.iter().map(|(text, ..)| *text)
    }

    /// As they are printed.
    #[must_use]
    pub fn text(self) -> &'static str {
        self.text
    }

    /// How loud the note under them is struck.
    #[must_use]
    pub fn struck(self) -> Level {
        self.struck
    }

    /// How loud what follows is; nothing where it is as loud as what was before.
    #[must_use]
    pub fn then(self) -> Option<Level> {
        self.then
    }
}
