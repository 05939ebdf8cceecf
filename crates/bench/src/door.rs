//! Who is let in: keys for one use, cookies after them, and the names that the bench answers to.

use std::hint::black_box;
use std::net::SocketAddr;
use std::sync::{Mutex, PoisonError};

use hyper::HeaderMap;
use hyper::header::{COOKIE, HOST, HeaderValue, ORIGIN};

use crate::fault::BenchFault;

/// Bytes of a key and of a cookie: 2^128 of them are beyond any guessing (NIST SP 800-57 asks for 112 bits).
const BYTES: usize = 16;
/// Phones let in at a time; the one that came first is sent away for the next.
const PHONES: usize = 20;

/// Random bytes from the system.
type Secret = [u8; BYTES];

/// The door of a bench.
#[derive(Debug)]
pub(crate) struct Door {
    hosts: Vec<String>,
    port: u16,
    /// `None` where nobody needs a key: the bench is reached from its own machine alone.
    guard: Option<Mutex<Guard>>,
}

/// What lets in.
#[derive(Debug)]
struct Guard {
    key: Secret,
    cookies: Vec<Secret>,
}

/// What came of a key.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Turned {
    /// It fits: the cookie to set. It fits never again.
    Open(String),
    /// It does not.
    Wrong,
}

impl Door {
    /// Of a bench that listens there.
    pub(crate) fn new(at: SocketAddr, keyed: bool) -> Result<Door, BenchFault> {
        let mut hosts = vec![at.to_string()];
        if !keyed {
            hosts.push(format!("localhost:{}", at.port()));
        }
        // Of the web's own port browsers say nothing.
        hosts.extend((at.port() == 80).then(|| at.ip().to_string()));
        let guard = match keyed {
            true => Some(Mutex::new(Guard { key: secret()?, cookies: Vec::new() })),
            false => None,
        };
        Ok(Door { hosts, port: at.port(), guard })
    }

    /// The key that lets the next phone in, where one is needed.
    pub(crate) fn key(&self) -> Option<String> {
        let guard = self.guard.as_ref()?.lock().unwrap_or_else(PoisonError::into_inner);
        Some(hexadecimal(&guard.key))
    }

    /// Whether the request is meant for this bench: one host, its own, and from no page but its own. A page that writes
    /// must say where it comes from.
    pub(crate) fn is_meant(&self, headers: &HeaderMap, authority: Option<&str>, writes: bool) -> bool {
        let Some(host) = only(headers, HOST.as_str()).filter(|host| self.hosts.iter().any(|h| h == host))
        else {
            return false;
        };
        if authority.is_some_and(|authority| authority != host) {
            return false;
        }
        match headers.contains_key(ORIGIN) {
            true => only(headers, ORIGIN.as_str()).and_then(|o| o.strip_prefix("http://")) == Some(host),
            false => !writes,
        }
    }

    /// Whether a cookie lets the request in, or none is needed.
    pub(crate) fn is_open(&self, headers: &HeaderMap) -> bool {
        let Some(guard) = &self.guard else { return true };
        let guard = guard.lock().unwrap_or_else(PoisonError::into_inner);
        let name = format!("{}=", self.cookie_name());
        let cookies = headers.get_all(COOKIE).iter().filter_map(text).flat_map(|all| all.split("; "));
        let given: Vec<Secret> =
            cookies.filter_map(|c| c.strip_prefix(&name)).filter_map(secret_of).take(PHONES).collect();
        // All are tried, whichever fits, so that the time taken says nothing.
        guard
            .cookies
            .iter()
            .flat_map(|known| given.iter().map(move |g| alike(known, g)))
            .fold(false, |a, b| a | b)
    }

    /// Tries a key; one that fits is used up.
    pub(crate) fn turn(&self, key: &str) -> Result<Turned, BenchFault> {
        let Some(guard) = &self.guard else { return Ok(Turned::Wrong) };
        let mut guard = guard.lock().unwrap_or_else(PoisonError::into_inner);
        if !secret_of(key).is_some_and(|given| alike(&guard.key, &given)) {
            return Ok(Turned::Wrong);
        }
        let cookie = secret()?;
        guard.key = secret()?;
        if guard.cookies.len() == PHONES {
            guard.cookies.remove(0);
        }
        guard.cookies.push(cookie);
        let (name, value) = (self.cookie_name(), hexadecimal(&cookie));
        Ok(Turned::Open(format!("{name}={value}; HttpOnly; SameSite=Strict; Path=/")))
    }

    /// Browsers keep cookies by host alone, so that the port stands in the name.
    fn cookie_name(&self) -> String {
        format!("bench-{}", self.port)
    }
}

/// A header's value where it stands there once.
fn only<'h>(headers: &'h HeaderMap, name: &str) -> Option<&'h str> {
    let mut all = headers.get_all(name).iter();
    let first = all.next().and_then(text);
    if all.next().is_some() { None } else { first }
}

fn text(value: &HeaderValue) -> Option<&str> {
    value.to_str().ok()
}

