//! The page: its head, its body and its style sheet.

use super::additions::Additions;
use super::body::{BodyForm, body};
use super::escape::escape;
use super::figure::{dedication, plain, title_lines};
use super::leads::Leads;
use super::lists;
use super::moving;
use super::words::HtmlWords;
use crate::font::{FaceStyle, Fonts};
use crate::pages::flowing::{Flowing, FlowingItem, WIDTHS};
use crate::score::Header;
use crate::score::printing::Background;
use crate::write::error::WriteError;
use crate::write::svg::SharedPictures;
use std::collections::BTreeMap;

/// What the page looks like. The widths at which music changes follow
/// [`WIDTHS`](crate::pages::flowing::WIDTHS) and 16 pixels of margin on either side.
const STYLE: &str = "\
:root{color-scheme:light dark}\n\
body{margin:0 auto;padding:16px;max-width:920px;font:17px/1.5 \"Flamacue Serif\",Georgia,serif;\
color:#000;background:#fff;overflow-wrap:break-word}\n\
h1{font-size:1.8em;line-height:1.2;margin:.4em 0 .1em}\n\
h2{font-size:1.35em;margin:1.6em 0 .4em}\nh1,h2,h3,b,strong,th{font-weight:600}\n\
h3{font-size:1.12em;font-style:italic;margin:1.4em 0 .3em}\n\
.subtitle,.dedication{font-style:italic;margin:0}\n.by{margin:.2em 0 1.2em}\n\
p,ul,ol,blockquote,pre{max-width:38em;margin:.6em 0}\n\
li p,li ul,li ol{margin:.3em 0}\nblockquote{padding:0 1.6em}\n\
hr{width:8em;border:0;border-top:1px solid;margin:1.6em 0 1.6em min(15em,50% - 4em)}\n\
code{font:.82em/1.5 \"Flamacue Mono\",monospace}\npre{overflow-x:auto;padding-left:1.6em}\n\
.picture img,.picture svg{display:block;max-width:100%;height:auto}\n.caption{font-size:.9em;font-style:italic}\n\
sup{font-size:.65em;line-height:0}\n.table{overflow-x:auto;margin:.9em 0}\n\
table{border-collapse:collapse;border-top:1px solid;border-bottom:1px solid}\n\
th,td{text-align:left;vertical-align:top;padding:.15em .7em}\nth{border-bottom:1px solid}\n\
th:first-child,td:first-child{padding-left:0}\nth:last-child,td:last-child{padding-right:0}\n\
.mid{text-align:center}\n.end{text-align:right}\n\
.notes{font-size:.86em;max-width:44em;margin:1.2em 0}\n\
.notes:before{content:\"\";display:block;width:6em;border-top:1px solid}\n\
.notes p{margin:.2em 0;display:inline}\n\
figure{margin:1.5em 0 1em;break-inside:avoid}\n\
figcaption{font-weight:600;margin:0 0 .4em}\nfigcaption .n{margin-right:.6em}\n\
svg{display:none;height:auto;max-width:100%}\nsvg.w1,svg.defs{display:block}\
svg.lv{display:inline}.lv{margin-left:.6em;font-weight:400;font-style:italic}\n\
.defs{position:absolute;width:0;height:0}\n\
footer{margin:2.5em 0 0;font-size:.8em}\n\
nav ul{list-style:none;padding:0}\nnav a{color:inherit;text-decoration:none}\n\
nav a:hover{text-decoration:underline}\n\
.turn{display:flex;flex-wrap:wrap;justify-content:space-between;column-gap:1.5em;font-size:.9em}\n\
.turn.last{margin:2.5em 0 0}\n.l0,.l1{font-weight:600;margin-top:.5em}\n\
.l2,.l3{padding-left:1.6em}\n\
.index ul{columns:18em 3;max-width:none;column-gap:2em}\n.index li{break-inside:avoid}\n\
@media(min-width:672px){svg.w1{display:none}svg.w2{display:block}}\n\
@media(min-width:720px){.row{display:grid;grid-template-columns:1fr 1fr;column-gap:24px}\
.row svg.w1{display:block}.row svg.w2{display:none}}\n\
@media(min-width:952px){svg.w2{display:none}svg.w3{display:block}\
.row svg.w3{display:none}}\n\
@media(prefers-color-scheme:dark){body{color:#eee;background:#161616}}\n\
@media print{body{color:#000;background:#fff;padding:0;font-size:11pt}.turn{display:none}\
svg.w1,svg.w3{display:none}svg.w2{display:block}h1,h2,h3,figcaption{break-after:avoid}}\n";

