//! What is asked for, and what is answered.

use std::sync::Arc;
use std::time::Duration;

use http_body_util::{BodyExt, Limited};
use hyper::body::{Body, Incoming};
use hyper::header::CONTENT_TYPE;
use hyper::{Method, Request, StatusCode};
use serde::de::DeserializeOwned;

use crate::answer::{Answer, Compared};
use crate::desk::{Desk, Kept, Refusal};
use crate::door::Turned;
use crate::reply::{self, Reply};
use crate::sent::Meant;
use crate::shared::Shared;
use crate::shelf::PAGE;
use crate::told::State;

/// Most bytes of a body: a reading has some hundred.
const BODY: usize = 64 * 1024;
/// How long a body may take: a phone sends one in a moment, over the worst of lines in seconds.
const SLOW: Duration = Duration::from_secs(10);
/// How long a page waits for news before it asks again, so that a dead line is seen.
const NEWS: Duration = Duration::from_secs(20);

/// Where an answer to `compare` is found.
const TEXT: &str = "/compare.txt";
/// Where the map of what to take off is found.
const MAP: &str = "/map.png";

/// The answer to a request.
pub(crate) async fn answer(shared: Arc<Shared>, request: Request<Incoming>) -> Reply {
    let writes = request.method() == Method::POST;
    let authority = request.uri().authority().map(|a| a.as_str().to_owned());
    if !shared.door.is_meant(request.headers(), authority.as_deref(), writes) {
        return reply::words(StatusCode::FORBIDDEN, FOREIGN);
    }
    if let Some(key) = request.uri().query().and_then(|query| query.strip_prefix("key=")).filter(|_| !writes)
    {
        return turn(&shared, key);
    }
    if !shared.door.is_open(request.headers()) {
        return reply::words(StatusCode::UNAUTHORIZED, NO_KEY);
    }
    match *request.method() {
        Method::GET => got(shared, request.uri().path(), request.uri().query().unwrap_or_default()).await,
        Method::POST => post(shared, request).await,
        _ => reply::words(StatusCode::METHOD_NOT_ALLOWED, "Only GET and POST are answered.\n"),
    }
}

const FOREIGN: &str = "This bench answers to its own page and its own address alone.\n";
const NO_KEY: &str = "You are not let in. Scan the code on the laptop's screen.\n";
const WRONG_KEY: &str =
    "This code is wrong or was used already. Scan the one that is on the laptop's screen now.\n";

/// Tries a key.
fn turn(shared: &Shared, key: &str) -> Reply {
    match shared.door.turn(key) {
        Ok(Turned::Open(cookie)) => {
            shared.show_key();
            reply::let_in(&cookie)
        }
        Ok(Turned::Wrong) => reply::words(StatusCode::UNAUTHORIZED, WRONG_KEY),
        Err(why) => reply::words(StatusCode::INTERNAL_SERVER_ERROR, &why.to_string()),
    }
}

/// What is read.
async fn got(shared: Arc<Shared>, path: &str, query: &str) -> Reply {
    match path {
        "/state" => state(shared, query).await,
        "/places" => reply::json(StatusCode::OK, &shared.places),
        TEXT | MAP => compared(&shared, path).await,
        _ => file(&shared, path).await,
    }
}

/// How things stand, once that is not what the page knows already: `?run=RUN&after=VERSION`.
async fn state(shared: Arc<Shared>, query: &str) -> Reply {
    let value = |name: &str| query.split('&').find_map(|pair| pair.strip_prefix(name)?.strip_prefix('='));
    let after =
        value("after").and_then(|n| n.parse::<u64>().ok()).filter(|_| value("run") == Some(&shared.run));
    if let Some(after) = after {
        let mut versions = shared.versions();
        // Over the time there is no news, which is an answer too.
        let _ = tokio::time::timeout(NEWS, versions.wait_for(|version| *version > after)).await;
    }
    aside(move || reply::json(StatusCode::OK, &State::of(&shared))).await
}

/// The comparison of the measured file as it is now.
async fn compared(shared: &Arc<Shared>, path: &str) -> Reply {
    let Some(answer) = current(shared).await else {
        return reply::words(StatusCode::SERVICE_UNAVAILABLE, "It is still being compared. Ask again.\n");
    };
    match &answer.compared {
        Compared::Nothing => reply::words(StatusCode::NOT_FOUND, "Nothing is measured yet.\n"),
        Compared::Problems(problems) => reply::words(StatusCode::CONFLICT, &(problems.join("\n") + "\n")),
        Compared::Told { .. } if path == MAP => aside(move || drawn(&answer)).await,
        Compared::Told { text, .. } => reply::words(StatusCode::OK, text),
    }
}

/// The map of a comparison.
fn drawn(answer: &Answer) -> Reply {
    let Compared::Told { map, .. } = &answer.compared else {
        return reply::words(StatusCode::NOT_FOUND, "Nothing is measured yet.\n");
    };
    match map.png() {
        Ok(png) => reply::file(MAP, png),
        Err(why) => reply::words(StatusCode::INTERNAL_SERVER_ERROR, &format!("{why}\n")),
    }
}

