//! What pages of the web and books for screens both hold: title, music, and the letters of both. It is
//! HTML and XML at once.

use super::escape::escape;
use crate::drawing::star;
use crate::pages::flowing::{Music, PIXELS_PER_POINT};
use crate::score::{Header, Level};
use crate::write::number::{coordinate, path_data};
use crate::write::svg::SharedPictures;
use kurbo::Point;

/// Title, subtitle, author and level.
pub(in crate::write) fn title_lines(header: &Header) -> String {
    let mut head = String::new();
    if let Some(title) = &header.title {
        head.push_str(&format!("<h1>{}</h1>\n", escape(title)));
    }
    if let Some(subtitle) = &header.subtitle {
        head.push_str(&format!("<p class=\"subtitle\">{}</p>\n", escape(subtitle)));
    }
    let by: Vec<&str> =
        [&header.author, &header.level].into_iter().flatten().map(|s| s.as_str()).collect();
    if !by.is_empty() {
        head.push_str(&format!("<p class=\"by\">{}</p>\n", escape(&by.join(" · "))));
    }
    head
}

/// For whom the book is.
pub(in crate::write) fn dedication(header: &Header) -> String {
    let words = header.front.dedication.as_deref().map(escape);
    words.map(|words| format!("<p class=\"dedication\">{words}</p>\n")).unwrap_or_default()
}

/// What a block is called: its number and its title, or else where it stands.
pub(in crate::write) fn called(music: &Music) -> String {
    let called: Vec<&str> =
        [&music.number, &music.title].into_iter().flatten().map(String::as_str).collect();
    if called.is_empty() { music.id.clone() } else { called.join(" ") }
}

/// A block with its caption, at so many of its widths from the narrowest, each of a class of its own; what
/// is added stands between them.
pub(in crate::write) fn figure(
    music: &Music,
    widths: usize,
    added: &str,
    pictures: &mut SharedPictures<'_>,
) -> String {
    let mut body = format!("<figure id=\"{}\">\n", escape(&music.id));
    if music.number.is_some() || music.title.is_some() || music.level.is_some() {
        let number = music.number.as_ref().map(|n| format!("<span class=\"n\">{n}</span>"));
        let title = music.title.as_deref().map(escape);
        body.push_str(&format!(
            "<figcaption>{}{}{}</figcaption>\n",
            number.unwrap_or_default(),
            title.unwrap_or_default(),
            music.level.as_ref().map(level).unwrap_or_default()
        ));
    }
    body.push_str(added);
    for (nth, picture) in music.pictures.iter().take(widths).enumerate() {
        let pixels = |points: f64| coordinate(points * PIXELS_PER_POINT);
        body.push_str(&format!(
            "<svg class=\"w{}\" role=\"img\" aria-label=\"{}\" viewBox=\"0 0 {} {}\" width=\"{}\" \
             height=\"{}\" fill=\"currentColor\">{}</svg>\n",
            nth + 1,
            escape(&music.spoken),
            coordinate(picture.width),
            coordinate(picture.height),
            pixels(picture.width),
            pixels(picture.height),
            pictures.draw(picture)
        ));
    }
    body + "</figure>\n"
}

/// How hard a block is: words, or stars as a picture as high as a letter.
fn level(level: &Level) -> String {
    let stars = match level {
        Level::Words(words) => return format!("<span class=\"lv\">{}</span>", escape(words)),
        Level::Stars(stars) => *stars,
    };
    let one = |nth: u8| {
        path_data(&star(Point::new(10.0 + f64::from(nth) * 21.0, 10.0), 10.0, nth >= stars))
    };
    let paths: String = (0..Level::MOST_STARS).map(one).collect();
    format!(
        "<svg class=\"lv\" role=\"img\" aria-label=\"{}\" \
         viewBox=\"0 0 104 20\" width=\"83.2\" height=\"16\" fill=\"currentColor\"><path d=\"{paths}\"/></svg>",
        escape(&level.spoken())
    )
}

/// The characters of the page outside its tags, for the letters to embed.
pub(in crate::write) fn plain(body: &str) -> String {
    let mut inside = false;
    body.chars()
        .filter(|c| {
            let text = !inside && *c != '<';
            inside = (inside || *c == '<') && *c != '>';
            text
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_are_taken_outside_of_tags() {
        assert_eq!(plain("<p class=\"x\">ab</p>\n<i>c</i>"), "ab\nc");
    }
}
