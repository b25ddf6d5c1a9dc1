//! The tree of a file in a short form without places, for snapshots and comparison.

use flamacue::score::{Accent, Figure, Hand, Inline, ProseBlock};
use flamacue::syntax::tree::*;
use std::fmt::Write;

/// One line for each piece of the tree.
pub fn dump(document: &Document) -> String {
    let mut out = String::new();
    for setting in document.header.iter() {
        line(&mut out, 0, &format!("header {}", setting_text(setting)));
    }
    for item in &document.items {
        match item {
            Item::Heading(heading) => {
                line(&mut out, 0, &format!("heading {} {}", heading.level, inlines(&heading.text)));
            }
            Item::Prose(prose) => dump_prose(&mut out, 0, prose),
            Item::Block(block) => dump_block(&mut out, block),
            Item::Include(name) => line(&mut out, 0, &format!("include {}", name.value)),
            Item::FileStart(start) => {
                line(&mut out, 0, "file");
                for setting in start.header.iter() {
                    line(&mut out, 1, &format!("header {}", setting_text(setting)));
                }
            }
            Item::FileEnd => line(&mut out, 0, "end of file"),
        }
    }
    out
}

fn dump_prose(out: &mut String, depth: usize, block: &ProseBlock) {
    match block {
        ProseBlock::Paragraph(text) => line(out, depth, &format!("paragraph {}", inlines(text))),
        ProseBlock::List(list) => {
            let first = list.first.map_or("bullets".to_owned(), |first| format!("from {first}"));
            let loose = if list.loose { ", loose" } else { "" };
            line(out, depth, &format!("list {first}{loose}"));
            for entry in &list.entries {
                line(out, depth + 1, "entry");
                entry.iter().for_each(|block| dump_prose(out, depth + 2, block));
            }
        }
        ProseBlock::Quote(blocks) => {
            line(out, depth, "quote");
            blocks.iter().for_each(|block| dump_prose(out, depth + 1, block));
        }
        ProseBlock::Break => line(out, depth, "break"),
        ProseBlock::Code(lines) => {
            line(out, depth, "code");
            lines.iter().for_each(|code| line(out, depth + 1, &format!("{code:?}")));
        }
        ProseBlock::Table(table) => {
            line(out, depth, &format!("table {:?}", table.columns));
            for row in std::iter::once(&table.head).chain(&table.rows) {
                let cells: Vec<String> = row.iter().map(|cell| inlines(cell)).collect();
                line(out, depth + 1, &cells.join(" | "));
            }
        }
        ProseBlock::Figure(figure) => {
            let Figure { file, said, caption, .. } = figure;
            line(out, depth, &format!("picture {file:?} {said:?} {caption:?}"));
        }
        ProseBlock::Notes(notes) => {
            for note in notes {
                line(out, depth, &format!("footnote {}", note.number));
                note.blocks.iter().for_each(|block| dump_prose(out, depth + 1, block));
            }
        }
    }
}

fn dump_block(out: &mut String, block: &Block) {
    let name = block.name.as_ref().map_or("-", |name| &name.value);
    let title = block.title.as_ref().map(|title| &title.value);
    line(out, 0, &format!("{} {name} {title:?}", block.word.value.as_str()));
    for (at, set) in block.sets.iter().enumerate() {
        if at > 0 {
            line(out, 1, "--");
        }
        dump_set(out, 1, set);
        for player in &block.players {
            let Some(own) = player.sets.get(at) else { continue };
            if !own.settings.is_empty() || !own.rows.is_empty() {
                line(out, 1, &format!("player {:?}", player.name.value));
                dump_set(out, 2, own);
            }
        }
    }
}

fn dump_set(out: &mut String, depth: usize, set: &RowSet) {
    for setting in &set.settings {
        line(out, depth, &setting_text(setting));
    }
    for row in &set.rows {
        let damaged = if row.damaged { " (damaged)" } else { "" };
        line(out, depth, &format!("{}: {}{damaged}", row.name.value, content(&row.content)));
    }
}

fn line(out: &mut String, depth: usize, text: &str) {
    writeln!(out, "{}{text}", "  ".repeat(depth)).unwrap();
}

fn setting_text(setting: &Setting) -> String {
    format!("{} = {:?}", setting.key.value, setting.value.value)
}

fn inlines(text: &[Inline]) -> String {
    text.iter()
        .map(|inline| match inline {
            Inline::Text(text) => format!("{text:?}"),
            Inline::Code(code) => format!("code {code:?}"),
            Inline::Break => "break".to_owned(),
            Inline::Link { address, words } => format!("link {address:?}[{}]", inlines(words)),
            Inline::Note(number) => format!("mark {number}"),
            Inline::Address(address) => format!("address {address:?}"),
            Inline::Emphasis(inner) => format!("em[{}]", inlines(inner)),
            Inline::Strong(inner) => format!("strong[{}]", inlines(inner)),
            Inline::Reference(to) => format!("reference {} {:?}", to.name, to.told),
        })
        .collect::<Vec<_>>()
        .join(" ")
}

