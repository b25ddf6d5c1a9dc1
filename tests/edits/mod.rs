//! Random edits of drum-text, and a made-up book to try them on.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::ops::Range;

/// Numbers that look random and are the same in every run (xorshift, Marsaglia 2003).
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        let mut random = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        for _ in 0..8 {
            random.next();
        }
        random
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// A number under another, which is not zero.
    pub fn below(&mut self, end: usize) -> usize {
        (self.next() % end as u64) as usize
    }

    fn of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }
}

/// What is typed most.
const LETTERS: &[&str] = &[
    "s", "k", "t", "m", "f", "h", "x", "c", "S", "K", ".", "-", "_", " ", "  ", "|", "\n", "[",
    "]", "(", ")", "'", "/", "~", ":2", "%", "é", "“", "\u{301}", "R", "L", "1", "&", "a", "\"",
    "@", "*", "#", "//", "--", "\r\n", "\t", "q",
];

/// Lines and blocks that are typed whole.
const LINES: &[&str] = &[
    "tempo: 120\n",
    "time: 3/4\n",
    "  time: 6/8\n",
    "  columns: 2\n",
    "  bars: 2\n",
    "  stick: natural\n",
    "stick: natural\n",
    "counting: takadimi\n",
    "contents: exercises\n",
    "numbers: by chapter\n",
    "index: both\n",
    "key: first-page\n",
    "chapters: new-page\n",
    "title: Another\n",
    "# A heading\n",
    "## Smaller\n",
    "part \"One\"\n",
    "\n",
    "\n\n",
    "  --\n",
    "  stick  R L R L\n",
    "  say  one two\n",
    "  dyn  p f\n",
    "  mark  accent\n",
    "Look at @loft, and at @house-1-2.page and @nobody.\n",
    "- one\n- two\n",
    "1. one\n2. two\n",
    "\nkit\n  z  gong, ride\n\n",
    "\nkit\n  s  snare, place 3\n\n",
    "\nfill loft \"The loft\"\n  play  s s s s\n\n",
    "\nexercise \"Two bars\"\n  columns: 2\n  play  ssss s.s. ss s | k s k s\n\n",
    "\ngroove\n  hat   x.x. x.x. x.x. x.x.\n  kick  x... .... x... ....\n\n",
    "\nvariation of loft\n  gaps: k\n\n",
    "\ncontext\n  play: loft x2\n\n",
    "\nsyllables mine\n  2  # yo\n\n",
    "include two.flam\n",
    "include chapters/1.flam\n",
    "include nowhere.flam\n",
];

/// Makes edits as people do: letters, lines, blocks, and what stands elsewhere put here.
pub struct Editor {
    /// Lines with their ends, and blocks with the blank line after them.
    lines: Vec<String>,
    blocks: Vec<String>,
}

impl Editor {
    pub fn new(texts: &[&str]) -> Self {
        let lines = texts.iter().flat_map(|text| text.split_inclusive('\n')).map(str::to_owned);
        let blocks = texts.iter().flat_map(|text| text.split("\n\n")).map(|b| format!("{b}\n\n"));
        Self { lines: lines.collect(), blocks: blocks.collect() }
    }

