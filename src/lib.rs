//! Flamacue turns drum-text into engraved pages.
//!
//! Data flows one way: [`source`], [`syntax`], [`score`], [`engrave`], [`pages`], [`drawing`],
//! [`write`]; a later stage never reaches back.

pub mod drawing;
pub mod engrave;
pub mod font;
pub mod pages;
pub mod score;
pub mod source;
pub mod syntax;
pub mod write;
