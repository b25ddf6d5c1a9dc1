//! Mends that are changes of the text: each takes its fault away.

use flamacue::source::{Code, Diagnostic};
use std::collections::BTreeSet;

/// Texts with faults: the name of each, and what it says.
pub type Faulty = Vec<(String, String)>;

/// The texts of a folder of the suite by name, and others that it has not.
pub fn texts(folder: &str, others: Faulty) -> Faulty {
    let folder = format!("{}/tests/suite/{folder}", env!("CARGO_MANIFEST_DIR"));
    let mut files: Faulty = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "flam"))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    files.sort();
    files.extend(others);
    files
}

/// A text without a file, called by its first characters.
pub fn by_start(text: impl Into<String>) -> (String, String) {
    let text = text.into();
    (text.chars().take(60).collect(), text)
}

/// How many faults of a kind are told in the same words.
fn count(all: &[Diagnostic], like: &Diagnostic) -> usize {
    all.iter().filter(|d| d.code == like.code && d.message == like.message).count()
}

/// Holds that each edit takes its fault away; how many there were.
pub fn edits_mend(texts: &Faulty, faults: impl Fn(&str) -> Vec<Diagnostic>) -> usize {
    let mut applied = 0;
    let mut wrong = Vec::new();
    for (name, text) in texts {
        let before = faults(text);
        for fault in &before {
            let Some(edit) = &fault.edit else { continue };
            let mut mended = text.clone();
            mended.replace_range(edit.span.start()..edit.span.end(), &edit.text);
            if count(&faults(&mended), fault) >= count(&before, fault) {
                wrong.push(format!("{name}: {fault:?} is still there in:\n{mended}"));
            }
            applied += 1;
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    applied
}

/// Holds that no edit stands without words and that every fault has a kind; which kinds are not seen.
pub fn unseen(
    kinds: &[Code],
    texts: &Faulty,
    faults: impl Fn(&str) -> Vec<Diagnostic>,
) -> Vec<&'static str> {
    let mut seen = BTreeSet::new();
    for (name, text) in texts {
        for fault in faults(text) {
            assert!(fault.edit.is_none() || fault.mend.is_some(), "{name}: {fault:?}");
            assert_ne!(fault.code, Code::GENERAL, "{name}: {fault:?}");
            seen.insert(fault.code);
        }
    }
    kinds.iter().filter(|kind| !seen.contains(kind)).map(|kind| kind.as_str()).collect()
}
