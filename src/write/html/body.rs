//! The body of a page: headings, prose and music in their order.

use super::escape::escape;
use super::figure::figure;
use super::prose;
use super::words::HtmlWords;
use crate::pages::flowing::FlowingItem;
use crate::write::svg::SharedPictures;
use std::collections::BTreeMap;

/// What differs between the pages that hold a body.
#[derive(Clone, Copy, Debug)]
pub(in crate::write) struct BodyForm {
    /// The level of the heading of a chapter: 1 for `h1`.
    pub(in crate::write) chapter: u8,
    /// How many widths of the music there are, from the narrowest.
    pub(in crate::write) widths: usize,
}

/// Items as HTML and XML at once, with what is added to the figures of items; blocks that ask for columns stand in rows of their own.
pub(in crate::write) fn body(
    items: &[FlowingItem],
    (form, added): (BodyForm, &BTreeMap<usize, String>),
    words: &mut HtmlWords<'_>,
    pictures: &mut SharedPictures<'_>,
) -> String {
    let mut body = String::new();
    let mut in_row = false;
    for item in items {
        let beside = matches!(item, FlowingItem::Music(music) if music.columns > 1);
        if beside != in_row {
            body.push_str(if beside { "<div class=\"row\">\n" } else { "</div>\n" });
            in_row = beside;
        }
        match item {
            FlowingItem::Heading { level, text, id } => {
                // A part stands as high as a chapter.
                let level = (*level).max(1) - 1 + form.chapter;
                let (id, words) = (escape(id), words.words(text));
                body.push_str(&format!("<h{level} id=\"{id}\">{words}</h{level}>\n"));
            }
            FlowingItem::Prose(own) => {
                words.at = own.at;
                body.push_str(&prose::block(own, words));
            }
            FlowingItem::Music(music) => {
                let added = music.item.and_then(|item| added.get(&item));
                let added = added.map_or("", String::as_str);
                body.push_str(&figure(music, form.widths, added, pictures));
            }
        }
    }
    if in_row {
        body.push_str("</div>\n");
    }
    body
}
