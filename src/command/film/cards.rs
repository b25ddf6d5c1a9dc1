//! Cards: pictures that stand before and after a film, and those by which it is found.

use super::arguments::{CardKind, FilmArguments};
use super::names::{block_name, with_word};
use super::options::options;
use crate::command::outcome::Failure;
use crate::command::plan::file_words;
use crate::command::report::shown;
use crate::command::standard::is_standard;
use flamacue::drawing::Page;
use flamacue::film::{Card, FilmSet, card};
use flamacue::score::{Header, Item, PlacedBlock, Score, name_key};
use flamacue::write::png::PngOptions;
use flamacue::write::{Format, WriteOptions, Writer};
use std::path::PathBuf;

/// The cards that are asked for, each with the file it goes to and its bytes.
pub fn cards(
    wanted: &FilmArguments,
    kind: CardKind,
    set: FilmSet<'_>,
) -> Result<Vec<(PathBuf, Vec<u8>)>, Failure> {
    let (path, format) = target(wanted, kind)?;
    let header = &set.score.header;
    let cards = match kind {
        CardKind::Title if header.title.is_none() => {
            return Err(Failure(format!(
                "{} has no title for a title card: write `title: ...` at its head",
                shown(&wanted.file)
            )));
        }
        CardKind::Title => vec![(path, Card::Title(header))],
        CardKind::End => vec![(path, end(wanted, header)?)],
        CardKind::Thumbnail => thumbnails(wanted, set.score, path)?,
    };
    let colours = options(wanted, header).colours;
    let write_options = WriteOptions {
        png: PngOptions { scale: 1.0, transparent: colours.paper.is_none() },
        ..WriteOptions::default()
    };
    let file = |(path, own): (PathBuf, Card<'_>)| {
        let page: Page = card(set, own, wanted.size, colours).map_err(Failure::new)?;
        match format.writer {
            Writer::Page(writer) => {
                Ok((path, writer(&page, set.fonts, &write_options).map_err(Failure::new)?))
            }
            Writer::Cues(_)
            | Writer::Sound(_)
            | Writer::Pdf(_)
            | Writer::Drawing(_)
            | Writer::Flowing(_)
            | Writer::Score(_) => Err(no_picture(&path)),
        }
    };
    cards.into_iter().map(file).collect()
}

/// Where a card goes, and its form.
fn target(wanted: &FilmArguments, kind: CardKind) -> Result<(PathBuf, Format), Failure> {
    let path = match &wanted.output {
        Some(out) if is_standard(out) => return Err(no_picture(out)),
        Some(out) => out.clone(),
        None if is_standard(&wanted.file) => {
            return Err(Failure::new("say where to write with -o, as -o card.png"));
        }
        None => {
            let stem = wanted.file.file_stem().unwrap_or_default().to_string_lossy();
            wanted.file.with_file_name(format!("{stem}-{}.png", kind.name()))
        }
    };
    let named = path.file_name().and_then(|name| Format::of_name(name.to_str()?));
    match named {
        Some(format) if format == Format::PNG || format == Format::SVG => Ok((path, format)),
        Some(_) | None => Err(no_picture(&path)),
    }
}

fn no_picture(path: &std::path::Path) -> Failure {
    Failure(format!("{} is no picture: end the name of a card in .png or .svg", shown(path)))
}

fn end<'a>(wanted: &'a FilmArguments, header: &'a Header) -> Result<Card<'a>, Failure> {
    match &wanted.address {
        Some(address) => Ok(Card::End { header, address }),
        None => Err(Failure::new(
            "an end card says where more is to be had: add --address, as --address example.org/fills",
        )),
    }
}

fn thumbnails<'a>(
    wanted: &FilmArguments,
    score: &'a Score,
    path: PathBuf,
) -> Result<Vec<(PathBuf, Card<'a>)>, Failure> {
    let blocks = score.items_once().enumerate().filter_map(|(item, own)| match own {
        Item::Block(block) if !block.part.bars.is_empty() => Some((item, block)),
        Item::Block(_) | Item::Heading { .. } | Item::Prose(_) => None,
    });
    let is_asked = |block: &PlacedBlock| match &wanted.practising.block {
        None => true,
        Some(name) => block.name.as_ref().is_some_and(|own| name_key(own) == name_key(name)),
    };
    let blocks: Vec<(usize, &PlacedBlock)> = blocks.filter(|(_, block)| is_asked(block)).collect();
    let Some((_, first)) = blocks.first() else {
        let text = shown(&wanted.file);
        return Err(Failure(match &wanted.practising.block {
            Some(name) => format!("{text}: the text has no block called `{name}`"),
            None => format!("{text}: there is no block to show"),
        }));
    };
    if !wanted.each {
        return Ok(vec![(path, Card::Thumbnail(first))]);
    }
    let names: Vec<String> = blocks.iter().map(|(item, _)| block_name(score, *item)).collect();
    let words = file_words(names.iter().map(String::as_str));
    let card = |((_, block), word): ((usize, &'a PlacedBlock), String)| {
        (with_word(&path, &word), Card::Thumbnail(block))
    };
    Ok(blocks.into_iter().zip(words).map(card).collect())
}
