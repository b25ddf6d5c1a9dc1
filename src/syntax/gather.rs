//! Files that include others, gathered in one source.

use super::flush::{Flush, classify};
use super::grammar::{Piece, Rule};
use super::limits;
use crate::score::{Item, Score, Span};
use crate::source::{FileId, Included, Lines, Source, Spanned, paths};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

/// Adds to a source every file it includes, and those they include. Names are taken from the folder
/// of the file they stand in, with `/` between folders. `read` gives the text of a file, or says in
/// plain words why it can't be read; nothing else looks at a disk.
///
/// A file that can't be joined is remembered with the reason, which [`parse`](super::parse) reports
/// at the line that includes it.
pub fn gather(source: Source, read: &dyn Fn(&str) -> Result<String, String>) -> Source {
    let read = |path: &str| Ok(GatheredFile::of(read(path)?.into()));
    let main = IncludedNames::of(source.text());
    gather_known(source, main, &read)
}

/// A file that is added to a source, and what is known of its text.
#[derive(Debug)]
pub struct GatheredFile<'t> {
    text: Cow<'t, str>,
    lines: Arc<Lines>,
    names: IncludedNames,
}

impl<'t> GatheredFile<'t> {
    /// A file of which nothing is known but its text.
    fn of(text: Cow<'t, str>) -> Self {
        let (lines, names) = (Arc::new(Lines::of(&text)), IncludedNames::of(&text));
        Self { text, lines, names }
    }

    /// A file of which all of it is known.
    #[must_use]
    pub fn known(text: &'t str, lines: Arc<Lines>, names: IncludedNames) -> Self {
        Self { text: Cow::Borrowed(text), lines, names }
    }
}

/// The same, where of files, and of the first of them, it may be known what they include.
pub fn gather_known<'t>(
    mut source: Source,
    main_names: IncludedNames,
    read: &dyn Fn(&str) -> Result<GatheredFile<'t>, String>,
) -> Source {
    let main = paths::plain(source.name());
    // Where each file was included, and the file that did.
    let mut known: BTreeMap<String, FileId> = BTreeMap::from([(main, FileId::MAIN)]);
    let mut from: Vec<Option<(FileId, usize)>> = vec![None];
    let mut bytes = source.text().len();
    let mut names = vec![main_names];
    let mut at = 0;
    while let Some(IncludedNames(own)) = names.get(at).cloned() {
        let file = FileId(at);
        let start = source.span_of(file).start();
        at += 1;
        for name in own.iter() {
            let name = Spanned::new(name.value.clone(), name.span.moved(start));
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
                    Ok(own) if bytes + own.text.len() > limits::ALL_BYTES => Included::Refused(
                        "all files together are larger than 32 megabytes".into(),
                        "build them as several books".into(),
                    ),
                    Ok(GatheredFile { text, lines, names: included }) => {
                        bytes += text.len();
                        let id = source.add_with_lines(path.clone(), &text, lines);
                        names.push(included);
                        known.insert(path, id);
                        from.push(Some((file, name.span.start())));
                        Included::File(id)
                    }
                },
            };
            source.set_included(name.span.start(), included);
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

/// The names of files that the lines of a text include, with their places in it.
#[derive(Clone, Debug, Default)]
pub struct IncludedNames(Arc<Vec<Spanned<String>>>);

impl IncludedNames {
    /// Those of a text.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let bare = text.strip_prefix(MARK).unwrap_or(text);
        let mut names = Vec::new();
        included(bare, text.len() - bare.len(), &mut names);
        Self(Arc::new(names))
    }

    /// Takes a change of the text, in which so many bytes were put in the place of a range; `text` is the whole
    /// text after it.
    pub fn edit(&mut self, text: &str, range: &Range<usize>, bytes: usize) {
        // Where a byte order mark may have come or gone, the first line is another.
        if range.start <= MARK.len_utf8() {
            *self = Self::of(text);
            return;
        }
        let line = |before: &str| before.rfind('\n').map_or(0, |end| end + 1);
        let start = line(text.get(..range.start).unwrap_or(""));
        let end = range.start + bytes;
        let rest = text.get(end..).and_then(|rest| rest.find('\n'));
        let end = rest.map_or(text.len(), |rest| end + rest + 1);
        let old_end = end + range.len() - bytes;
        let mut new = Vec::new();
        let mark = if start == 0 && text.starts_with(MARK) { MARK.len_utf8() } else { 0 };
        included(text.get(start + mark..end).unwrap_or(""), start + mark, &mut new);
        let from = self.0.partition_point(|name| name.span.start() < start);
        let to = self.0.partition_point(|name| name.span.start() < old_end).max(from);
        if new.is_empty() && from == to && (range.len() == bytes || to == self.0.len()) {
            return;
        }
        let names = Arc::make_mut(&mut self.0);
        let moved = |at: usize| at + bytes - range.len();
        for name in names.iter_mut().skip(to) {
            name.span = Span::new(moved(name.span.start()), moved(name.span.end()));
        }
        drop(names.splice(from..to, new));
    }
}

/// A byte order mark.
const MARK: char = '\u{feff}';

/// Adds the names of files that lines include which start at a byte.
fn included(lines: &str, mut start: usize, names: &mut Vec<Spanned<String>>) {
    for line in lines.split_inclusive('\n') {
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
            figures.push((prose.at + figure.span.start(), figure.file.clone()));
        });
    }
    figures
}

#[cfg(test)]
mod tests {
    use super::IncludedNames;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn names_of_an_edited_text_are_those_of_the_text(
            pieces in prop::collection::vec("(include [ab]\n|include |a|\n|\u{feff}){0,5}", 3..4),
            new in "(include [ab]\n|include |a|\n){0,3}",
        ) {
            let before = pieces.concat();
            let range = pieces[0].len()..pieces[0].len() + pieces[1].len();
            let after = [&pieces[0], &new, &pieces[2]].map(String::as_str).concat();
            let mut names = IncludedNames::of(&before);
            names.edit(&after, &range, new.len());
            prop_assert_eq!(names.0, IncludedNames::of(&after).0);
        }
    }
}
