//! The work after the press opens: how long until it can be peeled or handled.

use crate::boundary::{Boundary, Course, FACE_SIZE_MM, Facing};
use crate::case::{Change, Phase, Walk};
use crate::error::{HeatError, within};
use crate::layer::{Layer, Mesh};
use crate::limits;
use crate::pace::Pace;
use crate::properties as data;
use crate::session::Session;

/// Where the work cools.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cooling {
    /// Left on the warm pad.
    OnPad,
    /// On a wooden table.
    Table,
    /// On felt, foam or another insulating surface.
    Insulated,
    /// On a metal plate.
    MetalPlate,
    /// Hung up or on an open rack, air on both sides; reckoned as lying, which
    /// cools a fifth slower than upright and so errs towards waiting.
    Hung,
    /// Hung or racked before a fan.
    Fan,
    /// In a pile of pieces fresh from the press on a wooden table; the slowest counts.
    Piled {
        /// How many, 2 to 12.
        pieces: usize,
    },
}

/// When the work is cool enough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooled {
    /// Where it cooled.
    pub way: Cooling,
    /// Until the bond line is at the peel temperature, s; `None` when not practical:
    /// less than 3 K above the room, or not within 30 minutes.
    pub to_peel_s: Option<f64>,
    /// Until its hot side may be carried in bare hands, s; as above.
    pub to_handling_s: Option<f64>,
}

/// Loosely lying work on a table, W/m²K; 30–150 (judgement).
const TABLE_CONTACT: f64 = 60.0;
/// Loosely lying work on a metal plate, W/m²K (judgement: smoother and harder than wood).
const PLATE_CONTACT: f64 = 110.0;
/// Loose work on loose work, W/m²K (judgement, as on a table).
const PILE_CONTACT: f64 = 60.0;
/// Underside of a table to the room, W/m²K.
const UNDERSIDE: f64 = 8.0;
/// Forced convection before a fan, W/m²K: a laminar plate of 60 mm in 3 m/s,
/// Nu = 0.664 Re^½ Pr^⅓ (Incropera & DeWitt, ch. 7, from memory), gives 26.
const FAN: f64 = 26.0;
/// Longest that is followed, s.
const LONGEST_S: f64 = 1800.0;
/// A peel temperature closer to the room than this is not practical, K.
pub const PRACTICAL_K: f64 = 3.0;

/// Time for the session's work to cool, from the moment the press opens; the
/// cover sheet comes off at once.
pub(crate) fn cool(session: &Session<'_>, way: Cooling, peel_c: f64, handling_c: f64) -> Result<Cooled, HeatError> {
    within(|| "peel_c".into(), peel_c, (0.0, 200.0), "°C")?;
    within(|| "handling_c".into(), handling_c, (0.0, 200.0), "°C")?;
    let mut session = session.clone();
    session.cover_off()?;
    let phase = set_down(&mut session, way)?;
    let room = session.around().room_c;
    let bonds = bond_faces(&session, way);
    let mut walk = Walk::begin(&mut session.column, &phase, 0.0, Pace::Press);
    let warmest = |walk: &Walk<'_>| bonds.iter().map(|&place| walk.face(place)).fold(f64::NEG_INFINITY, f64::max);
    let mut peel = Falling::to(peel_c, room, warmest(&walk));
    let mut handling = Falling::to(handling_c, room, walk.column.top_face(walk.edges[0]));
    while walk.time_s < LONGEST_S && !(peel.done() && handling.done()) {
        let from = walk.time_s;
        walk.step_to(LONGEST_S)?;
        peel.see(from, walk.time_s, warmest(&walk));
        handling.see(from, walk.time_s, walk.column.top_face(walk.edges[0]));
    }
    Ok(Cooled { way, to_peel_s: peel.at, to_handling_s: handling.at })
}

