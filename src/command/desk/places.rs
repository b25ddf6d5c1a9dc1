//! What a desk has open: texts, a folder to choose them from, each under a token of its own.

use super::address::token;
use super::folder::Folder;
use super::holder::Holder;
use super::known::Known;
use super::news::News;
use super::presence::Presence;
use crate::command::args::Roots;
use crate::command::interrupt;
use crate::command::outcome::Failure;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use tokio::sync::watch;

/// What is at an address.
#[derive(Clone)]
pub enum Place {
    /// A text beside its pages.
    Text(Text),
    /// A folder of texts.
    Folder(Arc<Folder>),
    /// Why there is neither, in words.
    Trouble(Arc<str>),
}

/// A text on the desk.
#[derive(Clone)]
pub struct Text {
    holder: Arc<Mutex<Holder>>,
    /// What happened beside the page.
    pub news: watch::Sender<News>,
    /// The address of the folder from which it was opened, on this machine.
    pub folder: Option<Arc<str>>,
}

impl Text {
    fn of(holder: Holder, folder: Option<Arc<str>>) -> Self {
        let (news, _) = watch::channel(News { turn: 1, ..News::default() });
        Self { holder: Arc::new(Mutex::new(holder)), news, folder }
    }

    /// Its holder, as soon as nobody else has it.
    pub fn lock(&self) -> MutexGuard<'_, Holder> {
        self.holder.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// All that is open.
#[derive(Clone)]
pub struct Places {
    port: u16,
    open: Arc<Mutex<Open>>,
    /// Who is there.
    pub presence: Arc<Presence>,
}

#[derive(Default)]
struct Open {
    places: BTreeMap<String, Place>,
    /// The token of each file and folder.
    tokens: BTreeMap<PathBuf, String>,
    /// By what other runs of the program find them.
    known: Vec<Known>,
}

impl Places {
    /// Nothing yet, at a port.
    pub fn at(port: u16) -> Self {
        Self { port, open: Arc::default(), presence: Arc::default() }
    }

    /// The port.
    pub fn port(&self) -> u16 {
        self.port
    }

    fn lock(&self) -> MutexGuard<'_, Open> {
        self.open.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What is at a token.
    pub fn find(&self, token: &str) -> Option<Place> {
        self.lock().places.get(token).cloned()
    }

    /// The file or folder at a token.
    pub fn path(&self, token: &str) -> Option<PathBuf> {
        let open = self.lock();
        let found = open.tokens.iter().find(|(_, own)| *own == token);
        found.map(|(path, _)| path.clone())
    }

    /// Opens a file; the path of its address on this machine. One that is open stays as it is.
    pub fn open_text(
        &self,
        file: &Path,
        roots: &Roots,
        folder: Option<Arc<str>>,
    ) -> Result<String, Failure> {
        // However it is written, it is one file.
        let path = fs::canonicalize(file).unwrap_or_else(|_| file.to_path_buf());
        if let Some(token) = self.lock().tokens.get(&path) {
            return Ok(format!("/{token}/"));
        }
        let holder = Holder::open(file, roots)?;
        self.put(path, || Place::Text(Text::of(holder, folder)))
    }

    /// Opens a folder.
    pub fn open_folder(&self, folder: Folder) -> Result<String, Failure> {
        let path = folder.path().to_path_buf();
        self.put(path, || Place::Folder(Arc::new(folder)))
    }

    /// Says why nothing can be opened.
    pub fn open_trouble(&self, why: &str) -> Result<String, Failure> {
        let token = token()?;
        self.lock().places.insert(token.clone(), Place::Trouble(why.into()));
        Ok(format!("/{token}/"))
    }

    fn put(&self, path: PathBuf, place: impl FnOnce() -> Place) -> Result<String, Failure> {
        let mut open = self.lock();
        if let Some(token) = open.tokens.get(&path) {
            return Ok(format!("/{token}/"));
        }
        let token = token()?;
        open.known.extend(Known::tell(&path, self.port, &token));
        open.places.insert(token.clone(), place());
        open.tokens.insert(path, token.clone());
        Ok(format!("/{token}/"))
    }

    /// The texts that are open.
    pub fn texts(&self) -> Vec<Text> {
        let open = self.lock();
        let texts = open.places.values().filter_map(|place| match place {
            Place::Text(text) => Some(text.clone()),
            Place::Folder(_) | Place::Trouble(_) => None,
        });
        texts.collect()
    }

    /// Whether all texts are in their files.
    pub fn is_saved(&self) -> bool {
        self.texts().iter().all(|text| text.lock().is_saved())
    }

    /// Sees to it that an interrupted run asks first where something is not saved: a text that was just changed or
    /// saved is said to be so or not, and the others are asked only where it is.
    pub fn tell_unsaved(&self, is_saved: bool) {
        interrupt::ask_first(!is_saved || !self.is_saved());
    }
}
