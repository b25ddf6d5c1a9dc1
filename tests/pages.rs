//! Where pages end, seen from the pages: words stay with their music, titles with their lines, and
//! no page is left all but empty where a little less room saves it.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used)]

mod built;

use built::{clean, marks, number_of, words_of};
use flamacue::drawing::{Kind, Page, Shape};
use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use flamacue::{Compiled, compile};
use std::collections::BTreeSet;

fn build(text: &str) -> Compiled {
    let fonts = Fonts::built_in().expect("the built-in faces");
    clean(&fonts, "pages", text).expect("a clean file")
}

/// Blocks of some lines of music, and under each a sentence that names it.
fn lessons(count: usize, page: &str) -> String {
    let mut text = format!("page: {page}\nbars: 1\n\n");
    for n in 1..=count {
        let bars = vec!["ssss ssss ssss ssss"; 1 + n % 3].join(" | ");
        text.push_str(&format!("# Step {n}\n\nNow walk to door {n}.\n\n"));
        text.push_str(&format!("fill \"Door {n}\"\n  play  {bars}\n\n"));
        text.push_str(&format!("Knock on door {n} with the left.\n\n"));
    }
    text
}

/// What is on a page: the words of one kind that end in a number, as those numbers.
fn numbers(page: &Page, kind: Kind, start: &str) -> Vec<usize> {
    let words = words_of(page, kind).into_iter();
    let after = words.filter_map(|w| {
        w.strip_prefix(start)?.split([' ', '.']).next().and_then(|n| n.parse().ok())
    });
    after.collect()
}

#[test]
fn words_stay_with_their_music() {
    for page in ["a4", "a5", "letter", "6 x 9 in", "a5 landscape"] {
        let drawing = build(&lessons(14, page)).drawing;
        assert!(drawing.pages.len() > 3, "{page}");
        let (mut began, mut spoken_of) = (Vec::new(), Vec::new());
        for (index, on) in drawing.pages.iter().enumerate() {
            let place = format!("{page}, page {}", index + 1);
            let titles = numbers(on, Kind::Title, "Door ");
            // What leads to a block stands on the page the block begins on, under its heading.
            assert_eq!(titles, numbers(on, Kind::Heading, "Step "), "{place}");
            assert_eq!(titles, numbers(on, Kind::Text, "Now walk to door "), "{place}");
            // What speaks of a block never opens a page: a line of the block stands over it.
            let about = numbers(on, Kind::Text, "Knock on door ");
            let music = built::groups(on)
                .into_iter()
                .filter_map(|group| match &group.kind {
                    flamacue::drawing::GroupKind::Block { title, .. } => {
                        title.strip_prefix("Door ").and_then(|n| n.parse::<usize>().ok())
                    }
                    _ => None,
                })
                .collect::<Vec<_>>();
            for n in &about {
                assert!(music.contains(n), "{place}: door {n} stands elsewhere");
            }
            began.extend(titles);
            spoken_of.extend(about);
        }
        let all: Vec<usize> = (1..=14).collect();
        assert_eq!((&began, &spoken_of), (&all, &all), "{page}");
    }
}

#[test]
fn a_title_never_ends_a_page() {
    for count in 5..30 {
        let mut text = "page: a5\n\n".to_owned();
        for n in 0..count {
            text.push_str(&format!("fill \"Gate {n}\"\n  play  ssss ssss s s\n\n"));
        }
        let mut all = 0;
        for page in &build(&text).drawing.pages {
            let titles = words_of(page, Kind::Title).len();
            assert_eq!(number_of(page, Kind::Clef), titles, "{count} fills");
            all += titles;
        }
        assert_eq!(all, count);
    }
}

#[test]
fn a_little_less_room_saves_a_nearly_empty_page() {
    // However much there is, the last page is never left to one short line of music unless the
    // pages before it are as full as they can be.
    let text = |count: usize| {
        let mut text = "page: a5\n\n".to_owned();
        for n in 0..count {
            text.push_str(&format!("fill \"Gate {n}\"\n  play  ssss ssss s s\n\n"));
        }
        text
    };
    let pages = |count: usize| {
        let drawing = build(&text(count)).drawing;
        drawing.pages.iter().map(|p| number_of(p, Kind::Clef)).collect::<Vec<_>>()
    };
    let most = (1..20).map(|n| pages(n)[0]).max().expect("a page");
    assert!(most > 4, "{most}");
    for count in most + 1..4 * most {
        let on = pages(count);
        let last = *on.last().expect("a page");
        let full = on.iter().rev().skip(1).all(|n| *n == most);
        assert!(last > 1 || full, "{count} fills: {on:?}");
    }
}

