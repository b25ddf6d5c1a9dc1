//! Where notes and bars stand on a line of music that is drawn on a frame.

use crate::drawing::{Group, GroupKind, Kind, Mark, Node};
use crate::font::Fonts;
use crate::score::Time;
use kurbo::Rect;
use std::collections::BTreeMap;

/// A note: who plays it, the number of its bar from 1, and its place in the bar in beats from 1.
pub(super) type NoteKey = (Option<String>, usize, Time);

/// A note where it is drawn.
#[derive(Clone, Debug, Default)]
pub(super) struct PlacedNote {
    /// Its marks: those of hands and feet together.
    pub(super) nodes: Vec<Node>,
    /// The box of its heads.
    pub(super) heads: Option<Rect>,
}

/// A bar where it is drawn: the box of its ink, and where the signs end that it opens with.
#[derive(Clone, Copy, Debug)]
pub(super) struct PlacedBar {
    pub(super) left: f64,
    pub(super) right: f64,
}

/// All of a line.
#[derive(Debug, Default)]
pub(super) struct Places {
    pub(super) notes: BTreeMap<NoteKey, PlacedNote>,
    /// The signs that stand for the notes of a bar, by who plays it and its number from 1.
    pub(super) signs: BTreeMap<(Option<String>, usize), PlacedNote>,
    pub(super) bars: BTreeMap<usize, PlacedBar>,
}

/// A walk over a line.
struct Walk<'a> {
    places: Places,
    fonts: &'a Fonts,
    player: Option<String>,
}

impl Places {
    /// Those of flat nodes.
    pub(super) fn of(nodes: &[Node], fonts: &Fonts) -> Self {
        let mut walk = Walk { places: Self::default(), fonts, player: None };
        walk.nodes(nodes);
        walk.places
    }

    /// The middle of the heads at a time of a bar, whoever plays them.
    pub(super) fn columns(&self, bar: usize) -> BTreeMap<Time, f64> {
        let mut columns: BTreeMap<Time, Rect> = BTreeMap::new();
        for ((_, own, beat), note) in &self.notes {
            let Some(heads) = note.heads.filter(|_| *own == bar) else { continue };
            let column = columns.entry(*beat).or_insert(heads);
            *column = column.union(heads);
        }
        columns.into_iter().map(|(beat, heads)| (beat, heads.center().x)).collect()
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
        match &group.kind {
            GroupKind::Player(name) => {
                let before = self.player.replace(name.clone());
                self.nodes(&group.children);
                self.player = before;
                return;
            }
            // What others play is no stroke of this player.
            GroupKind::SmallNotes => return,
            GroupKind::Bar { number } => {
                self.bar(*number, group);
                self.sign(*number, group);
            }
            GroupKind::Note { bar, beat } => self.note((*bar, *beat), group),
            GroupKind::Block { .. } | GroupKind::Prose(_) | GroupKind::System => {}
        }
        self.nodes(&group.children);
    }

    fn bar(&mut self, number: usize, group: &Group) {
        let inks = group.children.iter().filter_map(|child| child.bounds(self.fonts));
        let Some(ink) = inks.reduce(|a, b| a.union(b)) else { return };
        let opens = |mark: &Mark| matches!(mark.kind, Kind::TimeSignature | Kind::Clef);
        let signs = marks(&group.children).into_iter().filter(|mark| opens(mark));
        let left = signs.map(|mark| mark.shape.bounds(self.fonts).x1).fold(ink.x0, f64::max);
        let bar = self.places.bars.entry(number).or_insert(PlacedBar { left, right: ink.x1 });
        bar.left = bar.left.min(left);
        bar.right = bar.right.max(ink.x1);
    }

    fn sign(&mut self, number: usize, group: &Group) {
        let is_sign =
            |node: &&Node| matches!(node, Node::Mark(mark) if mark.kind == Kind::BarRepeat);
        let nodes: Vec<Node> = group.children.iter().filter(is_sign).cloned().collect();
        let boxes = nodes.iter().filter_map(|node| node.bounds(self.fonts));
        let heads = boxes.reduce(|a, b| a.union(b));
        if heads.is_some() {
            self.places.signs.insert((self.player.clone(), number), PlacedNote { nodes, heads });
        }
    }

    fn note(&mut self, (bar, beat): (usize, Time), group: &Group) {
        let heads = marks(&group.children).into_iter().filter(|mark| mark.kind == Kind::Notehead);
        let boxes = heads.map(|mark| mark.shape.bounds(self.fonts));
        let heads = boxes.reduce(|a, b| a.union(b));
        let note = self.places.notes.entry((self.player.clone(), bar, beat)).or_default();
        note.heads = match (note.heads, heads) {
            (Some(a), Some(b)) => Some(a.union(b)),
            (a, b) => a.or(b),
        };
        if heads.is_some() {
            note.nodes.extend(group.children.iter().cloned());
        }
    }
}

/// All marks of flat nodes.
pub(super) fn marks(nodes: &[Node]) -> Vec<&Mark> {
    let mut all = Vec::new();
    for node in nodes {
        match node {
            Node::Mark(mark) => all.push(mark),
            Node::Group(group) => all.extend(marks(&group.children)),
            Node::Inset(inset) => all.extend(marks(inset.marks.nodes())),
        }
    }
    all
}
