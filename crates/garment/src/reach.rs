//! Whether the press can reach a print flat, and how.
//!
//! For every print: platen and where it lies, how the garment is loaded, the
//! first isolation method that keeps everything raised out of the pressed area,
//! and what remains under the platen. The rules are common practice, no source:
//! art and 10 mm all round on the platen; nothing sewn within 12 mm of the art
//! unless a pillow lifts the print; a step above 0.5 mm (woven) or 1.0 mm (knit)
//! counts anywhere on the platen.

use crate::codes;
use crate::fit::{PlatenPlace, footprints, is_special, must_hold, nearest_place};
use crate::flat::flat;
use crate::layers::{Layers, Raised};
use crate::panel::{Flat, ObstacleKind, Panel};
use crate::place::Placed;
use crate::position::opens_in_front;
use geometry::Bounds;
use report::{Code, Finding, Reason, Severity};
use trade::platens::{CLEARANCE_MM, SEAM_DISTANCE_MM};
use trade::{
    Access, AccessoryId, AccessoryKind, Cloth, GarmentClass, GarmentSize, GarmentStyle, Lining, PlatenForm, PlatenId,
    PressId, Shop,
};
use units::{Duration, Length};

/// How the garment lies on the press.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LoadWay {
    /// Laid flat, all layers on the platen.
    LaidFlat,
    /// Slipped over the platen, one layer pressed.
    SlippedOver,
    /// Front opened, one panel laid.
    OpenedFlat,
    /// The platen between shell and lining.
    BetweenLayers,
    /// On its own form: cap platen, sock form.
    OnForm,
}

impl LoadWay {
    /// Its name, as a term.
    pub fn term(self) -> Code {
        match self {
            Self::LaidFlat => codes::LOAD_FLAT,
            Self::SlippedOver => codes::LOAD_SLIP,
            Self::OpenedFlat => codes::LOAD_OPEN,
            Self::BetweenLayers => codes::LOAD_BETWEEN,
            Self::OnForm => codes::LOAD_FORM,
        }
    }
}

/// What keeps raised things out of the pressed area, in the order they are tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Isolation {
    /// A platen small enough, or moved, so that they hang over its edge.
    PlatenAlone,
    /// The garment slipped over the platen.
    SlipOver,
    /// A pillow under the print.
    Pillow,
    /// Zip or buttons opened, one panel laid.
    OpenFront,
    /// Between shell and lining by pocket, hem or factory opening.
    BetweenLayers,
    /// A lining seam unpicked and closed again.
    UnpickLining,
}

impl Isolation {
    /// Its name, as a term.
    pub fn term(self) -> Code {
        match self {
            Self::PlatenAlone => codes::ISOLATION_PLATEN,
            Self::SlipOver => codes::ISOLATION_SLIP,
            Self::Pillow => codes::ISOLATION_PILLOW,
            Self::OpenFront => codes::ISOLATION_OPEN,
            Self::BetweenLayers => codes::ISOLATION_BETWEEN,
            Self::UnpickLining => codes::ISOLATION_UNPICK,
        }
    }

    /// Extra seconds a piece, least and most. Common practice, no source.
    pub fn extra_s(self) -> (f64, f64) {
        match self {
            Self::PlatenAlone => (0.0, 0.0),
            Self::SlipOver => (5.0, 10.0),
            Self::Pillow | Self::OpenFront => (5.0, 5.0),
            Self::BetweenLayers => (20.0, 40.0),
            Self::UnpickLining => (240.0, 480.0),
        }
    }
}

/// What lies under the platen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Under {
    /// An earlier print, by its place in the list given.
    EarlierPrint(usize),
    /// Something sewn on.
    Sewn(ObstacleKind),
}

/// Something under the platen besides the art.
#[derive(Debug, Clone, PartialEq)]
pub struct UnderPlaten {
    /// What.
    pub what: Under,
    /// Where, in the frame of the print's panel.
    pub at: Bounds,
    /// Whether the plate presses on it; otherwise it lies lower than the pillow and only gets warm.
    pub pressed: bool,
}

