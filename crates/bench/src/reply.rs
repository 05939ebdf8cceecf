//! Answers with the headers that all of them carry.

use http_body_util::Full;
use hyper::body::Bytes;
use hyper::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HeaderName, HeaderValue, REFERRER_POLICY,
    SET_COOKIE, X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use hyper::{Response, StatusCode};
use serde::Serialize;

/// An answer.
pub(crate) type Reply = Response<Full<Bytes>>;

/// What everything but a page may do: nothing, and in no frame.
const NOTHING: &str = "default-src 'none'; frame-ancestors 'none'; sandbox";
/// What a page's own policy can't say, for it stands in the page.
const FRAMES: &str = "frame-ancestors 'none'; object-src 'none'; base-uri 'none'; form-action 'none'";

/// Words, plain.
pub(crate) fn words(status: StatusCode, text: &str) -> Reply {
    bytes(status, "text/plain; charset=utf-8", NOTHING, text.as_bytes().to_vec())
}

/// A value as JSON.
pub(crate) fn json(status: StatusCode, value: &impl Serialize) -> Reply {
    match serde_json::to_vec(value) {
        Ok(text) => bytes(status, "application/json", NOTHING, text),
        Err(why) => words(StatusCode::INTERNAL_SERVER_ERROR, &why.to_string()),
    }
}

/// What was refused, in words that the page shows.
pub(crate) fn refused(status: StatusCode, text: &str) -> Reply {
    json(status, &serde_json::json!({ "words": text }))
}

/// A file of the shelf by its name's ending.
pub(crate) fn file(name: &str, held: impl Into<Bytes>) -> Reply {
    let ending = name.rsplit('.').next().unwrap_or_default();
    let (kind, policy) = match ending {
        "html" => ("text/html; charset=utf-8", FRAMES),
        "txt" => ("text/plain; charset=utf-8", NOTHING),
        "json" => ("application/json", NOTHING),
        "png" => ("image/png", NOTHING),
        "svg" => ("image/svg+xml", NOTHING),
        // A sandbox would keep browsers from showing it.
        "pdf" => ("application/pdf", FRAMES),
        _ => ("application/octet-stream", NOTHING),
    };
    bytes(StatusCode::OK, kind, policy, held)
}

/// A short page that leads on to the bench and sets a cookie: a page of our own asks for the next one, so that even
/// the strictest cookie goes with it.
pub(crate) fn let_in(cookie: &str) -> Reply {
    const PAGE: &str = "<!DOCTYPE html>\n<html lang=\"en-GB\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" \
                        content=\"width=device-width, initial-scale=1\"><meta http-equiv=\"refresh\" content=\"0;url=/\">\
                        <title>The bench</title></head><body><p><a href=\"/\">To the bench</a></p></body></html>\n";
    let mut reply =
        bytes(StatusCode::OK, "text/html; charset=utf-8", "default-src 'none'; frame-ancestors 'none'", PAGE);
    if let Ok(cookie) = HeaderValue::from_str(cookie) {
        reply.headers_mut().insert(SET_COOKIE, cookie);
    }
    reply
}

/// An answer with a body of this kind, under this policy, and the headers that all answers carry.
fn bytes(status: StatusCode, kind: &'static str, policy: &'static str, held: impl Into<Bytes>) -> Reply {
    let mut reply = Response::new(Full::new(held.into()));
    *reply.status_mut() = status;
    let headers = reply.headers_mut();
    let mut set = |name: HeaderName, value: &'static str| {
        headers.insert(name, HeaderValue::from_static(value));
    };
    set(CONTENT_TYPE, kind);
    set(CONTENT_SECURITY_POLICY, policy);
    set(CACHE_CONTROL, "no-store");
    set(REFERRER_POLICY, "no-referrer");
    set(X_CONTENT_TYPE_OPTIONS, "nosniff");
    set(X_FRAME_OPTIONS, "DENY");
    set(HeaderName::from_static("cross-origin-resource-policy"), "same-origin");
    set(HeaderName::from_static("cross-origin-opener-policy"), "same-origin");
    reply
}
