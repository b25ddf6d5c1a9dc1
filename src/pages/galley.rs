//! All pieces of a file before the index in one column, before it is broken into pages: title,
//! notation key, contents, body.

use super::body_again::Body;
use super::column::ColumnPiece;
use super::contents_ground::ContentsGround;
use super::opens;
use super::pages_memo::PagesMemo;
use super::piece::OutlineHeading;
use super::referring::ReferringWords;
use super::setter::Setter;
use crate::rope::Rope;
use crate::score::Score;
use crate::score::settings::NotationKey;

/// The column.
pub struct Galley {
    /// Its pieces.
    pub pieces: Rope<ColumnPiece>,
    /// The piece the body begins with, by index.
    pub body: usize,
    /// The words that refer to blocks, in order.
    pub referring: Vec<ReferringWords>,
}

/// Puts the front and the end of a file around its body; `index` are the headings of the index.
pub fn collect(
    setter: &Setter<'_>,
    score: &Score,
    (body, index): (Body, Vec<OutlineHeading>),
    memo: &mut PagesMemo,
) -> Galley {
    let header = &score.header;
    let Body { pieces: body, referring, .. } = body;
    let first = setter.known_key(score, NotationKey::FirstPage, memo);
    let last = setter.known_key(score, NotationKey::LastPage, memo);
    let (under_title, after_contents) =
        if header.title_page { (Vec::new(), first) } else { (first, Vec::new()) };
    let (after_contents, last) = (Rope::from(after_contents), Rope::from(last));
    let mut listed = after_contents.clone();
    listed.append(&body);
    listed.append(&last);
    let ground = ContentsGround { listed, ids: setter.ids.clone(), index, answers: score.answers };
    let lines = setter.contents(ground, header.contents, memo);
    let mut pieces = memo.front.clone().unwrap_or_else(|| {
        let front = match header.title_page {
            true => std::iter::once(setter.title_page(header))
                .chain(setter.after_title(header))
                .collect(),
            false => setter.title(header),
        };
        front.into_iter().map(ColumnPiece::from).collect()
    });
    if memo.keeps() {
        memo.front = Some(pieces.clone());
    }
    pieces.extend(under_title);
    let mut pieces = Rope::from(pieces);
    let contents = pieces.len();
    pieces.append(&lines);
    pieces.append(&after_contents);
    let front = pieces.len();
    pieces.append(&body);
    pieces.append(&last);
    opens::open_front(&mut pieces, (contents, front), header);
    let referring = referring.iter().map(|own| own.moved(0, front as isize)).collect();
    Galley { pieces, body: front, referring }
}
