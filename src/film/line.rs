//! A line of music where it is drawn: on a frame, or on a page.

use super::places::{PlacedBar, Places};
use crate::drawing::{Group, GroupKind, Node};
use crate::font::Fonts;
use crate::score::Time;
use std::collections::{BTreeMap, HashMap};

/// Where notes and bars stand on a line of music, in the space it is drawn in.
#[derive(Clone, Debug)]
pub struct Line {
    /// The index of its first bar.
    pub first: usize,
    /// The top and the bottom of its ink.
    pub music: (f64, f64),
    columns: HashMap<usize, BTreeMap<Time, f64>>,
    bars: BTreeMap<usize, PlacedBar>,
}

impl Line {
    /// The line of flat nodes whose places are known; nothing where they have no ink.
    pub(super) fn of(first: usize, places: &Places, nodes: &[Node], fonts: &Fonts) -> Option<Self> {
        let inks = nodes.iter().filter_map(|node| node.bounds(fonts));
        let ink = inks.reduce(|a, b| a.union(b))?;
        let columns = places.bars.keys().map(|bar| (*bar, places.columns(*bar))).collect();
        Some(Self { first, music: (ink.y0, ink.y1), columns, bars: places.bars.clone() })
    }

    /// The lines of flat nodes, in order: those of a block, or of all that is drawn.
    #[must_use]
    pub fn all(nodes: &[Node], fonts: &Fonts) -> Vec<Self> {
        let mut systems = Vec::new();
        add_systems(nodes, &mut systems);
        let line = |group: &&Group| {
            let places = Places::of(&group.children, fonts);
            let first = places.bars.keys().next()?.checked_sub(1)?;
            Self::of(first, &places, &group.children, fonts)
        };
        systems.iter().filter_map(line).collect()
    }

    /// The x of notes in a bar of a number from 1, by their beats.
    pub(super) fn columns(&self, bar: usize) -> impl Iterator<Item = (Time, f64)> {
        self.columns.get(&bar).into_iter().flatten().map(|(beat, x)| (*beat, *x))
    }

    /// Where a bar of a number from 1 begins and ends; nothing where it is a part of a sign for several.
    pub(super) fn bar(&self, number: usize) -> Option<PlacedBar> {
        self.bars.get(&number).copied()
    }
}

fn add_systems<'a>(nodes: &'a [Node], systems: &mut Vec<&'a Group>) {
    for node in nodes {
        match node {
            Node::Group(group) if group.kind == GroupKind::System => systems.push(group),
            Node::Group(group) => add_systems(&group.children, systems),
            Node::Mark(_) | Node::Inset(_) => {}
        }
    }
}

/// The line a bar stands on, by the indexes of both, among lines in order.
pub(super) fn line_of(lines: &[&Line], bar: usize) -> usize {
    lines.partition_point(|line| line.first <= bar).saturating_sub(1)
}
