//! The bench served: who is let in, what is refused, and what strange requests come to. `SEAXWRIGHT_REQUESTS` raises the
//! number of made-up ones.

#![allow(clippy::expect_used, clippy::print_stderr, reason = "a test whose setting fails is a failed test")]
#![cfg(unix)]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Shutdown, TcpStream};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use room::{Room, code, err};

/// Made-up requests in an ordinary run.
const REQUESTS: usize = 10_000;
/// They may take so long on a machine that is at other work.
const PATIENCE: Duration = Duration::from_secs(120);
/// A made-up request that is half of one gets no answer at all: nobody waits for it.
const LITTLE: Duration = Duration::from_millis(100);
/// The most that the server may ever hold in memory, KiB: the build's files, and not a multiple of them.
const MEMORY: u64 = 200_000;

/// A bench that is served in a room.
struct Served<'r> {
    room: &'r Room,
    child: Child,
    said: BufReader<std::process::ChildStdout>,
    at: String,
}

impl<'r> Served<'r> {
    fn new(room: &'r Room, more: &[&str]) -> Served<'r> {
        let line = [&["bench", "blade.toml", "--measured", "m.csv", "--port", "0"][..], more].concat();
        let child = room.command(&line).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn();
        let mut child = child.expect("it runs");
        let mut said = BufReader::new(child.stdout.take().expect("its words"));
        let mut first = String::new();
        said.read_line(&mut first).expect("its first line");
        let (_, rest) = first.split_once("http://").expect("its address");
        let at = rest.split('/').next().expect("a host").to_owned();
        Served { room, child, said, at }
    }

    /// The next key that the terminal shows.
    fn key(&mut self) -> String {
        loop {
            let mut line = String::new();
            assert!(self.said.read_line(&mut line).expect("a line") > 0, "no key is shown");
            if let Some((_, key)) = line.trim().split_once("/?key=") {
                return key.to_owned();
            }
        }
    }

    /// Sends bytes and gives back what is answered, as far as that is text.
    fn raw(&self, bytes: &[u8]) -> String {
        self.sent(bytes, false, Duration::from_secs(60))
    }

    /// The same, waited for so long, and said to be all that comes or not.
    fn sent(&self, bytes: &[u8], all: bool, patience: Duration) -> String {
        let mut stream = TcpStream::connect(&self.at).expect("a line");
        stream.set_read_timeout(Some(patience)).expect("a patience");
        // It may be cut off while it still sends.
        let _ = stream.write_all(bytes);
        if all {
            let _ = stream.shutdown(Shutdown::Write);
        }
        let mut heard = Vec::new();
        let _ = stream.read_to_end(&mut heard);
        String::from_utf8_lossy(&heard).into_owned()
    }

    /// A request with a host of its own and these lines more.
    fn ask(&self, line: &str, more: &str) -> String {
        self.raw(format!("{line} HTTP/1.1\r\nHost: {}\r\n{more}\r\n", self.at).as_bytes())
    }

    /// Something posted by the page.
    fn post(&self, path: &str, body: &str) -> String {
        let lines = format!(
            "Origin: http://{}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n",
            self.at,
            body.len()
        );
        self.raw(format!("POST {path} HTTP/1.1\r\nHost: {}\r\n{lines}\r\n{body}", self.at).as_bytes())
    }

    /// The most memory that it has held so far, KiB.
    #[cfg(target_os = "linux")]
    fn memory(&self) -> u64 {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.id())).expect("its state");
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).expect("its memory");
        line.trim().trim_end_matches(" kB").parse().expect("a number")
    }

    /// Whether the measured file holds nothing but what is planned, and there is no log.
    fn is_untouched(&self) -> bool {
        let design = design::read(&fs::read(self.room.path("blade.toml")).expect("it")).expect("a design");
        let table = fs::read_to_string(self.room.path("m.csv")).expect("the table");
        table == measured::blank(&design, false) && !self.room.path("m.log").exists()
    }

    /// Ctrl+C: the exit code, and all else that it said.
    fn stop(mut self) -> (Option<i32>, String) {
        let done = Command::new("kill").args(["-INT", &self.child.id().to_string()]).status();
        assert!(done.expect("a signal").success());
        let mut said = String::new();
        self.said.read_to_string(&mut said).expect("its words");
        self.child.stderr.take().expect("its faults").read_to_string(&mut said).expect("words");
        (self.child.wait().expect("its end").code(), said)
    }
}

