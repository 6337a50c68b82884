//! What handlers give back: pages, files, data, or why not.

use crate::app::Ctx;
use crate::guard::picture_policy;
use crate::tongue::Tongue;
use askama::Template;
use axum::body::Body;
use axum::http::header::{self, HeaderName, HeaderValue};
use axum::http::{Response as Built, StatusCode};
use axum::response::Response;
use desk::kept::DeedError;

/// Why a handler has no page to give.
#[derive(Debug)]
pub(crate) enum Fault {
    /// There is no such thing.
    Missing,
    /// The address or form was not of our pages' making.
    Strange,
    /// A deed was refused; its own words.
    Refused(DeedError),
    /// The page could not be set.
    Unset,
}

pub(crate) type Answer = Result<Response, Fault>;

impl From<DeedError> for Fault {
    fn from(error: DeedError) -> Self {
        Self::Refused(error)
    }
}

impl From<store::StoreError> for Fault {
    fn from(error: store::StoreError) -> Self {
        Self::Refused(DeedError::from(error))
    }
}

/// What every page has around it.
pub(crate) struct Frame {
    pub title: String,
    pub who: String,
    pub token: String,
    /// Which of the main addresses this page belongs to.
    pub here: &'static str,
    pub inch: bool,
    /// Whether the person may plan, or only press.
    pub plans: bool,
    pub owns: bool,
    /// Read again by itself while a plan is being made, where no script does it.
    pub again: bool,
    pub v: &'static str,
}

impl Frame {
    pub fn new(ctx: &Ctx<'_>, title: String, here: &'static str) -> Self {
        use store::form::Role;
        let role = ctx.session.as_ref().map(|session| session.role);
        Self {
            title,
            who: ctx.who().to_owned(),
            token: ctx.token().to_owned(),
            here,
            inch: ctx.w.inch(),
            plans: matches!(role, Some(Role::Owner | Role::Planner)),
            owns: role == Some(Role::Owner),
            again: false,
            v: crate::assets::version(),
        }
    }
}

/// A page.
pub(crate) fn page(template: &impl Template) -> Answer {
    page_as(StatusCode::OK, template)
}

/// A page that says that something was not done.
pub(crate) fn page_as(status: StatusCode, template: &impl Template) -> Answer {
    let text = template.render().map_err(|_| Fault::Unset)?;
    Ok(made(status, "text/html; charset=utf-8", text))
}

/// On to another of our pages.
pub(crate) fn on_to(address: &str) -> Response {
    let mut response = made(StatusCode::SEE_OTHER, "text/plain; charset=utf-8", String::new());
    if let Ok(value) = HeaderValue::from_str(address) {
        response.headers_mut().insert(header::LOCATION, value);
    }
    response
}

/// Data for a script of ours.
pub(crate) fn data(value: &serde_json::Value) -> Response {
    made(StatusCode::OK, "application/json", value.to_string())
}

/// A picture of our own making.
pub(crate) fn picture(svg: Vec<u8>) -> Response {
    let mut response = made(StatusCode::OK, "image/svg+xml", svg);
    response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, picture_policy());
    keep_privately(&mut response);
    response
}

/// A PNG of our own making.
pub(crate) fn png(bytes: Vec<u8>) -> Response {
    let mut response = made(StatusCode::OK, "image/png", bytes);
    keep_privately(&mut response);
    response
}

/// What never changes under its address may stay with this person's browser.
fn keep_privately(response: &mut Response) {
    response.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static("private, max-age=86400, immutable"));
}

/// A file to be put on the asker's disk, never shown in the page.
pub(crate) fn download(name: &str, bytes: Vec<u8>) -> Response {
    let mut response = made(StatusCode::OK, "application/octet-stream", bytes);
    let plain: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_') { c } else { '-' }).collect();
    if let Ok(value) = HeaderValue::from_str(&format!("attachment; filename=\"{plain}\"")) {
        response.headers_mut().insert(header::CONTENT_DISPOSITION, value);
    }
    response
}

/// The same response with one more header.
pub(crate) fn with(mut response: Response, name: HeaderName, value: &str) -> Response {
    if let Ok(value) = HeaderValue::from_str(value) {
        response.headers_mut().append(name, value);
    }
    response
}

/// The same response with this header in place of another of its name.
pub(crate) fn with_only(mut response: Response, name: HeaderName, value: &'static str) -> Response {
    response.headers_mut().insert(name, HeaderValue::from_static(value));
    response
}

pub(crate) fn made(status: StatusCode, kind: &'static str, body: impl Into<Body>) -> Response {
    let built = Built::builder().status(status).header(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    built.body(body.into()).unwrap_or_default()
}

#[derive(Template)]
#[template(path = "stopped.html")]
struct Stopped<'a> {
    w: &'a Tongue,
    v: &'static str,
    title: String,
    what: String,
    remedy: String,
}

/// The page of a fault.
pub(crate) fn fault(w: &Tongue, fault: &Fault) -> Response {
    let (status, what, remedy) = match fault {
        Fault::Missing => (StatusCode::NOT_FOUND, w.t("web.missing"), w.t("web.missing-remedy")),
        Fault::Strange => (StatusCode::BAD_REQUEST, w.t("web.strange"), w.t("web.strange-remedy")),
        Fault::Unset => (StatusCode::INTERNAL_SERVER_ERROR, w.t("web.unset"), w.t("web.unset-remedy")),
        Fault::Refused(error) => {
            let (what, remedy) = w.deed(error);
            let status = match error {
                DeedError::Conflict { .. } => StatusCode::CONFLICT,
                _ if w.is_missing(error) => StatusCode::NOT_FOUND,
                _ => StatusCode::UNPROCESSABLE_ENTITY,
            };
            (status, what, remedy)
        }
    };
    told(w, status, what, remedy)
}

/// A page that says one thing and what to do.
pub(crate) fn told(w: &Tongue, status: StatusCode, what: String, remedy: String) -> Response {
    let stopped = Stopped { w, v: crate::assets::version(), title: what.clone(), what, remedy };
    page_as(status, &stopped).unwrap_or_else(|_| made(status, "text/plain; charset=utf-8", String::new()))
}
