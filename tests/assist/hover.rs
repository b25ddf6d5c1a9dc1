use crate::texts::Asked;
use flamacue::assist::hover;

#[track_caller]
fn says(text: &str, wanted: &str) {
    let asked = Asked::new(text, &[]);
    let said = hover(&asked.view(), asked.offset).map(|hover| hover.text);
    assert_eq!(said.as_deref(), Some(wanted), "{text}");
}

#[test]
fn a_cell_is_told_as_a_drummer_says_it() {
    let fill = |row: &str| format!("fill\n  play   {row}\n  stick  R.RL RLR. .L.R L.R.\n");
    says(&fill("s.‸ss Sss. .m.m f.F."), "snare, right hand, the & of 1");
    says(&fill("s.ss s‸Ss. .m.m f.F."), "snare, accented, left hand, the e of 2");
    says(&fill("s.ss sSs. .‸m.m f.F."), "mid tom, left hand, the e of 3");
    says(&fill("s.ss sSs. .m.m ‸f.F."), "floor tom, left hand, beat 4");
    says(&fill("s.ss sSs. ‸.m.m f.F."), "silence");
}

#[test]
fn signs_of_a_cell_are_told() {
    says("groove\n  snare  'X‸ g x/ x~\n", "snare, accented, flam, beat 1");
    says("groove\n  snare  'X ‸g x/ x~\n", "snare, ghosted, beat 2");
    says("groove\n  snare  'X g ‸x/ x~\n", "snare, diddle, beat 3");
    says("groove\n  hat  xx ‸oh xx xx\n", "open hi-hat, beat 2");
    says("groove\n  play  s s s ‸c+k\n", "crash, beat 4");
    says("groove\n  play  s s s c+‸k\n", "bass drum, beat 4");
    says("groove\n  play  s s s s | s ‸sss s s\n", "snare, beat 2, bar 2");
    says("groove\n  play  s s s s | s s‸ss s s\n", "snare, the trip of 2, bar 2");
    says("groove\n  play  s s s s | s sss s ss‸sss\n", "snare, the 3rd of five in beat 4, bar 2");
    says("groove\n  play  s s s s ‸| s s s s\n", "a bar ends");
}

#[test]
fn letters_of_a_sticking_are_told() {
    says("fill\n  play   s s s s\n  stick  R ‸L R L\n", "left hand, beat 2");
    says("fill\n  play   s s s s\n  stick  R(L‸) L R L\n", "right hand, or the left, beat 1");
}

#[test]
fn keys_rows_and_words_are_told() {
    says(
        "sta‸ff: one-line\n\nfill\n  play s s s s\n",
        "`staff:` `five-line`, `one-line`, `none`; at the head of the file, in a block or under a player",
    );
    says("fill\n  pl‸ay s s s s\n", "`play`: hits by letter");
    says("fill\n  snare‸ x x x x\n", "hits of the snare; its letter is `s`");
    says("gro‸ove\n  snare x x x x\n", "`groove`: a beat that goes round; not numbered");
    says("fill\n  mark ferm‸ata . . .\n  play s s s s\n", "`fermata`: where time stops");
    says(
        "fill gate\n  play s s s s\n\nvariation of gate\n  ga‸ps: k\n",
        "`gaps:` what goes into each silent place: cells such as `k` or `(s)`, `diddle`, `flam`, `drag`",
    );
    says(
        "kit\n  j tambourine, above 3, tri‸angle\n\nfill\n  play j j j j\n",
        "`triangle`: the head",
    );
}

#[test]
fn a_name_is_told_with_its_number_and_its_title() {
    let text = "fill gate \"Through the gate\"\n  play s s s s | s s s s\n\nSee @ga‸te.\n";
    says(text, "fill 1 “Through the gate”, two bars");
    says("groove\n  player \"Ad‸a\"\n    play s s s s\n", "the player Ada");
}

#[test]
fn a_letter_of_another_kit_is_told_by_it() {
    let kit = "kit\n  j tambourine, above 3, triangle\n\n";
    says(&format!("{kit}fill\n  play ‸j s s s\n"), "tambourine, beat 1");
    // Also where the block has a fault.
    says(&format!("{kit}fill\n  play ‸j q s s\n"), "tambourine, beat 1");
}

#[test]
fn where_there_is_nothing_to_say_nothing_is_said() {
    for text in ["", "‸", "Just ‸prose.\n", "fill\n  play s s s s\n\n‸\n", "title: a\n‸"] {
        let asked = Asked::new(text, &[]);
        assert_eq!(hover(&asked.view(), asked.offset), None, "{text}");
    }
}
