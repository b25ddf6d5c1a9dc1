//! A session against builds from nothing: after every edit its pages and what it finds are the same.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic)]

#[path = "../built/mod.rs"]
mod built;
#[path = "../edits/mod.rs"]
mod edits;
mod reach;

use edits::{Editor, Random};
use flamacue::drawing::{Drawing, Ink, Kind, Page, Shape};
use flamacue::font::Fonts;
use flamacue::session::{EditError, Session, Superseded};
use flamacue::source::{Diagnostics, Source};
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, LazyLock};

static FONTS: LazyLock<Arc<Fonts>> =
    LazyLock::new(|| Arc::new(Fonts::built_in().expect("the built-in faces")));

/// Files by the paths they are included under.
type Texts = BTreeMap<String, String>;

/// What a build from nothing makes of files.
fn fresh(main: &str, files: &Texts) -> (Source, Diagnostics, Option<Drawing>) {
    let read =
        |path: &str| files.get(path).cloned().ok_or("there is no such file or folder".to_owned());
    let source = flamacue::syntax::gather(Source::new(main, files[main].clone()), &read);
    let mut diagnostics = Diagnostics::default();
    let drawing = flamacue::compile_pages(&source, &FONTS, None, &mut diagnostics);
    (source, diagnostics, drawing)
}

/// Tells how two drawings differ.
fn difference(new: &Drawing, old: &Drawing) -> Option<String> {
    if new.pages.len() != old.pages.len() {
        return Some(format!("{} pages, not {}", new.pages.len(), old.pages.len()));
    }
    for (number, (new, old)) in (1..).zip(new.pages.iter().zip(&old.pages)) {
        if new.nodes != old.nodes {
            return Some(format!("the marks of page {number}"));
        }
        if (new.width, new.height, &new.name) != (old.width, old.height, &old.name) {
            return Some(format!("the size or the name of page {number}"));
        }
        if new.lines != old.lines {
            return Some(format!("the places of page {number}"));
        }
    }
    if new.links != old.links || new.addresses != old.addresses {
        return Some("the links".to_owned());
    }
    if (&new.title, &new.author, &new.language, new.front)
        != (&old.title, &old.author, &old.language, old.front)
    {
        return Some("what is said beside the pages".to_owned());
    }
    (new.outline != old.outline).then(|| "the outline".to_owned())
}

/// What is seen of a page.
fn ink(page: &Page) -> Vec<(Kind, Ink, Shape)> {
    let page = Page { nodes: page.flat(), ..page.clone() };
    built::marks(&page).into_iter().map(|mark| (mark.kind, mark.ink, mark.shape.clone())).collect()
}

/// A session and the same files beside it.
struct Pair {
    main: String,
    files: Texts,
    session: Session,
    /// How often it was compared with a build from nothing.
    compared: usize,
}

impl Pair {
    fn new(main: &str, files: Texts) -> Self {
        let mut session = Session::new(main, files[main].clone(), Arc::clone(&FONTS));
        for (name, text) in files.iter().filter(|(name, _)| *name != main) {
            session.set_file(name.clone(), text.clone());
        }
        Self { main: main.to_owned(), files, session, compared: 0 }
    }

    fn edit(&mut self, name: &str, range: std::ops::Range<usize>, text: &str) {
        self.files.get_mut(name).expect("the file").replace_range(range.clone(), text);
        self.session.edit(name, range, text).expect("the range lies in the text");
    }

    /// Makes files what they were, by an edit of each that is not.
    fn go_back(&mut self, files: &Texts) {
        for (name, text) in files {
            let now = self.files[name].clone();
            if now == *text {
                continue;
            }
            let same = |(a, b): &(char, char)| a == b;
            let start = now.chars().zip(text.chars()).take_while(same).map(|(c, _)| c.len_utf8());
            let start: usize = start.sum();
            let rest = now[start..].chars().rev().zip(text[start..].chars().rev());
            let end: usize = rest.take_while(same).map(|(c, _)| c.len_utf8()).sum();
            self.edit(name, start..now.len() - end, &text[start..text.len() - end]);
        }
    }

    /// What was found in the text as it was looked at last.
    fn told(&self) -> String {
        self.session.diagnostics().render(self.session.source(), false)
    }

    /// Begins to make pages, and stops when this was asked for so many times; whether it came to that.
    fn stop_after(&mut self, times: usize) -> bool {
        let asked = AtomicUsize::new(0);
        self.session.update(&|| asked.fetch_add(1, Ordering::Relaxed) >= times) == Err(Superseded)
    }

