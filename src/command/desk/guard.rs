//! Who may ask: a page that came from here, by its token, under the name of this machine.
//!
//! A page of another site can send requests to any port of this machine. It does not know the token; its
//! browser tells where it comes from (the `Origin` of the Fetch standard, 3.2); and where it makes a name of
//! its own lead here, the `Host` (RFC 9110, 7.2) is that name.

use super::places::Places;
use axum::extract::{Request, State};
use axum::http::header::{HOST, ORIGIN};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// What is told to whoever may not ask.
const REFUSED: &str =
    "No desk is open at this address. Use the address that the program told when it was started.\n";

/// What the page may do: load its own files and talk to where it came from, nothing else (Content Security
/// Policy, level 3). The sound is made in the page.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; \
    img-src 'self' data: blob:; media-src blob:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Headers of every answer.
const HEADERS: [(HeaderName, &str); 6] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    // The address holds the token.
    (header::REFERRER_POLICY, "no-referrer"),
    (header::CACHE_CONTROL, "no-store"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
];

/// Lets pass who may ask, with what is at the address.
pub async fn check(State(places): State<Places>, mut request: Request, next: Next) -> Response {
    let token = request.uri().path().split('/').nth(1).unwrap_or_default();
    let place = places.find(token).filter(|_| is_own(request.headers(), places.port()));
    let mut answer = match place {
        Some(place) => {
            let _asking = places.presence.ask();
            request.extensions_mut().insert(place);
            next.run(request).await
        }
        None => (StatusCode::FORBIDDEN, REFUSED).into_response(),
    };
    for (name, value) in HEADERS {
        answer.headers_mut().insert(name, HeaderValue::from_static(value));
    }
    answer
}

/// Whether a request was sent to a name of this machine, and by a page that came from it or by no page.
fn is_own(headers: &HeaderMap, port: u16) -> bool {
    let names = [format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    let host = headers.get(HOST).and_then(|host| host.to_str().ok());
    let is_name = |text: &str| names.iter().any(|name| name == text);
    let from_here = headers.get(ORIGIN).is_none_or(|origin| {
        origin.to_str().ok().and_then(|origin| origin.strip_prefix("http://")).is_some_and(is_name)
    });
    let site = headers.get("sec-fetch-site").and_then(|site| site.to_str().ok());
    let is_site = matches!(site, None | Some("same-origin" | "none"));
    host.is_some_and(is_name) && from_here && is_site
}

#[cfg(test)]
mod tests {
    use super::*;

    fn own(pairs: &[(&'static str, &'static str)]) -> bool {
        let pairs = pairs.iter();
        let headers = pairs
            .map(|(name, value)| (HeaderName::from_static(name), HeaderValue::from_static(value)));
        is_own(&headers.collect(), 49_620)
    }

    #[test]
    fn only_this_machine_asks_and_no_page_of_another_site() {
        assert!(own(&[("host", "127.0.0.1:49620")]));
        assert!(own(&[("host", "localhost:49620"), ("origin", "http://localhost:49620")]));
        assert!(own(&[("host", "127.0.0.1:49620"), ("sec-fetch-site", "same-origin")]));
        assert!(!own(&[]));
        assert!(!own(&[("host", "drums.example:49620")]));
        assert!(!own(&[("host", "127.0.0.1:49621")]));
        assert!(!own(&[("host", "127.0.0.1:49620"), ("origin", "http://drums.example")]));
        assert!(!own(&[("host", "127.0.0.1:49620"), ("origin", "null")]));
        assert!(!own(&[("host", "127.0.0.1:49620"), ("origin", "https://127.0.0.1:49620")]));
        assert!(!own(&[("host", "127.0.0.1:49620"), ("sec-fetch-site", "cross-site")]));
    }
}
