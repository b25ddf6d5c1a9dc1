//! What the PDF says beside its pages: information, XMP, outline, page labels, links and boxes.

use super::tags::Tags;
use super::{PRODUCER, PdfOptions};
use crate::drawing::{Drawing, Page};
use crate::write::number::round;
use kurbo::Rect;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, dictionary};

/// Everything that is not a page's ink; dates, random identifiers and empty entries out.
pub(super) fn finish(
    document: &mut Document,
    drawing: &Drawing,
    options: &PdfOptions,
    tags: Option<Tags>,
) -> lopdf::Result<()> {
    document.version = "1.7".into();
    document.trailer.remove(b"ID");
    information(document, options)?;
    let pages: Vec<ObjectId> = document.get_pages().into_values().collect();
    for (id, page) in pages.iter().zip(&drawing.pages) {
        boxes(document.get_dictionary_mut(*id)?, page, options);
    }
    let links = links(document, drawing, &pages)?;
    if let Some(tags) = tags.filter(|_| !pages.is_empty()) {
        tags.finish(document, &pages, &links)?;
    }
    let outline = outline(document, drawing, &pages);
    let metadata = (!drawing.pages.is_empty()).then(|| {
        let dict = dictionary! { "Type" => "Metadata", "Subtype" => "XML" };
        let xmp = xmp(drawing, options).into_bytes();
        // Kept readable, so that programs that know no PDF find it (ISO 32000-1, 14.3.2).
        document.add_object(Stream::new(dict, xmp).with_compression(false))
    });

    let catalog = document.catalog_mut()?;
    if let Some(language) = &drawing.language {
        catalog.set("Lang", Object::string_literal(language.as_str()));
    }
    if drawing.title.is_some() {
        catalog.set("ViewerPreferences", dictionary! { "DisplayDocTitle" => true });
    }
    if let Some(metadata) = metadata {
        catalog.set("Metadata", metadata);
    }
    if let Some(outline) = outline {
        catalog.set("Outlines", outline);
        catalog.set("PageMode", "UseOutlines");
    }
    if drawing.pages.len() > 1 && !drawing.imposed {
        let decimal = |first: i64| -> Object { dictionary! { "S" => "D", "St" => first }.into() };
        let nums = match i64::try_from(drawing.front) {
            Ok(front) if front > 0 => {
                vec![0.into(), dictionary! { "S" => "r" }.into(), front.into(), decimal(1)]
            }
            _ => vec![0.into(), dictionary! { "S" => "D" }.into()],
        };
        catalog.set("PageLabels", dictionary! { "Nums" => nums });
    }
    Ok(())
}

