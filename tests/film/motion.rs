//! What moves on pages, against what moves in a film of the same music.

use crate::made::{at_rate, examples, film, fonts, plan};
use flamacue::drawing::{GroupKind, Node, Page};
use flamacue::film::{Line, Scene, StripNote};
use flamacue::font::Fonts;
use flamacue::pages::Wanted as Made;
use flamacue::practice::{Pass, Plan, Wanted};
use flamacue::score::{Item, PlacedBlock, Score};
use flamacue::source::{Diagnostics, Source};
use flamacue::write::motion::{MotionDump, runs};
use serde_json::Value;
use std::collections::BTreeSet;

/// Times are told to a hundred-thousandth: seconds on both sides of a change.
const SLACK: f64 = 2e-5;
/// How far the cursor may be from where a film has it, as a share of the way from note to note.
const SHARE: f64 = 0.005;

/// The pages of a score.
fn pages(score: &Score, fonts: &Fonts) -> Vec<Page> {
    let source = Source::new("test.flam", "");
    let mut found = Diagnostics::default();
    let made = flamacue::typeset(&source, score, fonts, None, Made::Pages, &mut found);
    made.expect("pages").drawing.pages
}

/// The block of an item.
fn block(score: &Score, item: usize) -> &PlacedBlock {
    let Some(Item::Block(block)) = score.items.get(item) else { panic!("a block is heard") };
    block
}

/// The lines of what a pass plays on the pages of a score, each with its page: of a series, those of its exercise.
fn lines(score: &Score, pages: &[Page], pass: &Pass, fonts: &Fonts) -> Vec<(usize, Line)> {
    let at = block(score, pass.heard_item).at;
    let mut lines = Vec::new();
    for (number, page) in pages.iter().enumerate() {
        for node in page.flat() {
            let Node::Group(group) = node else { continue };
            if matches!(group.kind, GroupKind::Block { at: own, .. } if own == at) {
                let own = Line::all(&group.children, fonts);
                lines.extend(own.into_iter().map(|line| (number, line)));
            }
        }
    }
    let before = score.items.iter().take(pass.heard_item);
    let exercise =
        before.filter(|item| matches!(item, Item::Block(block) if block.at == at)).count();
    runs(lines).swap_remove(exercise)
}

/// The rows of a list.
fn rows<'a>(value: &'a Value, name: &str) -> impl Iterator<Item = &'a Vec<Value>> {
    value[name].as_array().expect("a list").iter().map(|row| row.as_array().expect("a row"))
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// The entries of a list that are on at a time.
fn on<'a>(plan: &'a Value, name: &str, time: f64) -> Vec<&'a Vec<Value>> {
    rows(plan, name).filter(|row| number(&row[0]) <= time && time < number(&row[1])).collect()
}

/// The line and the place of the cursor at a time.
fn place(points: &[(f64, u64, f64)], time: f64) -> Option<(u64, f64)> {
    let next = points.partition_point(|point| point.0 <= time);
    let (last, next) = (points.get(next.checked_sub(1)?)?, points.get(next)?);
    let way = (time - last.0) / (next.0 - last.0);
    Some((last.1, last.2 + (next.2 - last.2) * way))
}

/// Who plays a note, its bar, and its beat; without a beat where the bar is written as a sign.
type Id = (String, u64, String);

fn id(note: &StripNote) -> Id {
    let beat = note.beat.map(|beat| match beat.denominator() {
        1 => beat.numerator().to_string(),
        _ => beat.to_string(),
    });
    (note.player.clone().unwrap_or_default(), note.bar as u64, beat.unwrap_or_default())
}

/// A pass in a film and on pages.
struct Both<'a> {
    name: &'a str,
    scene: &'a Scene,
    plan: &'a Value,
    /// The second of the film at which its music starts.
    music: f64,
    /// Whether every note is drawn, in the film as on the page.
    full: bool,
}

