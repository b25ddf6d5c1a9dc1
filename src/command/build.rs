//! `build`: every file is built before the first is written.

use super::args::{Build, Limit};
use super::clash;
use super::clash::Planned;
use super::editions;
use super::editions::Variant;
use super::files::{Reader, Text};
use super::fonts::FaceBox;
use super::heard;
use super::heard::Heard;
use super::outcome::{Failure, Outcome};
use super::plan;
use super::plan::Target;
use super::reading::Kind;
use super::recording::Recording;
use super::report::{Progress, plain, shown};
use super::standard::is_standard;
use super::writing::{Staged, Worth};
use super::{report, standard};
use flamacue::Compiled;
use flamacue::drawing::{Drawing, Page};
use flamacue::engrave::Style;
use flamacue::font::Fonts;
use flamacue::pages::Wanted;
use flamacue::pages::flowing::Flowing;
use flamacue::pages::sheet::PT_PER_MM;
use flamacue::score::Score;
use flamacue::score::settings::Look;
use flamacue::source::{Diagnostics, Source};
use flamacue::write::format::{DrawingWriter, FlowingWriter, PageWriter, Written, each_page};
use flamacue::write::pdf::{InkSpace, PdfOptions};
use flamacue::write::png::PngOptions;
use flamacue::write::svg::SvgOptions;
use flamacue::write::{WriteOptions, Writer};
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

/// What a file becomes.
enum Output {
    File(PathBuf, Vec<u8>),
    /// It is written sample by sample, for it can be longer than memory is large.
    Sound(PathBuf, Box<Recording>),
    Standard(Vec<u8>),
}

pub fn run(wanted: &Build) -> Result<Outcome, Failure> {
    let targets = plan::targets(wanted)?;
    if targets.contains(&Target::StandardOutput) && std::io::stdout().is_terminal() {
        return Err(Failure::new("a PDF on the terminal helps nobody: say where to write with -o"));
    }
    let reader = Reader::new(&wanted.roots);
    let style = wanted.style.as_deref();
    let mut press = Press {
        faces: FaceBox::new(&wanted.fonts, &reader)?,
        style: style.map(|file| read_style(file, &wanted.files, &reader)).transpose()?,
        options: options(wanted),
        limit: wanted.limit,
        practising: Heard::new(&wanted.practising, &reader)?,
        reader: &reader,
    };
    let mut progress = Progress::new(targets.len());
    let mut outputs = Vec::new();
    let mut planned = Vec::new();
    let mut outcome = Outcome::Clean;
    for (file, target) in wanted.files.iter().zip(&targets) {
        let mut text = reader.text(file)?;
        progress.next(text.source.name());
        for variant in editions::wanted(wanted, &text.source, target)? {
            match press.outputs(file, &mut text, &variant)? {
                Some(made) => {
                    let of = variant.of(file);
                    planned.extend(paths(&made).map(|path| Planned { path, of: of.clone() }));
                    outputs.extend(made);
                }
                None => outcome = Outcome::Faults,
            }
        }
    }
    if outcome == Outcome::Faults {
        progress.end("nothing was written");
        return Ok(outcome);
    }
    clash::refuse(&planned, &reader.files())?;
    let count = outputs.len();
    let written = written(&paths(&outputs).collect::<Vec<_>>());
    let streamed = put(wanted, outputs)?;
    match written.filter(|_| std::io::stderr().is_terminal()) {
        Some(sentence) => report::line(&sentence),
        None => progress.end(&format!("{count} files written")),
    }
    if streamed.is_empty() { Ok(Outcome::Clean) } else { standard::print(&streamed) }
}

/// What all files of a run are set with.
struct Press<'a> {
    reader: &'a Reader<'a>,
    faces: FaceBox<'a>,
    style: Option<Style>,
    options: WriteOptions,
    limit: Limit,
    practising: Heard<'a>,
}