/// A platen of the shop that reaches as well, by the same method.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternative {
    /// The platen.
    pub platen: PlatenId,
    /// Presses that hold it.
    pub presses: Vec<PressId>,
    /// Where it lies.
    pub place: PlatenPlace,
}

/// How a print is reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The lower platen.
    pub platen: PlatenId,
    /// Where it lies under the panel.
    pub place: PlatenPlace,
    /// Presses that hold it and whose heated plate covers the art.
    pub presses: Vec<PressId>,
    /// How the garment is loaded.
    pub load: LoadWay,
    /// What keeps raised things out.
    pub isolation: Isolation,
    /// The pillow, its width and depth.
    pub pillow: Option<(AccessoryId, Length, Length)>,
    /// Where the pillow lies, in the panel's frame.
    pub pillow_place: Option<Bounds>,
    /// Extra time a piece, the middle of what is usual.
    pub extra: Duration,
    /// Least and most extra time a piece.
    pub extra_range: (Duration, Duration),
    /// What lies under the platen besides the art.
    pub under: Vec<UnderPlaten>,
    /// Loose things to hold out of the heat.
    pub pulled_clear: Vec<ObstacleKind>,
    /// Whether only one layer of cloth lies on the platen.
    pub single_layer: bool,
    /// Pieces that fit into one closing.
    pub per_closing: u32,
    /// Other platens that reach by the same method.
    pub alternatives: Vec<Alternative>,
    /// Why, the decisive reason first.
    pub why: Vec<Reason>,
    /// Whether the extra work is priced and needs the customer's consent.
    pub priced_extra: bool,
}

/// Why a print cannot be pressed where it was put, and the nearest that works.
#[derive(Debug, Clone, PartialEq)]
pub struct Unreachable {
    /// What blocks it.
    pub finding: Finding,
    /// The nearest that works.
    pub nearest: Option<Nearest>,
}

/// The nearest that works.
#[derive(Debug, Clone, PartialEq)]
pub struct Nearest {
    /// How it differs from what was wanted.
    pub change: Change,
    /// The print there.
    pub placed: Placed,
    /// How it is reached.
    pub reach: Reach,
}

/// How the nearest differs from what was wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// Moved right and up on the same panel.
    Moved {
        /// To the right as seen.
        right: Length,
        /// Up.
        up: Length,
    },
    /// Made smaller in proportion, and perhaps moved.
    Smaller {
        /// Share of the wanted size, 0 to 1.
        scale: f64,
        /// To the right as seen.
        right: Length,
        /// Up.
        up: Length,
    },
    /// Put at another position in its usual size.
    Elsewhere,
}

/// How the press reaches a print, with the shop's own platens and pillows.
///
/// `others` are the earlier prints of the same garment; they are kept off the
/// platen where that is possible and listed in [`Reach::under`] where not.
/// Err: what blocks it, and the nearest that works. Cost: well under a
/// millisecond for a reachable print, some tens for the search of the nearest.
pub fn reach(
    shop: &Shop,
    style: &GarmentStyle,
    size: &GarmentSize,
    cloth: &Cloth,
    placed: &Placed,
    others: &[Placed],
) -> Result<Reach, Box<Unreachable>> {
    let flat = flat(style, size).map_err(|finding| Box::new(Unreachable { finding, nearest: None }))?;
    let search = Search { shop, style, size, cloth, flat: &flat, others };
    search.reach(placed).map_err(|finding| {
        // Where a person must answer first, nothing is looked for.
        let asked = finding.severity == Severity::Ask || finding.code == codes::QUILTED_THROUGH;
        let nearest = if asked { None } else { crate::nearest::nearest(&search, placed) };
        Box::new(Unreachable { finding, nearest })
    })
}

