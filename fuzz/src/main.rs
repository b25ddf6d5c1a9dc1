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

use libfuzzer_sys::{fuzz_mutator, fuzz_target};

fuzz_target!(|data: &[u8]| targets::run(data));

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    mutate::mutate(data, size, max_size, seed)
});
