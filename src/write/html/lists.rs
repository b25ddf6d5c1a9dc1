//! Contents and index, which lead to places of the page.

use super::escape::escape;
use super::leads::Leads;
use crate::pages::flowing::{ContentsEntry, FlowingIndex};

/// The contents; nothing where none are wanted.
pub(in crate::write) fn contents(entries: &[ContentsEntry], title: &str, leads: &Leads) -> String {
    if entries.is_empty() {
        return String::new();
    }
    let line = |entry: &ContentsEntry| {
        let ContentsEntry { level, words, to } = entry;
        let (words, to) = (escape(words), leads.to(to));
        format!("<li class=\"l{level}\"><a href=\"{to}\">{words}</a></li>\n")
    };
    let lines: String = entries.iter().map(line).collect();
    format!("<nav aria-label=\"{title}\">\n<h2>{title}</h2>\n<ul>\n{lines}</ul>\n</nav>\n")
}

/// The lists of the index.
pub(in crate::write) fn index(lists: &[FlowingIndex], leads: &Leads) -> String {
    lists.iter().map(|own| list(own, leads)).collect()
}

fn list(list: &FlowingIndex, leads: &Leads) -> String {
    let entry = |(words, stands): &(String, Vec<(String, String)>)| {
        let stands: Vec<String> = stands
            .iter()
            .map(|(label, to)| format!("<a href=\"{}\">{}</a>", leads.to(to), escape(label)))
            .collect();
        format!("<li>{}\u{2002}{}</li>\n", escape(words), stands.join(", "))
    };
    let entries: String = list.entries.iter().map(entry).collect();
    let (id, title) = (escape(&list.id), escape(list.title));
    format!(
        "<nav class=\"index\" id=\"{id}\" aria-label=\"{title}\">\n<h2>{title}</h2>\n<ul>\n{entries}</ul>\n</nav>\n"
    )
}
