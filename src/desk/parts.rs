//! A page's SVG in parts, and which of them are others after an edit.
//!
//! A browser takes longer to read a page and to place its thousand signs than all that happens before. What an
//! edit changes is mostly one block and, where a sign is new on the page, its outline; so these alone are sent,
//! and take the place of others in the document.

use serde::Serialize;

/// What holds parts of a page: the outlines of its signs, and what stands on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Within {
    /// Outlines, by which signs are drawn.
    Defs,
    /// Blocks, lines of prose and what else stands on the page.
    Page,
}

/// Parts in place of others.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Replaced {
    /// What holds them.
    pub within: Within,
    /// How many stand before.
    pub at: usize,
    /// How many go.
    pub gone: usize,
    /// What comes: elements, each with the line end after it.
    pub put: String,
}

/// How deep the elements lie that are parts.
const PART: usize = 2;

/// The parts of a page's SVG.
#[derive(Debug, Default, PartialEq, Eq)]
struct Parts<'a> {
    /// What is neither the one nor the other.
    around: Vec<&'a str>,
    defs: Vec<&'a str>,
    page: Vec<&'a str>,
}

/// What makes one SVG of another, which has all else in common with it; nothing where they are too unlike.
pub(super) fn replaced(before: &str, after: &str) -> Option<Vec<Replaced>> {
    let (before, after) = (Parts::of(before)?, Parts::of(after)?);
    if before.around != after.around {
        return None;
    }
    // Later ones first, so that those before stand where they stood; outlines before what is drawn by them.
    let mut found = runs(Within::Defs, &before.defs, &after.defs);
    found.extend(runs(Within::Page, &before.page, &after.page));
    Some(found)
}

/// Where two rows of parts differ, from the last to the first.
fn runs(within: Within, before: &[&str], after: &[&str]) -> Vec<Replaced> {
    if before.len() != after.len() {
        return one_run(within, before, after).into_iter().collect();
    }
    let mut found = Vec::new();
    let mut end = before.len();
    while let Some(last) = (0..end).rev().find(|nth| before.get(*nth) != after.get(*nth)) {
        let same = (0..last).rev().find(|nth| before.get(*nth) == after.get(*nth));
        let at = same.map_or(0, |nth| nth + 1);
        let put = after.get(at..=last).unwrap_or_default().concat();
        found.push(Replaced { within, at, gone: last + 1 - at, put });
        end = at;
    }
    found
}

/// The same where one has more of them: all between what they begin and what they end with.
fn one_run(within: Within, before: &[&str], after: &[&str]) -> Option<Replaced> {
    let same = |(one, other): &(&&str, &&str)| one == other;
    let at = before.iter().zip(after).take_while(same).count();
    let most = before.len().min(after.len()) - at;
    let rest = before.iter().rev().zip(after.iter().rev());
    let tail = rest.take(most).take_while(same).count();
    let put = after.get(at..after.len() - tail).unwrap_or_default().concat();
    Some(Replaced { within, at, gone: before.len() - tail - at, put })
}

impl<'a> Parts<'a> {
    /// Parts of an SVG file whose tags each have a line of their own, as the writer has them; nothing where they
    /// have not.
    fn of(svg: &'a str) -> Option<Self> {
        let mut parts = Self::default();
        let mut within = None;
        // The open elements, where the part starts that is read, and where the line ends.
        let (mut depth, mut start, mut end) = (0_usize, 0, 0);
        for line in svg.split_inclusive('\n') {
            end += line.len();
            let tag = Tag::of(line)?;
            if tag == Tag::Close {
                depth = depth.checked_sub(1)?;
            }
            let level = depth;
            if tag == Tag::Open {
                depth += 1;
            }
            if level > PART || (level == PART && tag == Tag::Open) {
                continue;
            }
            let list = match within.filter(|_| level == PART) {
                Some(Within::Defs) => &mut parts.defs,
                Some(Within::Page) => &mut parts.page,
                None => &mut parts.around,
            };
            list.push(svg.get(start..end)?);
            start = end;
            if level < PART {
                within = Within::of(line).filter(|_| tag == Tag::Open);
            }
        }
        (depth == 0).then_some(parts)
    }
}

