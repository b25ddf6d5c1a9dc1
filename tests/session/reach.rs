//! Edits that reach what stands far from them: words that lead somewhere, heads, contents and index.

use super::{Pair, Texts, edits, texts};

/// Words that lead elsewhere, what stands over pages, and series: each edit reaches lines far from it.
#[test]
fn edits_reach_words_and_heads_elsewhere() {
    let text = texts("examples")["references.flam"].replacen(
        "numbers: by chapter\n",
        "numbers: by chapter\nrunning-heads: on\ncontents: exercises\nindex: both\npage: A6\n",
        1,
    );
    let mut pair = Pair::new("a.flam", Texts::from([("a.flam".to_owned(), text)]));
    assert!(pair.compare("as it is"));
    let edits = [
        // What is printed over the pages of a chapter, and in the contents.
        ("# Doubles", "# Doubles and more", true),
        ("\"Part one: Hands\"", "\"Part one: Two hands\"", true),
        // A name that words elsewhere lead to; then these words.
        ("{#doubles}", "{#pairs-of-two}", false),
        ("@doubles.number", "@pairs-of-two.number", false),
        ("@doubles.page", "@pairs-of-two.page", true),
        // A heading more, and one that is a chapter no longer.
        ("## With the feet {#feet}\n", "# With the feet {#feet}\n\nTwo feet.\n", true),
        ("# Round the drums\n", "## Round the drums\n", true),
        // A series in two, whose fourth exercise is then gone, and one with more exercises than it had.
        ("  accents: 2 of ssss\n", "  accents: 1 of sss\n", false),
        ("@pairs.4", "@pairs.2", true),
        ("  turnings: once\n", "", true),
        (
            "  accents: 1 of sss\n",
            "  accents: 2 of ssss\n\nseries more\n  accents: 3 of ssss\n",
            true,
        ),
        // A block more in the first chapter moves the numbers and the pages of all others.
        ("exercise plain", "exercise\n  play ssss ssss ssss ssss\n\nexercise plain", true),
        ("running-heads: on\n", "", true),
        ("numbers: by chapter\n", "running-heads: on\n", true),
    ];
    for (old, new, good) in edits {
        let at = pair.files["a.flam"].find(old).expect(old);
        pair.edit("a.flam", at..at + old.len(), new);
        let what = format!("{new:?} for {old:?}");
        assert_eq!(pair.compare(&what), good, "{what}");
    }
    // And all of it back, the last first.
    for (old, new, _) in edits.into_iter().rev() {
        let at = match new {
            "" => pair.files["a.flam"].find("\n\n").expect("the header") + 1,
            new => pair.files["a.flam"].find(new).expect(new),
        };
        pair.edit("a.flam", at..at + new.len(), old);
        pair.compare(&format!("{old:?} again"));
    }
}

/// A word that leads nowhere is told once, where it stands.
#[test]
fn words_that_lead_nowhere_move_with_their_sentence() {
    let text = "part \"The street\" {#street}\n\n## By hand {#by-hand}\n\nLooking\nback {#back}\n====\n\nSee @street, @doubles, @by-hand.number and @back.page.\n\nfill\n  play  s s s s\n";
    let mut pair = Pair::new("a.flam", Texts::from([("a.flam".to_owned(), text.to_owned())]));
    pair.compare("as it is");
    let edits =
        [("## By hand", ")By hand"), ("@doubles, ", "@dovariation c of later\n  gaps: k\n\n")];
    for (old, new) in edits {
        let at = pair.files["a.flam"].find(old).expect(old);
        pair.edit("a.flam", at..at + old.len(), new);
        pair.compare(new);
    }
}

/// The heading that an included file's title makes stands nowhere in the text, however far its file moves: a name can
/// be given to it by no words there.
#[test]
fn a_heading_made_of_a_title_does_not_move() {
    let main = "title: Two\n\nBegin here.\n\ninclude one.flam\n\ninclude two.flam\n";
    let one = "title: Street 1\n\nfill\n  play  s s s s\n";
    let two = "title: Street 2\n\nWalk.\n\nfill\n  play  k k k k\n";
    let files = [("a.flam", main), ("one.flam", one), ("two.flam", two)];
    let files = files.map(|(name, text)| (name.to_owned(), text.to_owned()));
    let mut pair = Pair::new("a.flam", Texts::from(files));
    assert!(pair.compare("as it is"));
    for (name, old, new) in [
        ("a.flam", "Begin", "Now begin"),
        ("one.flam", "s s", "t  s"),
        ("a.flam", "here.", "here, at @street-2."),
    ] {
        let at = pair.files[name].find(old).expect(old);
        pair.edit(name, at..at + old.len(), new);
        pair.compare(new);
    }
    assert!(!pair.told().contains("{#street-2}"), "{}", pair.told());
}

