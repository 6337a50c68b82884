//! Every address with who may use it, and the one way from request to handler.

use crate::answer::{Answer, Fault, fault, on_to, told};
use crate::app::{App, Ctx};
use crate::ask::{Ask, Fields, read_body};
use crate::guard::{Secret, allows, guarded, same};
use crate::pages;
use crate::tongue::Tongue;
use axum::Router;
use axum::body::Body;
use axum::extract::{ConnectInfo, DefaultBodyLimit, FromRequestParts as _, Query, RawPathParams, Request};
use axum::http::{Method, StatusCode, header};
use axum::response::Response;
use axum::routing::{MethodFilter, on};
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::sync::Arc;
use units::UnitSystem;

/// What an address asks of who comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// Nothing: signing in, style and type.
    Nobody,
    /// A customer's link, which the address itself carries.
    Link,
    /// A session of any role.
    Press,
    /// The role of planner or owner.
    Planner,
    /// The role of owner.
    Owner,
}

/// Whether an address shows or changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verb {
    /// Shows.
    Show,
    /// Changes.
    Change,
}

pub(crate) type Handler = fn(&Ctx<'_>, &Ask) -> Answer;

/// An address.
#[derive(Clone, Copy)]
pub struct Route {
    /// Shows or changes.
    pub verb: Verb,
    /// The address, varying parts in braces.
    pub path: &'static str,
    /// Who may use it.
    pub need: Need,
    /// Most bytes of a request.
    pub most: usize,
    handler: Handler,
}

impl std::fmt::Debug for Route {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:?} {} ({:?})", self.verb, self.path, self.need)
    }
}

const SMALL: usize = 1 << 20;
const LARGE: usize = 96 << 20;

const fn show(path: &'static str, need: Need, handler: Handler) -> Route {
    Route { verb: Verb::Show, path, need, most: SMALL, handler }
}

const fn change(path: &'static str, need: Need, handler: Handler) -> Route {
    Route { verb: Verb::Change, path, need, most: SMALL, handler }
}

const fn upload(path: &'static str, need: Need, handler: Handler) -> Route {
    Route { verb: Verb::Change, path, need, most: LARGE, handler }
}

/// Every address of the page.
pub fn routes() -> Vec<Route> {
    use Need::{Link, Nobody, Owner, Planner, Press};
    vec![
        show("/a/{version}/{name}", Nobody, pages::entry::asset),
        show("/enter", Nobody, pages::entry::enter),
        show("/sign-in", Nobody, pages::entry::sign_in),
        change("/sign-in", Nobody, pages::entry::signed_in),
        change("/sign-out", Press, pages::entry::sign_out),
        change("/units", Press, pages::entry::units),
        show("/", Press, pages::today::today),
        show("/orders/new", Planner, pages::new_order::blank),
        upload("/orders/new", Planner, pages::new_order::made),
        show("/orders/{id}", Planner, pages::order::show),
        show("/orders/{id}/progress", Planner, pages::order::progress),
        show("/orders/{id}/try", Planner, pages::try_place::answer),
        show("/orders/{id}/picture/{name}", Press, pages::files::picture),
        show("/orders/{id}/file/{*name}", Planner, pages::files::file),
        show("/orders/{id}/art/{*name}", Planner, pages::files::art),
        upload("/orders/{id}/art", Planner, pages::edit::add_art),
        show("/orders/{id}/sheets/{pool}/{nth}", Planner, pages::sheet::show),
        change("/orders/{id}/sheets/{pool}/{nth}", Planner, pages::sheet::changed),
        show("/orders/{id}/sheets/{pool}/{nth}/try", Planner, pages::sheet::tried),
        change("/orders/{id}/plan", Planner, pages::edit::plan),
        change("/orders/{id}/together", Planner, pages::edit::together),
        change("/orders/{id}/print", Planner, pages::edit::print),
        change("/orders/{id}/line", Planner, pages::edit::line),
        change("/orders/{id}/head", Planner, pages::edit::head),
        change("/orders/{id}/text", Planner, pages::edit::text),
        change("/orders/{id}/way", Planner, pages::edit::way),
        change("/orders/{id}/answer", Planner, pages::edit::answer),
        change("/orders/{id}/repeat", Planner, pages::edit::repeat),
        change("/orders/{id}/undo", Planner, pages::edit::undo),
        change("/orders/{id}/redo", Planner, pages::edit::redo),
        change("/orders/{id}/repair", Planner, pages::edit::repair),
        show("/orders/{id}/repair/{line}/{print}/{name}", Planner, pages::files::repair),
        change("/orders/{id}/standing", Planner, pages::standing::note),
        change("/orders/{id}/took", Planner, pages::took::keep),
        change("/orders/{id}/left-over", Planner, pages::left_over::keep),
        change("/orders/{id}/assumed", Planner, pages::edit::assumed),
        show("/orders/{id}/on/{line}/{print}/{nth}", Planner, pages::try_place::on_size),
        change("/orders/{id}/link", Planner, pages::customer::make_link),
        change("/orders/{id}/link/revoke", Planner, pages::customer::revoke),
        show("/q/{secret}", Link, pages::customer::show),
        show("/q/{secret}/picture/{name}", Link, pages::customer::picture),
        show("/q/{secret}/quote.pdf", Link, pages::customer::quote),
        change("/q/{secret}/sign", Link, pages::customer::sign),
        change("/q/{secret}/wish", Link, pages::customer::wish),
        show("/press", Press, pages::press::list),
        show("/press/worker.js", Press, pages::press::worker),
        show("/press/{id}/{line}/{print}", Press, pages::press::run),
        change("/press/{id}/{line}/{print}/count", Press, pages::press::count),
        show("/heat", Press, pages::heat::show),
        show("/heat/answer", Press, pages::heat::answer),
        show("/shelf", Planner, pages::shelf::show),
        change("/shelf", Planner, pages::shelf::seen),
        change("/on-hand", Planner, pages::on_hand::put),
        change("/on-hand/{id}", Planner, pages::on_hand::counted),
        show("/shelf/{name}", Planner, pages::shelf::file),
        upload("/shelf/{name}", Planner, pages::shelf::keep),
        show("/shelf/{name}/file", Planner, pages::shelf::export),
        show("/add/{kind}", Planner, pages::shelf_item::blank),
        change("/add/{kind}", Planner, pages::shelf_item::keep),
        show("/first", Owner, pages::first::blank),
        upload("/first", Owner, pages::first::made),
        show("/people", Owner, pages::people::show),
        change("/people", Owner, pages::people::keep),
    ]
}

