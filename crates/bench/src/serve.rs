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
    let listening = tokio::spawn(listen(shared.clone(), listener, room.clone()));
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

/// Takes connections on, each for one request.
async fn listen(shared: Arc<Shared>, listener: TcpListener, room: Arc<Semaphore>) {
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
            let _ = tokio::time::timeout(LIFE, connection(shared, stream)).await;
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
