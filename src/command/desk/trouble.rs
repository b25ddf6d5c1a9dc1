//! A page that says why the desk can't be opened, where there is no terminal to say it.

use axum::response::{Html, IntoResponse, Response};

/// The page.
pub fn page(why: &str) -> Response {
    let why = why.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    Html(format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>The desk can't be opened</title>\n<link rel=\"icon\" href=\"data:,\">\n\
         <link rel=\"stylesheet\" href=\"desk.css\">\n</head>\n<body class=\"trouble\">\n<main>\n\
         <h1>The desk can't be opened</h1>\n<p role=\"alert\">{why}</p>\n</main>\n</body>\n</html>\n"
    ))
    .into_response()
}
