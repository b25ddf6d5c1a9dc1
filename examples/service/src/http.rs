//! Requests and answers.

use crate::bounds::{Bounds, RETRY_AFTER, TEXT_BYTES};
use crate::form::Form;
use crate::make::{Made, Outcome, Wanted};
use crate::page_request;
use crate::workers::{Unanswered, Workers};
use http_body_util::{BodyExt as _, Full};
use hyper::body::{Body as _, Bytes, Incoming};
use hyper::header::{self, HeaderMap, HeaderName, HeaderValue};
use hyper::{Method, Request, Response, StatusCode};
use std::sync::atomic::{AtomicBool, Ordering};

/// What an answer was made of: the digest of the text, its form and its page.
const MADE_OF: HeaderName = HeaderName::from_static("made-of");
/// How many pages the text makes.
const PAGES: HeaderName = HeaderName::from_static("pages");
/// A page of a stranger's text reaches for nothing, wherever it is shown.
const REACHES_NOTHING: &str = "sandbox; default-src 'none'; style-src 'unsafe-inline'";

/// Bytes of a text that are read, though no more than a text's are kept. Common practice, no source.
const PASSED_OVER: usize = 4 * TEXT_BYTES;

pub type Answer = Response<Full<Bytes>>;

/// All that requests are answered with.
pub struct Service {
    pub workers: Workers,
    pub bounds: Bounds,
    /// No further text is taken.
    pub stopping: AtomicBool,
}

impl Service {
    pub async fn answer(&self, request: Request<Incoming>) -> Answer {
        match (request.uri().path(), request.method()) {
            ("/", &Method::POST) => self.text(request).await.unwrap_or_else(|refused| refused),
            ("/ready", &Method::GET) => self.ready(),
            ("/", _) => not_allowed("POST"),
            ("/ready", _) => not_allowed("GET"),
            _ => said(StatusCode::NOT_FOUND, "POST a text to /, or GET /ready\n"),
        }
    }

    fn ready(&self) -> Answer {
        if self.stopping.load(Ordering::Relaxed) {
            busy("stopping\n")
        } else if self.workers.has_room() {
            said(StatusCode::OK, "ready\n")
        } else {
            busy("as many texts wait as may\n")
        }
    }

    async fn text(&self, request: Request<Incoming>) -> Result<Answer, Answer> {
        // A connection that is ended with bytes unread can lose its last answer, so that the text is read first.
        let (head, body) = request.into_parts();
        let text = self.body(body).await?;
        let bad = |why: String| said(StatusCode::BAD_REQUEST, why);
        let page = page_request::page(head.uri.query()).map_err(bad)?;
        let form = form(&head.headers).ok_or_else(not_acceptable)?;
        let made = self.workers.answer(Wanted { text, form, page }).await;
        made.map(|made| finished(made, form)).map_err(unanswered)
    }

    /// The text of a request, as it arrives.
    async fn body(&self, body: Incoming) -> Result<Vec<u8>, Answer> {
        // What is announced as far too long is not waited for.
        if usize::try_from(body.size_hint().lower()).is_ok_and(|bytes| bytes <= PASSED_OVER) {
            let arrived = tokio::time::timeout(self.bounds.send, read(body)).await;
            arrived.unwrap_or(Err(Unread::Late)).map_err(unread)
        } else {
            Err(unread(Unread::TooLong))
        }
    }
}

/// Why there is no text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Unread {
    TooLong,
    Late,
    Broken,
}

/// A text; of one that is too long a little more is read and passed over, so that who sends it hears why.
async fn read(mut body: Incoming) -> Result<Vec<u8>, Unread> {
    let (mut text, mut arrived) = (Vec::new(), 0);
    while let Some(frame) = body.frame().await {
        // What is no data is a trailer.
        let Ok(piece) = frame.map_err(|_| Unread::Broken)?.into_data() else { continue };
        arrived += piece.len();
        if arrived > PASSED_OVER {
            return Err(Unread::TooLong);
        } else if arrived > TEXT_BYTES {
            text = Vec::new();
        } else {
            text.extend_from_slice(&piece);
        }
    }
    if arrived > TEXT_BYTES { Err(Unread::TooLong) } else { Ok(text) }
}

fn unread(why: Unread) -> Answer {
    match why {
        Unread::TooLong => {
            let why = format!("a text has at most {TEXT_BYTES} bytes\n");
            said(StatusCode::PAYLOAD_TOO_LARGE, why)
        }
        Unread::Late => said(StatusCode::REQUEST_TIMEOUT, "the text took too long to arrive\n"),
        Unread::Broken => said(StatusCode::BAD_REQUEST, "the text did not arrive whole\n"),
    }
}

/// The form that is liked best of those there are; nothing where there is none of those.
fn form(headers: &HeaderMap) -> Option<Form> {
    let mut accepts = headers.get_all(header::ACCEPT).iter().peekable();
    if accepts.peek().is_none() {
        return Some(Form::Pdf);
    }
    let accepts: Vec<&str> = accepts.filter_map(|accept| accept.to_str().ok()).collect();
    Form::accepted(&accepts.join(","))
}

fn not_acceptable() -> Answer {
    said(
        StatusCode::NOT_ACCEPTABLE,
        "a text becomes application/pdf, image/svg+xml or text/plain\n",
    )
}

fn finished(Made { of, pages, outcome }: Made, form: Form) -> Answer {
    let mut answer = match outcome {
        Outcome::Good(bytes) => whole(StatusCode::OK, form.media(), bytes),
        Outcome::Faults(report) => said(StatusCode::UNPROCESSABLE_ENTITY, report),
        Outcome::NoSuchPage => {
            said(StatusCode::NOT_FOUND, format!("the text makes {pages} pages\n"))
        }
        Outcome::Stopped => return unanswered(Unanswered::Late),
        Outcome::Unwritten(why) => said(StatusCode::INTERNAL_SERVER_ERROR, format!("{why}\n")),
    };
    // It is made of letters, digits and signs of a header alone.
    if let Ok(of) = HeaderValue::from_str(&of) {
        answer.headers_mut().insert(MADE_OF, of);
    }
    answer.headers_mut().insert(PAGES, pages.into());
    answer
}

fn unanswered(why: Unanswered) -> Answer {
    match why {
        Unanswered::Full => busy("as many texts wait as may; try again\n"),
        Unanswered::Late => busy("the text took too long to set\n"),
        Unanswered::Broken => said(
            StatusCode::INTERNAL_SERVER_ERROR,
            "the text could not be set; this is our fault\n",
        ),
    }
}

fn busy(why: &'static str) -> Answer {
    let mut answer = said(StatusCode::SERVICE_UNAVAILABLE, why);
    answer.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from_static(RETRY_AFTER));
    answer
}

fn not_allowed(allowed: &'static str) -> Answer {
    let mut answer = said(StatusCode::METHOD_NOT_ALLOWED, format!("use {allowed} here\n"));
    answer.headers_mut().insert(header::ALLOW, HeaderValue::from_static(allowed));
    answer
}

fn said(status: StatusCode, words: impl Into<String>) -> Answer {
    whole(status, Form::Report.media(), words.into().into_bytes())
}

fn whole(status: StatusCode, media: &'static str, bytes: Vec<u8>) -> Answer {
    let mut answer = Response::new(Full::new(Bytes::from(bytes)));
    *answer.status_mut() = status;
    let headers = answer.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(media));
    headers.insert(header::X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    headers.insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(REACHES_NOTHING));
    answer
}
