//! The desk over HTTP (RFC 9112), to this machine alone.

use super::news::News;
use super::places::{Place, Places, Text};
use super::presence::{is_over, slept};
use super::{folder_asks, guard, text_asks, trouble, waiting};
use crate::command::outcome::Failure;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Extension, Path, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::serve::ListenerExt;
use flamacue::desk::PAGE;
use std::net::TcpListener;
use std::time::{Duration, Instant};
use tokio::time::MissedTickBehavior;

/// Most bytes of a request: more than a text can have.
const MOST_BYTES: usize = 64 * 1024 * 1024;
/// How often files are looked at, and whether anybody is there.
const LOOK: Duration = Duration::from_millis(500);
/// What a clock may wait for.
const SHORTEST: Duration = Duration::from_millis(10);

/// Serves what is open until the run ends: where a patience is given, when nobody has been there for so long.
pub fn serve(
    listener: TcpListener,
    places: Places,
    patience: Option<Duration>,
) -> Result<(), Failure> {
    let failed = |e: std::io::Error| Failure(format!("the desk can't be served: {e}"));
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    runtime.map_err(failed)?.block_on(async {
        tokio::spawn(look_outside(places.clone()));
        let listener = tokio::net::TcpListener::from_std(listener).map_err(failed)?;
        // The end of an answer is not kept back until its beginning is acknowledged (Nagle's algorithm, RFC 896).
        let listener = listener.tap_io(|stream| {
            // Slower, where it can't be set.
            let _ = stream.set_nodelay(true);
        });
        let ended = left(places.clone(), patience);
        axum::serve(listener, routes(places)).with_graceful_shutdown(ended).await.map_err(failed)
    })
}

fn routes(places: Places) -> Router {
    Router::new()
        .route("/{token}/", get(index))
        .route("/{token}/{name}", get(asset))
        .route("/{token}/path", get(path))
        .route("/{token}/folder", get(text_asks::folder))
        .route("/{token}/ask", post(text_asks::ask))
        .route("/{token}/hear", post(text_asks::hear))
        .route("/{token}/make", post(text_asks::make))
        .route("/{token}/save", post(text_asks::save))
        .route("/{token}/news", post(waiting::wait))
        .route("/{token}/list", get(folder_asks::list))
        .route("/{token}/open", post(folder_asks::open))
        .route("/{token}/begin", post(folder_asks::begin))
        .layer(DefaultBodyLimit::max(MOST_BYTES))
        .layer(from_fn_with_state(places.clone(), guard::check))
        .with_state(places)
}

async fn index(Extension(place): Extension<Place>) -> Response {
    match place {
        Place::Text(_) => file("index.html"),
        Place::Folder(_) => file("folder.html"),
        Place::Trouble(why) => trouble::page(&why),
    }
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

/// The file or folder that is there, for another run of the program that is to open it.
async fn path(
    State(places): State<Places>,
    Path(token): Path<String>,
) -> Result<Response, StatusCode> {
    let path = places.path(&token).ok_or(StatusCode::NOT_FOUND)?;
    Ok(path.to_string_lossy().into_owned().into_response())
}

/// Ends when nobody has been there for so long, and never where no patience is given.
async fn left(places: Places, patience: Option<Duration>) {
    let Some(patience) = patience else { return std::future::pending().await };
    let mut ticks = tokio::time::interval(LOOK.min(patience.max(SHORTEST)));
    ticks.set_missed_tick_behavior(MissedTickBehavior::Delay);
    let mut last = Instant::now();
    while !is_over(places.presence.away(), patience, || places.is_saved()) {
        ticks.tick().await;
        if slept(last.elapsed()) {
            places.presence.begin_anew();
        }
        last = Instant::now();
    }
}

/// Looks again and again whether other programs changed a file.
async fn look_outside(places: Places) {
    let mut ticks = tokio::time::interval(LOOK);
    ticks.set_missed_tick_behavior(MissedTickBehavior::Delay);
    loop {
        ticks.tick().await;
        for text in places.texts() {
            look_beside(text).await;
        }
    }
}

async fn look_beside(text: Text) {
    let holder = text.clone();
    let found = tokio::task::spawn_blocking(move || holder.lock().text_mut().look_outside()).await;
    if let Ok(Some(found)) = found {
        text.news.send_modify(|news| {
            *news = News { turn: news.turn + 1, ..found };
        });
    }
}