    /// A range of a text, and what is to stand in its place.
    pub fn edit(&self, text: &str, random: &mut Random) -> (Range<usize>, String) {
        let anywhere = boundary(text, random.below(text.len() + 1));
        let line = line_at(text, anywhere);
        match random.below(22) {
            // A letter typed, struck out or replaced.
            0..8 => {
                let next = text[anywhere..].chars().next().map_or(0, char::len_utf8);
                let end = if random.below(2) == 0 { anywhere } else { anywhere + next };
                let typed = if random.below(4) == 0 { "" } else { random.of(LETTERS) };
                (anywhere..end, typed.to_owned())
            }
            // A line taken out, twice, or another's.
            8 => (line, String::new()),
            9 => (line.start..line.start, text[line].to_owned()),
            10 => (line, random.of(&self.lines).clone()),
            11..15 => (line.start..line.start, (*random.of(LINES)).to_owned()),
            // At the head.
            15 => (0..0, (*random.of(LINES)).to_owned()),
            // A block put in, taken out, or another's.
            16 => (
                block_at(text, anywhere).start..block_at(text, anywhere).start,
                random.of(&self.blocks).clone(),
            ),
            17 => (block_at(text, anywhere), String::new()),
            18 => (block_at(text, anywhere), random.of(&self.blocks).clone()),
            // A letter typed in a title, a name or a tag, or struck out.
            19..21 => {
                let signs = [" \"", " @", "tags: ", "fill ", "# "];
                let sign = random.of(&signs);
                let at = text[anywhere..].find(sign).map_or(anywhere, |at| anywhere + at);
                let at = boundary(text, at + sign.len() + random.below(4));
                let next = text[at..].chars().next().map_or(0, char::len_utf8);
                match random.below(3) {
                    0 => (at..at + next, String::new()),
                    _ => (at..at, (*random.of(&["a", "B", " ", "z"])).to_owned()),
                }
            }
            // A stretch struck out.
            _ => {
                let end = boundary(text, anywhere + random.below(60));
                (anywhere..end.max(anywhere), String::new())
            }
        }
    }
}

/// The character boundary at a byte or before it.
fn boundary(text: &str, at: usize) -> usize {
    (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
}

fn line_at(text: &str, at: usize) -> Range<usize> {
    let start = text[..at].rfind('\n').map_or(0, |end| end + 1);
    let end = text[at..].find('\n').map_or(text.len(), |end| at + end + 1);
    start..end
}

fn block_at(text: &str, at: usize) -> Range<usize> {
    let start = text[..at].rfind("\n\n").map_or(0, |end| end + 2);
    let end = text[at..].find("\n\n").map_or(text.len(), |end| at + end + 2);
    start.min(end)..end
}

/// A book of some chapters, each in a file of its own.
pub fn book(chapters: usize) -> BTreeMap<String, String> {
    let mut random = Random::new(chapters as u64);
    let cells = ["ssss", "s.ss", "(s).ss", "kk", "sss", "S.s.", "t.tt", "[ss]s", "''s", "m"];
    let mut main = "title: Doors\nauthor: Isolde Quarrier\nlanguage: en\ncontents: headings\n\
                    index: both\nnumbers: by chapter\nrunning-heads: on\n\n"
        .to_owned();
    let mut files = BTreeMap::new();
    for chapter in 1..=chapters {
        let mut text = format!("title: Street {chapter}\ntags: feet\n\n");
        for number in 1..=12 {
            if number % 4 == 1 {
                let _ = writeln!(
                    text,
                    "Walk on *slowly* and look at every door, as @house-{}-{} has it.\n",
                    1 + random.below(chapters),
                    1 + random.below(12)
                );
            }
            let columns = if number % 3 == 0 { "" } else { "  columns: 2\n  time: 2/4\n" };
            let beats = if number % 3 == 0 { 8 } else { 2 };
            let mut row = String::new();
            for beat in 0..beats {
                row += if beat == 4 { " | " } else { " " };
                row += random.of::<&str>(&cells);
            }
            let _ = write!(
                text,
                "exercise house-{chapter}-{number} \"House {chapter}-{number}\"\n{columns}  play {row}\n\n"
            );
        }
        let name = format!("chapters/{chapter}.flam");
        let _ = writeln!(main, "include {name}");
        files.insert(name, text);
    }
    files.insert("book.flam".to_owned(), main);
    files
}

/// The same book in one file.
pub fn in_one_file(files: &BTreeMap<String, String>) -> BTreeMap<String, String> {
    let mut whole = String::new();
    for line in files["book.flam"].lines() {
        match line.strip_prefix("include ").and_then(|name| files.get(name)) {
            Some(chapter) => {
                let title = chapter.lines().next().and_then(|line| line.strip_prefix("title: "));
                let body = chapter.split_once("\n\n").map_or("", |(_, body)| body);
                let _ = write!(whole, "# {}\n\n{body}", title.unwrap_or_default());
            }
            None => {
                whole += line;
                whole.push('\n');
            }
        }
    }
    BTreeMap::from([("book.flam".to_owned(), whole)])
}