/// Titles of neighbours in columns stay in their columns, and all their words are there.
#[test]
fn a_title_too_long_for_its_column_goes_on_below() {
    let title = "The long way round the pond and home again by the mill";
    let block = format!("exercise \"{title}\"\n  play  ss ss\n\n");
    let text = format!("columns: 3\ntime: 2/4\n\n{}", block.repeat(3));
    let drawing = build(&text).drawing;
    let titles: Vec<_> = built::marks(&drawing.pages[0])
        .into_iter()
        .filter(|mark| mark.kind == Kind::Title)
        .filter_map(|mark| match &mark.shape {
            Shape::Text { run, at, size } => Some((at.x, at.x + run.width * size, &run.text)),
            _ => None,
        })
        .collect();
    assert!(titles.len() >= 6 && titles.len() % 3 == 0, "{titles:?}");
    for line in titles.chunks(titles.len() / 3) {
        let words: Vec<_> = line.iter().map(|(_, _, words)| words.as_str()).collect();
        assert_eq!(words.join(" "), title);
        let next = titles.iter().map(|title| title.0).filter(|start| *start > line[0].0 + 1.0);
        let next = next.fold(f64::INFINITY, f64::min);
        assert!(line.iter().all(|(_, end, _)| *end < next), "{titles:?}");
    }
}

/// A text that builds, and what is told of it.
fn told(text: &str) -> (Compiled, String) {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let mut diagnostics = Diagnostics::default();
    let source = Source::new("pages", text);
    let built = compile(&source, &fonts, &mut diagnostics).map(Compiled::flat);
    (built.expect("pages"), diagnostics.render(&source, false))
}

/// Where the staves of a page begin from the left, and the staff spaces they are drawn with, each
/// once.
fn staves(page: &Page) -> (Vec<i64>, Vec<i64>) {
    let (mut lefts, mut spaces) = (BTreeSet::new(), BTreeSet::new());
    for mark in built::marks(page) {
        match (mark.kind, &mark.shape) {
            (Kind::StaffLine, Shape::Box(line)) => {
                lefts.insert(line.x0.round() as i64);
            }
            (Kind::Clef, Shape::Glyph { space, .. }) => {
                spaces.insert((space * 1000.0).round() as i64);
            }
            _ => {}
        }
    }
    (lefts.into_iter().collect(), spaces.into_iter().collect())
}

/// A block that is too wide for its column takes its neighbours along to fewer; no staff is smaller.
#[test]
fn neighbours_have_the_same_columns_and_one_size() {
    let wide = "exercise\n  play  [ss][ss][ss][ss] ssss [ss][ss][ss][ss] ssss\n\n";
    let narrow = "exercise\n  play  s s s s\n\n";
    let (built, said) = told(&format!("columns: 4\n\n{narrow}{narrow}{wide}{narrow}{narrow}"));
    let (lefts, spaces) = staves(&built.drawing.pages[0]);
    assert_eq!((lefts.len(), spaces.len()), (2, 1), "{lefts:?} {spaces:?}");
    assert_eq!(said.matches("not all of these fit 4 columns; 2 are set").count(), 1, "{said}");
    let (built, said) = told(&format!("columns: 4\n\n{}", narrow.repeat(5)));
    assert_eq!((staves(&built.drawing.pages[0]).0.len(), said.as_str()), (4, ""));
}

/// Where so many bars do not fit on a line it has fewer, and no staff is smaller.
#[test]
fn a_line_is_broken_before_it_is_set_smaller() {
    let bars = ["ssss ssss ssss ssss"; 8].join(" | ");
    let (built, said) = told(&format!("exercise\n  bars: 8\n  play  {bars}\n"));
    assert!(said.contains("8 bars do not fit on one line"), "{said}");
    let page = &built.drawing.pages[0];
    assert_eq!(staves(page).1.len(), 1, "one size");
    assert!(number_of(page, Kind::Clef) > 1, "more than one line");
}

/// The page each title stands on, from 1.
fn pages_of(text: &str, titles: &[&str]) -> Vec<usize> {
    let drawing = build(text).drawing;
    let on = |title: &&str| {
        let has =
            |page: &Page| words_of(page, Kind::Title).iter().any(|words| words.contains(*title));
        drawing.pages.iter().position(has).map_or(0, |page| page + 1)
    };
    titles.iter().map(on).collect()
}

