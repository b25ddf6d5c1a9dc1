//! Where notes and bars stand on the pages of a drawing.

use crate::drawing::{Drawing, Group, GroupKind, Node, Page};
use crate::font::Fonts;
use crate::score::Time;
use kurbo::Rect;
use std::collections::HashMap;

/// A place on a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct CuePlace {
    /// The page's index.
    pub(super) page: usize,
    /// The box of the ink, in points.
    pub(super) area: Rect,
}

/// Who plays: the block by the byte it starts at, and the name of one of several players.
type Who = (usize, Option<String>);

/// The places of all notes and bars. What is printed twice is where it is printed first.
#[derive(Debug, Default)]
pub(super) struct CuePlaces {
    notes: HashMap<(Who, usize, Time), CuePlace>,
    bars: HashMap<(Who, usize), CuePlace>,
}

/// A walk over a page.
struct Walk<'a> {
    places: &'a mut CuePlaces,
    fonts: &'a Fonts,
    page: usize,
    who: Option<Who>,
}

impl CuePlaces {
    pub(super) fn of(drawing: &Drawing, fonts: &Fonts) -> Self {
        let mut places = Self::default();
        for (page, own) in drawing.pages.iter().enumerate() {
            Walk { places: &mut places, fonts, page, who: None }.nodes(&Page::flat(own));
        }
        places
    }

    /// Where a note stands: in its block and for its player, in a bar from 1, at a beat from 1. That of its bar
    /// where it has none.
    pub(super) fn find(
        &self,
        (block, player): (usize, Option<&str>),
        bar: usize,
        beat: Time,
    ) -> Option<CuePlace> {
        // An only player may have a name and is drawn without one.
        let named = player.map(|player| (block, Some(player.to_owned())));
        let all = || named.iter().cloned().chain([(block, None)]);
        let note = all().find_map(|who| self.notes.get(&(who, bar, beat)));
        note.or_else(|| all().find_map(|who| self.bars.get(&(who, bar)))).copied()
    }
}

impl Walk<'_> {
    fn nodes(&mut self, nodes: &[Node]) {
        for node in nodes {
            if let Node::Group(group) = node {
                self.group(group);
            }
        }
    }

    fn group(&mut self, group: &Group) {
        let before = self.who.clone();
        match &group.kind {
            GroupKind::Block { at, .. } => self.who = Some((*at, None)),
            GroupKind::Player(name) => {
                if let Some(who) = &mut self.who {
                    who.1 = Some(name.clone());
                }
            }
            GroupKind::Bar { number } => {
                if let (Some(who), Some(place)) = (self.who.clone(), self.place(group)) {
                    self.places.bars.entry((who, *number)).or_insert(place);
                }
            }
            GroupKind::Note { bar, beat } => {
                if let (Some(who), Some(place)) = (self.who.clone(), self.place(group)) {
                    let both = self.places.notes.entry((who, *bar, *beat)).or_insert(place);
                    // Hands and feet at one time are two groups.
                    if both.page == place.page {
                        both.area = both.area.union(place.area);
                    }
                }
            }
            // Nobody whose strokes are told plays them.
            GroupKind::SmallNotes => return,
            GroupKind::Prose(_) | GroupKind::System => {}
        }
        self.nodes(&group.children);
        self.who = before;
    }

    fn place(&self, group: &Group) -> Option<CuePlace> {
        let inks = group.children.iter().filter_map(|child| child.bounds(self.fonts));
        let area = inks.reduce(|a, b| a.union(b))?;
        Some(CuePlace { page: self.page, area })
    }
}
