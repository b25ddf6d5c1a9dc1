//! Circles of imports among files.

use crate::imports::{Import, Imports};
use std::collections::{BTreeSet, VecDeque};

/// For each set of files that all import each other, directly or through others: its files, and the
/// imports of a shortest circle among them.
pub fn faults(imports: &Imports) -> Vec<String> {
    let count = imports.files.len();
    let reached: Vec<BTreeSet<usize>> = (0..count).map(|file| reach(imports, file)).collect();
    let mut faults = Vec::new();
    let mut told: BTreeSet<usize> = BTreeSet::new();
    for file in 0..count {
        if !reached[file].contains(&file) || told.contains(&file) {
            continue;
        }
        let among =
            |other: &usize| reached[file].contains(other) && reached[*other].contains(&file);
        let together: Vec<usize> = (0..count).filter(among).collect();
        told.extend(&together);
        let circles = together.iter().filter_map(|start| circle(imports, *start));
        let shortest = circles.min_by_key(Vec::len).unwrap_or_default();
        let sentences: Vec<String> = shortest.iter().map(|i| imports.say(i)).collect();
        let names: Vec<&str> = together.iter().map(|at| imports.files[*at].as_str()).collect();
        faults.push(format!(
            "a circle of imports: {}\n    ({} files import each other: {})",
            sentences.join(",\n    and "),
            names.len(),
            names.join(", ")
        ));
    }
    faults
}

/// The files a file imports, directly or through others.
fn reach(imports: &Imports, from: usize) -> BTreeSet<usize> {
    let mut reached = BTreeSet::new();
    let mut waiting = vec![from];
    while let Some(at) = waiting.pop() {
        let next = imports.imports.iter().filter(|import| import.from == at);
        waiting.extend(next.map(|import| import.to).filter(|to| reached.insert(*to)));
    }
    reached
}

/// The imports of a shortest circle through a file.
fn circle(imports: &Imports, start: usize) -> Option<Vec<&Import>> {
    let mut seen = BTreeSet::new();
    let mut waiting = VecDeque::from([(start, Vec::new())]);
    while let Some((at, path)) = waiting.pop_front() {
        for import in imports.imports.iter().filter(|import| import.from == at) {
            let longer = [path.as_slice(), &[import]].concat();
            if import.to == start {
                return Some(longer);
            }
            if seen.insert(import.to) {
                waiting.push_back((import.to, longer));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use crate::imports;
    use crate::parsed::Source;

    fn faults(files: &[(&str, &str)]) -> Vec<String> {
        let sources: Vec<_> = files.iter().map(|(name, text)| Source::new(name, text)).collect();
        super::faults(&imports::read(&sources))
    }

    #[test]
    fn a_circle_is_told_with_its_imports() {
        let found = faults(&[
            ("lib.rs", "mod a;\nmod b;\nmod c;\nmod d;"),
            ("a.rs", "use crate::b::B;\npub struct A;"),
            ("b.rs", "\n\nuse crate::c;\npub struct B(c::C);"),
            ("c.rs", "pub struct C(crate::a::A);"),
            ("d.rs", "use crate::a::A;\nuse crate::b::B;"),
        ]);
        let [fault] = found.as_slice() else { panic!("one circle: {found:?}") };
        for part in [
            "src/a.rs:1 imports `crate::b::B` of src/b.rs",
            "src/b.rs:4 imports `c::C` of src/c.rs",
            "src/c.rs:1 imports `crate::a::A` of src/a.rs",
            "3 files import each other: a.rs, b.rs, c.rs",
        ] {
            assert!(fault.contains(part), "{part}\n{fault}");
        }
    }

    #[test]
    fn a_face_that_only_re_exports_is_part_of_no_circle() {
        let found = faults(&[
            ("lib.rs", "mod room;"),
            ("room/mod.rs", "mod a;\nmod b;\npub use a::A;\npub use b::B;"),
            ("room/a.rs", "use super::B;\npub struct A(B);"),
            ("room/b.rs", "pub struct B;"),
        ]);
        assert_eq!(found, <[&str; 0]>::default());
    }
}
