//! Blocks of prose as HTML.

use super::escape::escape;
use super::words::HtmlWords;
use crate::score::prose::{Alignment, List, Note, Table};
use crate::score::{Figure, Inline, ProseBlock};
use crate::write::svg::picture_element;

/// A block. The reader bounds how deep blocks nest.
pub(in crate::write) fn block(block: &ProseBlock, words: &mut HtmlWords<'_>) -> String {
    match block {
        ProseBlock::Paragraph(text) => format!("<p>{}</p>\n", words.words(text)),
        ProseBlock::List(own) => list(own, words),
        ProseBlock::Quote(own) => {
            format!("<blockquote>\n{}</blockquote>\n", blocks(own, words))
        }
        ProseBlock::Break => "<hr/>\n".to_owned(),
        ProseBlock::Code(lines) => {
            let code = lines.join("\n");
            words.code.push_str(&code);
            format!("<pre><code>{}\n</code></pre>\n", escape(&code))
        }
        ProseBlock::Table(own) => table(own, words),
        ProseBlock::Figure(own) => figure(own, words),
        ProseBlock::Notes(own) => notes(own, words),
    }
}

/// A picture, or what it shows where it is not there.
fn figure(figure: &Figure, words: &HtmlWords<'_>) -> String {
    let Some(picture) = words.picture(figure.span.start()) else {
        return format!("<p><em>{}</em></p>\n", escape(&figure.said));
    };
    let caption = match figure.caption.as_str() {
        "" => String::new(),
        caption => format!("<p class=\"caption\">{}</p>\n", escape(caption)),
    };
    let image = picture_element(picture, &escape(&figure.said));
    format!("<div class=\"picture\">{image}\n{caption}</div>\n")
}

fn blocks(blocks: &[ProseBlock], words: &mut HtmlWords<'_>) -> String {
    blocks.iter().map(|own| block(own, words)).collect()
}

fn list(list: &List, words: &mut HtmlWords<'_>) -> String {
    let (open, tag) = match list.first {
        None => ("<ul>\n".to_owned(), "ul"),
        Some(1) => ("<ol>\n".to_owned(), "ol"),
        Some(first) => (format!("<ol start=\"{first}\">\n"), "ol"),
    };
    let mut html = open;
    for entry in &list.entries {
        html.push_str("<li>");
        for own in entry {
            match own {
                // The words of a tight list stand in the entry itself.
                ProseBlock::Paragraph(text) if !list.loose => html.push_str(&words.words(text)),
                own => {
                    html.push('\n');
                    html.push_str(&block(own, words));
                }
            }
        }
        html.push_str("</li>\n");
    }
    format!("{html}</{tag}>\n")
}

/// A table in a frame of its own, which scrolls on a narrow screen.
fn table(table: &Table, words: &mut HtmlWords<'_>) -> String {
    let mut row = |cells: &[Vec<Inline>], tag: &str| -> String {
        let cells = cells.iter().zip(&table.columns).map(|(cell, alignment)| {
            let class = match alignment {
                Alignment::Left => "",
                Alignment::Center => " class=\"mid\"",
                Alignment::Right => " class=\"end\"",
            };
            let scope = if tag == "th" { " scope=\"col\"" } else { "" };
            format!("<{tag}{scope}{class}>{}</{tag}>", words.words(cell))
        });
        format!("<tr>{}</tr>\n", cells.collect::<String>())
    };
    let head = row(&table.head, "th");
    let rows: String = table.rows.iter().map(|cells| row(cells, "td")).collect();
    format!(
        "<div class=\"table\"><table>\n<thead>\n{head}</thead>\n<tbody>\n{rows}</tbody>\n</table></div>\n"
    )
}

fn notes(notes: &[Note], words: &mut HtmlWords<'_>) -> String {
    let inner: Vec<String> = notes.iter().map(|note| blocks(&note.blocks, words)).collect();
    let marked = words.next_set();
    let set = words.sets;
    let mut html = "<section class=\"notes\" role=\"doc-endnotes\">\n<ol>\n".to_owned();
    for (note, inner) in notes.iter().zip(inner) {
        let number = note.number;
        let back = if marked.contains(&number) {
            format!("<a href=\"#mark-{set}-{number}\" role=\"doc-backlink\">↑</a>")
        } else {
            String::new()
        };
        html.push_str(&format!("<li id=\"note-{set}-{number}\">\n{inner}{back}</li>\n"));
    }
    html + "</ol>\n</section>\n"
}
