//! The stack cut into cells, and one implicit step of it.
//!
//! Cell-centred finite volumes, backward Euler. The unknown is enthalpy: where
//! water dries, temperature against enthalpy is a line with two kinks, and a
//! step is solved by choosing for each wet cell the piece of that line it lies
//! on, solving the linear system, and choosing again from the *enthalpy* found
//! until no choice changes. Choosing by temperature instead lets cells leap
//! across the drying window and back for ever.

use crate::boundary::Edge;
use crate::error::HeatError;
use crate::layer::{Layer, Mesh, Start};
use crate::limits;

/// The piece of the enthalpy line a cell lies on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Piece {
    /// Nothing dries: below the window, or below the hottest it has been.
    Storing,
    /// Water leaves.
    Drying,
    /// All water has left.
    Dried,
}

#[derive(Debug, Clone, Copy)]
struct Cell {
    /// Resistance from either face to the middle, m²K/W.
    half: f64,
    /// Heat capacity, J/m²K.
    capacity: f64,
    /// Heat of drying per kelvin inside the window, J/m²K; 0 when dry.
    latent: f64,
    window: (f64, f64),
    /// Water when nothing has dried, kg/m².
    water: f64,
    /// Conductance from this middle to the next, W/m²K; 0 below the last.
    below: f64,
    /// Resistance of the joint below, m²K/W.
    joint: f64,
    t: f64,
    hottest: f64,
    piece: Piece,
    /// Temperature found by the solve under way.
    next: f64,
}

impl Cell {
    /// Where drying goes on from.
    fn dries_from(&self) -> f64 {
        self.window.0.max(self.hottest)
    }

    fn wet(&self) -> bool {
        self.latent > 0.0 && self.hottest < self.window.1
    }

    fn water_left(&self) -> f64 {
        if self.latent <= 0.0 {
            return 0.0;
        }
        let (low, high) = self.window;
        self.water * (1.0 - ((self.hottest - low) / (high - low)).clamp(0.0, 1.0))
    }
}

/// One row of the elimination: what of the row above is carried down, what of
/// the row below is carried up, one over the pivot, and the right-hand side.
#[derive(Debug, Clone, Copy, Default)]
struct Row {
    down: f64,
    up: f64,
    inverse: f64,
    load: f64,
}

/// What the elimination holds for.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Factored {
    dt: f64,
    top_g: f64,
    bottom_g: f64,
}

/// One layer's place in the column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Span {
    id: usize,
    first: usize,
    last: usize,
}

/// Heat that crossed the outer faces in one step, J/m², into the column.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Crossed {
    pub top: f64,
    pub bottom: f64,
}

/// The cells of all layers now in the stack, hot side first.
#[derive(Debug, Clone, Default)]
pub(crate) struct Column {
    cells: Vec<Cell>,
    spans: Vec<Span>,
    /// The elimination, kept from step to step.
    rows: Vec<Row>,
    factored: Option<Factored>,
    /// First row whose elimination no longer holds; `usize::MAX` when all hold.
    stale_from: usize,
    /// First and one past the last cell that holds water.
    damp: (usize, usize),
    /// Layers there have ever been.
    ids: usize,
    /// Cells of one piece of a pile.
    piece: usize,
}

const MOST_CHOICES: usize = 60;
const MOST_HALVINGS: u32 = 12;

impl Column {
    pub fn new(layers: &[Layer], contacts: &[Option<f64>], start_c: f64) -> Result<Self, HeatError> {
        let mut column = Self::default();
        column.put_below(layers, contacts, None, start_c)?;
        Ok(column)
    }

    pub fn cells(&self) -> usize {
        self.cells.len()
    }

    pub fn layers(&self) -> usize {
        self.spans.len()
    }

    /// How many layers there have ever been; the next one gets this number.
    pub fn ids(&self) -> usize {
        self.ids
    }

    /// Adds layers under the last one; `joint` joins them to it.
    pub fn put_below(
        &mut self,
        layers: &[Layer],
        contacts: &[Option<f64>],
        joint: Option<f64>,
        start_c: f64,
    ) -> Result<(), HeatError> {
        let budget = limits::CELLS.saturating_sub(self.cells.len()) / layers.len().max(1);
        if let Some(last) = self.cells.last_mut() {
            last.joint = resistance(joint);
        }
        for (index, layer) in layers.iter().enumerate() {
            let first = self.cells.len();
            cut(layer, start_c, budget, &mut self.cells);
            if let Some(last) = self.cells.last_mut() {
                last.joint = resistance(contacts.get(index).copied().flatten());
            }
            self.spans.push(Span { id: self.ids, first, last: self.cells.len() - 1 });
            self.ids += 1;
        }
        self.settle()
    }

