//! The desk over HTTP (RFC 9112), to this machine alone.

use super::address::Address;
use super::guard;
use super::holder::Holder;
use super::news::News;
use crate::command::outcome::Failure;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Json, Path, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use flamacue::desk::{Ask, Hear, PAGE, Refused};
use serde::Deserialize;
use std::net::TcpListener;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use tokio::sync::watch;

/// Most bytes of a request: more than a text can have.
const MOST_BYTES: usize = 64 * 1024 * 1024;
/// How often files are looked at.
const LOOK: Duration = Duration::from_millis(500);
/// How long a page waits for news before it asks again.
const PATIENCE: Duration = Duration::from_secs(20);
const JSON: &str = "application/json";

/// What all requests share.
#[derive(Clone)]
struct Shared {
    holder: Arc<Mutex<Holder>>,
    news: watch::Sender<News>,
}

impl Shared {
    /// Does something with the text where it keeps no other request waiting.
    async fn with<T, F>(&self, work: F) -> Result<T, Response>
    where
        T: Send + 'static,
        F: FnOnce(&mut Holder) -> T + Send + 'static,
    {
        let holder = self.holder.clone();
        let done = tokio::task::spawn_blocking(move || work(&mut lock(&holder))).await;
        done.map_err(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
    }
}

fn lock(holder: &Mutex<Holder>) -> MutexGuard<'_, Holder> {
    holder.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Serves a text until the run ends.
pub fn serve(listener: TcpListener, address: Address, holder: Holder) -> Result<(), Failure> {
    let failed = |e: std::io::Error| Failure(format!("the desk can't be served: {e}"));
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    runtime.map_err(failed)?.block_on(async {
        let (news, _) = watch::channel(News { turn: 1, ..News::default() });
        let shared = Shared { holder: Arc::new(Mutex::new(holder)), news };
        tokio::spawn(look_outside(shared.clone()));
        let listener = tokio::net::TcpListener::from_std(listener).map_err(failed)?;
        axum::serve(listener, routes(address, shared)).await.map_err(failed)
    })
}

fn routes(address: Address, shared: Shared) -> Router {
    Router::new()
        .route("/{token}/", get(index))
        .route("/{token}/{name}", get(asset))
        .route("/{token}/ask", post(ask))
        .route("/{token}/hear", post(hear))
        .route("/{token}/make", post(make))
        .route("/{token}/save", post(save))
        .route("/{token}/news", post(news))
        .layer(DefaultBodyLimit::max(MOST_BYTES))
        .layer(from_fn_with_state(address, guard::check))
        .with_state(shared)
}

async fn index() -> Response {
    file("index.html")
}

async fn asset(Path((_, name)): Path<(String, String)>) -> Response {
    // Where the program serves the page, it holds the text.
    file(if name == "host.js" { "served.js" } else { &name })
}

fn file(name: &str) -> Response {
    match PAGE.iter().find(|asset| asset.name == name) {
        Some(asset) => ([(CONTENT_TYPE, asset.media)], asset.text).into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

async fn ask(State(shared): State<Shared>, Json(ask): Json<Ask>) -> Result<Response, Response> {
    let answer = shared.with(|holder| holder.answer(ask)).await?;
    Ok(([(CONTENT_TYPE, JSON)], answer).into_response())
}

async fn hear(
    State(shared): State<Shared>,
    Json(wanted): Json<Hear>,
) -> Result<Response, Response> {
    let heard = shared.with(move |holder| holder.hear(&wanted)).await?;
    Ok(([(CONTENT_TYPE, "application/octet-stream")], heard).into_response())
}

/// What is to be made of the text.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Form {
    Pdf,
    Flac,
}

#[derive(Debug, Deserialize)]
struct Make {
    form: Form,
}

async fn make(State(shared): State<Shared>, Json(make): Json<Make>) -> Result<Response, Response> {
    let (media, made) = match make.form {
        Form::Pdf => ("application/pdf", shared.with(|holder| holder.pdf()).await?),
        Form::Flac => ("audio/flac", shared.with(Holder::flac).await?),
    };
    Ok(match made {
        Ok(bytes) => ([(CONTENT_TYPE, media)], bytes).into_response(),
        Err(why) => axum::Json(Refused { why }).into_response(),
    })
}

#[derive(Debug, Deserialize)]
struct Save {
    over: bool,
}

async fn save(
    State(shared): State<Shared>,
    Json(wanted): Json<Save>,
) -> Result<Response, Response> {
    let saved = shared.with(move |holder| holder.save(wanted.over)).await?;
    Ok(axum::Json(saved).into_response())
}

#[derive(Debug, Deserialize)]
struct Since {
    since: u64,
}

/// The news after those a page knows; the same again after a while.
async fn news(State(shared): State<Shared>, Json(known): Json<Since>) -> Response {
    let mut heard = shared.news.subscribe();
    let next = heard.wait_for(|news| news.turn > known.since);
    let waited = tokio::time::timeout(PATIENCE, next).await;
    let news = match waited {
        Ok(Ok(news)) => *news,
        Ok(Err(_)) | Err(_) => *shared.news.borrow(),
    };
    axum::Json(news).into_response()
}

/// Looks again and again whether other programs changed a file.
async fn look_outside(shared: Shared) {
    let mut ticks = tokio::time::interval(LOOK);
    ticks.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
    loop {
        ticks.tick().await;
        if let Ok(Some(found)) = shared.with(Holder::look_outside).await {
            shared.news.send_modify(|news| {
                *news = News { turn: news.turn + 1, ..found };
            });
        }
    }
}
