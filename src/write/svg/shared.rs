//! Pictures that stand in one web page.

use super::ink;
use super::options::SvgOptions;
use super::used::{FaceFile, Used, family};
use crate::drawing::Page;
use crate::font::{FaceStyle, Fonts};
use crate::write::error::WriteError;

/// Pictures that stand in one web page and share their outlines and faces; words are text.
pub(in crate::write) struct SharedPictures<'a> {
    fonts: &'a Fonts,
    used: Used,
}

impl<'a> SharedPictures<'a> {
    pub(in crate::write) fn new(fonts: &'a Fonts) -> Self {
        Self { fonts, used: Used::default() }
    }

    /// What stands inside a picture's `<svg>`.
    pub(in crate::write) fn draw(&mut self, page: &Page) -> String {
        let options = SvgOptions { live_text: true };
        ink::draw(page, None, (self.fonts, options), &mut self.used)
    }

    /// Takes the letters of words outside of pictures, in every face of words.
    pub(in crate::write) fn letters(&mut self, words: &str) {
        for style in
            [FaceStyle::Regular, FaceStyle::Semibold, FaceStyle::Italic, FaceStyle::SemiboldItalic]
        {
            self.used.say(words, style, self.fonts);
        }
    }

    /// Takes the letters of code.
    pub(in crate::write) fn code_letters(&mut self, code: &str) {
        self.used.say(code, FaceStyle::Mono, self.fonts);
    }

    /// An unseen `<svg>` with the outlines all pictures use.
    pub(in crate::write) fn definitions(&self) -> String {
        let definitions = self.used.definitions(self.fonts).map(|d| d.to_string());
        let definitions = definitions.unwrap_or_default();
        format!("<svg class=\"defs\" aria-hidden=\"true\">{definitions}</svg>\n")
    }

    /// The families in use of a style, as a style sheet lists them.
    pub(in crate::write) fn families(&self, style: FaceStyle) -> String {
        let deepest = self.used.live.keys().map(|(_, depth)| *depth).max().unwrap_or(0);
        let quoted = (0..=deepest).map(|depth| format!("\"{}\"", family(style, depth)));
        let quoted: Vec<String> = quoted.collect();
        quoted.join(",")
    }

    /// What is drawn from here on stands in another file, with outlines of its own; faces are shared on.
    pub(in crate::write) fn next_file(&mut self) {
        self.used.music.clear();
        self.used.letters.clear();
    }

    /// The faces in use as files, and the rule of a style sheet that names each by a number from 1.
    pub(in crate::write) fn face_files(&self) -> Result<Vec<FaceFile>, WriteError> {
        self.used.face_files(self.fonts)
    }

    /// The style sheet of the faces in use.
    pub(in crate::write) fn faces(&self) -> Result<String, WriteError> {
        self.used.face_rules(self.fonts)
    }
}