    /// Compares after an edit; whether the text is without an error.
    fn compare(&mut self, what: &str) -> bool {
        let before: Vec<_> =
            (0..self.session.pages()).map(|page| self.session.page(page)).collect();
        let update = self.session.update(&|| false).expect("nobody stops it");
        let (source, diagnostics, drawing) = fresh(&self.main, &self.files);
        let told = |found: &Diagnostics, source: &Source| found.render(source, false);
        assert_eq!(
            told(self.session.diagnostics(), self.session.source()),
            told(&diagnostics, &source),
            "{what}"
        );
        assert_eq!(self.session.diagnostics().sorted(), diagnostics.sorted(), "{what}");
        assert_eq!(update.current, drawing.is_some(), "{what}");
        assert_eq!(update.pages, self.session.pages(), "{what}");
        match drawing {
            Some(drawing) => {
                let own = self.session.drawing().expect("pages");
                if let Some(difference) = difference(&own, &drawing) {
                    panic!("{what}: {difference} differ\n{}", self.files[&self.main]);
                }
                if self.compared.is_multiple_of(10) {
                    let pdf = self.session.pdf().expect("a PDF").expect("pages");
                    let fresh = flamacue::write::pdf::write(&drawing, &FONTS).expect("a PDF");
                    assert!(pdf == fresh, "{what}: the PDFs differ");
                }
                for (page, now) in own.pages.iter().enumerate() {
                    let then = before.get(page).cloned().flatten();
                    let same = then.is_some_and(|then| ink(&then) == ink(now));
                    let said = update.changed.contains(&page);
                    assert!(same || said, "{what}: page {page} changed, and nothing was said");
                }
            }
            // What was good last stays.
            None => assert_eq!(before.len(), self.session.pages(), "{what}"),
        }
        update.current
    }
}

/// The texts of a folder by their names.
fn texts(folder: &str) -> Texts {
    let text = |path: std::path::PathBuf| {
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        (name, std::fs::read_to_string(&path).expect("a text"))
    };
    built::files(folder).into_iter().map(text).collect()
}

/// How many edits are tried in all; FLAMACUE_EDITS asks for more.
fn wanted() -> usize {
    let asked = std::env::var("FLAMACUE_EDITS").ok().and_then(|edits| edits.parse().ok());
    asked.unwrap_or(1_000)
}

/// Makes random edits of a text and compares after each; how many left it without an error. Edits that do
/// not are mostly taken back with the next.
fn try_edits(main: &str, files: &Texts, edits: usize, seed: u64) -> usize {
    let mut random = Random::new(seed);
    let editor = Editor::new(&files.values().map(String::as_str).collect::<Vec<_>>());
    let mut pair = Pair::new(main, files.clone());
    pair.compare(&format!("{main}, as it is"));
    let mut last_good = pair.files.clone();
    let mut good = 0;
    for number in 0..edits {
        let names: Vec<String> = match random.below(5) {
            0 => pair.files.keys().cloned().collect(),
            _ => vec![main.to_owned()],
        };
        let name = &names[random.below(names.len())];
        let (range, text) = editor.edit(&pair.files[name], &mut random);
        pair.edit(name, range.clone(), &text);
        let mut what =
            format!("{main}, edit {number}: {text:?} at {range:?} of {name}, seed {seed}");
        if random.below(8) == 0 {
            // Another edit comes before the work is done.
            let stopped = pair.stop_after(random.below(60));
            let (range, text) = editor.edit(&pair.files[name], &mut random);
            pair.edit(name, range.clone(), &text);
            what += &format!(", and {text:?} at {range:?}, stopped between them: {stopped}");
        }
        if pair.compare(&what) {
            good += 1;
            last_good = pair.files.clone();
        } else if random.below(4) > 0 {
            pair.go_back(&last_good);
            pair.compare(&format!("{what}, taken back"));
        }
    }
    good
}

#[test]
fn examples_edited_at_random_are_as_built_from_nothing() {
    let files = texts("examples");
    let each = (wanted() / files.len()).max(4);
    let mut good = 0;
    for (seed, main) in (1..).zip(files.keys()) {
        // An example that includes others has them beside it.
        let own: Texts = if files[main].contains("include") {
            files.clone()
        } else {
            Texts::from([(main.clone(), files[main].clone())])
        };
        good += try_edits(main, &own, each, seed);
    }
    assert!(good * 3 > each * files.len(), "only {good} edits left a good text");
}

