//! The desk: what a page on which a text is written asks of the text, and the answers.
//!
//! A page sends [`Ask`]s as JSON, one object each with the name of what is asked under `ask`, and gets one
//! object back. It is the same whether a server holds the text or a worker of the page: a [`Holder`] has an
//! [`OpenText`], edits it with [`edits_in`], and answers from what it came to with a [`Desk`]. Offsets are in
//! code units of UTF-16, as JavaScript counts them, in the file that the text starts with.
//!
//! The page itself, plain modules that are loaded as they are, is in `page/`; [`PAGE`] holds it.

mod answer;
mod answers;
mod ask;
mod edits;
mod files;
mod hearing;
mod holder;
mod open_text;
mod page;
mod parts;
mod sent;
mod units;

pub use answer::{
    Explained, Found, Heard, HeardMotion, HeardStroke, Look, Lost, Mended, Offer, Offered, Opened,
    Refused, Shown, Tidied, Token, Tokens,
};
pub use answers::Desk;
pub use ask::{Ask, Edit, Hear, Seen};
pub use edits::edits_in;
pub use files::FileError;
pub use hearing::HearError;
pub use holder::Holder;
pub use open_text::OpenText;
pub use page::{Asset, PAGE};
pub use parts::{Replaced, Within};
pub use sent::{SentPage, SentPages};
