//! A file of words, and the style sheet of all.

use crate::font::FaceStyle;
use crate::write::html::escape;
use crate::write::svg::SharedPictures;

/// What a book looks like. A reader chooses size and colours, so that neither is said. Music changes with the
/// widths it is engraved for ([`WIDTHS`](crate::pages::flowing::WIDTHS)).
const STYLE: &str = "\
body{font-family:\"Flamacue Serif\",serif;line-height:1.4;overflow-wrap:break-word}\n\
h1{font-size:1.6em;line-height:1.2;margin:1em 0 .6em}\n\
h2{font-size:1.2em;margin:1.4em 0 .4em}\nh1,h2,b,strong,th{font-weight:600}\n\
h1,h2,figcaption{break-after:avoid;page-break-after:avoid}\n\
.subtitle{font-style:italic;margin:0}\n.by{margin:.4em 0 1.2em}\n\
p,ul,ol,blockquote,pre{margin:.6em 0}\nblockquote{padding:0 1.6em}\n\
hr{width:8em;border:0;border-top:1px solid;margin:1.6em auto}\n\
code{font-family:\"Flamacue Mono\",monospace;font-size:.82em}\npre{white-space:pre-wrap;padding-left:1.6em}\n\
.picture img,.picture svg{display:block;max-width:100%;height:auto}\n\
.caption{font-size:.9em;font-style:italic}\nsup{font-size:.65em;line-height:0}\n\
table{border-collapse:collapse;border-top:1px solid;border-bottom:1px solid}\n\
th,td{text-align:left;vertical-align:top;padding:.15em .7em}\nth{border-bottom:1px solid}\n\
.mid{text-align:center}\n.end{text-align:right}\n.notes{font-size:.86em;margin:1.2em 0}\n\
.notes p{margin:.2em 0;display:inline}\n\
figure{margin:1.5em 0 1em;break-inside:avoid;page-break-inside:avoid}\n\
figcaption{font-weight:600;margin:0 0 .4em}\nfigcaption .n{margin-right:.6em}\n\
figure svg{display:none;height:auto;max-width:100%}\nfigure svg.w1{display:block}\n\
figure svg.lv{display:inline}\n.lv{margin-left:.6em;font-weight:400;font-style:italic}\n\
.defs{position:absolute;width:0;height:0}\n\
nav ol,nav ul{list-style:none;padding:0}\nnav ol ol{padding-left:1.4em}\n\
nav a{color:inherit;text-decoration:none}\n\
@media(min-width:672px){figure svg.w1{display:none}figure svg.w2{display:block}}\n\
@media(min-width:720px){.row{display:grid;grid-template-columns:1fr 1fr;column-gap:24px}\
.row figure svg.w1{display:block}.row figure svg.w2{display:none}}\n";

/// A file of a body.
pub(super) fn file(language: &str, title: &str, body: &str) -> Vec<u8> {
    let (language, title) = (escape(language), escape(title));
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!DOCTYPE html>\n\
         <html xmlns=\"http://www.w3.org/1999/xhtml\" xmlns:epub=\"http://www.idpf.org/2007/ops\" \
         lang=\"{language}\" xml:lang=\"{language}\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <title>{title}</title>\n<link rel=\"stylesheet\" type=\"text/css\" href=\"book.css\"/>\n\
         </head>\n<body>\n{body}</body>\n</html>\n"
    )
    .into_bytes()
}

/// The style sheet, after the rules of the faces.
pub(super) fn style(faces: &str, pictures: &SharedPictures<'_>) -> Vec<u8> {
    let style = STYLE
        .replacen("\"Flamacue Serif\"", &pictures.families(FaceStyle::Regular), 1)
        .replacen("\"Flamacue Mono\"", &pictures.families(FaceStyle::Mono), 1);
    format!("{faces}{style}").into_bytes()
}
