//! People who sign in: the owner makes accounts and closes them.

use crate::answer::{Answer, Fault, Frame, on_to, page, page_as};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::guard::{PasswordFault, Secret, hash_password};
use crate::pages::entry::let_in;
use crate::tongue::Tongue;
use askama::Template;
use axum::http::StatusCode;
use store::form::{AccountForm, Role};
use store::{Record, Write};

#[derive(Template)]
#[template(path = "people.html")]
struct People {
    frame: Frame,
    w: Tongue,
    first: bool,
    /// Sign-in name, shown name, role, whether active.
    people: Vec<(String, String, String, bool)>,
    fault: String,
    id: String,
    name: String,
}

fn role_said(w: &Tongue, role: Role) -> String {
    match role {
        Role::Owner => w.t("web.role-owner"),
        Role::Planner => w.t("web.role-planner"),
        Role::Press => w.t("web.role-press"),
    }
}

fn view(ctx: &Ctx<'_>, ask: &Ask, fault: String) -> Result<People, Fault> {
    let w = ctx.w;
    let all = ctx.kept().store().all::<AccountForm>()?;
    let row = |record: &Record<AccountForm>| {
        let of = &record.body;
        (record.id.clone(), words::clean(&of.name), role_said(&w, of.role), of.active)
    };
    Ok(People {
        frame: Frame::new(ctx, w.t("web.people"), "people"),
        w,
        first: all.is_empty(),
        people: all.iter().map(row).collect(),
        fault,
        id: ask.fields.get("id").to_owned(),
        name: ask.fields.get("name").to_owned(),
    })
}

pub(crate) fn show(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    page(&view(ctx, ask, String::new())?)
}

pub(crate) fn keep(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    // From elsewhere the printed address opens the door only until there is an account: who made the first goes on
    // as its owner.
    let opened = ctx.session.as_ref().is_some_and(|session| session.account.is_none());
    let first = opened && ctx.app.hosts.secure() && ctx.kept().store().all::<AccountForm>()?.is_empty();
    match kept(ctx, ask)? {
        None if first => {
            let id = ask.fields.get("id").to_lowercase();
            let record = ctx.kept().store().get::<AccountForm>(&id)?.ok_or(Fault::Missing)?;
            let sessions = ctx.app.sessions();
            if let Some(secret) = ask.cookie.as_deref().and_then(Secret::of) {
                sessions.end(&secret)?;
            }
            let secret = sessions.begin(&record.body.name, record.body.role, Some(id))?.ok_or(Fault::Unset)?;
            Ok(let_in(ctx, "/people", &secret))
        }
        None => Ok(on_to("/people")),
        Some(fault) => page_as(StatusCode::UNPROCESSABLE_ENTITY, &view(ctx, ask, ctx.w.t(fault))?),
    }
}

/// Keeps an account; answers with what stands against it.
fn kept(ctx: &Ctx<'_>, ask: &Ask) -> Result<Option<&'static str>, Fault> {
    let store = ctx.kept().store();
    let id = ask.fields.get("id").to_lowercase();
    let fits = (2..=40).contains(&id.len()) && id.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '.'));
    if !fits {
        return Ok(Some("web.bad-account-name"));
    }
    let all = store.all::<AccountForm>()?;
    let known = all.iter().find(|record| record.id == id);
    if ask.fields.get("deed") == "close" {
        let Some(record) = known else { return Err(Fault::Missing) };
        let other_owner = all.iter().any(|other| other.id != id && other.body.active && other.body.role == Role::Owner);
        if record.body.role == Role::Owner && !other_owner {
            return Ok(Some("web.last-owner"));
        }
        let closed = AccountForm { active: false, ..record.body.clone() };
        store.change(&ctx.hand(), &[], &[Write::of(&id, record.version, &closed, "account closed")?])?;
        return Ok(None);
    }
    let role = match ask.fields.get("role") {
        // The first account is the owner's, whoever makes it.
        _ if all.is_empty() => Role::Owner,
        "owner" => Role::Owner,
        "press" => Role::Press,
        _ => Role::Planner,
    };
    let password = match hash_password(ask.fields.raw("password")) {
        Ok(hash) => hash,
        Err(PasswordFault::Short) => return Ok(Some("web.password-short")),
        Err(PasswordFault::Long) => return Ok(Some("web.password-long")),
        Err(PasswordFault::Machine) => return Err(Fault::Unset),
    };
    let name = match words::clean(ask.fields.get("name")) {
        name if name.is_empty() => id.clone(),
        name => name,
    };
    let form = AccountForm { name, role, password, active: true };
    let on = match known {
        Some(record) => record.version,
        None => store.version(store::Kind::Account, &id)?,
    };
    store.change(&ctx.hand(), &[], &[Write::of(&id, on, &form, "account kept")?])?;
    Ok(None)
}
