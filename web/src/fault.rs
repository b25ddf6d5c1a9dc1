//! Faults and warnings as plain objects, which a worker can hand on to its page.

use flamacue::source::{Diagnostic, Diagnostics, Edit, Location, Severity, Source, Span};
use js_sys::JSON;
use serde::Serialize;
use wasm_bindgen::prelude::{JsValue, wasm_bindgen};

#[wasm_bindgen(typescript_custom_section)]
const TYPES: &str = r#"
/** A place in a file. */
export interface Place {
  /** Line, from 1. */
  line: number;
  /** Character of the line, from 1; a character is a Unicode code point. */
  column: number;
}

/** A change of a file: what is to stand in place of a range. */
export interface Edit {
  /** The file's name. */
  file: string;
  /** The first place that is replaced. */
  start: Place;
  /** The place after the last; the same as `start` where something is put in. */
  end: Place;
  /** What stands there afterwards. */
  text: string;
}

/** One thing that is wrong at one place. */
export interface Fault {
  /** Whether it stops the build. */
  severity: "error" | "warning";
  /** What kind of fault it is: small letters and hyphens; stays where the words change. */
  code: string;
  /** The file's name. */
  file: string;
  /** The first place of it. */
  start: Place;
  /** The place after the last. */
  end: Place;
  /** One sentence. */
  message: string;
  /** What to write instead, in words. */
  mend?: string;
  /** What to write instead, where one change mends it. */
  edit?: Edit;
}
"#;

#[derive(Serialize)]
struct PlaceOut {
    line: usize,
    column: usize,
}

#[derive(Serialize)]
struct RangeOut<'a> {
    file: &'a str,
    start: PlaceOut,
    end: PlaceOut,
}

#[derive(Serialize)]
struct EditOut<'a> {
    #[serde(flatten)]
    range: RangeOut<'a>,
    text: &'a str,
}

#[derive(Serialize)]
struct FaultOut<'a> {
    severity: &'static str,
    code: &'static str,
    #[serde(flatten)]
    range: RangeOut<'a>,
    message: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    mend: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    edit: Option<EditOut<'a>>,
}

/// Everything found, by place in the text, as objects of the interface `Fault`.
///
/// # Errors
/// None: what is parsed was written just now.
pub fn list(source: &Source, diagnostics: &Diagnostics) -> Result<JsValue, JsValue> {
    JSON::parse(&json(source, diagnostics))
}

/// The same as JSON.
fn json(source: &Source, diagnostics: &Diagnostics) -> String {
    let faults: Vec<_> = diagnostics.sorted().into_iter().map(|d| fault(source, d)).collect();
    // Strings, numbers and lists of them have no way to fail.
    serde_json::to_string(&faults).unwrap_or_default()
}

fn fault<'a>(source: &'a Source, diagnostic: &'a Diagnostic) -> FaultOut<'a> {
    FaultOut {
        severity: match diagnostic.severity {
            Severity::Warning => "warning",
            Severity::Error => "error",
        },
        code: diagnostic.code.as_str(),
        range: range(source, diagnostic.span),
        message: &diagnostic.message,
        mend: diagnostic.mend_in(source),
        edit: diagnostic.edit.as_ref().map(|edit| change(source, edit)),
    }
}

fn change<'a>(source: &'a Source, edit: &'a Edit) -> EditOut<'a> {
    EditOut { range: range(source, edit.span), text: &edit.text }
}

fn range(source: &Source, span: Span) -> RangeOut<'_> {
    let start = source.location(span.start());
    RangeOut {
        file: source.name_of(start.file),
        start: place(start),
        end: place(source.location(span.end().max(span.start()))),
    }
}

fn place(Location { line, column, file: _ }: Location) -> PlaceOut {
    PlaceOut { line, column }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_says_where_it_starts_and_ends() {
        let source = Source::new("a.flam", "é\nabc\n");
        let mut diagnostics = Diagnostics::default();
        diagnostics.warning(Span::new(0, 2), "odd");
        diagnostics.error(Span::new(3, 5), "\"wrong\"").replace(Span::new(5, 6), "d", "write d");
        let text = json(&source, &diagnostics);
        assert_eq!(
            text,
            concat!(
                r#"[{"severity":"warning","code":"general","file":"a.flam","#,
                r#""start":{"line":1,"column":1},"end":{"line":1,"column":2},"message":"odd"},"#,
                r#"{"severity":"error","code":"general","file":"a.flam","#,
                r#""start":{"line":2,"column":1},"end":{"line":2,"column":3},"#,
                r#""message":"\"wrong\"","mend":"write d","edit":{"file":"a.flam","#,
                r#""start":{"line":2,"column":3},"end":{"line":2,"column":4},"text":"d"}}]"#
            )
        );
    }
}
