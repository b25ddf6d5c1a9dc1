//! Texts, honest and hostile.

use std::path::{Path, PathBuf};

/// The examples, the demo, and the suite, many of whose files have faults.
pub fn honest() -> Vec<Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let folders = ["examples", "demo", "tests/suite/score", "tests/suite/syntax"];
    let mut paths: Vec<PathBuf> = folders
        .iter()
        .flat_map(|folder| std::fs::read_dir(root.join(folder)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "flam"))
        .collect();
    paths.sort();
    paths.iter().map(|path| std::fs::read(path).unwrap()).collect()
}

/// A text of words that no other has.
pub fn fresh(number: u64) -> Vec<u8> {
    let mut state = number.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    let mut word = || {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (0..8)
            .map(|at| char::from(b'a' + u8::try_from((state >> (8 * at)) % 26).unwrap()))
            .collect()
    };
    let words: Vec<String> = std::iter::repeat_with(&mut word).take(150).collect();
    let title: String = word();
    format!("title: {title}\n\n{}\n\nexercise\n  play  s.k. ssss t.k. f\n", words.join(" "))
        .into_bytes()
}

/// A book of so many kilobytes.
pub fn book(kilobytes: usize) -> String {
    let exercise = "exercise \"On and on\"\n  play   s.ss tt.m kkss 's's'ss | s.ss tt.m kkss 's's'ss\n\
                    Words of some length stand between one exercise and the next.\n\n";
    format!(
        "title: Long\ncontents: exercises\n\n{}",
        exercise.repeat(kilobytes * 1024 / exercise.len())
    )
}

/// As much as is taken.
pub fn long_book() -> String {
    book(255)
}

/// Texts that ask for much, or are none.
pub fn hostile() -> Vec<Vec<u8>> {
    let gaps = "  gaps: kk\n".repeat(5);
    let bars = vec!["s.s. ss [ss]s s"; 32].join(" | ");
    let mixed = "sss [sss][ss][sssss] sssss [sssssss]s[sss] | ssssssss [sss]ss [ss][sssss] sss";
    let every: String = (0x3400..0x9FFF).filter_map(char::from_u32).collect();
    let chain: String =
        (1..2_000).map(|n| format!("variation v{n} of v{}\n  taps: ghost\n\n", n - 1)).collect();
    let texts = [
        format!("columns: 2\n\nseries\n  notes: 3 of 16\n{gaps}"),
        format!("columns: 4\n\nseries\n  notes: 5 of 12\n{gaps}"),
        "columns: 2\ntime: 64/4\n\nseries\n  notes: 4 of 16\n".to_owned(),
        format!("groove g\n  play  {bars}\n\nvariation of g\n{gaps}"),
        format!("fill p\n  play  {mixed}\n\nseries of p\n  turns: yes\n"),
        format!("fill v0\n  play  {bars}\n\n{chain}"),
        format!("fill a\n  play  s{}\n", "[".repeat(90_000)),
        format!("fill a\n  play  {}\n", "s".repeat(10_000)),
        "la ".repeat(80_000),
        ">".repeat(200_000),
        "- ".repeat(100_000),
        "*_".repeat(100_000),
        "[a](".repeat(60_000),
        "`".repeat(200_000),
        "# a\n".repeat(60_000),
        "|a".repeat(20_000) + "\n" + &"|-".repeat(20_000) + "\n",
        "include a.flam\n".repeat(10_000),
        "@@ @a ".repeat(40_000),
        "x\n\n".repeat(80_000),
        "'".repeat(200_000),
        every.repeat(3),
        "\u{0}\u{1b}[31m\u{202e}".repeat(1_000),
        book(200),
    ];
    let binary = (0..100_000_u32).map(|n| n.wrapping_mul(2_654_435_761).to_be_bytes()[0]);
    let utf_16 = "groove\n".encode_utf16().flat_map(u16::to_le_bytes);
    let mut all: Vec<Vec<u8>> = texts.into_iter().map(String::into_bytes).collect();
    all.extend([binary.collect(), [0xFF, 0xFE].into_iter().chain(utf_16).collect(), vec![0xC3]]);
    all
}
