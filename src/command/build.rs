//! `build`: every file is built before the first is written.

use super::args::Build;
use super::clash;
use super::clash::Planned;
use super::editions;
use super::files::Reader;
use super::fonts::FaceBox;
use super::heard::Heard;
use super::outcome::{Failure, Outcome};
use super::output::{Output, paths, put, written};
use super::plan;
use super::plan::Target;
use super::press::{Press, Teller};
use super::reading::Kind;
use super::report::{Progress, shown};
use super::standard::is_standard;
use super::{report, standard};
use flamacue::engrave::Style;
use flamacue::pages::sheet::PT_PER_MM;
use flamacue::score::settings::Look;
use flamacue::write::WriteOptions;
use flamacue::write::pdf::{InkSpace, PdfOptions};
use flamacue::write::png::PngOptions;
use flamacue::write::svg::SvgOptions;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

pub fn run(wanted: &Build) -> Result<Outcome, Failure> {
    let targets = plan::targets(wanted)?;
    if targets.contains(&Target::StandardOutput) && std::io::stdout().is_terminal() {
        return Err(Failure::new("a PDF on the terminal helps nobody: say where to write with -o"));
    }
    let reader = Reader::new(&wanted.roots);
    let mut progress = Progress::new(targets.len());
    let mut teller = Teller {
        begin: &mut |name| progress.next(name),
        find: &mut report::findings,
        pages: false,
    };
    let mut press = press(wanted, &reader)?;
    let made = outputs(&mut press, (wanted, &targets), &mut teller);
    // The program ends with it: what faces remember of all words goes quicker so.
    std::mem::forget(press);
    let Some(outputs) = made? else {
        progress.end("nothing was written");
        return Ok(Outcome::Faults);
    };
    // So do bytes of files, which are as long as the longest book: the allocator would give back to the system, one
    // after another, all places that are free by now.
    let outputs: &mut [Output] = outputs.leak();
    let count = outputs.len();
    let written = written(&paths(outputs).collect::<Vec<_>>());
    let streamed = put(wanted, outputs)?;
    match written.filter(|_| std::io::stderr().is_terminal()) {
        Some(sentence) => report::line(&sentence),
        None => progress.end(&format!("{count} files written")),
    }
    if streamed.is_empty() { Ok(Outcome::Clean) } else { standard::print(streamed) }
}

/// What all files are set with.
pub fn press<'a>(wanted: &'a Build, reader: &'a Reader<'a>) -> Result<Press<'a>, Failure> {
    let style = wanted.style.as_deref();
    Ok(Press {
        faces: FaceBox::new(&wanted.fonts, reader)?,
        style: style.map(|file| read_style(file, &wanted.files, reader)).transpose()?,
        options: options(wanted),
        limit: wanted.limit,
        practising: Heard::new(&wanted.practising, reader)?,
        reader,
    })
}

/// What all files become, of which nothing is written over what is read for them; nothing where any of them has
/// faults.
pub fn outputs(
    press: &mut Press<'_>,
    (wanted, targets): (&Build, &[Target]),
    teller: &mut Teller<'_>,
) -> Result<Option<Vec<Output>>, Failure> {
    let reader = press.reader;
    let mut outputs = Vec::new();
    let mut planned = Vec::new();
    let mut faulty = false;
    for (file, target) in wanted.files.iter().zip(targets) {
        let mut text = press.text(file, target)?;
        (teller.begin)(text.source.name());
        for variant in editions::wanted(wanted, &text.source, target)? {
            match press.outputs(file, &mut text, &variant, teller)? {
                Some(made) => {
                    let of = variant.of(file);
                    planned.extend(paths(&made).map(|path| Planned { path, of: of.clone() }));
                    outputs.extend(made);
                }
                None => faulty = true,
            }
        }
    }
    if faulty {
        return Ok(None);
    }
    clash::refuse(&planned, &reader.files())?;
    Ok(Some(outputs))
}

/// What the command line asks of the writers.
fn options(wanted: &Build) -> WriteOptions {
    let usual = PngOptions::default();
    WriteOptions {
        svg: SvgOptions { live_text: wanted.svg_text },
        png: PngOptions {
            scale: wanted.scale.unwrap_or(usual.scale),
            transparent: wanted.transparent,
        },
        pdf: PdfOptions {
            bleed: wanted.bleed.unwrap_or(0.0) * PT_PER_MM,
            crop_marks: wanted.crop_marks,
            ink: if wanted.cmyk { InkSpace::Cmyk } else { InkSpace::Gray },
            date: source_date(),
        },
        booklet: wanted.booklet,
    }
}

/// The date a build that can be repeated is given (the reproducible-builds convention); a file says
/// no date otherwise.
fn source_date() -> Option<i64> {
    std::env::var("SOURCE_DATE_EPOCH").ok()?.parse().ok()
}

/// The style of a table in a file, for some texts. Names of the built-in styles, and what is no file, are
/// answered with how those are chosen.
fn read_style(file: &Path, texts: &[PathBuf], reader: &Reader<'_>) -> Result<Style, Failure> {
    if !file.exists() {
        return Err(Failure(no_style(file, texts)));
    }
    let table = String::from_utf8(reader.named(file, Kind::Style)?)
        .map_err(|_| Failure(format!("can't read {}: it is not text", shown(file))))?;
    Style::from_table(&table).map_err(|e| Failure(format!("{}: {e}", shown(file))))
}

/// Why there is no style of a name, and how styles are chosen.
fn no_style(file: &Path, texts: &[PathBuf]) -> String {
    let name = shown(file);
    let names = Look::ALL.map(|(name, _)| format!("`{name}`")).join(", ");
    let takes = "--style takes a file with a table of your own, as `mine.toml`";
    if Look::ALL.iter().any(|(own, _)| *own == name) {
        let text = match texts {
            [one] if !is_standard(one) => shown(one),
            [] | [_, ..] => "the text".to_owned(),
        };
        return format!(
            "the style `{name}` is built in and chosen in the text: write `style: {name}` at the head of {text}; {takes}"
        );
    }
    format!(
        "there is no file {name}; {takes}, and the built-in styles {names} are chosen in the text, as `style: stand`"
    )
}