fn content(content: &Content) -> String {
    match content {
        Content::Count(all) => entries("count", all, |group| match group {
            CountGroup::Word(word) => word.value.clone(),
            CountGroup::Division { words, .. } => format!("({})", values(words)),
        }),
        Content::Cells(_, all) => entries("cells", all, |group| {
            let cells: Vec<String> = group.cells.iter().map(cell).collect();
            format!("<{}>{}", cells.join(" "), spread(group.spread.as_ref()))
        }),
        Content::Sticks(_, all) => entries("sticks", all, |group| {
            let cells: Vec<String> = group.cells.iter().map(stick).collect();
            format!("<{}>", cells.join(" "))
        }),
        Content::Words(_, all) => entries("words", all, |group| {
            format!("<{}>{}", words(&group.cell), spread(group.spread.as_ref()))
        }),
        Content::KitLetter(letter) => {
            let attributes: Vec<String> =
                letter.attributes.iter().map(|word| format!("{:?}", word.value)).collect();
            format!("letter {} [{}]", letter.name.value, attributes.join(", "))
        }
        Content::Syllables(words) => format!("syllables {}", values(words)),
    }
}

fn words(cell: &WordCell) -> String {
    match cell {
        WordCell::Words(parts) => {
            let part = |part: &QuotableWord| match part.quoted {
                true => format!("{:?}", part.word.value),
                false => part.word.value.clone(),
            };
            parts.iter().map(part).collect::<Vec<_>>().join(" + ")
        }
        WordCell::Split(cells) => {
            format!("[{}]", cells.iter().map(words).collect::<Vec<_>>().join(" "))
        }
    }
}

fn values(words: &[Word]) -> String {
    words.iter().map(|word| word.value.as_str()).collect::<Vec<_>>().join(" ")
}

fn spread(spread: Option<&flamacue::source::Spanned<Spread>>) -> String {
    spread.map_or(String::new(), |spread| {
        format!(":{}/{}", spread.value.beats, spread.value.divided_by)
    })
}

fn entries<T>(kind: &str, all: &[Entry<T>], group: impl Fn(&T) -> String) -> String {
    let mut out = kind.to_owned();
    for entry in all {
        out.push(' ');
        match entry {
            Entry::Group(inner) => out.push_str(&group(inner)),
            Entry::Bar(sign) => write!(out, "{:?}", sign.value).unwrap(),
            Entry::SameBar(same) => {
                out.push_str(&format!("SameBar {}", same.bars).replace("SameBar 1", "SameBar"))
            }
        }
    }
    out
}

fn cell(cell: &Cell) -> String {
    match &cell.kind {
        CellKind::Silence => ".".to_owned(),
        CellKind::Hold => "-".to_owned(),
        CellKind::TiedHold => "_".to_owned(),
        CellKind::Slash => "/".to_owned(),
        CellKind::Split(cells) => {
            format!("[{}]", cells.iter().map(self::cell).collect::<Vec<_>>().join(" "))
        }
        CellKind::Hit(hit) => {
            let strikes: Vec<String> = hit
                .strikes
                .iter()
                .map(|strike| {
                    let letter = match strike.accent {
                        Accent::None => strike.letter.to_string(),
                        Accent::Accent => format!(">{}", strike.letter),
                        Accent::Marcato => format!("^{}", strike.letter),
                    };
                    if strike.ghost { format!("({letter})") } else { letter }
                })
                .collect();
            let mut out = strikes.join("+");
            match &hit.grace {
                WrittenGrace::Ticks(0) => {}
                WrittenGrace::Ticks(count) => write!(out, " grace{count}").unwrap(),
                WrittenGrace::Letters(letters) => {
                    let letters: String = letters.iter().map(|letter| letter.value).collect();
                    write!(out, " grace{{{letters}}}").unwrap();
                }
            }
            if hit.strokes > 0 {
                write!(out, " strokes{}", hit.strokes).unwrap();
            }
            if hit.buzz {
                out.push_str(" buzz");
            }
            if hit.touch.staccato {
                out.push_str(" staccato");
            }
            if hit.touch.tenuto {
                out.push_str(" tenuto");
            }
            if hit.touch.unclear {
                out.push_str(" unclear");
            }
            if let Some(strokes) = hit.touch.roll {
                write!(out, " roll{strokes}").unwrap();
            }
            if hit.choked {
                out.push_str(" choked");
            }
            if out.contains(' ') { format!("{{{out}}}") } else { out }
        }
    }
}

fn stick(cell: &StickCell) -> String {
    let hand = |hand: &Hand| match hand {
        Hand::Right => 'R',
        Hand::Left => 'L',
        Hand::Both => 'B',
    };
    match &cell.kind {
        StickKind::Silence => ".".to_owned(),
        StickKind::NoLetter => "-".to_owned(),
        StickKind::Split(cells) => {
            format!("[{}]", cells.iter().map(stick).collect::<Vec<_>>().join(" "))
        }
        StickKind::Letter { hand: main, grace, accent, other } => {
            let mut out = match accent {
                Accent::None => String::new(),
                Accent::Accent => ">".to_owned(),
                Accent::Marcato => "^".to_owned(),
            };
            out.extend(grace.iter().map(|grace| hand(grace).to_ascii_lowercase()));
            out.push(hand(main));
            out.extend(other.iter().map(|other| format!("({})", hand(other))));
            out
        }
    }
}
