//! The server: it listens, answers so many at a time, cuts off who is slow, and ends when it is told to.

use std::convert::Infallible;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::sync::Arc;
use std::time::Duration;

use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;

use crate::answer::keep_comparing;
use crate::desk::Desk;
use crate::fault::BenchFault;
use crate::given::{Reach, Served};
use crate::route;
use crate::shared::Shared;
use crate::words;

/// Most connections at a time: a shop's phones have a few each.
const CONNECTIONS: usize = 50;
/// How long the head of a request may take.
const HEAD: Duration = Duration::from_secs(5);
/// How long a connection may last: one request each, news waited for and a slow reader's page included.
const LIFE: Duration = Duration::from_secs(60);
/// Bytes that the head of a request may have; a browser's has less than one thousand.
const HEAD_BYTES: usize = 16 * 1024;
/// How long what is under way may still take once the bench is closed.
const LAST: Duration = Duration::from_secs(2);
/// Who is one too many is told this and sent away.
const BUSY: &[u8] =
    b"HTTP/1.1 503 Service Unavailable\r\ncontent-length: 0\r\nconnection: close\r\nretry-after: 2\r\n\r\n";
/// An address that no machine has (RFC 5737): what leads there is the way out. Nothing is sent.
const ANYWHERE: SocketAddr = SocketAddr::new(IpAddr::V4(Ipv4Addr::new(192, 0, 2, 1)), 9);

/// Serves a bench until Ctrl+C.
///
/// # Errors
/// [`BenchFault`] when a file, the network or the port can't be had.
pub fn serve(served: &Served) -> Result<(), BenchFault> {
    let desk = Desk::open(served.design.clone(), served.measured.clone())?;
    let address = address(served.reach)?;
    let system = |why: std::io::Error| BenchFault::System(why.to_string());
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().map_err(system)?;
    let at = SocketAddr::new(address, served.port);
    let taken = |why| BenchFault::Port { address: at.to_string(), why };
    let listener = runtime.block_on(TcpListener::bind(at)).map_err(taken)?;
    let at = listener.local_addr().map_err(system)?;
    let files = [served.measured.display().to_string(), desk.log_path().display().to_string()];
    let shared = Arc::new(Shared::new(served, desk, at)?);
    let keyed = served.reach != Reach::Here;
    (served.say)(&words::opened(served.design.name(), &at.to_string(), [&files[0], &files[1]], keyed));
    shared.show_key();
    std::thread::scope(|scope| {
        scope.spawn(|| keep_comparing(&shared, served.compare.as_ref()));
        runtime.block_on(until_told(shared.clone(), listener));
        shared.close();
        runtime.shutdown_timeout(LAST);
    });
    (served.say)(&words::closed(&files[0]));
    Ok(())
}

/// Where to listen.
fn address(reach: Reach) -> Result<IpAddr, BenchFault> {
    match reach {
        Reach::Here => Ok(IpAddr::V4(Ipv4Addr::LOCALHOST)),
        Reach::Network(Some(address)) => Ok(address),
        Reach::Network(None) => way_out().ok_or(BenchFault::NoNetwork),
    }
}

/// This machine's address on its way out.
fn way_out() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect(ANYWHERE).ok()?;
    let address = socket.local_addr().ok()?.ip();
    (!address.is_unspecified() && !address.is_loopback()).then_some(address)
}

/// Listens until Ctrl+C, then lets what is under way come to its end.
async fn until_told(shared: Arc<Shared>, listener: TcpListener) {
    let room = Arc::new(Semaphore::new(CONNECTIONS));
    let listening = tokio::spawn(listen(shared.clone(), listener, room.clone(), LIFE));
    // Where no signal can be waited for, the bench stays open until its process is ended.
    if tokio::signal::ctrl_c().await.is_err() {
        let _ = listening.await;
        return;
    }
    listening.abort();
    shared.close();
    let all = u32::try_from(CONNECTIONS).unwrap_or(u32::MAX);
    let _ = tokio::time::timeout(LAST, room.acquire_many(all)).await;
}

/// Takes connections on, each for one request and for so long as `life`.
async fn listen(shared: Arc<Shared>, listener: TcpListener, room: Arc<Semaphore>, life: Duration) {
    loop {
        let Ok((stream, _)) = listener.accept().await else {
            // Out of handles, mostly: some are free again in a moment.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let Ok(place) = room.clone().try_acquire_owned() else {
            let _ = stream.try_write(BUSY);
            continue;
        };
        let shared = shared.clone();
        tokio::spawn(async move {
            // Whether it came to its end or was cut off, it is over.
            let _ = tokio::time::timeout(life, connection(shared, stream)).await;
            drop(place);
        });
    }
}

