//! The names of items and `use` lines and the paths in code, as they are written.

use proc_macro2::{TokenStream, TokenTree};
use syn::visit::{self, Visit};
use syn::{Item, UseTree, Visibility};

/// The name an item defines.
pub fn name_of(item: &Item) -> Option<String> {
    let name = match item {
        Item::Const(item) => &item.ident,
        Item::Enum(item) => &item.ident,
        Item::Fn(item) => &item.sig.ident,
        Item::Macro(item) => item.ident.as_ref()?,
        Item::Static(item) => &item.ident,
        Item::Struct(item) => &item.ident,
        Item::Trait(item) => &item.ident,
        Item::Type(item) => &item.ident,
        Item::Union(item) => &item.ident,
        _ => return None,
    };
    Some(name.to_string())
}

/// One name of a `use` line.
pub struct Used {
    /// The name it has from there on; none of a glob.
    pub name: Option<String>,
    pub path: Vec<String>,
    pub public: bool,
    /// From 1.
    pub line: usize,
}

/// The names of a `use` line, with their whole paths.
pub fn leaves(tree: &UseTree, over: &[String], public: bool, found: &mut Vec<Used>) {
    let mut add = |name: Option<String>, last: Option<&syn::Ident>, line: usize| {
        let own = last.map(syn::Ident::to_string).filter(|last| last != "self");
        let path: Vec<String> = over.iter().cloned().chain(own).collect();
        found.push(Used { name, path, public, line });
    };
    match tree {
        UseTree::Path(path) => {
            let over = [over, &[path.ident.to_string()]].concat();
            leaves(&path.tree, &over, public, found);
        }
        UseTree::Name(name) => {
            let called = match name.ident == "self" {
                true => over.last().cloned(),
                false => Some(name.ident.to_string()),
            };
            add(called, Some(&name.ident), name.ident.span().start().line);
        }
        UseTree::Rename(name) => {
            let called = Some(name.rename.to_string());
            add(called, Some(&name.ident), name.ident.span().start().line);
        }
        UseTree::Glob(glob) => add(None, None, glob.star_token.spans[0].start().line),
        UseTree::Group(group) => {
            for inner in &group.items {
                leaves(inner, over, public, found);
            }
        }
    }
}

/// The paths in code, and the `use` lines inside of functions.
#[derive(Default)]
pub struct Code {
    /// Each with its line, from 1.
    pub paths: Vec<(Vec<String>, usize)>,
    pub used: Vec<Used>,
}

impl<'ast> Visit<'ast> for Code {
    fn visit_path(&mut self, path: &'ast syn::Path) {
        if path.leading_colon.is_none() {
            let names = path.segments.iter().map(|segment| segment.ident.to_string());
            let line = path.segments.first().map_or(0, |first| first.ident.span().start().line);
            self.paths.push((names.collect(), line));
        }
        visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, inner: &'ast syn::Macro) {
        paths_in(&inner.tokens, &mut self.paths);
        visit::visit_macro(self, inner);
    }

    fn visit_item_use(&mut self, line: &'ast syn::ItemUse) {
        leaves(&line.tree, &[], false, &mut self.used);
    }

    fn visit_attribute(&mut self, _: &'ast syn::Attribute) {}

    fn visit_visibility(&mut self, _: &'ast Visibility) {}
}

/// Names joined by `::` among the tokens of a macro.
fn paths_in(tokens: &TokenStream, found: &mut Vec<(Vec<String>, usize)>) {
    let mut path: Vec<String> = Vec::new();
    let mut line = 0;
    let mut colons = 0;
    for token in tokens.clone() {
        match &token {
            TokenTree::Ident(name) => {
                if colons != 2 {
                    found.extend((!path.is_empty()).then(|| (std::mem::take(&mut path), line)));
                    line = name.span().start().line;
                }
                path.push(name.to_string());
                colons = 0;
            }
            TokenTree::Punct(sign) if sign.as_char() == ':' && !path.is_empty() => colons += 1,
            TokenTree::Punct(_) | TokenTree::Group(_) | TokenTree::Literal(_) => {
                found.extend((!path.is_empty()).then(|| (std::mem::take(&mut path), line)));
                colons = 0;
            }
        }
        if let TokenTree::Group(group) = &token {
            paths_in(&group.stream(), found);
        }
    }
    found.extend((!path.is_empty()).then_some((path, line)));
}