    /// Lays layers on top; the last of `contacts` joins them to the present top.
    pub fn put_on_top(&mut self, layers: &[Layer], contacts: &[Option<f64>], start_c: f64) -> Result<(), HeatError> {
        if layers.is_empty() {
            return Ok(());
        }
        let mut upper = Self { ids: self.ids, ..Self::default() };
        upper.put_below(layers, contacts, None, start_c)?;
        if let Some(last) = upper.cells.last_mut() {
            last.joint = resistance(contacts.get(layers.len().wrapping_sub(1)).copied().flatten());
        }
        let shift = upper.cells.len();
        upper.cells.append(&mut self.cells);
        upper.spans.extend(self.spans.iter().map(|s| Span { first: s.first + shift, last: s.last + shift, ..*s }));
        *self = upper;
        self.settle()
    }

    /// Takes `count` layers off the top; at least one stays.
    pub fn take_from_top(&mut self, count: usize) -> Result<(), HeatError> {
        let count = count.min(self.spans.len().saturating_sub(1));
        let gone = self.spans.get(count).map_or(0, |s| s.first);
        self.cells.drain(..gone);
        self.spans.drain(..count);
        for span in &mut self.spans {
            span.first -= gone;
            span.last -= gone;
        }
        self.settle()
    }

    /// Keeps the upper `count` layers, at least one.
    pub fn keep_upper(&mut self, count: usize) -> Result<(), HeatError> {
        self.spans.truncate(count.max(1));
        let end = self.spans.last().map_or(0, |s| s.last + 1);
        self.cells.truncate(end);
        self.settle()
    }

    /// Turns all of it upside down.
    pub fn turn_over(&mut self) -> Result<(), HeatError> {
        let joints: Vec<f64> = self.cells.iter().rev().skip(1).map(|c| c.joint).chain([0.0]).collect();
        self.cells.reverse();
        for (cell, joint) in self.cells.iter_mut().zip(joints) {
            cell.joint = joint;
        }
        let end = self.cells.len().saturating_sub(1);
        self.spans.reverse();
        for span in &mut self.spans {
            (span.first, span.last) = (end - span.last, end - span.first);
        }
        self.settle()
    }

    /// Lays copies of all of it under itself, `pieces` in all, loosely joined.
    pub fn pile(&mut self, pieces: usize, contact_w_m2k: f64) -> Result<(), HeatError> {
        self.piece = self.cells.len();
        if let Some(last) = self.cells.last_mut() {
            last.joint = 1.0 / contact_w_m2k;
        }
        let (cells, spans) = (self.cells.clone(), self.spans.clone());
        for copy in 1..pieces {
            let shift = copy * cells.len();
            self.cells.extend_from_slice(&cells);
            for span in &spans {
                self.spans.push(Span { id: self.ids, first: span.first + shift, last: span.last + shift });
                self.ids += 1;
            }
        }
        self.settle()
    }

    /// Cells of one piece of the pile.
    pub fn piece_cells(&self) -> usize {
        self.piece
    }

    /// Stored heat above 0 °C without that of drying, J/m².
    pub fn sensible_j_m2(&self) -> f64 {
        self.cells.iter().map(|c| c.capacity * c.t).sum()
    }

    /// Heat of the water that is still bound, J/m².
    pub fn bound_j_m2(&self) -> f64 {
        self.cells.iter().map(|c| c.water_left() * latent_heat(c)).sum()
    }

    /// Water left in layer `id`, kg/m²; `None` when it is not in the stack.
    pub fn water_left(&self, id: usize) -> Option<f64> {
        let span = self.span(id)?;
        Some(self.cells[span.first..=span.last].iter().map(Cell::water_left).sum())
    }

    /// Temperature of the top or bottom face of the whole column as `edge` makes it.
    pub fn top_face(&self, edge: Edge) -> f64 {
        self.cells.first().map_or(0.0, |c| face(c, edge))
    }

    pub fn bottom_face(&self, edge: Edge) -> f64 {
        self.cells.last().map_or(0.0, |c| face(c, edge))
    }

    /// Temperature of the first cell.
    pub fn first_cell(&self) -> f64 {
        self.cells.first().map_or(0.0, |c| c.t)
    }