impl Drop for Served<'_> {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn status(answer: &str) -> u16 {
    answer.strip_prefix("HTTP/1.1 ").and_then(|rest| rest.get(..3)?.parse().ok()).unwrap_or(0)
}

fn reading(id: &str, value: &str) -> String {
    format!(
        "{{\"bench\":\"m.csv\",\"sent\":{{\"id\":\"{id}\",\"date\":\"2026-05-01\",\"time\":\"10:00:00\",\"rows\":[{{\"what\":\"back\",\
         \"station\":\"50\",\"measured\":\"{value}\"}}]}}}}"
    )
}

#[test]
fn what_the_bench_answers_is_what_the_command_prints() {
    let room = Room::with_design();
    let served = Served::new(&room, &[]);
    assert_eq!(status(&served.ask("GET /compare.txt", "")), 404);
    assert_eq!(status(&served.post("/reading", &reading("reading-one", "5.9"))), 200);
    let answer = served.ask("GET /compare.txt", "");
    let (_, text) = answer.split_once("\r\n\r\n").expect("a body");
    let command = room.run(&["compare", "blade.toml", "m.csv"]);
    assert_eq!((code(&command), err(&command).as_str()), (0, ""));
    assert_eq!(text.as_bytes(), command.stdout);
    let (ended, said) = served.stop();
    assert_eq!(ended, Some(0), "{said}");
    assert!(said.contains("The bench is closed"), "{said}");
}

#[test]
fn the_page_is_the_builds_with_the_live_part_in_it() {
    let room = Room::with_design();
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", "b"])), 0);
    let built = fs::read_to_string(room.path("b/index.html")).expect("the page");
    let served = Served::new(&room, &[]);
    let answer = served.ask("GET /", "");
    let (head, page) = answer.split_once("\r\n\r\n").expect("a page");
    assert!(head.contains("frame-ancestors 'none'") && head.contains("no-referrer"), "{head}");
    let own: Vec<&str> = built.lines().filter(|line| !line.contains("Content-Security-Policy")).collect();
    let mut rest = page.lines();
    for line in own {
        assert!(rest.any(|other| other == line), "the served page lacks, or has elsewhere: {line}");
    }
    assert!(page.contains("connect-src &#x27;self&#x27;") && !page.contains("unsafe"));
    // Every file that the page links is there, as the build writes it.
    for name in room.hashes("b").into_keys().filter(|name| name.ends_with(".dxf")).take(5) {
        let answer = served.ask(&format!("GET /{name}"), "");
        let text = fs::read_to_string(room.path(&format!("b/{name}"))).expect("a drawing");
        assert!(answer.contains("; sandbox\r\n") && answer.ends_with(&text), "{name}");
    }
}

