//! Every sample of the user guide and of the README is a whole file that builds without a fault or
//! a warning. A case is named after the page, the heading over the sample and its number under it.

use crate::built::{clean, number_of, root};
use crate::picture::FONTS;
use crate::{case, read};
use flamacue::drawing::Kind;
use libtest_mimic::Trial;

/// Each page, the name of its cases, and how many samples it has at least.
const PAGES: [(&str, &str, usize); 7] = [
    ("guide/README.md", "guide", 25),
    ("guide/pages.md", "guide-pages", 3),
    ("guide/variations.md", "guide-variations", 1),
    ("guide/editions.md", "guide-editions", 5),
    ("guide/film.md", "guide-film", 3),
    ("guide/sound.md", "guide-sound", 2),
    ("README.md", "readme", 1),
];

/// A fenced sample.
struct Sample {
    /// The line of its page it starts on.
    line: usize,
    /// The words of the heading over it, in small letters with hyphens between them, and its number
    /// under that heading, from 1.
    name: String,
    text: String,
}

pub fn cases() -> Vec<Trial> {
    let mut cases = Vec::new();
    for (page, short, least) in PAGES {
        let samples = samples(&read(&root().join(page)));
        let number = samples.len();
        cases.push(case(format!("{short}::number-of-samples"), move || {
            assert!(number >= least, "{page}: only {number} samples");
        }));
        for sample in samples {
            let name = format!("{short}::{}", sample.name);
            cases.push(case(name, move || builds(page, &sample)));
        }
    }
    cases
}

fn builds(page: &str, sample: &Sample) {
    let name = format!("{page}, sample at line {}", sample.line);
    let compiled = clean(&FONTS, &name, &sample.text).unwrap_or_else(|found| panic!("{found}"));
    assert!(!compiled.blocks.is_empty(), "{name}: no music");
    for (block, picture) in &compiled.blocks {
        assert!(number_of(picture, Kind::Notehead) > 0, "{name}: no notes in {block}");
    }
}

fn samples(page: &str) -> Vec<Sample> {
    let mut samples = Vec::new();
    let mut open: Option<Sample> = None;
    let (mut heading, mut number) = (String::new(), 0);
    for (index, line) in page.lines().enumerate() {
        match &mut open {
            None if line.starts_with('#') => (heading, number) = (hyphened(line), 0),
            None if line == "```flam" => {
                number += 1;
                let name = format!("{heading}-{number}");
                open = Some(Sample { line: index + 2, name, text: String::new() });
            }
            None => {}
            Some(_) if line == "```" => samples.extend(open.take()),
            Some(sample) => {
                sample.text.push_str(line);
                sample.text.push('\n');
            }
        }
    }
    assert!(open.is_none(), "a sample is not closed");
    samples
}

/// The words of a heading in small letters with hyphens between them.
fn hyphened(heading: &str) -> String {
    let words = heading.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect::<Vec<_>>().join("-")
}