#[test]
fn a_book_edited_at_random_is_as_built_from_nothing() {
    let files = edits::book(4);
    let good = try_edits("book.flam", &files, (wanted() / 5).max(20), 7);
    assert!(good > 30, "only {good} edits left a good text");
    let whole = edits::in_one_file(&files);
    let good = try_edits("book.flam", &whole, (wanted() / 5).max(20), 8);
    assert!(good > 30, "only {good} edits left a good text");
}

#[test]
fn an_edit_changes_its_page_alone() {
    let mut pair = Pair::new("book.flam", edits::book(4));
    let first = pair.session.update(&|| false).expect("nobody stops it");
    assert!(first.current, "{}", pair.told());
    assert_eq!(first.changed, (0..first.pages).collect::<Vec<_>>());
    assert!(first.pages > 5, "{}", first.pages);
    let name = "chapters/2.flam";
    let at = pair.files[name].find("play  ").expect("a row") + "play  ".len();
    let before = pair.files[name][at..].chars().next().expect("a cell");
    let after = if before == 's' { "t" } else { "s" };
    pair.edit(name, at..at + before.len_utf8(), after);
    let update = pair.session.update(&|| false).expect("nobody stops it");
    assert!(update.current);
    assert_eq!(update.changed.len(), 1, "{:?}", update.changed);
    // And nothing changes where nothing was edited.
    let update = pair.session.update(&|| false).expect("nobody stops it");
    assert!(update.changed.is_empty(), "{:?}", update.changed);
}

#[test]
fn faults_keep_the_last_good_pages() {
    let text = "title: One\n\nfill \"A\"\n  play  s s s s\n";
    let mut session = Session::new("a.flam", text, Arc::clone(&FONTS));
    assert_eq!(session.pages(), 0);
    assert!(session.update(&|| false).is_ok_and(|update| update.current));
    let good = session.page(0).expect("a page").nodes;
    let at = text.len() - 2;
    session.edit("a.flam", at..at + 1, "?").expect("an edit");
    let update = session.update(&|| false).expect("nobody stops it");
    assert!(!update.current && update.changed.is_empty());
    assert_eq!(session.diagnostics().sorted().len(), 1);
    assert_eq!(session.page(0).expect("a page").nodes, good);
    session.edit("a.flam", at..at + 1, "t").expect("an edit");
    let update = session.update(&|| false).expect("nobody stops it");
    assert_eq!((update.current, update.changed), (true, vec![0]));
    assert!(session.diagnostics().sorted().is_empty());
}

#[test]
fn edits_out_of_range_are_refused() {
    let mut session = Session::new("a.flam", "é\n", Arc::clone(&FONTS));
    assert_eq!(session.edit("b.flam", 0..0, "x"), Err(EditError::NoFile));
    assert_eq!(session.edit("a.flam", 1..2, "x"), Err(EditError::NoRange));
    assert_eq!(session.edit("a.flam", 0..9, "x"), Err(EditError::NoRange));
    #[allow(clippy::reversed_empty_ranges, reason = "it is refused")]
    let backwards = 2..0;
    assert_eq!(session.edit("a.flam", backwards, "x"), Err(EditError::NoRange));
    assert_eq!(session.text("a.flam"), Some("é\n"));
}

/// Wherever work is stopped, the pages stay, and the next one to ask is given the right ones.
#[test]
fn work_that_is_stopped_leaves_no_trace() {
    let mut pair = Pair::new("book.flam", edits::book(2));
    pair.compare("the book");
    let mut stopped = 0;
    for after in [0, 1, 2, 5, 20, 60, 100, 150, 1_000_000] {
        // A key of the header reaches everything.
        let main = pair.files["book.flam"].clone();
        let at = main.find('\n').expect("a line") + 1;
        pair.edit("book.flam", at..at, if after % 2 == 0 { "tempo: 61\n" } else { "tempo: 62\n" });
        let pages = pair.session.pages();
        if pair.stop_after(after) {
            stopped += 1;
            assert_eq!(pair.session.pages(), pages);
        }
        pair.compare(&format!("stopped after {after}"));
        let line = at..at + "tempo: 61\n".len();
        pair.edit("book.flam", line, "");
    }
    assert!(stopped >= 5, "{stopped}");
}
