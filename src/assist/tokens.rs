//! What the words and signs of a file are, for highlighting.

use super::comments::comment_at;
use super::names::{self, Named};
use super::token::{Token, TokenKind};
use super::token_places;
use super::view::View;
use crate::score::{Placed, ProseBlock};
use crate::source::{FileId, Span};
use crate::syntax;
use crate::syntax::Piece;
use crate::syntax::tree::{Block, Item, Setting};

/// The tokens of a range of a file, by place; none lies in another, and each on one line.
#[must_use]
pub fn tokens(view: &View<'_>, file: FileId, range: Span) -> Vec<Token> {
    let mut found: Vec<Token> = Vec::new();
    header(view, file, &mut found);
    let items: Vec<(usize, &Item)> = view.items_of(file).collect();
    let end = view.source.span_of(file).end();
    let mut code: Vec<Span> = Vec::new();
    for (nth, (at, item)) in items.iter().enumerate() {
        let next = items.get(nth + 1).map_or(end, |(next, _)| *next);
        if *at > range.end() || next < range.start() {
            continue;
        }
        match item {
            Item::Heading(heading) => {
                found.push(Token { span: heading.span, kind: TokenKind::Heading })
            }
            Item::Block(block) => of_block(view, block, &mut found),
            Item::Prose(prose) => {
                found.extend(prose.references().into_iter().map(|reference| Token {
                    span: reference.span.moved(prose.at),
                    kind: TokenKind::NameUsed,
                }));
                code.extend(lines_of_code(view, &prose.value, Span::new(*at, next)));
            }
            Item::Include(name) => found.push(Token { span: name.span, kind: TokenKind::Words }),
            Item::FileStart(_) | Item::FileEnd => {}
        }
    }
    comments(view, range, &code, &mut found);
    in_order(found, range)
}

/// The header of a file, and the names of the files it includes.
fn header(view: &View<'_>, file: FileId, found: &mut Vec<Token>) {
    let range = view.source.span_of(file);
    let within = |span: Span| range.touches(span.start());
    let mut lines: Vec<&Setting> = Vec::new();
    if file == FileId::MAIN {
        lines.extend(view.document.header.iter());
    }
    for item in &view.document.items {
        if let Item::FileStart(start) = item {
            lines.extend(start.header.iter().filter(|line| within(line.key.span)));
            if within(start.span) {
                found.push(Token { span: start.span, kind: TokenKind::Words });
            }
        }
    }
    found.extend(lines.into_iter().flat_map(token_places::of_line));
}

fn of_block(view: &View<'_>, block: &Placed<Block>, found: &mut Vec<Token>) {
    let local = token_places::of_block(block);
    found
        .extend(local.into_iter().map(|token| Token { span: token.span.moved(block.at), ..token }));
    if block.players.is_empty() {
        return;
    }
    for player in names::players(view, block.whole().moved(block.at)) {
        if player.named == Named::Player {
            let line = view.source.line_at(player.span.start());
            let text = view.source.slice(line);
            let start = line.start() + (text.len() - text.trim_start().len());
            let word = Span::new(start, start + "player".len());
            found.push(Token { span: word, kind: TokenKind::BlockWord });
            found.push(Token { span: player.span, kind: TokenKind::Words });
        }
    }
}

/// Where code stands in a block of prose of a range, in which nothing is a comment.
fn lines_of_code(view: &View<'_>, prose: &ProseBlock, range: Span) -> Vec<Span> {
    match prose {
        ProseBlock::Code(_) => vec![range],
        ProseBlock::List(_) | ProseBlock::Quote(_) | ProseBlock::Notes(_) => {
            let text = view.source.slice(range);
            syntax::lines_of_code(Piece { text, start: range.start() })
        }
        ProseBlock::Paragraph(_)
        | ProseBlock::Break
        | ProseBlock::Table(_)
        | ProseBlock::Figure(_) => Vec::new(),
    }
}

/// The comments of the lines of a range, but in code.
fn comments(view: &View<'_>, range: Span, code: &[Span], found: &mut Vec<Token>) {
    let text = view.source.slice(range);
    let mut after = 0;
    for (at, _) in text.match_indices("//") {
        let offset = range.start() + at;
        if offset < after || code.iter().any(|code| code.holds(offset)) {
            continue;
        }
        after = view.source.line_at(offset).end();
        let comment = comment_at(view.source, offset);
        found.extend(comment.map(|span| Token { span, kind: TokenKind::Comment }));
    }
}

/// By place, within a range and without those that lie in others.
fn in_order(mut found: Vec<Token>, range: Span) -> Vec<Token> {
    found.sort_by_key(|token| (token.span.start(), std::cmp::Reverse(token.span.end())));
    let mut end = 0;
    found.retain(|token| {
        let kept = token.span.start() >= end
            && token.span.end() > token.span.start()
            && token.span.end() > range.start()
            && token.span.start() < range.end();
        if kept {
            end = token.span.end();
        }
        kept
    });
    found
}