/// One garment in one shop.
pub(crate) struct Search<'a> {
    pub(crate) shop: &'a Shop,
    pub(crate) style: &'a GarmentStyle,
    pub(crate) size: &'a GarmentSize,
    pub(crate) cloth: &'a Cloth,
    pub(crate) flat: &'a Flat,
    pub(crate) others: &'a [Placed],
}

/// One way to hold the garment.
#[derive(Debug, Clone, Copy)]
struct Way {
    load: LoadWay,
    pillow: bool,
    isolation: Isolation,
}

/// A platen that works, before the best is chosen.
#[derive(Debug, Clone)]
struct Found {
    platen: PlatenId,
    place: PlatenPlace,
    presses: Vec<PressId>,
    pillow: Option<(AccessoryId, Bounds)>,
    earlier: usize,
    rank: (usize, f64),
}

impl<'a> Search<'a> {
    /// How the print is reached, or what blocks it.
    pub(crate) fn reach(&self, placed: &Placed) -> Result<Reach, Finding> {
        if self.lined() {
            self.lining_known()?;
        }
        let ways = self.ways(placed.panel);
        let mut refused = Vec::new();
        for way in &ways {
            let layers = Layers::of(self, placed, way.load);
            let found = self.found(placed, *way, &layers);
            if found.is_empty() {
                refused.push(*way);
                continue;
            }
            return Ok(self.settled(placed, *way, &layers, found, &refused));
        }
        Err(crate::blocked::finding(self, placed, ways.iter().map(|way| (way.load, way.pillow))))
    }

    fn lined(&self) -> bool {
        self.style.lining != Lining::None
    }

    fn lining_known(&self) -> Result<(), Finding> {
        if self.style.lining == Lining::Padded && self.style.has(trade::Feature::Quilted) {
            return Err(crate::blocked::quilted(self.style));
        }
        match self.style.access {
            Access::Unknown => Err(crate::blocked::lining_unknown(self.style)),
            _ => Ok(()),
        }
    }

    /// The ways to hold this garment, in the order they are tried.
    fn ways(&self, panel: Panel) -> Vec<Way> {
        let way = |load, pillow, isolation| Way { load, pillow, isolation };
        if matches!(panel, Panel::CapFront) {
            return vec![way(LoadWay::OnForm, false, Isolation::PlatenAlone)];
        }
        if self.lined() {
            let isolation = match self.style.access {
                Access::Sewn => Isolation::UnpickLining,
                _ => Isolation::BetweenLayers,
            };
            return vec![way(LoadWay::BetweenLayers, false, isolation), way(LoadWay::BetweenLayers, true, isolation)];
        }
        let mut ways = Vec::new();
        if panel == Panel::Sock {
            ways.push(way(LoadWay::OnForm, false, Isolation::SlipOver));
        } else {
            ways.push(way(LoadWay::LaidFlat, false, Isolation::PlatenAlone));
        }
        ways.push(way(LoadWay::SlippedOver, false, Isolation::SlipOver));
        ways.push(way(LoadWay::LaidFlat, true, Isolation::Pillow));
        ways.push(way(LoadWay::SlippedOver, true, Isolation::Pillow));
        if panel == Panel::Front && opens_in_front(self.style) {
            ways.push(way(LoadWay::OpenedFlat, false, Isolation::OpenFront));
            ways.push(way(LoadWay::OpenedFlat, true, Isolation::OpenFront));
        }
        ways
    }

    /// Every platen of the shop that works this way.
    fn found(&self, placed: &Placed, way: Way, layers: &Layers) -> Vec<Found> {
        if layers.art_blocked(&placed.bounds, if way.pillow { 0.0 } else { SEAM_DISTANCE_MM }).is_some() {
            return Vec::new();
        }
        let pillow = if way.pillow {
            match self.pillow(placed, layers) {
                Some(pillow) => Some(pillow),
                None => return Vec::new(),
            }
        } else {
            None
        };
        self.shop
            .platens()
            .filter(|(_, platen)| self.form_suits(placed.panel, way.load, platen.form))
            .filter_map(|(id, platen)| {
                let presses = self.presses(id, &placed.bounds);
                let (place, earlier) = self.platen_place(placed, way, layers, platen, pillow.as_ref().map(|p| &p.1))?;
                let rank = (usual_rank(self.style.class, placed.panel, platen), area(&place));
                (!presses.is_empty()).then_some(Found { platen: id, place, presses, pillow, earlier, rank })
            })
            .collect()
    }

