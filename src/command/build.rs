//! `build`: every file is built before the first is written.

use super::args::Build;
use super::files;
use super::files::Staged;
use super::fonts::FaceBox;
use super::plan;
use super::plan::{Format, Target};
use super::report;
use super::report::Progress;
use super::{Failure, Outcome};
use flamacue::Compiled;
use flamacue::engrave::Style;
use flamacue::font::{FontError, Fonts};
use flamacue::pages::booklet;
use flamacue::pages::sheet::PT_PER_MM;
use flamacue::source::Diagnostics;
use flamacue::write::pdf::{InkSpace, PdfOptions};
use flamacue::write::png::PngOptions;
use flamacue::write::svg::SvgOptions;
use flamacue::write::{html, json, pdf, png, svg};
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
    let mut faces = FaceBox::new(&wanted.fonts)?;
    let style = wanted.style.as_deref().map(style).transpose()?;
    let manner = Manner::of(wanted);
    let mut progress = Progress::new(targets.len());
    let mut outputs = Vec::new();
    let mut outcome = Outcome::Clean;
    for (file, target) in wanted.files.iter().zip(&targets) {
        let source = files::read(file)?;
        progress.next(source.name());
        let mut diagnostics = Diagnostics::default();
        let fonts = faces.of(&wanted.fonts, &source, file, &mut diagnostics);
        if let Target::Pages { path, format: Format::Html } = target {
            let flowing =
                flamacue::compile_flowing(&source, fonts, style.as_ref(), &mut diagnostics);
            report::findings(&source, &diagnostics);
            match flowing {
                Some(flowing) => {
                    let page = html::write(&flowing, fonts).map_err(Failure::new)?;
                    outputs.push(Output::File(path.clone(), page.into_bytes()));
                }
                None => outcome = Outcome::Faults,
            }
            continue;
        }
        let compiled = match target {
            Target::Each { .. } => {
                flamacue::compile_in_style(&source, fonts, style.as_ref(), &mut diagnostics)
            }
            _ => flamacue::compile_pages(&source, fonts, style.as_ref(), &mut diagnostics)
                .map(|drawing| Compiled { drawing, blocks: Vec::new() }),
        };
        report::findings(&source, &diagnostics);
        match compiled.filter(|_| !diagnostics.has_errors()) {
            Some(compiled) => {
                if matches!(target, Target::Each { .. }) && compiled.blocks.is_empty() {
                    report::line(&format!("{}: there is no block to draw", source.name()));
                }
                outputs.extend(write(&compiled, target, fonts, manner)?);
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

/// How pages and pictures are made.
#[derive(Clone, Copy)]
struct Manner {
    svg: SvgOptions,
    png: PngOptions,
    pdf: PdfOptions,
    booklet: bool,
    each_png: bool,
}

impl Manner {
    fn of(wanted: &Build) -> Self {
        let usual = PngOptions::default();
        Self {
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
            each_png: wanted.png,
        }
    }
}

/// The date a build that can be repeated is given (the reproducible-builds convention); a file says
/// no date otherwise.
fn source_date() -> Option<i64> {
    std::env::var("SOURCE_DATE_EPOCH").ok()?.parse().ok()
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
    manner: Manner,
) -> Result<Vec<Output>, Failure> {
    let refused = |e: FontError| Failure::new(e);
    let drawing = &compiled.drawing;
    let svg =
        |page| svg::write_with(page, fonts, manner.svg).map(String::into_bytes).map_err(refused);
    let paper = || {
        if manner.booklet {
            pdf::write_with(&booklet::impose(drawing), fonts, &manner.pdf).map_err(refused)
        } else {
            pdf::write_with(drawing, fonts, &manner.pdf).map_err(refused)
        }
    };
    let png = |page| png::write(page, fonts, manner.png).map_err(refused);
    match target {
        Target::StandardOutput => Ok(vec![Output::Standard(paper()?)]),
        Target::Pages { path, format: Format::Pdf } => {
            Ok(vec![Output::File(path.clone(), paper()?)])
        }
        Target::Pages { path, format: Format::Json } => {
            let json = json::write_measured(drawing, fonts);
            Ok(vec![Output::File(path.clone(), json.into_bytes())])
        }
        // The page that flows is made from the score, not from the drawing.
        Target::Pages { format: Format::Html, .. } => Ok(Vec::new()),
        Target::Pages { path, format: form @ (Format::Svg | Format::Png) } => {
            let alone = drawing.pages.len() == 1;
            let name = |nth| if alone { path.clone() } else { plan::numbered(path, nth + 1) };
            drawing
                .pages
                .iter()
                .enumerate()
                .map(|(nth, page)| {
                    let bytes = if *form == Format::Png { png(page)? } else { svg(page)? };
                    Ok(Output::File(name(nth), bytes))
                })
                .collect()
        }
        Target::Each { folder, stem } => {
            let words = plan::file_words(compiled.blocks.iter().map(|(name, _)| name.as_str()));
            words
                .iter()
                .zip(&compiled.blocks)
                .map(|(word, (_, page))| {
                    let ending = if manner.each_png { "png" } else { "svg" };
                    let path = folder.join(format!("{stem}-{word}.{ending}"));
                    let bytes = if manner.each_png { png(page)? } else { svg(page)? };
                    Ok(Output::File(path, bytes))
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
