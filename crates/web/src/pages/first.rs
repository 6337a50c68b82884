//! The first start of an empty shop: the demo, or the shop's own files.

use crate::answer::{Answer, Fault, Frame, on_to, page, page_as};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::tongue::Tongue;
use askama::Template;
use axum::http::StatusCode;
use desk::kept::DeedError;

#[derive(Template)]
#[template(path = "first.html")]
struct First {
    frame: Frame,
    w: Tongue,
    faults: Vec<String>,
    names: Vec<&'static str>,
}

fn view(ctx: &Ctx<'_>, faults: Vec<String>) -> First {
    let w = ctx.w;
    First { frame: Frame::new(ctx, w.t("web.first"), "today"), w, faults, names: trade::form::FILE_NAMES.to_vec() }
}

pub(crate) fn blank(ctx: &Ctx<'_>, _: &Ask) -> Answer {
    page(&view(ctx, Vec::new()))
}

pub(crate) fn made(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    if ask.fields.get("with") == "demo" {
        let id = desk::put_demo(ctx.kept(), &ctx.hand())?;
        return Ok(on_to(&format!("/orders/{id}")));
    }
    let mut files = Vec::new();
    for file in ask.files.iter().filter(|file| file.field == "files") {
        let name = file.name.rsplit(['/', '\\']).next().unwrap_or("").to_owned();
        if trade::form::FILE_NAMES.contains(&name.as_str()) {
            files.push((name, String::from_utf8_lossy(&file.bytes).replace("\r\n", "\n"), 0));
        }
    }
    match ctx.kept().put_shop_files(&files, &ctx.hand()) {
        Ok(_) => Ok(on_to("/")),
        Err(DeedError::Faults(faults)) => {
            let faults = faults.iter().map(ToString::to_string).collect();
            page_as(StatusCode::UNPROCESSABLE_ENTITY, &view(ctx, faults))
        }
        Err(error) => Err(Fault::from(error)),
    }
}
