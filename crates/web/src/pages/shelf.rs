//! The shelf: what the shop has and knows, as it is kept in its files.

use crate::answer::{Answer, Fault, Frame, download, on_to, page, page_as};
use crate::app::Ctx;
use crate::ask::{Ask, Fields};
use crate::form::shelf_entry::KINDS;
use crate::pages::on_hand::{self, StockRow};
use crate::parts::hex;
use crate::tongue::Tongue;
use askama::Template;
use axum::http::StatusCode;
use desk::kept::DeedError;
use report::{Origin, Value};
use store::Kind;
use store::form::{EvidenceForm, Seen};
use trade::{Marked, Recipe, Shop, Transfer};

struct GarmentRow {
    name: String,
    id: String,
    colours: Vec<(String, String)>,
    sizes: String,
    /// What a blank costs; empty where the shop does not buy it.
    price: String,
}

/// A recipe with what was seen of it.
struct RecipeRow {
    said: String,
    source: String,
    seen: Vec<String>,
}

struct TransferRow {
    name: String,
    id: String,
    finish: String,
    recipes: Vec<RecipeRow>,
    marked: Vec<String>,
    seen: Vec<String>,
}

#[derive(Template)]
#[template(path = "shelf.html")]
struct Shelf {
    frame: Frame,
    w: Tongue,
    faults: Vec<String>,
    /// What can be added: its word, what its button says.
    kinds: Vec<(&'static str, String)>,
    files: Vec<(String, String)>,
    garments: Vec<GarmentRow>,
    /// Name, marked figures, name used in files.
    cloths: Vec<(String, Vec<String>, String)>,
    transfers: Vec<TransferRow>,
    /// Name, what it has, marked figures.
    presses: Vec<(String, String, Vec<String>)>,
    /// Name, name used in files, what holds for an order there.
    suppliers: Vec<(String, String, Vec<String>)>,
    /// Name, name used in files, price and who sells it, marked figures.
    stock: Vec<(String, String, String, Vec<String>)>,
    on_hand: Vec<StockRow>,
    /// The entry that was just counted, whose last change can be undone.
    counted: String,
    /// What can be put on hand: its word, its name.
    puts: Vec<(String, String)>,
    /// What was typed there, where that was refused.
    typed: Fields,
    open: bool,
    /// Working times, marked.
    times: Vec<String>,
}

#[derive(Template)]
#[template(path = "shelf_file.html")]
struct ShelfFile {
    frame: Frame,
    w: Tongue,
    name: String,
    version: i64,
    text: String,
    faults: Vec<String>,
    history: Vec<(String, String, String)>,
}

pub(crate) fn show(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    page(&shelf(ctx, ask, Vec::new())?)
}

/// The shelf with why something was not put on hand; what was typed stays.
pub(crate) fn refused(ctx: &Ctx<'_>, ask: &Ask, error: &DeedError) -> Answer {
    page_as(StatusCode::UNPROCESSABLE_ENTITY, &shelf(ctx, ask, vec![error.to_string()])?)
}

fn shelf(ctx: &Ctx<'_>, ask: &Ask, told: Vec<String>) -> Result<Shelf, Fault> {
    let w = ctx.w;
    let files = ctx.kept().shop_files()?;
    let (shop, faults) = match ctx.kept().shop() {
        Ok(shop) => (Some(shop), Vec::new()),
        Err(DeedError::Faults(faults)) => (None, faults.iter().map(ToString::to_string).collect()),
        Err(error) => return Err(error.into()),
    };
    let faults: Vec<String> = faults.into_iter().chain(told).collect();
    let of = shop.as_ref().map(|shop| &shop.value);
    let mut page_of = Shelf {
        frame: Frame::new(ctx, w.t("web.shelf"), "shelf"),
        w,
        faults,
        kinds: KINDS.iter().map(|kind| (kind.word, w.t(kind.title))).collect(),
        files: files.iter().map(|(name, version, _)| (name.clone(), w.a("web.version-nth", version))).collect(),
        garments: Vec::new(),
        cloths: Vec::new(),
        transfers: Vec::new(),
        presses: Vec::new(),
        suppliers: Vec::new(),
        stock: Vec::new(),
        on_hand: Vec::new(),
        counted: ask.query.get("counted").to_owned(),
        puts: Vec::new(),
        typed: ask.fields.clone(),
        open: ask.fields.has("what"),
        times: Vec::new(),
    };
    if let Some(of) = of {
        fill(&w, of, &mut page_of);
        page_of.on_hand = on_hand::rows(ctx, of)?;
        if page_of.on_hand.iter().all(|row| row.id != page_of.counted) {
            page_of.counted.clear();
        }
        for record in ctx.kept().evidence()? {
            let form = &record.body;
            if let Some(row) = page_of.transfers.iter_mut().find(|row| row.id == form.transfer) {
                let said = evidence_said(&w, of, form);
                // Beside the recipe it was pressed by; beside the transfer where that was not noted.
                match row.recipes.iter_mut().find(|recipe| recipe.source == form.recipe) {
                    Some(recipe) => recipe.seen.push(said),
                    None => row.seen.push(said),
                }
            }
        }
    }
    Ok(page_of)
}

fn fill(w: &Tongue, of: &Shop, page_of: &mut Shelf) {
    let speech = &w.speech;
    page_of.garments = of
        .garments()
        .map(|(_, style)| GarmentRow {
            name: words::clean(&style.name),
            id: style.id.clone(),
            colours: style.colours.iter().map(|colour| (words::clean(&colour.name), hex(colour.rgb))).collect(),
            sizes: style.sizes.iter().map(|size| words::clean(&size.name)).collect::<Vec<_>>().join(" · "),
            price: prices(w, style),
        })
        .collect();
    page_of.cloths = of
        .cloths()
        .map(|(_, cloth)| {
            let thick = speech.length(cloth.pressed_thickness.value);
            let stretch = speech.percent(cloth.working_stretch.value);
            let marks = vec![
                marked(w, "web.pressed-thickness", &thick, &cloth.pressed_thickness),
                marked(w, "web.stretch", &stretch, &cloth.working_stretch),
            ];
            (words::clean(&cloth.name), marks, cloth.id.clone())
        })
        .collect();
    page_of.transfers = of.transfers().map(|(_, transfer)| transfer_row(w, transfer)).collect();
    page_of.presses = of
        .presses()
        .map(|(_, press)| {
            let platens: Vec<String> = press.platens.iter().map(|id| words::clean(&of.platen(*id).name)).collect();
            (
                words::clean(&press.name),
                w.ab("web.press-has", speech.size(press.plate_width, press.plate_depth), speech.list(&platens)),
                vec![
                    marked(w, "web.offset", &speech.value(&Value::Difference(press.offset.value)), &press.offset),
                    marked(w, "web.heater", &format!("{} W", press.heater_w.value), &press.heater_w),
                    marked(
                        w,
                        "web.plate-thickness",
                        &speech.length(press.plate_thickness.value),
                        &press.plate_thickness,
                    ),
                    marked(w, "web.warm-up", &speech.duration(press.warm_up.value), &press.warm_up),
                    marked(w, "web.platen-swap", &speech.duration(press.platen_swap.value), &press.platen_swap),
                    marked(
                        w,
                        "web.pressure-reset",
                        &speech.duration(press.pressure_reset.value),
                        &press.pressure_reset,
                    ),
                ],
            )
        })
        .collect();
    page_of.suppliers = of
        .suppliers()
        .map(|(_, supplier)| (words::clean(&supplier.name), supplier.id.clone(), terms(w, supplier)))
        .collect();
    let film = of.stock().map(|(_, item)| (format!("film:{}", item.id), words::clean(&item.name)));
    let blanks = of.garments().map(|(_, style)| (format!("garment:{}", style.id), words::clean(&style.name)));
    page_of.puts = film.chain(blanks).collect();
    page_of.stock = of
        .stock()
        .map(|(_, item)| {
            let spacing = marked(w, "web.spacing", &speech.length(item.spacing.value), &item.spacing);
            let reading = marked(w, "web.reading", speech.word(item.reading.value), &item.reading);
            (words::clean(&item.name), item.id.clone(), sold(w, of, item), vec![spacing, reading])
        })
        .collect();
    let times = &of.times;
    page_of.times = [
        ("web.time-load", &times.load),
        ("web.time-load-lined", &times.load_lined),
        ("web.time-smooth", &times.smooth),
        ("web.time-place", &times.place),
        ("web.time-place-part", &times.place_part),
        ("web.time-peel-hot", &times.peel_hot),
        ("web.time-peel-cold", &times.peel_cold),
        ("web.time-unload", &times.unload),
        ("web.time-flip", &times.flip),
        ("web.time-pack", &times.pack),
        ("web.time-count-in", &times.count_in),
        ("web.time-office", &times.office),
        ("web.time-art", &times.art),
        ("web.time-test-piece", &times.test_piece),
    ]
    .map(|(label, of)| marked(w, label, &speech.duration(of.value), of))
    .into();
}

/// "7.10 EUR", or by size where sizes differ.
fn prices(w: &Tongue, style: &trade::GarmentStyle) -> String {
    let all: Vec<(&str, Option<units::Money>)> =
        style.sizes.iter().map(|size| (size.name.as_str(), size.price)).collect();
    let first = all.first().and_then(|(_, price)| *price);
    if all.iter().all(|(_, price)| *price == first) {
        return first.map_or_else(String::new, |price| w.speech.money(price));
    }
    let said = |(size, price): &(&str, Option<units::Money>)| {
        price.map(|price| format!("{} {}", words::clean(size), w.speech.money(price)))
    };
    all.iter().filter_map(said).collect::<Vec<_>>().join(" · ")
}

/// What holds for an order at a supplier: until when, how long, how much at least, carriage.
fn terms(w: &Tongue, supplier: &trade::Supplier) -> Vec<String> {
    let time = supplier.cut_off.strftime("%H:%M").to_string();
    let mut all = vec![w.f(
        "web.supplier-days",
        &[("time", time), ("make", supplier.production_days.to_string()), ("way", supplier.transit_days.to_string())],
    )];
    all.extend(supplier.minimum.map(|least| w.a("web.supplier-least", w.speech.money(least))));
    all.extend(supplier.handling.map(|each| w.a("web.supplier-handling", w.speech.money(each))));
    let freight = &supplier.freight;
    let step = |(from, price): &(units::Money, units::Money)| match from.minor() {
        0 => w.a("web.carriage", w.speech.money(*price)),
        _ => w.ab("web.carriage-from", w.speech.money(*price), w.speech.money(*from)),
    };
    all.extend(freight.steps.iter().map(step));
    all.extend(freight.free_from.map(|from| w.a("web.carriage-free", w.speech.money(from))));
    all
}

/// "6.80 EUR a sheet of 280 × 400 mm, 6.20 EUR from 5, from Osier Prints".
fn sold(w: &Tongue, of: &Shop, item: &trade::StockItem) -> String {
    let speech = &w.speech;
    let first = match &item.shape {
        trade::StockShape::Sheet { width, length, price, .. } => {
            w.ab("web.sold-sheet", speech.money(*price), speech.size(*width, *length))
        }
        trade::StockShape::Roll { width, step, price_per_step, .. } => w.f(
            "web.sold-roll",
            &[
                ("price", speech.money(*price_per_step)),
                ("step", speech.length(*step)),
                ("width", speech.length(*width)),
            ],
        ),
    };
    let more = item.shape.by_quantity();
    let from = more.iter().skip(1).map(|(from, price)| w.ab("web.sold-from", speech.money(*price), from));
    let who = item.supplier.map(|id| w.a("web.sold-by", words::clean(&of.supplier(id).name)));
    std::iter::once(first).chain(from).chain(who).collect::<Vec<_>>().join(" · ")
}

/// "On Cotton canvas 240, Mon 2 Nov 2026: washed 10 times, it holds."
fn evidence_said(w: &Tongue, of: &Shop, form: &EvidenceForm) -> String {
    let cloth = words::clean(of.find_cloth(&form.cloth).map_or(form.cloth.as_str(), |id| of.cloth(id).name.as_str()));
    let held = |held: bool| if held { w.t("web.it-holds") } else { w.t("web.it-lifts") };
    let what = match &form.seen {
        Seen::TestPiece { held: of } => w.a("web.seen-test", held(*of)),
        Seen::Washed { washes, held: of } => w.ab("web.seen-washed", washes, held(*of)),
        Seen::Pressed { pieces } => w.a("web.seen-pressed", pieces),
        Seen::Returned { pieces, why } => w.ab("web.seen-returned", pieces, words::clean(why)),
        Seen::Spoiled { pieces, why } => w.ab("web.seen-spoiled", pieces, words::clean(why)),
        Seen::Platen { set_c, read_c, .. } => w.ab("web.seen-platen", w.c(*set_c).0, w.c(*read_c).0),
    };
    w.f("web.seen", &[("cloth", cloth), ("day", w.day(&form.day)), ("what", what), ("note", words::clean(&form.note))])
}

/// Notes what was seen of a transfer on a cloth.
pub(crate) fn seen(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let fields = &ask.fields;
    let held = fields.get("held") == "yes";
    let seen = match fields.number("washes").and_then(|washes| u32::try_from(washes).ok()).filter(|washes| *washes > 0)
    {
        Some(washes) => Seen::Washed { washes, held },
        None => Seen::TestPiece { held },
    };
    let form = EvidenceForm {
        day: ctx.app.today().to_string(),
        transfer: fields.get("transfer").to_owned(),
        cloth: fields.get("cloth").to_owned(),
        recipe: String::new(),
        order: None,
        lot: None,
        seen,
        note: words::clean(fields.get("note")),
    };
    ctx.kept().record(&form, &ctx.hand())?;
    Ok(on_to("/shelf#transfers"))
}

fn transfer_row(w: &Tongue, transfer: &Transfer) -> TransferRow {
    let speech = &w.speech;
    let recipe = |recipe: &Recipe| match recipe.full_press() {
        Some(full) => w.f(
            "web.recipe-line",
            &[
                ("source", words::clean(&recipe.source)),
                ("plate", speech.temperature(full.temperature.set)),
                ("dwell", speech.duration(full.dwell.set)),
                ("peel", recipe.peel().map(|peel| speech.word(peel).to_owned()).unwrap_or_default()),
            ],
        ),
        None => words::clean(&recipe.source),
    };
    TransferRow {
        name: words::clean(&transfer.name),
        id: transfer.id.clone(),
        finish: speech.word(transfer.finish).to_owned(),
        recipes: transfer
            .recipes
            .iter()
            .map(|of| RecipeRow { said: recipe(of), source: of.source.clone(), seen: Vec::new() })
            .collect(),
        marked: vec![
            marked(w, "web.least-line", &speech.length(transfer.minimums.value.line), &transfer.minimums),
            marked(w, "web.least-part", &speech.length(transfer.minimums.value.island), &transfer.minimums),
            marked(w, "web.least-gap", &speech.length(transfer.minimums.value.gap), &transfer.minimums),
            marked(w, "web.wash", &speech.temperature(transfer.wash.value), &transfer.wash),
            marked(w, "web.stretch", &speech.percent(transfer.stretch.value), &transfer.stretch),
            marked(w, "web.thickness", &speech.length(transfer.thickness.value), &transfer.thickness),
            marked(w, "web.carrier", &speech.length(transfer.carrier.value), &transfer.carrier),
        ],
        seen: Vec::new(),
    }
}

/// "Wash up to 40 °C — shop default".
fn marked<T>(w: &Tongue, label: &'static str, value: &str, of: &Marked<T>) -> String {
    let origin = w.speech.word(of.origin);
    let source = match (&of.source, of.origin) {
        (Some(source), Origin::Maker | Origin::Shop | Origin::Measured) => words::clean(source),
        _ => origin.to_owned(),
    };
    format!("{} {value} — {source}", w.t(label))
}

fn file_page(ctx: &Ctx<'_>, name: &str, text: Option<String>, faults: Vec<String>) -> Result<ShelfFile, Fault> {
    let files = ctx.kept().shop_files()?;
    let known = files.into_iter().find(|(known, _, _)| known == name);
    if !trade::form::FILE_NAMES.contains(&name) {
        return Err(Fault::Missing);
    }
    let (version, kept) = known.map_or((0, String::new()), |(_, version, text)| (version, text));
    let mut history = if version > 0 { ctx.kept().history(Kind::ShopFile, name)? } else { Vec::new() };
    history.reverse();
    let said = |change: &store::Change| {
        (ctx.w.at(change.stamp.at_ms), words::clean(&change.stamp.by), words::clean(&change.what))
    };
    Ok(ShelfFile {
        frame: Frame::new(ctx, name.to_owned(), "shelf"),
        w: ctx.w,
        name: name.to_owned(),
        version,
        text: text.unwrap_or(kept),
        faults,
        history: history.iter().take(30).map(said).collect(),
    })
}

pub(crate) fn file(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    page(&file_page(ctx, ask.part(0), None, Vec::new())?)
}

/// Keeps a file's text when the whole shelf still reads with it; else it stays in the page.
pub(crate) fn keep(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let name = ask.part(0);
    if !trade::form::FILE_NAMES.contains(&name) {
        return Err(Fault::Missing);
    }
    let text = match ask.files.iter().find(|file| file.field == "file") {
        Some(file) => String::from_utf8_lossy(&file.bytes).into_owned(),
        None => ask.fields.raw("text").to_owned(),
    };
    let text = text.replace("\r\n", "\n");
    match ctx.kept().put_shop_file(name, &text, ask.version(), &ctx.hand()) {
        Ok(_) => Ok(on_to("/shelf")),
        Err(error) => {
            let faults = match &error {
                DeedError::Faults(faults) => faults.iter().map(ToString::to_string).collect(),
                other => vec![other.to_string()],
            };
            page_as(StatusCode::UNPROCESSABLE_ENTITY, &file_page(ctx, name, Some(text), faults)?)
        }
    }
}

/// The file itself.
pub(crate) fn export(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let name = ask.part(0);
    let files = ctx.kept().shop_files()?;
    let (_, _, text) = files.into_iter().find(|(known, _, _)| known == name).ok_or(Fault::Missing)?;
    Ok(download(name, text.into_bytes()))
}
