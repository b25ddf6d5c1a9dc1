//! Changes of a text by lines and words of the language: those of the project's own texts, so that a word
//! that is new there is new here.

use flamacue::score::{Kit, RowWord};
use std::path::Path;
use std::sync::LazyLock;

/// Texts whose lines and words are taken, under the project's folder.
const FOLDERS: [&str; 4] = ["examples", "tests/suite/score", "tests/suite/syntax", "guide"];
/// Signs that stand inside groups.
const SIGNS: [&str; 24] = [
    "[", "]", "(", ")", "'", "/", "~", "_", "-", ".", "+", "!", "^", "|", "|:", ":|", "||", "%", " ", ":2",
    ":1/3", "\n", "\n\n", "--\n",
];

struct Pool {
    lines: Vec<String>,
    words: Vec<String>,
}

static POOL: LazyLock<Pool> = LazyLock::new(|| {
    let mut pool = Pool { lines: Vec::new(), words: Vec::new() };
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the project");
    for folder in FOLDERS {
        let entries = std::fs::read_dir(root.join(folder)).into_iter().flatten().flatten();
        let texts = entries.filter_map(|entry| std::fs::read_to_string(entry.path()).ok());
        for text in texts {
            pool.lines.extend(text.lines().map(|line| format!("{line}\n")));
            pool.words.extend(text.split_whitespace().map(str::to_owned));
        }
    }
    pool.words.extend(RowWord::words().map(|word| format!("  {word}  ")));
    let kit = Kit::five_piece();
    pool.words.extend(kit.instruments.iter().map(|one| format!("  {}  ", one.name)));
    for all in [&mut pool.lines, &mut pool.words] {
        all.sort_unstable();
        all.dedup();
    }
    pool
});

/// Numbers by chance (Marsaglia's xorshift, 2003, from memory).
struct Chance(u32);

impl Chance {
    fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 17;
        self.0 ^= self.0 << 5;
        self.0 as usize % most.max(1)
    }

    fn one<'a>(&mut self, of: &'a [String]) -> &'a str {
        of.get(self.below(of.len())).map_or("", String::as_str)
    }
}

/// Changes the first `size` bytes; how many there are then.
pub fn text(data: &mut [u8], size: usize, max_size: usize, seed: u32) -> usize {
    let mut chance = Chance(seed | 1);
    let known = data.get(..size).and_then(|data| std::str::from_utf8(data).ok());
    let Some(mut text) = known.filter(|_| chance.below(4) > 0).map(str::to_owned) else {
        return libfuzzer_sys::fuzzer_mutate(data, size, max_size);
    };
    for _ in 0..=chance.below(4) {
        change(&mut text, &mut chance);
    }
    let mut end = text.len().min(max_size).min(data.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    data[..end].copy_from_slice(&text.as_bytes()[..end]);
    end
}

fn change(text: &mut String, chance: &mut Chance) {
    let mut at = chance.below(text.len() + 1);
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let line = text[..at].rfind('\n').map_or(0, |end| end + 1);
    let next = text[at..].find('\n').map_or(text.len(), |end| at + end + 1);
    match chance.below(7) {
        0 => text.insert_str(line, chance.one(&POOL.lines)),
        1 => text.insert_str(at, chance.one(&POOL.words)),
        2 => text.insert_str(at, SIGNS[chance.below(SIGNS.len())]),
        3 => text.replace_range(line..next, chance.one(&POOL.lines)),
        4 => text.replace_range(line..next, ""),
        // A line again, which is what made blocks are tried by.
        5 => {
            let again = text[line..next].to_owned();
            text.insert_str(line, &again);
        }
        _ => {
            let end = text[at..].find(char::is_whitespace).map_or(text.len(), |end| at + end);
            text.replace_range(at..end, chance.one(&POOL.words));
        }
    }
}