fn information(document: &mut Document, options: &PdfOptions) -> lopdf::Result<()> {
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

/// The trimmed page has its lower left corner at nought; the sheet around it holds bleed and marks
/// (ISO 32000-1, 14.11.2).
fn boxes(dict: &mut Dictionary, page: &Page, options: &PdfOptions) {
    let grown = |by: f64| -> Object {
        [-by, -by, page.width + by, page.height + by]
            .map(|x| Object::from(round(x) as f32))
            .to_vec()
            .into()
    };
    dict.set("TrimBox", grown(0.0));
    let bleed = options.bleed.max(0.0);
    let slug = options.slug();
    dict.set("MediaBox", grown(slug));
    dict.set("CropBox", grown(slug));
    if slug > 0.0 {
        dict.set("BleedBox", grown(bleed));
    }
}

fn destination(page: &Page, id: ObjectId, y: f64) -> Object {
    let top = round(page.height - y) as f32;
    vec![id.into(), "XYZ".into(), Object::Null, top.into(), Object::Null].into()
}

/// A rectangle of a page as PDF counts it: from the lower left corner.
fn corners(page: &Page, area: Rect) -> Vec<Object> {
    let corners = [area.x0, page.height - area.y1, area.x1, page.height - area.y0];
    corners.map(|x| Object::from(round(x) as f32)).to_vec()
}

/// An address in ASCII (RFC 3986, section 2.1: other bytes are percent-encoded).
fn ascii(address: &str) -> String {
    let byte = |byte: u8| match byte {
        b'!'..=b'~' => char::from(byte).to_string(),
        _ => format!("%{byte:02X}"),
    };
    address.bytes().map(byte).collect()
}

/// The annotation of each link, and the entry of the outline it leads to.
fn links(
    document: &mut Document,
    drawing: &Drawing,
    pages: &[ObjectId],
) -> lopdf::Result<Vec<(ObjectId, usize)>> {
    let mut made = Vec::new();
    let mut annotations: Vec<Vec<Object>> = vec![Vec::new(); pages.len()];
    for link in &drawing.links {
        let (Some(page), Some(to)) = (drawing.pages.get(link.page), drawing.outline.get(link.to))
        else {
            continue;
        };
        let (Some(target), Some(id)) = (drawing.pages.get(to.page), pages.get(to.page)) else {
            continue;
        };
        let annotation = document.add_object(dictionary! {
            "Type" => "Annot",
            "Subtype" => "Link",
            "Rect" => corners(page, link.area),
            "Border" => vec![0.into(), 0.into(), 0.into()],
            "Contents" => lopdf::text_string(&to.title),
            "Dest" => destination(target, *id, to.y),
        });
        made.push((annotation, link.to));
        if let Some(list) = annotations.get_mut(link.page) {
            list.push(annotation.into());
        }
    }
    for link in &drawing.addresses {
        let (Some(page), Some(list)) =
            (drawing.pages.get(link.page), annotations.get_mut(link.page))
        else {
            continue;
        };
        let address = Object::string_literal(ascii(&link.address));
        let annotation = document.add_object(dictionary! {
            "Type" => "Annot",
            "Subtype" => "Link",
            "Rect" => corners(page, link.area),
            "Border" => vec![0.into(), 0.into(), 0.into()],
            "Contents" => lopdf::text_string(&link.address),
            "A" => dictionary! { "S" => "URI", "URI" => address },
        });
        list.push(annotation.into());
    }
    for (id, list) in pages.iter().zip(annotations).filter(|(_, list)| !list.is_empty()) {
        document.get_dictionary_mut(*id)?.set("Annots", list);
    }
    Ok(made)
}

/// An entry of the outline with its neighbours; all are indices of entries.
#[derive(Clone, Default)]
struct Branch {
    parent: Option<usize>,
    previous: Option<usize>,
    next: Option<usize>,
    first: Option<usize>,
    last: Option<usize>,
    below: i64,
}

/// Each entry lies under the last one before it of a lower level (ISO 32000-1, 12.3.3). The
/// branches under the outermost are closed.
fn outline(document: &mut Document, drawing: &Drawing, pages: &[ObjectId]) -> Option<ObjectId> {
    let entries = &drawing.outline;
    if entries.is_empty() {
        return None;
    }
    let mut branches: Vec<Branch> = vec![Branch::default(); entries.len()];
    let mut root = Branch::default();
    let mut open: Vec<usize> = Vec::new();
    for (at, entry) in entries.iter().enumerate() {
        while open.last().is_some_and(|above| entries[*above].level >= entry.level) {
            open.pop();
        }
        let parent = open.last().copied();
        let above = match parent {
            Some(parent) => &mut branches[parent],
            None => &mut root,
        };
        let previous = above.last.replace(at);
        above.first.get_or_insert(at);
        above.below += 1;
        if let Some(previous) = previous {
            branches[previous].next = Some(at);
        }
        branches[at].parent = parent;
        branches[at].previous = previous;
        open.push(at);
    }
    let root_id = document.new_object_id();
    let ids: Vec<ObjectId> = entries.iter().map(|_| document.new_object_id()).collect();
    for ((entry, branch), id) in entries.iter().zip(&branches).zip(&ids) {
        let mut dict = dictionary! {
            "Title" => lopdf::text_string(&entry.title),
            "Parent" => branch.parent.map_or(root_id, |parent| ids[parent]),
        };
        if let (Some(page), Some(page_id)) = (drawing.pages.get(entry.page), pages.get(entry.page))
        {
            dict.set("Dest", destination(page, *page_id, entry.y));
        }
        let neighbours = [
            ("Prev", branch.previous),
            ("Next", branch.next),
            ("First", branch.first),
            ("Last", branch.last),
        ];
        for (key, other) in neighbours {
            if let Some(other) = other {
                dict.set(key, ids[other]);
            }
        }
        if branch.below > 0 {
            dict.set("Count", -branch.below);
        }
        document.objects.insert(*id, dict.into());
    }
    let mut dict = dictionary! { "Type" => "Outlines", "Count" => root.below };
    if let (Some(first), Some(last)) = (root.first, root.last) {
        dict.set("First", ids[first]);
        dict.set("Last", ids[last]);
    }
    document.objects.insert(root_id, dict.into());
    Some(root_id)
}

/// The XMP packet (ISO 16684-1): title, author, language, program, and dates where they are given.
fn xmp(drawing: &Drawing, options: &PdfOptions) -> String {
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
    if let Some(language) = &drawing.language {
        said.push_str(&format!(
            "<dc:language><rdf:Bag><rdf:li>{}</rdf:li></rdf:Bag></dc:language>\n",
            escape(language)
        ));
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
         xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\">\n\
         <dc:format>application/pdf</dc:format>\n{said}<pdf:Producer>{PRODUCER}</pdf:Producer>\n\
         </rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>\n"
    )
}

/// A second in UTC.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Moment {
    year: i64,
    month: i64,
    day: i64,
    hour: i64,
    minute: i64,
    second: i64,
}

impl Moment {
    /// The moment so many seconds after the start of 1970; none outside the years 1970 to 9999.
    fn of(seconds: i64) -> Option<Self> {
        let days = seconds.div_euclid(86_400);
        let rest = seconds.rem_euclid(86_400);
        // Years are counted from March, so that a leap day ends one; 400 years are an era.
        let shifted = days + 719_468;
        let era = shifted.div_euclid(146_097);
        let of_era = shifted.rem_euclid(146_097);
        let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let from_march = (5 * of_year + 2) / 153;
        let month = if from_march < 10 { from_march + 3 } else { from_march - 9 };
        let year = year_of_era + era * 400 + i64::from(month <= 2);
        let day = of_year - (153 * from_march + 2) / 5 + 1;
        let (hour, minute, second) = (rest / 3600, rest / 60 % 60, rest % 60);
        (1970..=9999).contains(&year).then_some(Self { year, month, day, hour, minute, second })
    }

    fn pdf(self) -> String {
        let Self { year, month, day, hour, minute, second } = self;
        format!("D:{year:04}{month:02}{day:02}{hour:02}{minute:02}{second:02}Z")
    }

    fn xmp(self) -> String {
        let Self { year, month, day, hour, minute, second } = self;
        format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}Z")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against `date -u -d @SECONDS` of GNU coreutils.
    #[test]
    fn seconds_are_dates() {
        for (seconds, date) in [
            (0, "1970-01-01T00:00:00Z"),
            (951_782_400, "2000-02-29T00:00:00Z"),
            (1_709_251_199, "2024-02-29T23:59:59Z"),
            (4_102_444_800, "2100-01-01T00:00:00Z"),
        ] {
            assert_eq!(Moment::of(seconds).map(Moment::xmp).as_deref(), Some(date));
        }
        assert_eq!(Moment::of(-1), None);
        assert_eq!(Moment::of(i64::MAX / 4), None);
    }
}
