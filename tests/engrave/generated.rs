//! Drum-text made by chance from a seed: every subdivision, voice, ornament, row and meter.

/// A small generator of numbers (SplitMix64: Steele, Lea and Flood, "Fast splittable pseudorandom
/// number generators", 2014), so that a seed means the same text for ever.
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number below `limit`.
    pub fn below(&mut self, limit: u64) -> u64 {
        self.next() % limit.max(1)
    }

    /// True so many times in a hundred.
    pub fn percent(&mut self, chance: u64) -> bool {
        self.below(100) < chance
    }

    /// One of several.
    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len() as u64) as usize]
    }
}

/// How a meter is written and how many groups a bar has; compound groups take other counts of
/// cells.
struct Time {
    text: &'static str,
    groups: &'static [&'static [u64]],
}

const QUARTER: &[u64] = &[1, 2, 2, 3, 4, 4, 4, 5, 6, 7, 8];
const EIGHTH: &[u64] = &[1, 1, 2, 2, 4];
const HALF: &[u64] = &[1, 2, 3, 4, 4, 8];
const DOTTED: &[u64] = &[1, 2, 3, 3, 3, 4, 5, 6, 6];

const TIMES: &[Time] = &[
    Time { text: "4/4", groups: &[QUARTER; 4] },
    Time { text: "3/4", groups: &[QUARTER; 3] },
    Time { text: "2/4", groups: &[QUARTER; 2] },
    Time { text: "5/4", groups: &[QUARTER; 5] },
    Time { text: "2/2", groups: &[HALF; 2] },
    Time { text: "6/8", groups: &[DOTTED; 2] },
    Time { text: "9/8", groups: &[DOTTED; 3] },
    Time { text: "12/8", groups: &[DOTTED; 4] },
    Time { text: "7/8", groups: &[EIGHTH; 7] },
    Time { text: "2+2+3/8", groups: &[QUARTER, QUARTER, DOTTED] },
    Time { text: "3+2/8", groups: &[DOTTED, QUARTER] },
];

/// One row's bars of groups of cells, and how many hits they strike with their grace notes.
struct Row {
    bars: Vec<String>,
    hits: Vec<usize>,
}

/// A file of blocks with so many bars each.
pub fn file(seed: u64, blocks: usize, bars: usize) -> String {
    let mut chance = Chance::new(seed);
    let mut text = format!("title: Seed {seed}\ntempo: 100\n\n");
    for number in 0..blocks {
        block(&mut chance, &mut text, number, bars, Wealth::Plain);
    }
    text
}

/// How much a block has besides its notes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wealth {
    Plain,
    /// Repeats, endings and jumps, hairpins from beat to beat, and words under the notes too.
    Rich,
}

/// A block of so many bars with repeats, endings, jumps, hairpins and words, under a header of its
/// own.
pub fn rich(seed: u64, bars: usize, header: &str) -> String {
    let mut chance = Chance::new(seed);
    let mut text = format!("{header}tempo: 100\n\n");
    block(&mut chance, &mut text, 0, bars, Wealth::Rich);
    text
}

