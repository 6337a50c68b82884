//! Print and cut files of a plan.

use crate::refusal::Refusal;
use crate::safe_folder::SafeFolder;
use nest::StockKind;
use plan::{Arts, Order, Plan, Pool};
use report::{Finding, Severity, Watch};
use sheets::{CutPiece, CutSheet, PlacedArt, PrintSheet, Screen, SheetError, Weed, White};
use trade::{Layers, Shop, StockItem, Way};

/// How far white stays back from the ink's edge, mm (0.1 to 0.25 is common practice, no source).
const CHOKE_MM: f64 = 0.17;
/// Frame round a cut job and distance of cuts across its waste, mm (common practice, no source).
const WEED: Weed = Weed { frame_mm: 6.0, split_every_mm: Some(100.0) };
/// How far a closed cut runs on past its start, mm (0.2 to 0.5 is common practice, no source).
const OVERCUT_MM: f64 = 0.3;
/// Tolerance of cut curves, mm.
const CURVE_MM: f64 = 0.05;

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
            let sheet = Sheet { shop, plan, orders, arts, pool, at, times };
            sheet.write(folder, watch, &mut findings)?;
        }
    }
    Ok(findings)
}

/// The name of a sheet's files: its pool, its number, how often it is made.
pub(crate) fn sheet_name(pool: &Pool, at: usize, times: usize) -> String {
    if times == 1 { format!("{}-{}", pool.key, at + 1) } else { format!("{}-{}-make-{times}", pool.key, at + 1) }
}

/// One sheet being written.
struct Sheet<'a> {
    shop: &'a Shop,
    plan: &'a Plan,
    orders: &'a [Order],
    arts: &'a Arts,
    pool: &'a Pool,
    at: usize,
    times: usize,
}