    fn form_suits(&self, panel: Panel, load: LoadWay, form: PlatenForm) -> bool {
        match (panel, load) {
            (Panel::CapFront, _) => form == PlatenForm::Cap,
            (Panel::Sock, LoadWay::OnForm) => form == PlatenForm::Sock,
            _ => !is_special(form),
        }
    }

    /// Presses that hold the platen and whose heated plate covers art and margin.
    fn presses(&self, platen: PlatenId, art: &Bounds) -> Vec<PressId> {
        let (w, h) = (art.width() + 2.0 * CLEARANCE_MM, art.height() + 2.0 * CLEARANCE_MM);
        let covers = |a: f64, b: f64| w <= a + 1e-9 && h <= b + 1e-9;
        self.shop
            .presses()
            .filter(|(_, press)| press.platens.contains(&platen))
            .filter(|(_, press)| {
                let (a, b) = (press.plate_width.mm(), press.plate_depth.mm());
                covers(a, b) || covers(b, a)
            })
            .map(|(id, _)| id)
            .collect()
    }

    /// Where the platen can lie, and how many earlier prints it then covers.
    fn platen_place(
        &self,
        placed: &Placed,
        way: Way,
        layers: &Layers,
        platen: &trade::Platen,
        pillow: Option<&Bounds>,
    ) -> Option<(PlatenPlace, usize)> {
        let tube = match way.load {
            LoadWay::SlippedOver => Some(self.flat.panel(placed.panel)?.tube_mm?),
            _ => None,
        };
        let mut best: Option<(PlatenPlace, usize)> = None;
        // A tube slips over a platen along its depth only.
        let along = matches!(way.load, LoadWay::SlippedOver) || placed.panel == Panel::Sock;
        for (footprint, turned) in footprints(platen) {
            if turned && along {
                continue;
            }
            let (footprint, must) = must_hold(footprint, &placed.bounds);
            let must = pillow.map_or(must, |p| must.joined(p));
            let keep_off: Vec<Bounds> = if pillow.is_some() { layers.harmed() } else { layers.raised() };
            let prints: Vec<Bounds> = layers.earlier.iter().map(|(_, b)| *b).collect();
            let clear: Vec<Bounds> = keep_off.iter().chain(&prints).copied().collect();
            let mut place = nearest_place(footprint, turned, &must, &clear);
            if place.is_none() && !prints.is_empty() {
                place = nearest_place(footprint, turned, &must, &keep_off);
            }
            let Some(place) = place else { continue };
            if tube.is_some_and(|tube| !slips_over(tube, &place)) {
                continue;
            }
            let covered = prints.iter().filter(|b| place.touches(b)).count();
            let better = best.as_ref().is_none_or(|(other, count)| {
                (covered, place.turned, place.moved_mm) < (*count, other.turned, other.moved_mm)
            });
            if better {
                best = Some((place, covered));
            }
        }
        best
    }

