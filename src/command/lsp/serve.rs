//! The conversation with the editor.

use super::answer::{Refusal, answer};
use super::books::{Books, key};
use super::capabilities;
use super::inbox::Inbox;
use super::publish::Published;
use super::uri;
use crate::command::args::{Lsp, Roots};
use crate::command::outcome::{Failure, Outcome};
use flamacue::font::Fonts;
use lsp_server::{Connection, ErrorCode, Message, Notification, Request, RequestId, Response};
use lsp_types::{
    DidChangeTextDocumentParams, DidChangeWatchedFilesParams, DidCloseTextDocumentParams,
    DidOpenTextDocumentParams, InitializeParams,
};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use std::sync::Arc;

/// The files whose changes on the disk the editor is asked to tell of.
const WATCHED: &str = "**/*.{flam,otf,ttf,ttc}";

pub fn run(wanted: &Lsp) -> Result<Outcome, Failure> {
    let fonts = Arc::new(Fonts::built_in().map_err(Failure::new)?);
    let (connection, threads) = Connection::stdio();
    let outcome = converse(&connection, fonts, &wanted.roots);
    // Its threads end when nothing can be sent any more.
    drop(connection);
    // What an editor that is gone did not read is nobody's loss.
    let _ = threads.join();
    outcome
}

fn converse(connection: &Connection, fonts: Arc<Fonts>, roots: &Roots) -> Result<Outcome, Failure> {
    // An editor that goes before it has begun is as good as one that says good-bye.
    let Ok((id, params)) = connection.initialize_start() else { return Ok(Outcome::Clean) };
    let client = serde_json::from_value::<InitializeParams>(params)
        .map_err(|error| Failure(format!("the editor does not say what it can do: {error}")))?
        .capabilities;
    let encoding = capabilities::encoding(&client);
    let about = json!({
        "capabilities": capabilities::capabilities(encoding),
        "serverInfo": { "name": "flamacue", "version": env!("CARGO_PKG_VERSION") },
    });
    if connection.initialize_finish(id, about).is_err() {
        return Ok(Outcome::Clean);
    }
    if capabilities::watches_files(&client) {
        connection.sender.send(watch_files().into()).ok();
    }
    let roots = Roots { root: roots.root.clone() };
    let mut server = Server {
        connection,
        inbox: Inbox::new(connection),
        books: Books::new(fonts, roots, encoding),
        published: Published::default(),
        versions: capabilities::takes_versions(&client),
        stale: false,
        ending: false,
    };
    Ok(server.serve())
}

/// Asks the editor to tell of files that change on the disk.
fn watch_files() -> Request {
    let watchers = json!({ "watchers": [{ "globPattern": WATCHED }] });
    let registration = json!({
        "id": "files",
        "method": "workspace/didChangeWatchedFiles",
        "registerOptions": watchers,
    });
    let params = json!({ "registrations": [registration] });
    Request::new(RequestId::from(1), "client/registerCapability".to_owned(), params)
}

struct Server<'a> {
    connection: &'a Connection,
    inbox: Inbox<'a>,
    books: Books,
    published: Published,
    /// The editor takes changes with the numbers of states.
    versions: bool,
    /// The editor was not told yet what its last edits came to.
    stale: bool,
    /// The editor has said good-bye.
    ending: bool,
}

impl Server<'_> {
    fn serve(&mut self) -> Outcome {
        loop {
            let message = match self.inbox.try_next() {
                Some(message) => Some(message),
                None => {
                    self.publish();
                    // Where an edit came in meanwhile, it is next.
                    self.inbox.next()
                }
            };
            match message {
                Some(Message::Request(request)) => self.request(request),
                Some(Message::Notification(note)) if note.method == "exit" => break,
                Some(Message::Notification(note)) => self.note(note),
                Some(Message::Response(_)) => {}
                None => break,
            }
        }
        if self.ending { Outcome::Clean } else { Outcome::Faults }
    }

    fn send(&self, message: impl Into<Message>) {
        // An editor that is gone can't be told anything; the next message it does not send ends the loop.
        let _ = self.connection.sender.send(message.into());
    }

    /// Tells what the last edits came to, unless another edit waits.
    fn publish(&mut self) {
        if self.stale && self.books.update(&|| self.inbox.has_edit()).is_ok() {
            self.tell();
        }
    }

    /// Tells what is new of texts that were looked at.
    fn tell(&mut self) {
        if !std::mem::take(&mut self.stale) {
            return;
        }
        for params in self.published.news(&self.books) {
            let params = serde_json::to_value(params).unwrap_or_default();
            self.send(Notification { method: "textDocument/publishDiagnostics".into(), params });
        }
    }

    fn request(&mut self, request: Request) {
        let Request { id, method, params, .. } = request;
        if method == "shutdown" {
            self.ending = true;
            self.send(Response::new_ok(id, Value::Null));
            return;
        }
        let refuse =
            |code: ErrorCode, why: &str| Response::new_err(id.clone(), code as i32, why.to_owned());
        let response = if self.ending {
            refuse(ErrorCode::InvalidRequest, "the server is about to end")
        } else if self.inbox.is_cancelled(&id) {
            refuse(ErrorCode::RequestCanceled, "it was cancelled")
        } else if self.books.update(&|| self.inbox.has_edit()).is_err() {
            refuse(ErrorCode::ContentModified, "the text was changed meanwhile")
        } else {
            // What was asked after an edit is answered after what the edit came to is told.
            self.tell();
            match answer(&self.books, self.versions, &method, params) {
                Ok(value) => Response::new_ok(id.clone(), value),
                Err(Refusal::Unknown) => {
                    refuse(ErrorCode::MethodNotFound, "there is no such request")
                }
                Err(Refusal::Wrong(why)) => refuse(ErrorCode::InvalidParams, &why),
                Err(Refusal::Refused(why)) => refuse(ErrorCode::RequestFailed, &why),
            }
        };
        self.send(response);
    }

    fn note(&mut self, note: Notification) {
        match note.method.as_str() {
            "textDocument/didOpen" => {
                let Some(params) = read::<DidOpenTextDocumentParams>(note.params) else { return };
                let text = params.text_document;
                self.published.forget(&key(&text.uri));
                self.books.open(text.uri, text.version, text.text);
            }
            "textDocument/didChange" => {
                let Some(params) = read::<DidChangeTextDocumentParams>(note.params) else { return };
                let text = params.text_document;
                self.books.change(&text.uri, text.version, params.content_changes);
            }
            "textDocument/didClose" => {
                let Some(params) = read::<DidCloseTextDocumentParams>(note.params) else { return };
                self.books.close(&params.text_document.uri);
            }
            "textDocument/didSave" => self.books.look_at_disk(),
            "workspace/didChangeWatchedFiles" => {
                let Some(params) = read::<DidChangeWatchedFilesParams>(note.params) else { return };
                let paths =
                    params.changes.iter().filter_map(|change| uri::path(change.uri.as_str()));
                paths.for_each(|path| self.books.changed_on_disk(&path));
            }
            _ => return,
        }
        self.stale = true;
    }
}

/// The parameters of a note; one that makes no sense is passed over, as nobody waits for an answer.
fn read<T: DeserializeOwned>(params: Value) -> Option<T> {
    serde_json::from_value(params).ok()
}
