//! Which file of `src` imports which: read from the `use` lines and from the paths in the code, also
//! those among the arguments of macros.
//!
//! An import of a name counts as an import of the file that defines it, through however many
//! re-exports it is reached; naming a module imports nothing until something of it is named. A file
//! that re-exports what its own children define does not import them by that, unless its own code
//! uses the name as well. So a `mod.rs` that only re-exports is part of no circle. A glob import is
//! an import of all that the module defines and re-exports.

use crate::parsed::Source;
use crate::paths::{Code, Used, leaves, name_of};
use std::collections::{BTreeMap, BTreeSet};
use syn::visit::Visit;
use syn::{Item, Visibility};

/// The name other crates know the library by.
const LIBRARY: &str = "flamacue";

/// Re-exports of re-exports are followed so far.
const DEPTH: usize = 16;

/// One file's first import from another.
pub struct Import {
    /// Places in [`Imports::files`].
    pub from: usize,
    pub to: usize,
    /// The path as it is written.
    pub path: String,
    /// From 1.
    pub line: usize,
}

pub struct Imports {
    /// Names of the files.
    pub files: Vec<String>,
    /// At most one for each pair of files.
    pub imports: Vec<Import>,
}

impl Imports {
    /// A sentence that names an import.
    pub fn say(&self, import: &Import) -> String {
        let (from, to) = (&self.files[import.from], &self.files[import.to]);
        format!("src/{from}:{} imports `{}` of src/{to}", import.line, import.path)
    }
}

struct Module<'a> {
    file: usize,
    parent: Option<usize>,
    children: BTreeMap<String, usize>,
    /// Names of what it defines itself.
    defined: BTreeSet<String>,
    used: Vec<Used>,
    items: &'a [Item],
}

/// What a path leads to.
enum Target {
    Module(usize),
    /// Something in a module.
    Inside(usize),
}

struct Tree<'a> {
    sources: &'a [Source],
    modules: Vec<Module<'a>>,
    library: Option<usize>,
}

/// Reads the imports of some files, from `lib.rs` and `main.rs` down.
pub fn read(sources: &[Source]) -> Imports {
    let mut tree = Tree { sources, modules: Vec::new(), library: None };
    tree.library = tree.add_file("lib.rs", "", None);
    tree.add_file("main.rs", "", None);
    let mut found = BTreeMap::new();
    for module in 0..tree.modules.len() {
        tree.imports_of(module, &mut found);
    }
    let imports =
        found.into_iter().map(|((from, to), (line, path))| Import { from, to, path, line });
    Imports {
        files: sources.iter().map(|source| source.name.clone()).collect(),
        imports: imports.collect(),
    }
}

/// From a pair of files to the first line with an import, and its path.
type Found = BTreeMap<(usize, usize), (usize, String)>;

impl<'a> Tree<'a> {
    /// Adds a file and the files of its modules; `folder` holds the files of its modules.
    fn add_file(&mut self, name: &str, folder: &str, parent: Option<usize>) -> Option<usize> {
        let file = self.sources.iter().position(|source| source.name == name)?;
        Some(self.add_module(&self.sources[file].items, file, folder, parent))
    }

    fn add_module(
        &mut self,
        items: &'a [Item],
        file: usize,
        folder: &str,
        parent: Option<usize>,
    ) -> usize {
        let module = self.modules.len();
        let (children, defined) = (BTreeMap::new(), BTreeSet::new());
        self.modules.push(Module { file, parent, children, defined, used: Vec::new(), items });
        for item in items {
            match item {
                Item::Mod(inner) => {
                    let name = inner.ident.to_string();
                    let inside = format!("{folder}{name}/");
                    let child = match &inner.content {
                        Some((_, items)) => {
                            Some(self.add_module(items, file, &inside, Some(module)))
                        }
                        None => [format!("{folder}{name}.rs"), format!("{inside}mod.rs")]
                            .iter()
                            .find_map(|path| self.add_file(path, &inside, Some(module))),
                    };
                    self.modules[module].children.extend(child.map(|child| (name, child)));
                }
                Item::Use(line) => {
                    let public = !matches!(line.vis, Visibility::Inherited);
                    leaves(&line.tree, &[], public, &mut self.modules[module].used);
                }
                item => self.modules[module].defined.extend(name_of(item)),
            }
        }
        module
    }

    fn root(&self, module: usize) -> usize {
        let mut root = module;
        while let Some(parent) = self.modules[root].parent {
            root = parent;
        }
        root
    }

