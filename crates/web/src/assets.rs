//! Style, scripts and type, built in.

use crate::answer::{made, with};
use axum::http::{StatusCode, header};
use axum::response::Response;
use sha2::{Digest as _, Sha256};
use std::sync::LazyLock;

const ALL: &[(&str, &str, &[u8])] = &[
    ("look.css", "text/css; charset=utf-8", include_bytes!("../assets/look.css")),
    ("hand.js", "text/javascript; charset=utf-8", include_bytes!("../assets/hand.js")),
    ("place.js", "text/javascript; charset=utf-8", include_bytes!("../assets/place.js")),
    ("sheet.js", "text/javascript; charset=utf-8", include_bytes!("../assets/sheet.js")),
    ("press.js", "text/javascript; charset=utf-8", include_bytes!("../assets/press.js")),
    ("worker.js", "text/javascript; charset=utf-8", include_bytes!("../assets/worker.js")),
    ("heat.js", "text/javascript; charset=utf-8", include_bytes!("../assets/heat.js")),
    ("atkinson.woff2", "font/woff2", include_bytes!("../assets/atkinson.woff2")),
    ("atkinson-ext.woff2", "font/woff2", include_bytes!("../assets/atkinson-ext.woff2")),
    ("mark.svg", "image/svg+xml", include_bytes!("../assets/mark.svg")),
];

static VERSION: LazyLock<String> = LazyLock::new(|| {
    let mut all = Sha256::new();
    for (_, _, bytes) in ALL {
        all.update(bytes);
    }
    all.finalize().iter().take(6).map(|byte| format!("{byte:02x}")).collect()
});

/// Part of every asset's address, so that a browser may keep them for good.
pub(crate) fn version() -> &'static str {
    &VERSION
}

/// An asset by its name.
pub(crate) fn asset(name: &str) -> Option<Response> {
    let (_, kind, bytes) = ALL.iter().find(|(known, _, _)| *known == name)?;
    let response = made(StatusCode::OK, kind, *bytes);
    Some(with(response, header::CACHE_CONTROL, "public, max-age=31536000, immutable"))
}
