use crate::texts::Asked;
use flamacue::assist::{definition, references, rename, renamed_place};

const BOOK: &str = "include one.flam\n\nvariation of gate \"Again\"\n  gaps: k\n\n\
    context\n  play: loft x3, gate\n\nedition short\n  only: Gate, loft\n\n\
    See @ga‸te and @gate.number.\n";
const ONE: &str = "groove loft\n  play s s s s\n\nfill gate \"The gate\"\n  play s s .s. s\n";

#[test]
fn a_name_leads_to_where_it_is_given() {
    let asked = Asked::new(BOOK, &[("one.flam", ONE)]);
    let given = definition(&asked.view(), asked.offset).expect("a place");
    let source = asked.session.source();
    assert_eq!(source.named_location(given.start()), "one.flam:4:6");
    assert_eq!(source.slice(given), "gate");
    let asked =
        Asked::new(&BOOK.replace('‸', "").replace("one.flam", "one.fl‸am"), &[("one.flam", ONE)]);
    let file = definition(&asked.view(), asked.offset).expect("a file");
    assert_eq!(asked.session.source().named_location(file.start()), "one.flam:1:1");
}

#[test]
fn all_places_of_a_name_are_found() {
    let asked = Asked::new(BOOK, &[("one.flam", ONE)]);
    let source = asked.session.source();
    let places = |given: bool| -> Vec<String> {
        let found = references(&asked.view(), asked.offset, given).into_iter();
        found.map(|span| source.named_location(span.start())).collect()
    };
    let used =
        ["main.flam:3:14", "main.flam:7:18", "main.flam:10:9", "main.flam:12:6", "main.flam:12:16"];
    assert_eq!(places(false), used);
    assert_eq!(places(true), [&used[..], &["one.flam:4:6"]].concat());
}

#[test]
fn a_name_is_changed_in_all_places() {
    let asked = Asked::new(BOOK, &[("one.flam", ONE)]);
    assert!(renamed_place(&asked.view(), asked.offset).is_some());
    let edits = rename(&asked.view(), asked.offset, "door").expect("changes");
    let main = BOOK.replace('‸', "").replace("of gate", "of door").replace(", gate", ", door");
    let main = main.replace("Gate", "door").replace("@gate", "@door");
    assert_eq!(asked.changed(0, &edits), main);
    assert_eq!(asked.changed(1, &edits), ONE.replace("fill gate", "fill door"));
    // What comes of it is the same book.
    let after = Asked::new(&asked.changed(0, &edits), &[("one.flam", &asked.changed(1, &edits))]);
    assert!(after.session.diagnostics().is_empty(), "{:?}", after.session.diagnostics());
}

#[test]
fn names_of_kits_tables_and_players_are_changed_too() {
    for (before, name, after) in [
        (
            "kit stre‸et\n  k kick, line 1\n\nfill\n  kit: street\n  play k k k k\n",
            "road",
            "kit road\n  k kick, line 1\n\nfill\n  kit: road\n  play k k k k\n",
        ),
        (
            "counting: lala\n\nsyllables la‸la\n  1 #\n\nfill\n  counting: lala\n  play k k k k\n",
            "dudu",
            "counting: dudu\n\nsyllables dudu\n  1 #\n\nfill\n  counting: dudu\n  play k k k k\n",
        ),
        (
            "fill\n  player \"Ada\"\n    play k k k k\n  --\n  player \"A‸da\"\n    play s s s s\n",
            "Bo B.",
            "fill\n  player \"Bo B.\"\n    play k k k k\n  --\n  player \"Bo B.\"\n    play s s s s\n",
        ),
    ] {
        let asked = Asked::new(before, &[]);
        let edits = rename(&asked.view(), asked.offset, name).expect("changes");
        assert_eq!(asked.changed(0, &edits), after);
    }
}

#[test]
fn a_name_that_cannot_be_is_refused_in_a_sentence() {
    let text = "fill ga‸te\n  play s s s s\n\nfill loft\n  play s s s s\n";
    let refused = |text: &str, name: &str| {
        let asked = Asked::new(text, &[]);
        rename(&asked.view(), asked.offset, name).expect_err("a refusal")
    };
    assert_eq!(refused(text, "Loft"), "another block is named `Loft` already");
    for name in ["", "two words", "3rd", "gate-", "of", "a@b", "a\nb", "\"a\""] {
        assert!(refused(text, name).starts_with(&format!("`{name}` can't be a name")), "{name}");
    }
    assert_eq!(refused("See @ga‸te.\n", "loft"), "no block is named `gate`");
    assert_eq!(refused("Just pro‸se.\n", "loft"), "there is no name here");
    let table = "counting: lala\n\nsyllables la‸la\n  1 #\n\nfill\n  play k k k k\n";
    assert_eq!(refused(table, "takadimi"), "the count `takadimi` is built in");
    let players = "fill\n  player \"A‸\"\n    play s s s s\n  player \"B\"\n    play s s s s\n";
    assert_eq!(refused(players, "b"), "another player is named `b` already");
    assert!(refused(players, "x\"y").contains("can't be a name"));
    // Other capitals are another name of the same block.
    let asked = Asked::new(text, &[]);
    assert!(rename(&asked.view(), asked.offset, "Gate").is_ok());
}
