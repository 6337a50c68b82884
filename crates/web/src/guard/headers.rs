//! What every response says to the browser.

use axum::http::header::{self, HeaderName, HeaderValue};
use axum::response::Response;

/// Everything from here alone, no script or style within a page, no frame around it.
const PAGE: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; \
                    connect-src 'self'; worker-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
/// A picture opened by itself runs and loads nothing.
const PICTURE: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox";

/// The policy of a picture that may be opened by itself.
pub(crate) fn picture_policy() -> HeaderValue {
    HeaderValue::from_static(PICTURE)
}

/// The response with what is said on every one; what a handler said itself stays.
pub(crate) fn guarded(mut response: Response, secure: bool) -> Response {
    let headers = response.headers_mut();
    let mut say = |name: HeaderName, value: &'static str| {
        headers.entry(name).or_insert_with(|| HeaderValue::from_static(value));
    };
    say(header::CONTENT_SECURITY_POLICY, PAGE);
    say(header::X_CONTENT_TYPE_OPTIONS, "nosniff");
    say(header::X_FRAME_OPTIONS, "DENY");
    say(header::REFERRER_POLICY, "same-origin");
    say(header::CACHE_CONTROL, "no-store");
    say(HeaderName::from_static("cross-origin-opener-policy"), "same-origin");
    say(HeaderName::from_static("cross-origin-resource-policy"), "same-origin");
    say(
        HeaderName::from_static("permissions-policy"),
        "camera=(), microphone=(), geolocation=(), payment=(), usb=(), screen-wake-lock=(self)",
    );
    if secure {
        say(header::STRICT_TRANSPORT_SECURITY, "max-age=31536000");
    }
    response
}
