//! Every address × every role × a foreign session, and what else a request must show.

use crate::common::{HOST, ORIGIN, Shop};
use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use store::form::Role;
use web::guard::{Secret, allows};
use web::{Need, Route, routes};

/// An address with its varying parts filled in.
fn address(route: &Route) -> String {
    route
        .path
        .replace("{version}", "x")
        .replace("{*name}", "art/kite.svg")
        .replace("{id}", "1")
        .replace("{line}", "1")
        .replace("{print}", "1")
        .replace("{secret}", &"a".repeat(32))
        .replace("{name}", "look.css")
}

fn request(
    route: &Route,
    cookie: Option<&str>,
    token: Option<&str>,
    host: &str,
    origin: Option<&str>,
) -> Request<Body> {
    let shows = format!("{:?}", route.verb) == "Show";
    let mut request =
        Request::builder().method(if shows { "GET" } else { "POST" }).uri(address(route)).header(header::HOST, host);
    if let Some(cookie) = cookie {
        request = request.header(header::COOKIE, cookie);
    }
    if let Some(origin) = origin.filter(|_| !shows) {
        request = request.header(header::ORIGIN, origin);
    }
    let body = match token.filter(|_| !shows) {
        Some(token) => {
            request = request.header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
            Body::from(format!("token={token}"))
        }
        None => Body::empty(),
    };
    request.body(body).expect("a request")
}

/// Whether the door let a request through to its handler.
fn let_through(status: StatusCode, to: &str) -> bool {
    let stopped = [
        StatusCode::UNAUTHORIZED,
        StatusCode::FORBIDDEN,
        StatusCode::MISDIRECTED_REQUEST,
        StatusCode::TOO_MANY_REQUESTS,
    ];
    !stopped.contains(&status) && to != "/sign-in"
}

#[test]
fn every_address_by_every_role_and_a_foreign_session() {
    let shop = Shop::new();
    let other = Shop::empty();
    let foreign = other.session(Role::Owner);
    let unknown = Secret::new().expect("random");
    let strangers: [(Option<String>, String); 4] = [
        (None, String::new()),
        (Some(foreign.0), foreign.1),
        (Some(format!("bondline={}", unknown.shown())), "x".repeat(32)),
        (Some("bondline=no-secret-at-all".to_owned()), String::new()),
    ];
    let mut seen = 0;
    for route in routes() {
        // Addresses that slow guessing down are asked of a shop of their own.
        let fresh = ["/sign-in", "/enter"].contains(&route.path).then(Shop::new);
        let shop = fresh.as_ref().unwrap_or(&shop);
        let open = matches!(route.need, Need::Nobody | Need::Link);
        for (cookie, token) in &strangers {
            let heard = shop.ask(request(&route, cookie.as_deref(), Some(token), HOST, Some(ORIGIN)));
            let through = let_through(heard.status, heard.header("location"));
            if route.path == "/sign-in" && route.verb == web::Verb::Change {
                assert_eq!(heard.status, StatusCode::FORBIDDEN, "{route:?}: no such account");
            } else if route.path != "/enter" {
                assert_eq!(through, open, "{route:?} by a stranger: {}", heard.status);
            }
            seen += 1;
        }
        for role in [Role::Press, Role::Planner, Role::Owner] {
            let (cookie, token) = shop.session(role);
            let heard = shop.ask(request(&route, Some(&cookie), Some(&token), HOST, Some(ORIGIN)));
            let through = let_through(heard.status, heard.header("location"));
            if !["/sign-in", "/sign-out", "/enter"].contains(&route.path) {
                assert_eq!(through, allows(role, route.need), "{route:?} by {role:?}: {}", heard.status);
            }
            seen += 1;
        }
    }
    assert!(seen > 250, "the table was walked: {seen}");
}

#[test]
fn roles_rise() {
    let needs = [Need::Nobody, Need::Link, Need::Press, Need::Planner, Need::Owner];
    let may = |role| needs.iter().filter(|need| allows(role, **need)).count();
    assert_eq!([may(Role::Press), may(Role::Planner), may(Role::Owner)], [3, 4, 5]);
    let of =
        |path: &str| routes().iter().filter(|route| route.path == path).map(|route| route.need).collect::<Vec<_>>();
    assert_eq!(of("/people"), [Need::Owner, Need::Owner]);
    assert_eq!(of("/press"), [Need::Press]);
    // Only what is listed here may be opened by nobody or by a link alone.
    let open: Vec<&str> = routes()
        .iter()
        .filter(|route| matches!(route.need, Need::Nobody | Need::Link))
        .map(|route| route.path)
        .filter(|path| !path.starts_with("/q/{secret}"))
        .collect();
    assert_eq!(open, ["/a/{version}/{name}", "/enter", "/sign-in", "/sign-in"]);
}

