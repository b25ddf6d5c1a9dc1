//! The pictures of a score: read once, and known by where they are named.

use super::codes;
use crate::drawing::{Picture, read_picture};
use crate::rope::Rope;
use crate::score::{Figure, Item, Score, Span};
use crate::source::{Diagnostics, Source};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A picture by the byte of the source at which it is named.
pub type Pictures = BTreeMap<usize, Arc<Picture>>;

/// What files of pictures came to. By default nothing is known.
#[derive(Debug, Default)]
pub struct PicturesMemo {
    keeps: bool,
    files: BTreeMap<String, ReadFile>,
    /// Items among which none shows a picture.
    without: Option<Rope<Item>>,
}

impl PicturesMemo {
    /// One that keeps what is read.
    pub fn keeping() -> Self {
        Self { keeps: true, ..Self::default() }
    }

    /// Whether none of the items of a score shows a picture, as none of the score before it did.
    fn are_without(&mut self, items: &Rope<Item>) -> bool {
        let Some(old) = &self.without else { return false };
        let change = items.changed_wherever(old, Item::is);
        let without = !items.range(change.new).any(shows_picture);
        self.without = without.then(|| items.clone());
        without
    }
}

/// Whether an item shows a picture.
fn shows_picture(item: &Item) -> bool {
    let mut shows = false;
    if let Item::Prose(prose) = item {
        prose.for_each_figure(&mut |_| shows = true);
    }
    shows
}

/// A file of a picture, and what it came to.
#[derive(Clone, Debug)]
struct ReadFile {
    bytes: Arc<[u8]>,
    picture: Result<Arc<Picture>, String>,
}

/// The pictures of a score; of those that can't be shown it is told why.
pub fn of(
    source: &Source,
    score: &Score,
    memo: &mut PicturesMemo,
    diagnostics: &mut Diagnostics,
) -> Pictures {
    let mut pictures = Pictures::new();
    if memo.are_without(&score.items) {
        return pictures;
    }
    let mut without = true;
    let mut used = BTreeMap::new();
    for item in &score.items {
        let Item::Prose(prose) = item else { continue };
        prose.for_each_figure(&mut |figure| {
            without = false;
            let span = figure.span.moved(prose.at);
            let path = source.path_beside(span.start(), &figure.file);
            let picture = match source.picture(&path) {
                None => return warn_of_none(span, figure, diagnostics),
                Some(Err(why)) => Err(why.clone()),
                Some(Ok(bytes)) => {
                    let known: Option<ReadFile> = used.remove(&path).or_else(|| memo.files.remove(&path));
                    let known = known.filter(|old| Arc::ptr_eq(&old.bytes, bytes));
                    let new = || ReadFile {
                        bytes: bytes.clone(),
                        picture: read_picture(bytes).map(Arc::new),
                    };
                    let file = known.unwrap_or_else(new);
                    let picture = file.picture.clone();
                    used.insert(path.clone(), file);
                    picture
                }
            };
            match picture {
                Ok(picture) => drop(pictures.insert(span.start(), picture)),
                Err(why) => {
                    diagnostics
                        .error(span, format!("{path} can't be shown: {why}"))
                        .code(codes::PICTURE_REFUSED)
                        .mend("name a PNG, JPEG or SVG file, from the folder of the file that shows it");
                }
            }
        });
    }
    memo.files = used;
    memo.without = (memo.keeps && without).then(|| score.items.clone());
    pictures
}

fn warn_of_none(span: Span, figure: &Figure, diagnostics: &mut Diagnostics) {
    diagnostics
        .warning(
            span,
            format!("{} can't be read here, and what it shows is said in its place", figure.file),
        )
        .code(codes::PICTURE_UNAVAILABLE);
}
