//! Which output goes where.

use super::args::Build;
use super::clash;
use super::clash::Planned;
use super::outcome::Failure;
use super::report::shown;
use super::standard::is_standard;
use flamacue::write::Format;
use std::collections::HashSet;
use std::path::{Path, PathBuf};

/// What stands after the name of a text in that of the folder of its web book.
const WEB_FOLDER: &str = "-web";

/// What one file's output is and where it goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// All pages: one file, or one for each page where the form holds one page only.
    Pages { path: PathBuf, format: Format },
    /// A picture of each block, named `stem-block.svg` or `.png`.
    Each { folder: PathBuf, stem: String, format: Format },
    /// The pages of a web book, all in one folder.
    Web { folder: PathBuf },
    /// A PDF on standard output.
    StandardOutput,
}

impl Target {
    /// The form of what is written.
    pub fn format(&self) -> Format {
        match self {
            Self::Pages { format, .. } | Self::Each { format, .. } => *format,
            Self::Web { .. } => Format::HTML,
            Self::StandardOutput => Format::PDF,
        }
    }

    /// Where an edition goes: its name stands before the ending, before the name of a block, or after that of
    /// a folder. Nothing where
    /// all goes to standard output.
    pub fn of_edition(&self, name: &str) -> Option<Self> {
        match self {
            Self::Pages { path, format } => {
                let path = with_word(path, *format, name);
                Some(Self::Pages { path, format: *format })
            }
            Self::Each { folder, stem, format } => Some(Self::Each {
                folder: folder.clone(),
                stem: format!("{stem}-{name}"),
                format: *format,
            }),
            Self::Web { folder } => {
                let mut own = folder.file_name().unwrap_or_default().to_owned();
                own.push(format!("-{name}"));
                Some(Self::Web { folder: folder.with_file_name(own) })
            }
            Self::StandardOutput => None,
        }
    }

    /// The files that so many pages go to, in order; none for standard output.
    pub fn files_of_pages(&self, count: usize) -> Vec<PathBuf> {
        match self {
            Self::Pages { path, .. } if count == 1 => vec![path.clone()],
            Self::Pages { path, format } => {
                let numbered = |number: usize| with_word(path, *format, &number.to_string());
                (1..=count).map(numbered).collect()
            }
            Self::Each { .. } | Self::Web { .. } | Self::StandardOutput => Vec::new(),
        }
    }

    /// The file that a page of a web book goes to.
    pub fn file_of_web(&self, name: &str) -> Option<PathBuf> {
        match self {
            Self::Web { folder } => Some(folder.join(name)),
            Self::Pages { .. } | Self::Each { .. } | Self::StandardOutput => None,
        }
    }

    /// The files that pictures of blocks with these names go to, in order.
    pub fn files_of_blocks<'a>(&self, names: impl Iterator<Item = &'a str>) -> Vec<PathBuf> {
        let Self::Each { folder, stem, format } = self else { return Vec::new() };
        let file = |word| folder.join(format!("{stem}-{word}.{}", format.ending));
        file_words(names).into_iter().map(file).collect()
    }
}

/// The form that a file's ending asks for.
fn format_of(path: &Path) -> Option<Format> {
    Format::of_name(path.file_name()?.to_str()?)
}

/// The target of each file, in order.
pub fn targets(wanted: &Build) -> Result<Vec<Target>, Failure> {
    if wanted.files.iter().filter(|file| is_standard(file)).count() > 1 {
        return Err(Failure::new("standard input can be read only once"));
    }
    let folder = folder(wanted)?;
    let targets = wanted
        .files
        .iter()
        .map(|file| target(wanted, file, folder))
        .collect::<Result<Vec<_>, Failure>>()?;
    refuse_clashes(wanted, &targets)?;
    refuse_idle_options(wanted, &targets)?;
    Ok(targets)
}

/// Refuses what can be known to clash before any file is read.
fn refuse_clashes(wanted: &Build, targets: &[Target]) -> Result<(), Failure> {
    let planned: Vec<Planned> = wanted
        .files
        .iter()
        .zip(targets)
        .filter_map(|(file, target)| match target {
            Target::Pages { path, .. } => Some(Planned { path: path.clone(), of: shown(file) }),
            Target::Each { .. } | Target::Web { .. } | Target::StandardOutput => None,
        })
        .collect();
    let fonts = &wanted.fonts;
    let read: Vec<PathBuf> = wanted
        .files
        .iter()
        .filter(|file| !is_standard(file))
        .chain(&wanted.style)
        .chain(&fonts.text_font)
        .chain(&fonts.music_font)
        .chain(&fonts.music_metadata)
        .cloned()
        .collect();
    clash::refuse(&planned, &read)
}

