//! Print and cut files of a plan, and the maps by which its sheets are sorted.

mod cuts;
mod maps;
mod prints;

use crate::refusal::Refusal;
use crate::safe_folder::SafeFolder;
use nest::StockKind;
use plan::{Arts, FilmStack, Order, Plan, Pool};
use report::{Finding, Watch};
use sheets::{LetClothShow, PlacedArt, PrintSheet, Screen, SpotNames, White};
use trade::{CutFiles, Kind, Layers, PrintFiles, Shop, SoftEdges, StockItem, Transfer, Way};
use units::Length;

/// Writes the files of every sheet; findings for those that could not be made.
pub(crate) fn write_sheets(
    shop: &Shop,
    plan: &Plan,
    orders: &[Order],
    arts: &Arts,
    folder: &mut SafeFolder,
    watch: &mut dyn Watch,
) -> Result<Vec<Finding>, Refusal> {
    let mut findings = Vec::new();
    for pool in &plan.pools {
        for (at, times) in pool.different_sheets() {
            let Some(item) = stock_item(shop, pool, at) else { continue };
            let sheet = Sheet { shop, plan, orders, arts, pool, item, at, times };
            sheet.write(folder, watch, &mut findings)?;
        }
    }
    Ok(findings)
}

/// The name of a sheet's files: its pool, its number, how often it is made.
pub(crate) fn sheet_name(pool: &Pool, at: usize, times: usize) -> String {
    if times == 1 { format!("{}-{}", pool.key, at + 1) } else { format!("{}-{}-make-{times}", pool.key, at + 1) }
}

fn stock_item<'a>(shop: &'a Shop, pool: &Pool, at: usize) -> Option<&'a StockItem> {
    let stock = pool.layout.sheets.get(at)?.stock;
    Some(shop.stock_item(pool.stock.get(stock)?.item))
}

/// One sheet being written.
struct Sheet<'a> {
    shop: &'a Shop,
    plan: &'a Plan,
    orders: &'a [Order],
    arts: &'a Arts,
    pool: &'a Pool,
    item: &'a StockItem,
    at: usize,
    times: usize,
}

impl<'a> Sheet<'a> {
    fn write(
        &self,
        folder: &mut SafeFolder,
        watch: &mut dyn Watch,
        findings: &mut Vec<Finding>,
    ) -> Result<(), Refusal> {
        let files = self.shop.print_files(self.item);
        let cut = self.shop.cut_files(self.item);
        let sheet = self.print_sheet(&files, &cut, findings);
        if self.transfer().way == Way::CutInShop {
            self.write_cuts(&sheet, &cut, folder, findings)?;
            return self.write_map(&self.name(), &sheet, folder);
        }
        self.write_prints(&sheet, &files, &cut, folder, watch, findings)
    }

    fn name(&self) -> String {
        sheet_name(self.pool, self.at, self.times)
    }

