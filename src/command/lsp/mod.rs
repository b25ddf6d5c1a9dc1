//! `lsp`: what an editor asks, by the Language Server Protocol (version 3.17), over standard input and output.
//!
//! A thin skin over [`assist`](flamacue::assist): messages in, answers out. Texts are those the editor has open;
//! what they include is read from the disk by the rules of `build`, and nothing is ever written.

mod actions;
mod answer;
mod books;
mod capabilities;
mod inbox;
mod legend;
mod places;
mod publish;
mod serve;
mod uri;

pub use serve::run;
