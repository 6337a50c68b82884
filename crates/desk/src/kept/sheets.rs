//! Pieces that a person lays on a sheet: looked at, tried, locked and unlocked.
//!
//! A locked piece is a decision of the order, so that it travels with the order,
//! is undone like any other change, and holds in every later plan.

use super::plans::KeptPlan;
use super::{Deed, DeedError, Kept};
use crate::codes;
use geometry::Bounds;
use nest::{Instance, Layout, Piece, StockKind};
use plan::{Decision, Locked};
use report::{Finding, Severity, Value};
use serde::Deserialize;
use store::{Stamp, StoreError};
use units::Length;

/// What one transfer's prints are laid out on, as it was planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// What was asked of the packing engine; its locked pieces are those that stay.
    pub instance: Instance,
    /// The layout.
    pub layout: Layout,
    /// The art's name for each design.
    pub arts: Vec<String>,
    /// Print, by line and number from 0, and film for each design's first use.
    pub prints: Vec<(usize, usize, Option<usize>)>,
    /// The transfer, as the shop's files call it.
    pub transfer: String,
    uses: Vec<Vec<UseForm>>,
    stock: Vec<SheetForm>,
}

/// A piece in another place on its sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// Which piece of the sheet, from 0.
    pub piece: usize,
    /// From the film's edge to the piece along the film, mm.
    pub along_mm: f64,
    /// From the film's edge to the piece across the film, mm.
    pub across_mm: f64,
    /// Turned counter-clockwise, degrees.
    pub turn_deg: f64,
}

/// What is to be changed of the locked pieces of one sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LockEdit {
    /// The version of the plan that the person saw.
    pub plan: i64,
    /// The pool's short name, `a`.
    pub pool: String,
    /// Which sheet of it, from 0.
    pub sheet: usize,
    /// Pieces to be locked where they were put.
    pub lock: Vec<Moved>,
    /// Pieces to be unlocked, by their number on the sheet.
    pub unlock: Vec<usize>,
    /// Locked pieces of the order to be forgotten, by their number among all that it has.
    pub forget: Vec<usize>,
}

#[derive(Debug, Deserialize)]
struct PlanForm {
    pools: Vec<PoolForm>,
}

#[derive(Debug, Deserialize)]
struct PoolForm {
    key: String,
    transfer: String,
    designs: Vec<DesignForm>,
    sheets: Vec<SheetForm>,
}

#[derive(Debug, Deserialize)]
struct DesignForm {
    art: Option<String>,
    #[serde(default)]
    film: Option<usize>,
    uses: Vec<UseForm>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
struct UseForm {
    line: usize,
    print: usize,
    copies: u32,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
struct SheetForm {
    stock: String,
    on_hand: bool,
}

impl Laid {
    /// Where a piece comes to lie, in the frame of the usable film; `None` for a piece or sheet that is not there.
    pub fn moved(&self, sheet: usize, to: &Moved) -> Option<Piece> {
        let on = self.layout.sheets.get(sheet)?;
        let margin = self.instance.stock.get(on.stock)?.margin_mm;
        let turned = Piece { x_mm: 0.0, y_mm: 0.0, rotation_deg: to.turn_deg, ..*on.pieces.get(to.piece)? };
        let corner = self.bounds(&turned)?.min;
        let piece = Piece { x_mm: to.along_mm - margin - corner.x, y_mm: to.across_mm - margin - corner.y, ..turned };
        let as_it_lies = on.pieces.get(to.piece)?;
        // What was typed is rounded; a piece that was not moved stays to the last digit.
        let near = |a: f64, b: f64| (a - b).abs() < 0.051;
        let unmoved = near(piece.x_mm, as_it_lies.x_mm)
            && near(piece.y_mm, as_it_lies.y_mm)
            && (piece.rotation_deg - as_it_lies.rotation_deg).rem_euclid(360.0) == 0.0;
        Some(if unmoved { *as_it_lies } else { piece })
    }

