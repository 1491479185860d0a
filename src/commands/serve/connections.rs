//! Connections: so many at a time, each with bounded headers and patience.

use std::net::SocketAddr;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;
use tokio::time::{sleep, timeout};

/// Connections at a time; others wait to be accepted.
const MOST: usize = 256;
/// Bytes of a request's first line and headers at most.
const MOST_HEADERS: usize = 32 * 1024;
/// How long headers may take to arrive, and a connection may stay idle.
const PATIENCE: Duration = Duration::from_secs(30);
/// How long requests may take to finish at the end.
const FAREWELL: Duration = Duration::from_secs(5);
/// How often the flag that ends the server is looked at.
const WATCH: Duration = Duration::from_millis(50);
/// How long to wait after an accept that failed, such as for want of file handles.
const PAUSE: Duration = Duration::from_millis(100);

/// Listens, at the port that is free if it is 0.
pub(super) async fn listen(address: SocketAddr) -> std::io::Result<(TcpListener, SocketAddr)> {
    let listener = TcpListener::bind(address).await?;
    let bound = listener.local_addr()?;
    Ok((listener, bound))
}

/// Serves until the flag is set; then stops what is at work and lets requests finish.
pub(super) async fn serve(
    listener: TcpListener,
    router: Router,
    ended: &'static AtomicBool,
    close: impl FnOnce(),
) {
    let places = Arc::new(Semaphore::new(MOST));
    let graceful = GracefulShutdown::new();
    let end = async {
        while !ended.load(Ordering::Relaxed) {
            sleep(WATCH).await;
        }
    };
    tokio::pin!(end);
    loop {
        let next = async {
            let place = Arc::clone(&places).acquire_owned().await;
            (place, listener.accept().await)
        };
        let (place, accepted) = tokio::select! {
            next = next => next,
            () = &mut end => break,
        };
        let Ok((stream, _)) = accepted else {
            sleep(PAUSE).await;
            continue;
        };
        // Small answers leave at once; without it they leave a little later.
        let _ = stream.set_nodelay(true);
        let connection = http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(PATIENCE)
            .max_buf_size(MOST_HEADERS)
            .serve_connection(
                TokioIo::new(stream),
                TowerToHyperService::new(router.clone()),
            );
        let connection = graceful.watch(connection);
        tokio::spawn(async move {
            // A connection that breaks is the other side's affair.
            let _ = connection.await;
            drop(place);
        });
    }
    drop(listener);
    close();
    let _ = timeout(FAREWELL, graceful.shutdown()).await;
}
