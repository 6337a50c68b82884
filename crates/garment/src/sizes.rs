//! Usual sizes of art by position and size band, and art scaled over an order's
//! sizes. Common practice, no source, throughout; inches as the trade says them.

use crate::codes;
use crate::position::Position;
use report::{Code, Origin, Reason, Value};
use trade::{Band, GarmentClass, GarmentSize, GarmentStyle};
use units::Length;

/// How large art usually is at a position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeRange {
    /// Narrowest usual width (of art along an arm: across the arm).
    pub lowest: Length,
    /// Widest usual width.
    pub widest: Length,
    /// Greatest height (of art along an arm: its length).
    pub max_height: Length,
}

/// A row: widths for infant, toddler, youth, adult S–M, L–XL, 2XL and up, then greatest heights.
type Row = ([Option<(f64, f64)>; 6], [f64; 6]);

const fn w(low: f64, high: f64) -> Option<(f64, f64)> {
    Some((low, high))
}

fn row(position: Position) -> Row {
    match position {
        Position::LeftChest | Position::RightChest => (
            [w(1.5, 2.0), w(2.0, 2.5), w(2.5, 3.0), w(3.0, 3.5), w(3.5, 4.0), w(4.0, 4.5)],
            [2.0, 2.5, 3.0, 3.5, 4.0, 4.0],
        ),
        Position::CentreChest => (
            [w(3.0, 4.0), w(4.0, 5.0), w(5.0, 7.0), w(6.0, 8.0), w(7.0, 9.0), w(8.0, 10.0)],
            [4.0, 4.0, 5.0, 6.0, 6.0, 6.0],
        ),
        Position::FullFront => (
            [w(4.0, 5.0), w(5.0, 7.0), w(7.0, 9.5), w(10.0, 11.0), w(11.0, 12.0), w(12.0, 13.0)],
            [5.0, 8.0, 11.0, 14.0, 15.0, 16.0],
        ),
        Position::OversizeFront => (
            [None, None, w(10.0, 11.0), w(12.0, 13.0), w(13.0, 15.0), w(14.0, 15.0)],
            [18.0, 18.0, 18.0, 18.0, 19.0, 19.0],
        ),
        Position::Nape => {
            ([None, w(1.0, 1.5), w(1.5, 2.5), w(2.5, 3.0), w(2.5, 3.5), w(3.0, 3.5)], [1.0, 1.0, 2.0, 3.0, 3.0, 3.0])
        }
        Position::UpperBack => (
            [w(3.0, 4.0), w(5.0, 6.0), w(7.0, 9.0), w(9.0, 11.0), w(10.0, 12.0), w(11.0, 13.0)],
            [2.0, 2.0, 3.0, 4.0, 4.0, 4.0],
        ),
        Position::FullBack => (
            [w(4.0, 5.0), w(5.0, 8.0), w(8.0, 10.0), w(10.0, 12.0), w(12.0, 14.0), w(13.0, 15.0)],
            [5.0, 8.0, 12.0, 15.0, 16.0, 18.0],
        ),
        Position::ShortSleeveLeft | Position::ShortSleeveRight => {
            ([None, w(1.5, 2.0), w(2.0, 2.5), w(2.5, 3.0), w(3.0, 3.5), w(3.0, 4.0)], [2.0, 2.0, 3.0, 4.0, 4.0, 4.0])
        }
        Position::LongSleeveLeft | Position::LongSleeveRight => {
            ([None, w(1.0, 1.5), w(1.5, 2.0), w(1.5, 2.5), w(2.0, 3.0), w(2.0, 3.0)], [8.0, 8.0, 8.0, 12.0, 14.0, 14.0])
        }
        Position::CuffLeft | Position::CuffRight => {
            ([None, None, w(1.0, 1.5), w(1.0, 2.0), w(1.0, 2.5), w(1.0, 2.5)], [0.5, 0.5, 1.0, 1.5, 1.5, 1.5])
        }
        Position::HoodLeft | Position::HoodRight => {
            ([None, None, w(2.0, 3.0), w(2.5, 4.0), w(2.5, 4.0), w(2.5, 4.0)], [3.0; 6])
        }
        Position::OnPocket | Position::AbovePocket => {
            ([None, None, w(2.0, 2.5), w(2.5, 3.5), w(3.0, 3.5), w(3.0, 3.5)], [2.5; 6])
        }
        Position::HemLeft | Position::HemRight => {
            ([None, w(1.5, 1.5), w(2.0, 2.5), w(2.0, 3.0), w(2.5, 4.0), w(3.0, 4.0)], [1.5; 6])
        }
        Position::LegLeft | Position::LegRight | Position::LegCuffLeft | Position::LegCuffRight => (
            [None, w(1.5, 2.0), w(2.0, 3.0), w(2.5, 3.2), w(2.5, 3.2), w(2.5, 3.2)],
            [12.0, 12.0, 12.0, 15.0, 15.0, 15.0],
        ),
        Position::ShirtLeftChest => ([None, w(2.0, 2.0), w(2.5, 3.0), w(3.0, 3.5), w(3.0, 4.0), w(3.5, 4.0)], [3.0; 6]),
        Position::ZipFrontLeft | Position::ZipFrontRight => {
            ([None, None, w(3.0, 4.0), w(4.0, 5.0), w(5.0, 6.0), w(5.0, 6.0)], [6.0; 6])
        }
        Position::CapFront => {
            ([None, None, w(3.0, 3.5), w(4.0, 4.75), w(4.0, 4.75), w(4.0, 4.75)], [2.0, 2.0, 2.0, 2.25, 2.25, 2.25])
        }
        Position::Tote => ([w(8.0, 10.0); 6], [10.0; 6]),
        Position::ApronBib => ([w(7.0, 10.0); 6], [6.0; 6]),
        Position::InfantBib => ([w(3.0, 5.0); 6], [4.0; 6]),
        Position::FaceCoverLeft | Position::FaceCoverRight => ([w(2.0, 3.0); 6], [2.0; 6]),
        Position::Sock => ([w(1.5, 2.5); 6], [5.0; 6]),
    }
}

