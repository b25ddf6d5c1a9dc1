//! The command line and its help.

use super::practising::Practising;
use clap::{Parser, Subcommand, ValueHint};
use clap_complete::Shell;
use flamacue::derive::Budget;
use flamacue::source::Source;
use flamacue::write::Format;
use std::path::PathBuf;

/// Turns drum-text into engraved pages.
#[derive(Debug, Parser)]
#[command(
    name = "flamacue",
    version,
    about = "Turns drum-text into engraved pages: PDF for paper, pictures and web pages for screens.",
    long_about = "Turns drum-text into engraved pages: PDF for paper, pictures and web pages for \
        screens.\n\n\
        Drum-text is a plain file, named like `handout.flam`, that reads like the page it makes: \
        a title, a few sentences, and your fills and grooves as rows of letters with their \
        stickings. To begin:\n\n  \
        flamacue new tuesday.flam      a starter file; open it in any text editor and change it\n  \
        flamacue build tuesday.flam    tuesday.pdf beside it",
    after_long_help = "A fill in drum-text:\n\n    \
        fill gate \"Through the gate\"\n      \
        play   S.ss t.tt m.mm C+k\n      \
        stick  R.RL R.RL R.RL R\n\n\
        Each group between spaces is one beat and its letters share the beat: `S` an accented \
        snare, `s` a snare, `t` and `m` the toms, `C+k` crash and kick together, `.` a silence. \
        The counts are written under the notes by themselves. The guide, in the folder `guide` of the \
        project, teaches the rest; `flamacue help build` shows all a page can become.\n\n\
        Exit status: 0 all is well; 1 the text has faults, each shown with its place and what to \
        write instead; 2 the command line is wrong, or a file can't be read or written.",
    arg_required_else_help = true,
    propagate_version = true
)]
pub struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Make pages: a PDF beside each file, or what -o asks for.
    #[command(after_long_help = "Examples:\n  \
            flamacue build handout.flam                  handout.pdf beside it\n  \
            flamacue build handout.flam -o week3.pdf     the same under another name\n  \
            flamacue build handout.flam -o handout.svg   one picture for each page: handout.svg,\n                                               \
            or handout-1.svg, handout-2.svg, ...\n  \
            flamacue build handout.flam -o handout.html  a web page that reads well on a phone\n  \
            flamacue build handout.flam -o handout.epub  a book for tablets and e-readers\n  \
            flamacue build handout.flam -o handout.png   the same pages as PNG pictures\n  \
            flamacue build handout.flam -o handout.flac  sound to practise with; --click, --tempo,\n                                               \
            --practice say how, as keys in the text do\n  \
            flamacue build handout.flam --each           one cropped picture for each fill and\n                                               \
            groove: handout-gate.svg, handout-2.svg, ...\n  \
            flamacue build handout.flam --each --png --transparent\n                                               \
            the same as PNG, to lay over a video\n  \
            flamacue build lessons/*.flam -o printed/    a PDF for each file, in one folder\n  \
            flamacue build book.flam                     a book with the chapters it includes\n  \
            flamacue build book.flam -o folded.pdf --booklet\n                                               \
            to print at home and fold\n  \
            flamacue build book.flam --bleed 3 --crop-marks --cmyk\n                                               \
            for a printer\n  \
            flamacue build handout.flam --edition student\n                                               \
            handout-student.pdf, as an `edition student` block says\n  \
            flamacue build handout.flam --editions       the text as it stands and every edition\n  \
            flamacue build duet.flam --parts             all players together, and the part of each\n  \
            flamacue build - -o page.pdf < handout.flam  read from another program\n\n\
            Nothing is written when any of the files has a fault, and a page made before stays \
            as it was. A warning stops nothing.")]
    Build(Box<Build>),
    /// Look for faults without making pages: bars that don't add up, stickings that don't fit.
    #[command(after_long_help = "Examples:\n  \
            flamacue check handout.flam\n  \
            flamacue check lessons/*.flam\n\n\
            A fault is shown with its place and the mend, and no page can be made until it is \
            mended. A warning asks whether you meant it: a sticking that ends too soon, a passage \
            too fast for one hand at its tempo. Files that a book includes are looked at with \
            it.")]
    Check(Check),
    /// Tell how variations, contexts, series and stickings made by a rule come about, step by step.
    #[command(after_long_help = "Examples:\n  \
            flamacue explain handout.flam\n\n\
            Each line of a variation is named with what it did and the rows it left.")]
    Explain(Explain),
    /// Print the text with all that is made by a rule written out in plain rows.
    #[command(after_long_help = "Examples:\n  \
            flamacue expand handout.flam > written-out.flam\n\n\
            Variations, contexts, series and stickings made by a rule become rows like those you \
            write, to go on from by hand. What is printed builds to the same pages; it keeps its \
            `include` lines, so leave it in the same folder.")]
    Expand(Expand),
    /// Line up rows in columns, beat under beat. The music stays as it is.
    #[command(after_long_help = "Examples:\n  \
            flamacue fmt handout.flam           in place\n  \
            flamacue fmt --check lessons/*.flam name the files that are out of line\n  \
            flamacue fmt - < a.flam > b.flam    from another program to another\n\n\
            A file with faults is left alone.")]
    Fmt(Fmt),
    /// Write a starter file to change into your own.
    #[command(after_long_help = "Examples:\n  \
            flamacue new                   makes handout.flam\n  \
            flamacue new tuesday.flam      makes tuesday.flam\n\n\
            A file that is already there is never touched.")]
    New(New),
    /// Print completions, by which a shell finishes commands and options for you.
    #[command(after_long_help = "Examples:\n  \
            flamacue completions bash > ~/.local/share/bash-completion/completions/flamacue\n  \
            flamacue completions fish > ~/.config/fish/completions/flamacue.fish")]
    Completions {
        /// The shell.
        shell: Shell,
    },
    /// Print the manual page, of the whole command or of one of its parts.
    #[command(after_long_help = "Examples:\n  \
            flamacue manual > flamacue.1\n  \
            flamacue manual build | man -l -")]
    Manual {
        /// The part: build, check, fmt, ...
        part: Option<String>,
    },
}

/// Where files lie that texts may name.
#[derive(Debug, Default, clap::Args)]
pub struct Roots {
    /// Let texts name files in this folder too: chapters, pictures and fonts.
    ///
    /// Without it they name files in the folder of the file that a book starts with, and in folders inside
    /// of that. Give the option again for more folders. What the command line itself names may lie anywhere.
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub root: Vec<PathBuf>,
}

#[derive(Debug, clap::Args)]
pub struct Explain {
    /// A file of drum-text; `-` reads what another program sends.
    #[arg(value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub file: PathBuf,

    #[command(flatten)]
    pub roots: Roots,

    #[command(flatten)]
    pub limit: Limit,
}

#[derive(Debug, clap::Args)]
pub struct Expand {
    /// A file of drum-text; `-` reads what another program sends.
    #[arg(value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub file: PathBuf,

    #[command(flatten)]
    pub roots: Roots,

    #[command(flatten)]
    pub limit: Limit,
}

#[derive(Debug, clap::Args)]
pub struct Build {
    /// Files of drum-text; `-` reads what another program sends.
    #[arg(required = true, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,

    // Where to write; the endings and what they mean are the table of the writers.
    #[arg(
        short,
        long,
        value_name = "OUT",
        value_hint = ValueHint::AnyPath,
        help = output_help(),
        long_help = output_long_help()
    )]
    pub output: Option<PathBuf>,

    /// Build an edition that the text has, named `handout-student.pdf`; give the option again for more.
    ///
    /// An `edition` block in the text says what is different in it. With one edition and a name after -o, that is
    /// the name.
    #[arg(long, value_name = "NAME", conflicts_with = "editions")]
    pub edition: Vec<String>,

    /// Build the text as it stands and all editions it has.
    #[arg(long)]
    pub editions: bool,

    /// Build the pages of one player, named `duet-student.pdf`; give the option again for more.
    ///
    /// Blocks of several players are printed with that player's part alone, with long rests where the player is
    /// silent. With one part and a name after -o, that is the name.
    #[arg(long, value_name = "PLAYER", conflicts_with = "parts")]
    pub part: Vec<String>,

    /// Build the pages of all players together, and those of each.
    #[arg(long)]
    pub parts: bool,

    /// One cropped picture, as SVG, for each fill, groove, exercise and rudiment; -o names a folder.
    #[arg(long)]
    pub each: bool,

    /// PDF: room around the page that the printer cuts away, in millimetres.
    #[arg(long, value_name = "MM", value_parser = bleed)]
    pub bleed: Option<f64>,

    /// PDF: lines around the page that show where to cut.
    #[arg(long)]
    pub crop_marks: bool,

    /// PDF: black named as CMYK with black ink only, as some printers ask; gray otherwise.
    #[arg(long)]
    pub cmyk: bool,

    /// PDF: two pages on each side of a sheet, in the order that folds to a booklet.
    #[arg(long)]
    pub booklet: bool,

    /// With --each: PNG pictures in place of SVG. For whole pages as PNG say -o NAME.png.
    #[arg(long, requires = "each")]
    pub png: bool,

    /// Size of PNG pictures: 1 is 96 pixels an inch. Without this, 2.
    #[arg(long, value_name = "NUMBER", value_parser = scale)]
    pub scale: Option<f64>,

    /// PNG pictures without paper: nothing behind the ink.
    #[arg(long)]
    pub transparent: bool,

    /// Keep words in SVG as text that can be searched and copied, with the letters embedded.
    #[arg(long)]
    pub svg_text: bool,

    /// Set the pages in a style of your own: a table of sizes, as styles/handout.toml is.
    ///
    /// The styles that are built in are chosen in the text, as `style: book`.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub style: Option<PathBuf>,

    #[command(flatten)]
    pub fonts: FontFiles,

    #[command(flatten)]
    pub roots: Roots,

    #[command(flatten)]
    pub limit: Limit,

    #[command(flatten)]
    pub practising: Practising,
}

/// How much may be made.
#[derive(Debug, Clone, Copy, clap::Args)]
pub struct Limit {
    /// Allow so many times as much to be made by variations, contexts and series as usual.
    #[arg(
        long = "limit",
        value_name = "NUMBER",
        default_value_t = 1,
        hide_default_value = true,
        value_parser = clap::value_parser!(u32).range(1..)
    )]
    times: u32,
}

impl Default for Limit {
    fn default() -> Self {
        Self { times: 1 }
    }
}

impl Limit {
    /// What may be made of a text.
    pub fn of(self, source: &Source) -> Budget {
        Budget::of(source).times(self.times)
    }
}

/// Faces other than those of the program.
#[derive(Debug, Default, clap::Args)]
pub struct FontFiles {
    /// Set words in another font; give the option again for a bold face and then an italic one.
    ///
    /// It is used in place of what `text-font:` in a file names. What the font lacks is taken from the usual one.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub text_font: Vec<PathBuf>,

    /// Draw music with another font that follows the SMuFL standard; --music-metadata goes with it.
    #[arg(
        long,
        value_name = "FILE",
        requires = "music_metadata",
        value_hint = ValueHint::FilePath
    )]
    pub music_font: Option<PathBuf>,

    /// The SMuFL metadata file of that font.
    #[arg(
        long,
        value_name = "FILE",
        requires = "music_font",
        value_hint = ValueHint::FilePath
    )]
    pub music_metadata: Option<PathBuf>,
}

#[derive(Debug, clap::Args)]
pub struct Check {
    /// Files of drum-text; `-` reads what another program sends.
    #[arg(required = true, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,

    #[command(flatten)]
    pub roots: Roots,

    #[command(flatten)]
    pub limit: Limit,
}

#[derive(Debug, clap::Args)]
pub struct Fmt {
    /// Files of drum-text; `-` reads from one program and writes to another.
    #[arg(required = true, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,

    /// Change nothing; name the files that are out of line and end with status 1.
    #[arg(long)]
    pub check: bool,

    #[command(flatten)]
    pub roots: Roots,
}

#[derive(Debug, clap::Args)]
pub struct New {
    /// The file to write; `-` is standard output.
    #[arg(value_name = "FILE", default_value = "handout.flam", value_hint = ValueHint::FilePath)]
    pub file: PathBuf,
}

/// The endings a name of a file may have: `.pdf, .svg or .json`.
pub fn endings() -> String {
    let mut endings: Vec<String> =
        Format::ALL.iter().map(|format| format!(".{}", format.ending)).collect();
    let last = endings.pop().unwrap_or_default();
    format!("{} or {last}", endings.join(", "))
}

fn output_help() -> String {
    format!("Where to write: a name ending in {}, or a folder", endings())
}

fn output_long_help() -> String {
    let mut forms: Vec<&str> = Format::ALL.iter().map(|format| format.is).collect();
    forms.dedup();
    let last = forms.pop().unwrap_or_default();
    format!(
        "{}.\n\n\
         The ending says what is written: {}, or {last}. A folder, written with a slash at its end if \
         it is not there yet, takes the output of any number of files. Without this, each file's \
         output stands beside it; what is read from standard input goes to standard output as PDF.",
        output_help(),
        forms.join(", "),
    )
}

fn scale(words: &str) -> Result<f64, String> {
    match words.parse() {
        Ok(scale) if (0.1..=20.0).contains(&scale) => Ok(scale),
        _ => Err("write a number from 0.1 to 20, as 2 or 0.5".into()),
    }
}

fn bleed(words: &str) -> Result<f64, String> {
    match words.parse() {
        Ok(bleed) if (0.0..=30.0).contains(&bleed) => Ok(bleed),
        _ => Err("write millimetres from 0 to 30, as 3".into()),
    }
}