    /// What a path leads to, seen from a module; nothing where it leads out of the crate or stays in
    /// the module.
    fn resolve(&self, module: usize, path: &[String], depth: usize) -> Option<Target> {
        let (first, rest) = path.split_first()?;
        if depth == 0 {
            return None;
        }
        let here = &self.modules[module];
        match first.as_str() {
            "crate" => self.descend(self.root(module), rest, depth),
            "self" => self.descend(module, rest, depth),
            "super" => {
                let up = path.iter().take_while(|name| *name == "super").count();
                let parent = (0..up).try_fold(module, |at, _| self.modules[at].parent)?;
                self.descend(parent, &path[up..], depth)
            }
            LIBRARY => self.descend(self.library?, rest, depth),
            name => match here.children.get(name) {
                Some(child) => self.descend(*child, rest, depth),
                None => self.through(module, name, rest, depth),
            },
        }
    }

    /// Follows a name that a `use` line of the module brings in.
    fn through(&self, module: usize, name: &str, rest: &[String], depth: usize) -> Option<Target> {
        let named = |used: &&Used| used.name.as_deref() == Some(name) && used.path != [name];
        let used = self.modules[module].used.iter().find(named)?;
        let path = [used.path.as_slice(), rest].concat();
        self.resolve(module, &path, depth - 1)
    }

    fn descend(&self, module: usize, path: &[String], depth: usize) -> Option<Target> {
        let Some((name, rest)) = path.split_first() else { return Some(Target::Module(module)) };
        let here = &self.modules[module];
        if let Some(child) = here.children.get(name) {
            return self.descend(*child, rest, depth);
        }
        if here.defined.contains(name) {
            return Some(Target::Inside(module));
        }
        let through = self.through(module, name, rest, depth);
        let globs = here.used.iter().filter(|used| used.name.is_none());
        let mut under_globs =
            globs.filter_map(|glob| match self.resolve(module, &glob.path, depth - 1)? {
                Target::Module(under) if self.offers(under, name) => {
                    self.descend(under, path, depth - 1)
                }
                Target::Module(_) | Target::Inside(_) => None,
            });
        // What no line shows is made by a macro, or comes from another crate.
        through.or_else(|| under_globs.next()).or(Some(Target::Inside(module)))
    }

    fn offers(&self, module: usize, name: &str) -> bool {
        let here = &self.modules[module];
        here.children.contains_key(name)
            || here.defined.contains(name)
            || here.used.iter().any(|used| used.public && used.name.as_deref() == Some(name))
    }

    /// The modules whose files a glob import of a module imports.
    fn all_of(&self, module: usize) -> Vec<usize> {
        let here = &self.modules[module];
        let own = (!here.defined.is_empty()).then_some(module);
        let public = here.used.iter().filter(|used| used.public && used.name.is_some());
        let others = public.filter_map(|used| match self.resolve(module, &used.path, DEPTH)? {
            Target::Inside(inside) => Some(inside),
            Target::Module(_) => None,
        });
        own.into_iter().chain(others).collect()
    }

    fn is_under(&self, module: usize, over: usize) -> bool {
        let mut at = Some(module);
        while let Some(module) = at {
            if module == over {
                return true;
            }
            at = self.modules[module].parent;
        }
        false
    }

    fn imports_of(&self, module: usize, found: &mut Found) {
        let here = &self.modules[module];
        for used in &here.used {
            for target in self.targets(module, used) {
                if !(used.public && self.is_under(target, module)) {
                    self.note(found, module, target, &used.path, used.line);
                }
            }
        }
        let mut code = Code::default();
        here.items
            .iter()
            .filter(|item| !matches!(item, Item::Mod(_) | Item::Use(_)))
            .for_each(|item| code.visit_item(item));
        for used in &code.used {
            for target in self.targets(module, used) {
                self.note(found, module, target, &used.path, used.line);
            }
        }
        for (path, line) in &code.paths {
            let local = code.used.iter().find(|used| used.name.as_ref() == path.first());
            let path = match local {
                Some(used) => &[used.path.as_slice(), &path[1..]].concat(),
                None => path,
            };
            if let Some(Target::Inside(target)) = self.resolve(module, path, DEPTH) {
                self.note(found, module, target, path, *line);
            }
        }
    }

    /// The modules that define what a name of a `use` line brings in.
    fn targets(&self, module: usize, used: &Used) -> Vec<usize> {
        match self.resolve(module, &used.path, DEPTH) {
            Some(Target::Inside(inside)) => vec![inside],
            Some(Target::Module(under)) if used.name.is_none() => self.all_of(under),
            Some(Target::Module(_)) | None => Vec::new(),
        }
    }