/// Random bytes from the system, or why it has none.
fn secret() -> Result<Secret, BenchFault> {
    let mut bytes = [0; BYTES];
    getrandom::fill(&mut bytes).map_err(|why| BenchFault::System(format!("no random numbers: {why}")))?;
    Ok(bytes)
}

/// A random name.
pub(crate) fn random_name() -> Result<String, BenchFault> {
    secret().map(|bytes| hexadecimal(&bytes))
}

/// Whether both are the same, in a time that does not tell how far they are.
fn alike(a: &Secret, b: &Secret) -> bool {
    let differ = a.iter().zip(b).fold(0, |differ, (a, b)| black_box(differ | (a ^ b)));
    black_box(differ) == 0
}

fn hexadecimal(bytes: &Secret) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Bytes from their digits; `None` of anything else.
fn secret_of(digits: &str) -> Option<Secret> {
    let plain = digits.len() == 2 * BYTES && digits.bytes().all(|b| b.is_ascii_hexdigit());
    let mut bytes = [0; BYTES];
    for (i, byte) in bytes.iter_mut().enumerate().filter(|_| plain) {
        *byte = u8::from_str_radix(&digits[2 * i..2 * i + 2], 16).ok()?;
    }
    plain.then_some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(all: &[(&'static str, &str)]) -> HeaderMap {
        let mut headers = HeaderMap::new();
        for (name, value) in all {
            headers.append(*name, value.parse().unwrap());
        }
        headers
    }

    fn door(keyed: bool) -> Door {
        Door::new("127.0.0.1:8470".parse().unwrap(), keyed).unwrap()
    }

    #[test]
    fn a_key_lets_one_phone_in_and_never_another() {
        let door = door(true);
        let key = door.key().unwrap();
        assert!(!door.is_open(&headers(&[])));
        for wrong in ["", "0", &"0".repeat(32), &key[1..], &format!("{key}0"), &"é".repeat(16)] {
            assert_eq!(door.turn(wrong).unwrap(), Turned::Wrong, "{wrong}");
        }
        let Turned::Open(cookie) = door.turn(&key).unwrap() else { panic!("the key fits") };
        assert!(cookie.ends_with("; HttpOnly; SameSite=Strict; Path=/") && !cookie.contains(&key));
        assert_eq!(door.turn(&key).unwrap(), Turned::Wrong, "it is used up");
        assert_ne!(door.key().unwrap(), key);
        let cookie = cookie.split(';').next().unwrap();
        assert!(door.is_open(&headers(&[("cookie", cookie)])));
        assert!(door.is_open(&headers(&[("cookie", &format!("a=b; {cookie}; c=d"))])));
        let spoilt = format!("{}x", &cookie[..cookie.len() - 1]);
        assert!(!door.is_open(&headers(&[("cookie", &spoilt)])));
        assert!(!door.is_open(&headers(&[("cookie", &cookie.replace("8470", "8471"))])));
    }

    #[test]
    fn only_so_many_phones_are_in_at_a_time() {
        let door = door(true);
        let cookies: Vec<String> = (0..=PHONES)
            .map(|_| match door.turn(&door.key().unwrap()).unwrap() {
                Turned::Open(cookie) => cookie.split(';').next().unwrap().to_owned(),
                Turned::Wrong => panic!("the key fits"),
            })
            .collect();
        let open = |cookie: &String| door.is_open(&headers(&[("cookie", cookie)]));
        assert!(!open(&cookies[0]) && cookies[1..].iter().all(open));
    }

    #[test]
    fn only_its_own_host_and_its_own_page_are_answered() {
        let (here, lan) = (door(false), door(true));
        let meant =
            |door: &Door, all: &[(&'static str, &str)], writes| door.is_meant(&headers(all), None, writes);
        assert!(meant(&here, &[("host", "127.0.0.1:8470")], false));
        assert!(meant(&here, &[("host", "localhost:8470")], false));
        assert!(!meant(&lan, &[("host", "localhost:8470")], false));
        for host in ["", "127.0.0.1", "evil.example", "evil.example:8470", "127.0.0.1:8470.evil.example"] {
            assert!(!meant(&here, &[("host", host)], false), "{host}");
        }
        assert!(!meant(&here, &[], false));
        assert!(!meant(&here, &[("host", "127.0.0.1:8470"), ("host", "127.0.0.1:8470")], false));
        let own = [("host", "127.0.0.1:8470"), ("origin", "http://127.0.0.1:8470")];
        assert!(meant(&here, &own, true) && !meant(&here, &own[..1], true));
        for origin in ["null", "http://evil.example", "https://127.0.0.1:8470", "http://localhost:8470"] {
            let foreign = [own[0], ("origin", origin)];
            assert!(!meant(&here, &foreign, true) && !meant(&here, &foreign, false), "{origin}");
        }
        assert!(!here.is_meant(&headers(&own), Some("evil.example"), true));
        assert!(here.is_meant(&headers(&own), Some("127.0.0.1:8470"), true));
    }
}