    /// The other way about: where a piece lies, from the film's edges.
    pub fn place(&self, sheet: usize, piece: usize) -> Option<Moved> {
        let on = self.layout.sheets.get(sheet)?;
        let margin = self.instance.stock.get(on.stock)?.margin_mm;
        let of = on.pieces.get(piece)?;
        let corner = self.bounds(of)?.min;
        Some(Moved {
            piece,
            along_mm: corner.x + margin,
            across_mm: corner.y + margin,
            turn_deg: of.rotation_deg.rem_euclid(360.0),
        })
    }

    /// The upright rectangle around a piece, in the frame of the usable film.
    pub fn bounds(&self, piece: &Piece) -> Option<Bounds> {
        let design = self.instance.designs.get(piece.design)?;
        piece.pose().outline(&design.outline).ok().map(|outline| outline.bounds())
    }

    /// Whether a piece stays where it lies.
    pub fn is_locked(&self, sheet: usize, piece: usize) -> bool {
        let of = self.layout.sheets.get(sheet).and_then(|sheet| sheet.pieces.get(piece));
        of.is_some_and(|of| {
            let same = |lock: &nest::LockedPiece| lock.piece.design == of.design && lock.piece.copy == of.copy;
            self.instance.locked.iter().any(|lock| lock.sheet == sheet && same(lock))
        })
    }

    /// What is to be said of a piece in another place: that it leaves the film or comes
    /// too near a locked one (it cannot be locked there), or that others will make room.
    pub fn tried(&self, sheet: usize, to: &Moved) -> Vec<Finding> {
        let (Some(piece), Some(on)) = (self.moved(sheet, to), self.layout.sheets.get(sheet)) else {
            return vec![no_such_piece()];
        };
        let mut found: Vec<Finding> = self.refused(on.stock, &piece, &[]).into_iter().collect();
        let Some(here) = self.bounds(&piece) else { return found };
        let near = here.grown(self.instance.spacing_mm + 0.01);
        let mut in_the_way = 0_i64;
        for (at, other) in on.pieces.iter().enumerate().filter(|(at, _)| *at != to.piece) {
            if !self.bounds(other).is_some_and(|bounds| bounds.overlaps(&near)) {
                continue;
            }
            let Some(fault) = self.refused(on.stock, &piece, &[*other]).filter(|fault| fault.code == codes::PIECE_NEAR)
            else {
                continue;
            };
            if self.is_locked(sheet, at) {
                found.push(fault);
            } else {
                in_the_way += 1;
            }
        }
        if in_the_way > 0 {
            found.push(
                Finding::new(Severity::Note, codes::PIECE_MAKES_ROOM, codes::PIECE_MAKES_ROOM_REMEDY)
                    .with("count", Value::Count(in_the_way)),
            );
        }
        found
    }

    /// Why a piece cannot be locked beside others.
    fn refused(&self, stock: usize, piece: &Piece, others: &[Piece]) -> Option<Finding> {
        // Without locks the checker judges the turn as that of any piece.
        let free = Instance { locked: Vec::new(), ..self.instance.clone() };
        let pieces: Vec<Piece> = others.iter().copied().chain([*piece]).collect();
        let fault = plan::lying_fault(&free, stock, &pieces)?;
        use nest::codes as of;
        let (code, remedy) = match fault.code {
            of::OUTSIDE => (codes::PIECE_OUTSIDE, codes::PIECE_OUTSIDE_REMEDY),
            of::TURNED => (codes::PIECE_TURNED, codes::PIECE_TURNED_REMEDY),
            _ => (codes::PIECE_NEAR, codes::PIECE_NEAR_REMEDY),
        };
        let art = |design: usize| self.arts.get(design).cloned().unwrap_or_default();
        let finding = Finding::new(Severity::StopsLine, code, remedy).named("art", art(piece.design));
        let finding = match code == codes::PIECE_NEAR {
            true => finding
                .named("other", others.first().map_or_else(String::new, |other| art(other.design)))
                .with("spacing", value_of(&fault, "spacing"))
                .with("limit", value_of(&fault, "limit")),
            false => finding.with("over", value_of(&fault, "over")),
        };
        Some(finding)
    }