/// Titles, names, tags and levels that change, one by one: the lists of an index are made of what they were.
#[test]
fn an_index_follows_its_blocks() {
    let text = "title: Lists\nindex: both\n\nfill gate \"The gate\"\n  tags: feet, doors\n  play  s s s s\n\n\
        variation narrow of gate \"Narrow\"\n  taps: ghost\n\nfill arch \"Arch\"\n  tags: feet\n  level: 2\n  \
        play  t t t t\n\nfill \"arch!\"\n  level: hard\n  play  k k k k\n\nfill \"Arch\"\n  tags: Feet\n  \
        play  m m m m\n\nfill door \"Door\"\n  level: 2\n  play  s s s s\n";
    let edits = [
        // What only it has, and what others have as well, the first of them and the last.
        ("\"Door\"", "\"A door\""),
        ("\"Arch\"", "\"Zone\""),
        ("\"Zone\"", "\"ARCH\""),
        ("\"arch!\"", "\"Gap\""),
        ("\"Gap\"", "\"Arch\""),
        // What stands under another, and that other.
        ("\"Narrow\"", "\"Broad\""),
        ("\"The gate\"", "\"A hedge\""),
        ("of gate", "of arch"),
        ("fill door", "fill gate2"),
        ("\"Broad\"", "\"ARCH broad\""),
        // Tags and levels: the first of a list, the last, and none any more.
        ("tags: feet, doors", "tags: doors"),
        ("tags: Feet", "tags: hands, feet"),
        ("tags: feet\n", "tags: doors, doors\n"),
        ("level: 2", "level: 4"),
        ("level: hard", "level: 2"),
        ("\"A door\"", "\"Lawn\""),
        // A title less, and one more block.
        ("fill \"Arch\"", "fill"),
        ("fill arch", "fill \"Before\"\n  play  s s s s\n\nfill arch"),
    ];
    for index in ["both", "levels"] {
        let text = text.replace("index: both", &format!("index: {index}"));
        let mut pair = Pair::new("a.flam", Texts::from([("a.flam".to_owned(), text)]));
        assert!(pair.compare("as it is"));
        let mut done = Vec::new();
        for (old, new) in edits {
            let at = pair.files["a.flam"].find(old).expect(old);
            pair.edit("a.flam", at..at + old.len(), new);
            pair.compare(&format!("index: {index}, {new:?} for {old:?}"));
            done.push((at, old, new));
        }
        for (at, old, new) in done.into_iter().rev() {
            pair.edit("a.flam", at..at + new.len(), old);
            pair.compare(&format!("index: {index}, {old:?} again"));
        }
    }
}

/// A paragraph more moves all items after it; what leads to these, and the pages of other chapters, are as they
/// were.
#[test]
fn a_paragraph_more_changes_no_chapter_but_its_own() {
    for mut files in [edits::book(6), edits::in_one_file(&edits::book(6))] {
        let name = if files.len() > 1 { "chapters/1.flam" } else { "book.flam" };
        let header = files["book.flam"].replacen("\n", "\nchapters: new-page\n", 1);
        files.insert("book.flam".to_owned(), header);
        let at = files[name].find("Walk on").expect("a paragraph");
        let mut pair = Pair::new("book.flam", files);
        assert!(pair.compare("as it is"), "{}", pair.told());
        let more = "Begin.\n\n";
        for (end, text) in [(at, more), (at + more.len(), "")] {
            pair.edit(name, at..end, text);
            let update = pair.session.update(&|| false).expect("nobody stops it");
            assert!(update.current);
            let (changed, pages) = (&update.changed, update.pages);
            assert!(!changed.is_empty() && changed.len() * 3 < pages, "{changed:?} of {pages}");
        }
        pair.edit(name, at..at, more);
        assert!(pair.compare("a paragraph more"));
    }
}
