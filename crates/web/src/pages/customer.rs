//! The customer's page of one quote, by a link that shows nothing else.

use crate::answer::{Answer, Fault, download, page_as, with, with_only};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::form::plan::PlanFile;
use crate::guard::Secret;
use crate::pages::order::{Aside, shown};
use crate::plans::plan_file;
use crate::tongue::Tongue;
use askama::Template;
use axum::http::{StatusCode, header};
use axum::response::Response;
use desk::kept::{Deed, DeedError, KeptPlan};
use store::form::{AssumedOf, LinkForm, SignOff};
use store::{Stamp, Write};

struct WayLine {
    name: String,
    net: String,
    lines: Vec<String>,
    taken: bool,
}

#[derive(Template)]
#[template(path = "customer.html")]
struct CustomerPage {
    w: Tongue,
    v: &'static str,
    secret: String,
    version: i64,
    shop: String,
    name: String,
    customer: String,
    due: String,
    lines: Vec<(String, String, Vec<String>)>,
    net: String,
    taxes: Vec<(String, String)>,
    gross: String,
    deposit: String,
    valid: String,
    ways: Vec<WayLine>,
    terms: Vec<String>,
    signed: Option<String>,
    wished: Option<String>,
    told: String,
    ready: bool,
    /// Whether the offer no longer holds: nothing is left to sign.
    over: bool,
    /// Whether a plain frame stands in for art that has not come.
    art_to_come: bool,
}

/// Nothing of the page is kept, indexed, or told to where a link leads.
fn private(response: Response) -> Response {
    let response = with(response, header::REFERRER_POLICY, "no-referrer");
    let response = with_only(response, header::CACHE_CONTROL, "no-store");
    with(response, header::HeaderName::from_static("x-robots-tag"), "noindex, nofollow, noarchive")
}

/// The order of a link that holds.
fn order_of(ctx: &Ctx<'_>, ask: &Ask) -> Result<String, Fault> {
    let secret = Secret::of(ask.part(0)).ok_or(Fault::Missing)?;
    let link = ctx.kept().store().get::<LinkForm>(&secret.hash())?;
    link.filter(|record| !record.body.revoked).map(|record| record.body.order).ok_or(Fault::Missing)
}

pub(crate) fn show(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let order = order_of(ctx, ask)?;
    view(ctx, ask, &order, StatusCode::OK, String::new())
}

/// The plan a customer is quoted: that of the order as it is now.
///
/// What changes on the shop's own shelf does not take an offer back; until when it holds stands on the page.
fn quoted(ctx: &Ctx<'_>, id: &str) -> Result<Option<KeptPlan>, Fault> {
    Ok(ctx.kept().plan_of(id)?.filter(|plan| !(plan.stale && plan.order_changed)))
}

fn view(ctx: &Ctx<'_>, ask: &Ask, id: &str, status: StatusCode, told: String) -> Answer {
    let w = ctx.w;
    let order = ctx.kept().order(id)?;
    let shop = ctx.kept().shop()?;
    let shop = &shop.value;
    let mut page_of = CustomerPage {
        w,
        v: crate::assets::version(),
        secret: ask.part(0).to_owned(),
        version: order.version,
        shop: words::clean(&shop.name),
        name: words::clean(&order.listed.name),
        customer: words::clean(&order.listed.customer),
        due: w.moment(&order.listed.due),
        lines: Vec::new(),
        net: String::new(),
        taxes: Vec::new(),
        gross: String::new(),
        deposit: String::new(),
        valid: String::new(),
        ways: Vec::new(),
        terms: shop.pricing.terms.iter().map(|term| words::clean(term)).collect(),
        signed: None,
        wished: None,
        told,
        ready: false,
        over: false,
        art_to_come: order.assumed().iter().any(|one| one.of == AssumedOf::ArtToCome),
    };
    match &order.form.standing.sign_off {
        SignOff::Open => {
            let over = ctx.kept().offer_over(id, &ctx.hand())?;
            page_of.over = over.is_some();
            if page_of.told.is_empty() {
                page_of.told = over.map(|over| DeedError::Refused(over).to_string()).unwrap_or_default();
            }
        }
        SignOff::Signed { by, at_ms, .. } => {
            page_of.signed = Some(w.ab("web.sign-off-signed", words::clean(by), w.at(*at_ms)))
        }
        SignOff::ChangeWished { by, wish, .. } => {
            page_of.wished = Some(w.ab("web.sign-off-wish", words::clean(by), words::clean(wish)));
        }
    }
    if let Some(kept) = quoted(ctx, id)? {
        let at = kept.form.orders.iter().position(|planned| planned.id == id).unwrap_or(0);
        if let Some(file) = plan_file(ctx, &kept.form)? {
            fill(&w, shop, &kept, &file, at, &mut page_of);
        }
    }
    Ok(private(page_as(status, &page_of)?))
}