impl Both<'_> {
    /// What is lit, said and counted at a time of the music.
    fn agree_at(&self, time: f64) {
        let told = format!("{}, {time} s", self.name);
        let second = self.music + time;
        let moment = self.scene.at(second);
        let notes = &self.scene.strip.pages[moment.page].notes;
        let seen: BTreeSet<Id> = moment.lit.iter().map(|note| id(&notes[*note])).collect();
        let drawn: BTreeSet<Id> = notes.iter().map(id).collect();
        let lights = on(self.plan, "lights", time).into_iter().map(|row| {
            let words = |at: usize| row[at].as_str().expect("words").to_owned();
            let note = (words(4), row[2].as_u64().expect("a bar"), words(3));
            if drawn.contains(&note) { note } else { (note.0, note.1, String::new()) }
        });
        // Those of another page are lit too, but not seen.
        let bars: BTreeSet<u64> = drawn.iter().map(|(_, bar, _)| *bar).collect();
        let wanted: BTreeSet<Id> = lights.filter(|(_, bar, _)| bars.contains(bar)).collect();
        if self.full {
            assert_eq!(seen, wanted, "{told}");
        } else {
            assert!(seen.is_subset(&wanted), "{told}: {seen:?}, {wanted:?}");
        }
        let said = on(self.plan, "said", time);
        let said = said.last().map(|row| (row[2].as_str().expect("a syllable"), row[3] == true));
        assert_eq!(moment.said.map(|said| (&*said.text, said.sounds)), said, "{told}");
        let beat = on(self.plan, "beats", time);
        let beat = beat.last().map(|row| (row[2].as_u64(), row[3].as_u64()));
        let own = moment.beat.map(|beat| (Some(beat.number.into()), Some(beat.of.into())));
        assert_eq!(own, beat, "{told}");
    }

    /// The way of the cursor from one stroke to the next, where neither the film nor the page turns there; whether
    /// it does not.
    fn goes_alike(&self, points: &[(f64, u64, f64)], from: f64, to: f64) -> bool {
        // Over a barline between them, or over bars of rest, each goes as far as its own lines have room.
        let is_between = |time: f64| time > from + SLACK && time < to - SLACK;
        let own = self.scene.path.iter().map(|point| point.seconds - self.music);
        if own.chain(points.iter().map(|point| point.0)).any(is_between) {
            return false;
        }
        let film = |time: f64| {
            let moment = self.scene.at(self.music + time);
            moment.cursor.map(|x| (moment.page as u64, x))
        };
        let page = |time: f64| place(points, time);
        let share = |at: &dyn Fn(f64) -> Option<(u64, f64)>, way: f64| {
            let ((line, start), (end_line, end)) = (at(from + SLACK)?, at(to - SLACK)?);
            let (own_line, x) = at(from + (to - from) * way)?;
            let goes_on = line == end_line && line == own_line && end - start > 1.0;
            goes_on.then_some((x - start) / (end - start))
        };
        let mut alike = false;
        for way in [0.25, 0.5, 0.8] {
            let (Some(a), Some(b)) = (share(&film, way), share(&page, way)) else { continue };
            let told = format!("{}: {way} of the way from {from} s to {to} s", self.name);
            assert!((a - b).abs() < SHARE, "{told}: {a} in the film, {b} on the page");
            alike = true;
        }
        alike
    }
}

/// The onsets of all notes, each once.
fn onsets(plan: &Value) -> Vec<f64> {
    let mut onsets: Vec<f64> = rows(plan, "lights").map(|row| number(&row[0])).collect();
    onsets.dedup();
    onsets
}

/// How many notes of a pass were looked at on pages and in a film, and from how many of them the cursor went alike.
fn pass_moves_as_in_film(
    (name, practised, nth): (&str, &Plan, usize),
    scene: &Scene,
    lines: Vec<(usize, Line)>,
) -> (usize, usize) {
    let pass = &practised.passes[nth];
    let dump = MotionDump::of(pass, vec![lines], 1.0);
    let dump = serde_json::to_value(&dump).expect("JSON");
    let points: Vec<(f64, u64, f64)> = rows(&dump["ways"][0], "points")
        .map(|row| (number(&row[0]), row[1].as_u64().expect("a line"), number(&row[2])))
        .collect();
    let music = practised.times()[nth].music;
    let full = rows(&dump, "lights").count() == scene.lit.len();
    let both = Both { name, scene, plan: &dump, music, full };
    let (mut at_notes, mut ways) = (0, 0);
    for pair in onsets(&dump).windows(2).take(400) {
        both.agree_at(pair[0] + SLACK);
        // Not in the middle, where a note of half that value ends: times are rounded.
        both.agree_at(pair[0] + (pair[1] - pair[0]) * 0.47);
        ways += usize::from(both.goes_alike(&points, pair[0], pair[1]));
        at_notes += 1;
    }
    // While it is counted in.
    if pass.count_in > 0 {
        both.agree_at(-0.1);
    }
    (at_notes, ways)
}

#[test]
fn pages_move_as_films_do() {
    let fonts = fonts();
    let (mut at_notes, mut ways, mut exercises) = (0, 0, 0);
    for (name, score) in examples() {
        let practised = plan(&score, &Wanted::default());
        let film = film(&score, &fonts, at_rate("30"));
        let pages = pages(&score, &fonts);
        let mut seen = BTreeSet::new();
        let at = |pass: &Pass| block(&score, pass.heard_item).at;
        let passes = practised.passes.iter().enumerate();
        let turns = passes.flat_map(|(nth, pass)| (0..pass.times.max(1)).map(move |_| nth));
        for (nth, scene) in turns.zip(film.scenes()) {
            // The first of all, and every exercise of a series, each for the first time.
            let pass = &practised.passes[nth];
            let item = pass.heard_item;
            let is_again = !seen.insert(item);
            let mut others = practised.passes.iter().filter(|own| own.heard_item != item);
            let of_series = others.any(|own| at(own) == at(pass));
            if is_again || nth > 0 && !of_series {
                continue;
            }
            let lines = lines(&score, &pages, pass, &fonts);
            let alike = pass_moves_as_in_film((&name, &practised, nth), &scene, lines);
            at_notes += alike.0;
            ways += alike.1;
            exercises += usize::from(of_series);
        }
    }
    assert!(at_notes > 500 && ways > at_notes / 2, "{at_notes} notes, {ways} ways");
    assert!(exercises >= 6, "{exercises} exercises of series");
}