    fn transfer(&self) -> &'a Transfer {
        self.shop.transfer(self.pool.transfer)
    }

    /// How far outside the ink its printed pieces are cut out by the shop's cutter, if they are.
    fn outline(&self, cut: &CutFiles, findings: &mut Vec<Finding>) -> Option<Length> {
        let transfer = self.transfer();
        let usual = Length::from_mm(OUTLINE_MM).filter(|_| transfer.kind == Kind::PrintAndCut);
        let wanted = cut.outline.or(usual).filter(|_| transfer.way != Way::CutInShop)?;
        // Neighbours' cuts must not meet, and the cut must stay on the film.
        let most = (self.pool.instance.spacing_mm * 0.45).min(self.item.margin.mm());
        let taken = Length::from_mm(wanted.mm().min(most))?;
        if taken < wanted {
            findings.push(sheets::outline_narrowed(wanted, taken));
        }
        Some(taken)
    }

    /// The sheet with its art in place, in the frame of the film.
    fn print_sheet(&self, files: &PrintFiles, cut: &CutFiles, findings: &mut Vec<Finding>) -> PrintSheet<'a> {
        let sheet = &self.pool.layout.sheets[self.at];
        let margin = self.item.margin.mm();
        let (width, length) = match self.pool.instance.stock.get(sheet.stock).map(|stock| stock.kind) {
            Some(StockKind::Sheet { width_mm, length_mm, .. }) => (width_mm, length_mm),
            // A length of roll is cut off after its last piece, in whole millimetres.
            Some(StockKind::Roll { width_mm, .. }) => {
                (width_mm, (sheet.used_length_mm + 2.0 * margin).ceil().min(sheet.charged_length_mm))
            }
            None => (0.0, 0.0),
        };
        let pieces = sheet.pieces.iter().enumerate().filter_map(|(at, piece)| self.placed(at, piece, files)).collect();
        let outline = self.outline(cut, findings);
        PrintSheet {
            reading: match self.item.reading.value {
                trade::Reading::Right => sheets::Reading::Right,
                trade::Reading::Reversed => sheets::Reading::Reversed,
            },
            white: self.white(files),
            dpi: files.dpi,
            cut_outline_mm: outline.map(Length::mm),
            check_bar: files.check_bar || self.orders_on_it().any(|order| order.check_bar),
            labels: files.labels,
            register_marks: files.register_marks.unwrap_or(outline.is_some()),
            spot_names: SpotNames { white: files.white_name.clone(), cut: files.cut_name.clone() },
            ..PrintSheet::plain(width, length, margin, pieces)
        }
    }

    fn white(&self, files: &PrintFiles) -> Option<White> {
        let transfer = self.transfer();
        let has_white = matches!(transfer.colours, trade::Colours::Full { white: true });
        let wanted = match files.layers {
            Some(layers) => layers == Layers::ColourAndWhite,
            // The shop's own printer has nobody else to add white.
            None => transfer.way == Way::PrintedInShop,
        };
        let soft = match files.soft_edges {
            SoftEdges::Threshold => Screen::Threshold,
            SoftEdges::Halftone => Screen::Halftone { lines_per_inch: files.ruling, angle_deg: files.angle_deg },
            SoftEdges::Stochastic => Screen::Stochastic { dot_mm: files.dot.mm() },
        };
        (wanted && has_white).then_some(White { choke_mm: files.choke.mm(), soft })
    }

    fn orders_on_it(&self) -> impl Iterator<Item = &'a Order> {
        let pieces = &self.pool.layout.sheets[self.at].pieces;
        let (designs, orders) = (&self.pool.designs, self.orders);
        let uses = pieces.iter().filter_map(|piece| designs.get(piece.design)).flat_map(plan::PoolDesign::uses);
        uses.filter_map(|one| orders.get(one.order))
    }

    fn placed(&self, at: usize, piece: &nest::Piece, files: &PrintFiles) -> Option<PlacedArt<'a>> {
        let design = self.whose(piece)?;
        let order = self.orders.get(design.order)?;
        let wish = order.lines.get(design.line)?.prints.get(design.print)?;
        let line = self.plan.orders.get(design.order)?.lines.get(design.line)?;
        let print = line.prints.get(design.print)?;
        let read = self.arts.get(&wish.art, wish.remove_background)?.as_ref().ok()?;
        let short_label = self.short_label(piece);
        let stem = wish.art.rsplit('/').next().and_then(|file| file.split('.').next()).unwrap_or_default();
        Some(PlacedArt {
            art: &read.value,
            size: print.size?,
            pose: geometry::Pose {
                mirrored: piece.mirrored,
                turn_deg: piece.rotation_deg,
                shift: geometry::Point::new(piece.x_mm, piece.y_mm),
            },
            label: format!("{} {short_label} {}", cut_short(&order.name, 20), cut_short(stem, 14)),
            short_label,
            let_cloth_show: line
                .rgb
                .filter(|_| wish.let_cloth_show)
                .map(|cloth| LetClothShow { cloth, within: files.cloth_difference }),
            spare: design.nth >= design.copies.saturating_sub(print.spares) || piece.spare,
            id: at,
        })
    }

    /// The film of a print that a piece is, where it is cut from several.
    fn film_of(&self, piece: &PlacedArt<'_>) -> Option<(&'a FilmStack, usize)> {
        let laid = self.pool.layout.sheets.get(self.at)?.pieces.get(piece.id)?;
        let design = self.pool.designs.get(laid.design)?;
        let line = self.plan.orders.get(design.order)?.lines.get(design.line)?;
        let stack = line.prints.get(design.print)?.choice.taken()?.stack.as_deref()?;
        Some((stack, design.film?))
    }

    /// Order, line and print by number, and which copy.
    fn short_label(&self, piece: &nest::Piece) -> String {
        let Some(of) = self.whose(piece) else { return String::new() };
        let number = format!("{}.{}.{}", of.order + 1, of.line + 1, of.print + 1);
        // On a file that is made several times a piece stands for several copies, perhaps of several lines.
        if self.times == 1 {
            return format!("{number} {}/{}", of.nth.saturating_add(1), of.copies);
        }
        let design = self.pool.designs.get(piece.design);
        let all = design.map_or(0, |design| design.uses().map(|one| one.copies).fold(0, u32::saturating_add));
        let more = if design.is_some_and(|design| !design.also.is_empty()) { "+" } else { "" };
        format!("{number}{more} of {all}")
    }

    /// The print that a piece is for, and which of its copies it is.
    fn whose(&self, piece: &nest::Piece) -> Option<Whose> {
        let design = self.pool.designs.get(piece.design)?;
        let mut before = 0_u32;
        for one in design.uses() {
            if piece.copy < before.saturating_add(one.copies) {
                let nth = piece.copy - before;
                return Some(Whose { order: one.order, line: one.line, print: one.print, nth, copies: one.copies });
            }
            before = before.saturating_add(one.copies);
        }
        // A copy beyond those asked for fills room that is paid for.
        let nth = piece.copy.saturating_sub(before).saturating_add(design.copies);
        Some(Whose { order: design.order, line: design.line, print: design.print, nth, copies: design.copies })
    }
}

/// Whose copy a piece is.
struct Whose {
    order: usize,
    line: usize,
    print: usize,
    /// Which of the print's copies, from 0.
    nth: u32,
    /// Of how many, spares included.
    copies: u32,
}

/// How far outside the ink printed film is cut, mm (1 to 2 is common practice, no source).
const OUTLINE_MM: f64 = 1.0;

fn cut_short(text: &str, most: usize) -> &str {
    text.char_indices().nth(most).map_or(text, |(at, _)| text[..at].trim_end())
}