/// One request and its answer.
async fn connection(shared: Arc<Shared>, stream: TcpStream) {
    let service = service_fn(move |request| {
        let shared = shared.clone();
        async move { Ok::<_, Infallible>(route::answer(shared, request).await) }
    });
    let mut server = http1::Builder::new();
    server
        .keep_alive(false)
        .auto_date_header(false)
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD)
        .max_buf_size(HEAD_BYTES);
    // What goes wrong is the other side's: it has gone, or sent what is no request.
    let _ = server.serve_connection(TokioIo::new(stream), service).await;
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;
    use std::io::{Read, Write};
    use std::net::TcpStream as Line;
    use std::sync::mpsc;
    use std::thread::{self, sleep};
    use std::time::Instant;

    use super::*;
    use crate::answer::{Compare, Compared};
    use crate::shelf::Shelf;

    /// Bytes of a page that no machine's buffers hold: Linux lets those of a line grow to 4 and 6 MiB, others to less.
    const LARGE: usize = 32 << 20;
    /// A connection's life in the tests, in place of a minute.
    const SHORT: Duration = Duration::from_millis(1500);
    /// So long after its end a busy machine may cut a connection off.
    const LATE: Duration = Duration::from_secs(30);

    struct Nothing;

    impl Compare for Nothing {
        fn compare(&self, _: &[u8]) -> Compared {
            Compared::Nothing
        }
    }

    /// A bench whose page is large, listening with connections that live so long, until the test ends.
    struct Opened {
        at: SocketAddr,
        places: Arc<Semaphore>,
        stop: Option<tokio::sync::oneshot::Sender<()>>,
        thread: Option<thread::JoinHandle<()>>,
        _room: tempfile::TempDir,
    }

    impl Opened {
        /// On a port of its own, its page already made.
        fn new(life: Duration) -> Opened {
            let room = tempfile::tempdir().unwrap();
            let profile = fixtures::profiles::named("ferrymans-knife");
            let shelf = Arc::new(Shelf::default());
            shelf.fill(Ok(BTreeMap::from([("index.html".to_owned(), vec![b'x'; LARGE])])));
            let served = Served {
                design: Arc::new(design::read(profile.text.as_bytes()).unwrap()),
                measured: room.path().join("m.csv"),
                reach: Reach::Here,
                port: 0,
                shelf,
                compare: Arc::new(Nothing),
                say: Arc::new(|_| ()),
                terminal: false,
            };
            let (places, (stop, stopped)) =
                (Arc::new(Semaphore::new(CONNECTIONS)), tokio::sync::oneshot::channel());
            let (told, at) = mpsc::channel();
            let own = places.clone();
            let thread = thread::spawn(move || {
                let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
                runtime.block_on(async {
                    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
                    let at = listener.local_addr().unwrap();
                    let desk = Desk::open(served.design.clone(), served.measured.clone()).unwrap();
                    let shared = Arc::new(Shared::new(&served, desk, at).unwrap());
                    tokio::spawn(listen(shared, listener, own, life));
                    told.send(at).unwrap();
                    stopped.await.unwrap();
                });
            });
            Opened { at: at.recv().unwrap(), places, stop: Some(stop), thread: Some(thread), _room: room }
        }

        /// A line on which the page was asked for.
        fn asked(&self) -> Line {
            let mut line = Line::connect(self.at).unwrap();
            line.set_read_timeout(Some(LATE)).unwrap();
            write!(line, "GET / HTTP/1.1\r\nHost: {}\r\n\r\n", self.at).unwrap();
            line
        }

        fn taken(&self) -> usize {
            CONNECTIONS - self.places.available_permits()
        }

        /// Waits until no place is taken; how long after `begin` that was.
        fn emptied(&self, begin: Instant) -> Duration {
            while self.taken() > 0 {
                assert!(begin.elapsed() < SHORT + LATE, "{} hold their places", self.taken());
                sleep(Duration::from_millis(10));
            }
            begin.elapsed()
        }
    }

    impl Drop for Opened {
        fn drop(&mut self) {
            if let (Some(stop), Some(thread)) = (self.stop.take(), self.thread.take()) {
                let _ = stop.send(());
                let _ = thread.join();
            }
        }
    }

    /// All that still comes on a line that is cut off, or closed as it should be.
    fn rest(mut line: Line) -> usize {
        let (mut count, mut piece) = (0, vec![0; 1 << 16]);
        while let Ok(read @ 1..) = line.read(&mut piece) {
            count += read;
        }
        count
    }

    /// Those who ask for a page and take nothing, or a little now and then, hold their places for the life of a connection
    /// and no longer, and get a part; who reads as it comes gets all of it.
    #[test]
    fn a_slow_reader_is_cut_off_when_its_time_is_over() {
        let bench = Opened::new(SHORT);
        let begin = Instant::now();
        let (still, mut slow) = (bench.asked(), bench.asked());
        let (stop, stopped) = mpsc::channel();
        let trickle = thread::spawn(move || {
            let (mut count, mut piece) = (0, [0; 1024]);
            while stopped.try_recv().is_err() {
                count += slow.read(&mut piece).unwrap_or_default();
                sleep(Duration::from_millis(20));
            }
            count + rest(slow)
        });
        while bench.taken() < 2 {
            assert!(begin.elapsed() < LATE, "they are not taken on");
            sleep(Duration::from_millis(5));
        }
        let held = bench.emptied(begin);
        assert!(held >= SHORT, "cut off too soon: {held:?}");
        assert!(rest(still) < LARGE, "who took nothing got all of it");
        stop.send(()).unwrap();
        let count = trickle.join().unwrap();
        assert!((1024..LARGE).contains(&count), "who took a little now and then got {count} bytes");
        let patient = Opened::new(LATE);
        assert!(rest(patient.asked()) > LARGE, "who reads gets all of it");
        assert!(patient.emptied(Instant::now()) < LATE);
    }

    /// As many slow readers as there are places keep everybody out for one life, and then nobody.
    #[test]
    fn slow_readers_in_every_place_are_all_cut_off() {
        let bench = Opened::new(SHORT);
        let begin = Instant::now();
        let slow: Vec<Line> = (0..CONNECTIONS).map(|_| bench.asked()).collect();
        while bench.taken() == 0 {
            assert!(begin.elapsed() < LATE, "they are not taken on");
            sleep(Duration::from_millis(5));
        }
        let held = bench.emptied(begin);
        assert!(held >= SHORT, "{held:?}");
        let mut line = bench.asked();
        let mut head = [0; 12];
        line.read_exact(&mut head).unwrap();
        assert_eq!(&head, b"HTTP/1.1 200", "there is a place again");
        assert!(slow.into_iter().all(|line| rest(line) < LARGE));
    }
}
