//! What an editor asks about a text at a place: what is wrong and how it is mended, what a cell, a key or a
//! name is, how a word may go on, where a name is used, what the text is made up of.
//!
//! Everything is asked of a [`View`], which is what a [`Session`](crate::session::Session) made of its text
//! last, so that an edit costs what it costs there; a question looks at its block, or at the items of a file,
//! and not at the notes of all of them. Nothing here reads a file or a clock, or knows of a protocol.
//!
//! Places are bytes of the [`Source`](crate::source::Source), in which the files of a text follow each other;
//! [`View::file`] finds a file by its name and `Source::span_of` where it lies. [`LineStarts`] makes lines and
//! columns of the bytes of one file, and bytes of them.
//!
//! | asked | answered by |
//! |---|---|
//! | what is wrong, and which edit mends it | [`findings`], of the session's diagnostics |
//! | how the word at a byte may go on, each with its meaning | [`complete`] |
//! | what stands at a byte, in words | [`hover`] |
//! | which note on the pages a cell is, and which cell a note | [`note()`], [`byte_of`] |
//! | rows in columns | [`formatted`], as lines that change [`changed_lines`] |
//! | names: where given, where used, changed everywhere | [`definition`], [`references`], [`rename()`] |
//! | what a file is made up of, and what folds away | [`symbols()`], [`folds`] |
//! | what each word and sign is | [`tokens()`] |
//! | how bars are counted | [`inlays`] |

mod comments;
pub mod completion;
mod finding;
mod folding;
mod formatting;
mod hover;
mod hover_cell;
mod hovered;
mod inlay;
mod kits;
mod lines;
mod names;
mod note;
mod position;
mod rename;
mod spoken;
mod symbols;
mod token;
mod token_places;
mod tokens;
mod view;
mod words;

pub use completion::{Completion, CompletionKind, complete};
pub use finding::{Finding, Mend, findings};
pub use folding::{Fold, FoldKind, folds};
pub use formatting::{changed_lines, formatted};
pub use hover::hover;
pub use hovered::Hover;
pub use inlay::{Inlay, inlays};
pub use names::{definition, references};
pub use note::{CellNote, byte_of, note};
pub use position::{Encoding, LineStarts, Position};
pub use rename::{rename, renamed_place};
pub use symbols::{Symbol, SymbolKind, symbols};
pub use token::{Token, TokenKind};
pub use tokens::tokens;
pub use view::View;
