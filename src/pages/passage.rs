//! Rows of words on their way to becoming prose: where they stand, and what they are said as.

use super::flat_text::{FlatText, Lead};
use super::piece::{AddressArea, LinkArea, PageNumber, Piece};
use super::prose;
use super::prose::ProseLine;
use super::setter::Setter;
use crate::drawing::prose::{BodyProse, Role, Step};
use crate::drawing::{Group, GroupKind, Kind, Mark, Node, Prose, Shape};
use crate::font::FaceStyle;
use kurbo::{Point, Rect};

/// The gap from a sign to what it stands before, in ems, and the thickness of lines, in points (common
/// practice, no source).
pub(super) const AFTER_SIGN: f64 = 0.5;
const LINE: f64 = 0.5;

/// Where words are set.
#[derive(Clone, Debug)]
pub(super) struct Inside {
    /// What they stand in, from the outside.
    pub(super) steps: Vec<Step>,
    /// Their size.
    pub(super) size: f64,
    /// Their left end, and how wide they may be.
    pub(super) left: f64,
    pub(super) width: f64,
    /// The room over the first of them.
    pub(super) before: f64,
    /// The room between blocks.
    pub(super) gap: f64,
    /// How many lists they stand in.
    pub(super) lists: usize,
}

/// Prose as it is set.
pub(super) struct Passage<'a> {
    pub(super) setter: &'a Setter<'a>,
    item: usize,
    /// The byte of the source from which its places count.
    pub(super) at: usize,
    pub(super) pieces: Vec<Piece>,
}

impl Inside {
    /// Inside one more thing.
    pub(super) fn step(&self, role: Role, nth: usize) -> Self {
        let mut inside = self.clone();
        inside.steps.push(Step { role, nth });
        inside
    }

    /// The same, indented on the left and on the right; some width is always left.
    pub(super) fn indented(mut self, left: f64, right: f64) -> Self {
        self.left += left;
        self.width = (self.width - left - right).max(self.size);
        self
    }

    pub(super) fn with_before(mut self, before: f64) -> Self {
        self.before = before;
        self
    }
}

impl<'a> Passage<'a> {
    /// Prose of the item of an index, of which nothing is set yet.
    pub(super) fn new(setter: &'a Setter<'a>, item: usize, at: usize) -> Self {
        Self { setter, item, at, pieces: Vec::new() }
    }

    pub(super) fn lines(&self, flat: &FlatText, inside: &Inside) -> Vec<ProseLine> {
        prose::set(self.setter.fonts, flat, inside.size, inside.width, Kind::Text)
    }

    /// Adds lines of words under each other.
    pub(super) fn rows(&mut self, lines: &[ProseLine], inside: &Inside) {
        let empty = lines.iter().map(|_| Vec::new()).collect();
        let mut rows = self.setter.rows(empty, inside.left, inside.size, inside.before);
        for (row, line) in rows.iter_mut().zip(lines) {
            self.put(row, line, (inside.left, 0.0), inside);
        }
        self.pieces.extend(rows);
    }

    /// Puts the words of a line into a row, from a left end on; so much of what page numbers leave free goes before
    /// them.
    pub(super) fn put(
        &self,
        row: &mut Piece,
        line: &ProseLine,
        (left, indent): (f64, f64),
        inside: &Inside,
    ) {
        let baseline = self.setter.ascent(inside.size);
        let mut nodes = row.nodes.to_vec();
        let of_line = nodes.len()..nodes.len() + line.parts.len();
        for part in &line.parts {
            let moved = part.marks.iter().map(|mark| {
                let shape = mark.shape.clone().scaled_and_moved(1.0, left, baseline);
                Node::Mark(Mark { shape, ..mark.clone() })
            });
            let role = part.lead.as_ref().map(|(nth, lead)| match lead {
                Lead::Item(_) | Lead::Address(_) => (Role::Link, *nth),
                Lead::NoteMark => (Role::NoteMark, *nth),
            });
            let said = match role {
                Some((role, nth)) => self.said(&inside.step(role, nth).steps),
                None => self.said(&inside.steps),
            };
            let area = Rect::new(left + part.x0, 0.0, left + part.x1, row.height);
            match &part.lead {
                Some((_, Lead::Item(to))) => {
                    let number = part
                        .number
                        .clone()
                        .map(|own| Box::new(PageNumber { own, line: of_line.clone(), indent }));
                    let (to, said, node) = (*to, Some(said.clone()), nodes.len());
                    row.links.push(LinkArea { area, to, said, node, number });
                }
                Some((_, Lead::Address(address))) => {
                    let (address, said) = (address.clone(), Some(said.clone()));
                    row.addresses.push(AddressArea { area, address, said, node: nodes.len() });
                }
                Some((_, Lead::NoteMark)) | None => {}
            }
            nodes.push(group(said, moved.collect()));
        }
        row.nodes = nodes.into();
    }

    pub(super) fn said(&self, steps: &[Step]) -> Prose {
        Prose::Body(BodyProse { item: self.item, steps: steps.into() })
    }

    /// Sets something with a sign on the left of its first line.
    pub(super) fn labelled(
        &mut self,
        sign: &str,
        label: &Inside,
        body: &Inside,
        set: impl FnOnce(&mut Self),
    ) {
        let first = self.pieces.len();
        set(self);
        if self.pieces.len() == first {
            self.rows(&[ProseLine::default()], body);
        }
        let run = self.setter.fonts.text.shape(sign, FaceStyle::Regular);
        let x = body.left - (AFTER_SIGN + run.width) * body.size;
        let at = Point::new(x, self.setter.ascent(body.size));
        let mark = Mark::new(Kind::Text, Shape::Text { run, at, size: body.size });
        let sign = group(self.said(&label.steps), vec![Node::Mark(mark)]);
        if let Some(piece) = self.pieces.get_mut(first) {
            piece.put_first(sign);
        }
    }

    /// A thin line from a left end, for the eye alone.
    pub(super) fn line(&self, left: f64, width: f64, before: f64) -> Piece {
        let shape = Shape::Box(Rect::new(left, 0.0, left + width, LINE));
        let mark = Node::Mark(Mark::new(Kind::Rule, shape));
        Piece {
            nodes: [group(Prose::Decoration, vec![mark])].into(),
            height: LINE,
            before,
            begins: true,
            ..Piece::default()
        }
    }
}

/// Marks that are said as one.
pub(super) fn group(said: Prose, children: Vec<Node>) -> Node {
    Group { kind: GroupKind::Prose(said), place: None, children }.into()
}