/// Refuses options that change nothing of what is written.
fn refuse_idle_options(wanted: &Build, targets: &[Target]) -> Result<(), Failure> {
    let none_is = |format: Format| targets.iter().all(|target| target.format() != format);
    if wanted.svg_text && none_is(Format::SVG) {
        return Err(Failure::new(
            "--svg-text is for SVG: add -o with a name ending in .svg, or --each",
        ));
    }
    if (wanted.scale.is_some() || wanted.transparent) && none_is(Format::PNG) {
        return Err(Failure::new(
            "--scale and --transparent are for PNG: add -o with a name ending in .png, or --each --png",
        ));
    }
    let silent = targets.iter().all(|target| !target.format().is_heard());
    if silent && !wanted.practising.is_idle() {
        return Err(Failure::new(
            "--block, --practice, --click, --count-in, --tempo, --without, --looseness, --soundfont, --at, --taps and --marks are for what is heard: add -o with a name ending in .wav, .flac or .cues.json",
        ));
    }
    let pdf_words = wanted.bleed.is_some() || wanted.crop_marks || wanted.cmyk || wanted.booklet;
    if pdf_words && none_is(Format::PDF) {
        return Err(Failure::new("--bleed, --crop-marks, --cmyk and --booklet are for PDF"));
    }
    Ok(())
}

/// The output folder, where -o names one.
fn folder(wanted: &Build) -> Result<Option<&Path>, Failure> {
    let Some(out) = wanted.output.as_deref() else { return Ok(None) };
    let slashed = out.as_os_str().to_string_lossy().ends_with(std::path::is_separator);
    if slashed || out.is_dir() {
        return Ok(Some(out));
    }
    let named = shown(out);
    if is_standard(out) && wanted.files.len() == 1 && !wanted.each && !wanted.web {
        return Ok(None);
    }
    match format_of(out) {
        _ if is_standard(out) => Err(Failure::new("standard output takes one file only, as PDF")),
        Some(_) if wanted.web => Err(Failure(format!(
            "--web writes a folder of pages, so -o must be a folder, as `{}`; a name ending in .html is for one page, without --web",
            shown(&out.with_extension("").join(""))
        ))),
        Some(_) if wanted.each => Err(Failure(format!(
            "--each writes many pictures, so -o must be a folder, as `{}`",
            shown(&out.with_extension("").join(""))
        ))),
        Some(_) if wanted.files.len() > 1 => Err(Failure(format!(
            "many files can't become the one file {named}; give -o a folder, as `{}`",
            shown(&out.with_extension("").join(""))
        ))),
        Some(_) => Ok(None),
        None if wanted.each || wanted.web || wanted.files.len() > 1 => Ok(Some(out)),
        None => Err(Failure(format!(
            "{named} does not say what to write: end it in {}, or in a slash for a folder",
            super::args_values::endings()
        ))),
    }
}

fn target(wanted: &Build, file: &Path, folder: Option<&Path>) -> Result<Target, Failure> {
    let stem = if is_standard(file) {
        "page".into()
    } else {
        let stem = file
            .file_stem()
            .ok_or_else(|| Failure(format!("{} is not the name of a file", shown(file))))?;
        stem.to_owned()
    };
    if wanted.each {
        let beside = if is_standard(file) { None } else { file.parent() };
        let folder = folder.or(beside).unwrap_or(Path::new("")).to_owned();
        let format = if wanted.png { Format::PNG } else { Format::SVG };
        let stem = stem.to_string_lossy().into_owned();
        return Ok(Target::Each { folder, stem, format });
    }
    if wanted.web {
        // The pages of one book stand in the folder that is named; those of several each in one of their own.
        let beside = if is_standard(file) { None } else { file.parent() };
        let mut own = stem;
        own.push(WEB_FOLDER);
        let folder = match folder {
            Some(folder) if wanted.files.len() == 1 => folder.to_owned(),
            Some(folder) => folder.join(own),
            None => beside.unwrap_or(Path::new("")).join(own),
        };
        return Ok(Target::Web { folder });
    }
    if let Some(folder) = folder {
        let mut name = stem;
        name.push(".pdf");
        return Ok(Target::Pages { path: folder.join(name), format: Format::PDF });
    }
    match wanted.output.as_deref() {
        Some(out) if !is_standard(out) => {
            let format = format_of(out).unwrap_or(Format::PDF);
            Ok(Target::Pages { path: out.to_owned(), format })
        }
        None if !is_standard(file) => {
            Ok(Target::Pages { path: file.with_extension("pdf"), format: Format::PDF })
        }
        _ => Ok(Target::StandardOutput),
    }
}

/// The name of one of many, with a word before its ending: `name-2.svg`, `name-student.pdf`.
fn with_word(path: &Path, format: Format, word: &str) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    // The ending as it is written, in capitals or not.
    let ends = Format::of_name(&name).is_some_and(|own| own == format);
    let stem = match name.len().checked_sub(format.ending.len() + 1).filter(|_| ends) {
        Some(at) => at,
        None => path.file_stem().map_or(name.len(), |stem| stem.to_string_lossy().len()),
    };
    let (stem, ending) = name.split_at_checked(stem).unwrap_or((&name, ""));
    path.with_file_name(format!("{stem}-{word}{ending}"))
}

