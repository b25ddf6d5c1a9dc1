//! `lesson`: numbered sound files of each block, a playlist and a quiz.

use super::args::LessonWanted;
use super::clash;
use super::clash::Planned;
use super::files::Reader;
use super::fonts::FaceBox;
use super::heard::Heard;
use super::lesson_files::{ANSWERS, PAGE, PLAYLIST, SoundFiles, refuse_foreign};
use super::outcome::{Failure, Outcome};
use super::report;
use super::report::{Progress, plain, shown};
use super::standard::is_standard;
use super::writing::{Staged, Worth};
use flamacue::font::Fonts;
use flamacue::pages::flowing::{Flowing, FlowingItem, Music};
use flamacue::practice::{Lesson, Plan};
use flamacue::score::{LessonWords, Score};
use flamacue::sound::Kit;
use flamacue::source::Diagnostics;
use flamacue::write::flac::{Cover, Tags};
use flamacue::write::lesson::{LessonPage, SoundFileName, answers, cover, playlist};
use flamacue::write::{flac, mixer};
use std::path::{Path, PathBuf};

pub fn run(wanted: &LessonWanted) -> Result<Outcome, Failure> {
    let folder = folder(wanted)?;
    let reader = Reader::new(&wanted.roots);
    let mut faces = FaceBox::new(&wanted.fonts, &reader)?;
    let heard = Heard::new(&wanted.practising, &reader)?;
    let mut text = reader.text(&wanted.file)?;
    let mut diagnostics = Diagnostics::default();
    let budget = wanted.limit.of(&text.source);
    let score = flamacue::understand_within(&text.source, budget, &mut diagnostics);
    reader.add_pictures(&mut text, &score);
    let fonts = faces.of(&text, &score.header, &wanted.file, &mut diagnostics);
    let source = &text.source;
    let flowing = match diagnostics.has_errors() {
        true => None,
        false => flamacue::typeset_flowing(source, &score, fonts, None, &mut diagnostics),
    };
    report::findings(source, &diagnostics);
    let Some(flowing) = flowing.filter(|_| !diagnostics.has_errors()) else {
        return Ok(Outcome::Faults);
    };
    let lesson = heard.lesson(&score, source.name(), wanted.quiz)?;
    let files = SoundFiles::of(&lesson, &score);
    let room = LessonRoom { folder: &folder, score: &score, flowing: &flowing, fonts };
    room.refuse_clashes(&wanted.file, &files, &reader)?;
    std::fs::create_dir_all(&folder)
        .map_err(|e| Failure(format!("can't make the folder {}: {}", shown(&folder), plain(&e))))?;
    room.write(&lesson, &files, heard.into_kit())?;
    Ok(Outcome::Clean)
}

/// The folder a lesson goes to.
fn folder(wanted: &LessonWanted) -> Result<PathBuf, Failure> {
    if let Some(folder) = &wanted.output {
        return match is_standard(folder) {
            true => Err(Failure::new("a lesson is many files: give a folder after -o")),
            false => Ok(folder.clone()),
        };
    }
    if is_standard(&wanted.file) {
        return Err(Failure::new("say where the lesson goes: give a folder after -o"));
    }
    let stem = wanted.file.file_stem();
    let stem =
        stem.ok_or_else(|| Failure(format!("{} is not the name of a file", shown(&wanted.file))))?;
    Ok(wanted.file.with_file_name(format!("{}-lesson", stem.to_string_lossy())))
}

/// Where a lesson goes, and what its files are made of.
struct LessonRoom<'a> {
    folder: &'a Path,
    score: &'a Score,
    flowing: &'a Flowing,
    fonts: &'a Fonts,
}