/// The page as a service.
pub fn router(app: Arc<App>) -> Router {
    let mut router = Router::new();
    for route in routes() {
        let filter = match route.verb {
            Verb::Show => MethodFilter::GET,
            Verb::Change => MethodFilter::POST,
        };
        let of = app.clone();
        let handler = move |request: Request| {
            let app = of.clone();
            async move { answered(&app, route, request).await }
        };
        router = router.route(route.path, on(filter, handler));
    }
    let of = app.clone();
    let nowhere = move |request: Request| {
        let app = of.clone();
        async move { outside(&app, &request) }
    };
    router.fallback(nowhere.clone()).method_not_allowed_fallback(nowhere).layer(DefaultBodyLimit::disable())
}

/// An address that is none of ours; strangers' host names learn nothing from it.
fn outside(app: &App, request: &Request) -> Response {
    let w = Tongue::new(UnitSystem::Metric);
    let response = match app.hosts.knows(host_of(request)) {
        true => fault(&w, &Fault::Missing),
        false => told(&w, StatusCode::MISDIRECTED_REQUEST, w.t("web.other-host"), w.t("web.other-host-remedy")),
    };
    guarded(response, app.hosts.secure())
}

/// The name of the cookie; over HTTPS one that no other host can set.
pub(crate) fn cookie_name(secure: bool) -> &'static str {
    if secure { "__Host-bondline" } else { "bondline" }
}

fn header_of(request: &Request, name: header::HeaderName) -> Option<&str> {
    request.headers().get(name).and_then(|value| value.to_str().ok())
}

/// What the page was called by: HTTP/2 says it beside the path instead of in a header (RFC 9113, 8.3.1).
fn host_of(request: &Request) -> Option<&str> {
    header_of(request, header::HOST).or_else(|| request.uri().authority().map(|authority| authority.as_str()))
}

fn cookie(request: &Request, name: &str) -> Option<String> {
    let all = header_of(request, header::COOKIE)?;
    all.split(';')
        .filter_map(|pair| pair.trim().split_once('='))
        .find(|(known, _)| *known == name)
        .map(|(_, v)| v.to_owned())
}

async fn answered(app: &Arc<App>, route: Route, request: Request) -> Response {
    let secure = app.hosts.secure();
    let units = match cookie(&request, "units").as_deref() {
        Some("inch") => Some(UnitSystem::Inch),
        Some("metric") => Some(UnitSystem::Metric),
        _ => None,
    };
    let w = Tongue::new(units.unwrap_or(UnitSystem::Metric));
    let response = match knock(app, route, &request) {
        Err((status, what, remedy)) => told(&w, status, w.t(what), w.t(remedy)),
        Ok(()) => match read(route, request, secure).await {
            None => told(&w, StatusCode::PAYLOAD_TOO_LARGE, w.t("web.too-large"), w.t("web.too-large-remedy")),
            Some((ask, from_page)) => {
                let app = app.clone();
                let work = tokio::task::spawn_blocking(move || handled(&app, route, &ask, from_page, units));
                work.await.unwrap_or_else(|_| fault(&w, &Fault::Unset))
            }
        },
    };
    guarded(response, secure)
}