#[test]
fn without_the_key_nobody_is_let_in() {
    let room = Room::with_design();
    let mut served = Served::new(&room, &["--lan=127.0.0.1"]);
    let key = served.key();
    let paths =
        ["/", "/state", "/places", "/compare.txt", "/map.png", "/index.html", "/show.html", "/nothing"];
    for path in paths {
        let answer = served.ask(&format!("GET {path}"), "");
        assert_eq!(status(&answer), 401, "{path}: {answer}");
        assert!(!answer.to_lowercase().contains("set-cookie") && !answer.contains("Ferry"), "{answer}");
    }
    for path in ["/reading", "/undo", "/tick", "/nothing"] {
        assert_eq!(status(&served.post(path, &reading("reading-one", "5.9"))), 401, "{path}");
    }
    let wrong = format!("{:032x}", 1);
    for wrong in
        ["", "0", wrong.as_str(), &key[1..], &key.to_uppercase().replace(|c: char| c.is_ascii_digit(), "0")]
    {
        assert_eq!(status(&served.ask(&format!("GET /?key={wrong}"), "")), 401, "{wrong}");
        let cookie = format!("Cookie: bench-{}={wrong}\r\n", served.at.rsplit(':').next().expect("a port"));
        assert_eq!(status(&served.ask("GET /state", &cookie)), 401, "{wrong}");
    }
    // A key in a foreign request is not even looked at.
    let foreign = served.raw(format!("GET /?key={key} HTTP/1.1\r\nHost: evil.example\r\n\r\n").as_bytes());
    assert_eq!(status(&foreign), 403);
    let opened = served.ask(&format!("GET /?key={key}"), "");
    assert_eq!(status(&opened), 200);
    let cookie = opened.lines().find_map(|line| line.strip_prefix("set-cookie: ")).expect("a cookie");
    assert!(
        cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict") && !opened.contains(&key),
        "{opened}"
    );
    let cookie = format!("Cookie: {}\r\n", cookie.split(';').next().expect("its value"));
    assert_eq!(status(&served.ask("GET /state", &cookie)), 200);
    assert_eq!(status(&served.ask(&format!("GET /?key={key}"), "")), 401, "it is used up");
    let next = served.key();
    assert_ne!(next, key);
    assert!(served.is_untouched());
    let (ended, said) = served.stop();
    assert_eq!(ended, Some(0));
    assert!(!said.contains(&key) && !said.contains(cookie.trim()), "{said}");
}

