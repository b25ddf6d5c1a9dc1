//! What the page of a folder asks over HTTP.

use super::folder::Folder;
use super::known;
use super::places::{Place, Places};
use crate::command::args::Roots;
use crate::command::outcome::Failure;
use axum::extract::{Extension, Json, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use flamacue::desk::Refused;
use serde::{Deserialize, Serialize};
use std::path::PathBuf;
use std::sync::Arc;

impl Place {
    /// The folder that is there, or that there is none.
    fn folder(self) -> Result<Arc<Folder>, StatusCode> {
        match self {
            Self::Folder(folder) => Ok(folder),
            Self::Text(_) | Self::Trouble(_) => Err(StatusCode::NOT_FOUND),
        }
    }
}

/// Does something where it keeps no other request waiting.
async fn apart<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Response> {
    let done = tokio::task::spawn_blocking(work).await;
    done.map_err(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

pub async fn list(Extension(place): Extension<Place>) -> Result<Response, Response> {
    let folder = place.folder().map_err(StatusCode::into_response)?;
    Ok(axum::Json(apart(move || folder.list()).await?).into_response())
}

#[derive(Debug, Deserialize)]
pub struct Named {
    name: String,
}

/// Where a text is on the desk.
#[derive(Debug, Serialize)]
struct Opened {
    /// Its address, or the path of it on this desk.
    address: String,
}

pub async fn open(
    State(places): State<Places>,
    Path(token): Path<String>,
    Extension(place): Extension<Place>,
    Json(wanted): Json<Named>,
) -> Result<Response, Response> {
    let folder = place.folder().map_err(StatusCode::into_response)?;
    answer(places, token, move || folder.file(&wanted.name)).await
}

pub async fn begin(
    State(places): State<Places>,
    Path(token): Path<String>,
    Extension(place): Extension<Place>,
    Json(wanted): Json<Named>,
) -> Result<Response, Response> {
    let folder = place.folder().map_err(StatusCode::into_response)?;
    answer(places, token, move || folder.begin(&wanted.name)).await
}

/// Opens a file, or says why not.
async fn answer(
    places: Places,
    token: String,
    file: impl FnOnce() -> Result<PathBuf, Failure> + Send + 'static,
) -> Result<Response, Response> {
    let opened = apart(move || {
        let file = file()?;
        // Another desk may have it.
        if let Some(address) = known::running(&file) {
            return Ok(address);
        }
        // What the text includes lies in its own folder.
        let roots = Roots { root: Vec::new() };
        places.open_text(&file, &roots, Some(format!("/{token}/").into()))
    });
    Ok(match opened.await? {
        Ok(address) => axum::Json(Opened { address }).into_response(),
        Err(Failure(why)) => axum::Json(Refused { why }).into_response(),
    })
}