    /// The smallest pillow of the shop that is larger than the art and smaller than the space between what is raised.
    fn pillow(&self, placed: &Placed, layers: &Layers) -> Option<(AccessoryId, Bounds)> {
        let raised = layers.raised();
        let highest = layers.highest_step();
        let must = placed.bounds.grown(PILLOW_MARGIN_MM);
        let mut best: Option<(AccessoryId, Bounds)> = None;
        for (id, accessory) in self.shop.accessories() {
            let AccessoryKind::Pillow { thickness, width, depth } = accessory.kind else { continue };
            if thickness.mm() < highest {
                continue;
            }
            for (wide, deep) in [(width.mm(), depth.mm()), (depth.mm(), width.mm())] {
                let footprint = crate::fit::Footprint::Box { wide, deep };
                if let Some(place) = nearest_place(footprint, false, &must, &raised) {
                    let size = |b: &Bounds| b.width() * b.height();
                    if best.as_ref().is_none_or(|(_, b)| size(&place.bounds) < size(b)) {
                        best = Some((id, place.bounds));
                    }
                }
            }
        }
        best
    }

    /// The answer from the platens that work.
    fn settled(&self, placed: &Placed, way: Way, layers: &Layers, mut found: Vec<Found>, refused: &[Way]) -> Reach {
        found.sort_by(|a, b| {
            (a.earlier, a.rank.0)
                .cmp(&(b.earlier, b.rank.0))
                .then(a.rank.1.total_cmp(&b.rank.1))
                .then(a.platen.index().cmp(&b.platen.index()))
        });
        let best = found.remove(0);
        let extra = self.extra(way);
        let under = self.under(layers, &best);
        let why = crate::why::reasons(&crate::why::Case {
            search: self,
            load: way.load,
            isolation: way.isolation,
            platen: &self.shop.platen(best.platen).name,
            place: &best.place,
            pillow: best.pillow.as_ref().map(|p| &p.1),
            under: &under,
            pulled: &layers.pulled,
            refused: &refused.iter().map(|way| (way.isolation, way.pillow)).collect::<Vec<_>>(),
        });
        let seconds = |s: f64| Duration::from_s(s).unwrap_or_default();
        Reach {
            platen: best.platen,
            place: best.place,
            presses: best.presses,
            load: way.load,
            isolation: way.isolation,
            pillow_place: best.pillow.as_ref().map(|(_, place)| *place),
            pillow: best.pillow.map(|(id, b)| {
                (id, Length::from_mm(b.width()).unwrap_or_default(), Length::from_mm(b.height()).unwrap_or_default())
            }),
            extra: seconds(f64::midpoint(extra.0, extra.1)),
            extra_range: (seconds(extra.0), seconds(extra.1)),
            under,
            pulled_clear: layers.pulled.clone(),
            single_layer: layers.single,
            per_closing: crate::closing::pieces(self, placed, way.pillow, &best.place),
            alternatives: found
                .into_iter()
                .map(|f| Alternative { platen: f.platen, presses: f.presses, place: f.place })
                .collect(),
            why,
            priced_extra: way.isolation == Isolation::UnpickLining,
        }
    }

    /// Extra time of the method, and of the pillow when it comes on top of another method.
    fn extra(&self, way: Way) -> (f64, f64) {
        let (low, high) = way.isolation.extra_s();
        let mut sum = (low, high);
        if way.pillow && way.isolation != Isolation::Pillow {
            sum = (sum.0 + 5.0, sum.1 + 5.0);
        }
        if way.isolation == Isolation::Pillow && way.load == LoadWay::SlippedOver {
            let slip = Isolation::SlipOver.extra_s();
            sum = (sum.0 + slip.0, sum.1 + slip.1);
        }
        sum
    }

    fn under(&self, layers: &Layers, best: &Found) -> Vec<UnderPlaten> {
        let pressed = |b: &Bounds| best.pillow.as_ref().is_none_or(|(_, pillow)| pillow.overlaps(b));
        let prints = layers.earlier.iter().filter(|(_, b)| best.place.touches(b)).map(|(at, b)| UnderPlaten {
            what: Under::EarlierPrint(*at),
            at: *b,
            pressed: pressed(b),
        });
        let mut list: Vec<UnderPlaten> = prints.collect();
        let sewn = layers.all.iter().filter(|raised| best.place.touches(&raised.bounds));
        for Raised { kind, bounds, .. } in sewn {
            let same = |u: &&mut UnderPlaten| u.what == Under::Sewn(*kind) && u.at.grown(1.0).overlaps(bounds);
            let pressed = pressed(bounds);
            match list.iter_mut().find(same) {
                Some(known) => {
                    known.at = known.at.joined(bounds);
                    known.pressed |= pressed;
                }
                None => list.push(UnderPlaten { what: Under::Sewn(*kind), at: *bounds, pressed }),
            }
        }
        list
    }
}

