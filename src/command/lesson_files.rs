//! The folder of a lesson: its files, and which of those that are there may be replaced.

use super::outcome::Failure;
use super::plan::file_words;
use super::report::{plain, shown};
use flamacue::pages::picture_name;
use flamacue::practice::{Lesson, Plan, Track};
use flamacue::score::{LessonWords, PlacedBlock, Score};
use flamacue::write::lesson::{MADE_BY, SoundFileName};
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

/// The names of what stands beside the sound files.
pub const PLAYLIST: &str = "lesson.m3u8";
pub const PAGE: &str = "index.html";
pub const ANSWERS: &str = "quiz-answers.txt";

/// So much of a file is read to know whether a lesson made it; each says so at its head.
const HEAD: u64 = 4_096;
/// What FLAC files say of themselves.
const VENDOR: &str = "Flamacue";

/// The sound files of a lesson.
pub struct SoundFiles {
    /// Of each track.
    pub tracks: Vec<SoundFileName>,
    pub recap: Option<SoundFileName>,
    pub quiz: Option<SoundFileName>,
}

impl SoundFiles {
    pub fn of(lesson: &Lesson, score: &Score) -> Self {
        let words = LessonWords::of(score.header.language.as_deref());
        let blocks: Vec<&PlacedBlock> =
            lesson.tracks.iter().filter_map(|track| block(score, track)).collect();
        let count = blocks.len() + lesson.recap.iter().len() + lesson.quiz.iter().len();
        let digits = count.to_string().len().max(2);
        let numbered = |number: usize, word: &str, title: String, plan: &Plan| SoundFileName {
            file: format!("{number:0digits$}-{word}.flac"),
            title,
            seconds: plan.seconds(),
        };
        let names: Vec<String> =
            blocks.iter().enumerate().map(|(at, block)| picture_name(block, at)).collect();
        let file_words = file_words(names.iter().map(String::as_str));
        let tracks: Vec<SoundFileName> = (1..)
            .zip(blocks.iter().zip(&file_words).zip(&lesson.tracks))
            .map(|(number, ((block, word), track))| {
                numbered(number, word, title(block), &track.plan)
            })
            .collect();
        let after = tracks.len() + 1;
        let recap = lesson.recap.as_ref();
        let recap = recap.map(|plan| numbered(after, "recap", words.recap.to_owned(), plan));
        let quiz = lesson.quiz.as_ref();
        let quiz = quiz.map(|quiz| numbered(after + 1, "quiz", words.quiz.to_owned(), &quiz.plan));
        Self { tracks, recap, quiz }
    }

    /// All of them, in order.
    pub fn all(&self) -> impl Iterator<Item = &SoundFileName> {
        self.tracks.iter().chain(&self.recap).chain(&self.quiz)
    }
}

fn block<'a>(score: &'a Score, track: &Track) -> Option<&'a PlacedBlock> {
    score.items.get(track.item)?.block()
}

/// What a block is called: its number and its title, or its name.
fn title(block: &PlacedBlock) -> String {
    let called = block.title.clone().or_else(|| block.name.clone());
    let words: Vec<String> = block.printed_number().into_iter().chain(called).collect();
    if words.is_empty() { block.word.as_str().to_owned() } else { words.join(" ") }
}

/// Refuses to replace a file that no lesson has made.
pub fn refuse_foreign(paths: &[PathBuf]) -> Result<(), Failure> {
    for path in paths {
        let is_ours = is_ours(path)
            .map_err(|e| Failure(format!("can't write {}: {}", shown(path), plain(&e))))?;
        if !is_ours {
            return Err(Failure(format!(
                "{} is there already, and no lesson has made it; nothing was written. Give another folder with -o",
                shown(path)
            )));
        }
    }
    Ok(())
}

/// Whether a lesson has made a file, or there is none.
fn is_ours(path: &Path) -> std::io::Result<bool> {
    let file = match File::open(path) {
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(true),
        opened => opened?,
    };
    if !file.metadata()?.is_file() {
        return Ok(false);
    }
    let mut head = Vec::new();
    file.take(HEAD).read_to_end(&mut head)?;
    let holds = |words: &str| head.windows(words.len()).any(|found| found == words.as_bytes());
    Ok(holds(MADE_BY) || (head.starts_with(b"fLaC") && holds(VENDOR)))
}