impl Press<'_> {
    /// What a file becomes as it stands or in an edition, and its faults and warnings shown; nothing where it has faults.
    fn outputs(
        &mut self,
        file: &Path,
        text: &mut Text,
        Variant { edition, player, target }: &Variant,
    ) -> Result<Option<Vec<Output>>, Failure> {
        let mut diagnostics = Diagnostics::default();
        let budget = self.limit.of(&text.source);
        let score = editions::score(
            &text.source,
            (edition.as_deref(), player.as_deref()),
            budget,
            &mut diagnostics,
        );
        let fonts = match target.format().writer {
            // What is heard needs neither the pictures nor the fonts that a text names.
            Writer::Score(_) | Writer::Sound(_) => self.faces.usual(),
            Writer::Drawing(_) | Writer::Page(_) | Writer::Flowing(_) | Writer::Cues(_) => {
                self.reader.add_pictures(text, &score);
                self.faces.of(text, &score.header, file, &mut diagnostics)
            }
        };
        let (source, style) = (&text.source, self.style.as_ref());
        let made = if diagnostics.has_errors() {
            None
        } else {
            let read = ReadScore { source, score: &score, fonts, style };
            make(target, &read, &self.practising, &mut diagnostics)?
        };
        report::findings(source, &diagnostics);
        let Some(made) = made.filter(|_| !diagnostics.has_errors()) else { return Ok(None) };
        if made.is_empty() {
            report::line(&format!("{}: there is no block to draw", source.name()));
        }
        made.write(target, fonts, &self.options).map(Some)
    }
}

/// The files that are to be written.
fn paths(outputs: &[Output]) -> impl Iterator<Item = PathBuf> {
    let path = |output: &Output| match output {
        Output::File(path, _) | Output::Sound(path, _) => Some(path.clone()),
        Output::Standard(_) => None,
    };
    outputs.iter().filter_map(path)
}

/// Writes all files, none in its place before the last is whole; what is for standard output.
fn put(wanted: &Build, outputs: Vec<Output>) -> Result<Vec<u8>, Failure> {
    let mut staged = Staged::new(Worth::Made);
    let mut streamed = Vec::new();
    for output in outputs {
        match output {
            Output::File(path, bytes) => {
                make_folder(wanted, &path)?;
                staged.add(&path, &bytes)?;
            }
            Output::Sound(path, recording) => {
                make_folder(wanted, &path)?;
                staged.add_with(&path, |file| recording.write(file))?;
            }
            Output::Standard(bytes) => streamed = bytes,
        }
    }
    staged.commit()?;
    Ok(streamed)
}

/// A file as its writer reads it.
enum WriterInput {
    Whole(Drawing, DrawingWriter),
    /// Pages or pictures, each with the file it goes to.
    Apart(Vec<(PathBuf, Page)>, PageWriter),
    Flowing(Box<Flowing>, FlowingWriter),
    /// It is written already.
    Written(Written),
    Heard(Box<Recording>),
}

/// A score without an error, and what it is set with.
struct ReadScore<'a> {
    source: &'a Source,
    score: &'a Score,
    fonts: &'a Fonts,
    style: Option<&'a Style>,
}

impl ReadScore<'_> {
    fn typeset(&self, wanted: Wanted, diagnostics: &mut Diagnostics) -> Option<Compiled> {
        let Self { source, score, fonts, style } = *self;
        flamacue::typeset(source, score, fonts, style, wanted, diagnostics)
    }

    fn flowing(&self, diagnostics: &mut Diagnostics) -> Option<Flowing> {
        let Self { source, score, fonts, style } = *self;
        flamacue::typeset_flowing(source, score, fonts, style, diagnostics)
    }
}