fn block(chance: &mut Chance, text: &mut String, number: usize, bars: usize, wealth: Wealth) {
    let time = &TIMES[chance.below(TIMES.len() as u64) as usize];
    let word = chance.pick(&["groove", "fill", "exercise", "rudiment"]);
    text.push_str(&format!("{word} b{number} \"Block {number}\"\n  time: {}\n", time.text));
    for (key, values) in [
        ("counts", &["played", "all", "none"][..]),
        ("staff", &["five-line", "five-line", "one-line"]),
        ("grace-slurs", &["yes", "no"]),
        ("rests", &["short", "full"]),
        ("sticking", &["show", "above"]),
        ("bar-numbers", &["every bar", "none"]),
        ("sections", &["plain", "boxed"]),
    ] {
        if chance.percent(35) {
            text.push_str(&format!("  {key}: {}\n", chance.pick(values)));
        }
    }
    if chance.percent(20) {
        text.push_str("  swing: eighths\n");
    }
    let rich = wealth == Wealth::Rich;
    let again = (bars > 4 && chance.percent(15)).then_some(2);
    let hands = row(chance, time, bars, "stmfhrcxol", true);
    let lines: Vec<&str> = match wealth {
        Wealth::Plain => vec![" | "; bars],
        Wealth::Rich => (0..bars).map(|_| chance.pick(BARLINES)).collect(),
    };
    let mut line = |name: &str, bars: &[String]| {
        // A sign for two bars stands in the place of the third and the fourth.
        let bars: Vec<&str> = bars
            .iter()
            .enumerate()
            .filter(|(index, _)| again.is_none_or(|sign| *index != sign + 1))
            .map(|(index, bar)| if again == Some(index) { "%2" } else { bar.as_str() })
            .collect();
        let mut row = bars.first().map_or(String::new(), |bar| (*bar).to_owned());
        for (bar, line) in bars.iter().skip(1).zip(&lines) {
            row.push_str(&format!("{line}{bar}"));
        }
        text.push_str(&format!("  {name}  {row}\n"));
    };
    if chance.percent(55) {
        line("hands", &hands.bars);
        let feet = row(chance, time, bars, "kkp", false);
        line("feet", &feet.bars);
    } else {
        line("play", &hands.bars);
    }
    if chance.percent(70) && hands.hits.iter().sum::<usize>() > 0 {
        let sticks: Vec<String> = hands.hits.iter().map(|n| letters(chance, *n)).collect();
        line("stick", &sticks);
    }
    if rich && chance.percent(30) && hands.hits.iter().all(|hits| *hits > 0) {
        let all: Vec<String> = hands.hits.iter().map(|n| said(chance, *n)).collect();
        line("say", &all);
    }
    if chance.percent(if rich { 60 } else { 30 }) {
        let dynamics: Vec<String> =
            (0..bars).map(|_| dynamics(chance, time.groups.len())).collect();
        line("dyn", &dynamics);
    }
    if chance.percent(if rich { 70 } else { 40 }) {
        let known: Vec<&str> = match wealth {
            Wealth::Plain => MARKS.to_vec(),
            Wealth::Rich => MARKS.iter().chain(FORM).copied().collect(),
        };
        let groups = time.groups.len();
        let marks: Vec<String> = (0..bars).map(|_| marks(chance, groups, &known)).collect();
        text.push_str(&format!("  mark  {}\n", marks.join(" | ")));
    }
    text.push('\n');
}

fn letters(chance: &mut Chance, count: usize) -> String {
    let all: Vec<&str> =
        (0..count).map(|_| chance.pick(&["R", "L", "R", "L", "B", "R(L)"])).collect();
    let groups: Vec<String> = all.chunks(16).map(|group| group.join("")).collect();
    if groups.is_empty() { ".".to_owned() } else { groups.join(" ") }
}

/// Words under the notes, one for each hit.
fn said(chance: &mut Chance, count: usize) -> String {
    let words = [".", ".", "low", "strawberry", "\"and land\""];
    let all: Vec<&str> = (0..count).map(|_| chance.pick(&words)).collect();
    all.join(" ")
}

