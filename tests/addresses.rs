//! Addresses of the web in prose.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

/// An address in the prose leads to the web, in the PDF where its words stand and on the web page.
#[test]
fn addresses_in_prose_lead_to_the_web() {
    let text = "title: Links\n\nHear it at https://loft.example/läst?a=1&b=2, *or* ask.\n\nfill \"A\"\n  play  s s s s\n";
    let fonts = flamacue::font::Fonts::built_in().unwrap();
    let source = flamacue::source::Source::new("links.flam", text);
    let mut diagnostics = flamacue::source::Diagnostics::default();
    let compiled = flamacue::compile(&source, &fonts, &mut diagnostics).unwrap();
    let [link] = compiled.drawing.addresses.as_slice() else { panic!("one address") };
    assert_eq!(link.address, "https://loft.example/läst?a=1&b=2");
    assert!(link.area.width() > 60.0 && link.area.height() > 5.0, "{:?}", link.area);
    let pdf = flamacue::write::pdf::write(&compiled.drawing, &fonts).unwrap();
    let document = lopdf::Document::load_mem(&pdf).unwrap();
    let uris: Vec<Vec<u8>> = document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok()?.get(b"A").ok()?.as_dict().ok())
        .filter_map(|action| action.get(b"URI").ok()?.as_str().ok().map(<[u8]>::to_vec))
        .collect();
    assert_eq!(uris, [b"https://loft.example/l%C3%A4st?a=1&b=2".to_vec()]);
    let flowing = flamacue::compile_flowing(&source, &fonts, None, &mut diagnostics).unwrap();
    let html = flamacue::write::html::write(&flowing, &fonts).unwrap();
    assert!(html.contains("<a href=\"https://loft.example/läst?a=1&amp;b=2\">"));
}

/// Emphasis and brackets round an address are no part of it.
#[test]
fn an_address_in_emphasis_leads_to_the_web() {
    let text = "- *Hear https://loft.example/a.* (**http://loft.example/b**)\n";
    let fonts = flamacue::font::Fonts::built_in().unwrap();
    let source = flamacue::source::Source::new("links.flam", text);
    let mut diagnostics = flamacue::source::Diagnostics::default();
    let compiled = flamacue::compile(&source, &fonts, &mut diagnostics).unwrap();
    let addresses: Vec<&str> =
        compiled.drawing.addresses.iter().map(|link| link.address.as_str()).collect();
    assert_eq!(addresses, ["https://loft.example/a", "http://loft.example/b"]);
    let flowing = flamacue::compile_flowing(&source, &fonts, None, &mut diagnostics).unwrap();
    let html = flamacue::write::html::write(&flowing, &fonts).unwrap();
    assert!(html.contains("<em>Hear <a href=\"https://loft.example/a\">"), "{html}");
    assert!(html.contains("<strong><a href=\"http://loft.example/b\">"), "{html}");
}