/// The answer of the file as it is now, waited for; `None` where it takes too long.
async fn current(shared: &Arc<Shared>) -> Option<Arc<Answer>> {
    let mut versions = shared.versions();
    let look = async {
        loop {
            versions.mark_unchanged();
            let there = shared.clone();
            let found = tokio::task::spawn_blocking(move || {
                let (bytes, answer) = (crate::desk::read(&there.measured).ok(), there.answer());
                let none = bytes.is_none() && matches!(answer.compared, Compared::Nothing);
                (answer.of == bytes && !none).then_some(answer)
            });
            if let Some(answer) = found.await.ok().flatten() {
                return Some(answer);
            }
            versions.changed().await.ok()?;
            if shared.is_closed() {
                return None;
            }
        }
    };
    tokio::time::timeout(NEWS, look).await.ok().flatten()
}

/// A file of the shelf; the page for `/`.
async fn file(shared: &Shared, path: &str) -> Reply {
    let Some(name) = decoded(path.trim_start_matches('/')) else {
        return reply::words(StatusCode::BAD_REQUEST, "This is no name of a file.\n");
    };
    let name = if name.is_empty() { PAGE.to_owned() } else { name };
    match shared.shelf.files().await {
        Err(why) => reply::words(StatusCode::INTERNAL_SERVER_ERROR, &format!("{why}\n")),
        Ok(files) => match files.get(&name) {
            Some(held) => reply::file(&name, held.clone()),
            None => reply::words(StatusCode::NOT_FOUND, "There is no such page here.\n"),
        },
    }
}

/// A path with its escapes (RFC 3986 §2.1) as the characters they stand for.
fn decoded(path: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(path.len());
    let mut rest = path.bytes();
    while let Some(byte) = rest.next() {
        bytes.push(match byte {
            b'%' => {
                let digits = [rest.next()?, rest.next()?];
                let digits =
                    std::str::from_utf8(&digits).ok().filter(|d| d.bytes().all(|b| b.is_ascii_hexdigit()))?;
                u8::from_str_radix(digits, 16).ok()?
            }
            byte => byte,
        });
    }
    String::from_utf8(bytes).ok()
}

/// What is written.
async fn post(shared: Arc<Shared>, request: Request<Incoming>) -> Reply {
    let kind = request.headers().get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    if kind.split(';').next().map(str::trim) != Some("application/json") {
        return reply::refused(StatusCode::UNSUPPORTED_MEDIA_TYPE, "Only JSON is taken.");
    }
    let path = request.uri().path().to_owned();
    let body = match body(request.into_body()).await {
        Ok(body) => body,
        Err(reply) => return reply,
    };
    match path.as_str() {
        "/reading" => change(shared, &body, Desk::read).await,
        "/undo" => change(shared, &body, Desk::undo).await,
        "/tick" => change(shared, &body, Desk::tick).await,
        _ => reply::refused(StatusCode::NOT_FOUND, "There is nothing to write here."),
    }
}

/// A body that is neither too long nor too slow.
async fn body(body: Incoming) -> Result<Vec<u8>, Reply> {
    let large = || reply::refused(StatusCode::PAYLOAD_TOO_LARGE, "This is too much at once.");
    if body.size_hint().lower() > BODY as u64 {
        return Err(large());
    }
    match tokio::time::timeout(SLOW, Limited::new(body, BODY).collect()).await {
        Err(_) => Err(reply::refused(StatusCode::REQUEST_TIMEOUT, "This came too slowly.")),
        Ok(Err(_)) => Err(large()),
        Ok(Ok(whole)) => Ok(whole.to_bytes().to_vec()),
    }
}

/// Changes something on the desk and says what came of it.
async fn change<T: DeserializeOwned + Send + 'static>(
    shared: Arc<Shared>,
    body: &[u8],
    work: fn(&mut Desk, &T) -> Result<Kept, Refusal>,
) -> Reply {
    let sent = match serde_json::from_slice::<Meant<T>>(body) {
        Ok(meant) if meant.bench == shared.name() => meant.sent,
        Ok(_) => return reply::refused(StatusCode::CONFLICT, "This is meant for another bench."),
        Err(_) => return reply::refused(StatusCode::BAD_REQUEST, "This can't be read."),
    };
    aside(move || {
        let done = work(&mut shared.desk(), &sent);
        match done {
            Ok(kept) => {
                shared.changed();
                reply::json(StatusCode::OK, &serde_json::json!({ "before": kept == Kept::Before }))
            }
            Err(Refusal::Never(words)) => reply::refused(StatusCode::UNPROCESSABLE_ENTITY, &words),
            Err(Refusal::Later(words)) => reply::refused(StatusCode::SERVICE_UNAVAILABLE, &words),
        }
    })
    .await
}

/// Work that waits for the disk, off the thread that listens.
async fn aside(work: impl FnOnce() -> Reply + Send + 'static) -> Reply {
    let done = tokio::task::spawn_blocking(work).await;
    done.unwrap_or_else(|_| reply::words(StatusCode::INTERNAL_SERVER_ERROR, "That went wrong. Try again.\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escapes_are_decoded_once_and_broken_ones_refused() {
        assert_eq!(decoded("a%20b/%C3%A9").as_deref(), Some("a b/é"));
        assert_eq!(decoded("%252e").as_deref(), Some("%2e"));
        for broken in ["%", "%2", "%zz", "%+1", "%ff"] {
            assert_eq!(decoded(broken), None, "{broken}");
        }
    }
}
