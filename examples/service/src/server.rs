//! The sockets: connections are taken, kept for a bounded time, and ended in good order.

use crate::bounds::{Bounds, CONNECTION_LIFE, CONNECTIONS, HEAD_BYTES, LAST_ANSWER};
use crate::http::Service;
use crate::workers::Workers;
use flamacue::font::Fonts;
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::{TokioIo, TokioTimer};
use std::convert::Infallible;
use std::io::Write as _;
use std::net::Ipv4Addr;
use std::pin::pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::signal::unix::{SignalKind, signal};
use tokio::sync::{Semaphore, watch};
use tokio::time::{sleep, timeout};

/// How long is waited where no connection can be taken, as there are no more file descriptors. Common
/// practice, no source.
const BREATH: Duration = Duration::from_millis(50);

/// Serves until the process is asked to end (SIGTERM or SIGINT), and then until what is in hand is answered.
///
/// # Errors
/// Says why it can't start.
pub fn run(bounds: Bounds) -> Result<(), String> {
    let fonts = Fonts::built_in().map_err(|why| why.to_string())?;
    let workers = Workers::start(&bounds, &Arc::new(fonts)).map_err(|why| why.to_string())?;
    let service = Arc::new(Service { workers, bounds, stopping: AtomicBool::new(false) });
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    let served = runtime.map_err(|why| why.to_string())?.block_on(serve(&service));
    served.map_err(|why| why.to_string())
}

async fn serve(service: &Arc<Service>) -> std::io::Result<()> {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, service.bounds.port)).await?;
    let mut end = signal(SignalKind::terminate())?;
    let mut interrupt = signal(SignalKind::interrupt())?;
    let mut out = std::io::stdout().lock();
    writeln!(out, "listening on {}", listener.local_addr()?)?;
    out.flush()?;
    drop(out);
    let places = Arc::new(Semaphore::new(usize::try_from(CONNECTIONS).unwrap_or(usize::MAX)));
    let (stop, stopping) = watch::channel(false);
    tokio::select! {
        _ = end.recv() => {}
        _ = interrupt.recv() => {}
        () = accept(&listener, service, &places, &stopping) => {}
    }
    drop(listener);
    service.stopping.store(true, Ordering::Relaxed);
    stop.send_replace(true);
    // Every connection has given its place back when all places can be taken.
    let _ = timeout(last(&service.bounds), places.acquire_many(CONNECTIONS)).await;
    Ok(())
}

async fn accept(
    listener: &TcpListener,
    service: &Arc<Service>,
    places: &Arc<Semaphore>,
    stopping: &watch::Receiver<bool>,
) {
    // The places are never closed.
    while let Ok(place) = places.clone().acquire_owned().await {
        let Ok((stream, _)) = listener.accept().await else {
            sleep(BREATH).await;
            continue;
        };
        let (service, stopping) = (service.clone(), stopping.clone());
        tokio::spawn(async move {
            converse(stream, &service, stopping).await;
            drop(place);
        });
    }
}

/// Answers the requests of one connection.
async fn converse(stream: TcpStream, service: &Arc<Service>, mut stopping: watch::Receiver<bool>) {
    // Answers are whole when they are sent; where it can't be set they are a little later.
    let _ = stream.set_nodelay(true);
    let answer = service_fn(|request| async {
        let answer = service.answer(request).await;
        Ok::<_, Infallible>(answer)
    });
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(service.bounds.send)
        .max_buf_size(HEAD_BYTES)
        .serve_connection(TokioIo::new(stream), answer);
    let mut connection = pin!(connection);
    tokio::select! {
        // Whatever broke it, nobody is left to be told.
        _ = connection.as_mut() => return,
        () = sleep(CONNECTION_LIFE) => {}
        _ = stopping.wait_for(|stopping| *stopping) => {}
    }
    connection.as_mut().graceful_shutdown();
    let _ = timeout(last(&service.bounds), connection).await;
}

/// The longest that a request in hand takes.
fn last(bounds: &Bounds) -> Duration {
    bounds.send.saturating_add(bounds.work).saturating_add(LAST_ANSWER)
}
