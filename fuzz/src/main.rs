//! One program for all targets; `FLAMACUE_FUZZ` names the one it runs.

#![no_main]

mod mutate;
mod targets;

use libfuzzer_sys::{fuzz_mutator, fuzz_target};

fuzz_target!(|data: &[u8]| targets::run(data));

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| mutate::text(
    data, size, max_size, seed
));
