//! Phrases from bar to bar.

use super::codes;
use crate::score::mark::{OpenPhrase, PhraseStep};
use crate::score::{Bar, Time};
use crate::source::Diagnostics;

/// Tells each bar the phrase that goes on into it. The end of a phrase that no mark begins is a fault.
pub(crate) fn carry(bars: &mut [Bar], diagnostics: &mut Diagnostics) {
    let mut open: Option<OpenPhrase> = None;
    for bar in bars {
        let steps = bar.marks.iter().filter_map(|mark| Some((mark.at, mark.span, mark.phrase()?)));
        let mut steps: Vec<_> = steps.collect();
        steps.sort_by_key(|(at, ..)| *at);
        let changes = steps.first().is_some_and(|(at, ..)| *at == Time::ZERO);
        bar.phrase = open.filter(|_| !changes);
        for (_, span, step) in steps {
            match step {
                PhraseStep::Begins(phrase) => open = Some(phrase),
                PhraseStep::Ends if open.take().is_some() => {}
                PhraseStep::Ends => {
                    diagnostics
                        .error(span, "no phrase is open for this `end-phrase` to end")
                        .code(codes::PHRASE_END)
                        .mend("begin one with `phrase` or `phrase=1`, or take this out");
                }
            }
        }
    }
}
