//! Every key: its names, where it may stand, what it may say, and what it sets. The guide's table of
//! keys is held against this one by a test.

use super::counting::CountingSystems;
use super::key_values::*;
use super::practice_keys;
use super::stick_rule;
use super::values;
use crate::score::Span;
use crate::score::printing::Background;
use crate::source::Spanned;
use crate::syntax::values::beams::WrittenBeams;
use crate::syntax::values::list;
use crate::syntax::values::swing::WrittenSwing;
use crate::syntax::values::tempo::WrittenTempo;
use crate::syntax::values::{blank, colour, length, note, paper};
use std::ops::RangeInclusive;
use std::sync::Arc;

/// Heights a five-line staff may have, in millimetres.
const STAFF_HEIGHTS: RangeInclusive<f64> = 3.0..=20.0;
/// What the margin at a book's back may be wider by, in millimetres.
const BINDINGS: RangeInclusive<f64> = 0.0..=40.0;
/// Years a book may have come out in.
const YEARS: RangeInclusive<u16> = 1..=9999;
/// What a colour may be.
const COLOURS: &str = "write `black`, `white`, `gray`, or six figures as on the web, such as `#204060`; a background may be `none`";
/// Most font files: regular, bold, italic.
pub(super) const MOST_FONTS: usize = 3;

/// Where a key may stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Reach {
    /// For the whole file only.
    File,
    /// For the whole file, or for a block alone: what the file says does not hold for its blocks.
    FileOrBlock,
    /// For the whole file or a whole block.
    Block,
    /// Also for one player of a block.
    Player,
    /// For a block or one player, and never for the file.
    Below,
    /// For one player only.
    PlayerOnly,
    /// Also from a line of `--` on.
    Set,
}

/// One key.
pub(crate) struct KeyDefinition {
    /// Its names; the first is the one it is told by.
    pub(crate) names: &'static [&'static str],
    /// Where it may stand.
    pub(crate) reach: Reach,
    /// What it may say, as the guide has it.
    pub(crate) help: &'static str,
    /// Reads its value, trimmed, which stands at a place.
    pub(crate) read: fn(&str, Span, &CountingSystems) -> Read,
}

impl KeyDefinition {
    /// The name it is told by.
    pub(crate) fn name(&self) -> &'static str {
        self.names.first().copied().unwrap_or_default()
    }

    /// The values its help names.
    pub(crate) fn told_values(&self) -> Vec<&'static str> {
        let systems = CountingSystems::default();
        let quoted = self.help.split('`').skip(1).step_by(2);
        quoted.filter(|value| (self.read)(value, Span::default(), &systems).is_ok()).collect()
    }
}

const fn file(
    names: &'static [&'static str],
    help: &'static str,
    read: fn(&str, Span, &CountingSystems) -> Read,
) -> KeyDefinition {
    KeyDefinition { names, reach: Reach::File, help, read }
}

const fn block(
    name: &'static [&'static str],
    help: &'static str,
    read: fn(&str, Span, &CountingSystems) -> Read,
) -> KeyDefinition {
    KeyDefinition { names: name, reach: Reach::Block, help, read }
}

const fn player(
    name: &'static [&'static str],
    help: &'static str,
    read: fn(&str, Span, &CountingSystems) -> Read,
) -> KeyDefinition {
    KeyDefinition { names: name, reach: Reach::Player, help, read }
}

const fn set(
    name: &'static [&'static str],
    help: &'static str,
    read: fn(&str, Span, &CountingSystems) -> Read,
) -> KeyDefinition {
    KeyDefinition { names: name, reach: Reach::Set, help, read }
}