/// Each of these is refused, and nothing is written.
#[test]
fn foreign_large_and_malformed_requests_are_refused() {
    let room = Room::with_design();
    let served = Served::new(&room, &[]);
    let (at, body) = (served.at.clone(), reading("reading-one", "5.9"));
    let json = "Content-Type: application/json\r\n";
    let own = format!("Host: {at}\r\nOrigin: http://{at}\r\n");
    let post = |lines: &str, body: &str| {
        format!("POST /reading HTTP/1.1\r\n{lines}Content-Length: {}\r\n\r\n{body}", body.len())
    };
    let long = "x".repeat(100_000);
    let chunk = format!("{own}{json}Transfer-Encoding: chunked\r\n");
    let table: Vec<(&str, String, &[u16])> = vec![
        ("no host", "GET / HTTP/1.1\r\n\r\n".to_owned(), &[400, 403]),
        ("foreign host", "GET / HTTP/1.1\r\nHost: evil.example\r\n\r\n".to_owned(), &[403]),
        ("its host, another port", "GET / HTTP/1.1\r\nHost: 127.0.0.1:1\r\n\r\n".to_owned(), &[403]),
        ("two hosts", format!("GET / HTTP/1.1\r\nHost: {at}\r\nHost: evil.example\r\n\r\n"), &[400, 403]),
        (
            "another's address in full",
            format!("GET http://evil.example/ HTTP/1.1\r\nHost: {at}\r\n\r\n"),
            &[400, 403],
        ),
        (
            "foreign origin",
            post(&format!("Host: {at}\r\nOrigin: http://evil.example\r\n{json}"), &body),
            &[403],
        ),
        ("origin null", post(&format!("Host: {at}\r\nOrigin: null\r\n{json}"), &body), &[403]),
        ("no origin", post(&format!("Host: {at}\r\n{json}"), &body), &[403]),
        ("a form", post(&format!("{own}Content-Type: text/plain\r\n"), &body), &[415]),
        ("too large", post(&format!("{own}{json}"), &long), &[413]),
        (
            "said to be too large",
            format!("POST /reading HTTP/1.1\r\n{own}{json}Content-Length: 99999999999\r\n\r\n"),
            &[413],
        ),
        (
            "a length below nothing",
            format!("POST /reading HTTP/1.1\r\n{own}{json}Content-Length: -5\r\n\r\n{body}"),
            &[400],
        ),
        (
            "two lengths",
            format!(
                "POST /reading HTTP/1.1\r\n{own}{json}Content-Length: 5\r\nContent-Length: 6\r\n\r\n{body}"
            ),
            &[400],
        ),
        (
            "too large in pieces",
            format!(
                "POST /reading HTTP/1.1\r\n{chunk}\r\n{}0\r\n\r\n",
                format!("2000\r\n{}\r\n", "x".repeat(0x2000)).repeat(9)
            ),
            &[413],
        ),
        ("pieces that are none", format!("POST /reading HTTP/1.1\r\n{chunk}\r\nzz\r\nabc\r\n"), &[400, 413]),
        ("no JSON", post(&format!("{own}{json}"), "{"), &[400]),
        ("JSON too deep", post(&format!("{own}{json}"), &"[".repeat(60_000)), &[400]),
        ("another's field", post(&format!("{own}{json}"), &body.replace("\"id\"", "\"x\":1,\"id\"")), &[400]),
        ("another bench", post(&format!("{own}{json}"), &body.replace("m.csv", "n.csv")), &[409]),
        (
            "a strange id",
            post(&format!("{own}{json}"), &body.replace("reading-one", "../../etc/passwd")),
            &[422],
        ),
        ("a strange value", post(&format!("{own}{json}"), &body.replace("5.9", "=HYPERLINK(1)")), &[422]),
        (
            "a strange quantity",
            post(&format!("{own}{json}"), &body.replace("back", "<script>alert(1)</script>")),
            &[422],
        ),
        (
            "a line end in a cell",
            post(&format!("{own}{json}"), &body.replace("5.9", "5.9\\n2026-05-01,,1,back,,6")),
            &[422],
        ),
        ("another method", format!("DELETE / HTTP/1.1\r\nHost: {at}\r\n\r\n"), &[405]),
        ("a tunnel", format!("CONNECT {at} HTTP/1.1\r\nHost: {at}\r\n\r\n"), &[400, 405]),
        ("no HTTP", "hello\r\n\r\n".to_owned(), &[400]),
        ("nothing but zeros", "\0".repeat(2000), &[400]),
        ("TLS", "\u{16}\u{3}\u{1}\u{2}".repeat(50), &[400]),
        ("a long path", format!("GET /{long} HTTP/1.1\r\nHost: {at}\r\n\r\n"), &[414, 431]),
        ("a long header", format!("GET / HTTP/1.1\r\nHost: {at}\r\nX: {long}\r\n\r\n"), &[431]),
        ("many headers", format!("GET / HTTP/1.1\r\nHost: {at}\r\n{}\r\n", "X: y\r\n".repeat(900)), &[431]),
    ];
    for (what, request, refused) in &table {
        let answer = served.raw(request.as_bytes());
        assert!(
            refused.contains(&status(&answer)),
            "{what}: {}",
            answer.lines().next().unwrap_or("(nothing)")
        );
    }
    for path in [
        "/../blade.toml",
        "/blade.toml",
        "/m.csv",
        "/m.log",
        "/%2e%2e/blade.toml",
        "/..%2fblade.toml",
        "/....//blade.toml",
        "//etc/passwd",
        "/etc/passwd",
        "/%00",
        "/index.html%00.png",
        "/C:\\blade.toml",
        "/blade/",
        "/index.html/",
        "/.",
    ] {
        let answer = served.ask(&format!("GET {path}"), "");
        assert!([400, 404].contains(&status(&answer)), "{path}: {answer}");
    }
    assert!(served.is_untouched());
    assert_eq!(status(&served.ask("GET /state", "")), 200, "it still answers");
    assert_eq!(served.stop().0, Some(0));
}

