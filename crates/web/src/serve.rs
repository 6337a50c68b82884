//! Listening: plain on this machine alone, HTTPS beyond it.

use crate::app::{App, AppError, Clock};
use crate::guard::Hosts;
use crate::routes::router;
use axum_server::Handle;
use axum_server::tls_rustls::RustlsConfig;
use desk::kept::{DeedError, Kept};
use std::fmt;
use std::io;
use std::net::{SocketAddr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

/// How the page is served.
#[derive(Debug, Clone)]
pub struct Serving {
    /// Where to listen. On loopback without HTTPS; anywhere else with it.
    pub listen: SocketAddr,
    /// Names under which others reach it, `press.example`.
    pub names: Vec<String>,
    /// The shop's certificate and its key, PEM; one is made where there is none.
    pub certificate: Option<(PathBuf, PathBuf)>,
    /// Folder in which a made certificate is kept.
    pub home: PathBuf,
    /// Threads of the planner; a plan does not depend on it.
    pub threads: usize,
    /// Where today comes from.
    pub clock: Clock,
}

/// A page that listens.
#[derive(Debug)]
pub struct Listening {
    /// The address to open; it opens the page once, and within half an hour.
    pub address: String,
    /// Where it listens.
    pub local: SocketAddr,
}

/// Why the page is not served.
#[derive(Debug)]
pub enum ServeError {
    /// The address cannot be listened on.
    Listen(SocketAddr, io::Error),
    /// The certificate cannot be read or made.
    Certificate(String),
    /// The shop.
    Shop(DeedError),
    /// No random bytes.
    App(AppError),
    /// It broke down while it was served.
    Broken(io::Error),
}

impl fmt::Display for ServeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Listen(address, cause) => {
                write!(
                    f,
                    "{address} cannot be listened on ({cause}); end what uses it, or choose another with --listen"
                )
            }
            Self::Certificate(cause) => write!(
                f,
                "the certificate cannot be used ({cause}); name a certificate and its key in PEM with --certificate and \
                 --key, or remove both from the shop's folder so that new ones are made"
            ),
            Self::Shop(error) => error.fmt(f),
            Self::App(error) => error.fmt(f),
            Self::Broken(cause) => {
                write!(f, "the page broke down ({cause}); start it again, what was confirmed is kept")
            }
        }
    }
}

impl std::error::Error for ServeError {}

/// Serves the shop's page until the program is told to end; `ready` hears the
/// address to open.
///
/// Plans are made by a thread of its own beside it.
pub fn serve(kept: Kept, serving: &Serving, ready: impl FnOnce(&Listening)) -> Result<(), ServeError> {
    let listener = TcpListener::bind(serving.listen).map_err(|cause| ServeError::Listen(serving.listen, cause))?;
    listener.set_nonblocking(true).map_err(ServeError::Broken)?;
    let local = listener.local_addr().map_err(ServeError::Broken)?;
    let beyond = !local.ip().is_loopback();
    let hosts = if beyond { Hosts::beyond(local, &serving.names) } else { Hosts::loopback(local.port()) };
    let app = Arc::new(App::new(kept.clone(), hosts, serving.clock));
    let token = app.sessions().launch().map_err(|error| ServeError::Shop(DeedError::from(error)))?;
    let token = token.ok_or(ServeError::App(AppError::NoRandom))?;
    let scheme = if beyond { "https" } else { "http" };
    let host = match serving.names.first().filter(|_| beyond) {
        Some(name) => format!("{name}:{}", local.port()),
        None if local.ip().is_unspecified() => format!("127.0.0.1:{}", local.port()),
        None => local.to_string(),
    };
    let address = format!("{scheme}://{host}/enter?token={}", token.shown());
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(32)
        .enable_all()
        .build()
        .map_err(ServeError::Broken)?;
    let stop = Arc::new(AtomicBool::new(false));
    let worker = start_worker(kept, serving.threads, stop.clone());
    let served = runtime.block_on(async {
        let handle = Handle::new();
        let ending = handle.clone();
        tokio::spawn(async move {
            if tokio::signal::ctrl_c().await.is_ok() {
                ending.graceful_shutdown(Some(Duration::from_secs(3)));
            }
        });
        let service = router(app).into_make_service_with_connect_info::<SocketAddr>();
        ready(&Listening { address, local });
        if beyond {
            let config = certificate(serving).await?;
            let server = axum_server::from_tcp_rustls(listener, config).map_err(ServeError::Broken)?;
            server.handle(handle).serve(service).await.map_err(ServeError::Broken)
        } else {
            let server = axum_server::from_tcp(listener).map_err(ServeError::Broken)?;
            server.handle(handle).serve(service).await.map_err(ServeError::Broken)
        }
    });
    stop.store(true, Ordering::Relaxed);
    // A worker that is at work hears it at its next step and puts the job back.
    let _ = worker.join();
    // What still blocks on a database that does not answer is not waited for.
    runtime.shutdown_timeout(Duration::from_secs(2));
    served
}

/// Makes the plans that are asked for, one after the other.
fn start_worker(kept: Kept, threads: usize, stop: Arc<AtomicBool>) -> std::thread::JoinHandle<()> {
    std::thread::spawn(move || {
        let name = format!("page-{}", std::process::id());
        while !stop.load(Ordering::Relaxed) {
            // A fault of one job is told on its order's page; a database that is away may come back.
            if !kept.work_one(&name, threads, &stop).unwrap_or(false) {
                std::thread::sleep(Duration::from_millis(200));
            }
        }
    })
}

async fn certificate(serving: &Serving) -> Result<RustlsConfig, ServeError> {
    // A second installation is the same provider: nothing to be told.
    let _ = rustls::crypto::ring::default_provider().install_default();
    let (certificate, key) = match &serving.certificate {
        Some(own) => own.clone(),
        None => made_certificate(&serving.home, &serving.names)?,
    };
    RustlsConfig::from_pem_file(certificate, key).await.map_err(|cause| ServeError::Certificate(cause.to_string()))
}

/// The certificate in the shop's folder, made when there is none.
fn made_certificate(home: &Path, names: &[String]) -> Result<(PathBuf, PathBuf), ServeError> {
    let (certificate, key) = (home.join("page-certificate.pem"), home.join("page-key.pem"));
    if certificate.exists() && key.exists() {
        return Ok((certificate, key));
    }
    let fault = |cause: String| ServeError::Certificate(cause);
    let mut all: Vec<String> = names.iter().map(|name| name.trim().to_lowercase()).collect();
    all.push("localhost".to_owned());
    let made = rcgen::generate_simple_self_signed(all).map_err(|cause| fault(cause.to_string()))?;
    std::fs::create_dir_all(home).map_err(|cause| fault(cause.to_string()))?;
    write_private(&key, &made.signing_key.serialize_pem()).map_err(|cause| fault(cause.to_string()))?;
    std::fs::write(&certificate, made.cert.pem()).map_err(|cause| fault(cause.to_string()))?;
    Ok((certificate, key))
}

/// A file that only its owner may read.
fn write_private(path: &Path, text: &str) -> io::Result<()> {
    use std::io::Write as _;
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt as _;
        options.mode(0o600);
    }
    options.open(path)?.write_all(text.as_bytes())
}