/// The colours a file asks for, which hold on screens whatever the reader's choice of light or dark; on paper
/// ink stays black.
fn colours(header: &Header) -> String {
    let ink = header.ink.as_ref().map(|ink| format!("color:{};", ink.value));
    let background = match header.background {
        Background::Paper => None,
        Background::None => Some("background:transparent".to_owned()),
        Background::Colour(colour) => Some(format!("background:{colour}")),
    };
    if ink.is_none() && background.is_none() {
        return String::new();
    }
    let said = ink.unwrap_or_default() + &background.unwrap_or_default();
    format!("@media screen{{body{{{said}}}}}\n")
}

/// The title of a text that has none.
const NO_TITLE: &str = "Drum-text";

/// The title of the text stands over those of its chapters.
pub(super) const FORM: BodyForm = BodyForm { chapter: 2, widths: WIDTHS.len() };

/// The whole file as one HTML page, whose blocks can be shown as they go.
///
/// # Errors
/// Says which face could not be embedded.
pub fn write(flowing: &Flowing, fonts: &Fonts) -> Result<String, WriteError> {
    let language = flowing.header.language.as_deref();
    write_with(flowing, fonts, &moving::additions(&flowing.items, language, fonts))
}

/// The same with additions.
///
/// # Errors
/// Says which face could not be embedded.
pub(in crate::write) fn write_with(
    flowing: &Flowing,
    fonts: &Fonts,
    added: &Additions,
) -> Result<String, WriteError> {
    let mut pictures = SharedPictures::new(fonts);
    let header = &flowing.header;
    let leads = Leads::default();
    let body = title_lines(header)
        + &dedication(header)
        + &added.lead
        + &lists::contents(&flowing.contents, flowing.printed.contents, &leads)
        + &main(flowing, (&flowing.items, FORM), (&leads, &added.in_figures), &mut pictures)
        + &added.end
        + &lists::index(&flowing.index, &leads)
        + &foot(header);
    file(header, &Head { title: title(header), links: "", added }, &body, pictures)
}

/// The title of a text.
pub(super) fn title(header: &Header) -> &str {
    header.title.as_deref().unwrap_or(NO_TITLE)
}

/// What a page says of itself in its head.
pub(super) struct Head<'a> {
    pub(super) title: &'a str,
    /// The elements that name the pages before and after it.
    pub(super) links: &'a str,
    /// What another page has beside that of a text.
    pub(super) added: &'a Additions,
}

/// A page that needs no other file, of its body.
pub(super) fn file(
    header: &Header,
    head: &Head<'_>,
    body: &str,
    mut pictures: SharedPictures<'_>,
) -> Result<String, WriteError> {
    pictures.letters(&plain(body));
    let language = header.language.as_deref().unwrap_or("en");
    let author = header
        .author
        .as_ref()
        .map(|author| format!("<meta name=\"author\" content=\"{}\">\n", escape(author)));
    Ok(format!(
        "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         {}<title>{}</title>\n{}{}<link rel=\"icon\" href=\"data:,\">\n<style>\n{}{}{}{}</style>\n\
         </head>\n<body>\n{}{body}{}</body>\n</html>\n",
        escape(language),
        head.added.head,
        escape(head.title),
        author.unwrap_or_default(),
        head.links,
        pictures.faces()?,
        STYLE.replacen("\"Flamacue Serif\"", &pictures.families(FaceStyle::Regular), 1).replacen(
            "\"Flamacue Mono\"",
            &pictures.families(FaceStyle::Mono),
            1
        ),
        colours(header),
        head.added.style,
        pictures.definitions(),
        head.added.script,
    ))
}

/// Some items of a text as what a page is about, with what is added to figures.
pub(super) fn main(
    flowing: &Flowing,
    (items, form): (&[FlowingItem], BodyForm),
    (leads, added): (&Leads, &BTreeMap<usize, String>),
    pictures: &mut SharedPictures<'_>,
) -> String {
    let mut words = HtmlWords::new(&flowing.named, &flowing.figures, leads);
    let body = body(items, (form, added), &mut words, pictures);
    pictures.code_letters(&words.code);
    format!("<main>\n{body}</main>\n")
}

/// The imprint, or the copyright alone.
pub(super) fn foot(header: &Header) -> String {
    let imprint = header.front.imprint(header.copyright.as_deref());
    let lines =
        if imprint.is_empty() { header.copyright.clone().into_iter().collect() } else { imprint };
    if lines.is_empty() {
        return String::new();
    }
    let lines: Vec<String> = lines.iter().map(|line| escape(line)).collect();
    format!("<footer>{}</footer>\n", lines.join("<br>\n"))
}
