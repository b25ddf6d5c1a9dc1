//! Page numbers among words: zeros have their place until it is known on which pages things stand.

use super::piece::{AddressArea, LinkArea, PageNumber, Piece};
use super::reference::ReferenceTarget;
use crate::drawing::{Mark, Node, Shape};
use crate::font::Fonts;
use std::borrow::Cow;
use std::ops::Range;

/// The words of a piece with the numbers of pages printed.
pub struct Numbered<'p> {
    /// Its nodes.
    pub nodes: Cow<'p, [Node]>,
    /// Its words that lead to items.
    pub links: Cow<'p, [LinkArea]>,
    /// Its words that lead to addresses.
    pub addresses: Cow<'p, [AddressArea]>,
}

impl Piece {
    /// Where the pages are that its words name.
    pub fn named_pages(&self) -> impl Iterator<Item = ReferenceTarget> {
        self.links.iter().filter(|link| link.number.is_some()).map(|link| link.to)
    }

    /// Its words with page numbers: `label` says what is printed on the page of a place. What has none keeps its
    /// zeros.
    pub fn numbered(
        &self,
        fonts: &Fonts,
        label: impl Fn(ReferenceTarget) -> Option<String>,
    ) -> Numbered<'_> {
        let mut numbered = Numbered {
            nodes: Cow::Borrowed(&self.nodes),
            links: Cow::Borrowed(&self.links),
            addresses: Cow::Borrowed(&self.addresses),
        };
        for link in &self.links {
            if let Some(number) = &link.number
                && let Some(label) = label(link.to)
            {
                numbered.print(fonts, (link.node, number), &label);
            }
        }
        numbered
    }
}

impl Numbered<'_> {
    fn print(&mut self, fonts: &Fonts, (node, number): (usize, &PageNumber), label: &str) {
        let Some(Node::Group(group)) = self.nodes.to_mut().get_mut(node) else { return };
        let text = group.children.get_mut(number.own.mark);
        let Some(Node::Mark(Mark { shape: Shape::Text { run, size, .. }, .. })) = text else {
            return;
        };
        let Range { start, end } = number.own.figures;
        let figures = label.get(start.min(label.len())..end.min(label.len())).unwrap_or(label);
        let printed = fonts.text.shape(figures, run.style);
        let freed = (run.width - printed.width) * *size;
        *run = printed;
        if freed != 0.0 {
            self.close_up((node, number), freed);
        }
    }

    /// Closes the line of a number that leaves so many points free.
    fn close_up(&mut self, (node, number): (usize, &PageNumber), freed: f64) {
        let (before, after) = (freed * number.indent, freed * (number.indent - 1.0));
        let moved = |node: &mut Node, x: f64| *node = node.clone().transform(1.0, x, 0.0);
        let nodes = self.nodes.to_mut();
        for nth in number.line.clone() {
            match nodes.get_mut(nth) {
                Some(Node::Group(group)) if nth == node => {
                    for (mark, own) in group.children.iter_mut().enumerate() {
                        moved(own, if mark <= number.own.mark { before } else { after });
                    }
                }
                Some(other) => moved(other, if nth < node { before } else { after }),
                None => {}
            }
        }
        let links = self.links.to_mut().iter_mut().map(|link| (link.node, &mut link.area));
        let addresses = self.addresses.to_mut().iter_mut();
        let addresses = addresses.map(|address| (address.node, &mut address.area));
        for (nth, area) in links.chain(addresses).filter(|(nth, _)| number.line.contains(nth)) {
            area.x0 += if nth <= node { before } else { after };
            area.x1 += if nth < node { before } else { after };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::item_ids::ItemIds;
    use super::super::passage::group;
    use super::super::prose::LineNumber;
    use super::*;
    use crate::drawing::{Kind, Prose};
    use crate::font::FaceStyle;
    use kurbo::{Point, Rect};

    /// A piece of these nodes of words, each from 100 points after the one before; in the second, the second word is
    /// the number. All lead somewhere.
    fn piece(fonts: &Fonts, words: &[&[&str]], indent: f64) -> Piece {
        let to = ReferenceTarget::start_of(ItemIds::default().id(0));
        let mut piece = Piece::default();
        let mut nodes = Vec::new();
        for (node, words) in words.iter().enumerate() {
            let left = 100.0 * node as f64;
            let mut x = left;
            let mark = |word: &&str| {
                let run = fonts.text.shape(word, FaceStyle::Regular);
                let at = Point::new(x, 0.0);
                x += run.width * 10.0;
                Node::Mark(Mark::new(Kind::Text, Shape::Text { run, at, size: 10.0 }))
            };
            nodes.push(group(Prose::Decoration, words.iter().map(mark).collect()));
            let own = LineNumber { mark: 1, figures: 0..usize::MAX };
            let number = PageNumber { own, line: 0..words.len(), indent };
            let number = (node == 1).then(|| Box::new(number));
            let area = Rect::new(left, 0.0, x, 10.0);
            piece.links.push(LinkArea { area, to, said: None, node, number });
        }
        piece.nodes = nodes.into();
        piece
    }

    fn words(nodes: &[Node]) -> Vec<(String, f64)> {
        let mut found = Vec::new();
        for node in nodes {
            let Node::Group(group) = node else { continue };
            for child in &group.children {
                if let Node::Mark(Mark { shape: Shape::Text { run, at, .. }, .. }) = child {
                    found.push((run.text.clone(), at.x));
                }
            }
        }
        found
    }

    #[test]
    fn a_line_closes_up_behind_a_number_or_before_it() {
        let fonts = Fonts::built_in().expect("fonts");
        let figure = 10.0 * fonts.text.shape("0", FaceStyle::Regular).width;
        let text: [&[&str]; 3] = [&["see"], &["page ", "000", " f."], &["and"]];
        for (label, less) in [("345", 0.0), ("45", figure), ("5", 2.0 * figure)] {
            for indent in [0.0, 0.5, 1.0] {
                let piece = piece(&fonts, &text, indent);
                let numbered = piece.numbered(&fonts, |_| Some(label.to_owned()));
                let (before, after) = (less * indent, less * (indent - 1.0));
                let by = [before, before, before, after, after];
                let wanted = words(&piece.nodes).into_iter().zip(by).map(|((word, x), by)| {
                    (if word == "000" { label.to_owned() } else { word }, x + by)
                });
                for (own, (word, x)) in words(&numbered.nodes).into_iter().zip(wanted) {
                    assert_eq!(own.0, word);
                    assert!((own.1 - x).abs() < 1e-9, "{word} of {label} at {}, not {x}", own.1);
                }
                let by = [(before, before), (before, after), (after, after)];
                for ((own, old), by) in numbered.links.iter().zip(&piece.links).zip(by) {
                    assert!((own.area.x0 - old.area.x0 - by.0).abs() < 1e-9);
                    assert!((own.area.x1 - old.area.x1 - by.1).abs() < 1e-9);
                }
            }
        }
    }

    #[test]
    fn a_place_without_a_page_keeps_its_zeros() {
        let fonts = Fonts::built_in().expect("fonts");
        let piece = piece(&fonts, &[&["see"], &["page ", "00"]], 0.0);
        let numbered = piece.numbered(&fonts, |_| None);
        assert_eq!(words(&numbered.nodes), words(&piece.nodes));
        assert!(matches!(numbered.nodes, Cow::Borrowed(_)));
    }
}