    /// Where a layer's cells are, to be read each step without a search.
    pub fn place(&self, id: usize) -> Option<(usize, usize)> {
        self.span(id).map(|s| (s.first, s.last))
    }

    /// Temperature of the upper face of cell `at`, from the flux through it.
    pub fn upper_face(&self, at: usize, top: Edge) -> f64 {
        match at.checked_sub(1) {
            None => self.top_face(top),
            Some(above) => {
                let (a, b) = (&self.cells[above], &self.cells[at]);
                b.t + a.below * (a.t - b.t) * b.half
            }
        }
    }

    /// Temperature of the lower face of cell `at`, from the flux through it.
    pub fn lower_face(&self, at: usize, bottom: Edge) -> f64 {
        match self.cells.get(at + 1) {
            None => self.bottom_face(bottom),
            Some(b) => {
                let a = &self.cells[at];
                a.t - a.below * (a.t - b.t) * a.half
            }
        }
    }

    /// Temperature in layer `id` at `share` of its thickness from its top.
    pub fn inside(&self, id: usize, share: f64, [top, bottom]: [Edge; 2]) -> Option<f64> {
        let span = self.span(id)?;
        let cells = &self.cells[span.first..=span.last];
        // Within a layer the half resistance is in proportion to the cell's size.
        let whole: f64 = cells.iter().map(|c| 2.0 * c.half).sum();
        let target = share.clamp(0.0, 1.0) * whole;
        let mut before = (0.0, self.upper_face(span.first, top));
        let mut face = 0.0;
        for cell in cells {
            let middle = face + cell.half;
            if target <= middle {
                return Some(between(before, (middle, cell.t), target));
            }
            before = (middle, cell.t);
            face += 2.0 * cell.half;
        }
        Some(between(before, (whole, self.lower_face(span.last, bottom)), target))
    }

    /// One step of `dt` seconds. Allocates nothing.
    pub fn step(&mut self, dt: f64, edges: [Edge; 2]) -> Option<Crossed> {
        self.step_halving(dt, edges, 0)
    }

    fn step_halving(&mut self, dt: f64, edges: [Edge; 2], depth: u32) -> Option<Crossed> {
        for _ in 0..MOST_CHOICES {
            self.solve(dt, edges);
            if self.choices_stand() {
                return Some(self.accept(dt, edges));
            }
        }
        if depth == MOST_HALVINGS {
            return None;
        }
        let first = self.step_halving(0.5 * dt, edges, depth + 1)?;
        let second = self.step_halving(0.5 * dt, edges, depth + 1)?;
        Some(Crossed { top: first.top + second.top, bottom: first.bottom + second.bottom })
    }

    /// Solves the tridiagonal system with each cell on its chosen piece.
    ///
    /// The elimination is the costly part, for every row divides and waits for
    /// the one above. It depends on the step, the edges' conductances and which
    /// cells are drying, not on temperatures, so it is kept while these stand.
    fn solve(&mut self, dt: f64, [top, bottom]: [Edge; 2]) {
        let (Some(first), Some(last)) = (self.cells.first(), self.cells.last()) else { return };
        let (top_g, top_c, top_q) = top.seen_through(first.half);
        let (bottom_g, bottom_c, bottom_q) = bottom.seen_through(last.half);
        self.eliminate(Factored { dt, top_g, bottom_g });
        // The first row carries nothing down but what comes through the top edge.
        let mut load = dt * (top_g * top_c + top_q);
        for (cell, row) in self.cells.iter().zip(&mut self.rows) {
            let dries = match cell.piece {
                Piece::Storing => 0.0,
                Piece::Drying => cell.latent * cell.dries_from(),
                Piece::Dried => -cell.latent * (cell.window.1 - cell.dries_from()).max(0.0),
            };
            load = cell.capacity * cell.t + dries + row.down * load;
            row.load = load * row.inverse;
        }
        let mut below = 0.0;
        if let Some(row) = self.rows.last_mut() {
            row.load += dt * (bottom_g * bottom_c + bottom_q) * row.inverse;
        }
        for (cell, row) in self.cells.iter_mut().zip(&self.rows).rev() {
            below = row.load + row.up * below;
            cell.next = below;
        }
    }

