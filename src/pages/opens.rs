//! Where the parts of a book open: on a new page, or on a right-hand one.

use super::column::ColumnPiece;
use super::piece::Opens;
use crate::score::Header;
use crate::score::block_layout::Starts;
use crate::score::settings::Chapters;

/// Says where the contents and the body open, which begin with the pieces of these indices.
pub fn open_front(pieces: &mut [ColumnPiece], (contents, body): (usize, usize), header: &Header) {
    let mut at_least = |index: usize, opens: Opens| {
        if let Some(piece) = pieces.get_mut(index) {
            piece.opens = opens.over(piece.opens);
        }
    };
    if header.title_page {
        at_least(contents, after_title(header));
        at_least(body, Opens::NewPage);
    }
    if header.roman_front && body > 0 {
        at_least(body, Opens::RightPage);
    }
}

/// Where what follows a title page opens: on a right-hand page in a book that has such.
fn after_title(header: &Header) -> Opens {
    if header.chapters == Chapters::RightPage || header.binding.is_some() {
        Opens::RightPage
    } else {
        Opens::NewPage
    }
}

/// Where a chapter or a part opens.
pub fn of_chapter(header: &Header) -> Opens {
    match header.chapters {
        Chapters::Follow => Opens::Anywhere,
        Chapters::NewPage => Opens::NewPage,
        Chapters::RightPage => Opens::RightPage,
    }
}

/// Where a block opens.
pub fn of_block(starts: Starts) -> Opens {
    match starts {
        Starts::Follow => Opens::Anywhere,
        Starts::NewPage => Opens::NewPage,
        Starts::LeftPage => Opens::LeftPage,
        Starts::RightPage => Opens::RightPage,
    }
}
