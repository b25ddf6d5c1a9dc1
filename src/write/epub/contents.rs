//! The file that leads to all others (EPUB 3.3, "Navigation document").

use crate::pages::flowing::{ContentsEntry, Flowing};
use crate::score::settings::Contents;
use crate::write::html::{Leads, escape};

/// The deepest entry of contents without exercises: a heading.
const HEADINGS: u8 = 2;

/// A file of the book by what it is, for readers that go straight there.
pub(super) struct Landmark {
    pub(super) kind: &'static str,
    pub(super) file: String,
    pub(super) words: String,
}

/// The body of the file: the contents, which are never empty, and where to find what.
pub(super) fn body(flowing: &Flowing, leads: &Leads, landmarks: &[Landmark]) -> String {
    let deepest = match flowing.header.contents {
        Contents::Exercises => u8::MAX,
        // Without a heading there is nothing else to lead to.
        Contents::None | Contents::Headings
            if flowing.outline.iter().all(|entry| entry.level > HEADINGS) =>
        {
            u8::MAX
        }
        Contents::None | Contents::Headings => HEADINGS,
    };
    let listed = flowing.outline.iter().filter(|entry| entry.level <= deepest);
    let listed: Vec<&ContentsEntry> =
        listed.filter(|entry| !entry.words.trim().is_empty()).collect();
    let marks: String = landmarks
        .iter()
        .map(|mark| {
            let Landmark { kind, file, words } = mark;
            format!("<li><a epub:type=\"{kind}\" href=\"{file}\">{}</a></li>\n", escape(words))
        })
        .collect();
    let list = if listed.is_empty() {
        format!("<ol>\n{}</ol>\n", plain(landmarks.first()))
    } else {
        nested(&listed, leads)
    };
    format!(
        "<nav epub:type=\"toc\" role=\"doc-toc\">\n<h1>{}</h1>\n{list}</nav>\n\
         <nav epub:type=\"landmarks\" hidden=\"hidden\">\n<ol>\n{marks}</ol>\n</nav>\n",
        escape(flowing.printed.contents)
    )
}

/// The one entry of a book that has no other.
fn plain(first: Option<&Landmark>) -> String {
    let line = |mark: &Landmark| {
        format!("<li><a href=\"{}\">{}</a></li>\n", mark.file, escape(&mark.words))
    };
    first.map(line).unwrap_or_default()
}

/// Lists in lists: what is deeper than the entry before it stands in a list of that entry.
fn nested(entries: &[&ContentsEntry], leads: &Leads) -> String {
    let mut html = String::new();
    let mut open: Vec<u8> = Vec::new();
    for entry in entries {
        while open.iter().rev().nth(1).is_some_and(|outer| *outer >= entry.level) {
            open.pop();
            html.push_str("</li>\n</ol>\n");
        }
        match open.last_mut() {
            Some(last) if *last >= entry.level => {
                *last = entry.level;
                html.push_str("</li>\n");
            }
            Some(_) | None => {
                open.push(entry.level);
                html.push_str("\n<ol>\n");
            }
        }
        let (to, words) = (leads.to(&entry.to), escape(&entry.words));
        html.push_str(&format!("<li><a href=\"{to}\">{words}</a>"));
    }
    html + &"</li>\n</ol>\n".repeat(open.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_list_that_is_opened_is_closed_in_its_entry() {
        let entry = |level| ContentsEntry { level, words: "x".to_owned(), to: "x".to_owned() };
        for levels in [vec![0, 2, 1, 3, 1], vec![3, 1, 2, 0], vec![1], vec![2, 2, 3, 1, 3, 3]] {
            let entries: Vec<ContentsEntry> = levels.iter().copied().map(entry).collect();
            let html = nested(&entries.iter().collect::<Vec<_>>(), &Leads::default());
            assert_eq!(html.matches("<li>").count(), levels.len());
            assert_eq!(html.matches("<li>").count(), html.matches("</li>").count());
            assert_eq!(html.matches("<ol>").count(), html.matches("</ol>").count());
            // An entry holds one list at most.
            assert!(!html.contains("</ol>\n\n<ol>"), "{html}");
        }
    }
}
