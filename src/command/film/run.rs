//! Makes films: every block is read and planned before the first frame is drawn.

use super::arguments::FilmArguments;
use super::cards::cards;
use super::folder;
use super::names::block_name;
use super::options::options;
use super::target::FilmTarget;
use crate::command::clash::{self, Planned};
use crate::command::editions;
use crate::command::files::Reader;
use crate::command::fonts::FaceBox;
use crate::command::outcome::{Failure, Outcome};
use crate::command::plan::file_words;
use crate::command::report::{self, plain, shown};
use crate::command::writing::{Staged, Worth};
use flamacue::film::{Film, FilmSet, Turn};
use flamacue::font::{Fonts, missing};
use flamacue::practice::Plan;
use flamacue::score::Score;
use flamacue::source::Diagnostics;
use flamacue::write::film::{Frames, write_apng, write_svg};
use std::io::{BufWriter, ErrorKind, IsTerminal, Write};
use std::path::PathBuf;

pub fn run(wanted: &FilmArguments) -> Result<Outcome, Failure> {
    let reader = Reader::new(&wanted.roots);
    let mut faces = FaceBox::new(&wanted.fonts, &reader)?;
    let text = reader.text(&wanted.file)?;
    let mut diagnostics = Diagnostics::default();
    let asked = wanted.edition.as_deref();
    let edition = asked.map(|name| editions::named(name, &text.source)).transpose()?;
    let budget = wanted.limit.of(&text.source);
    let score = editions::score(&text.source, (edition.as_deref(), None), budget, &mut diagnostics);
    let fonts = faces.of(&text, &score.header, &wanted.file, &mut diagnostics);
    missing::warn(&text.source, &fonts.text, &mut diagnostics);
    report::findings(&text.source, &diagnostics);
    if diagnostics.has_errors() {
        return Ok(Outcome::Faults);
    }
    let set = FilmSet { fonts, score: &score };
    match wanted.card {
        Some(kind) => put(wanted, cards(wanted, kind, set)?, &reader)?,
        None => films(wanted, set, (&reader, text.source.name()))?,
    }
    Ok(Outcome::Clean)
}

/// Writes pictures, none in its place before the last is whole.
fn put(
    wanted: &FilmArguments,
    pictures: Vec<(PathBuf, Vec<u8>)>,
    reader: &Reader<'_>,
) -> Result<(), Failure> {
    let of = shown(&wanted.file);
    let planned = pictures.iter().map(|(path, _)| Planned { path: path.clone(), of: of.clone() });
    clash::refuse(&planned.collect::<Vec<_>>(), &reader.files())?;
    let mut staged = Staged::new(Worth::Made);
    for (path, bytes) in &pictures {
        staged.add(path, bytes)?;
    }
    staged.commit()
}

/// Makes all films that are asked for.
fn films(
    wanted: &FilmArguments,
    set: FilmSet<'_>,
    (reader, name): (&Reader<'_>, &str),
) -> Result<(), Failure> {
    let target = FilmTarget::of(wanted)?;
    if target == FilmTarget::Bytes && std::io::stdout().is_terminal() {
        return Err(Failure::new(
            "frames on the terminal help nobody: send them to another program",
        ));
    }
    if matches!(target, FilmTarget::Drawn(_)) && wanted.turn == Turn::Scroll {
        return Err(Failure::new(
            "--turn scroll is for frames: leave it out for an SVG, or end the name in .apng",
        ));
    }
    let plan = wanted.practising.plan(set.score, name)?;
    let planned = planned(wanted, set.score, plan, &target, (reader, name))?;
    let files = planned.iter().filter_map(|(_, target)| target.file());
    let files = files.map(|path| Planned { path: path.to_owned(), of: shown(&wanted.file) });
    clash::refuse(&files.collect::<Vec<_>>(), &reader.files())?;
    for (plan, target) in planned {
        let film = Film::of(set, plan, options(wanted, &set.score.header))
            .map_err(|why| Failure(format!("{name}: {why}")))?;
        film.warnings().iter().for_each(|warning| report::line(&format!("{name}: {warning}")));
        write(&film, set.fonts, &target)?;
    }
    Ok(())
}

/// What is filmed, and where each film goes.
fn planned(
    wanted: &FilmArguments,
    score: &Score,
    plan: Plan,
    target: &FilmTarget,
    (reader, name): (&Reader<'_>, &str),
) -> Result<Vec<(Plan, FilmTarget)>, Failure> {
    if !wanted.each {
        return Ok(vec![(wanted.practising.along.lay(plan, reader, name)?, target.clone())]);
    }
    let plans = plan.by_block();
    let names: Vec<String> = plans.iter().map(|(item, _)| block_name(score, *item)).collect();
    let words = file_words(names.iter().map(String::as_str));
    let film = |((_, plan), word): ((usize, Plan), String)| {
        Ok((wanted.practising.along.lay(plan, reader, name)?, target.of_block(&word)))
    };
    plans.into_iter().zip(words).map(film).collect()
}

fn write(film: &Film, fonts: &Fonts, target: &FilmTarget) -> Result<(), Failure> {
    let size = film.options().size;
    let told = format!(
        "{} frames of {}x{}, {} a second",
        film.frames(),
        size.width(),
        size.height(),
        film.options().rate
    );
    match target {
        FilmTarget::Animated(path) => {
            let mut staged = Staged::new(Worth::Made);
            staged.add_with(path, |file| {
                let mut to = BufWriter::new(file);
                write_apng(film, fonts, &mut to).map_err(|why| why.to_string())?;
                to.flush().map_err(|why| plain(&why))
            })?;
            staged.commit()?;
            tell(&format!("wrote {}: {told}", shown(path)));
        }
        FilmTarget::Drawn(path) => {
            let mut staged = Staged::new(Worth::Made);
            staged.add(path, write_svg(film, fonts).as_bytes())?;
            staged.commit()?;
            tell(&format!("wrote {}: {:.1} seconds", shown(path), film.seconds()));
        }
        FilmTarget::Frames(folder) => {
            folder::write(film, fonts, folder)?;
            tell(&format!("wrote {}: {told}", shown(folder)));
        }
        FilmTarget::Bytes => {
            tell(&told);
            bytes(film, fonts)?;
        }
    }
    Ok(())
}

/// Tells a person who is there what was made.
fn tell(words: &str) {
    if std::io::stderr().is_terminal() {
        report::line(words);
    }
}

/// Writes the bytes of all frames to standard output. A reader that has seen enough is no fault.
fn bytes(film: &Film, fonts: &Fonts) -> Result<(), Failure> {
    let mut frames = Frames::of(film, fonts).map_err(Failure::new)?;
    let mut out = std::io::stdout().lock();
    while let Some(frame) = frames.next_frame() {
        match out.write_all(frame.bytes) {
            Err(why) if why.kind() == ErrorKind::BrokenPipe => return Ok(()),
            Err(why) => {
                return Err(Failure(format!("can't write to standard output: {}", plain(&why))));
            }
            Ok(()) => {}
        }
    }
    match out.flush() {
        Err(why) if why.kind() != ErrorKind::BrokenPipe => {
            Err(Failure(format!("can't write to standard output: {}", plain(&why))))
        }
        _ => Ok(()),
    }
}