impl Within {
    /// What a tag opens.
    fn of(line: &str) -> Option<Self> {
        match line.trim_end() {
            "<defs>" => Some(Self::Defs),
            r#"<g class="page">"# => Some(Self::Page),
            _ => None,
        }
    }
}

/// What a line of an SVG file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tag {
    Open,
    Close,
    /// An element that holds none.
    Whole,
}

impl Tag {
    fn of(line: &str) -> Option<Self> {
        let line = line.trim_end();
        let inner = line.strip_prefix('<')?.strip_suffix('>')?;
        Some(if inner.starts_with('/') {
            Self::Close
        } else if inner.ends_with('/') || inner.contains("</") {
            Self::Whole
        } else {
            Self::Open
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const HEAD: &str = "<svg role=\"img\">\n<title>A page</title>\n<defs>\n";
    const MIDDLE: &str = "</defs>\n<g class=\"page\">\n";
    const TAIL: &str = "</g>\n</svg>\n";

    /// A page with outlines and blocks of some names, each with as many signs as its name says.
    fn page(defs: &[u8], blocks: &[u8]) -> String {
        let defs = defs.iter().map(|id| format!("<path id=\"{id}\"/>\n"));
        let blocks = blocks.iter().map(|id| {
            let signs = format!("<g>\n<use href=\"{id}\"/>\n</g>\n").repeat(usize::from(*id));
            if signs.is_empty() { "<rect/>\n".to_owned() } else { format!("<g>\n{signs}</g>\n") }
        });
        [HEAD.to_owned(), defs.collect(), MIDDLE.to_owned(), blocks.collect(), TAIL.to_owned()]
            .concat()
    }

    /// What the page in the browser does with them.
    fn put(before: &str, replaced: &[Replaced]) -> String {
        let parts = Parts::of(before).expect("parts");
        let (mut defs, mut page) = (parts.defs, parts.page);
        for own in replaced {
            let list = match own.within {
                Within::Defs => &mut defs,
                Within::Page => &mut page,
            };
            drop(list.splice(own.at..own.at + own.gone, [own.put.as_str()]));
        }
        [HEAD, &defs.concat(), MIDDLE, &page.concat(), TAIL].concat()
    }

    proptest! {
        #[test]
        fn what_is_replaced_makes_the_other_page(
            defs in [prop::collection::vec(0u8..4, 0..6), prop::collection::vec(0u8..4, 0..6)],
            blocks in [prop::collection::vec(0u8..4, 0..6), prop::collection::vec(0u8..4, 0..6)],
        ) {
            let before = page(&defs[0], &blocks[0]);
            let after = page(&defs[1], &blocks[1]);
            let found = replaced(&before, &after).expect("they are alike");
            prop_assert_eq!(put(&before, &found), after);
            prop_assert_eq!(replaced(&before, &before), Some(Vec::new()));
        }
    }

    #[test]
    fn only_what_differs_is_replaced() {
        let found = replaced(&page(&[1, 2], &[1, 2, 3, 1]), &page(&[1, 3, 2], &[1, 0, 3, 2]));
        let told: Vec<_> = found.expect("they are alike").into_iter().collect();
        let places: Vec<_> = told.iter().map(|own| (own.within, own.at, own.gone)).collect();
        assert_eq!(places, [(Within::Defs, 1, 0), (Within::Page, 3, 1), (Within::Page, 1, 1)]);
        assert_eq!(told[2].put, "<rect/>\n");
    }

    #[test]
    fn pages_that_are_not_alike_are_sent_as_they_are() {
        let own = page(&[], &[1]);
        assert_eq!(replaced(&own, &own.replace("A page", "Another")), None);
        assert_eq!(replaced(&own, "<svg>\n<text>\nwords\n</text>\n</svg>\n"), None);
        assert_eq!(replaced(&own, "</svg>\n"), None);
    }
}
