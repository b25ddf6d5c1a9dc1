//! Pages that wait for news.

use super::news::News;
use super::places::Place;
use axum::extract::{Extension, Json};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use std::time::Duration;

/// How long a page waits for news before it asks again.
const PATIENCE: Duration = Duration::from_secs(20);

#[derive(Debug, Deserialize)]
pub struct Since {
    since: u64,
}

/// The news after those a page knows; the same again after a while. What has no news waits as long, so that it is
/// known that somebody is there.
pub async fn wait(
    Extension(place): Extension<Place>,
    Json(known): Json<Since>,
) -> Result<Response, Response> {
    let sender = match place {
        Place::Text(text) => text.news,
        Place::Folder(_) | Place::Trouble(_) => {
            tokio::time::sleep(PATIENCE).await;
            return Ok(axum::Json(News::default()).into_response());
        }
    };
    let mut heard = sender.subscribe();
    let next = heard.wait_for(|news| news.turn > known.since);
    let waited = tokio::time::timeout(PATIENCE, next).await;
    let news = match waited {
        Ok(Ok(news)) => *news,
        Ok(Err(_)) | Err(_) => *sender.borrow(),
    };
    Ok(axum::Json(news).into_response())
}