/// The hot side the moment the press opens, without the cover sheet, °C.
pub(crate) fn hot_side(session: &Session<'_>) -> Result<f64, HeatError> {
    let mut session = session.clone();
    session.cover_off()?;
    let phase = open(session.around().room_c, Facing::Up, session.pad_edge());
    let walk = Walk::begin(&mut session.column, &phase, 0.0, Pace::Press);
    Ok(walk.column.top_face(walk.edges[0]))
}

/// Puts the work where it cools; the phase it then goes through.
pub(crate) fn set_down(session: &mut Session<'_>, way: Cooling) -> Result<Phase, HeatError> {
    let room = session.around().room_c;
    if way == Cooling::OnPad && session.on_pad() {
        return Ok(open(room, Facing::Up, session.pad_edge()));
    }
    session.off_pad()?;
    let wood = || board("table", 18.0, data::WOOD.values());
    match way {
        Cooling::OnPad | Cooling::Table => session.column.put_below(&[wood()], &[], Some(TABLE_CONTACT), room)?,
        Cooling::Insulated => {
            let foam = board("felt", 18.0, [0.04, 60.0, 1400.0]);
            session.column.put_below(&[foam], &[], Some(TABLE_CONTACT), room)?;
        }
        Cooling::MetalPlate => {
            let plate = Layer::dry("plate", 6.0, data::ALUMINIUM.values()).cut(Mesh::Even(4));
            session.column.put_below(&[plate], &[], Some(PLATE_CONTACT), room)?;
        }
        Cooling::Hung => return Ok(open(room, Facing::Up, Boundary::air(room, Facing::Down))),
        Cooling::Fan => {
            let air = Boundary::Contact { w_m2k: FAN + 6.0, to_c: Course::steady(room) };
            return Ok(Phase { top: air.clone(), ..open(room, Facing::Side, air) });
        }
        Cooling::Piled { pieces } => {
            crate::error::counted(|| "pieces".into(), pieces, (2, 12))?;
            session.column.pile(pieces, PILE_CONTACT)?;
            session.column.put_below(&[wood()], &[], Some(TABLE_CONTACT), room)?;
        }
    }
    Ok(open(room, Facing::Up, Boundary::contact(UNDERSIDE, room)))
}

/// Open: no pressure, air above.
pub(crate) fn open(room_c: f64, facing: Facing, bottom: Boundary) -> Phase {
    let top = Boundary::Air {
        to_c: Course::steady(room_c),
        facing,
        size_mm: FACE_SIZE_MM,
        emissivity: crate::boundary::EMISSIVITY,
    };
    Phase { name: "cool".into(), duration_s: limits::TOTAL_S, top, bottom, change: Change::default(), pressed: false }
}

/// Every bond line: a cell, and whether its upper face is meant.
fn bond_faces(session: &Session<'_>, way: Cooling) -> Vec<(usize, bool)> {
    let Some((cell, upper)) = session.bond_face() else {
        return session.column.place(session.face).map(|p| (p.1, false)).into_iter().collect();
    };
    match way {
        Cooling::Piled { pieces } => {
            let each = session.column.piece_cells();
            (0..pieces).map(|piece| (cell + piece * each, upper)).collect()
        }
        _ => vec![(cell, upper)],
    }
}

fn board(name: &str, thickness_mm: f64, values: [f64; 3]) -> Layer {
    Layer::dry(name, thickness_mm, values).cut(Mesh::FromTop { cells: 30, growth: 1.12 })
}

/// Waits for a falling temperature.
struct Falling {
    target: f64,
    last: f64,
    at: Option<f64>,
    hopeless: bool,
}

impl Falling {
    fn to(target: f64, room: f64, now: f64) -> Self {
        let there = (now <= target).then_some(0.0);
        Self { target, last: now, at: there, hopeless: there.is_none() && target - room < PRACTICAL_K }
    }

    fn done(&self) -> bool {
        self.at.is_some() || self.hopeless
    }

    fn see(&mut self, from: f64, to: f64, now: f64) {
        if !self.done() && now <= self.target {
            let share = (self.last - self.target) / (self.last - now);
            self.at = Some(from + (to - from) * share);
        }
        self.last = now;
    }
}
