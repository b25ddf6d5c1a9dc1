//! `desk`: a text beside its pages and its sound, on a page that this program serves to a browser of this
//! machine.

mod address;
mod guard;
mod holder;
mod line_ends;
mod news;
mod outside;
mod saved;
mod server;
mod start;

pub use start::run;
