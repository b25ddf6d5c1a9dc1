//! What the `key: value` lines of a file and of a block say.

use super::block_layout::BlockLayout;
use super::front_matter::FrontMatter;
pub use super::hands::{Limits, StickRule, Way};
use super::practice::Practice;
use super::printing::{Answers, Background, Blank, BlocksOnPages};
use super::{Colour, Level, Meter, Span, Spanned, Time};
use std::sync::Arc;

/// The whole file's settings.
#[derive(Clone, Debug, PartialEq)]
pub struct Header {
    /// The title at the head of the first page.
    pub title: Option<String>,
    /// The line under it.
    pub subtitle: Option<String>,
    /// Who made it.
    pub author: Option<String>,
    /// The line at the foot of each page.
    pub copyright: Option<String>,
    /// What stands on the pages after the title page.
    pub front: FrontMatter,
    /// For whom it is, as `level: second year`.
    pub level: Option<String>,
    /// The language of the words, a BCP 47 tag such as `en`.
    pub language: Option<String>,
    /// The paper.
    pub paper: Paper,
    /// The look of the pages.
    pub look: Look,
    /// Height of a five-line staff in millimetres, 3 to 20; the look's own where nothing is said.
    pub staff_height: Option<f64>,
    /// Where a `#` heading opens.
    pub chapters: Chapters,
    /// What the table of contents under the title lists.
    pub contents: Contents,
    /// Whether title, author and copyright stand on a page of their own.
    pub title_page: bool,
    /// Whether pages before the first of the body are numbered apart, in Roman numerals.
    pub roman_front: bool,
    /// Whether the head of a page names its chapter or its book.
    pub running_heads: bool,
    /// How blocks are numbered.
    pub numbers: Numbers,
    /// What the index at the end lists.
    pub index: Index,
    /// What the margin at the back of a bound book is wider by, in millimetres, 0 to 40.
    pub binding: Option<f64>,
    /// Where the notation key stands.
    pub key: NotationKey,
    /// Where the file asks for it.
    pub key_span: Span,
    /// Whether prose is printed.
    pub prose: bool,
    /// How blocks are shared out on pages.
    pub blocks: BlocksOnPages,
    /// Where the answers of what is left blank stand.
    pub answers: Answers,
    /// The colour of its ink, and where the file asks for it; nothing where it is that of the printer or
    /// the screen.
    pub ink: Option<Spanned<Colour>>,
    /// What is behind the ink.
    pub background: Background,
    /// Font files of its words as they are named, and where: one to three, regular, bold, italic. None
    /// where the program's own face serves.
    pub text_fonts: Option<Spanned<Vec<String>>>,
}

impl Default for Header {
    fn default() -> Self {
        Self {
            title: None,
            subtitle: None,
            author: None,
            copyright: None,
            front: FrontMatter::default(),
            level: None,
            language: None,
            paper: Paper::default(),
            look: Look::default(),
            staff_height: None,
            chapters: Chapters::default(),
            contents: Contents::default(),
            title_page: false,
            roman_front: false,
            running_heads: false,
            numbers: Numbers::default(),
            index: Index::default(),
            binding: None,
            key: NotationKey::default(),
            key_span: Span::default(),
            prose: true,
            blocks: BlocksOnPages::default(),
            answers: Answers::default(),
            ink: None,
            background: Background::default(),
            text_fonts: None,
        }
    }
}

/// Where a notation key stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum NotationKey {
    /// There is none.
    #[default]
    None,
    /// Under the title.
    FirstPage,
    /// At the end.
    LastPage,
}

/// What a table of contents lists.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Contents {
    /// There is none.
    #[default]
    None,
    /// Headings.
    Headings,
    /// Headings, and blocks with a number or a title.
    Exercises,
}

/// How blocks are numbered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Numbers {
    /// From the first to the last.
    #[default]
    Continuous,
    /// From 1 in each chapter.
    ByChapter,
}

/// What an index lists.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Index {
    /// There is none.
    #[default]
    None,
    /// Blocks by their titles.
    Exercises,
    /// What blocks are tagged with.
    Techniques,
    /// Both, one after the other.
    Both,
    /// Blocks by how hard they are.
    Levels,
}

/// Where a chapter, which is a `#` heading, opens.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Chapters {
    /// Under what stands before it.
    #[default]
    Follow,
    /// At the head of a page.
    NewPage,
    /// At the head of a right-hand page.
    RightPage,
}

/// What the pages are made for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Look {
    /// A printed sheet in the hand.
    #[default]
    Handout,
    /// A music stand: large and heavy.
    Stand,
    /// A book: compact.
    Book,
    /// A video frame: wide, on one line.
    Screen,
}

impl Look {
    /// All of them, with the names they are chosen by.
    pub const ALL: [(&'static str, Self); 4] = [
        ("handout", Self::Handout),
        ("stand", Self::Stand),
        ("book", Self::Book),
        ("screen", Self::Screen),
    ];
}

/// A page size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// Width in millimetres.
    pub width: f64,
    /// Height in millimetres.
    pub height: f64,
}

