//! What the words and signs of the language are, in the words of the guide's reference, whose tables a test
//! holds against these.

/// A line of a table: the words or signs it is about, and what it says of them.
pub struct Told {
    /// The words or signs.
    pub words: &'static [&'static str],
    /// What they are, as the guide has it.
    pub about: &'static str,
}

const fn told(words: &'static [&'static str], about: &'static str) -> Told {
    Told { words, about }
}

/// What a word or sign of a table is.
pub fn about(table: &[Told], word: &str) -> Option<&'static str> {
    table.iter().find(|told| told.words.contains(&word)).map(|told| told.about)
}

/// The words that begin a block.
#[rustfmt::skip]
pub const BLOCK_WORDS: &[Told] = &[
    told(&["groove"], "a beat that goes round; not numbered"),
    told(&["fill", "exercise", "rudiment"], "numbered"),
    told(&["kit"], "letters changed or added; with a name, for those who ask for it"),
    told(&["syllables"], "a table of counting, with a name"),
    told(&["variation"], "made from another block by what changes"),
    told(&["context"], "blocks one after another, as a fill after its groove; numbered where it holds the fill itself or stands for one"),
    told(&["series"], "exercises made by a rule"),
    told(&["edition"], "lines that hold where the text is printed for somebody else"),
];

/// The rows that are not called after an instrument.
#[rustfmt::skip]
pub const ROWS: &[Told] = &[
    told(&["count"], "syllables: the rhythm itself"),
    told(&["play"], "hits by letter"),
    told(&["hands", "feet"], "the same for one voice"),
    told(&["stick", "pedal"], "letters for hands, for feet"),
    told(&["dyn"], "dynamics, hairpins, `cresc` and `dim`"),
    told(&["say"], "words under the notes"),
    told(&["mark"], "over the staff"),
    told(&["band"], "what the band plays, small over the staff; `x` is a hit"),
    told(&["cue"], "under a player: whose notes are shown small while this one rests"),
];

/// The signs of cells.
#[rustfmt::skip]
pub const CELLS: &[Told] = &[
    told(&["."], "silence"),
    told(&["-"], "the hit before goes on"),
    told(&["_"], "goes on and is tied into the next hit; at the end of a block it rings"),
    told(&["s", "x"], "a hit"),
    told(&["S", "X"], "accented"),
    told(&["^s"], "strongly accented"),
    told(&["(s)", "g"], "ghosted"),
    told(&["(S)", "G"], "ghosted and accented"),
    told(&["'s", "''s", "'''s"], "flam, drag, ruff"),
    told(&["{t}s", "{tm}s", "{tmf}s"], "the same with small notes on other drums"),
    told(&["s/", "s//", "s///"], "1, 2, 3 strokes through the stem"),
    told(&["s//5", "s~5"], "a number over the roll"),
    told(&["s~"], "buzz"),
    told(&["s,"], "short"),
    told(&["s="], "held to its full length"),
    told(&["s!"], "choked"),
    told(&["s?"], "not heard for certain"),
    told(&["/"], "a beat of time that is kept"),
    told(&["c+k"], "together"),
    told(&["[ss]"], "one cell, split"),
    told(&["o", "h", "x", "hat"], "open, half-open, closed"),
    told(&["sss:2", "sss:1/2"], "a group spread over two beats, over half a beat"),
    told(&["ss|s:2"], "a group over a barline, spread over two beats of both bars"),
];

/// The signs between groups.
#[rustfmt::skip]
pub const BARLINES: &[Told] = &[
    told(&["|"], "a bar ends"),
    told(&["||"], "a double line"),
    told(&["|:", ":|"], "repeat; `:|:` is both"),
    told(&[":| x4"], "played four times in all"),
    told(&["%"], "the bar before again"),
    told(&["%2", "%4"], "the two or four bars before again, in as many bars"),
    told(&[".:4"], "a silent bar; several are one long rest"),
    told(&["--"], "the block goes on in more rows"),
];

