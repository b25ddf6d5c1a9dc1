//! What words on a page are, for readers who listen.

use std::sync::Arc;

/// Words that belong together. What has the same value on several pages is one.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Prose {
    /// The title of the file.
    Title,
    /// The line under it.
    Subtitle,
    /// For whom the file is, and who made it.
    Author,
    /// The line at the foot of the first page.
    Copyright,
    /// A line of the imprint.
    Imprint {
        /// How many stand before it.
        line: usize,
    },
    /// For whom the book is.
    Dedication,
    /// A heading of a level, by its place among all items.
    Heading {
        /// 1 for `#`, 2 for `##`.
        level: u8,
        /// Its place.
        item: usize,
    },
    /// A part of the body's prose.
    Body(BodyProse),
    /// A line of the contents, by the entry of the outline it leads to.
    Contents {
        /// The entry of the outline.
        entry: usize,
    },
    /// What is only for the eye.
    Decoration,
}

/// A part of the body's prose: what it stands in, from the outside.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct BodyProse {
    /// Its place among all items.
    pub item: usize,
    /// What it stands in, and last what it is; at least one.
    pub steps: Arc<[Step]>,
}

/// One of the things that lie in one another.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Step {
    /// What it is.
    pub role: Role,
    /// How many others lie before it in the same thing.
    pub nth: usize,
}

/// What a part of prose is (ISO 32000-1, 14.8.4).
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// A paragraph.
    Paragraph,
    /// A list.
    List,
    /// An entry of a list.
    Entry,
    /// The sign or the number before an entry or a footnote.
    Label,
    /// What an entry says.
    EntryBody,
    /// A block quote.
    Quote,
    /// Code.
    Code,
    /// A table.
    Table,
    /// A row of a table.
    Row,
    /// A cell of a table's head.
    HeadCell,
    /// Another cell.
    Cell,
    /// A picture, and what it shows.
    Figure(Arc<str>),
    /// The words under a picture.
    Caption,
    /// A footnote.
    Note,
    /// The mark of a footnote.
    NoteMark,
    /// Words that lead somewhere.
    Link,
}

impl Role {
    /// The name in SVG classes and in JSON.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Paragraph => "paragraph",
            Self::List => "list",
            Self::Entry | Self::EntryBody => "entry",
            Self::Label => "label",
            Self::Quote => "quote",
            Self::Code => "code",
            Self::Table => "table",
            Self::Row => "row",
            Self::HeadCell => "head-cell",
            Self::Cell => "cell",
            Self::Figure(_) => "figure",
            Self::Caption => "caption",
            Self::Note => "footnote",
            Self::NoteMark => "note-mark",
            Self::Link => "link",
        }
    }
}

impl Prose {
    /// The same of another item.
    #[must_use]
    pub fn of_item(self, item: usize) -> Self {
        match self {
            Self::Heading { level, .. } => Self::Heading { level, item },
            Self::Body(body) => Self::Body(BodyProse { item, ..body }),
            Self::Title
            | Self::Subtitle
            | Self::Author
            | Self::Copyright
            | Self::Imprint { .. }
            | Self::Dedication
            | Self::Contents { .. }
            | Self::Decoration => self,
        }
    }

    /// The name in SVG classes and in JSON.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Title | Self::Subtitle | Self::Author => "head",
            Self::Copyright => "copyright",
            Self::Imprint { .. } => "imprint",
            Self::Dedication => "dedication",
            Self::Heading { .. } => "headline",
            Self::Body(body) => body.steps.last().map_or("paragraph", |step| step.role.name()),
            Self::Contents { .. } => "contents",
            Self::Decoration => "decoration",
        }
    }
}