#[test]
fn changes_come_from_our_own_pages_with_the_sessions_own_token() {
    let shop = Shop::new();
    let (cookie, token) = shop.session(Role::Owner);
    let (_, of_another) = shop.session(Role::Owner);
    for route in routes().iter().filter(|route| route.verb == web::Verb::Change) {
        if route.path == "/sign-in" {
            continue;
        }
        let sent = |token: Option<&str>, host: &str, origin: Option<&str>| {
            shop.ask(request(route, Some(&cookie), token, host, origin)).status
        };
        assert_eq!(sent(Some(&token), HOST, None), StatusCode::FORBIDDEN, "{route:?} without origin");
        for origin in ["http://stranger.example", "https://127.0.0.1:7180", "http://127.0.0.1:1"] {
            assert_eq!(sent(Some(&token), HOST, Some(origin)), StatusCode::FORBIDDEN, "{route:?} from {origin}");
        }
        // A page without referrer has "null" for its origin, as pages of strangers may have (Fetch, "append a request
        // `Origin` header"): only a customer's page is such a one, and other sites are told by the browser.
        let from = |site: &str| {
            let mut request = request(route, Some(&cookie), Some(&token), HOST, Some("null"));
            request.headers_mut().insert("sec-fetch-site", site.parse().expect("a header"));
            shop.ask(request).status
        };
        assert_eq!(from("cross-site"), StatusCode::FORBIDDEN, "{route:?} from another site");
        let refused = matches!(route.need, Need::Link).then_some(StatusCode::NOT_FOUND);
        assert_eq!(from("same-origin"), refused.unwrap_or(StatusCode::FORBIDDEN), "{route:?} from a page without name");
        if !matches!(route.need, Need::Link) {
            for token in [None, Some(""), Some("x"), Some(of_another.as_str())] {
                assert_eq!(sent(token, HOST, Some(ORIGIN)), StatusCode::FORBIDDEN, "{route:?} with token {token:?}");
            }
        }
    }
}

#[test]
fn other_host_names_learn_nothing() {
    let shop = Shop::new();
    let (cookie, token) = shop.session(Role::Owner);
    for route in routes() {
        for host in ["stranger.example:7180", "127.0.0.1", "127.0.0.1:80", ""] {
            let heard = shop.ask(request(&route, Some(&cookie), Some(&token), host, Some(ORIGIN)));
            assert_eq!(heard.status, StatusCode::MISDIRECTED_REQUEST, "{route:?} as {host}");
            assert!(!heard.text.contains("Riverside"), "{route:?} as {host}");
        }
    }
    let nowhere =
        Request::get("/nowhere").header(header::HOST, "stranger.example").body(Body::empty()).expect("a request");
    assert_eq!(shop.ask(nowhere).status, StatusCode::MISDIRECTED_REQUEST);
}

/// What every response says; the policy's directives by W3C Content Security Policy Level 3.
#[test]
fn every_response_is_guarded() {
    let shop = Shop::new();
    let (cookie, _) = shop.session(Role::Owner);
    for path in ["/", "/orders/1", "/nowhere", "/sign-in", "/a/x/look.css", "/shelf", "/people"] {
        let heard = shop.get(path, &cookie);
        let policy = heard.header("content-security-policy");
        for directive in
            ["default-src 'none'", "script-src 'self'", "style-src 'self'", "frame-ancestors 'none'", "base-uri 'none'"]
        {
            assert!(policy.contains(directive), "{path}: {policy}");
        }
        assert!(!policy.contains("unsafe"), "{path}");
        assert_eq!(heard.header("x-content-type-options"), "nosniff", "{path}");
        assert!(!heard.header("cache-control").is_empty(), "{path}");
        // No script or style stands within a page: the policy would not run it.
        assert!(!heard.text.contains("<script>") && !heard.text.contains("<style"), "{path}");
        assert!(!heard.text.contains(" style=\"") && !heard.text.contains(" onclick="), "{path}");
    }
}

#[test]
fn the_printed_address_opens_one_session_once() {
    let shop = Shop::new();
    let token = shop.app.sessions().launch().expect("kept").expect("random");
    let path = format!("/enter?token={}", token.shown());
    let first = shop.get(&path, "");
    assert_eq!((first.status, first.header("location")), (StatusCode::SEE_OTHER, "/"));
    let cookie = first.header("set-cookie").to_owned();
    for part in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    let cookie = cookie.split(';').next().expect("a pair").to_owned();
    assert_eq!(shop.get("/", &cookie).status, StatusCode::OK);
    let second = shop.get(&path, "");
    assert_eq!((second.header("location"), second.header("set-cookie")), ("/sign-in", ""));
    // The secret itself is not in the store, only its hash.
    let secret = cookie.split('=').nth(1).expect("a secret");
    let kept = shop.app.kept.store().slip("session", secret, 0).expect("read");
    assert_eq!(kept, None);
}

#[test]
fn guessing_passwords_is_slowed() {
    let shop = Shop::new();
    let hash = web::guard::hash_password("kites over the river").expect("hashed");
    let form = store::form::AccountForm { name: "Ines".into(), role: Role::Planner, password: hash, active: true };
    let write = store::Write::of("ines", 0, &form, "made").expect("a form");
    shop.app.kept.store().change(&desk::kept::hand("test"), &[], &[write]).expect("kept");
    let right = shop.post("/sign-in", "", &[("name", "Ines"), ("password", "kites over the river")]);
    assert_eq!(right.status, StatusCode::SEE_OTHER);
    let cookie = right.header("set-cookie").split(';').next().expect("a pair").to_owned();
    assert_eq!(shop.get("/orders/new", &cookie).status, StatusCode::OK);
    assert_eq!(shop.get("/people", &cookie).status, StatusCode::FORBIDDEN);
    let tries: Vec<StatusCode> =
        (0..12).map(|_| shop.post("/sign-in", "", &[("name", "Ines"), ("password", "guess")]).status).collect();
    assert_eq!(tries.iter().filter(|status| **status == StatusCode::FORBIDDEN).count(), 9);
    assert_eq!(tries.last(), Some(&StatusCode::TOO_MANY_REQUESTS));
    // A closed account's sessions end at once.
    let closed = store::form::AccountForm { active: false, ..form };
    let write = store::Write::of("ines", 1, &closed, "closed").expect("a form");
    shop.app.kept.store().change(&desk::kept::hand("test"), &[], &[write]).expect("kept");
    assert_eq!(shop.get("/", &cookie).header("location"), "/sign-in");
}
