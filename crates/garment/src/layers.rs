//! What lies on the platen in one way of holding the garment.

use crate::flat::seam_behind;
use crate::panel::{Obstacle, ObstacleKind, Panel};
use crate::place::Placed;
use crate::reach::{LoadWay, Search};
use geometry::{Bounds, Point};
use trade::platens::{STEP_KNIT_MM, STEP_WOVEN_MM};

/// One covered piece of something sewn on, in the frame of the print's panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Raised {
    pub(crate) kind: ObstacleKind,
    pub(crate) bounds: Bounds,
    pub(crate) step_mm: f64,
    /// On the panel that is pressed, not on a layer beneath.
    pub(crate) own: bool,
}

/// Everything sewn on that stays on the platen, and the earlier prints.
#[derive(Debug, Clone)]
pub(crate) struct Layers {
    /// All pieces that stay.
    pub(crate) all: Vec<Raised>,
    /// Loose things a hand lays aside.
    pub(crate) pulled: Vec<ObstacleKind>,
    /// Earlier prints by their place in the list, where they lie on the platen.
    pub(crate) earlier: Vec<(usize, Bounds)>,
    /// Whether one layer of cloth only is pressed.
    pub(crate) single: bool,
    limit_mm: f64,
}

impl Layers {
    pub(crate) fn of(search: &Search<'_>, placed: &Placed, load: LoadWay) -> Self {
        let limit_mm = if search.cloth.is_knit() { STEP_KNIT_MM } else { STEP_WOVEN_MM };
        let half = half_of(placed, load);
        let mut layers = Self { all: Vec::new(), pulled: Vec::new(), earlier: Vec::new(), single: true, limit_mm };
        let own = search.flat.panel(placed.panel);
        if let Some(shape) = own {
            let staying = shape.obstacles.iter().filter(|o| half == 0 || o.half == 0 || o.half == half);
            for obstacle in staying {
                layers.take(obstacle, half, true);
            }
            layers.single = !shape.doubled || load != LoadWay::LaidFlat;
        }
        if !layers.single {
            layers.beneath(search, placed.panel);
        }
        layers.earlier = earlier(search, placed, &layers, half);
        layers
    }

    fn take(&mut self, obstacle: &Obstacle, half: i8, own: bool) {
        if obstacle.movable {
            if !self.pulled.contains(&obstacle.kind) {
                self.pulled.push(obstacle.kind);
            }
            return;
        }
        // With the front opened, whatever lies past the centre line has gone with the other half.
        let kept = obstacle.cover.iter().filter(|b| half == 0 || b.centre().x * f64::from(half) > -30.0);
        let raised = kept.map(|b| Raised { kind: obstacle.kind, bounds: *b, step_mm: obstacle.step_mm, own });
        self.all.extend(raised);
    }

    /// The same for a layer beneath, seen through.
    fn take_behind(&mut self, obstacle: &Obstacle) {
        if obstacle.movable {
            if !self.pulled.contains(&obstacle.kind) {
                self.pulled.push(obstacle.kind);
            }
            return;
        }
        let seen = |b: &Bounds| Bounds { min: Point::new(-b.max.x, b.min.y), max: Point::new(-b.min.x, b.max.y) };
        self.all.extend(obstacle.cover.iter().map(|b| Raised {
            kind: obstacle.kind,
            bounds: seen(b),
            step_mm: obstacle.step_mm,
            own: false,
        }));
    }

    /// The layer under a garment laid flat: its other side, seen through.
    fn beneath(&mut self, search: &Search<'_>, panel: Panel) {
        let other = match panel {
            Panel::Front => Some(Panel::Back),
            Panel::Back => Some(Panel::Front),
            _ => None,
        };
        if let Some(shape) = other.and_then(|panel| search.flat.panel(panel)) {
            for obstacle in &shape.obstacles {
                self.take_behind(obstacle);
            }
        } else if let Some(shape) = search.flat.panel(panel) {
            // Bags, hoods, legs: the other layer is sewn like this one; a sleeve has its seam behind.
            if let Some(seam) = seam_behind(shape, search.style.class) {
                self.take(&seam, 0, false);
            }
        }
    }

    fn counts(&self, raised: &Raised) -> bool {
        !raised.kind.under_art_only() && (raised.step_mm > self.limit_mm || raised.kind.never_pressed())
    }

    /// What must stay off the platen when nothing lifts the print.
    pub(crate) fn raised(&self) -> Vec<Bounds> {
        self.all.iter().filter(|r| self.counts(r)).map(|r| r.bounds).collect()
    }

    /// What must stay off the platen even beside a pillow: heat alone harms it.
    pub(crate) fn harmed(&self) -> Vec<Bounds> {
        let harmed = |kind| matches!(kind, ObstacleKind::SeamTape);
        self.all.iter().filter(|r| harmed(r.kind)).map(|r| r.bounds).collect()
    }

    /// The highest step, mm.
    pub(crate) fn highest_step(&self) -> f64 {
        self.all.iter().map(|r| r.step_mm).fold(0.0, f64::max)
    }

    /// What lies on the art or nearer to it than `apart` mm.
    ///
    /// What is seen through from a layer beneath only matters by its height.
    pub(crate) fn art_blocked(&self, art: &Bounds, apart: f64) -> Option<&Raised> {
        let zone = art.grown(apart.max(0.0));
        let near = |r: &&Raised| {
            let reach = if r.kind.under_art_only() { *art } else { zone };
            // A turned hem counts as a seam; quilting and mesh count under the art itself.
            (r.own || self.counts(r)) && reach.overlaps(&r.bounds)
        };
        self.all.iter().filter(near).min_by(|a, b| gap(art, &a.bounds).total_cmp(&gap(art, &b.bounds)))
    }
}

/// Distance between two upright rectangles, mm.
pub(crate) fn gap(a: &Bounds, b: &Bounds) -> f64 {
    let x = (a.min.x - b.max.x).max(b.min.x - a.max.x).max(0.0);
    let y = (a.min.y - b.max.y).max(b.min.y - a.max.y).max(0.0);
    x.hypot(y)
}

/// Which half of an opened front the print lies on; 0 when the front stays whole.
fn half_of(placed: &Placed, load: LoadWay) -> i8 {
    let opens = matches!(load, LoadWay::OpenedFlat);
    match (opens, placed.panel, placed.bounds.centre().x) {
        (true, Panel::Front, x) if x > 0.0 => 1,
        (true, Panel::Front, _) => -1,
        _ => 0,
    }
}

fn earlier(search: &Search<'_>, placed: &Placed, layers: &Layers, half: i8) -> Vec<(usize, Bounds)> {
    let opposite = |panel: Panel| {
        matches!((panel, placed.panel), (Panel::Front, Panel::Back) | (Panel::Back, Panel::Front))
            || matches!(
                (panel, placed.panel),
                (Panel::HoodLeft, Panel::HoodRight) | (Panel::HoodRight, Panel::HoodLeft)
            )
    };
    let seen = |b: &Bounds| Bounds { min: Point::new(-b.max.x, b.min.y), max: Point::new(-b.min.x, b.max.y) };
    search
        .others
        .iter()
        .enumerate()
        .filter_map(|(at, other)| {
            if other.panel == placed.panel {
                let gone = half != 0 && other.bounds.centre().x * f64::from(half) < 0.0;
                (!gone).then_some((at, other.bounds))
            } else {
                (!layers.single && opposite(other.panel)).then(|| (at, seen(&other.bounds)))
            }
        })
        .collect()
}