impl Default for Paper {
    /// A4, ISO 216.
    fn default() -> Self {
        Self { width: 210.0, height: 297.0 }
    }
}

/// The settings one block is set with: the file's, and over them the block's own.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockSettings {
    /// Printed tempo.
    pub tempo: Option<Tempo>,
    /// Printed swing equation.
    pub swing: Option<Swing>,
    /// Bars on a line, where asked.
    pub bars_per_line: Option<u32>,
    /// How many blocks stand side by side, 1 to 4.
    pub columns: u32,
    /// What the index lists it under.
    pub tags: Arc<[String]>,
    /// How it stands on its page, and how its bars are numbered.
    pub layout: BlockLayout,
    /// A player who is silent for a whole line is left out of it.
    pub hide_empty_players: bool,
    /// It is printed in the first context that plays it, and not where it stands.
    pub in_context: bool,
    /// How hard it is.
    pub level: Option<Level>,
    /// The tempo to be reached.
    pub goal: Option<Tempo>,
    /// How it is practised.
    pub practice: Practice,
}

impl Default for BlockSettings {
    fn default() -> Self {
        let (tempo, swing, bars_per_line) = (None, None, None);
        Self {
            tempo,
            swing,
            bars_per_line,
            columns: 1,
            tags: Arc::default(),
            layout: BlockLayout::default(),
            hide_empty_players: false,
            in_context: false,
            level: None,
            goal: None,
            practice: Practice::default(),
        }
    }
}

/// The settings the rows of one player are set with.
#[derive(Clone, Debug, PartialEq)]
pub struct PartSettings {
    /// The staff.
    pub staff: Staff,
    /// Which counting syllables are printed.
    pub counts: CountDisplay,
    /// Where sticking letters are printed.
    pub sticking: StickingPlace,
    /// What is left to be filled in by hand.
    pub blank: Blank,
    /// Whether silences are written out.
    pub rests: Rests,
    /// Whether grace notes are slurred to their note.
    pub grace_slurs: bool,
    /// Seconds between a grace note and what follows it, 0.005 to 0.1.
    pub grace_spread: f64,
    /// What the player's hands and feet can do.
    pub limits: Limits,
    /// It was played as it is written, so that nobody is warned of what hands and feet can't do.
    pub as_played: bool,
    /// How many drummers share its rows, 1 to 10: a line of bass drums is one player with several.
    pub drummers: u32,
}

/// Seconds between a grace note and what follows it where nothing is said. Common practice, no source.
const GRACE_SPREAD: f64 = 0.03;

impl Default for PartSettings {
    fn default() -> Self {
        Self {
            staff: Staff::FiveLines,
            counts: CountDisplay::Played,
            sticking: StickingPlace::Under,
            blank: Blank::default(),
            rests: Rests::Short,
            grace_slurs: false,
            grace_spread: GRACE_SPREAD,
            limits: Limits::default(),
            as_played: false,
            drummers: 1,
        }
    }
}

/// A metronome mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Tempo {
    /// The note that is counted.
    pub unit: Time,
    /// How many a minute, 10 to 400; the fewest where it is a range.
    pub per_minute: f64,
    /// The most a minute of a range.
    pub up_to: Option<f64>,
    /// Words before it, as `Slowly`.
    pub words: Option<String>,
    /// Whether it is printed; it is played in any case.
    pub printed: bool,
}

/// A swing equation: two even notes sound long and short.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Swing {
    /// The note that swings: an eighth or a sixteenth.
    pub unit: Time,
    /// Parts of the first.
    pub long: u32,
    /// Parts of the second.
    pub short: u32,
}

/// The staff a block stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Staff {
    /// Five lines.
    FiveLines,
    /// One line.
    OneLine,
    /// No line: rhythm over text.
    NoLine,
}

/// Which counting syllables are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CountDisplay {
    /// Under sounded notes.
    Played,
    /// The silent ones too, lighter.
    All,
    /// None.
    None,
}

/// Where sticking letters are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum StickingPlace {
    /// Nowhere.
    Hidden,
    /// Under the staff.
    Under,
    /// Those of the hands over the staff, those of the feet under it.
    Above,
}

/// How silences are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Rests {
    /// A hit lasts up to the next hit or the end of its beat where one note can say so.
    Short,
    /// Every silence is a rest.
    Full,
}

impl Tempo {
    /// A metronome mark for a meter's beat: a dotted note in compound time.
    pub fn for_meter(meter: &Meter, per_minute: f64) -> Self {
        let unit = match meter.kind {
            super::meter::MeterKind::Compound => meter.unit() * 3,
            super::meter::MeterKind::Additive => meter.unit(),
            super::meter::MeterKind::Simple => meter.unit(),
            super::meter::MeterKind::Unmetered => Time::QUARTER,
        };
        Self { unit, per_minute, up_to: None, words: None, printed: true }
    }
}
