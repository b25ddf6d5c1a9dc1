use crate::texts::Asked;
use flamacue::assist::{Completion, complete};

fn all(text: &str) -> (Asked, Vec<Completion>) {
    let asked = Asked::new(text, &[]);
    let found = complete(&asked.view(), asked.offset);
    (asked, found)
}

/// What is offered, and what the text becomes when it is taken.
#[track_caller]
fn becomes(text: &str, label: &str, after: &str) {
    let (asked, found) = all(text);
    let labels: Vec<&str> = found.iter().map(|one| one.label.as_str()).collect();
    let one = found.iter().find(|one| one.label == label);
    let one = one.unwrap_or_else(|| panic!("{text}\n`{label}` is none of {labels:?}"));
    let mut made = asked.session.text("main.flam").unwrap().to_owned();
    made.replace_range(one.span.start()..one.span.end(), &one.text);
    assert_eq!(made, after, "{text}");
}

#[track_caller]
fn is_told(text: &str, label: &str, about: &str) {
    let (_, found) = all(text);
    let told = found.iter().find(|one| one.label == label).map(|one| one.about.as_str());
    assert_eq!(told, Some(about), "{text}");
}

#[track_caller]
fn offers_no(text: &str, label: &str) {
    let (_, found) = all(text);
    assert!(found.iter().all(|one| one.label != label), "{text}: {label}");
}

#[test]
fn words_at_the_edge() {
    becomes("gr‸", "groove", "groove");
    becomes("ti‸", "title", "title: ");
    becomes("title: A\nst‸", "style", "title: A\nstyle: ");
    becomes("title: A\n\nfi‸", "fill", "title: A\n\nfill");
    offers_no("title: A\n\nst‸", "style");
}

#[test]
fn values_of_keys() {
    becomes("style: ‸", "book", "style: book");
    becomes("style:bo‸", "book", "style: book");
    becomes(
        "fill\n  staff: one‸\n  play s s s s\n",
        "one-line",
        "fill\n  staff: one-line\n  play s s s s\n",
    );
    offers_no("background: ‸", "ink");
    becomes(
        "fill gate\n  play s\n\nvariation of gate\n  taps: ‸\n",
        "diddle",
        "fill gate\n  play s\n\nvariation of gate\n  taps: diddle\n",
    );
}

#[test]
fn rows_and_keys_of_a_block() {
    becomes("fill\n  pl‸\n", "play", "fill\n  play  \n");
    becomes("fill\n  play s s s s\n  st‸\n", "stick", "fill\n  play s s s s\n  stick  \n");
    becomes("fill\n  play s s s s\n  te‸\n", "tempo", "fill\n  play s s s s\n  tempo: \n");
    is_told("fill\n  ‸\n", "snare", "hits of the snare");
    offers_no("fill\n  ‸\n", "title");
    // After a line of `--` only some keys may stand.
    offers_no("fill\n  play s s s s\n  --\n  ‸\n", "columns");
    becomes(
        "kit\n  j gong, above 4\n\nfill\n  go‸\n",
        "gong",
        "kit\n  j gong, above 4\n\nfill\n  gong  \n",
    );
}

#[test]
fn letters_of_the_kit_in_force() {
    is_told("fill\n  play s‸\n", "t", "high tom");
    is_told("fill\n  play s‸\n", "k", "bass drum");
    is_told("kit\n  j gong, above 4\n\nfill\n  play s ‸\n", "j", "gong");
    offers_no("fill\n  play s‸\n", "j");
    is_told("fill\n  hat x‸\n", "o", "open");
    offers_no("fill\n  snare x‸\n", "o");
    is_told("fill\n  play s s s s\n  stick R‸\n", "L", "left");
    let named = "kit street\n  j drone, line 3\n\nfill\n  kit: street\n  play ‸\n";
    is_told(named, "j", "drone");
}

#[test]
fn names_of_blocks() {
    let text = "groove loft \"The loft\"\n  play s s s s\n\nkit street\n  k kick, line 1\n\n";
    let told = "groove “The loft”, one bar";
    is_told(&format!("{text}See @lo‸\n"), "loft", told);
    is_told(&format!("{text}variation of ‸\n  gaps: k\n"), "loft", told);
    is_told(&format!("{text}context\n  play: lo‸\n"), "loft", told);
    is_told(&format!("{text}edition short\n  only: ‸\n"), "loft", told);
    offers_no(&format!("{text}See @‸\n"), "street");
    is_told(&format!("{text}fill\n  kit: ‸\n  play s\n"), "street", "kit");
    becomes(&format!("{text}See @loft.‸\n"), "page", &format!("{text}See @loft.page\n"));
}

#[test]
fn words_of_marks_and_dynamics() {
    becomes("fill\n  mark ferm‸\n", "fermata", "fill\n  mark fermata\n");
    is_told("fill\n  dyn ‸\n", "<", "louder and louder");
    becomes("fill\n  dyn m‸\n", "mf", "fill\n  dyn mf\n");
    is_told("fill\n  count 1 ‸\n", "trip", "a syllable of the count");
}

#[test]
fn nothing_is_offered_in_a_comment_or_in_prose() {
    for text in ["// st‸", "fill\n  play s // sna‸\n", "Some prose here ‸\n", "  stray ‸\n"]
    {
        assert_eq!(all(text).1, [], "{text}");
    }
}