    /// Brings the elimination up to date, from the first row that has changed.
    fn eliminate(&mut self, wanted: Factored) {
        let from = match self.factored {
            Some(now) if now == wanted => self.stale_from,
            Some(now) if now.dt == wanted.dt && now.top_g == wanted.top_g => {
                self.stale_from.min(self.cells.len().saturating_sub(1))
            }
            _ => 0,
        };
        self.factored = Some(wanted);
        self.stale_from = usize::MAX;
        if from >= self.cells.len() {
            return;
        }
        let Factored { dt, top_g, bottom_g } = wanted;
        let end = self.cells.len() - 1;
        let before = from.checked_sub(1).map(|at| (self.cells[at].below, self.rows[at].inverse));
        let (mut above, mut inverse) = before.unwrap_or((0.0, 0.0));
        for (at, (cell, row)) in self.cells.iter().zip(&mut self.rows).enumerate().skip(from) {
            let mut diagonal = cell.capacity + dt * (above + cell.below);
            if cell.piece == Piece::Drying {
                diagonal += cell.latent;
            }
            diagonal += if at == 0 { dt * top_g } else { 0.0 };
            diagonal += if at == end { dt * bottom_g } else { 0.0 };
            let down = dt * above * inverse;
            inverse = 1.0 / (diagonal - down * dt * above);
            *row = Row { down: if at == 0 { 1.0 } else { down }, up: dt * cell.below * inverse, inverse, load: 0.0 };
            above = cell.below;
        }
    }

    /// Chooses each wet cell's piece from the enthalpy just found; true when
    /// every choice was right already.
    fn choices_stand(&mut self) -> bool {
        let (first, end) = self.damp;
        let mut changed_from = usize::MAX;
        for (at, cell) in self.cells[first..end].iter_mut().enumerate() {
            let piece = if cell.wet() { chosen(cell) } else { cell.piece };
            if piece != cell.piece {
                // A dried cell's row is that of a storing one; only a drying one's differs.
                if piece == Piece::Drying || cell.piece == Piece::Drying {
                    self.stale_from = self.stale_from.min(first + at);
                }
                cell.piece = piece;
                changed_from = changed_from.min(first + at);
            }
        }
        changed_from == usize::MAX
    }

    fn accept(&mut self, dt: f64, [top, bottom]: [Edge; 2]) -> Crossed {
        for cell in &mut self.cells {
            cell.t = cell.next;
            cell.hottest = cell.hottest.max(cell.t);
        }
        let (first, end) = self.damp;
        for (at, cell) in self.cells[first..end].iter_mut().enumerate() {
            let all_gone = cell.piece == Piece::Dried || cell.hottest >= cell.window.1;
            if all_gone && cell.piece != Piece::Storing {
                // Nothing is left to choose.
                if cell.piece == Piece::Drying {
                    self.stale_from = self.stale_from.min(first + at);
                }
                cell.piece = Piece::Storing;
                cell.hottest = cell.hottest.max(cell.window.1);
            }
        }
        let through = |cell: Option<&Cell>, edge: Edge| {
            cell.map_or(0.0, |c| {
                let (g, to_c, q) = edge.seen_through(c.half);
                dt * (g * (to_c - c.t) + q)
            })
        };
        Crossed { top: through(self.cells.first(), top), bottom: through(self.cells.last(), bottom) }
    }

    fn span(&self, id: usize) -> Option<Span> {
        self.spans.iter().copied().find(|s| s.id == id)
    }

    /// Conductances between neighbours, and room for the solve.
    fn settle(&mut self) -> Result<(), HeatError> {
        crate::error::counted(|| "layers, added ones included".into(), self.spans.len(), (1, limits::LAYERS))?;
        crate::error::counted(|| "cells".into(), self.cells.len(), (1, limits::CELLS))?;
        for at in 1..self.cells.len() {
            let below = self.cells[at].half;
            let above = &mut self.cells[at - 1];
            above.below = 1.0 / (above.half + above.joint + below);
        }
        if let Some(last) = self.cells.last_mut() {
            last.below = 0.0;
        }
        self.rows.resize(self.cells.len(), Row::default());
        self.factored = None;
        let damp = |c: &Cell| c.latent > 0.0;
        let first = self.cells.iter().position(damp).unwrap_or(0);
        self.damp = (first, self.cells.iter().rposition(damp).map_or(first, |last| last + 1));
        Ok(())
    }
}

