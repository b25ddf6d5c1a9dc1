//! One program for all targets; `FLAMACUE_FUZZ` names the one it runs, `FLAMACUE_SEEDS` the folders whose
//! texts lend their lines and words.

#![no_main]

mod mutate;
mod pool;
mod same;
mod share;
mod targets;

// What the tests compare trees, scores and pages by.
#[path = "../../tests/built/mod.rs"]
mod built;
#[path = "../../tests/cases/score_dump.rs"]
#[allow(dead_code, reason = "of the dump only the whole is used")]
mod score_dump;
#[path = "../../tests/syntax/dump.rs"]
mod tree_dump;

use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};
use pool::Pool;
use std::sync::LazyLock;
use targets::Target;

static TARGET: LazyLock<Target> = LazyLock::new(|| {
    let name = std::env::var("FLAMACUE_FUZZ").expect("FLAMACUE_FUZZ names a target");
    Target::of(&name).expect("a target or the ending of a format")
});

static POOL: LazyLock<Pool> = LazyLock::new(|| {
    Pool::of(std::env::var("FLAMACUE_SEEDS").unwrap_or_default().split_whitespace())
});

fuzz_target!(|data: &[u8]| TARGET.run(data));

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    let of_bytes = |data: &mut [u8]| fuzzer_mutate(data, size, max_size);
    mutate::mutate((&TARGET, &POOL), data, (size, max_size), seed, of_bytes)
});
