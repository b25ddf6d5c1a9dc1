//! Cost grows with the number of bars and no faster. A file of its own, so that no other test runs
//! beside it.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use std::time::{Duration, Instant};

#[test]
fn four_thousand_bars_cost_little_more_than_four_times_a_thousand() {
    let fonts = Fonts::built_in().unwrap();
    let bars = |count: usize| {
        let bar = "S.ss .s.s sss ssss | ";
        format!("groove a \"A\"\n  play  {}\n", bar.repeat(count).trim_end_matches(" | "))
    };
    let time = |text: &str| {
        let start = Instant::now();
        let source = Source::new("long.flam", text);
        let compiled = flamacue::compile(&source, &fonts, &mut Diagnostics::default());
        assert!(compiled.is_some());
        start.elapsed()
    };
    // In turns and the best of several, so that a busy machine slows both alike.
    let (one, four) = (bars(1_000), bars(4_000));
    let (mut small, mut large) = (Duration::MAX, Duration::MAX);
    for _ in 0..6 {
        small = small.min(time(&one));
        large = large.min(time(&four));
        if large.as_secs_f64() / small.as_secs_f64() < 4.4 {
            break;
        }
    }
    let ratio = large.as_secs_f64() / small.as_secs_f64();
    assert!(ratio < 4.4, "1,000 bars {small:?}, 4,000 bars {large:?}: {ratio:.2}");
}
