//! A whole file, formatted.

use super::letters::Feet;
use super::line::BlockText;
use super::{columns, tokens};
use crate::source::{FileId, Source, Span};
use crate::syntax::grammar::Piece;
use crate::syntax::heading::HeadingWords;
use crate::syntax::limits::LINE_CHARACTERS;
use crate::syntax::lines;
use crate::syntax::lines::Line;
use crate::syntax::outline::outline;
use crate::syntax::tree::{Block, Content, Document, Item, Row, Setting};
use std::collections::{BTreeMap, BTreeSet};

/// The white space that makes lines code, in columns (CommonMark, "Indented code blocks").
const CODE_INDENT: usize = 4;
/// What indents the rows of a block.
const INDENT: &str = "  ";
/// What stands between the columns of a line: a row's name, its content, its comment.
const GUTTER: &str = "  ";
/// What ends a line of prose on the page too (CommonMark, "Hard line breaks").
const LINE_BREAK: &str = "  ";
/// A name wider than this does not push the other rows of its set to the right.
const WIDEST_NAME: usize = 24;

/// The same text with cells and syllables aligned in columns. Comments and blank lines stay;
/// the score does not change; formatting twice changes nothing more. A file with faults should not
/// be formatted; rows with faults stay as they are. Of several files it is the first.
pub fn format(source: &Source, document: &Document) -> String {
    let bodies = bodies(source, document);
    let lines = lines::split(lines::without_mark(source, FileId::MAIN));
    let prose = ProseLines::of(&lines);
    let mut out = String::with_capacity(source.text().len());
    for (nth, line) in lines.iter().enumerate() {
        let next = lines.get(nth + 1);
        let of_prose = prose.line(source, line, next);
        out.push_str(&of_prose.unwrap_or_else(|| tidy(source, line, &bodies)));
        out.push('\n');
    }
    let end = out.trim_end_matches('\n').len();
    out.truncate(end);
    if !out.is_empty() {
        out.push('\n');
    }
    out
}

/// Which lines of a file are prose, whose white space tells what they are.
struct ProseLines {
    /// From the first byte to that of what follows.
    stretches: Vec<Span>,
    /// The starts of lines of code.
    code: BTreeSet<usize>,
}

