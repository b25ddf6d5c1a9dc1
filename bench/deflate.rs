//! How long deflating many contents takes, each on its own, as the streams of a PDF are: on all
//! processors and on one. `bench/floor` runs it.
//!
//!     cargo bench --bench deflate -- CONTENTS [LEVEL]
//!
//! `CONTENTS` is a file of contents one after another, each after its length in four bytes, the least
//! first. Prints a line for each way: its name, the best and the median seconds, and the bytes that
//! came out.

// A measurement may stop at the first surprise.
#![allow(missing_docs, clippy::expect_used)]

use flate2::{Compress, Compression, FlushCompress, Status};
use rayon::prelude::*;
use std::time::Instant;

/// How often each way is tried.
const TIMES: usize = 40;

/// How hard zlib tries where nothing else is asked for: as hard as the program does.
const LEVEL: u32 = 5;

fn main() {
    // Cargo adds `--bench`.
    let mut words = std::env::args().skip(1).filter(|word| !word.starts_with("--"));
    let Some(path) = words.next() else {
        println!("deflate: name a file of contents, or run bench/floor");
        return;
    };
    let level = words.next().map_or(LEVEL, |word| word.parse().expect("a level from 0 to 9"));
    let joined = std::fs::read(path).expect("a file of contents");
    let contents = apart(&joined);
    let fresh = || Compress::new(Compression::new(level), true);
    report("all-cores", || {
        let sizes = contents.par_iter().map_init(fresh, |zlib, content| deflate(zlib, content));
        sizes.sum()
    });
    report("one-core", || {
        let mut zlib = fresh();
        contents.iter().map(|content| deflate(&mut zlib, content)).sum()
    });
}

/// The contents of a file of them.
fn apart(mut joined: &[u8]) -> Vec<&[u8]> {
    let mut contents = Vec::new();
    while let Some((length, rest)) = joined.split_first_chunk::<4>() {
        let length = usize::try_from(u32::from_le_bytes(*length)).expect("a length");
        let (content, rest) = rest.split_at_checked(length).expect("a whole content");
        contents.push(content);
        joined = rest;
    }
    contents
}

/// How many bytes a content comes to.
fn deflate(zlib: &mut Compress, content: &[u8]) -> usize {
    zlib.reset();
    // Room for what cannot be made smaller, so that one call does all.
    let mut small = Vec::with_capacity(content.len() + content.len() / 1000 + 64);
    let status = zlib.compress_vec(content, &mut small, FlushCompress::Finish);
    assert_eq!(status.expect("deflated"), Status::StreamEnd);
    std::hint::black_box(small).len()
}

fn report(name: &str, work: impl Fn() -> usize) {
    let mut seconds = Vec::new();
    let mut bytes = 0;
    for _ in 0..TIMES {
        let start = Instant::now();
        bytes = work();
        seconds.push(start.elapsed().as_secs_f64());
    }
    seconds.sort_by(f64::total_cmp);
    println!("{name} {} {} {bytes}", seconds[0], seconds[TIMES / 2]);
}