/// The words of a `mark` row.
#[rustfmt::skip]
pub const MARKS: &[Told] = &[
    told(&["A", "B2"], "a section letter"),
    told(&["1.", "2.", "1.,2.", "1.-3."], "an ending"),
    told(&["segno", "coda"], "the signs"),
    told(&["to-coda", "fine", "dc", "ds", "dc-al-fine", "dc-al-coda", "ds-al-fine", "ds-al-coda"], "where to go on"),
    told(&["da-capo", "dal-segno", "da-capo-al-fine", "dal-segno-al-coda"], "the same in full words"),
    told(&["tempo=120", "swing", "swing=sixteenths", "straight"], "a new tempo or feel"),
    told(&["rit", "accel"], "slower or faster by and by, with dashes up to the next mark of a tempo"),
    told(&["a-tempo"], "the tempo before a `rit` or `accel`"),
    told(&["triplet-eighth=eighth", "quarter=dotted-quarter"], "a metric modulation"),
    told(&["fermata", "breath", "caesura"], "where time stops"),
    told(&["phrase", "phrase=2", "end-phrase"], "a bracket over a phrase, with its number; its end"),
    told(&["new-line", "new-line?"], "a line of music begins with this bar, or may well begin"),
    told(&["new-page"], "a page begins with this bar"),
    told(&["turn"], "a good place to turn the page: after this bar, in which the hands rest"),
    told(&["\"lightly\""], "words"),
];

/// What a row of a `kit` block may say of its letter.
#[rustfmt::skip]
pub const KIT_WORDS: &[Told] = &[
    told(&["line 3", "space 2", "above 1", "below 1"], "the place on the staff"),
    told(&["normal", "x", "circled-x", "diamond", "triangle", "slash", "square", "plus"], "the head"),
    told(&["hands", "feet"], "what plays it"),
    told(&["open", "half-open", "closed"], "the sign over its notes"),
    told(&["rim-shot", "dead-stroke", "sweep"], "the sign on their stems: rim and head at once, a stick that stays, a brush that sweeps"),
    told(&["sound 38"], "a General MIDI percussion key, 27 to 87"),
    told(&["a kick", "a snare", "a tom", "a hi-hat", "a cymbal", "percussion"], "its kind; `a` may be left out"),
    told(&["a crash", "no crash"], "a cymbal that is crashed with the kick under it, or is not"),
    told(&["rings", "dry"], "whether a hand can choke it"),
    told(&["stands 40 left 60 ahead"], "centimetres from you, up to 300; also `right` and `behind`; one of the two may be left out"),
    told(&["called big gong"], "its name in print"),
    told(&["also tam-tam"], "one more name for its row"),
];

/// The words of lines that stand alone at the left edge.
pub const LINES: [(&str, &str); 2] = [
    ("part", "a part of a book begins, as `part \"Hands\"`"),
    ("include", "another file stands here, as `include chapter.flam`"),
];

/// The lines of a variation.
pub const VARIATION_LINES: &[Told] = &[
    told(
        &["gaps"],
        "what goes into each silent place: cells such as `k` or `(s)`, `diddle`, `flam`, `drag`",
    ),
    told(
        &["taps"],
        "what becomes of unaccented notes of the hands: `diddle`, `ghost`, `flam`, `drop`, or a drum",
    ),
    told(
        &["accents"],
        "where the accents go: drums, `on 1 & a`, `every 3 notes`, `flam`, `drop`, `only`",
    ),
    told(&["move"], "what goes to another drum, as `hat to ride` or `right to kick`"),
    told(&["right", "left"], "where this hand plays"),
    told(&["order"], "round the drums, one for each beat; `by note`, `by accent`"),
    told(&["sticking", "stick"], "`reverse`, or the rule that makes the letters"),
    told(&["lead"], "the hand that leads: `right` or `left`"),
    told(&["shift"], "everything later, as `one sixteenth`, or `one eighth earlier`"),
    told(&["rotate"], "so much of the beginning comes to the end, as `3 notes`"),
    told(&["backwards"], "the last cell first: `yes`"),
    told(&["as"], "the same notes at another subdivision, as `triplets`"),
];

