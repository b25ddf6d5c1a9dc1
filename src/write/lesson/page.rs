//! The web page of a lesson: the text as a web page on which each block has buttons and its notes light up.
//! All it needs stands in it.

use super::block_cues::{BlockCues, blocks};
use super::texts::{MADE_BY, SoundFileName};
use super::voices::{SampledVoices, VoiceDump};
use crate::film::Line;
use crate::font::Fonts;
use crate::pages::flowing::{Flowing, FlowingItem, Music};
use crate::practice::{Lesson, Pass};
use crate::score::LessonWords;
use crate::sound::Kit;
use crate::write::error::WriteError;
use crate::write::html::{Additions, POLICY, called, escape, write_with};
use crate::write::script::{MOTION, MOTION_STYLE, PLAYER, PLAYER_STYLE, TRANSPORT};
use serde::Serialize;
use std::collections::BTreeMap;

/// The slowest and the fastest a block may be played, of its tempo. Common practice, no source.
const SLOWEST: f64 = 0.4;
const FASTEST: f64 = 1.5;

/// What a lesson's page is made of.
pub struct LessonPage<'a> {
    /// The text.
    pub flowing: &'a Flowing,
    /// What is heard.
    pub lesson: &'a Lesson,
    /// The sound files beside the page.
    pub files: &'a [SoundFileName],
    /// The name of the file with the answers of the quiz, where there is one.
    pub answers: Option<&'a str>,
}

#[derive(Serialize)]
struct LessonDump {
    voices: Vec<VoiceDump>,
    blocks: Vec<BlockCues>,
}

impl LessonPage<'_> {
    /// The page, played on a kit.
    ///
    /// # Errors
    /// Says which face could not be embedded.
    pub fn write(&self, fonts: &Fonts, kit: &mut Kit) -> Result<String, WriteError> {
        let words = self.words();
        let additions = Additions {
            head: format!("{POLICY}<meta name=\"generator\" content=\"{MADE_BY}\">\n"),
            style: [MOTION_STYLE, PLAYER_STYLE].concat(),
            lead: format!(
                "<p class=\"caution\">{}</p>\n<p id=\"no-sound\" role=\"alert\" hidden>{}</p>\n",
                escape(words.caution),
                escape(words.silent)
            ),
            in_figures: self.all_controls(),
            end: self.links(),
            script: self.script(fonts, kit)?,
        };
        write_with(self.flowing, fonts, &additions)
    }

    fn words(&self) -> &'static LessonWords {
        LessonWords::of(self.flowing.header.language.as_deref())
    }

    /// The buttons of each block, by its item.
    fn all_controls(&self) -> BTreeMap<usize, String> {
        let passes = self.lesson.played.passes.iter().enumerate();
        let controls = |(number, pass): (usize, &Pass)| {
            Some((pass.item, self.controls(number, pass, self.music(pass.item)?)))
        };
        passes.filter_map(controls).collect()
    }

    fn music(&self, item: usize) -> Option<&Music> {
        self.flowing.items.iter().find_map(|own| match own {
            FlowingItem::Music(music) => (music.item == Some(item)).then_some(&**music),
            FlowingItem::Heading { .. } | FlowingItem::Prose(_) => None,
        })
    }

    /// The lines of a block's pictures.
    fn lines(&self, item: usize, fonts: &Fonts) -> Vec<Vec<Line>> {
        let pictures = self.music(item).map(|music| &music.pictures[..]).unwrap_or_default();
        pictures.iter().map(|picture| Line::all(&picture.flat(), fonts)).collect()
    }

    fn controls(&self, number: usize, pass: &Pass, music: &Music) -> String {
        let words = self.words();
        let (called, tempo) = (escape(&called(music)), pass.tempo().round());
        let (slowest, fastest) = ((tempo * SLOWEST).floor().max(10.0), fastest(pass, tempo));
        let check = |class: &str, words: &str, checked: &str| {
            format!(
                "<label><input type=\"checkbox\" class=\"{class}\"{checked} autocomplete=\"off\">{}</label>\n",
                escape(words)
            )
        };
        let [play, stop, beats] = [words.play, words.stop, words.beats].map(escape);
        format!(
            "<div class=\"controls\" role=\"group\" aria-label=\"{called}\" data-block=\"{number}\" hidden>\n\
             <button type=\"button\" class=\"play\" data-play=\"{play}\" data-stop=\"{stop}\">\
             <span class=\"label\">{play}</span><span class=\"unseen\"> {called}</span></button>\n\
             {}{}{}\
             <label>{}<input type=\"range\" class=\"tempo\" min=\"{slowest}\" max=\"{fastest}\" step=\"1\" \
             value=\"{tempo}\" aria-valuetext=\"{tempo} {beats}\" data-unit=\"{beats}\" autocomplete=\"off\">\
             <output class=\"shown\" aria-hidden=\"true\">{tempo}</output></label>\n\
             <span class=\"counted\" aria-hidden=\"true\"></span>\n</div>\n",
            check("loop", words.repeat, ""),
            check("click", words.click, ""),
            check("intro", words.count_in, " checked"),
            escape(words.tempo),
        )
    }

    /// The sound files, as a list of links.
    fn links(&self) -> String {
        let words = self.words();
        let link = |file: &str, title: &str| {
            format!("<li><a href=\"{}\">{}</a></li>\n", escape(&address(file)), escape(title))
        };
        let files = self.files.iter().map(|own| link(&own.file, &own.title));
        let answers = self.answers.map(|file| link(file, words.answers));
        let list: String = files.chain(answers).collect();
        format!("<h2>{}</h2>\n<ul class=\"files\">\n{list}</ul>\n", escape(words.files))
    }

    fn script(&self, fonts: &Fonts, kit: &mut Kit) -> Result<String, WriteError> {
        let mut voices = SampledVoices::default();
        let blocks = blocks(&self.lesson.played, &mut voices, |item| self.lines(item, fonts));
        let dump = LessonDump { voices: voices.dump(kit)?, blocks };
        // Strings, finite numbers and lists of them have no way to fail.
        let data = serde_json::to_string(&dump).unwrap_or_default();
        // What is in strings can't end the element it stands in.
        let data = data.replace('<', "\\u003c");
        Ok(format!(
            "<script type=\"application/json\" id=\"lesson-data\">{data}</script>\n\
             <script>\n\"use strict\";\n{MOTION}\n{TRANSPORT}\n{PLAYER}</script>\n"
        ))
    }
}

/// The fastest a block may be played: a good deal over its tempo and over its goal.
fn fastest(pass: &Pass, tempo: f64) -> f64 {
    let settings = &pass.block.settings;
    let range = settings.tempo.as_ref().and_then(|tempo| tempo.up_to);
    let goal = settings.goal.as_ref().map(|goal| goal.per_minute);
    [range, goal].into_iter().flatten().fold((tempo * FASTEST).ceil(), f64::max)
}

/// The address of a file beside the page (RFC 3986): all but unreserved letters as their bytes.
fn address(file: &str) -> String {
    let mut address = String::new();
    for byte in file.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => {
                address.push(char::from(byte));
            }
            _ => address.push_str(&format!("%{byte:02X}")),
        }
    }
    address
}

#[cfg(test)]
mod tests {
    use super::address;

    #[test]
    fn names_of_files_are_addresses() {
        assert_eq!(address("01-a.flac"), "01-a.flac");
        assert_eq!(address("Größe 1#?.flac"), "Gr%C3%B6%C3%9Fe%201%23%3F.flac");
    }
}