impl LessonRoom<'_> {
    fn refuse_clashes(
        &self,
        text: &Path,
        files: &SoundFiles,
        reader: &Reader<'_>,
    ) -> Result<(), Failure> {
        let answers = files.quiz.iter().map(|_| ANSWERS);
        let names =
            files.all().map(|file| file.file.as_str()).chain(answers).chain([PLAYLIST, PAGE]);
        let paths: Vec<PathBuf> = names.map(|name| self.folder.join(name)).collect();
        let of = shown(text);
        let planned = paths.iter().map(|path| Planned { path: path.clone(), of: of.clone() });
        clash::refuse(&planned.collect::<Vec<_>>(), &reader.files())?;
        refuse_foreign(&paths)
    }

    /// Writes all files, none in its place before the last is whole.
    fn write(&self, lesson: &Lesson, files: &SoundFiles, mut kit: Kit) -> Result<(), Failure> {
        let mut staged = Staged::new(Worth::Made);
        let mut progress = Progress::new(files.all().count());
        let own = lesson.tracks.iter().map(|track| (&track.plan, Some(track.item)));
        let rest = lesson.recap.iter().chain(lesson.quiz.iter().map(|quiz| &quiz.plan));
        let plans = own.chain(rest.map(|plan| (plan, None)));
        for (number, (file, (plan, item))) in (1..).zip(files.all().zip(plans)) {
            progress.next(&file.file);
            let cover = item.map(|item| self.cover(item)).transpose()?.flatten();
            let tags = Tags { track: Some(number), cover, ..self.tags(file) };
            self.record(&mut staged, (plan, &mut kit), file, &tags)?;
        }
        let names: Vec<SoundFileName> = files.all().cloned().collect();
        let list = playlist(&self.score.header, &names);
        staged.add(&self.folder.join(PLAYLIST), list.as_bytes())?;
        if let Some((quiz, name)) = lesson.quiz.as_ref().zip(files.quiz.as_ref()) {
            let text = answers(&self.score.header, name, &quiz.questions, &files.tracks);
            staged.add(&self.folder.join(ANSWERS), text.as_bytes())?;
        }
        let page = self.page(lesson, &names, &mut kit)?;
        staged.add(&self.folder.join(PAGE), page.as_bytes())?;
        staged.commit()
    }

    fn record(
        &self,
        staged: &mut Staged,
        (plan, kit): (&Plan, &mut Kit),
        file: &SoundFileName,
        tags: &Tags,
    ) -> Result<(), Failure> {
        staged.add_with(&self.folder.join(&file.file), |to| {
            flac::write(&mut mixer(plan, kit), tags, to).map_err(|e| e.to_string())
        })
    }

    fn tags(&self, file: &SoundFileName) -> Tags {
        let header = &self.score.header;
        let words = LessonWords::of(header.language.as_deref());
        let album = header.title.clone().unwrap_or_else(|| words.lesson.to_owned());
        Tags {
            title: Some(file.title.clone()),
            artist: header.author.clone(),
            album: Some(album),
            ..Tags::default()
        }
    }

    fn page(
        &self,
        lesson: &Lesson,
        files: &[SoundFileName],
        kit: &mut Kit,
    ) -> Result<String, Failure> {
        let answers = lesson.quiz.as_ref().map(|_| ANSWERS);
        let page = LessonPage { flowing: self.flowing, lesson, files, answers };
        page.write(self.fonts, kit).map_err(Failure::new)
    }

    /// The notes of an item as a picture.
    fn cover(&self, item: usize) -> Result<Option<Cover>, Failure> {
        match music(self.flowing, item) {
            Some(music) => cover(music, self.fonts).map_err(Failure::new),
            None => Ok(None),
        }
    }
}

/// The picture of an item of the score.
fn music(flowing: &Flowing, item: usize) -> Option<&Music> {
    flowing.items.iter().find_map(|own| match own {
        FlowingItem::Music(music) if music.item == Some(item) => Some(&**music),
        FlowingItem::Music(_) | FlowingItem::Heading { .. } | FlowingItem::Prose(_) => None,
    })
}