#[test]
fn names_and_notes_are_shown_as_text() {
    let room = Room::with_profile("landing-seax.toml");
    let design = fs::read_to_string(room.path("blade.toml")).expect("it");
    room.write(
        "blade.toml",
        design
            .replace("name = \"Landing seax\"", "name = \"<script>alert(1)</script>\"")
            .replace("name = \"Upper twist\"", "name = \"</title><img src=x onerror=alert(2)>\""),
    );
    room.write("m.csv", "date,station,what,height,measured,note \"<svg onload=alert(3)>\n2026-05-01,50,back,,5.9,<svg onload=alert(3)>\n");
    let served = Served::new(&room, &[]);
    let page = served.ask("GET /", "");
    assert!(!page.contains("<script>alert") && !page.contains("<img src=x"));
    assert!(page.contains("&lt;script&gt;alert(1)") && page.contains("onerror=alert(2)&gt;"));
    for path in ["/state", "/places", "/compare.txt"] {
        let answer = served.ask(&format!("GET {path}"), "");
        assert_eq!(status(&answer), 200, "{path}");
        let plain = ["content-type: application/json", "content-type: text/plain; charset=utf-8"];
        assert!(plain.iter().any(|kind| answer.contains(kind)) && answer.contains("nosniff"), "{path}");
    }
}

/// Half a request, or an answer that nobody takes, holds a place for some seconds and no longer.
#[test]
fn who_is_slow_is_cut_off_and_who_is_one_too_many_is_sent_away() {
    let room = Room::with_design();
    let served = Served::new(&room, &[]);
    let begin = Instant::now();
    let slow: Vec<TcpStream> = (0..50)
        .map(|_| {
            let mut stream = TcpStream::connect(&served.at).expect("a line");
            stream.write_all(b"GET / HTTP/1.1\r\nHost: ").expect("a piece");
            stream
        })
        .collect();
    std::thread::sleep(Duration::from_millis(300));
    assert_eq!(status(&served.ask("GET /state", "")), 503, "there is no place");
    for mut stream in slow {
        stream.set_read_timeout(Some(Duration::from_secs(30))).expect("a patience");
        let mut heard = Vec::new();
        let _ = stream.read_to_end(&mut heard);
    }
    assert!(begin.elapsed() < Duration::from_secs(25), "cut off after {:?}", begin.elapsed());
    assert_eq!(status(&served.ask("GET /state", "")), 200, "there is a place again");
    let mut slow = TcpStream::connect(&served.at).expect("a line");
    let head = format!(
        "POST /reading HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nContent-Type: application/json\r\nContent-Length: 500\r\n\r\n{{",
        served.at
    );
    slow.write_all(head.as_bytes()).expect("a piece");
    slow.set_read_timeout(Some(Duration::from_secs(30))).expect("a patience");
    let mut heard = String::new();
    let _ = slow.read_to_string(&mut heard);
    assert_eq!(status(&heard), 408, "{heard}");
    assert!(served.is_untouched());
}

/// Numbers that look random and are the same in every run (SplitMix64, Steele et al. 2014; from memory).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % sides as u64) as usize
    }
}