    /// The decision that keeps a piece of the layout where it is.
    fn decision(&self, sheet: usize, piece: &Piece, by: &str) -> Option<Locked> {
        let stock = self.layout.sheets.get(sheet)?.stock;
        let known = self.stock.get(sheet)?;
        let remnant = match self.instance.stock.get(stock)?.kind {
            StockKind::Sheet { width_mm, length_mm, .. } if known.on_hand => {
                Some((Length::from_mm(width_mm)?, Length::from_mm(length_mm)?))
            }
            _ => None,
        };
        let uses = self.uses.get(piece.design)?;
        let mut before = 0_u32;
        let of = uses.iter().find(|one| {
            before = before.saturating_add(one.copies);
            piece.copy < before
        });
        let of = of.or(uses.first())?;
        Some(Locked {
            line: of.line,
            print: of.print,
            film: self.prints.get(piece.design)?.2,
            transfer: self.transfer.clone(),
            stock: known.stock.clone(),
            remnant,
            sheet,
            at: (Length::from_mm(piece.x_mm)?, Length::from_mm(piece.y_mm)?),
            turn_deg: piece.rotation_deg.rem_euclid(360.0),
            by: by.to_owned(),
        })
    }

    /// Which locked piece of this layout a decision of the order became: its sheet and its number there.
    fn became(&self, locked: &Locked) -> Option<(usize, usize)> {
        let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
        for lock in &self.instance.locked {
            let as_kept = self.decision(lock.sheet, &lock.piece, "")?;
            let same = (as_kept.line, as_kept.print, as_kept.film) == (locked.line, locked.print, locked.film)
                && as_kept.transfer == locked.transfer
                && near(as_kept.at.0.mm(), locked.at.0.mm())
                && near(as_kept.at.1.mm(), locked.at.1.mm())
                && near((as_kept.turn_deg - locked.turn_deg).rem_euclid(360.0), 0.0);
            if same {
                let pieces = &self.layout.sheets.get(lock.sheet)?.pieces;
                let at = pieces
                    .iter()
                    .position(|piece| piece.design == lock.piece.design && piece.copy == lock.piece.copy)?;
                return Some((lock.sheet, at));
            }
        }
        None
    }
}

fn value_of(fault: &Finding, name: &str) -> Value {
    let named = fault.quantities.iter().find(|named| named.name == name);
    named.map_or(Value::Length(Length::ZERO), |named| named.value.clone())
}

fn no_such_piece() -> Finding {
    Finding::new(Severity::StopsLine, codes::PIECE_UNKNOWN, codes::PIECE_UNKNOWN_REMEDY)
}

impl Kept {
    /// What a pool of a plan is laid out on; refuses a pool that the plan does not have.
    pub fn laid(&self, plan: &KeptPlan, pool: &str) -> Deed<Laid> {
        let damaged = |cause: String| DeedError::from(StoreError::Damaged { cause });
        let text = |name: String| -> Deed<String> {
            let bytes = self.plan_file(plan, &name)?;
            String::from_utf8(bytes).map_err(|error| damaged(error.to_string()))
        };
        let missing = || DeedError::Missing { what: format!("sheets {pool} of the plan of order {}", plan.id) };
        let whole: PlanForm =
            serde_json::from_str(&text("plan.json".to_owned())?).map_err(|e| damaged(e.to_string()))?;
        let of = whole.pools.into_iter().find(|known| known.key == pool).ok_or_else(missing)?;
        let instance = nest::form::read_instance(&text(format!("layouts/{pool}-instance.json"))?);
        let instance = instance.map_err(|error| damaged(error.to_string()))?;
        let layout = nest::form::read_layout(&instance, &text(format!("layouts/{pool}-layout.json"))?);
        let layout = layout.map_err(|error| damaged(error.to_string()))?;
        Ok(Laid {
            arts: of.designs.iter().map(|design| design.art.clone().unwrap_or_default()).collect(),
            prints: of
                .designs
                .iter()
                .map(|design| {
                    let first = design.uses.first();
                    (first.map_or(0, |one| one.line), first.map_or(0, |one| one.print), design.film)
                })
                .collect(),
            transfer: of.transfer,
            uses: of.designs.into_iter().map(|design| design.uses).collect(),
            stock: of.sheets,
            instance,
            layout,
        })
    }