/// Words over the staff, one for each group of a bar.
fn marks(chance: &mut Chance, groups: usize, known: &[&'static str]) -> String {
    let all: Vec<&str> = (0..groups)
        .map(|_| match chance.percent(70) {
            true => ".",
            false => chance.pick(known),
        })
        .collect();
    all.join(" ")
}

/// Barlines of a form.
const BARLINES: &[&str] = &[" | ", " | ", " | ", " :| ", " || ", " :|: "];

/// Marks that belong to a form.
const FORM: &[&str] =
    &["1.", "2.", "1.,2.", "1.", "2.", "to-coda", "ds-al-coda", "dal-segno-al-coda"];

const MARKS: &[&str] = &[
    "A",
    "B2",
    "segno",
    "coda",
    "fine",
    "dc",
    "fermata",
    "breath",
    "caesura",
    "tempo=132",
    "swing",
    "swing=sixteenths",
    "straight",
    "\"lightly\"",
    "A+\"and all together\"",
    "eighth=quarter",
    "triplet-eighth=eighth",
    "new-line",
    "new-line?",
    "fermata+breath",
    "phrase",
    "phrase=2",
    "new-page",
    "turn",
    "rit",
    "accel",
    "a-tempo",
    "[. rit]",
    "[. . fermata]",
];

const DYNAMICS: &[&str] = &[
    ".",
    ".",
    ".",
    ".",
    "p",
    "mf",
    "f",
    "ff",
    "sfz",
    "<",
    ">",
    "cresc",
    "dim",
    "[. p]",
    "[mf . < .]",
    "p+cresc",
];

fn dynamics(chance: &mut Chance, groups: usize) -> String {
    let all: Vec<&str> = (0..groups).map(|_| chance.pick(DYNAMICS)).collect();
    all.join(" ")
}

fn row(chance: &mut Chance, time: &Time, bars: usize, letters: &str, ornaments: bool) -> Row {
    let letters: Vec<char> = letters.chars().collect();
    let mut row = Row { bars: Vec::new(), hits: Vec::new() };
    for _ in 0..bars {
        let mut hits = 0;
        let mut groups = Vec::new();
        for counts in time.groups {
            let count = chance.pick(counts);
            groups.push(group(chance, count, &letters, ornaments, &mut hits));
        }
        row.bars.push(groups.join(" "));
        row.hits.push(hits);
    }
    let last =
        row.bars.last_mut().filter(|bar| bar.ends_with(|sign: char| letters.contains(&sign)));
    if let Some(bar) = last.filter(|_| chance.percent(20)) {
        bar.push('_');
    }
    row
}

fn group(
    chance: &mut Chance,
    cells: u64,
    letters: &[char],
    ornaments: bool,
    hits: &mut usize,
) -> String {
    if ornaments && chance.percent(4) {
        return "/".to_owned();
    }
    let mut text = String::new();
    let quiet = chance.percent(15);
    for index in 0..cells {
        if quiet || chance.percent(22) {
            let held = index > 0 && chance.percent(10) && !text.ends_with('.');
            text.push(if held { '-' } else { '.' });
            continue;
        }
        if ornaments && chance.percent(3) {
            text.push('[');
            for _ in 0..chance.below(2) + 2 {
                text.push(chance.pick(letters));
                *hits += 1;
            }
            text.push(']');
            continue;
        }
        *hits += 1;
        text.push_str(&hit(chance, letters, ornaments));
    }
    text
}

fn hit(chance: &mut Chance, letters: &[char], ornaments: bool) -> String {
    let letter = chance.pick(letters);
    if !ornaments {
        return letter.to_string();
    }
    let mut text = String::new();
    if chance.percent(10) {
        text.push_str(chance.pick(&["'", "'", "''", "'''", "{t}", "{fm}", "{skt}"]));
    }
    match chance.below(10) {
        0 | 1 => text.push(letter.to_ascii_uppercase()),
        2 if chance.percent(30) => text.push_str(&format!("({})", letter.to_ascii_uppercase())),
        2 => text.push_str(&format!("({letter})")),
        3 => text.push_str(&format!("^{letter}")),
        _ => text.push(letter),
    }
    if chance.percent(12) {
        let other = chance.pick(letters);
        if other != letter {
            text.push('+');
            text.push(other);
        }
    }
    if chance.percent(8) {
        text.push_str(chance.pick(&["/", "//", "///", "~"]));
        if chance.percent(20) {
            text.push_str(chance.pick(&["5", "7", "17"]));
        }
    }
    if chance.percent(6) {
        text.push_str(chance.pick(&[",", "=", ",="]));
    }
    if letter == 'c' && chance.percent(20) {
        text.push('!');
    }
    if chance.percent(3) {
        text.push('?');
    }
    text
}