/// A sound request, bent in some places: pieces doubled, cut, swapped, and bytes of any kind put in.
fn bent(dice: &mut Dice, at: &str) -> Vec<u8> {
    let body = reading(&format!("fuzz-{:08}", dice.roll(1000)), "x");
    let seeds = [
        format!("GET / HTTP/1.1\r\nHost: {at}\r\n\r\n"),
        format!("GET /state?run=x&after=1 HTTP/1.1\r\nHost: {at}\r\nCookie: a=b\r\n\r\n"),
        format!("GET /gauge/%2e%2e/show.html HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\n\r\n"),
        format!(
            "POST /reading HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        ),
        format!(
            "POST /tick HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n5\r\n{{\"a\":\r\n0\r\n\r\n"
        ),
    ];
    let mut bytes = seeds[dice.roll(seeds.len())].clone().into_bytes();
    for _ in 0..=dice.roll(6) {
        let (from, length) = (dice.roll(bytes.len().max(1)), dice.roll(40));
        let to = (from + length).min(bytes.len());
        match dice.roll(5) {
            0 => drop(bytes.drain(from..to)),
            1 => {
                let piece = bytes[from..to].repeat(1 + dice.roll(20));
                bytes.splice(from..from, piece);
            }
            2 => bytes[from..to]
                .iter_mut()
                .for_each(|byte| *byte = byte.wrapping_add(1 + dice.roll(255) as u8)),
            3 => {
                let strange =
                    ["\r\n", "\0", "%", "\r\n\r\n", ": ", "é", "Content-Length: 99\r\n", "{", "\u{7f}"];
                let piece = strange[dice.roll(strange.len())].bytes();
                bytes.splice(from..from, piece);
            }
            _ => bytes.truncate(from),
        }
        if bytes.is_empty() {
            bytes.push(b'x');
        }
    }
    bytes
}

#[test]
fn made_up_requests_change_nothing_and_take_no_memory() {
    let count = std::env::var("SEAXWRIGHT_REQUESTS").ok().and_then(|n| n.parse().ok()).unwrap_or(REQUESTS);
    let room = Room::with_design();
    let served = Served::new(&room, &[]);
    // The page is made before time and memory are measured.
    assert_eq!(status(&served.ask("GET /", "")), 200);
    let begin = Instant::now();
    let threads = 8;
    std::thread::scope(|scope| {
        for thread in 0..threads {
            let served = &served;
            scope.spawn(move || {
                let mut dice = Dice(7 + thread as u64);
                for _ in 0..count.div_ceil(threads) {
                    let bytes = bent(&mut dice, &served.at);
                    let answer = served.sent(&bytes, dice.roll(2) == 0, LITTLE);
                    let known = [0, 200, 400, 401, 403, 404, 405, 408, 409, 413, 414, 415, 422, 431, 503];
                    assert!(known.contains(&status(&answer)), "{answer}");
                }
            });
        }
    });
    let took = begin.elapsed();
    assert!(took < PATIENCE, "{took:?}");
    assert!(served.is_untouched(), "something was written");
    assert_eq!(status(&served.ask("GET /state", "")), 200, "it still answers");
    #[cfg(target_os = "linux")]
    {
        let memory = served.memory();
        eprintln!("{count} requests in {took:?}, at most {memory} KiB");
        assert!(memory < MEMORY, "{memory} KiB");
    }
    assert_eq!(served.stop().0, Some(0));
}

#[test]
fn what_can_not_be_served_says_why() {
    let room = Room::with_design();
    let served = Served::new(&room, &[]);
    let port = served.at.rsplit(':').next().expect("a port").to_owned();
    let run = |line: &[&str]| {
        let done = room.run(&[&["bench", "blade.toml"], line].concat());
        (code(&done), err(&done))
    };
    let (ended, words) = run(&["--measured", "other.csv", "--port", &port]);
    assert!(ended == 2 && words.contains("can't be opened") && words.contains("--port"), "{words}");
    let (ended, words) = run(&["--measured", "other.csv", "--lan=192.0.2.77"]);
    assert!(ended == 2 && words.contains("192.0.2.77"), "{words}");
    room.write("own.csv", "date,station,what,height,measured\n");
    room.write("own.log", "mine\n");
    let (ended, words) = run(&["--measured", "own.csv", "--port", "0"]);
    assert!(ended == 2 && words.contains("is not the log of a bench"), "{words}");
    assert_eq!(fs::read(room.path("own.log")).expect("it"), b"mine\n");
    let (ended, _) = run(&["--lan=nowhere"]);
    assert_eq!(ended, 2);
    room.write("bad.toml", "nam = 1\n");
    assert_eq!(code(&room.run(&["bench", "bad.toml"])), 1);
}
