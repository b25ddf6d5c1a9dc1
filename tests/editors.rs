//! The files for editors stay in step with the program: the grammar for highlighting knows the words there are,
//! and the extension names files that exist.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::unwrap_used)]

use flamacue::score::{BlockWord, Kit, RowWord};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("editors/flamacue")
}

fn json(name: &str) -> Value {
    let text = std::fs::read_to_string(folder().join(name)).expect("a readable file");
    serde_json::from_str(&text).expect("JSON")
}

/// The words between the bars of the first group of a pattern.
fn words(pattern: &str) -> BTreeSet<String> {
    let group = pattern.split('(').find(|part| part.starts_with(|c: char| c.is_alphabetic()));
    let group = group.and_then(|part| part.split(')').next()).expect("a group of words");
    group.split('|').map(str::to_owned).collect()
}

fn set<'a>(words: impl IntoIterator<Item = &'a str>) -> BTreeSet<String> {
    words.into_iter().map(str::to_owned).collect()
}

/// The words between backticks in the first column of a table of the guide, which tests of the program hold
/// against its own.
fn guide(page: &str, heading: &str) -> BTreeSet<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("guide").join(page);
    let text = std::fs::read_to_string(path).expect("a readable page");
    let part = text.split(&format!("## {heading}\n")).nth(1).expect("a table");
    let part = part.split("\n## ").next().expect("its end");
    let cells = part.lines().filter(|l| l.starts_with("| `")).filter_map(|l| l.split(" | ").next());
    cells.flat_map(|cell| cell.split('`').skip(1).step_by(2)).map(str::to_owned).collect()
}

/// The patterns of rows, from the first.
fn rows(grammar: &Value) -> Vec<String> {
    let rows = grammar["repository"]["row"]["patterns"].as_array().expect("rows");
    let pattern = |row: &Value| row.get("begin").or_else(|| row.get("match")).cloned();
    rows.iter().filter_map(|row| Some(pattern(row)?.as_str()?.to_owned())).collect()
}

#[test]
fn the_grammar_knows_every_word_of_a_block() {
    let grammar = json("syntaxes/flam.tmLanguage.json");
    let head = grammar["repository"]["block"]["match"].as_str().expect("a pattern");
    assert_eq!(words(head), set(BlockWord::ALL.map(BlockWord::as_str)));
    let rules = json("language-configuration.json");
    let enter = rules["onEnterRules"][0]["beforeText"].as_str().expect("a pattern");
    let enter = enter.replace("(?:", "(");
    assert_eq!(words(&enter), set(BlockWord::ALL.map(BlockWord::as_str)));
}

#[test]
fn the_grammar_knows_every_key() {
    let grammar = json("syntaxes/flam.tmLanguage.json");
    let header = grammar["repository"]["header"]["begin"].as_str().expect("a pattern");
    let keys = guide("reference.md", "Keys");
    assert_eq!(words(header), keys);
    // Lines of blocks are keys too, and those that made blocks have of their own.
    let lines = words(&rows(&grammar)[1]);
    assert!(keys.is_subset(&lines), "{:?}", keys.difference(&lines));
    let own = set([
        "gaps",
        "taps",
        "accents",
        "move",
        "right",
        "left",
        "order",
        "sticking",
        "lead",
        "shift",
        "rotate",
        "backwards",
        "as",
        "play",
        "endings",
        "from",
        "over",
        "notes",
        "stickings",
        "turns",
        "hands",
        "feet",
        "at-most",
        "turnings",
        "playable",
        "all",
        "only",
        "without",
    ]);
    let more: BTreeSet<_> = lines.difference(&keys).cloned().collect();
    assert!(more.is_subset(&own), "{more:?}");
    assert!(own.is_subset(&lines), "{:?}", own.difference(&lines));
}

#[test]
fn the_grammar_knows_every_row() {
    let grammar = json("syntaxes/flam.tmLanguage.json");
    let all: BTreeSet<String> =
        rows(&grammar).iter().skip(2).flat_map(|row| words_of_row(row)).collect();
    let kit = Kit::five_piece();
    let names = kit
        .instruments
        .iter()
        .flat_map(|one| std::iter::once(one.name.clone()).chain(one.aliases.iter().cloned()));
    let known: BTreeSet<String> =
        RowWord::words().map(str::to_owned).into_iter().chain(names).collect();
    assert_eq!(all, known);
}

/// The words a row may begin with; nothing for the pattern of any other name.
fn words_of_row(pattern: &str) -> Vec<String> {
    let Some(group) = pattern.strip_prefix("^[ \\t]+(").and_then(|rest| rest.split(')').next())
    else {
        return Vec::new();
    };
    if group.contains('[') {
        return Vec::new();
    }
    group.split('|').map(str::to_owned).collect()
}

/// The words in quotes of one kind in a part of a file of the parser's.
fn quoted(name: &str, quote: char, from: &str, to: &str) -> BTreeSet<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("editors/tree-sitter").join(name);
    let text = std::fs::read_to_string(path).expect("a readable file");
    let part = text.split(from).nth(1).and_then(|rest| rest.split(to).next()).expect("a part");
    part.split(quote).skip(1).step_by(2).map(str::to_owned).collect()
}

#[test]
fn the_parser_knows_every_word_of_a_block_and_of_a_row() {
    let blocks = set(BlockWord::ALL.map(BlockWord::as_str));
    assert_eq!(quoted("grammar.js", '\'', "block_word: _ => choice(", ")"), blocks);
    assert_eq!(quoted("src/scanner.c", '"', "BLOCKS[] = {", "};"), blocks);
    assert_eq!(quoted("src/scanner.c", '"', "ROWS[] = {", "};"), set(RowWord::words()));
}

#[test]
fn the_extension_names_files_there_are() {
    let about = json("package.json");
    let named = about["files"].as_array().expect("files").iter().filter_map(Value::as_str);
    let mut paths: Vec<String> = named.map(str::to_owned).collect();
    paths.push(about["main"].as_str().expect("a client").to_owned());
    paths.push(about["contributes"]["grammars"][0]["path"].as_str().expect("a grammar").to_owned());
    let language = &about["contributes"]["languages"][0];
    paths.push(language["configuration"].as_str().expect("a configuration").to_owned());
    for path in paths {
        assert!(folder().join(&path).exists(), "{path}");
    }
    assert_eq!(about["version"], env!("CARGO_PKG_VERSION"));
    let parser = std::fs::read_to_string(folder().join("../tree-sitter/tree-sitter.json"));
    let parser: Value = serde_json::from_str(&parser.expect("a file")).expect("JSON");
    assert_eq!(parser["metadata"]["version"], env!("CARGO_PKG_VERSION"));
}
