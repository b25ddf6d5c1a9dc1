//! What was made of a text, and what serves to make it again.

use super::error::Superseded;
use crate::derive::{self, Budget, CanPlay, MakingMemo};
use crate::engrave::Style;
use crate::font::{self, Fonts};
use crate::interpret::{self, ReadingMemo};
use crate::pages::{self, Layout, PagesMemo};
use crate::parallel::Stop;
use crate::perform::{self, PlayableMemo};
use crate::score::Score;
use crate::score::settings::Look;
use crate::source::{Diagnostics, Source, Span};
use crate::syntax::tree::Document;
use std::sync::Arc;

/// What was made of a text that has no errors.
#[derive(Debug, Default)]
pub(super) struct Typeset {
    pub(super) score: Arc<Score>,
    pub(super) layout: Layout,
}

/// A text as it is read: as it stands, or in an edition.
#[derive(Clone, Copy)]
pub(super) struct Wanted<'a> {
    pub(super) source: &'a Source,
    pub(super) document: &'a Document,
    pub(super) edition: Option<&'a str>,
}

impl Typeset {
    /// The pages that look otherwise than they did, by index; those past the last are gone.
    pub(super) fn changed_from(&self, old: Option<&Self>) -> Vec<usize> {
        let own = self.layout.pages();
        let Some(old) = old else { return (0..own).collect() };
        let header = &self.score.header;
        self.layout.changed_from(&old.layout, header, old.score.header != *header)
    }
}

/// What each stage made before.
#[derive(Debug)]
pub(super) struct Memos {
    reading: ReadingMemo,
    making: MakingMemo,
    playable: PlayableMemo,
    pages: PagesMemo,
    style: Option<(Look, Style)>,
    /// How many times as much may be made as of any text of its length.
    pub(super) limit: u32,
}

impl Memos {
    /// Some that keep what is made; `limit` times as much may be made as of any text of its length.
    pub(super) fn keeping(limit: u32) -> Self {
        Self {
            reading: ReadingMemo::keeping(),
            making: MakingMemo::keeping(),
            playable: PlayableMemo::keeping(),
            pages: PagesMemo::keeping(),
            style: None,
            limit,
        }
    }

    /// Makes of a text what it comes to: what it means as far as it can be understood, and pages where it has
    /// no errors.
    pub(super) fn typeset(
        &mut self,
        Wanted { source, document, edition }: Wanted<'_>,
        fonts: &Fonts,
        stop: Stop<'_>,
        diagnostics: &mut Diagnostics,
    ) -> Result<(Arc<Score>, Option<Layout>), Superseded> {
        let memo = &mut self.reading;
        let reading = match edition {
            None => interpret::read_again(document, memo, stop, diagnostics),
            Some(name) => interpret::read_edition_again(document, name, (memo, stop), diagnostics),
        };
        let reading = reading.ok_or(Superseded)?;
        let budget = Budget::of(source).times(self.limit);
        let with: (CanPlay<'_>, Budget) = (&perform::can_play, budget);
        let score = Arc::new(derive::complete_again(reading, with, &mut self.making, diagnostics));
        perform::check_again(source, &score, &mut self.playable, stop, diagnostics)
            .ok_or(Superseded)?;
        self.reading.end_turn();
        self.making.end_turn();
        self.playable.end_turn();
        interpret::drop_followers_of_missing_files(diagnostics);
        if diagnostics.has_errors() {
            return Ok((score, None));
        }
        font::missing::warn(source, &fonts.text, diagnostics);
        let Some(style) = self.style(score.header.look, diagnostics) else {
            return Ok((score, None));
        };
        let memo = (&mut self.pages, stop);
        let layout = pages::lay_out(fonts, &style, source, &score, memo, diagnostics);
        let layout = layout.ok_or(Superseded)?;
        self.pages.end_turn();
        // Pictures are read only here.
        Ok((score, Some(layout).filter(|_| !diagnostics.has_errors())))
    }

    fn style(&mut self, look: Look, diagnostics: &mut Diagnostics) -> Option<Style> {
        if let Some((known, style)) = &self.style
            && *known == look
        {
            return Some(style.clone());
        }
        match Style::built_in(look) {
            Ok(style) => {
                self.style = Some((look, style.clone()));
                Some(style)
            }
            Err(error) => {
                diagnostics.error(Span::default(), error.to_string());
                None
            }
        }
    }
}