/// The column of a band; one-size clothes and caps are read as adult S–M.
fn column(band: Band) -> usize {
    match band {
        Band::Infant => 0,
        Band::Toddler => 1,
        Band::Youth => 2,
        Band::AdultSmall | Band::OneSize => 3,
        Band::AdultLarge => 4,
        Band::AdultPlus => 5,
    }
}

fn inches(value: f64) -> Length {
    Length::from_inches(value).unwrap_or_default()
}

/// The usual size at a position for a band; `None` where the trade does not offer it.
///
/// A class that does not have the position (a sleeve of a sock) gives `None` too;
/// for clothes the garment's own features decide, see [`Position::is_on`].
pub fn usual_size(position: Position, band: Band, class: GarmentClass) -> Option<SizeRange> {
    if matches!(class, GarmentClass::Sock | GarmentClass::FaceCover | GarmentClass::Bib) != is_small(position) {
        return None;
    }
    let (widths, heights) = row(position);
    let at = column(band);
    let (low, high) = widths.get(at).copied().flatten()?;
    let max_height = heights.get(at).copied()?;
    Some(SizeRange { lowest: inches(low), widest: inches(high), max_height: inches(max_height) })
}

fn is_small(position: Position) -> bool {
    matches!(position, Position::InfantBib | Position::FaceCoverLeft | Position::FaceCoverRight | Position::Sock)
}

/// The least usual share of a full front in the flat chest width.
pub const CHEST_SHARE_LOW: f64 = 0.45;
/// The greatest usual share of a full front in the flat chest width.
pub const CHEST_SHARE_HIGH: f64 = 0.58;

/// How art is sized over the sizes of an order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sizing {
    /// One art for all sizes: as large as the smallest band usually takes.
    OneForAll,
    /// One art for all adult sizes, others by their band.
    OneForAdults,
    /// Each band its own.
    EachBand,
}

