//! Where a body is divided into files, for books that are read on screens.

use super::leads::Leads;
use crate::pages::flowing::{Flowing, FlowingIndex, FlowingItem};

/// A chapter, or a part's own page, or what stands before the first of them.
#[derive(Clone, Copy, Debug)]
pub(in crate::write) struct Chapter<'a> {
    /// The words of its heading; nothing where it has none.
    pub(in crate::write) title: Option<&'a str>,
    /// What it is.
    pub(in crate::write) kind: ChapterKind,
    /// What stands in it.
    pub(in crate::write) items: &'a [FlowingItem],
}

/// What a chapter is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::write) enum ChapterKind {
    /// What stands before all headings.
    Opening,
    /// The heading of a part, and what stands between it and the next chapter.
    Part,
    /// A chapter.
    Chapter,
}

/// A body in chapters; a heading of a chapter or a part begins the next.
pub(in crate::write) fn divided(flowing: &Flowing) -> Vec<Chapter<'_>> {
    let opens = |item: &FlowingItem| matches!(item, FlowingItem::Heading { level: 0 | 1, .. });
    let openers = flowing.items.iter().enumerate().filter(|(_, item)| opens(item));
    let mut starts: Vec<usize> = openers.map(|(at, _)| at).collect();
    if starts.first() != Some(&0) {
        starts.insert(0, 0);
    }
    let ends = starts.iter().skip(1).copied().chain([flowing.items.len()]);
    let items = starts.iter().zip(ends).filter_map(|(start, end)| flowing.items.get(*start..end));
    items.filter(|items| !items.is_empty()).map(|items| chapter(flowing, items)).collect()
}

fn chapter<'a>(flowing: &'a Flowing, items: &'a [FlowingItem]) -> Chapter<'a> {
    match items.first() {
        // A heading of a section opens no chapter.
        Some(FlowingItem::Heading { level: level @ (0 | 1), id, .. }) => {
            let entry = flowing.outline.iter().find(|entry| entry.to == *id);
            let title = entry.map(|entry| entry.words.as_str());
            let title = title.filter(|title| !title.trim().is_empty());
            let kind = if *level == 0 { ChapterKind::Part } else { ChapterKind::Chapter };
            Chapter { title, kind, items }
        }
        Some(FlowingItem::Heading { .. } | FlowingItem::Prose(_) | FlowingItem::Music(_))
        | None => Chapter { title: None, kind: ChapterKind::Opening, items },
    }
}

/// The file each place stands in: chapters with their files, and the file of the lists of the index.
pub(in crate::write) fn leads<'a>(
    chapters: impl Iterator<Item = (&'a str, Chapter<'a>)>,
    lists: &[FlowingIndex],
    index: &str,
) -> Leads {
    let places = chapters.flat_map(|(file, chapter)| {
        chapter.items.iter().filter_map(move |item| match item {
            FlowingItem::Heading { id, .. } => Some((id.clone(), file.to_owned())),
            FlowingItem::Music(music) => Some((music.id.clone(), file.to_owned())),
            FlowingItem::Prose(_) => None,
        })
    });
    let lists = lists.iter().map(|list| (list.id.clone(), index.to_owned()));
    Leads(places.chain(lists).collect())
}