impl Sheet<'_> {
    fn write(
        &self,
        folder: &mut SafeFolder,
        watch: &mut dyn Watch,
        findings: &mut Vec<Finding>,
    ) -> Result<(), Refusal> {
        let Some(item) = self.item() else { return Ok(()) };
        let name = sheet_name(self.pool, self.at, self.times);
        let transfer = self.shop.transfer(self.pool.transfer);
        if transfer.way == Way::CutInShop {
            return self.write_cut(&name, item, folder, findings);
        }
        self.write_print(&name, item, folder, watch, findings)
    }

    fn item(&self) -> Option<&StockItem> {
        let stock = self.pool.layout.sheets.get(self.at)?.stock;
        Some(self.shop.stock_item(self.pool.stock.get(stock)?.item))
    }

    fn write_print(
        &self,
        name: &str,
        item: &StockItem,
        folder: &mut SafeFolder,
        watch: &mut dyn Watch,
        findings: &mut Vec<Finding>,
    ) -> Result<(), Refusal> {
        let print = self.print_sheet(item);
        match sheets::look_over(&print) {
            Ok(found) => findings.extend(found),
            Err(error) => {
                findings.push(error.finding());
                return Ok(());
            }
        }
        folder.stream(&format!("sheets/{name}.png"), |out| sheets::write_png(&print, out, watch).map(|_| ()))?;
        if print.white.is_some() {
            folder.stream(&format!("sheets/{name}-white.png"), |out| {
                sheets::write_white_png(&print, out, watch).map(|_| ())
            })?;
        }
        match sheets::pdf(&print) {
            Ok(pdf) => {
                findings.extend(pdf.findings);
                folder.write(&format!("sheets/{name}.pdf"), &pdf.value.bytes)?;
            }
            Err(error) => findings.push(softened(error)),
        }
        Ok(())
    }

    fn write_cut(
        &self,
        name: &str,
        item: &StockItem,
        folder: &mut SafeFolder,
        findings: &mut Vec<Finding>,
    ) -> Result<(), Refusal> {
        let print = self.print_sheet(item);
        let pieces = print
            .pieces
            .iter()
            .map(|piece| CutPiece {
                region: piece.pose.region(&piece.art.exact_region(piece.size)),
                mirrored: piece.pose.mirrored,
                label: piece.label.clone(),
            })
            .collect();
        let sheet = CutSheet {
            width_mm: print.width_mm,
            length_mm: print.length_mm,
            margin_mm: print.margin_mm,
            pieces,
            reading: print.reading,
            weed: Some(WEED),
            knife: None,
            overcut_mm: OVERCUT_MM,
            marks: sheets::Marks::None,
        };
        match sheets::cut_paths(&sheet, CURVE_MM) {
            Ok(cut) => {
                findings.extend(cut.findings.iter().cloned());
                folder.write(&format!("cut/{name}.svg"), sheets::cut_svg(&cut).as_bytes())?;
                folder.write(&format!("cut/{name}.plt"), sheets::cut_hpgl(&cut).as_bytes())?;
                folder.write(&format!("cut/{name}.dxf"), sheets::cut_dxf(&cut).as_bytes())?;
            }
            Err(error) => findings.push(error.finding()),
        }
        Ok(())
    }

    /// The sheet with its art in place, in the frame of the film.
    fn print_sheet(&self, item: &StockItem) -> PrintSheet<'_> {
        let sheet = &self.pool.layout.sheets[self.at];
        let margin = item.margin.mm();
        let (width, length) = match self.pool.instance.stock.get(sheet.stock).map(|stock| stock.kind) {
            Some(StockKind::Sheet { width_mm, length_mm, .. }) => (width_mm, length_mm),
            // A length of roll is cut off after its last piece, in whole millimetres.
            Some(StockKind::Roll { width_mm, .. }) => {
                (width_mm, (sheet.used_length_mm + 2.0 * margin).ceil().min(sheet.charged_length_mm))
            }
            None => (0.0, 0.0),
        };
        let pieces = sheet.pieces.iter().filter_map(|piece| self.placed(piece)).collect();
        let rule = item.supplier.and_then(|id| self.shop.supplier(id).files.as_ref());
        let with_white = rule.is_some_and(|rule| rule.layers == Layers::ColourAndWhite)
            || self.shop.transfer(self.pool.transfer).way == Way::PrintedInShop;
        let has_white = matches!(self.shop.transfer(self.pool.transfer).colours, trade::Colours::Full { white: true });
        PrintSheet {
            reading: match item.reading.value {
                trade::Reading::Right => sheets::Reading::Right,
                trade::Reading::Reversed => sheets::Reading::Reversed,
            },
            white: (with_white && has_white).then_some(White { choke_mm: CHOKE_MM, soft: Screen::Threshold }),
            labels: true,
            ..PrintSheet::plain(width, length, margin, pieces)
        }
    }

    fn placed(&self, piece: &nest::Piece) -> Option<PlacedArt<'_>> {
        let design = self.pool.designs.get(piece.design)?;
        let wish = self.orders.get(design.order)?.lines.get(design.line)?.prints.get(design.print)?;
        let print = self.plan.orders.get(design.order)?.lines.get(design.line)?.prints.get(design.print)?;
        let read = self.arts.get(&wish.art, wish.remove_background)?.as_ref().ok()?;
        let wanted = self.pool.instance.designs.get(piece.design)?.quantity;
        let design_number = format!("{}.{}.{}", design.order + 1, design.line + 1, design.print + 1);
        // On a file that is made several times a piece stands for several copies.
        let label = if self.times == 1 {
            format!("{design_number} {}/{wanted}", piece.copy.saturating_add(1))
        } else {
            format!("{design_number} of {wanted}")
        };
        Some(PlacedArt {
            art: &read.value,
            size: print.size?,
            pose: geometry::Pose {
                mirrored: piece.mirrored,
                turn_deg: piece.rotation_deg,
                shift: geometry::Point::new(piece.x_mm, piece.y_mm),
            },
            label,
            spare: piece.copy >= wanted.saturating_sub(print.spares) || piece.spare,
        })
    }
}

/// The PDF comes beside the PNG: without it the sheet can still be printed.
fn softened(error: SheetError) -> Finding {
    let mut finding = error.finding();
    finding.severity = finding.severity.min(Severity::Warning);
    finding
}
