//! Pictures of pixels as objects of the file (ISO 32000-1, 8.9.5).

use super::compress;
use crate::drawing::{Node, Picture, PictureForm, PixelFormat, Shape};
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, dictionary};
use std::collections::HashMap;
use std::io::Cursor;
use std::sync::Arc;

/// The pictures of a drawing as its pages come, each once: their numbers by where they lie in memory.
#[derive(Debug, Default)]
pub(super) struct PictureNumbers {
    numbers: HashMap<usize, usize>,
    pictures: Vec<Arc<Picture>>,
    /// The numbers of those on each page.
    pages: Vec<Vec<usize>>,
}

impl PictureNumbers {
    /// Adds those of the next page.
    pub(super) fn add_page(&mut self, nodes: &[Node]) {
        self.pages.push(Vec::new());
        self.take(nodes);
    }

    fn take(&mut self, nodes: &[Node]) {
        for node in nodes {
            match node {
                Node::Group(group) => self.take(&group.children),
                Node::Mark(mark) => match &mark.shape {
                    Shape::Picture { picture, .. } => self.add(picture),
                    Shape::Box(_) | Shape::Path(_) | Shape::Glyph { .. } | Shape::Text { .. } => {}
                },
                // Music has none.
                Node::Inset(_) => {}
            }
        }
    }

    fn add(&mut self, picture: &Arc<Picture>) {
        if matches!(picture.form, PictureForm::Outlines(_)) {
            return;
        }
        let next = self.pictures.len();
        let number = *self.numbers.entry(Arc::as_ptr(picture) as usize).or_insert(next);
        if number == next {
            self.pictures.push(picture.clone());
        }
        if let Some(page) = self.pages.last_mut().filter(|page| !page.contains(&number)) {
            page.push(number);
        }
    }

    /// The number of a picture.
    pub(super) fn get(&self, picture: &Arc<Picture>) -> Option<usize> {
        self.numbers.get(&(Arc::as_ptr(picture) as usize)).copied()
    }

    /// Writes the pictures. Pages that show some have resources of their own, which are those that all share with the
    /// pictures' names: each with its place in the order.
    pub(super) fn write(
        &self,
        document: &mut Document,
        shared: &Dictionary,
    ) -> lopdf::Result<Vec<(usize, Object)>> {
        if self.pictures.is_empty() {
            return Ok(Vec::new());
        }
        let ids: Vec<Option<ObjectId>> =
            self.pictures.iter().map(|picture| object(document, picture)).collect();
        let resources = match shared.get(b"Resources")? {
            Object::Reference(id) => document.get_dictionary(*id)?,
            other => other.as_dict()?,
        };
        let pages = self.pages.iter().enumerate().filter(|(_, shown)| !shown.is_empty());
        let own = |(page, shown): (usize, &Vec<usize>)| {
            let mut named = Dictionary::new();
            for number in shown {
                if let Some(id) = ids.get(*number).copied().flatten() {
                    named.set(name(*number), id);
                }
            }
            let mut own = resources.clone();
            own.set("XObject", named);
            (page, own.into())
        };
        Ok(pages.map(own).collect())
    }
}

/// What pages call a picture.
pub(super) fn name(number: usize) -> String {
    format!("Picture{number}")
}

/// A picture as an object; nothing where its file does not read, which was told before.
fn object(document: &mut Document, picture: &Picture) -> Option<ObjectId> {
    let PictureForm::Pixels { format, pixels: (width, height), bytes } = &picture.form else {
        return None;
    };
    let image = |space: &str| {
        dictionary! {
            "Type" => "XObject",
            "Subtype" => "Image",
            "Width" => i64::from(*width),
            "Height" => i64::from(*height),
            "ColorSpace" => space,
            "BitsPerComponent" => 8,
        }
    };
    let jpeg = |space: &str| {
        let mut dict = image(space);
        dict.set("Filter", "DCTDecode");
        Stream::new(dict, bytes.to_vec()).with_compression(false)
    };
    let stream = match format {
        PixelFormat::JpegGrey => jpeg("DeviceGray"),
        PixelFormat::Jpeg => jpeg("DeviceRGB"),
        PixelFormat::Png => {
            let Samples { colours, opacity, space } = samples(bytes)?;
            let mut stream = compress::stream(colours).ok()?;
            stream.dict.extend(&image(space));
            if let Some(opacity) = opacity {
                let mut mask = compress::stream(opacity).ok()?;
                mask.dict.extend(&image("DeviceGray"));
                let mask = document.add_object(mask);
                stream.dict.set("SMask", mask);
            }
            stream
        }
    };
    Some(document.add_object(stream))
}

/// The samples of a PNG file, its opacity apart.
struct Samples {
    colours: Vec<u8>,
    opacity: Option<Vec<u8>>,
    space: &'static str,
}

fn samples(bytes: &[u8]) -> Option<Samples> {
    let mut decoder = png::Decoder::new(Cursor::new(bytes));
    decoder.set_transformations(png::Transformations::normalize_to_color8());
    let mut reader = decoder.read_info().ok()?;
    let mut all = vec![0; reader.output_buffer_size()?];
    let info = reader.next_frame(&mut all).ok()?;
    all.truncate(info.buffer_size());
    let (channels, space) = match info.color_type {
        png::ColorType::Grayscale => return Some(plain(all, "DeviceGray")),
        png::ColorType::Rgb => return Some(plain(all, "DeviceRGB")),
        png::ColorType::GrayscaleAlpha => (2, "DeviceGray"),
        png::ColorType::Rgba => (4, "DeviceRGB"),
        png::ColorType::Indexed => return None,
    };
    let mut colours = Vec::with_capacity(all.len());
    let mut opacity = Vec::with_capacity(all.len() / channels);
    for pixel in all.chunks_exact(channels) {
        let (own, opaque) = pixel.split_at(channels - 1);
        colours.extend_from_slice(own);
        opacity.extend_from_slice(opaque);
    }
    Some(Samples { colours, opacity: Some(opacity), space })
}

fn plain(colours: Vec<u8>, space: &'static str) -> Samples {
    Samples { colours, opacity: None, space }
}
