//! Two pages side by side on each side of a sheet, so that the sheets, printed on both sides, laid on
//! each other and folded, are a booklet (saddle stitch; common practice, no source).

use crate::drawing::{Drawing, Node, Page};

/// The drawing imposed as a booklet. Sides come in printing order, front and back in turn, and turn
/// over on their short edge.
pub fn impose(drawing: &Drawing) -> Drawing {
    let sides = order(drawing.pages.len())
        .into_iter()
        .enumerate()
        .map(|(number, pair)| side(drawing, number, pair))
        .collect();
    Drawing {
        title: drawing.title.clone(),
        author: drawing.author.clone(),
        language: drawing.language.clone(),
        imposed: true,
        pages: sides,
        ..Drawing::default()
    }
}

/// The left and the right page of each side, by index; those past the last are blank.
fn order(pages: usize) -> Vec<(usize, usize)> {
    let whole = pages.next_multiple_of(4);
    let pair = |side: usize| {
        let (outer, inner) = (whole - 1 - side, side);
        if side.is_multiple_of(2) { (outer, inner) } else { (inner, outer) }
    };
    (0..whole / 2).map(pair).collect()
}

fn side(drawing: &Drawing, number: usize, (left, right): (usize, usize)) -> Page {
    let size = drawing.pages.first().map_or((0.0, 0.0), |page| (page.width, page.height));
    let mut nodes: Vec<Node> = Vec::new();
    for (index, x) in [(left, 0.0), (right, size.0)] {
        let page = drawing.pages.get(index);
        nodes.extend(page.iter().flat_map(|p| &p.nodes).map(|n| n.clone().transform(1.0, x, 0.0)));
    }
    let lines = drawing.pages.first().map(|page| page.lines.clone()).unwrap_or_default();
    let name = format!("Side {}", number + 1);
    let colours = drawing.pages.first().map(|page| page.colours).unwrap_or_default();
    Page { width: size.0 * 2.0, height: size.1, name, colours, nodes, lines }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn eight_pages_fold_into_order() {
        assert_eq!(order(8), [(7, 0), (1, 6), (5, 2), (3, 4)]);
        assert_eq!(order(3), [(3, 0), (1, 2)]);
        assert_eq!(order(0), []);
    }

    #[test]
    fn every_page_is_there_once() {
        for pages in 1..40 {
            let mut all: Vec<usize> = order(pages).into_iter().flat_map(|(l, r)| [l, r]).collect();
            all.sort_unstable();
            assert_eq!(all, (0..pages.next_multiple_of(4)).collect::<Vec<_>>());
            // The two pages of a fold follow each other around the sheet: odd ones lie right.
            assert!(order(pages).iter().all(|(l, r)| l % 2 == 1 && r % 2 == 0));
        }
    }
}
