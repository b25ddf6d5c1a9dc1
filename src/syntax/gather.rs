//! Files that include others, gathered in one source.

use super::flush::{Flush, classify};
use super::grammar::{Piece, Rule};
use super::limits;
use crate::score::{Item, Score};
use crate::source::{FileId, Included, Source, Spanned, paths};
use std::collections::BTreeMap;

/// Adds to a source every file it includes, and those they include. Names are taken from the folder
/// of the file they stand in, with `/` between folders. `read` gives the text of a file, or says in
/// plain words why it can't be read; nothing else looks at a disk.
///
/// A file that can't be joined is remembered with the reason, which [`parse`](super::parse) reports
/// at the line that includes it.
pub fn gather(mut source: Source, read: &dyn Fn(&str) -> Result<String, String>) -> Source {
    let main = paths::plain(source.name());
    // Where each file was included, and the file that did.
    let mut known: BTreeMap<String, FileId> = BTreeMap::from([(main, FileId::MAIN)]);
    let mut from: Vec<Option<(FileId, usize)>> = vec![None];
    let mut bytes = source.text().len();
    let mut at = 0;
    while at < source.files() {
        let file = FileId(at);
        at += 1;
        for name in included_names(&source, file) {
            let path = paths::beside(source.name_of(file), &name.value);
            let included = match known.get(&path) {
                Some(other) => refused(&source, (file, *other), &name.value, &from),
                None if depth(&from, file) >= limits::FILE_DEPTH => Included::Refused(
                    format!("more than {} files include one another here", limits::FILE_DEPTH),
                    "include this file from one nearer to the first".into(),
                ),
                None if source.files() >= limits::FILES => Included::Refused(
                    format!("there are more than {} files", limits::FILES),
                    "join some of them".into(),
                ),
                None => match read(&path) {
                    Err(why) => Included::Refused(
                        format!("can't read {path}: {why}"),
                        "a file's name starts from the folder of the file that includes it".into(),
                    ),
                    Ok(text) if bytes + text.len() > limits::ALL_BYTES => Included::Refused(
                        "all files together are larger than 32 megabytes".into(),
                        "build them as several books".into(),
                    ),
                    Ok(text) => {
                        bytes += text.len();
                        let id = source.add(path.clone(), &text);
                        known.insert(path, id);
                        from.push(Some((file, name.span.start)));
                        Included::File(id)
                    }
                },
            };
            source.set_included(name.span.start, included);
        }
    }
    source
}

/// Why a file that is there already is not joined again.
fn refused(
    source: &Source,
    (file, other): (FileId, FileId),
    name: &str,
    from: &[Option<(FileId, usize)>],
) -> Included {
    let mut above = Some(file);
    while let Some(id) = above {
        if id == other {
            let message = if file == other {
                "this file includes itself".to_owned()
            } else {
                format!("{name} includes this file, so each would stand inside the other")
            };
            return Included::Refused(message, "take the line out".into());
        }
        above = parent(from, id).map(|(id, _)| id);
    }
    let first = parent(from, other).map(|(_, offset)| source.named_location(offset));
    Included::Refused(
        format!("{name} is included already, at {}", first.unwrap_or_default()),
        "a file stands in one place only; take one of the two lines out".into(),
    )
}

fn parent(from: &[Option<(FileId, usize)>], file: FileId) -> Option<(FileId, usize)> {
    from.get(file.0).copied().flatten()
}

/// How many files lie between a file and the first, counting itself.
fn depth(from: &[Option<(FileId, usize)>], mut file: FileId) -> usize {
    let mut depth = 0;
    while let Some((above, _)) = parent(from, file) {
        depth += 1;
        file = above;
    }
    depth
}

/// The names of files that the lines of a file include.
fn included_names(source: &Source, file: FileId) -> Vec<Spanned<String>> {
    let text = source.text_of(file);
    let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut start = source.span_of(file).end - bare.len();
    let mut names = Vec::new();
    for line in bare.split_inclusive('\n') {
        let piece = Piece { text: line.trim_end_matches(['\n', '\r']), start };
        start += line.len();
        if !line.starts_with("include") || piece.text.len() > limits::LINE_CHARACTERS {
            continue;
        }
        let Some(body) = piece.tokens(Rule::line).find(|t| t.as_rule() == Rule::body) else {
            continue;
        };
        if let Flush::Include(name) = classify(piece.part(&body)) {
            names.push(Spanned::new(name.text.to_owned(), name.span()));
        }
    }
    names
}

/// Adds to a source the pictures its prose shows, each once. `read` gives the bytes of a file, at most
/// [`limits::PICTURE_BYTES`] and one more, or says in plain words why it can't be read.
///
/// A picture that can't be read is remembered with the reason, which is told where it is set.
pub fn gather_pictures(
    source: &mut Source,
    score: &Score,
    read: &dyn Fn(&str) -> Result<Vec<u8>, String>,
) {
    let mut bytes = 0;
    for (offset, name) in figures(score) {
        let path = source.path_beside(offset, &name);
        if source.picture(&path).is_some() {
            continue;
        }
        let picture = match read(&path) {
            Ok(picture) if picture.len() > limits::PICTURE_BYTES => {
                Err("it is larger than 16 megabytes".to_owned())
            }
            Ok(picture) if bytes + picture.len() > limits::ALL_PICTURE_BYTES => {
                Err("all pictures together are larger than 128 megabytes".to_owned())
            }
            other => other,
        };
        bytes += picture.as_ref().map_or(0, Vec::len);
        source.set_picture(path, picture.map(Into::into));
    }
}

/// Where pictures are named, and the names.
fn figures(score: &Score) -> Vec<(usize, String)> {
    let mut figures = Vec::new();
    for item in &score.items {
        let Item::Prose(prose) = item else { continue };
        prose.for_each_figure(&mut |figure| {
            figures.push((prose.at + figure.span.start, figure.file.clone()));
        });
    }
    figures
}
