//! Sheets and film as they are laid out.

use super::figures::FigureFile;
use crate::form::plan_file::money_figure;
use crate::result::{Plan, Pool};
use schemars::JsonSchema;
use serde::Serialize;
use trade::Shop;

/// Sheets and rolls of one transfer and film colour.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct PoolFile {
    key: String,
    transfer: String,
    colour: Option<String>,
    spacing_mm: f64,
    cost: FigureFile<i64>,
    lower_bound: i64,
    complete: bool,
    art_mm2: f64,
    paid_mm2: f64,
    designs: Vec<DesignFile>,
    sheets: Vec<SheetFile>,
}

/// A design of a pool and the prints that take copies of it.
#[derive(Debug, Serialize, JsonSchema)]
struct DesignFile {
    art: Option<String>,
    /// Which film of the print, counted from the lowest, from 0, where it is cut from several.
    #[serde(skip_serializing_if = "Option::is_none")]
    film: Option<usize>,
    quantity: u32,
    /// The first print takes the first copies.
    uses: Vec<UseFile>,
}

/// Copies for one print, by order, line and print, counted from 0.
#[derive(Debug, Serialize, JsonSchema)]
struct UseFile {
    order: usize,
    line: usize,
    print: usize,
    copies: u32,
}

/// One sheet or length.
#[derive(Debug, Serialize, JsonSchema)]
struct SheetFile {
    stock: String,
    on_hand: bool,
    used_length_mm: f64,
    charged_length_mm: f64,
    price: i64,
    pieces: Vec<PieceFile>,
}

/// One piece: its art box (origin lower left) mirrored or not about its own y
/// axis, turned counter-clockwise, then moved; x along the film, y across.
#[derive(Debug, Serialize, JsonSchema)]
struct PieceFile {
    design: usize,
    copy: u32,
    x_mm: f64,
    y_mm: f64,
    rotation_deg: f64,
    mirrored: bool,
    spare: bool,
}

pub(in crate::form::plan_file) fn pool(shop: &Shop, plan: &Plan, pool: &Pool) -> PoolFile {
    let art = |order: usize, line: usize, print: usize| {
        Some(plan.orders.get(order)?.lines.get(line)?.prints.get(print)?.art.clone())
    };
    PoolFile {
        key: pool.key.clone(),
        transfer: shop.transfer(pool.transfer).id.clone(),
        colour: pool.colour.clone(),
        spacing_mm: pool.instance.spacing_mm,
        cost: money_figure(&pool.cost),
        lower_bound: pool.layout.lower_bound,
        complete: pool.layout.complete,
        art_mm2: pool.art_area.mm2(),
        paid_mm2: pool.paid_area.mm2(),
        designs: pool
            .designs
            .iter()
            .zip(&pool.instance.designs)
            .map(|(of, design)| DesignFile {
                art: art(of.order, of.line, of.print),
                film: of.film,
                quantity: design.quantity,
                uses: of
                    .uses()
                    .map(|one| UseFile { order: one.order, line: one.line, print: one.print, copies: one.copies })
                    .collect(),
            })
            .collect(),
        sheets: pool
            .layout
            .sheets
            .iter()
            .map(|sheet| SheetFile {
                stock: pool.stock.get(sheet.stock).map_or(String::new(), |s| shop.stock_item(s.item).id.clone()),
                on_hand: pool.stock.get(sheet.stock).is_some_and(|s| s.on_hand),
                used_length_mm: sheet.used_length_mm,
                charged_length_mm: sheet.charged_length_mm,
                price: sheet.price,
                pieces: sheet
                    .pieces
                    .iter()
                    .map(|piece| PieceFile {
                        design: piece.design,
                        copy: piece.copy,
                        x_mm: piece.x_mm,
                        y_mm: piece.y_mm,
                        rotation_deg: piece.rotation_deg,
                        mirrored: piece.mirrored,
                        spare: piece.spare,
                    })
                    .collect(),
            })
            .collect(),
    }
}
