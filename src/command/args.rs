//! The command line and its help.

use super::args_values::{bleed, output_help, output_long_help, scale};
pub use super::common::{FontFiles, Limit, Roots};
use super::deferred::Deferred;
use super::film::{EXAMPLES, FilmArguments};
use super::practising::Practising;
use clap::{Parser, Subcommand, ValueHint};
use clap_complete::Shell;
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
            flamacue build book.flam --web               book-web/index.html and a page for each\n                                               \
            chapter\n  \
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
    Build(Deferred<Build>),
    /// Look for faults without making pages: bars that don't add up, stickings that don't fit.
    #[command(after_long_help = "Examples:\n  \
            flamacue check handout.flam\n  \
            flamacue check lessons/*.flam\n\n\
            A fault is shown with its place and the mend, and no page can be made until it is \
            mended. A warning asks whether you meant it: a sticking that ends too soon, a passage \
            too fast for one hand at its tempo. Files that a book includes are looked at with \
            it.")]
    Check(Deferred<Check>),
    /// Tell how variations, contexts, series and stickings made by a rule come about, step by step.
    #[command(after_long_help = "Examples:\n  \
            flamacue explain handout.flam\n\n\
            Each line of a variation is named with what it did and the rows it left.")]
    Explain(Deferred<OneText>),
    /// Print the text with all that is made by a rule written out in plain rows.
    #[command(after_long_help = "Examples:\n  \
            flamacue expand handout.flam > written-out.flam\n\n\
            Variations, contexts, series and stickings made by a rule become rows like those you \
            write, to go on from by hand. What is printed builds to the same pages; it keeps its \
            `include` lines, so leave it in the same folder.")]
    Expand(Deferred<OneText>),
    /// Write a text beside its pages and its sound, in your browser.
    #[command(after_long_help = "Examples:\n  \
            flamacue desk handout.flam\n  \
            flamacue desk              the texts of this folder, and new ones\n  \
            flamacue desk handout.flam --port 8000\n\n\
            Type, and the page follows; what is wrong is underlined and said in words, and the last good \
            page stays. Click a note to go to its cell. Play the block under the cursor slower, or again \
            and again, with a click. Ctrl+S saves. A text that is on the desk already is opened where it is.\n\n\
            The page is served by this program, to this machine alone, at an address that nobody else \
            knows. Nothing is sent anywhere, and no file is written but the one you save or begin.")]
    Desk(Deferred<Desk>),
    /// Make pages again whenever a file is saved, until you press Ctrl and C.
    #[command(after_long_help = "Examples:\n  \
            flamacue watch handout.flam                  handout.pdf is made again at each save\n  \
            flamacue watch handout.flam -o handout.html  the same with a web page\n  \
            flamacue watch lessons/*.flam -o printed/    a PDF for each file, in one folder\n\n\
            The options are those of `build`. What a text includes is watched with it: chapters, \
            pictures, fonts, and a style of your own. One line says which pages changed and how \
            long it took; a fault is shown once, and the page made last stays until it is mended.")]
    Watch(Deferred<Watch>),
    /// Answer a text editor: faults while you type, completion, names, formatting.
    #[command(
        after_long_help = "You do not start this yourself: a text editor does, and talks to it over standard \
            input and output by the Language Server Protocol. Tell your editor that the language server \
            for files ending in .flam is `flamacue lsp`; the guide's page \"In your editor\" says more.\n\n\
            It reads the texts the editor has open and the files they include, and never writes one."
    )]
    Lsp(Deferred<Lsp>),
    /// Make films: notation in step with its sound, to be laid over a video or played in a browser.
    #[command(after_long_help = EXAMPLES)]
    Film(Deferred<FilmArguments>),
    /// Line up rows in columns, beat under beat. The music stays as it is.
    #[command(after_long_help = "Examples:\n  \
            flamacue fmt handout.flam           in place\n  \
            flamacue fmt --check lessons/*.flam name the files that are out of line\n  \
            flamacue fmt - < a.flam > b.flam    from another program to another\n\n\
            A file with faults is left alone.")]
    Fmt(Deferred<Fmt>),
    /// Make a lesson to hear: numbered sound files of each block, a quiz, and a web page that plays them.
    #[command(after_long_help = "Examples:\n  \
            flamacue lesson handout.flam               a folder handout-lesson beside it\n  \
            flamacue lesson handout.flam -o tuesday/   the same in another folder\n  \
            flamacue lesson handout.flam --click beats --count-in 2\n  \
            flamacue lesson handout.flam --quiz 7      the quiz in another order\n\n\
            Each block is heard twice, then there is as long a silence to try it by ear, then it comes in its \
            context, slow, and up to tempo; a block that says `practice` in the text is heard as it says. \
            Then come all in a row, and a quiz in another order with its answers. Beside the sound files \
            stand a playlist, lesson.m3u8, and a web page, index.html, on which each block has play, loop, \
            tempo and click and its notes light up as they sound.\n\n\
            A file in the folder that no lesson has made is never written over.")]
    Lesson(Deferred<LessonWanted>),
    /// Write a starter file to change into your own.
    #[command(after_long_help = "Examples:\n  \
            flamacue new                   makes handout.flam\n  \
            flamacue new tuesday.flam      makes tuesday.flam\n\n\
            A file that is already there is never touched.")]
    New(Deferred<New>),
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

#[derive(Debug, clap::Args)]
pub struct OneText {
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
        long_help = output_long_help(true)
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

    /// A web book: a folder with a page for each chapter, which links lead through; -o names the folder.
    ///
    /// `index.html` is the first page, with the contents. Without -o the folder of `book.flam` is `book-web`. For
    /// one web page say -o NAME.html.
    #[arg(long, conflicts_with = "each")]
    pub web: bool,

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

// What another program sends comes once.
#[derive(Debug, clap::Args)]
#[command(mut_arg("files", |files| files.help("Files of drum-text")))]
#[command(mut_arg("output", |output| output.long_help(output_long_help(false))))]
pub struct Watch {
    #[command(flatten)]
    pub build: Build,
}

#[derive(Debug, clap::Args)]
pub struct LessonWanted {
    /// A file of drum-text; `-` reads what another program sends.
    #[arg(value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub file: PathBuf,

    /// The folder to write to; without it, one beside the file, as `handout-lesson`.
    #[arg(short, long, value_name = "FOLDER", value_hint = ValueHint::DirPath)]
    pub output: Option<PathBuf>,

    /// A number that chooses the order of the quiz.
    #[arg(long, value_name = "NUMBER", default_value_t = 1, hide_default_value = true)]
    pub quiz: u64,

    #[command(flatten)]
    pub fonts: FontFiles,

    #[command(flatten)]
    pub roots: Roots,

    #[command(flatten)]
    pub limit: Limit,

    #[command(flatten)]
    pub practising: Practising,
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
pub struct Desk {
    /// The file to write in, or a folder to choose one from; the folder you are in where nothing is said.
    #[arg(value_name = "FILE", value_hint = ValueHint::AnyPath)]
    pub file: Option<PathBuf>,

    /// The port of this machine it is served at; a free one where nothing is said.
    #[arg(long, value_name = "NUMBER")]
    pub port: Option<u16>,

    /// Only tell the address, and open no browser.
    #[arg(long)]
    pub no_browser: bool,

    /// End by itself when no page has been open for so many seconds and all is saved, and say in a page why it can't
    /// be opened, as where there is no terminal.
    #[arg(long, value_name = "SECONDS", hide = true)]
    pub leave_after: Option<u32>,

    #[command(flatten)]
    pub roots: Roots,
}

#[derive(Debug, clap::Args)]
pub struct Lsp {
    #[command(flatten)]
    pub roots: Roots,

    /// Talk over standard input and output, which it does in any case; some editors say so.
    #[arg(long, hide = true)]
    pub stdio: bool,
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