#[test]
fn a_block_opens_on_the_page_it_asks_for() {
    let block = |title: &str, keys: &str| format!("fill \"{title}\"\n{keys}  play  s s s s\n\n");
    let text = |keys: &str| format!("{}# Head\n\n{}", block("One", ""), block("Two", keys));
    let both = |keys: &str| pages_of(&text(keys), &["One", "Two"]);
    assert_eq!(both(""), [1, 1]);
    assert_eq!(both("  starts: new-page\n"), [1, 2]);
    assert_eq!(both("  starts: left-page\n"), [1, 2]);
    assert_eq!(both("  starts: right-page\n"), [1, 3]);
    // The heading goes with it.
    let drawing = build(&text("  starts: new-page\n")).drawing;
    assert_eq!(number_of(&drawing.pages[1], Kind::Heading), 1);
    // Neighbours in columns too.
    let columns =
        format!("columns: 2\n\n{}", text("  starts: new-page\n").replace("# Head\n\n", ""));
    assert_eq!(pages_of(&columns, &["One", "Two"]), [1, 2]);
}

#[test]
fn a_block_is_kept_together_and_with_what_follows() {
    let bars = |count: usize| vec!["ssss ssss ssss ssss"; count].join(" | ");
    let text = |keys: &str| {
        let (first, second) = (bars(4), bars(10));
        format!(
            "page: a5\nbars: 1\ncounts: none\n\nfill \"One\"\n  play  {first}\n\nfill \"Two\"\n{keys}  play  {second}\n\nfill \"Three\"\n  play  {first}\n"
        )
    };
    let lines = |keys: &str| -> Vec<usize> {
        build(&text(keys)).drawing.pages.iter().map(|page| number_of(page, Kind::Clef)).collect()
    };
    let free = lines("");
    assert!(free[0] > 4 && free[0] < 14, "{free:?}");
    assert_eq!(lines("  keep: together\n")[0], 4);
    let next = lines("  keep: with next\n");
    let ends = next.iter().scan(0, |all, lines| {
        *all += lines;
        Some(*all)
    });
    assert!(ends.into_iter().all(|end| end != 14), "{next:?}");
}

#[test]
fn a_page_begins_where_a_mark_says_so() {
    let text =
        "exercise\n  bars: 2\n  play  s s s s | s s s s | s s s s\n  mark  . | . | new-page\n";
    let pages: Vec<usize> =
        build(text).drawing.pages.iter().map(|page| number_of(page, Kind::Clef)).collect();
    assert_eq!(pages, [1, 1]);
}

/// The last bar on the first of two players' pages, whose hands rest after the first beat of some bars.
fn last_bar_of_first_page(one: &[usize], two: &[usize]) -> Option<usize> {
    let row = |rests: &[usize]| {
        let bar = |number| if rests.contains(&number) { "s . . ." } else { "ss ss ss ss" };
        (1..=40).map(bar).collect::<Vec<_>>().join(" | ")
    };
    let (one, two) = (row(one), row(two));
    let players = format!("  player \"One\"\n    play  {one}\n  player \"Two\"\n    play  {two}\n");
    let drawing = build(&format!("page: 12 x 20 in\nbars: 1\n\nexercise\n{players}")).drawing;
    let groups = built::groups(drawing.pages.first()?).into_iter();
    let bars = groups.filter_map(|group| match group.kind {
        flamacue::drawing::GroupKind::Bar { number } => Some(number),
        _ => None,
    });
    bars.max()
}

#[test]
fn a_page_is_turned_where_the_hands_of_all_players_rest() {
    let full = last_bar_of_first_page(&[], &[]).expect("bars on the first page");
    let before = full - 1;
    assert_eq!(last_bar_of_first_page(&[before], &[before]), Some(before));
    assert_eq!(last_bar_of_first_page(&[before], &[]), Some(full), "the second player is busy");
    assert_eq!(last_bar_of_first_page(&[], &[before]), Some(full), "the first player is busy");
}

#[test]
fn a_grid_longer_than_what_is_set_together_has_its_rows_to_the_end() {
    // More blocks than are looked at for the columns of one grid, a number that no row divides evenly.
    let count = 1_300;
    let mut text = String::from("page: a4\ntime: 2/4\ncolumns: 3\n\n");
    for n in 1..=count {
        text.push_str(&format!("fill \"Door {n}\"\n  play  ssss s\n\n"));
    }
    let drawing = build(&text).drawing;
    let titles = drawing.pages.iter().flat_map(|page| {
        let titles = marks(page).into_iter().filter(|mark| mark.kind == Kind::Title);
        titles.filter_map(|mark| match &mark.shape {
            Shape::Text { run, at, .. } => Some((run.text.clone(), at.x.round() as i64)),
            _ => None,
        })
    });
    let titles: Vec<(String, i64)> = titles.collect();
    let places: Vec<i64> = titles.iter().take(3).map(|(_, x)| *x).collect();
    assert!(places.is_sorted_by(|one, next| one < next), "side by side: {places:?}");
    let wanted: Vec<(String, i64)> =
        (1..=count).zip(places.iter().cycle()).map(|(n, x)| (format!("Door {n}"), *x)).collect();
    assert_eq!(titles, wanted);
}
