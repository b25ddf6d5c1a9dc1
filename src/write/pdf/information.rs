//! What a PDF says of itself: its information dictionary and its XMP packet.

use super::options::PdfOptions;
use crate::drawing::Drawing;
use crate::write::moment::Moment;
use lopdf::{Document, Object};

/// The program that made the file, in the file's information.
pub(super) const PRODUCER: &str = concat!("Flamacue ", env!("CARGO_PKG_VERSION"));

/// The language of words that name none.
const LANGUAGE: &str = "en";

/// A file that everyone can use (ISO 14289-1, 5).
const UNIVERSAL: &str = "<pdfuaid:part>1</pdfuaid:part>\n";

/// The language of a drawing's words.
pub(super) fn language(drawing: &Drawing) -> &str {
    drawing.language.as_deref().unwrap_or(LANGUAGE)
}

/// The information dictionary without dates of the clock, random identifiers and empty entries.
pub(super) fn information(document: &mut Document, options: &PdfOptions) -> lopdf::Result<()> {
    let info = document.trailer.get(b"Info")?.as_reference()?;
    let info = document.get_dictionary_mut(info)?;
    for entry in [&b"CreationDate"[..], b"ModDate", b"GTS_PDFXVersion", b"Identifier", b"Trapped"] {
        info.remove(entry);
    }
    let empty: Vec<Vec<u8>> = info
        .iter()
        .filter(|(_, value)| value.as_str().is_ok_and(|words| words.is_empty()))
        .map(|(key, _)| key.clone())
        .collect();
    for key in empty {
        info.remove(&key);
    }
    if let Some(date) = options.date.and_then(Moment::of) {
        for entry in ["CreationDate", "ModDate"] {
            info.set(entry, Object::string_literal(date.pdf()));
        }
    }
    Ok(())
}

/// The XMP packet (ISO 16684-1): title, author, publisher, number, language, program, and dates where they are given.
pub(super) fn xmp(drawing: &Drawing, options: &PdfOptions) -> String {
    let escape = |words: &str| {
        let words = words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
        words.chars().filter(|c| !c.is_control()).collect::<String>()
    };
    let mut said = String::new();
    if let Some(title) = &drawing.title {
        said.push_str(&format!(
            "<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">{}</rdf:li></rdf:Alt></dc:title>\n",
            escape(title)
        ));
    }
    if let Some(author) = &drawing.author {
        said.push_str(&format!(
            "<dc:creator><rdf:Seq><rdf:li>{}</rdf:li></rdf:Seq></dc:creator>\n",
            escape(author)
        ));
    }
    if let Some(publisher) = &drawing.publisher {
        said.push_str(&format!(
            "<dc:publisher><rdf:Bag><rdf:li>{}</rdf:li></rdf:Bag></dc:publisher>\n",
            escape(publisher)
        ));
    }
    if let Some(isbn) = &drawing.isbn {
        said.push_str(&format!("<dc:identifier>urn:isbn:{}</dc:identifier>\n", escape(isbn)));
    }
    said.push_str(&format!(
        "<dc:language><rdf:Bag><rdf:li>{}</rdf:li></rdf:Bag></dc:language>\n",
        escape(language(drawing))
    ));
    // Sheets to be folded have no structure, and a file without a title can't be shown by it.
    if drawing.title.is_some() && !drawing.imposed {
        said.push_str(UNIVERSAL);
    }
    if let Some(date) = options.date.and_then(Moment::of) {
        for entry in ["CreateDate", "ModifyDate"] {
            said.push_str(&format!("<xmp:{entry}>{}</xmp:{entry}>\n", date.xmp()));
        }
    }
    format!(
        "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n\
         <x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n\
         <rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n\
         <rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" \
         xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" \
         xmlns:pdfuaid=\"http://www.aiim.org/pdfua/ns/id/\" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\">\n\
         <dc:format>application/pdf</dc:format>\n{said}<pdf:Producer>{PRODUCER}</pdf:Producer>\n\
         </rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>\n"
    )
}
