//! `desk`: texts beside their pages and their sound, on pages that this program serves to a browser of this
//! machine; a text by itself, or a folder to choose one from.

mod address;
mod folder;
mod folder_asks;
mod guard;
mod holder;
mod known;
mod line_ends;
mod news;
mod outside;
mod places;
mod presence;
mod saved;
mod server;
mod start;
mod text_asks;
mod trouble;
mod waiting;

pub use start::run;