/// The piece on which a wet cell's enthalpy lies after the solve; a hair's
/// breadth past a kink leaves the choice as it is.
fn chosen(cell: &Cell) -> Piece {
    let from = cell.dries_from();
    let dried_by = match cell.piece {
        Piece::Storing => 0.0,
        Piece::Drying => cell.latent * (cell.next - from),
        Piece::Dried => cell.latent * (cell.window.1 - from),
    };
    let heat = cell.capacity * (cell.next - cell.t) + dried_by;
    let to_kink = cell.capacity * (from - cell.t);
    let to_end = cell.capacity * (cell.window.1 - cell.t) + cell.latent * (cell.window.1 - from);
    let slack = 1e-9 * (cell.capacity + cell.latent);
    match cell.piece {
        Piece::Storing if heat <= to_kink + slack => Piece::Storing,
        Piece::Drying if heat >= to_kink - slack && heat <= to_end + slack => Piece::Drying,
        Piece::Dried if heat >= to_end - slack => Piece::Dried,
        _ if heat <= to_kink => Piece::Storing,
        _ if heat < to_end => Piece::Drying,
        _ => Piece::Dried,
    }
}

fn latent_heat(cell: &Cell) -> f64 {
    if cell.water > 0.0 { cell.latent * (cell.window.1 - cell.window.0) / cell.water } else { 0.0 }
}

fn face(cell: &Cell, edge: Edge) -> f64 {
    let (g, to_c, q) = edge.seen_through(cell.half);
    cell.t + (g * (to_c - cell.t) + q) * cell.half
}

fn between((x0, y0): (f64, f64), (x1, y1): (f64, f64), x: f64) -> f64 {
    if x1 > x0 { y0 + (y1 - y0) * (x - x0) / (x1 - x0) } else { y1 }
}

fn resistance(conductance: Option<f64>) -> f64 {
    conductance.map_or(0.0, |h| 1.0 / h)
}

/// Cuts a layer into cells; `budget` caps how many a layer left to itself takes.
fn cut(layer: &Layer, start_c: f64, budget: usize, cells: &mut Vec<Cell>) {
    let thickness = layer.thickness_mm * 1e-3;
    let sizes = sizes(layer, thickness, budget);
    let mut top = 0.0;
    for size in sizes {
        let share = (top + 0.5 * size) / thickness;
        let t = match layer.start {
            None => start_c,
            Some(Start::Even(c)) => c,
            Some(Start::Linear(a, b)) => a + (b - a) * share,
        };
        let part = size / thickness;
        let water = layer.water.map_or(0.0, |w| w.kg_m2 * part);
        let window = layer.water.map_or((0.0, 1.0), |w| w.window_c);
        let latent = layer.water.map_or(0.0, |w| water * w.latent_j_kg / (window.1 - window.0));
        cells.push(Cell {
            half: 0.5 * size / layer.conductivity_w_mk,
            capacity: layer.density_kg_m3 * layer.heat_capacity_j_kgk * size,
            latent,
            window,
            water,
            below: 0.0,
            joint: 0.0,
            t,
            hottest: t,
            piece: Piece::Storing,
            next: t,
        });
        top += size;
    }
}

const AUTO_GROWTH: f64 = 1.08;
const AUTO_MOST: usize = 400;
const AUTO_FEWEST: usize = 4;

fn sizes(layer: &Layer, thickness: f64, budget: usize) -> Vec<f64> {
    match layer.mesh {
        Mesh::Even(count) => vec![thickness / count as f64; count],
        Mesh::FromTop { cells, growth } => graded(thickness, cells, growth),
        Mesh::Auto => auto(layer.diffusivity(), thickness, budget.clamp(1, AUTO_MOST)),
    }
}

/// Fine at both faces: a first cell heat crosses in about a millisecond, each
/// next one larger up to the middle.
fn auto(diffusivity: f64, thickness: f64, most: usize) -> Vec<f64> {
    let finest = (thickness / 20.0).min((diffusivity * 1e-3).sqrt());
    let half = 0.5 * thickness;
    let needed = libm::log1p(half * (AUTO_GROWTH - 1.0) / finest) / libm::log(AUTO_GROWTH);
    let per_half = (needed.ceil().clamp(2.0, 200.0) as usize).min(most.div_ceil(2)).max(1);
    if most < AUTO_FEWEST {
        return vec![thickness / most as f64; most];
    }
    let upper = graded(half, per_half, AUTO_GROWTH);
    upper.iter().chain(upper.iter().rev()).copied().collect()
}

fn graded(thickness: f64, count: usize, growth: f64) -> Vec<f64> {
    let mut sizes = Vec::with_capacity(count);
    let mut size = 1.0;
    for _ in 0..count {
        sizes.push(size);
        size *= growth;
    }
    let whole: f64 = sizes.iter().sum();
    sizes.iter_mut().for_each(|s| *s *= thickness / whole);
    sizes
}
