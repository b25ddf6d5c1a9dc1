//! The files of `src`, parsed, without what only tests see.

use std::path::Path;
use syn::{Attribute, ImplItem, Item, Meta};

/// A file of `src`.
pub struct Source {
    /// Its path in `src`, with `/` between folders.
    pub name: String,
    /// How many lines it has, tests included.
    pub lines: usize,
    /// Its items, but for those under `#[cfg(test)]`.
    pub items: Vec<Item>,
    /// The files it declares as modules, those for tests too.
    pub declares: Vec<String>,
}

impl Source {
    pub fn new(name: &str, text: &str) -> Self {
        let file = syn::parse_file(text).unwrap_or_else(|error| panic!("{name}: {error}"));
        let mut items = file.items;
        let declares = items.iter().filter_map(declared).collect();
        drop_tests(&mut items);
        Self { name: name.to_owned(), lines: text.lines().count(), items, declares }
    }
}

/// The name of a module that stands in a file of its own.
fn declared(item: &Item) -> Option<String> {
    match item {
        Item::Mod(module) if module.content.is_none() => Some(module.ident.to_string()),
        _ => None,
    }
}

/// The files that none declares: no compiler sees them.
pub fn undeclared(sources: &[Source]) -> Vec<String> {
    let roots = ["lib.rs", "main.rs"];
    let is_declared = |name: &str| {
        let path = name.trim_end_matches(".rs").trim_end_matches("/mod");
        let (folder, own) = path.rsplit_once('/').unwrap_or(("", path));
        let over = |source: &&Source| match folder {
            "" => roots.contains(&source.name.as_str()),
            _ => [format!("{folder}/mod.rs"), format!("{folder}.rs")].contains(&source.name),
        };
        sources.iter().filter(over).any(|source| source.declares.iter().any(|d| d == own))
    };
    let names = sources.iter().map(|source| source.name.as_str());
    let lost = names.filter(|name| !roots.contains(name) && !is_declared(name));
    lost.map(|name| format!("src/{name} is declared by no file")).collect()
}

/// All files of `src`, by name.
pub fn sources() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut sources = Vec::new();
    let mut folders = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let name: Vec<_> = path.strip_prefix(&root).unwrap().iter().collect();
                let name: Vec<_> = name.iter().map(|part| part.to_string_lossy()).collect();
                sources
                    .push(Source::new(&name.join("/"), &std::fs::read_to_string(&path).unwrap()));
            }
        }
    }
    sources.sort_by(|a, b| a.name.cmp(&b.name));
    sources
}

fn drop_tests(items: &mut Vec<Item>) {
    items.retain(|item| !is_for_tests(attributes(item)));
    for item in items {
        match item {
            Item::Mod(inner) => {
                if let Some((_, items)) = &mut inner.content {
                    drop_tests(items);
                }
            }
            Item::Impl(inner) => inner.items.retain(|item| match item {
                ImplItem::Fn(function) => !is_for_tests(&function.attrs),
                _ => true,
            }),
            _ => {}
        }
    }
}

fn attributes(item: &Item) -> &[Attribute] {
    match item {
        Item::Const(item) => &item.attrs,
        Item::Enum(item) => &item.attrs,
        Item::Fn(item) => &item.attrs,
        Item::Impl(item) => &item.attrs,
        Item::Macro(item) => &item.attrs,
        Item::Mod(item) => &item.attrs,
        Item::Static(item) => &item.attrs,
        Item::Struct(item) => &item.attrs,
        Item::Trait(item) => &item.attrs,
        Item::Type(item) => &item.attrs,
        Item::Use(item) => &item.attrs,
        _ => &[],
    }
}

/// Whether an item stands under `#[cfg(test)]` or is a test.
fn is_for_tests(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| match &attribute.meta {
        Meta::Path(path) => path.is_ident("test"),
        Meta::List(list) => list.path.is_ident("cfg") && list.tokens.to_string() == "test",
        Meta::NameValue(_) => false,
    })
}

#[test]
fn what_only_tests_see_is_left_out() {
    let source = Source::new(
        "a.rs",
        "fn a() {}\n#[cfg(test)]\nmod tests { use crate::b; }\n#[cfg(test)]\nmod more;\n\
         mod kept { #[test] fn t() {} fn k() {} }\nimpl A { #[cfg(test)] fn t() {} fn k() {} }\n\
         #[cfg(unix)]\nfn u() {}\n",
    );
    assert_eq!((source.lines, source.items.len()), (9, 4));
    let Item::Mod(kept) = &source.items[1] else { panic!("a module") };
    assert_eq!(kept.content.as_ref().map(|(_, items)| items.len()), Some(1));
    let Item::Impl(kept) = &source.items[2] else { panic!("an implementation") };
    assert_eq!(kept.items.len(), 1);
}
