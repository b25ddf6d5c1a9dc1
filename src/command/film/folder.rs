//! A folder of numbered pictures. Each takes its place when it is whole.

use crate::command::outcome::Failure;
use crate::command::report::{plain, shown};
use crate::command::writing::{Staged, Worth};
use flamacue::film::Film;
use flamacue::font::Fonts;
use flamacue::write::film::{Frames, Pictures};
use std::fs;
use std::path::Path;

/// How their names start and end, and how many digits their number has at least.
const HEAD: &str = "frame-";
const TAIL: &str = ".png";
const DIGITS: usize = 6;

/// Writes the frames of a film into a folder, which is made where it is missing.
pub fn write(film: &Film, fonts: &Fonts, folder: &Path) -> Result<(), Failure> {
    fs::create_dir_all(folder).map_err(|why| {
        Failure(format!("can't make the folder {}: {}", shown(folder), plain(&why)))
    })?;
    refuse_longer(folder, film.frames())?;
    let mut frames = Frames::of(film, fonts).map_err(Failure::new)?;
    let mut pictures = Pictures::of(film.options());
    let mut staged = Staged::new(Worth::Made);
    while let Some(frame) = frames.next_frame() {
        let path = folder.join(format!("{HEAD}{:0DIGITS$}{TAIL}", frame.number));
        let bytes = pictures.write(frame).map_err(Failure::new)?;
        staged.add(&path, bytes)?;
        staged.settle()?;
    }
    Ok(())
}

/// Refuses a folder with frames of a longer film, which would follow those of this one.
fn refuse_longer(folder: &Path, frames: u64) -> Result<(), Failure> {
    let entries = fs::read_dir(folder)
        .map_err(|why| Failure(format!("can't read {}: {}", shown(folder), plain(&why))))?;
    let longer = entries.flatten().any(|entry| {
        let name = entry.file_name();
        let number = name.to_str().and_then(|name| name.strip_prefix(HEAD)?.strip_suffix(TAIL));
        number.and_then(|number| number.parse::<u64>().ok()).is_some_and(|number| number >= frames)
    });
    match longer {
        true => Err(Failure(format!(
            "{} holds frames of a longer film, which would follow those of this one; empty it, or give another folder",
            shown(folder)
        ))),
        false => Ok(()),
    }
}