    /// Locked pieces of an order that its plan could not leave where they were put, by their number among all.
    pub fn loose_locks(&self, order: &plan::Order, laid: &[Laid]) -> Vec<(usize, Locked)> {
        let all = order.locked().cloned().enumerate();
        all.filter(|(_, locked)| laid.iter().all(|laid| laid.became(locked).is_none())).collect()
    }

    /// Locks, moves and unlocks pieces of a sheet as a person saw it.
    ///
    /// Refuses a plan that was made anew meanwhile, a piece that leaves the film, and
    /// one too near another locked piece; nothing is changed then.
    pub fn lock_pieces(&self, id: &str, on: i64, edit: &LockEdit, hand: &Stamp) -> Deed<i64> {
        let plan = self.plan_of(id)?.ok_or_else(|| DeedError::Missing { what: format!("plan of order {id}") })?;
        if plan.version != edit.plan {
            return Err(Finding::new(Severity::StopsLine, codes::SHEETS_CHANGED, codes::SHEETS_CHANGED_REMEDY).into());
        }
        let laid = self.laid(&plan, &edit.pool)?;
        let what = match (edit.lock.is_empty(), edit.unlock.is_empty() && edit.forget.is_empty()) {
            (true, true) => return Err(no_such_piece().into()),
            (false, true) => "piece locked",
            (true, false) => "piece unlocked",
            (false, false) => "pieces locked and unlocked",
        };
        self.edit_order(id, on, what, hand, |order| {
            let locks = relocked(&laid, order, edit, &hand.by)?;
            order.decisions.retain(|decision| !matches!(decision, Decision::Locked(_)));
            order.decisions.extend(locks.into_iter().map(Decision::Locked));
            Ok(())
        })
    }
}

/// The locked pieces of an order after an edit of one sheet.
fn relocked(laid: &Laid, order: &plan::Order, edit: &LockEdit, by: &str) -> Result<Vec<Locked>, Finding> {
    let on = laid.layout.sheets.get(edit.sheet).ok_or_else(no_such_piece)?;
    let gone = |at: usize| edit.unlock.contains(&at) || edit.lock.iter().any(|moved| moved.piece == at);
    if edit.unlock.iter().any(|at| *at >= on.pieces.len()) {
        return Err(no_such_piece());
    }
    let mut kept: Vec<Locked> = Vec::new();
    let mut staying: Vec<Piece> = Vec::new();
    for (nth, locked) in order.locked().enumerate() {
        match laid.became(locked) {
            _ if edit.forget.contains(&nth) => {}
            Some((sheet, piece)) if sheet == edit.sheet && gone(piece) => {}
            // Sheets are numbered as they lie now, which is what the person sees.
            Some((sheet, piece)) => {
                kept.push(Locked { sheet, ..locked.clone() });
                if sheet == edit.sheet {
                    staying.extend(on.pieces.get(piece));
                }
            }
            None => kept.push(locked.clone()),
        }
    }
    for moved in &edit.lock {
        let piece = laid.moved(edit.sheet, moved).ok_or_else(no_such_piece)?;
        if let Some(refused) = laid.refused(on.stock, &piece, &[]) {
            return Err(refused);
        }
        let near = staying.iter().find_map(|other| laid.refused(on.stock, &piece, &[*other]));
        if let Some(refused) = near {
            return Err(refused);
        }
        staying.push(piece);
        kept.push(laid.decision(edit.sheet, &piece, by).ok_or_else(no_such_piece)?);
    }
    Ok(kept)
}