/// How far a pillow reaches beyond the art on every side.
pub(crate) const PILLOW_MARGIN_MM: f64 = 5.0;
/// How much wider than the platen a tube must be to slip over it with its pad.
const SLIP_EASE_MM: f64 = 10.0;

/// A tube slips over when its flat width takes the platen's side across it.
pub(crate) fn slips_over(tube_mm: f64, place: &PlatenPlace) -> bool {
    place.bounds.width() + SLIP_EASE_MM <= tube_mm + 1e-9
}

fn area(place: &PlatenPlace) -> f64 {
    let b = &place.bounds;
    if place.round { b.width() * b.width() * std::f64::consts::FRAC_PI_4 } else { b.width() * b.height() }
}

/// The platens usual for a class, by their sides in inches. Common practice, no source.
fn usual_platens(class: GarmentClass, panel: Panel) -> &'static [(f64, f64)] {
    match (panel, class) {
        (
            Panel::LeftSleeve | Panel::RightSleeve,
            GarmentClass::Tee | GarmentClass::PerformanceTee | GarmentClass::Polo,
        ) => &[(6.0, 10.0), (4.0, 16.0)],
        (Panel::LeftSleeve | Panel::RightSleeve, _) => &[(4.0, 16.0)],
        (Panel::HoodLeft | Panel::HoodRight, _) => &[(6.0, 10.0)],
        (_, GarmentClass::Tee | GarmentClass::Vest | GarmentClass::ChildSleepwear) => &[(16.0, 20.0), (15.0, 15.0)],
        (_, GarmentClass::PerformanceTee) => &[(15.0, 15.0), (11.0, 15.0)],
        (_, GarmentClass::Hoodie | GarmentClass::Sweatshirt) => &[(11.0, 15.0), (16.0, 20.0)],
        (_, GarmentClass::ShellJacket) => &[(11.0, 15.0), (6.0, 10.0)],
        (_, GarmentClass::RainShell) => &[(6.0, 10.0), (11.0, 15.0)],
        (_, GarmentClass::Softshell | GarmentClass::Tote) => &[(11.0, 15.0)],
        (_, GarmentClass::Polo) => &[(6.0, 10.0), (11.0, 15.0)],
        (_, GarmentClass::DressShirt) => &[(6.0, 10.0)],
        (_, GarmentClass::Apron) => &[(15.0, 15.0)],
        (_, GarmentClass::Cap) => &[(3.5, 6.0)],
        (_, GarmentClass::FaceCover) => &[(5.0, 5.0), (6.0, 10.0)],
        (_, GarmentClass::Bib) => &[(6.0, 10.0), (5.0, 5.0)],
        (_, GarmentClass::Sock | GarmentClass::Legwear) => &[(4.0, 16.0)],
    }
}

/// Place of the platen in the class's usual list; past its end when it is not listed.
fn usual_rank(class: GarmentClass, panel: Panel, platen: &trade::Platen) -> usize {
    let usual = usual_platens(class, panel);
    let (a, b) = match platen.shape {
        trade::PlatenShape::Rectangle { width, depth } => {
            (width.inches().min(depth.inches()), width.inches().max(depth.inches()))
        }
        trade::PlatenShape::Round { diameter } => (diameter.inches(), diameter.inches()),
    };
    // Sizes are sold rounded to centimetres or inches: half an inch apart is the same size.
    usual.iter().position(|(w, d)| (w - a).abs() <= 0.5 && (d - b).abs() <= 0.5).unwrap_or(usual.len())
}
