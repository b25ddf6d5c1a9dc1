//! `build`: every file is built before the first is written.

use super::args::Build;
use super::files::{self, Staged};
use super::plan::{self, Format, Target};
use super::report::{self, Progress};
use super::{Failure, Outcome};
use flamacue::Compiled;
use flamacue::engrave::Style;
use flamacue::font::{FontError, Fonts, MusicFont};
use flamacue::source::Diagnostics;
use flamacue::write::svg::SvgOptions;
use flamacue::write::{json, pdf, svg};
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

/// What a file becomes.
enum Output {
    File(PathBuf, Vec<u8>),
    Standard(Vec<u8>),
}

pub fn run(wanted: &Build) -> Result<Outcome, Failure> {
    let targets = plan::targets(wanted)?;
    if targets.contains(&Target::StandardOutput) && std::io::stdout().is_terminal() {
        return Err(Failure::new("a PDF on the terminal helps nobody: say where to write with -o"));
    }
    let fonts = fonts(wanted)?;
    let style = wanted.style.as_deref().map(style).transpose()?;
    let options = SvgOptions { live_text: wanted.svg_text };
    let mut progress = Progress::new(targets.len());
    let mut outputs = Vec::new();
    let mut outcome = Outcome::Clean;
    for (file, target) in wanted.files.iter().zip(&targets) {
        let source = files::read(file)?;
        progress.next(source.name());
        let mut diagnostics = Diagnostics::default();
        let compiled =
            flamacue::compile_in_style(&source, &fonts, style.as_ref(), &mut diagnostics);
        report::findings(&source, &diagnostics);
        match compiled.filter(|_| !diagnostics.has_errors()) {
            Some(compiled) => {
                if matches!(target, Target::Each { .. }) && compiled.blocks.is_empty() {
                    report::line(&format!("{}: there is no block to draw", source.name()));
                }
                outputs.extend(write(&compiled, target, &fonts, options)?);
            }
            None => outcome = Outcome::Faults,
        }
    }
    if outcome == Outcome::Faults {
        progress.end("nothing was written");
        return Ok(outcome);
    }
    let count = outputs.len();
    let mut staged = Staged::default();
    let mut streamed = Vec::new();
    for output in outputs {
        match output {
            Output::File(path, bytes) => {
                make_folder(wanted, &path)?;
                staged.add(&path, &bytes)?;
            }
            Output::Standard(bytes) => streamed = bytes,
        }
    }
    staged.commit()?;
    progress.end(&format!("{count} files written"));
    if streamed.is_empty() { Ok(Outcome::Clean) } else { files::print(&streamed) }
}

fn fonts(wanted: &Build) -> Result<Fonts, Failure> {
    let mut fonts = Fonts::built_in().map_err(Failure::new)?;
    if let (Some(font), Some(metadata)) = (&wanted.music_font, &wanted.music_metadata) {
        let data = files::read_bytes(font)?;
        let json = String::from_utf8(files::read_bytes(metadata)?)
            .map_err(|_| Failure(format!("can't read {}: it is not text", metadata.display())))?;
        fonts.music = MusicFont::from_files(data, &json)
            .map_err(|e| Failure(format!("{}: {e}", font.display())))?;
    }
    Ok(fonts)
}

fn style(file: &Path) -> Result<Style, Failure> {
    let table = String::from_utf8(files::read_bytes(file)?)
        .map_err(|_| Failure(format!("can't read {}: it is not text", file.display())))?;
    Style::from_table(&table).map_err(|e| Failure(format!("{}: {e}", file.display())))
}

fn write(
    compiled: &Compiled,
    target: &Target,
    fonts: &Fonts,
    options: SvgOptions,
) -> Result<Vec<Output>, Failure> {
    let refused = |e: FontError| Failure::new(e);
    let drawing = &compiled.drawing;
    let picture = |page| svg::write_with(page, fonts, options).map_err(refused);
    match target {
        Target::StandardOutput => {
            Ok(vec![Output::Standard(pdf::write(drawing, fonts).map_err(refused)?)])
        }
        Target::Pages { path, format: Format::Pdf } => {
            Ok(vec![Output::File(path.clone(), pdf::write(drawing, fonts).map_err(refused)?)])
        }
        Target::Pages { path, format: Format::Json } => {
            let json = json::write_measured(drawing, fonts);
            Ok(vec![Output::File(path.clone(), json.into_bytes())])
        }
        Target::Pages { path, format: Format::Svg } => {
            let alone = drawing.pages.len() == 1;
            let name = |nth| if alone { path.clone() } else { plan::numbered(path, nth + 1) };
            drawing
                .pages
                .iter()
                .enumerate()
                .map(|(nth, page)| Ok(Output::File(name(nth), picture(page)?.into_bytes())))
                .collect()
        }
        Target::Each { folder, stem } => {
            let words = plan::file_words(compiled.blocks.iter().map(|(name, _)| name.as_str()));
            words
                .iter()
                .zip(&compiled.blocks)
                .map(|(word, (_, page))| {
                    let path = folder.join(format!("{stem}-{word}.svg"));
                    Ok(Output::File(path, picture(page)?.into_bytes()))
                })
                .collect()
        }
    }
}

/// Makes the folder -o names; a folder inside a file's own path is never made up.
fn make_folder(wanted: &Build, path: &std::path::Path) -> Result<(), Failure> {
    let (Some(out), Some(folder)) = (wanted.output.as_deref(), path.parent()) else {
        return Ok(());
    };
    if folder == out && !folder.is_dir() {
        std::fs::create_dir_all(folder).map_err(|e| {
            Failure(format!("can't make the folder {}: {}", folder.display(), files::plain(&e)))
        })?;
    }
    Ok(())
}