/// Sizes that share one transfer.
#[derive(Debug, Clone, PartialEq)]
pub struct SizedArt {
    /// Width of the art.
    pub width: Length,
    /// Height of the art.
    pub height: Length,
    /// The sizes that get it, by their place in the list asked.
    pub sizes: Vec<usize>,
    /// Pieces of it.
    pub pieces: u32,
}

/// Art scaled over sizes: every group is one transfer to order; never stretched.
#[derive(Debug, Clone, PartialEq)]
pub struct SizePlan {
    /// Groups, the smallest art first; `groups.len()` is the number of different transfers to order.
    pub groups: Vec<SizedArt>,
    /// Sizes whose band does not usually have this position.
    pub not_offered: Vec<usize>,
    /// Why.
    pub why: Reason,
}

/// Sizes art with the proportion `width_to_height` for `sizes` (each with its pieces).
///
/// Each width is the middle of the usual range, narrowed so that the height stays
/// within its limit; `EachBand` groups bands of equal width together.
/// `width_to_height` outside 0.001 to 1000 is held there.
pub fn size_plan(
    style: &GarmentStyle,
    sizes: &[(&GarmentSize, u32)],
    position: Position,
    width_to_height: f64,
    sizing: Sizing,
) -> SizePlan {
    let ratio = if width_to_height.is_finite() { width_to_height.clamp(1e-3, 1e3) } else { 1.0 };
    let position = position.on(style);
    let mut not_offered = Vec::new();
    let mut wanted: Vec<(usize, Band, f64)> = Vec::new();
    for (at, (size, _)) in sizes.iter().enumerate() {
        match usual_size(position, size.band, style.class) {
            Some(range) => wanted.push((at, size.band, width_for(&range, ratio))),
            None => not_offered.push(at),
        }
    }
    let least = |of: &dyn Fn(Band) -> bool| {
        wanted.iter().filter(|(_, band, _)| of(*band)).map(|(_, _, mm)| *mm).fold(f64::INFINITY, f64::min)
    };
    let adult = |band: Band| matches!(band, Band::AdultSmall | Band::AdultLarge | Band::AdultPlus);
    let (all, adults) = (least(&|_| true), least(&adult));
    let mut groups: Vec<SizedArt> = Vec::new();
    for (at, band, own) in &wanted {
        let mm = match sizing {
            Sizing::OneForAll => all,
            Sizing::OneForAdults if adult(*band) => adults,
            _ => *own,
        };
        join(&mut groups, *at, mm, ratio, sizes.get(*at).map_or(0, |(_, pieces)| *pieces));
    }
    groups.sort_by(|a, b| a.width.mm().total_cmp(&b.width.mm()));
    SizePlan { groups, not_offered, why: why(sizing) }
}

fn width_for(range: &SizeRange, ratio: f64) -> f64 {
    let middle = f64::midpoint(range.lowest.mm(), range.widest.mm());
    // Whole half millimetres: art is not ordered finer than it can be measured.
    (middle.min(range.max_height.mm() * ratio) * 2.0).floor() / 2.0
}

fn join(groups: &mut Vec<SizedArt>, at: usize, mm: f64, ratio: f64, pieces: u32) {
    let width = Length::from_mm(mm).unwrap_or_default();
    if let Some(group) = groups.iter_mut().find(|group| (group.width.mm() - mm).abs() < 1e-9) {
        group.sizes.push(at);
        group.pieces = group.pieces.saturating_add(pieces);
    } else {
        groups.push(SizedArt { width, height: width / ratio, sizes: vec![at], pieces });
    }
}

fn why(sizing: Sizing) -> Reason {
    let rule: Code = match sizing {
        Sizing::OneForAll => codes::SIZING_ONE,
        Sizing::OneForAdults => codes::SIZING_ADULTS,
        Sizing::EachBand => codes::SIZING_BANDS,
    };
    Reason::new(rule).sourced("widths", Value::Term(codes::SIZING_TABLE), Origin::Default, "common practice")
}
