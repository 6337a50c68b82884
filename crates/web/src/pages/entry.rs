//! Coming in and going out: the address printed at the start, signing in, units.

use crate::answer::{Answer, Fault, on_to, page, page_as, with};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::guard::{Secret, password_fits};
use crate::routes::cookie_name;
use crate::tongue::Tongue;
use askama::Template;
use axum::http::{StatusCode, header};
use axum::response::Response;
use store::form::{AccountForm, Role};

pub(crate) fn asset(_: &Ctx<'_>, ask: &Ask) -> Answer {
    crate::assets::asset(ask.part(1)).ok_or(Fault::Missing)
}

/// The response that hands a session's secret to the browser.
pub(crate) fn let_in(ctx: &Ctx<'_>, to: &str, secret: &Secret) -> Response {
    let secure = ctx.app.hosts.secure();
    let mark = if secure { "; Secure" } else { "" };
    let life = if secure { 12 * 3600 } else { 30 * 24 * 3600 };
    let cookie =
        format!("{}={}; Path=/; HttpOnly; SameSite=Strict; Max-Age={life}{mark}", cookie_name(secure), secret.shown());
    with(on_to(to), header::SET_COOKIE, &cookie)
}

/// The address printed at the start: used up by the first who opens it.
pub(crate) fn enter(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let sessions = ctx.app.sessions();
    let fits = match Secret::of(ask.query.get("token")) {
        Some(token) => sessions.use_launch(&token)?,
        None => false,
    };
    if !fits {
        return Ok(on_to("/sign-in"));
    }
    let who = ctx.w.t("web.at-this-machine");
    let secret = sessions.begin(&who, Role::Owner, None)?.ok_or(Fault::Unset)?;
    let accounts = ctx.kept().store().all::<AccountForm>()?;
    // From elsewhere the printed address does one thing: make the owner's account.
    let to = if sessions.beyond && accounts.is_empty() { "/people" } else { "/" };
    Ok(let_in(ctx, to, &secret))
}

#[derive(Template)]
#[template(path = "sign_in.html")]
struct SignIn<'a> {
    w: Tongue,
    v: &'static str,
    name: &'a str,
    wrong: bool,
    accounts: bool,
    here: bool,
}

fn form<'a>(ctx: &Ctx<'_>, name: &'a str, wrong: bool) -> Result<SignIn<'a>, Fault> {
    let accounts = ctx.kept().store().all::<AccountForm>()?.iter().any(|record| record.body.active);
    let here = !ctx.app.hosts.secure() || !accounts;
    Ok(SignIn { w: ctx.w, v: crate::assets::version(), name, wrong, accounts, here })
}

pub(crate) fn sign_in(ctx: &Ctx<'_>, _: &Ask) -> Answer {
    if ctx.session.is_some() {
        return Ok(on_to("/"));
    }
    page(&form(ctx, "", false)?)
}

pub(crate) fn signed_in(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let name = ask.fields.get("name").to_lowercase();
    let account = ctx.kept().store().get::<AccountForm>(&name)?.filter(|record| record.body.active);
    let kept = account.as_ref().map(|record| record.body.password.as_str());
    if !password_fits(ask.fields.raw("password"), kept) {
        return page_as(StatusCode::FORBIDDEN, &form(ctx, ask.fields.get("name"), true)?);
    }
    let Some(record) = account else { return Err(Fault::Unset) };
    let secret = ctx.app.sessions().begin(&record.body.name, record.body.role, Some(record.id))?.ok_or(Fault::Unset)?;
    Ok(let_in(ctx, "/", &secret))
}

pub(crate) fn sign_out(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    if let Some(secret) = ask.cookie.as_deref().and_then(Secret::of) {
        ctx.app.sessions().end(&secret)?;
    }
    let gone = format!("{}=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0", cookie_name(ctx.app.hosts.secure()));
    let gone = if ctx.app.hosts.secure() { format!("{gone}; Secure") } else { gone };
    Ok(with(on_to("/sign-in"), header::SET_COOKIE, &gone))
}

/// Millimetres or inches first, from now on.
pub(crate) fn units(_: &Ctx<'_>, ask: &Ask) -> Answer {
    let units = if ask.fields.get("units") == "inch" { "inch" } else { "metric" };
    let cookie = format!("units={units}; Path=/; SameSite=Strict; Max-Age=31536000");
    // Back to where it was switched: a path of our own, nothing that could lead elsewhere.
    let to = ask.fields.get("to");
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '/' | '-' | '_' | '.');
    let own = to.starts_with('/') && !to.starts_with("//") && to.chars().all(plain);
    Ok(with(on_to(if own { to } else { "/" }), header::SET_COOKIE, &cookie))
}
