//! Messages that wait.

use lsp_server::{Connection, Message, RequestId};
use std::collections::VecDeque;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// The messages of the editor, which can be looked at before they are taken.
pub struct Inbox<'a> {
    connection: &'a Connection,
    waiting: Mutex<VecDeque<Message>>,
}

impl<'a> Inbox<'a> {
    pub fn new(connection: &'a Connection) -> Self {
        Self { connection, waiting: Mutex::default() }
    }

    /// The next message; nothing where the editor is gone.
    pub fn next(&self) -> Option<Message> {
        let waiting = self.lock().pop_front();
        waiting.or_else(|| self.connection.receiver.recv().ok())
    }

    /// The next message that is there already.
    pub fn try_next(&self) -> Option<Message> {
        self.look().pop_front()
    }

    /// Whether an edit waits, so that nobody needs what is made of the text before it.
    pub fn has_edit(&self) -> bool {
        let is_edit = |message: &Message| match message {
            Message::Notification(note) => {
                matches!(note.method.as_str(), "textDocument/didChange" | "textDocument/didClose")
            }
            Message::Request(_) | Message::Response(_) => false,
        };
        self.look().iter().any(is_edit)
    }

    /// Whether the editor does not wait any more for the answer to a request.
    pub fn is_cancelled(&self, id: &RequestId) -> bool {
        let is_it = |message: &Message| match message {
            Message::Notification(note) if note.method == "$/cancelRequest" => {
                note.params.get("id") == serde_json::to_value(id).ok().as_ref()
            }
            Message::Notification(_) | Message::Request(_) | Message::Response(_) => false,
        };
        self.look().iter().any(is_it)
    }

    /// All messages that are there.
    fn look(&self) -> MutexGuard<'_, VecDeque<Message>> {
        let mut waiting = self.lock();
        while let Ok(message) = self.connection.receiver.try_recv() {
            waiting.push_back(message);
        }
        waiting
    }

    fn lock(&self) -> MutexGuard<'_, VecDeque<Message>> {
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