fn fill(w: &Tongue, shop: &trade::Shop, kept: &KeptPlan, file: &PlanFile, at: usize, page_of: &mut CustomerPage) {
    let (Some(part), Some(currency)) = (file.orders.get(at), file.money()) else { return };
    let money = |minor| w.money(minor, currency);
    let garment = |id: &str| words::clean(shop.find_garment(id).map_or(id, |id| shop.garment(id).name.as_str()));
    for (nth, line) in part.lines.iter().enumerate() {
        let prefix = format!("pictures/garment-{}-{}-", at + 1, nth + 1);
        let pictures = kept.form.files.iter().filter(|file| file.name.starts_with(&prefix));
        let pictures = pictures.map(|file| file.name.trim_start_matches("pictures/").to_owned()).collect();
        let sizes: Vec<String> =
            line.sizes.iter().map(|size| format!("{} {}", words::clean(&size.size), size.count)).collect();
        let unit = match &line.price {
            Some(price) => w.f(
                "web.line-price",
                &[("sizes", sizes.join(", ")), ("unit", money(price.unit.value)), ("total", money(price.total))],
            ),
            None => w.a("web.line-not-priced", sizes.join(", ")),
        };
        page_of.lines.push((format!("{}, {}", garment(&line.garment), words::clean(&line.colour)), unit, pictures));
    }
    let price = &part.price;
    page_of.net = money(price.net.value);
    page_of.taxes = price.taxes.iter().map(|tax| (words::clean(&tax.name), money(tax.amount))).collect();
    page_of.gross = money(price.gross);
    page_of.deposit = money(price.deposit);
    page_of.valid = w.day(&price.valid_until);
    page_of.ways = part
        .ways
        .iter()
        .map(|way| WayLine {
            name: crate::pages::order::way_name(w, &way.way),
            net: money(way.net),
            lines: way.lines.iter().flatten().flat_map(|line| line.extras.iter().map(|code| w.code(code))).fold(
                Vec::new(),
                |mut all, extra| {
                    if !all.contains(&extra) {
                        all.push(extra);
                    }
                    all
                },
            ),
            taken: way.way == part.way,
        })
        .collect();
    page_of.ready = true;
}

pub(crate) fn picture(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let order = order_of(ctx, ask)?;
    if !ask.part(1).starts_with("garment-") {
        return Err(Fault::Missing);
    }
    crate::pages::files::of_plan(ctx, &order, ask.part(1)).map(private)
}

pub(crate) fn quote(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let order = order_of(ctx, ask)?;
    let plan = quoted(ctx, &order)?.ok_or(Fault::Missing)?;
    let at = plan.form.orders.iter().position(|planned| planned.id == order).unwrap_or(0);
    let bytes = ctx.kept().plan_file(&plan, &format!("papers/quote-{}.pdf", at + 1))?;
    Ok(private(download("quote.pdf", bytes)))
}

/// A link for the customer; its secret is shown once and kept as its hash.
pub(crate) fn make_link(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    ctx.kept().order(id)?;
    let secret = Secret::new().ok_or(Fault::Unset)?;
    let form = LinkForm { order: id.to_owned(), made_ms: ctx.app.now_ms(), revoked: false };
    let write = Write::of(&secret.hash(), 0, &form, "link made")?;
    ctx.kept().store().change(&ctx.hand(), &[], &[write])?;
    let scheme = if ctx.app.hosts.secure() { "https" } else { "http" };
    let link = format!("{scheme}://{}/q/{}", ctx.app.hosts.first(), secret.shown());
    shown(ctx, id, false, Aside { link: Some(link), ..Aside::default() })
}

pub(crate) fn revoke(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let store = ctx.kept().store();
    let record = store.get::<LinkForm>(ask.fields.get("link"))?.filter(|record| record.body.order == ask.part(0));
    let record = record.ok_or(Fault::Missing)?;
    let form = LinkForm { revoked: true, ..record.body };
    store.change(&ctx.hand(), &[], &[Write::of(&record.id, record.version, &form, "link taken back")?])?;
    Ok(crate::answer::on_to(&format!("/orders/{}", ask.part(0))))
}

/// The customer signs off by name, on exactly what the page showed.
pub(crate) fn sign(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let order = order_of(ctx, ask)?;
    if ask.fields.get("sure") != "yes" {
        return view(ctx, ask, &order, StatusCode::UNPROCESSABLE_ENTITY, ctx.w.t("web.sign-all"));
    }
    let name = words::clean(ask.fields.get("name"));
    by_customer(ctx, ask, &order, &name, |on, hand| ctx.kept().customer_signs(&order, on, &name, hand).map(|_| ()))
}

/// The customer wishes for something else.
pub(crate) fn wish(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let order = order_of(ctx, ask)?;
    let name = words::clean(ask.fields.get("name"));
    let wish: String = words::clean(ask.fields.get("wish")).chars().take(2000).collect();
    by_customer(ctx, ask, &order, &name, |on, hand| ctx.kept().wish_change(&order, on, &name, &wish, hand).map(|_| ()))
}

/// A deed in the customer's name, on the version that the page showed.
fn by_customer(
    ctx: &Ctx<'_>,
    ask: &Ask,
    order: &str,
    name: &str,
    deed: impl FnOnce(i64, &Stamp) -> Deed<()>,
) -> Answer {
    let hand = Stamp { at_ms: ctx.app.now_ms(), by: ctx.w.a("web.by-customer", name) };
    let (status, told) = match deed(ask.version(), &hand) {
        Ok(()) => (StatusCode::OK, ctx.w.t("web.thank-you")),
        Err(DeedError::Conflict { .. }) => (StatusCode::CONFLICT, ctx.w.t("web.quote-changed")),
        Err(error) => (StatusCode::UNPROCESSABLE_ENTITY, error.to_string()),
    };
    view(ctx, ask, order, status, told)
}
