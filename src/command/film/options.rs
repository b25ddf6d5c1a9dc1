//! What is asked of a film.

use super::arguments::FilmArguments;
use flamacue::film::{FilmColours, FilmOptions};
use flamacue::score::printing::Background;
use flamacue::score::{Colour, Header};

/// What the command line asks for, and where it says nothing, the header of the text.
pub fn options(wanted: &FilmArguments, header: &Header) -> FilmOptions {
    let ink = wanted.ink.or(header.ink.as_ref().map(|ink| ink.value)).unwrap_or(Colour::BLACK);
    let behind = match header.background {
        Background::Paper => Some(Colour::WHITE),
        Background::None => None,
        Background::Colour(colour) => Some(colour),
    };
    let paper = if wanted.transparent { None } else { wanted.paper.or(behind) };
    let colours = FilmColours::of(ink, paper);
    FilmOptions {
        size: wanted.size,
        rate: wanted.rate,
        colours: FilmColours { lit: wanted.lit.unwrap_or(colours.lit), ..colours },
        follow: wanted.cursor,
        turn: wanted.turn,
        hides_notes: wanted.hide.is_some(),
        repeats: wanted.repeat,
    }
}
