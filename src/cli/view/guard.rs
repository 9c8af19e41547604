//! Who may ask: browsers on this computer, by this address, from our own pages.

use axum::extract::Request;
use axum::http::HeaderMap;
use axum::http::HeaderName;
use axum::http::HeaderValue;
use axum::http::Method;
use axum::http::StatusCode;
use axum::http::header;
use axum::middleware::Next;
use axum::response::Html;
use axum::response::IntoResponse;
use axum::response::Response;

use crate::view;

/// What every answer says: nothing from elsewhere, no scripts, no frames, nothing kept, the address told to nobody.
const HEADERS: [(HeaderName, &str); 6] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; style-src 'unsafe-inline'; img-src data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::CACHE_CONTROL, "no-store"),
    // `no-referrer` would have browsers hide the origin of our own forms too.
    (header::REFERRER_POLICY, "same-origin"),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
];

/// Refuses what does not come from our own pages, and adds what every answer says.
///
/// The host has to be this computer by name or number, so that no site can have a browser take its own name for ours; a form has to come
/// from a page of ours, so that no other page can send one.
pub(super) async fn check(port: u16, request: Request, next: Next) -> Response {
    let headers = request.headers();
    let mut answer = match ours(headers, port) {
        None => notice(
            StatusCode::FORBIDDEN,
            "Not by this address",
            "This page answers to 127.0.0.1 and localhost only. Use the address that facelay printed.",
            false,
        ),
        Some(host) if request.method() == Method::POST && !from_our_page(headers, &host) => notice(
            StatusCode::FORBIDDEN,
            "Not from this page",
            "A form has to be sent from a page of this program.",
            false,
        ),
        Some(_) => next.run(request).await,
    };
    for (name, value) in HEADERS {
        answer
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
    answer
}

/// The host that is asked for, if it is this computer.
fn ours(headers: &HeaderMap, port: u16) -> Option<String> {
    let mut hosts = headers.get_all(header::HOST).iter();
    let host = hosts.next()?.to_str().ok()?;
    let known = [format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    (hosts.next().is_none() && known.iter().any(|known| known == host)).then(|| host.to_owned())
}

fn from_our_page(headers: &HeaderMap, host: &str) -> bool {
    let mut origins = headers.get_all(header::ORIGIN).iter();
    let origin = origins.next().and_then(|origin| origin.to_str().ok());
    origin == Some(&format!("http://{host}")) && origins.next().is_none()
}

/// A short page as an answer.
pub(super) fn notice(status: StatusCode, heading: &str, text: &str, back: bool) -> Response {
    (status, Html(view::notice(heading, text, back))).into_response()
}
