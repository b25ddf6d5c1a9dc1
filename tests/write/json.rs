use crate::fixture::{drawing, fonts};
use flamacue::write::json;
use serde_json::Value;

fn written() -> Value {
    let fonts = fonts();
    let text = json::write_measured(&drawing(&fonts), &fonts);
    serde_json::from_str(&text).expect("JSON")
}

fn marks<'a>(node: &'a Value, found: &mut Vec<&'a Value>) {
    if node.get("mark").is_some() {
        found.push(node);
    }
    for children in ["pages", "nodes", "children"] {
        for child in node.get(children).and_then(Value::as_array).into_iter().flatten() {
            marks(child, found);
        }
    }
}

#[test]
fn one_note() {
    let whole = written();
    let note = whole
        .pointer("/pages/0/nodes/0/children/1/children/8/children/1")
        .expect("the second note");
    insta::assert_json_snapshot!(note);
}

#[test]
fn the_head_says_what_it_is() {
    let mut whole = written();
    whole.as_object_mut().expect("an object").remove("pages");
    insta::assert_json_snapshot!(whole);
}

#[test]
fn every_mark_has_a_box_and_one_form() {
    let whole = written();
    let mut found = Vec::new();
    marks(&whole, &mut found);
    assert_eq!(found.len(), 26);
    for mark in found {
        let bounds = mark["bounds"].as_array().expect("bounds");
        assert!(bounds[0].as_f64() < bounds[2].as_f64(), "{mark}");
        let forms = ["box", "path", "glyph", "text"];
        assert_eq!(forms.iter().filter(|form| mark.get(**form).is_some()).count(), 1, "{mark}");
    }
}

#[test]
fn without_faces_only_plain_forms_are_measured() {
    let whole: Value = serde_json::from_str(&json::write(&drawing(&fonts()))).expect("JSON");
    let mut found = Vec::new();
    marks(&whole, &mut found);
    assert_eq!(found.len(), 26);
    for mark in found {
        let plain = mark.get("box").is_some() || mark.get("path").is_some();
        assert_eq!(mark.get("bounds").is_some(), plain);
    }
}
