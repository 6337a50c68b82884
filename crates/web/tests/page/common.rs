//! A shop behind its page, asked without a network.

use axum::Router;
use axum::body::Body;
use axum::http::{Request, Response, StatusCode, header};
use desk::kept::Kept;
use std::sync::Arc;
use store::Place;
use store::form::{AccountForm, Role};
use tower::ServiceExt as _;
use web::guard::Hosts;
use web::{App, Clock, router};

pub const HOST: &str = "127.0.0.1:7180";
pub const ORIGIN: &str = "http://127.0.0.1:7180";

/// A shop of the demo in a folder of its own.
pub struct Shop {
    pub app: Arc<App>,
    pub router: Router,
    runtime: tokio::runtime::Runtime,
    _home: tempfile::TempDir,
}

/// An answer, read.
#[derive(Debug)]
pub struct Heard {
    pub status: StatusCode,
    pub headers: axum::http::HeaderMap,
    pub text: String,
}

impl Heard {
    pub fn header(&self, name: &str) -> &str {
        self.headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or("")
    }
}

impl Shop {
    pub fn new() -> Self {
        let shop = Self::empty();
        desk::put_demo(&shop.app.kept, &desk::kept::hand("Ines")).expect("the demo");
        shop
    }

    /// The demo's shelf without an order: what is planned in it takes a second instead of half a minute.
    pub fn shelf() -> Self {
        let shop = Self::empty();
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/shop");
        let read = |name: &&str| Some(((*name).to_owned(), std::fs::read_to_string(folder.join(name)).ok()?, 0));
        let files: Vec<(String, String, i64)> = trade::form::FILE_NAMES.iter().filter_map(read).collect();
        shop.app.kept.put_shop_files(&files, &desk::kept::hand("Ines")).expect("the demo's shelf");
        shop
    }

    pub fn empty() -> Self {
        let home = tempfile::tempdir().expect("a folder");
        let kept = Kept::make(&Place::File(home.path().join("shop.db"))).expect("a shop");
        let app = Arc::new(App::new(kept, Hosts::loopback(7180), Clock::Fixed(desk::DEMO_TODAY)));
        let runtime =
            tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build().expect("a runtime");
        let router = router(app.clone());
        Self { app, router, runtime, _home: home }
    }

    /// A session of a role with its cookie and token; one of an account, so that it could be closed.
    pub fn session(&self, role: Role) -> (String, String) {
        let name = format!("{role:?}").to_lowercase();
        let store = self.app.kept.store();
        if store.get::<AccountForm>(&name).expect("read").is_none() {
            let form = AccountForm { name: name.clone(), role, password: String::new(), active: true };
            let write = store::Write::of(&name, 0, &form, "made").expect("a form");
            store.change(&desk::kept::hand("test"), &[], &[write]).expect("kept");
        }
        let secret = self.app.sessions().begin(&name, role, Some(name.clone())).expect("kept").expect("random");
        let session = self.app.sessions().of(&secret).expect("read").expect("there");
        (format!("bondline={}", secret.shown()), session.token)
    }

    pub fn ask(&self, request: Request<Body>) -> Heard {
        self.runtime.block_on(async {
            let response: Response<Body> = self.router.clone().oneshot(request).await.expect("answered");
            let (parts, body) = response.into_parts();
            let bytes = axum::body::to_bytes(body, 64 << 20).await.expect("a body");
            let text = String::from_utf8_lossy(&bytes).into_owned();
            Heard { status: parts.status, headers: parts.headers, text }
        })
    }

    pub fn get(&self, path: &str, cookie: &str) -> Heard {
        self.ask(
            Request::get(path)
                .header(header::HOST, HOST)
                .header(header::COOKIE, cookie)
                .body(Body::empty())
                .expect("a request"),
        )
    }

    pub fn post(&self, path: &str, cookie: &str, fields: &[(&str, &str)]) -> Heard {
        let body: Vec<String> =
            fields.iter().map(|(name, value)| format!("{}={}", escaped(name), escaped(value))).collect();
        let request = Request::post(path)
            .header(header::HOST, HOST)
            .header(header::ORIGIN, ORIGIN)
            .header(header::COOKIE, cookie)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.ask(request.body(Body::from(body.join("&"))).expect("a request"))
    }

    /// Makes every plan that waits.
    pub fn work(&self) {
        let stop = std::sync::atomic::AtomicBool::new(false);
        while self.app.kept.work_one("test", 2, &stop).expect("worked") {}
    }
}

pub fn escaped(text: &str) -> String {
    text.bytes()
        .map(|byte| if byte.is_ascii_alphanumeric() { char::from(byte).to_string() } else { format!("%{byte:02X}") })
        .collect()
}