    fn note(&self, found: &mut Found, from: usize, to: usize, path: &[String], line: usize) {
        let (from, to) = (self.modules[from].file, self.modules[to].file);
        if from != to {
            found.entry((from, to)).or_insert_with(|| (line, path.join("::")));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The imports of made-up files, as `from -> to`, in order.
    fn imports(files: &[(&str, &str)]) -> Vec<String> {
        let sources: Vec<_> = files.iter().map(|(name, text)| Source::new(name, text)).collect();
        let read = super::read(&sources);
        let pairs = read.imports.iter().map(|i| (&read.files[i.from], &read.files[i.to]));
        let mut pairs: Vec<_> = pairs.map(|(from, to)| format!("{from} -> {to}")).collect();
        pairs.sort();
        pairs
    }

    #[test]
    fn nested_groups_and_parents_are_read() {
        let found = imports(&[
            ("lib.rs", "mod room;\nmod other { pub fn f() {} }"),
            ("room/mod.rs", "mod a;\nmod b;\nmod c;\nmod d;\nmod e;"),
            ("room/a.rs", "pub struct A;"),
            ("room/b.rs", "pub struct B;\npub mod inner { pub struct I; }"),
            ("room/c.rs", "pub struct C;"),
            ("room/d.rs", "use super::{a::A, b::{self, inner::{I as J}}, c};"),
            ("room/e.rs", "use super::super::room::c::C as D;\nuse std::fmt::{self, Write};"),
        ]);
        // `b` and `c` alone import nothing; `I` does.
        assert_eq!(
            found,
            ["room/d.rs -> room/a.rs", "room/d.rs -> room/b.rs", "room/e.rs -> room/c.rs"]
        );
    }

    #[test]
    fn a_re_exported_name_is_that_of_the_file_that_defines_it() {
        let found = imports(&[
            ("lib.rs", "pub mod room;\nmod user;\npub use room::Seat;"),
            (
                "room/mod.rs",
                "mod seat;\nmod table;\nmod deep;\npub use deep::*;\npub use seat::Seat;\npub use table::Table as Desk;",
            ),
            ("room/seat.rs", "use super::Desk;\npub struct Seat;"),
            ("room/table.rs", "pub struct Table;"),
            ("room/deep/mod.rs", "mod far;\npub use far::Far;"),
            ("room/deep/far.rs", "pub struct Far;"),
            ("user.rs", "use crate::room::{Far, Desk};\nfn f() -> crate::Seat { todo!() }"),
        ]);
        assert_eq!(
            found,
            [
                "room/seat.rs -> room/table.rs",
                "user.rs -> room/deep/far.rs",
                "user.rs -> room/seat.rs",
                "user.rs -> room/table.rs",
            ]
        );
    }

    #[test]
    fn a_face_that_uses_what_it_re_exports_imports_it() {
        let face = "mod seat;\npub use seat::Seat;\npub struct Room(Seat);";
        let found = imports(&[
            ("lib.rs", "mod room;"),
            ("room/mod.rs", face),
            ("room/seat.rs", "use super::Room;\npub struct Seat;"),
        ]);
        assert_eq!(found, ["room/mod.rs -> room/seat.rs", "room/seat.rs -> room/mod.rs"]);
    }

    #[test]
    fn paths_in_code_are_read_with_those_in_macros() {
        let found = imports(&[
            ("lib.rs", "mod a;\nmod b;\nmod c;\nmod d;\nmod e;"),
            ("a.rs", "pub fn f() {}"),
            ("b.rs", "use crate::c;\nfn g() { super::a::f(); c::h::<u8>(); }"),
            ("c.rs", "pub fn h<T>() {}\npub(in crate::a) fn hidden() {}"),
            (
                "d.rs",
                "fn g() { println!(\"{} {}\", crate::a::f(), vec![super::c::h::<u8>()].len()); }",
            ),
            (
                "e.rs",
                "fn g() { use crate::a; a::f(); }\n#[cfg(test)]\nmod tests { use crate::b; fn t() { b::x() } }",
            ),
        ]);
        assert_eq!(
            found,
            ["b.rs -> a.rs", "b.rs -> c.rs", "d.rs -> a.rs", "d.rs -> c.rs", "e.rs -> a.rs"]
        );
    }

    #[test]
    fn the_program_imports_from_the_library_by_name() {
        let found = imports(&[
            ("lib.rs", "pub mod a;\npub fn run() {}"),
            ("a.rs", "pub struct A;"),
            ("main.rs", "mod command;\nfn main() { command::go() }"),
            ("command/mod.rs", "pub fn go() { flamacue::run(); }\nuse flamacue::a::A;"),
        ]);
        assert_eq!(
            found,
            ["command/mod.rs -> a.rs", "command/mod.rs -> lib.rs", "main.rs -> command/mod.rs"]
        );
    }

    #[test]
    fn a_glob_imports_all_there_is() {
        let found = imports(&[
            ("lib.rs", "mod room;\nmod user;"),
            ("room/mod.rs", "mod seat;\npub use seat::Seat;\npub struct Own;"),
            ("room/seat.rs", "pub struct Seat;"),
            ("user.rs", "use crate::room::*;"),
        ]);
        assert_eq!(found, ["user.rs -> room/mod.rs", "user.rs -> room/seat.rs"]);
    }
}
