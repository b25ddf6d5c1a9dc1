//! Lengths of files, functions and signatures.

use crate::parsed::Source;
use syn::visit::{self, Visit};
use syn::{Block, ImplItemFn, ItemFn, ItemImpl, Signature, TraitItemFn};

/// Lines of a file.
const FILE: usize = 400;
/// Lines of a function from `fn` to its closing brace.
const FUNCTION: usize = 60;
/// Parameters of a signature, `self` with them, where no trait dictates it.
const PARAMETERS: usize = 6;
/// Lines of a `mod.rs`, which is a face, and of a function in it.
const FACE: usize = 130;
const FUNCTION_OF_A_FACE: usize = 12;

/// What may be longer, as it is named in the faults (`src/a/b.rs` or `src/a/b.rs, fn c`), and why.
pub const EXCEPTIONS: &[(&str, &str)] = &[];

struct Function {
    name: String,
    lines: usize,
    parameters: usize,
}

#[derive(Default)]
struct Functions {
    all: Vec<Function>,
    /// Inside the implementation of a trait, which dictates the signatures.
    of_a_trait: bool,
}

impl Functions {
    fn of(source: &Source) -> Vec<Function> {
        let mut functions = Self::default();
        source.items.iter().for_each(|item| functions.visit_item(item));
        functions.all
    }

    fn add(&mut self, signature: &Signature, body: Option<&Block>) {
        let first = signature.fn_token.span.start().line;
        let last = body.map_or(first, |body| body.brace_token.span.close().end().line);
        self.all.push(Function {
            name: signature.ident.to_string(),
            lines: last - first + 1,
            parameters: if self.of_a_trait { 0 } else { signature.inputs.len() },
        });
    }
}

impl<'ast> Visit<'ast> for Functions {
    fn visit_item_impl(&mut self, block: &'ast ItemImpl) {
        let outside = std::mem::replace(&mut self.of_a_trait, block.trait_.is_some());
        visit::visit_item_impl(self, block);
        self.of_a_trait = outside;
    }

    fn visit_item_fn(&mut self, function: &'ast ItemFn) {
        self.add(&function.sig, Some(&function.block));
        visit::visit_item_fn(self, function);
    }

    fn visit_impl_item_fn(&mut self, function: &'ast ImplItemFn) {
        self.add(&function.sig, Some(&function.block));
        visit::visit_impl_item_fn(self, function);
    }

    fn visit_trait_item_fn(&mut self, function: &'ast TraitItemFn) {
        self.add(&function.sig, function.default.as_ref());
        visit::visit_trait_item_fn(self, function);
    }
}

/// Files, functions and signatures that are too long, but for the exceptions; and exceptions that
/// nothing needs.
pub fn faults(sources: &[Source], exceptions: &[(&str, &str)]) -> Vec<String> {
    let mut found: Vec<(String, String)> = Vec::new();
    for source in sources {
        let file = format!("src/{}", source.name);
        if source.lines > FILE {
            found.push((file.clone(), format!("has {} lines", source.lines)));
        }
        for function in Functions::of(source) {
            let name = format!("{file}, fn {}", function.name);
            if function.lines > FUNCTION {
                found.push((name.clone(), format!("has {} lines", function.lines)));
            }
            if function.parameters > PARAMETERS {
                found.push((name, format!("has {} parameters", function.parameters)));
            }
        }
    }
    let unneeded =
        exceptions.iter().filter(|(name, _)| !found.iter().any(|(long, _)| long == name));
    let unneeded = unneeded.map(|(name, _)| format!("{name} needs no exception any more"));
    let excepted = |name: &str| exceptions.iter().any(|(exception, _)| *exception == name);
    let long = found.iter().filter(|(name, _)| !excepted(name));
    long.map(|(name, what)| format!("{name} {what}")).chain(unneeded).collect()
}

/// Files `mod.rs` that are more than a face.
pub fn faults_of_faces(sources: &[Source]) -> Vec<String> {
    let mut faults = Vec::new();
    let is_face = |source: &&Source| source.name.ends_with("/mod.rs");
    for source in sources.iter().filter(is_face) {
        let file = format!("src/{}", source.name);
        if source.lines >= FACE {
            faults.push(format!("{file} has {} lines", source.lines));
        }
        let functions = Functions::of(source).into_iter();
        faults.extend(
            functions.filter(|function| function.lines > FUNCTION_OF_A_FACE).map(|function| {
                format!("{file}, fn {} has {} lines", function.name, function.lines)
            }),
        );
    }
    faults
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A function of so many lines.
    fn function(name: &str, lines: usize) -> String {
        format!("/// A comment.\n#[inline]\nfn {name}() {{\n{}}}\n", "    x();\n".repeat(lines - 2))
    }

    #[test]
    fn what_is_too_long_is_told_and_exceptions_are_made() {
        let many = "fn many(&self, a: u8, b: u8, c: u8, d: u8, e: u8, f: u8) {}";
        let many = format!("impl A {{ {many} }}\nimpl T for A {{ {many} }}\n");
        let text =
            format!("{}{}{many}", function("fits", FUNCTION), function("long", FUNCTION + 1));
        let short = Source::new("a/b.rs", &text);
        let long = Source::new("a/c.rs", &"\n".repeat(FILE + 1));
        let sources = [short, long];
        let told = [
            "src/a/b.rs, fn long has 61 lines",
            "src/a/b.rs, fn many has 7 parameters",
            "src/a/c.rs has 401 lines",
        ];
        assert_eq!(faults(&sources, &[]), told);
        let exceptions = [("src/a/c.rs", "a table"), ("src/a/b.rs, fn fits", "a list")];
        let left = [told[0], told[1], "src/a/b.rs, fn fits needs no exception any more"];
        assert_eq!(faults(&sources, &exceptions), left);
    }

    #[test]
    fn a_face_holds_no_work() {
        let face = Source::new("a/mod.rs", &(function("small", 12) + &function("work", 13)));
        let file = Source::new("a/b.rs", &(function("work", 13) + &"\n".repeat(FACE)));
        let long = Source::new("c/mod.rs", &"\n".repeat(FACE));
        let told = ["src/a/mod.rs, fn work has 13 lines", "src/c/mod.rs has 130 lines"];
        assert_eq!(faults_of_faces(&[face, file, long]), told);
    }
}
