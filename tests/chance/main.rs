//! Texts made by chance of those that are kept: the targets of `fuzz/`, a thousand texts each. `fuzz/run` tries them
//! for as long as wanted, led by which parts of the program they reach.

// What stops a target is a finding, wherever it is.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../built/mod.rs"]
mod built;
#[path = "../../fuzz/src/mutate.rs"]
mod mutate;
#[path = "../../fuzz/src/pool.rs"]
mod pool;
#[path = "../../fuzz/src/same.rs"]
mod same;
#[path = "../cases/score_dump.rs"]
#[allow(dead_code, reason = "of the dump only the whole is used")]
mod score_dump;
#[path = "../../fuzz/src/share.rs"]
mod share;
#[path = "../../fuzz/src/targets.rs"]
mod targets;
#[path = "../syntax/dump.rs"]
mod tree_dump;

use pool::Pool;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use targets::Target;

/// Texts of each target; `FLAMACUE_TEXTS` asks for more.
const TEXTS: u32 = 1_000;
/// The longest that one may take in a build like this.
const PATIENCE: Duration = Duration::from_secs(20);

macro_rules! tried {
    ($($target:ident)*) => {
        $(
            #[test]
            fn $target() {
                tried(stringify!($target));
            }
        )*
    };
}

tried! { check pdf svg png html json mid fmt expand session style prose picture textfont musicfont }

/// The folders whose texts lend their pieces, and the most bytes of one text.
fn seeds(target: &str) -> (&'static [&'static str], usize) {
    match target {
        "style" => (&["styles"], 4_000),
        "picture" => (&["fonts/calfskin/glyphs"], 2_000),
        "textfont" | "musicfont" => (&[], 2_000),
        "prose" => (&["examples", "tests/suite/syntax"], 400),
        _ => (&["examples", "tests/suite"], 400),
    }
}

/// Leaves what ends a test in a file, and says where.
struct Kept<'a> {
    target: &'a str,
    data: &'a [u8],
}

impl Drop for Kept<'_> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            let file =
                Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("chance-{}", self.target));
            let written = fs::write(&file, self.data);
            eprintln!("what {} was given: {} {written:?}", self.target, file.display());
        }
    }
}

/// Tries texts one after another, each a change of one that is kept or of one of those.
fn tried(name: &str) {
    let target = Target::of(name).expect("a target");
    let (folders, most) = seeds(name);
    let folders: Vec<PathBuf> = folders.iter().map(|folder| built::root().join(folder)).collect();
    let pool = Pool::of(&folders);
    let mut known = kept(&built::root().join("fuzz/corpus").join(name), most);
    // What reaches much is mostly at fault; texts of the seeds are in order.
    folders.iter().for_each(|folder| known.extend(kept(folder, most)));
    assert!(!known.is_empty(), "{name} has nothing to begin with");
    let texts = std::env::var("FLAMACUE_TEXTS").ok().and_then(|texts| texts.parse().ok());
    for seed in 0..texts.unwrap_or(TEXTS) {
        let at = seed.wrapping_mul(0x9E37_79B1) as usize % known.len();
        let (mut data, size) = (known[at].clone(), known[at].len());
        data.resize(most, 0);
        let of_bytes = |data: &mut [u8]| bytes(data, size, seed);
        let size = mutate::mutate((&target, &pool), &mut data, (size, most), seed, of_bytes);
        data.truncate(size);
        let began = Instant::now();
        let given = Kept { target: name, data: &data };
        target.run(given.data);
        assert!(began.elapsed() < PATIENCE, "{:?} for one text", began.elapsed());
        drop(given);
        // What was changed is changed again, so that some differ in many places.
        if seed % 4 == 0 {
            known.push(data);
        }
    }
}

/// The files of a folder and of those in it that have no more than so many bytes, in the order of their names.
fn kept(folder: &Path, most: usize) -> Vec<Vec<u8>> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
    paths.sort();
    let read = |path: &PathBuf| {
        let own = || fs::read(path).into_iter().filter(|data| data.len() <= most).collect();
        if path.is_dir() { kept(path, most) } else { own() }
    };
    paths.iter().flat_map(read).collect()
}

/// Changes one of the first `size` bytes, leaves some out, or puts some in again; how many there are then.
fn bytes(data: &mut [u8], size: usize, seed: u32) -> usize {
    let chance = seed.wrapping_mul(0x85EB_CA6B) as usize;
    let (at, length) = (chance % size.max(1), 1 + chance / 7 % 8);
    let Some(last) = size.checked_sub(length).filter(|last| at < *last) else { return size };
    match chance / 3 % 3 {
        0 => data[at] ^= 1 << (chance / 5 % 8),
        1 => {
            data.copy_within(at + length..size, at);
            return last;
        }
        _ if size + length <= data.len() => {
            data.copy_within(at..size, at + length);
            return size + length;
        }
        _ => data[at] = data[last],
    }
    size
}
