//! Pictures of a plan as images; everything else only as files to put on the disk.

use crate::answer::{Answer, Fault, download, picture as picture_of, png};
use crate::app::Ctx;
use crate::ask::Ask;

/// A picture of the order's plan, drawn by us.
pub(crate) fn picture(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    of_plan(ctx, ask.part(0), ask.part(1))
}

/// A picture by its bare name, such as `garment-1-1-1.svg`.
pub(crate) fn of_plan(ctx: &Ctx<'_>, order: &str, name: &str) -> Answer {
    let plan = ctx.kept().plan_of(order)?.ok_or(Fault::Missing)?;
    let name = format!("pictures/{name}");
    if !plan.form.files.iter().any(|file| file.name == name) {
        return Err(Fault::Missing);
    }
    let bytes = ctx.kept().plan_file(&plan, &name)?;
    match name.rsplit('.').next() {
        Some("svg") => Ok(picture_of(bytes)),
        Some("png") => Ok(png(bytes)),
        _ => Err(Fault::Missing),
    }
}

/// The art of a print before and after a repair, drawn by us.
pub(crate) fn repair(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let nth = |at: usize| ask.part(at).parse::<usize>().ok().and_then(|nth| nth.checked_sub(1)).ok_or(Fault::Missing);
    let order = ctx.kept().order(ask.part(0))?;
    let svg = ctx.kept().repair_picture(&order, (nth(1)?, nth(2)?), ask.part(3), &ctx.w.speech)?;
    Ok(picture_of(svg.into_bytes()))
}

/// A file of the order's plan.
pub(crate) fn file(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let plan = ctx.kept().plan_of(ask.part(0))?.ok_or(Fault::Missing)?;
    let name = ask.part(1);
    if !plan.form.files.iter().any(|file| file.name == name) {
        return Err(Fault::Missing);
    }
    let bytes = ctx.kept().plan_file(&plan, name)?;
    Ok(download(name.rsplit('/').next().unwrap_or(name), bytes))
}

/// Art as it came: never shown by us, only handed back.
pub(crate) fn art(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let bytes = ctx.kept().art_bytes(ask.part(0), ask.part(1))?;
    Ok(download(ask.part(1).rsplit('/').next().unwrap_or("art"), bytes))
}