/// The names of blocks as parts of file names: letters, digits, hyphens, underscores and points between
/// digits only, and no two the same, in capitals or not.
pub fn file_words<'a>(names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut taken = HashSet::new();
    for name in names {
        let is_point = |at: usize| {
            let (before, after) = (name.get(..at).unwrap_or(""), name.get(at + 1..).unwrap_or(""));
            let digit = |c: char| c.is_ascii_digit();
            name.get(at..=at) == Some(".") && before.ends_with(digit) && after.starts_with(digit)
        };
        let kept = |(at, c): (usize, char)| {
            if c.is_alphanumeric() || c == '_' || is_point(at) { c } else { '-' }
        };
        let mut plain: String = name.char_indices().map(kept).collect();
        if plain.is_empty() {
            plain.push('-');
        }
        let mut word = plain.clone();
        let mut next = 2;
        // Some disks tell `A` from `a` and others do not.
        while !taken.insert(word.to_lowercase()) {
            word = format!("{plain}-{next}");
            next += 1;
        }
        words.push(word);
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wanted(files: &[&str], output: Option<&str>, each: bool) -> Build {
        Build {
            limit: crate::command::common::Limit::default(),
            files: files.iter().map(PathBuf::from).collect(),
            output: output.map(PathBuf::from),
            edition: Vec::new(),
            editions: false,
            part: Vec::new(),
            parts: false,
            each,
            web: false,
            svg_text: false,
            style: None,
            bleed: None,
            crop_marks: false,
            cmyk: false,
            booklet: false,
            png: false,
            scale: None,
            transparent: false,
            fonts: crate::command::common::FontFiles::default(),
            roots: crate::command::common::Roots::default(),
            practising: crate::command::practising::Practising::default(),
        }
    }

    fn pages(path: &str, format: Format) -> Target {
        Target::Pages { path: path.into(), format }
    }

    #[test]
    fn a_pdf_beside_the_file_is_the_default() {
        let targets = targets(&wanted(&["a/x.flam", "y.flam"], None, false)).expect("a plan");
        assert_eq!(targets, [pages("a/x.pdf", Format::PDF), pages("y.pdf", Format::PDF)]);
    }

    fn form(ending: &str) -> Format {
        Format::of_ending(ending).expect("a form")
    }

    #[test]
    fn the_ending_is_the_format() {
        for (out, format) in [
            ("o.pdf", Format::PDF),
            ("o.SVG", Format::SVG),
            ("o.png", Format::PNG),
            ("o.html", form("html")),
            ("p/o.json", form("json")),
        ] {
            let targets = targets(&wanted(&["x.flam"], Some(out), false)).expect("a plan");
            assert_eq!(targets, [pages(out, format)]);
        }
        targets(&wanted(&["x.flam"], Some("o.doc"), false)).expect_err("no such form");
        targets(&wanted(&["x.flam"], Some("o"), false)).expect_err("no form");
    }

    #[test]
    fn many_files_want_a_folder_and_their_own_names() {
        let many = &["a/x.flam", "b/y.flam"];
        let plan = targets(&wanted(many, Some("out/"), false)).expect("a plan");
        assert_eq!(plan, [pages("out/x.pdf", Format::PDF), pages("out/y.pdf", Format::PDF)]);
        targets(&wanted(many, Some("out.pdf"), false)).expect_err("one name for two");
        targets(&wanted(&["a/x.flam", "b/x.flam"], Some("out/"), false)).expect_err("a clash");
        targets(&wanted(&["-", "-"], Some("out/"), false)).expect_err("standard input twice");
    }

    #[test]
    fn pictures_of_blocks_go_into_a_folder() {
        let each = |folder: &str, stem: &str| Target::Each {
            folder: folder.into(),
            stem: stem.into(),
            format: Format::SVG,
        };
        let beside = targets(&wanted(&["a/x.flam"], None, true)).expect("a plan");
        assert_eq!(beside, [each("a", "x")]);
        let elsewhere = targets(&wanted(&["a/x.flam"], Some("web"), true)).expect("a plan");
        assert_eq!(elsewhere, [each("web", "x")]);
        targets(&wanted(&["x.flam"], Some("x.svg"), true)).expect_err("a file");
    }

    #[test]
    fn standard_input_goes_to_standard_output() {
        for out in [None, Some("-")] {
            let plan = targets(&wanted(&["-"], out, false)).expect("a plan");
            assert_eq!(plan, [Target::StandardOutput]);
        }
        let plan = targets(&wanted(&["-"], Some("o.svg"), false)).expect("a plan");
        assert_eq!(plan, [pages("o.svg", Format::SVG)]);
    }

    #[test]
    fn block_names_make_safe_file_names() {
        let names =
            ["gate", "../x", "gate", "3", "", "Größe", "2.1", "1..2", "Gate", "GRÖSSE", "GRÖßE"];
        let words = [
            "gate",
            "---x",
            "gate-2",
            "3",
            "-",
            "Größe",
            "2.1",
            "1--2",
            "Gate-3",
            "GRÖSSE",
            "GRÖßE-2",
        ];
        assert_eq!(file_words(names.into_iter()), words);
    }
}