/// Every key, in the order in which messages list them.
pub(crate) const KEYS: &[KeyDefinition] = &[
    file(&["title"], "words", |v, _, _| words(v, |h, w| h.title = Some(w))),
    file(&["subtitle"], "words", |v, _, _| words(v, |h, w| h.subtitle = Some(w))),
    file(&["author"], "words", |v, _, _| words(v, |h, w| h.author = Some(w))),
    file(&["copyright"], "words", |v, _, _| words(v, |h, w| h.copyright = Some(w))),
    file(&["dedication"], "words", |v, _, _| words(v, |h, w| h.front.dedication = Some(w))),
    file(&["publisher"], "words", |v, _, _| words(v, |h, w| h.front.publisher = Some(w))),
    file(&["printing"], "words, as `Second edition`", |v, _, _| {
        words(v, |h, w| h.front.printing = Some(w))
    }),
    file(&["year"], "when it came out: 1 to 9999", |v, _, _| {
        let year = v.parse().ok().filter(|year| YEARS.contains(year));
        let year = year.ok_or("write the year alone, in figures, as `2026`")?;
        for_file(year, |h, year| h.front.year = Some(year))
    }),
    file(&["thanks"], "words", |v, _, _| words(v, |h, w| h.front.thanks = Some(w))),
    file(&["isbn"], "a book's number: `978-0-11-000222-4`, or of ten digits", |v, _, _| {
        for_file(isbn(v)?, |h, isbn| h.front.isbn = Some(isbn))
    }),
    KeyDefinition {
        names: &["level"],
        reach: Reach::FileOrBlock,
        help: "1 to 5, or words",
        read: |v, _, _| level(v),
    },
    file(&["language"], "a language tag such as `en` or `de-CH`", |v, _, _| {
        let tag = list::language(v)
            .map(str::to_owned)
            .ok_or("write a language tag such as `en` or `de-CH`")?;
        for_file(tag, |h, tag| h.language = Some(tag))
    }),
    file(
        &["page", "paper"],
        "`a4`, `letter`, `a5 landscape`, `9 x 12 in`, `16:9`, `1080 x 1920 px` ...",
        |v, _, _| {
            let paper = paper::paper(v)
            .ok_or("write `a4`, `a5`, `letter`, a size such as `9 x 12 in`, `210 x 297 mm` or `1080 x 1920 px`, or a ratio such as `16:9`")?;
            for_file(paper, |h, paper| h.paper = paper)
        },
    ),
    file(&["style"], "`handout`, `stand`, `book`, `screen`", |v, span, _| {
        for_file(one_of(v, span, LOOKS)?, |h, look| h.look = look)
    }),
    file(&["staff-height"], "3 mm to 20 mm", |v, _, _| {
        let height = length::millimetres(v).filter(|h| STAFF_HEIGHTS.contains(h));
        let height = height.ok_or("write a height from 3 to 20 mm, such as `7 mm`")?;
        for_file(height, |h, height| h.staff_height = Some(height))
    }),
    file(&["chapters"], "`follow`, `new-page`, `right-page`", |v, span, _| {
        for_file(one_of(v, span, CHAPTERS)?, |h, chapters| h.chapters = chapters)
    }),
    file(&["contents"], "`none`, `headings`, `exercises`", |v, span, _| {
        for_file(one_of(v, span, CONTENTS)?, |h, contents| h.contents = contents)
    }),
    file(&["binding"], "0 mm to 40 mm", |v, _, _| {
        let width = length::millimetres(v).filter(|width| BINDINGS.contains(width));
        let width = width.ok_or("write a width from 0 to 40 mm, such as `8 mm`")?;
        for_file(width, |h, width| h.binding = Some(width))
    }),
    file(&["title-page"], "`on`, `off`", |v, span, _| {
        for_file(one_of(v, span, ON_OR_OFF)?, |h, on| h.title_page = on)
    }),
    file(&["front-matter"], "`counted`, `roman`", |v, span, _| {
        for_file(one_of(v, span, &[("counted", false), ("roman", true)])?, |h, on| {
            h.roman_front = on
        })
    }),
    file(&["running-heads"], "`on`, `off`", |v, span, _| {
        for_file(one_of(v, span, ON_OR_OFF)?, |h, on| h.running_heads = on)
    }),
    file(&["numbers"], "`continuous`, `by chapter`", |v, span, _| {
        for_file(one_of(v, span, NUMBERS)?, |h, numbers| h.numbers = numbers)
    }),
    file(&["index"], "`none`, `exercises`, `techniques`, `both`, `levels`", |v, span, _| {
        for_file(one_of(v, span, INDEXES)?, |h, index| h.index = index)
    }),
    file(&["key"], "`none`, `first page`, `last page`", |v, span, _| {
        let value = v.split_whitespace().collect::<Vec<_>>().join(" ");
        for_file((one_of(&value, span, NOTATION_KEYS)?, span), |h, (key, span)| {
            h.key = key;
            h.key_span = span;
        })
    }),
    file(&["text-font"], "one to three font files: regular, bold, italic", |v, span, _| {
        let files = list::files(v);
        if files.is_empty() || files.len() > MOST_FONTS {
            return Err("write a font file, such as `text-font: Kettle.otf`; a bold and an \
                        italic one may follow after commas"
                .into());
        }
        for_file(Spanned { value: files, span }, |h, files| h.text_fonts = Some(files))
    }),
    file(&["prose"], "`show`, `none`", |v, span, _| {
        for_file(one_of(v, span, SHOW_OR_NONE)?, |h, show| h.prose = show)
    }),
    file(&["blocks"], "`follow`, `one a page`, `one a page, centred`", |v, span, _| {
        for_file(one_of(v, span, BLOCKS)?, |h, blocks| h.blocks = blocks)
    }),
    file(&["answers"], "`none`, `last page`", |v, span, _| {
        for_file(one_of(v, span, ANSWERS)?, |h, answers| h.answers = answers)
    }),
    file(&["ink"], "`black`, `white`, `gray`, `#204060`", |v, span, _| {
        let value = colour::colour(v).ok_or(COLOURS)?;
        for_file(Spanned { value, span }, |h, ink| h.ink = Some(ink))
    }),
    file(&["background"], "a colour as for `ink`; `none`", |v, _, _| {
        let colour = colour::colour(v).map(Background::Colour);
        let background = colour.or_else(|| (v == "none").then_some(Background::None));
        for_file(background.ok_or(COLOURS)?, |h, background| h.background = background)
    }),
    player(&["staff"], "`five-line`, `one-line`, `none`", |v, span, _| {
        for_music(one_of(v, span, STAVES)?, |s, staff| s.staff = staff)
    }),
    player(&["counts"], "`played`, `all`, `none`", |v, span, _| {
        for_music(one_of(v, span, COUNTS)?, |s, counts| s.counts = counts)
    }),
    player(&["sticking"], "`show`, `above`, `none`", |v, span, _| {
        for_music(one_of(v, span, STICKING)?, |s, place| s.sticking = place)
    }),
    player(
        &["blank"],
        "`counts`, `sticking`, `notes`, `every second bar`, several with commas; `none`",
        |v, _, _| {
            let blank = blank::blank(v).ok_or(
                "write what is to be filled in by hand: `counts`, `sticking`, and `notes` or `every second bar`",
            )?;
            for_music(blank, |s, blank| s.blank = blank)
        },
    ),
    player(
        &["stick"],
        "`natural`, `alternate`, `economy`, each with `left`; `lead left`; `written`",
        |v, span, _| for_music(stick_rule::read(v, span)?, |s, rule| s.stick = rule),
    ),
    player(&["voices"], "`auto`, `one`, `two`, `by bar`", |v, span, _| {
        for_music(one_of(v, span, VOICES)?, |s, voices| s.voices = voices)
    }),
    block(&["bars"], "bars on a line, 1 to 16", |v, _, _| {
        let bars = v.parse().ok().filter(|n| BARS_ON_LINE.contains(n));
        let bars = bars.ok_or("write how many bars stand on a line, from 1 to 16")?;
        for_music(bars, |s, bars| s.bars_per_line = Some(bars))
    }),
    block(&["columns"], "blocks side by side, 1 to 4", |v, _, _| {
        let columns = v.parse().ok().filter(|n| COLUMNS.contains(n));
        let columns = columns.ok_or("write how many blocks stand side by side, from 1 to 4")?;
        for_music(columns, |s, columns| s.columns = columns)
    }),
    block(&["tags"], "words with commas between them, up to 20", |v, _, _| {
        let tags = list::tags(v)
            .ok_or("write up to 20 words with commas between them, as `flams, hands`")?;
        for_music(Arc::<[String]>::from(tags), |s, tags| s.tags = tags)
    }),
    block(&["print"], "`here`, `in context`", |v, span, _| {
        let value = v.split_whitespace().collect::<Vec<_>>().join(" ");
        let choices = &[("here", false), ("in context", true)];
        for_music(one_of(&value, span, choices)?, |s, yes| s.in_context = yes)
    }),
    block(&["first-bar"], "the number of its first bar, 1 to 9999", |v, _, _| {
        let number = v.parse().ok().filter(|n| FIRST_BARS.contains(n));
        let number = number.ok_or("write the number of the first bar, from 1 to 9999")?;
        for_music(number, |s, number| s.layout.first_bar = number)
    }),
    block(&["bar-numbers"], "`lines`, `every bar`, `none`", |v, span, _| {
        for_music(one_of(v, span, BAR_NUMBERS)?, |s, shown| s.layout.bar_numbers = shown)
    }),
    block(&["sections"], "`boxed`, `plain`", |v, span, _| {
        for_music(one_of(v, span, SECTIONS)?, |s, sign| s.layout.sections = sign)
    }),
    block(&["starts"], "`follow`, `new-page`, `left-page`, `right-page`", |v, span, _| {
        for_music(one_of(v, span, STARTS)?, |s, starts| s.layout.starts = starts)
    }),
    block(&["keep"], "`together`, `with next`, `together with next`, `none`", |v, span, _| {
        for_music(one_of(v, span, KEEP)?, |s, keep| s.layout.keep = keep)
    }),
    player(&["grace-slurs"], "`yes`, `no`", |v, span, _| {
        for_music(one_of(v, span, YES_OR_NO)?, |s, yes| s.grace_slurs = yes)
    }),
    player(&["grace-spread"], "5 ms to 100 ms", |v, _, _| practice_keys::spread(v)),
    block(
        &["practice"],
        "steps with commas: `alone`, `in context`, `silence`, `slow`, `at 80`, `at goal`, `60 to 100 by 10`, `without hands`, `x2`",
        |v, _, _| practice_keys::steps(v),
    ),
    block(
        &["click"],
        "`none`, `bars`, `beats`, `beats 2 4`, `eighths`, `triplets`, `sixteenths`, with `, silent 1 bar of 4`",
        |v, _, _| practice_keys::click(v),
    ),
    block(&["count-in"], "`1 bar` to `4 bars`; `none`", |v, _, _| practice_keys::count_in(v)),
    block(&["looseness"], "1 ms to 30 ms; `none`", |v, _, _| practice_keys::looseness(v)),
    player(&["fastest-hand"], "strokes a second, 1 to 30", |v, _, _| {
        speed(v, |limits, speed| limits.hand = speed)
    }),
    player(&["fastest-foot"], "strokes a second, 1 to 30", |v, _, _| {
        speed(v, |limits, speed| limits.foot = speed)
    }),
    player(&["double-pedal"], "`yes`, `no`", |v, span, _| {
        for_music(one_of(v, span, YES_OR_NO)?, |s, yes| s.limits.double_pedal = yes)
    }),
    player(&["as-played"], "`yes`, `no`", |v, span, _| {
        for_music(one_of(v, span, YES_OR_NO)?, |s, yes| s.as_played = yes)
    }),
    KeyDefinition {
        names: &["kit"],
        reach: Reach::Below,
        help: "the name of a `kit` block above",
        read: |v, span, _| {
            let name = block_name(v).ok_or("write the name of a `kit` block that stands above")?;
            for_music((name, span), |s, name| s.kit = Some(name))
        },
    },
    player(&["drummers"], "how many share a player's rows, 1 to 10", |v, _, _| {
        let drummers = v.parse().ok().filter(|n| DRUMMERS.contains(n));
        let drummers = drummers.ok_or("write how many drummers share these rows, from 1 to 10")?;
        for_music(drummers, |s, drummers| s.drummers = drummers)
    }),
    KeyDefinition {
        names: &["short"],
        reach: Reach::PlayerOnly,
        help: "a short name for later lines",
        read: |v, _, _| match v.is_empty() {
            true => Err("write a short name, such as `Sn.`".into()),
            false => for_music((), |_, ()| {}),
        },
    },
    block(&["empty-players"], "`show`, `hide`", |v, span, _| {
        for_music(one_of(v, span, &[("show", false), ("hide", true)])?, |s, hide| {
            s.hide_empty_players = hide;
        })
    }),
    block(&["pickup"], "a note value: `1/4`, `dotted quarter`", |v, span, _| {
        let length = note::note(v)
            .ok_or("write how long the pickup is, such as `1/4` or `dotted quarter`")?;
        for_music((length, Some(span)), |s, pickup| s.pickup = Some(pickup))
    }),
    block(&["goal"], "`120`, `dotted quarter = 120`", |v, _, _| goal(v)),
    set(
        &["tempo"],
        "`92`, `92 Slowly`, `60-120`, `92 unprinted`, `dotted quarter = 80`",
        |v, _, _| {
            let tempo = WrittenTempo::read(v).ok_or(
            "write beats a minute from 10 to 400, such as `92`, `92 Slowly`, `60-120` or `dotted quarter = 80`",
        )?;
            for_music(tempo, |s, tempo| s.tempo = Some(tempo))
        },
    ),
    set(&["time"], "`4/4`, `6/8`, `2+2+3/8`, `common`, `cut`, `none`", |v, _, _| {
        let meter = values::meter(v).ok_or(
            "write a time signature such as `4/4`, `6/8`, `2+2+3/8`, `common`, `cut` or `none`; the lower number is 1, 2, 4, 8, 16, 32 or 64",
        )?;
        for_music(Arc::new(meter), |s, meter| {
            s.meter = meter;
            s.meter_lost = false;
        })
    }),
    set(&["beams"], "`beats`, `1/2`, `dotted quarter`, `3+3+2`", |v, span, _| {
        let beams = WrittenBeams::read(v).ok_or(
            "write how long the group under a beam is, as `1/2`, the groups of a bar, as `3+3+2`, or `beats`",
        )?;
        for_music((beams, Some(span)), |s, beams| s.beams = Some(beams))
    }),
    set(&["swing"], "`eighths`, `sixteenths`, with a ratio as `3:2`; `straight`", |v, _, _| {
        let swing = WrittenSwing::read(v)
            .map(values::swing)
            .ok_or("write `eighths`, `sixteenths`, a ratio as in `eighths 3:2`, or `straight`")?;
        for_music(swing, |s, swing| s.swing = swing)
    }),
    set(&["counting"], "`numbers`, `takadimi`, the name of a table", |v, span, systems| {
        for_music(counting(v, span, systems)?, |s, name| s.counting = Some(name))
    }),
    set(&["compound"], "`eighths`, `beats`", |v, span, _| {
        for_music(one_of(v, span, COMPOUND)?, |s, way| s.compound = Some(way))
    }),
    set(&["odd"], "`through`, `groups`", |v, span, _| {
        for_music(one_of(v, span, ODD)?, |s, way| s.odd = Some(way))
    }),
    set(&["rests"], "`short`, `full`", |v, span, _| {
        for_music(one_of(v, span, RESTS)?, |s, rests| s.rests = rests)
    }),
];
