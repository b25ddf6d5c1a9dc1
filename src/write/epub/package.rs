//! What a book says of itself, and the list of its files (EPUB 3.3, "Package document").

use crate::score::Header;
use crate::write::html::escape;
use crate::write::moment::Moment;

/// The file a reader opens first, which names the package (EPUB 3.3, "Container file").
pub(super) const CONTAINER: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
<container version=\"1.0\" xmlns=\"urn:oasis:names:tc:opendocument:xmlns:container\">\n\
<rootfiles>\n<rootfile full-path=\"EPUB/package.opf\" \
media-type=\"application/oebps-package+xml\"/>\n</rootfiles>\n</container>\n";

/// When a book was last changed, where no date is given: a book must say one.
const NO_DATE: &str = "1980-01-01T00:00:00Z";

/// What a reader who cannot see is told beforehand (EPUB Accessibility 1.1, "Discoverability").
const ACCESS: [(&str, &str); 6] = [
    ("accessMode", "textual"),
    ("accessMode", "visual"),
    ("accessibilityFeature", "alternativeText"),
    ("accessibilityFeature", "readingOrder"),
    ("accessibilityFeature", "tableOfContents"),
    ("accessibilityHazard", "none"),
];

/// A file of the package.
pub(super) struct Listed {
    pub(super) name: String,
    pub(super) media: &'static str,
    /// What it holds that a reader has to know (EPUB 3.3, "Manifest properties").
    pub(super) properties: Option<&'static str>,
    /// Whether it is read in its turn.
    pub(super) read: bool,
}

/// What a book says of itself.
pub(super) struct About<'a> {
    pub(super) header: &'a Header,
    pub(super) title: &'a str,
    pub(super) language: &'a str,
    pub(super) identifier: &'a str,
    /// Seconds since the start of 1970.
    pub(super) date: Option<i64>,
}

/// The package of files, in the order they are read.
pub(super) fn package(about: &About<'_>, files: &[Listed]) -> String {
    let line = |(index, file): (usize, &Listed)| {
        let Listed { name, media, properties, .. } = file;
        let own = properties.map(|own| format!(" properties=\"{own}\"")).unwrap_or_default();
        format!("<item id=\"f{}\" href=\"{name}\" media-type=\"{media}\"{own}/>\n", index + 1)
    };
    let manifest: String = files.iter().enumerate().map(line).collect();
    let read = files.iter().enumerate().filter(|(_, file)| file.read);
    let spine: String =
        read.map(|(index, _)| format!("<itemref idref=\"f{}\"/>\n", index + 1)).collect();
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <package xmlns=\"http://www.idpf.org/2007/opf\" version=\"3.0\" \
         unique-identifier=\"identifier\" xml:lang=\"{}\">\n{}\
         <manifest>\n{manifest}</manifest>\n<spine>\n{spine}</spine>\n</package>\n",
        escape(about.language),
        metadata(about)
    )
}

fn metadata(about: &About<'_>) -> String {
    let header = about.header;
    // A date has four figures for its year (W3C, "Date and Time Formats").
    let year = header.front.year.map(|year| format!("{year:04}"));
    let mut said =
        format!("<dc:identifier id=\"identifier\">{}</dc:identifier>\n", escape(about.identifier));
    let pairs = [
        ("title", Some(about.title)),
        ("language", Some(about.language)),
        ("creator", header.author.as_deref()),
        ("publisher", header.front.publisher.as_deref()),
        ("date", year.as_deref()),
        ("description", header.subtitle.as_deref()),
        ("rights", header.copyright.as_deref()),
    ];
    for (name, words) in pairs {
        if let Some(words) = words.filter(|words| !words.trim().is_empty()) {
            said.push_str(&format!("<dc:{name}>{}</dc:{name}>\n", escape(words)));
        }
    }
    let date = about.date.and_then(Moment::of).map(Moment::xmp);
    let date = date.unwrap_or_else(|| NO_DATE.to_owned());
    said.push_str(&format!("<meta property=\"dcterms:modified\">{date}</meta>\n"));
    for (name, is) in ACCESS {
        said.push_str(&format!("<meta property=\"schema:{name}\">{is}</meta>\n"));
    }
    format!("<metadata xmlns:dc=\"http://purl.org/dc/elements/1.1/\">\n{said}</metadata>\n")
}
