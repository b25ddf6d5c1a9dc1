//! The animated SVG, read as XML; `tests/outside/film.py` looks at it in a browser.

use crate::made::{film, fonts, score};
use flamacue::film::{FilmColours, FilmOptions};
use flamacue::score::Colour;
use flamacue::write::film::write_svg;
use resvg::usvg::roxmltree::Document;

/// The cursor's places are the notes', at the shares of the whole time at which they are struck.
#[test]
fn the_cursor_passes_every_note_in_time() {
    let (score, fonts) = (score("tempo: 120\n\nfill \"Down\"\n  play  s k s k\n"), fonts());
    let film = film(&score, &fonts, FilmOptions::default());
    let svg = write_svg(&film, &fonts);
    let document = Document::parse(&svg).expect("XML");
    let moves = document.descendants().find(|node| node.has_tag_name("animateTransform"));
    let moves = moves.expect("a cursor");
    let list = |name| -> Vec<f64> {
        let words = moves.attribute(name).expect("an attribute");
        words.split(';').map(|word| word.parse().expect("a number")).collect()
    };
    let (places, times) = (list("values"), list("keyTimes"));
    assert_eq!((places.len(), moves.attribute("dur")), (times.len(), Some("7.5s")));
    assert_eq!((times[0], times[times.len() - 1]), (0.0, 1.0));
    let page = film.scenes().next().expect("a scene").strip.pages[0].clone();
    for (second, note) in [2.5, 3.0, 3.5, 4.0].iter().zip(&page.notes) {
        let at =
            times.iter().position(|time| (time * 7.5 - second).abs() < 1e-6).expect("its time");
        assert!((places[at] - note.heads.center().x).abs() < 0.001);
    }
    assert!(svg.contains("<title>Down</title>"), "{}", &svg[..400]);
    let classes = |class: &str| {
        document.descendants().filter(|node| node.attribute("class") == Some(class)).count()
    };
    let all =
        [classes("page"), classes("lit"), classes("said"), classes("beats"), classes("cursor")];
    assert_eq!(all, [1, 4, 4, 4, 1]);
    // What lies under all ink is drawn before it.
    let drawn: Vec<&str> =
        document.root_element().children().filter_map(|node| node.attribute("class")).collect();
    assert_eq!(drawn[..3], ["background", "cursor", "page"]);
}

#[test]
fn an_edge_lies_under_all_ink_where_there_is_no_paper() {
    let (score, fonts) = (score("fill\n  play  s k s k\n"), fonts());
    let colours = FilmColours::of(Colour::WHITE, None);
    let svg =
        write_svg(&film(&score, &fonts, FilmOptions { colours, ..FilmOptions::default() }), &fonts);
    let document = Document::parse(&svg).expect("XML");
    let uses: Vec<_> = document.descendants().filter(|node| node.has_tag_name("use")).collect();
    assert!(uses.len() > 8);
    for element in uses {
        let id = element.attribute("href").and_then(|href| href.strip_prefix('#'));
        let found = document.descendants().filter(|node| node.attribute("id") == id).count();
        assert_eq!((found, element.attribute("stroke")), (1, Some("#000000")));
    }
}