/// Prepares a score as far as its writer needs; nothing where that shows an error.
fn make(
    target: &Target,
    score: &ReadScore<'_>,
    practising: &Heard<'_>,
    diagnostics: &mut Diagnostics,
) -> Result<Option<WriterInput>, Failure> {
    Ok(match target.format().writer {
        Writer::Drawing(writer) => score
            .typeset(Wanted::Pages, diagnostics)
            .map(|made| WriterInput::Whole(made.drawing, writer)),
        Writer::Page(writer) => {
            pages(target, score, diagnostics).map(|pages| WriterInput::Apart(pages, writer))
        }
        Writer::Flowing(writer) => score
            .flowing(diagnostics)
            .map(|flowing| WriterInput::Flowing(Box::new(flowing), writer)),
        Writer::Cues(writer) => {
            let plan = practising.plan(score.score, score.source.name())?;
            let write = |made: Compiled| writer(score.score, &plan, &made.drawing, score.fonts);
            score.typeset(Wanted::Pages, diagnostics).map(write).map(WriterInput::Written)
        }
        Writer::Score(writer) => {
            Some(WriterInput::Written(heard::played(score.score, score.source.name(), writer)?))
        }
        Writer::Sound(writer) => {
            let recording = practising.recording(score.score, score.source.name(), writer)?;
            Some(WriterInput::Heard(Box::new(recording)))
        }
    })
}

/// Pages or pictures of blocks, each with the file it goes to.
fn pages(
    target: &Target,
    score: &ReadScore<'_>,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<(PathBuf, Page)>> {
    Some(match target {
        Target::Each { .. } => {
            let made = score.typeset(Wanted::PagesAndPictures, diagnostics)?;
            let names = made.blocks.iter().map(|(name, _)| name.as_str());
            let files = target.files_of_blocks(names);
            files.into_iter().zip(made.blocks.into_iter().map(|(_, page)| page)).collect()
        }
        Target::Pages { .. } | Target::StandardOutput => {
            let pages = score.typeset(Wanted::Pages, diagnostics)?.drawing.pages;
            target.files_of_pages(pages.len()).into_iter().zip(pages).collect()
        }
    })
}

impl WriterInput {
    fn is_empty(&self) -> bool {
        match self {
            Self::Whole(..) | Self::Flowing(..) | Self::Written(_) | Self::Heard(_) => false,
            Self::Apart(pages, _) => pages.is_empty(),
        }
    }

    fn write(
        self,
        target: &Target,
        fonts: &Fonts,
        options: &WriteOptions,
    ) -> Result<Vec<Output>, Failure> {
        match self {
            Self::Written(written) => whole(target, written),
            Self::Heard(recording) => {
                let path = target.files_of_pages(1).pop();
                let output = |path| Output::Sound(path, recording);
                Ok(path.map(output).into_iter().collect())
            }
            Self::Whole(drawing, writer) => whole(target, writer(drawing, fonts, options)),
            Self::Flowing(flowing, writer) => whole(target, writer(&flowing, fonts, options)),
            Self::Apart(pages, writer) => {
                let (paths, pages): (Vec<_>, Vec<_>) = pages.into_iter().unzip();
                let written = each_page(writer, pages, fonts, options);
                let file = |(path, written): (PathBuf, Written)| {
                    Ok(Output::File(path, written.map_err(Failure::new)?))
                };
                paths.into_iter().zip(written).map(file).collect()
            }
        }
    }
}

/// What is all in one file.
fn whole(target: &Target, written: Written) -> Result<Vec<Output>, Failure> {
    let bytes = written.map_err(Failure::new)?;
    let output = match target.files_of_pages(1).pop() {
        Some(path) => Output::File(path, bytes),
        None => Output::Standard(bytes),
    };
    Ok(vec![output])
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

/// One line that tells which files were written.
fn written(paths: &[PathBuf]) -> Option<String> {
    let name = |path: &PathBuf| shown(path);
    match paths {
        [] => None,
        [one] => Some(format!("wrote {}", name(one))),
        [first, .., last] => {
            Some(format!("wrote {} files, {} to {}", paths.len(), name(first), name(last)))
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
            Failure(format!("can't make the folder {}: {}", shown(folder), plain(&e)))
        })?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_line_tells_what_was_written() {
        let paths = |names: &[&str]| names.iter().map(PathBuf::from).collect::<Vec<_>>();
        assert_eq!(written(&paths(&[])), None);
        assert_eq!(written(&paths(&["a.pdf"])).as_deref(), Some("wrote a.pdf"));
        let many = written(&paths(&["a-1.svg", "a-2.svg", "a-3.svg"]));
        assert_eq!(many.as_deref(), Some("wrote 3 files, a-1.svg to a-3.svg"));
    }
}