/// The lines of a context.
pub const CONTEXT_LINES: &[Told] = &[
    told(&["play"], "the blocks that are played, as `loft x3, crumbs`"),
    told(&["endings"], "the blocks that take turns at the end"),
    told(&["from"], "where the rows come in, as `2 &`"),
    told(&["over"], "what goes on under them, as `kick foot-hat`"),
];

/// The lines of a series.
pub const SERIES_LINES: &[Told] = &[
    told(&["accents"], "all places of so many accents, as `2 of ssss`"),
    told(&["notes"], "all ways to play so many cells, as `3 of 8 sixteenths on kick`"),
    told(&["stickings"], "all stickings, as `8 sixteenths, lead left, at most 3 in a row`"),
    told(&["turns"], "the block begun on each of its notes in turn: `yes`"),
    told(
        &["hands", "feet"],
        "patterns with commas between them; each of the hands goes over each of the feet",
    ),
    told(&["order"], "the order of the exercises: `written`, `neighbours`, `easy`"),
    told(&["at-most"], "how many exercises there may be"),
    told(&["turnings"], "`once` leaves out what is an earlier exercise begun elsewhere"),
    told(&["playable"], "leaves out what can't be played, as `at 120`, or `yes`"),
];

/// The lines of an edition that a header does not have.
pub const EDITION_LINES: &[Told] = &[
    told(&["all"], "a key that holds in all blocks, as `sticking: none`"),
    told(&["only"], "the only blocks that are printed, with commas between their names"),
    told(&["without"], "blocks that are not printed, with commas between their names"),
    told(&["lead"], "`left` turns every sticking to the other hand"),
    told(&["order"], "`by level` prints the blocks of each heading from the easiest on"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interpret::edition::WORDS as EDITION_WORDS;
    use crate::interpret::request::{CHANGE_WORDS, SEQUENCE_WORDS, SERIES_WORDS};

    /// The rows of a table of the guide's reference: the words between backticks, and what is said of them.
    fn guide(heading: &str) -> Vec<(Vec<String>, String)> {
        let page = include_str!("../../guide/reference.md");
        let part = page.split(&format!("## {heading}\n")).nth(1).expect("a table");
        let part = part.split("\n## ").next().expect("its end");
        let rows = part.lines().filter(|line| line.starts_with("| ")).skip(1);
        rows.map(|row| {
            let row = row.replace("\\|", "\u{0}");
            let mut cells = row.trim_matches('|').split(" | ").map(|c| c.trim().replace('\0', "|"));
            let words = cells.next().expect("words");
            let words = words.split('`').skip(1).step_by(2).map(str::to_owned).collect();
            (words, cells.next().expect("what it is"))
        })
        .filter(|(words, _): &(Vec<String>, String)| !words.is_empty())
        .collect()
    }

    #[test]
    fn the_tables_are_those_of_the_guide() {
        for (heading, table) in [
            ("Block words", BLOCK_WORDS),
            ("Rows", ROWS),
            ("Cells", CELLS),
            ("Barlines", BARLINES),
            ("Marks", MARKS),
            ("Rows of a kit", KIT_WORDS),
        ] {
            let guide = guide(heading);
            assert_eq!(guide.len(), table.len(), "{heading}");
            for ((words, about), told) in guide.iter().zip(table) {
                assert_eq!(words, told.words, "{heading}");
                // Where another page of the guide tells more, it says so at the end.
                let about = about.split(": see ").next().expect("words");
                assert_eq!(about, told.about, "{heading}");
            }
        }
    }

    #[test]
    fn every_line_of_made_blocks_is_told() {
        let tables: [(&[&str], &[Told]); 4] = [
            (&CHANGE_WORDS, VARIATION_LINES),
            (&SEQUENCE_WORDS, CONTEXT_LINES),
            (&SERIES_WORDS, SERIES_LINES),
            (&EDITION_WORDS, EDITION_LINES),
        ];
        for (words, table) in tables {
            for word in words {
                assert!(about(table, word).is_some(), "{word}");
            }
            for word in table.iter().flat_map(|told| told.words).filter(|word| **word != "stick") {
                assert!(words.contains(word), "{word}");
            }
        }
    }
}
