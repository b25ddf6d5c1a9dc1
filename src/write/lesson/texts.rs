//! The playlist, and the answers of the quiz.

use crate::practice::QuizQuestion;
use crate::score::{Header, LessonWords};

/// What the files of a lesson say of themselves; by it they are known when a lesson is made again.
pub const MADE_BY: &str = "Made by Flamacue; the next lesson in this folder replaces it.";

/// A sound file of a lesson.
#[derive(Clone, Debug, PartialEq)]
pub struct SoundFileName {
    /// Its name in the folder.
    pub file: String,
    /// What is heard.
    pub title: String,
    /// How long it is.
    pub seconds: f64,
}

/// A playlist of the files in their order: extended M3U, in UTF-8.
#[must_use]
pub fn playlist(header: &Header, files: &[SoundFileName]) -> String {
    let words = LessonWords::of(header.language.as_deref());
    let title = header.title.as_deref().unwrap_or(words.lesson);
    let author = header.author.as_ref().map(|author| format!("{} - ", one_line(author)));
    let author = author.unwrap_or_default();
    let mut list = format!("#EXTM3U\n# {MADE_BY}\n#PLAYLIST:{}\n", one_line(title));
    for SoundFileName { file, title, seconds } in files {
        let title = one_line(title);
        list.push_str(&format!("#EXTINF:{seconds:.0},{author}{title}\n{file}\n"));
    }
    list
}

/// The answers of the quiz, each with the time at which it is asked.
#[must_use]
pub fn answers(
    header: &Header,
    quiz: &SoundFileName,
    questions: &[QuizQuestion],
    tracks: &[SoundFileName],
) -> String {
    let words = LessonWords::of(header.language.as_deref());
    let title = header.title.as_deref().unwrap_or(words.lesson);
    let head = format!("{} - {} ({})\n{MADE_BY}\n\n", one_line(title), words.answers, quiz.file);
    let line = |(number, question): (usize, &QuizQuestion)| {
        let answer = tracks.get(question.track).map(|track| one_line(&track.title));
        let (minutes, seconds) = minutes(question.seconds);
        format!("{number:>3}. {minutes}:{seconds:02}  {}\n", answer.unwrap_or_default())
    };
    head + &(1..).zip(questions).map(line).collect::<String>()
}

/// Whole minutes and seconds.
fn minutes(seconds: f64) -> (u64, u64) {
    // At most half a day.
    let whole = seconds as u64;
    (whole / 60, whole % 60)
}

/// Words on one line.
fn one_line(words: &str) -> String {
    words.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(file: &str, title: &str, seconds: f64) -> SoundFileName {
        SoundFileName { file: file.into(), title: title.into(), seconds }
    }

    #[test]
    fn texts_keep_to_their_lines() {
        let header = Header { author: Some("A\nB".into()), ..Header::default() };
        let files = [file("01-a.flac", "1 A\n#EXTM3U", 61.4), file("02-b.flac", "B", 3.5)];
        assert_eq!(
            playlist(&header, &files),
            format!(
                "#EXTM3U\n# {MADE_BY}\n#PLAYLIST:Lesson\n#EXTINF:61,A B - 1 A #EXTM3U\n01-a.flac\n\
                 #EXTINF:4,A B - B\n02-b.flac\n"
            )
        );
        let asked = [(1, 0.5), (0, 75.2)].map(|(track, seconds)| QuizQuestion { track, seconds });
        assert_eq!(
            answers(&header, &file("03-quiz.flac", "Quiz", 90.0), &asked, &files),
            format!(
                "Lesson - Answers of the quiz (03-quiz.flac)\n{MADE_BY}\n\n  1. 0:00  B\n  2. 1:15  1 A #EXTM3U\n"
            )
        );
    }
}