impl ProseLines {
    fn of(lines: &[Line<'_>]) -> Self {
        let outlined = outline(lines);
        let ends = outlined.iter().skip(1).map(|next| next.start).chain([usize::MAX]);
        let mut prose = Self { stretches: Vec::new(), code: BTreeSet::new() };
        for (stretch, end) in outlined.iter().zip(ends) {
            let Some(code) = stretch.code() else { continue };
            prose.stretches.push(Span::new(stretch.start, end));
            prose.code.extend(code.iter().map(|line| line.start()));
        }
        prose
    }

    fn holds(&self, line: &Line<'_>) -> bool {
        let after = self.stretches.partition_point(|stretch| stretch.start() <= line.span.start());
        let stretch = after.checked_sub(1).and_then(|at| self.stretches.get(at));
        stretch.is_some_and(|stretch| line.span.start() < stretch.end())
    }

    /// A line of prose with what stands before its comment as it is; code is wholly as it is. Nothing for
    /// other lines, and for those without words.
    fn line(&self, source: &Source, line: &Line<'_>, next: Option<&Line<'_>>) -> Option<String> {
        if self.code.contains(&line.span.start()) {
            return Some(source.slice(line.span).to_owned());
        }
        line.body.filter(|_| self.holds(line))?;
        if line.indent() >= CODE_INDENT && line.comment.is_none() {
            // It may be code, in which blanks at the end of a line are part of what it says.
            return Some(source.slice(line.span).to_owned());
        }
        let written = line.prose().text;
        let words = written.trim_end_matches([' ', '\t']);
        let Some(comment) = line.comment else {
            // Two blanks end the line on the page too, where another follows.
            let goes_on = next.is_some_and(|next| next.body.is_some() && self.holds(next));
            let breaks = goes_on && written.ends_with("  ");
            return Some(format!("{words}{}", if breaks { LINE_BREAK } else { "" }));
        };
        let comment = source.slice(comment).trim_end_matches([' ', '\t']);
        let text = format!("{words}{GUTTER}{comment}");
        let fits = text.len() <= LINE_CHARACTERS || text.chars().nth(LINE_CHARACTERS).is_none();
        Some(if fits { text } else { source.slice(line.span).trim_end().to_owned() })
    }
}

/// A line with its white space set right.
fn tidy(source: &Source, line: &Line<'_>, bodies: &BTreeMap<usize, String>) -> String {
    let as_written = source.slice(line.span).trim_end_matches([' ', '\t']);
    if line.skipped {
        return as_written.to_owned();
    }
    let mut text = String::new();
    let body = line.body.map(|body| bodies.get(&body.start).map_or(body.text, String::as_str));
    if line.indented && !line.is_blank() || body == Some("--") {
        text.push_str(INDENT);
    }
    text.push_str(body.unwrap_or(""));
    if let Some(comment) = line.comment {
        if body.is_some() {
            text.push_str(GUTTER);
        }
        text.push_str(source.slice(comment).trim_end_matches([' ', '\t']));
    }
    if text.len() > LINE_CHARACTERS && text.chars().nth(LINE_CHARACTERS).is_some() {
        return as_written.to_owned();
    }
    text
}

/// What is to stand in place of the lines that are set anew, by the byte their body starts at.
fn bodies(source: &Source, document: &Document) -> BTreeMap<usize, String> {
    let mut bodies = BTreeMap::new();
    bodies.extend(document.header.iter().map(setting));
    let feet = Feet::of(document);
    for item in &document.items {
        match item {
            // A part is no heading of signs, and stays as it is written.
            Item::Heading(heading) if heading.level > 0 => {
                let words = source.slice(heading.span);
                let bare = words.trim_start_matches('#');
                let hashes = words.get(..words.len() - bare.len()).unwrap_or("#");
                let bare = bare.trim_start_matches([' ', '\t']);
                let own = HeadingWords::read(Piece { text: bare, start: 0 });
                let words = match own.name {
                    Some(name) => format!("{} {{#{}}}", own.title.text, name.value),
                    None => bare.to_owned(),
                };
                bodies.insert(heading.span.start(), format!("{hashes} {words}"));
            }
            Item::Block(block) => {
                let text = BlockText { source, at: block.at };
                let mut own = BTreeMap::from([(block.span.start(), head(text, block))]);
                own.extend(block.sets.iter().flat_map(|set| &set.settings).map(setting));
                let of_players = block.players.iter().flat_map(|player| &player.sets);
                let settings = of_players.flat_map(|set| &set.settings).map(setting);
                own.extend(settings.map(|(start, body)| (start, format!("{INDENT}{body}"))));
                for (index, set) in block.sets.iter().enumerate() {
                    let players = block.players.iter().filter_map(|player| player.sets.get(index));
                    let set = SetText {
                        shared: set.rows.iter().collect(),
                        own: players.flat_map(|set| &set.rows).collect(),
                    };
                    set.rows(text, &feet, &mut own);
                }
                bodies.extend(own.into_iter().map(|(start, body)| (block.at + start, body)));
            }
            _ => {}
        }
    }
    bodies
}

fn setting(setting: &Setting) -> (usize, String) {
    let (key, value) = (&setting.key.value, &setting.value.value);
    // What is no key may be colons alone.
    let colon = if key.ends_with(':') { "" } else { ":" };
    (setting.key.span.start(), format!("{key}{colon} {value}"))
}

fn head(text: BlockText<'_>, block: &Block) -> String {
    let mut words = vec![text.slice(block.word.span)];
    words.extend(block.name.iter().map(|name| text.slice(name.span)));
    if let Some(parent) = &block.parent {
        words.extend(["of", text.slice(parent.span)]);
    }
    words.extend(block.title.iter().map(|title| text.slice(title.span)));
    words.join(" ")
}

/// The rows of a set, which are lined up together.
struct SetText<'a> {
    /// Those that stand right under the head of the block.
    shared: Vec<&'a Row>,
    /// Those of players, which stand under their names.
    own: Vec<&'a Row>,
}

impl SetText<'_> {
    fn rows(&self, text: BlockText<'_>, feet: &Feet, bodies: &mut BTreeMap<usize, String>) {
        let whole = || {
            let shared = self.shared.iter().map(|row| (*row, ""));
            let own = self.own.iter().map(|row| (*row, INDENT));
            shared.chain(own).filter(|(row, _)| !row.damaged)
        };
        let width = whole()
            .map(|(row, indent)| indent.len() + row.name.value.chars().count())
            .filter(|width| *width <= WIDEST_NAME)
            .max()
            .unwrap_or(0);
        let music: Vec<_> = whole().filter(|(row, _)| tokens::is_music(&row.content)).collect();
        let rows: Vec<&Row> = music.iter().map(|(row, _)| *row).collect();
        let aligned = columns::align(tokens::read(text, &rows, feet));
        let tables =
            whole().filter_map(|(row, indent)| Some(((row, indent), table(&row.content)?)));
        for ((row, indent), text) in music.iter().copied().zip(aligned).chain(tables) {
            let name = format!("{indent}{}", row.name.value);
            bodies.insert(row.name.span.start(), format!("{name:width$}{GUTTER}{text}"));
        }
    }
}

/// The content of a row of a `kit` or `syllables` block.
fn table(content: &Content) -> Option<String> {
    match content {
        Content::KitLetter(letter) => {
            let mut parts = vec![letter.name.value.as_str()];
            parts.extend(letter.attributes.iter().map(|word| word.value.as_str()));
            Some(parts.join(", "))
        }
        Content::Syllables(words) => {
            Some(words.iter().map(|word| word.value.as_str()).collect::<Vec<_>>().join(" "))
        }
        Content::Count(_) | Content::Cells(..) | Content::Sticks(..) | Content::Words(..) => None,
    }
}
