//! The first start of an empty shop: the demo, or the shop's own files.

use crate::answer::{Answer, Fault, Frame, on_to, page, page_as};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::tongue::Tongue;
use askama::Template;
use axum::http::StatusCode;
use desk::kept::DeedError;
use desk::{FirstShop, FirstTransfer};
use units::UnitSystem;

#[derive(Template)]
#[template(path = "first.html")]
struct First {
    frame: Frame,
    w: Tongue,
    faults: Vec<String>,
    names: Vec<&'static str>,
    /// What was answered so far.
    a: FirstShop,
    inch: bool,
}

fn view(ctx: &Ctx<'_>, ask: &Ask, faults: Vec<String>) -> First {
    let w = ctx.w;
    let a = answers(ask);
    let inch = a.units == UnitSystem::Inch;
    First {
        frame: Frame::new(ctx, w.t("web.first"), "today"),
        w,
        faults,
        names: trade::form::FILE_NAMES.to_vec(),
        a,
        inch,
    }
}

pub(crate) fn blank(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    page(&view(ctx, ask, Vec::new()))
}

pub(crate) fn made(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    if ask.fields.get("with") == "demo" {
        let id = desk::put_demo(ctx.kept(), &ctx.hand())?;
        return Ok(on_to(&format!("/orders/{id}")));
    }
    if ask.fields.get("with") == "answers" {
        let files = desk::first_shop(&answers(ask)).into_iter().map(|(name, text)| (name, text, 0)).collect();
        return keep(ctx, ask, files);
    }
    let mut files = Vec::new();
    for file in ask.files.iter().filter(|file| file.field == "files") {
        let name = file.name.rsplit(['/', '\\']).next().unwrap_or("").to_owned();
        if trade::form::FILE_NAMES.contains(&name.as_str()) {
            files.push((name, String::from_utf8_lossy(&file.bytes).replace("\r\n", "\n"), 0));
        }
    }
    keep(ctx, ask, files)
}

fn keep(ctx: &Ctx<'_>, ask: &Ask, files: Vec<(String, String, i64)>) -> Answer {
    match ctx.kept().put_shop_files(&files, &ctx.hand()) {
        Ok(_) => Ok(on_to("/")),
        Err(DeedError::Faults(faults)) => {
            // Lines of a file say nothing to someone who answered questions.
            let answered = ask.fields.get("with") == "answers";
            let faults = faults.iter().map(|fault| match answered {
                true => format!("{}. {}.", fault.what, fault.remedy),
                false => fault.to_string(),
            });
            let faults = faults.collect();
            page_as(StatusCode::UNPROCESSABLE_ENTITY, &view(ctx, ask, faults))
        }
        Err(error) => Err(Fault::from(error)),
    }
}

fn answers(ask: &Ask) -> FirstShop {
    let get = |name: &str| ask.fields.get(name).to_owned();
    // Money may be typed with a comma; files take a point.
    let money = |name: &str| ask.fields.get(name).replace(',', ".");
    let transfer = |nth: usize| FirstTransfer {
        name: get(&format!("name{nth}")),
        sheet: get(&format!("sheet{nth}")),
        printed: ask.fields.get(&format!("kind{nth}")) == "printed",
        temperature: get(&format!("temperature{nth}")),
        dwell: get(&format!("dwell{nth}")),
        peel: get(&format!("peel{nth}")),
        price: money(&format!("price{nth}")),
    };
    FirstShop {
        name: get("name"),
        currency: get("currency").to_uppercase(),
        units: if ask.fields.get("units") == "inch" { UnitSystem::Inch } else { UnitSystem::Metric },
        hour: money("hour"),
        plate: (get("plate-width"), get("plate-depth")),
        tee: money("tee"),
        transfers: [transfer(1), transfer(2)],
    }
}
