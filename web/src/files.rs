//! The files a text may include.

use flamacue::source::Source;
use flamacue::syntax;
use js_sys::{Array, Object};
use std::collections::BTreeMap;
use wasm_bindgen::JsCast as _;
use wasm_bindgen::prelude::{JsError, JsValue, wasm_bindgen};

/// The byte order mark a text may start with.
pub const MARK: char = '\u{feff}';

#[wasm_bindgen(typescript_custom_section)]
const TYPES: &str = r"
/** Texts of files by their names, with `/` between folders, as a text may include them. */
export type Files = Record<string, string>;
";

#[wasm_bindgen]
extern "C" {
    /// An object whose keys are names of files and whose values are their texts.
    #[wasm_bindgen(extends = Object, typescript_type = "Files")]
    pub type Files;
}

/// The texts of an object of files; none where there is no object.
///
/// # Errors
/// Says which file is not text.
pub fn texts(files: Option<&Files>) -> Result<BTreeMap<String, String>, JsError> {
    let mut texts = BTreeMap::new();
    let Some(files) = files else { return Ok(texts) };
    for entry in Object::entries(files) {
        let entry: Array = entry.unchecked_into();
        let text = |value: JsValue| value.as_string();
        let name = text(entry.get(0)).unwrap_or_default();
        let Some(content) = text(entry.get(1)) else {
            return Err(JsError::new(&format!("the file {name} is not a string")));
        };
        texts.insert(name, content);
    }
    Ok(texts)
}

/// A text with the files it includes, as the command reads them from a disk: names are seen from the
/// folder of the file they stand in. `read` gives the text of a path.
pub fn gather(name: &str, text: &str, read: &dyn Fn(&str) -> Option<String>) -> Source {
    let text = text.strip_prefix(MARK).unwrap_or(text);
    syntax::gather(Source::new(name, text), &|path| {
        read(path).ok_or_else(|| "there is no such file or folder".to_owned())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_byte_order_mark_is_no_part_of_the_text() {
        let source = gather("a.flam", "\u{feff}title: A\n", &|_| None);
        assert_eq!(source.text(), "title: A\n");
    }

    #[test]
    fn names_are_seen_from_the_folder_of_their_file() {
        let texts = BTreeMap::from([
            ("book/parts/one.flam".to_owned(), "include ../two.flam\n".to_owned()),
            ("book/two.flam".to_owned(), String::new()),
        ]);
        let source =
            gather("book/book.flam", "include parts/one.flam\n", &|path| texts.get(path).cloned());
        assert_eq!(source.files(), 3);
    }
}