/// What can be told from the head of a request alone.
fn knock(app: &App, route: Route, request: &Request) -> Result<(), (StatusCode, &'static str, &'static str)> {
    use crate::guard::Door;
    if !app.hosts.knows(host_of(request)) {
        return Err((StatusCode::MISDIRECTED_REQUEST, "web.other-host", "web.other-host-remedy"));
    }
    let from = request.extensions().get::<ConnectInfo<SocketAddr>>();
    let from = from.map_or(IpAddr::V4(Ipv4Addr::LOCALHOST), |ConnectInfo(address)| address.ip());
    let door = match (route.path, route.need) {
        ("/sign-in", _) if route.verb == Verb::Change => Door::SignIn,
        ("/enter", _) => Door::SignIn,
        (_, Need::Link) => Door::Link,
        _ => Door::Page,
    };
    // On this machine alone nobody is kept from their own pages.
    let free = door == Door::Page && !app.hosts.secure();
    if !free && !app.limits.admits(from, door, app.now_ms()) {
        return Err((StatusCode::TOO_MANY_REQUESTS, "web.too-often", "web.too-often-remedy"));
    }
    let origin = header_of(request, header::ORIGIN);
    // A customer's page sends no referrer, and then a browser says "null" for its own origin too (Fetch, "append a
    // request `Origin` header"). Whoever knows the link's secret may sign with it; what comes from another site is
    // told by the browser.
    let by_link = route.need == Need::Link
        && origin == Some("null")
        && request.headers().get("sec-fetch-site").is_none_or(|site| site == "same-origin");
    if route.verb == Verb::Change && !by_link && !app.hosts.own_origin(origin) {
        return Err((StatusCode::FORBIDDEN, "web.other-origin", "web.other-origin-remedy"));
    }
    Ok(())
}

/// Reads a request within its limit; whether it carries the token comes out with the session later.
async fn read(route: Route, request: Request, secure: bool) -> Option<(Ask, Option<String>)> {
    let cookie = cookie(&request, cookie_name(secure));
    let by_script = request.headers().contains_key("x-bondline-token");
    let header_token = request.headers().get("x-bondline-token").and_then(|v| v.to_str().ok()).map(str::to_owned);
    let query = Query::<Vec<(String, String)>>::try_from_uri(request.uri()).map(|Query(all)| all).unwrap_or_default();
    let (mut parts, body) = request.into_parts();
    let path = RawPathParams::from_request_parts(&mut parts, &()).await.ok()?;
    let path = path.iter().map(|(_, value)| value.to_owned()).collect();
    let mut ask = Ask { path, query: Fields(query), cookie, by_script, ..Ask::default() };
    if parts.method == Method::POST {
        let bytes = axum::body::to_bytes(body, route.most).await.ok()?;
        if !bytes.is_empty() {
            (ask.fields, ask.files) = read_body(Request::from_parts(parts, Body::from(bytes))).await?;
        }
    }
    let token = header_token.or_else(|| ask.fields.has("token").then(|| ask.fields.get("token").to_owned()));
    Some((ask, token))
}

/// With the store at hand: session, role, token, then the handler.
fn handled(app: &App, route: Route, ask: &Ask, token: Option<String>, wish: Option<UnitSystem>) -> Response {
    let shop_units = || app.kept.shop().ok().map(|shop| shop.value.units);
    let w = Tongue::new(wish.or_else(shop_units).unwrap_or_default());
    let secret = ask.cookie.as_deref().and_then(Secret::of);
    let session = match secret.map(|secret| app.sessions().of(&secret)).transpose() {
        Ok(session) => session.flatten(),
        Err(error) => return fault(&w, &Fault::from(error)),
    };
    let open = matches!(route.need, Need::Nobody | Need::Link);
    match &session {
        None if !open && route.verb == Verb::Show && !ask.by_script => return on_to("/sign-in"),
        None if !open => {
            return told(&w, StatusCode::UNAUTHORIZED, w.t("web.no-session"), w.t("web.no-session-remedy"));
        }
        Some(session) if !allows(session.role, route.need) => {
            return told(&w, StatusCode::FORBIDDEN, w.t("web.not-your-role"), w.t("web.not-your-role-remedy"));
        }
        Some(session)
            if route.verb == Verb::Change
                && !open
                && !token.as_deref().is_some_and(|token| same(token, &session.token)) =>
        {
            return told(&w, StatusCode::FORBIDDEN, w.t("web.no-token"), w.t("web.no-token-remedy"));
        }
        _ => {}
    }
    let ctx = Ctx { app, session, w };
    (route.handler)(&ctx, ask).unwrap_or_else(|error| fault(&ctx.w, &error))
}
