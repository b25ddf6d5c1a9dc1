//! What the page of a text asks over HTTP.

use super::places::{Holder, Place, Places, Text};
use axum::extract::{Extension, Json, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse, Response};
use flamacue::desk::{Ask, Hear, OpenText, Refused};
use serde::Deserialize;

const JSON: &str = "application/json";

impl Place {
    /// The text that is there, or that there is none.
    pub fn text(self) -> Result<Text, StatusCode> {
        match self {
            Self::Text(text) => Ok(text),
            Self::Folder(_) | Self::Trouble(_) => Err(StatusCode::NOT_FOUND),
        }
    }
}

/// Does something with a text where it keeps no other request waiting.
async fn with<T, F>(place: Place, places: Places, work: F) -> Result<T, Response>
where
    T: Send + 'static,
    F: FnOnce(&mut Holder) -> T + Send + 'static,
{
    let text = place.text().map_err(StatusCode::into_response)?;
    let done = tokio::task::spawn_blocking(move || {
        let (made, is_saved) = {
            let mut holder = text.lock();
            (work(&mut holder), holder.text().is_saved())
        };
        places.tell_unsaved(is_saved);
        made
    });
    done.await.map_err(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

pub async fn ask(
    State(places): State<Places>,
    Extension(place): Extension<Place>,
    Json(ask): Json<Ask>,
) -> Result<Response, Response> {
    let answer = with(place, places, |holder| holder.answer(ask)).await?;
    Ok(([(CONTENT_TYPE, JSON)], answer).into_response())
}

/// Sound with what is heard in it when: the length of the JSON in four bytes, the JSON, and a WAV file.
pub async fn hear(
    State(places): State<Places>,
    Extension(place): Extension<Place>,
    Json(wanted): Json<Hear>,
) -> Result<Response, Response> {
    let (told, sound) = with(place, places, move |holder| holder.hear(&wanted)).await?;
    let length = u32::try_from(told.len()).unwrap_or(u32::MAX);
    let heard = [&length.to_le_bytes()[..], told.as_bytes(), &sound].concat();
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
pub struct Make {
    form: Form,
}

pub async fn make(
    State(places): State<Places>,
    Extension(place): Extension<Place>,
    Json(make): Json<Make>,
) -> Result<Response, Response> {
    let (media, made) = match make.form {
        Form::Pdf => ("application/pdf", with(place, places, |holder| holder.pdf()).await?),
        Form::Flac => ("audio/flac", with(place, places, Holder::flac).await?),
    };
    Ok(match made {
        Ok(bytes) => ([(CONTENT_TYPE, media)], bytes).into_response(),
        Err(why) => axum::Json(Refused { why: why.to_string() }).into_response(),
    })
}

#[derive(Debug, Deserialize)]
pub struct Save {
    over: bool,
}

pub async fn save(
    State(places): State<Places>,
    Extension(place): Extension<Place>,
    Json(wanted): Json<Save>,
) -> Result<Response, Response> {
    let saved = with(place, places, move |holder| holder.text_mut().save(wanted.over)).await?;
    Ok(axum::Json(saved).into_response())
}

/// The address of the folder from which the text was opened; nothing where it was opened by itself.
pub async fn folder(Extension(place): Extension<Place>) -> Result<Response, Response> {
    let folder = place.text().map_err(StatusCode::into_response)?.folder;
    Ok(axum::Json(folder.as_deref()).into_response())
}
