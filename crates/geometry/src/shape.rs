//! Points, rings, outlines with holes, regions of several outlines.

use std::fmt;

/// A point or a displacement, mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// To the right, mm.
    pub x: f64,
    /// Up, mm.
    pub y: f64,
}

impl Point {
    /// The point (x, y), mm.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Distance to another point, mm.
    pub fn distance(self, other: Self) -> f64 {
        // Lengths here are far from overflow, where `hypot` would matter; a root is the same everywhere.
        let (dx, dy) = (self.x - other.x, self.y - other.y);
        (dx * dx + dy * dy).sqrt()
    }
}

/// A closed ring of points; the last joins the first without being repeated.
pub type Ring = Vec<Point>;

/// The upright rectangle around a shape, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Lower left corner.
    pub min: Point,
    /// Upper right corner.
    pub max: Point,
}

impl Bounds {
    /// Around all points; `None` when there are none.
    pub fn around<'a>(points: impl IntoIterator<Item = &'a Point>) -> Option<Self> {
        points.into_iter().fold(None, |so_far: Option<Self>, p| {
            Some(match so_far {
                None => Self { min: *p, max: *p },
                Some(b) => Self {
                    min: Point::new(b.min.x.min(p.x), b.min.y.min(p.y)),
                    max: Point::new(b.max.x.max(p.x), b.max.y.max(p.y)),
                },
            })
        })
    }

    /// Extent along x, mm.
    pub fn width(&self) -> f64 {
        self.max.x - self.min.x
    }

    /// Extent along y, mm.
    pub fn height(&self) -> f64 {
        self.max.y - self.min.y
    }

    /// The middle.
    pub fn centre(&self) -> Point {
        Point::new(f64::midpoint(self.min.x, self.max.x), f64::midpoint(self.min.y, self.max.y))
    }

    /// The smallest rectangle around both.
    pub fn joined(&self, other: &Self) -> Self {
        Self {
            min: Point::new(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: Point::new(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }

    /// Grown by `by` mm on every side.
    pub fn grown(&self, by: f64) -> Self {
        Self { min: Point::new(self.min.x - by, self.min.y - by), max: Point::new(self.max.x + by, self.max.y + by) }
    }

    /// Whether the two share any area (touching edges do not count).
    pub fn overlaps(&self, other: &Self) -> bool {
        self.min.x < other.max.x && other.min.x < self.max.x && self.min.y < other.max.y && other.min.y < self.max.y
    }

    /// Whether `other` lies within, edges included.
    pub fn contains(&self, other: &Self) -> bool {
        self.min.x <= other.min.x && self.min.y <= other.min.y && self.max.x >= other.max.x && self.max.y >= other.max.y
    }
}

/// Why points do not form an outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutlineError {
    /// Fewer than three points.
    TooFewPoints {
        /// Which ring; 0 is the outer one.
        ring: usize,
    },
    /// A coordinate is not a number.
    NotFinite {
        /// Which ring; 0 is the outer one.
        ring: usize,
        /// Which point of the ring.
        point: usize,
    },
    /// The ring encloses no area.
    NoArea {
        /// Which ring; 0 is the outer one.
        ring: usize,
    },
}

impl fmt::Display for OutlineError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFewPoints { ring } => write!(f, "ring {ring} has fewer than 3 points; draw it closed"),
            Self::NotFinite { ring, point } => {
                write!(f, "ring {ring}, point {point} is not a finite number; correct it")
            }
            Self::NoArea { ring } => write!(f, "ring {ring} encloses no area; draw it open or leave it out"),
        }
    }
}

impl std::error::Error for OutlineError {}

/// One outer ring, counter-clockwise, and its holes, clockwise.
///
/// Orientation and finiteness are held by the constructor. That the rings are
/// simple and do not cross is the caller's promise; `nest` checks it at its door.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    outer: Ring,
    holes: Vec<Ring>,
}

impl Outline {
    /// From rings in any direction; a repeated closing point and neighbouring
    /// equal points are dropped, directions are set.
    pub fn new(outer: Ring, holes: Vec<Ring>) -> Result<Self, OutlineError> {
        let outer = tidy(outer, 0, Turn::CounterClockwise)?;
        let holes = holes
            .into_iter()
            .enumerate()
            .map(|(at, hole)| tidy(hole, at + 1, Turn::Clockwise))
            .collect::<Result<_, _>>()?;
        Ok(Self { outer, holes })
    }

    /// The upright rectangle from (0, 0) to (width, height), mm.
    pub fn rectangle(width: f64, height: f64) -> Result<Self, OutlineError> {
        let corners =
            vec![Point::new(0.0, 0.0), Point::new(width, 0.0), Point::new(width, height), Point::new(0.0, height)];
        Self::new(corners, Vec::new())
    }

    /// The outer ring, counter-clockwise.
    pub fn outer(&self) -> &[Point] {
        &self.outer
    }

    /// The holes, each clockwise.
    pub fn holes(&self) -> &[Ring] {
        &self.holes
    }

    /// Every ring, the outer one first.
    pub fn rings(&self) -> impl Iterator<Item = &[Point]> {
        std::iter::once(self.outer.as_slice()).chain(self.holes.iter().map(Vec::as_slice))
    }

    /// Area less the holes, mm².
    pub fn area(&self) -> f64 {
        self.rings().map(signed_area).sum()
    }

    /// Length of all rings, mm.
    pub fn perimeter(&self) -> f64 {
        self.rings().map(|ring| edges(ring).map(|(a, b)| a.distance(b)).sum::<f64>()).sum()
    }

    /// The upright rectangle around it.
    pub fn bounds(&self) -> Bounds {
        Bounds::around(&self.outer).unwrap_or(Bounds { min: Point::default(), max: Point::default() })
    }

    /// Every point passed through `change`; directions are set anew.
    pub fn map(&self, change: impl Fn(Point) -> Point) -> Result<Self, OutlineError> {
        let turned = |ring: &Ring| ring.iter().map(|p| change(*p)).collect();
        Self::new(turned(&self.outer), self.holes.iter().map(turned).collect())
    }

    /// Whether the point lies inside, holes excluded; on an edge either answer may come.
    pub fn contains(&self, p: Point) -> bool {
        self.rings().filter(|ring| ring_contains(ring, p)).count() % 2 == 1
    }
}

/// Several outlines that do not overlap.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Region {
    /// The parts; none overlaps another.
    pub outlines: Vec<Outline>,
}

impl Region {
    /// Area of all parts, mm².
    pub fn area(&self) -> f64 {
        self.outlines.iter().map(Outline::area).sum()
    }

    /// Length of all rings, mm.
    pub fn perimeter(&self) -> f64 {
        self.outlines.iter().map(Outline::perimeter).sum()
    }

    /// The upright rectangle around all parts; `None` when empty.
    pub fn bounds(&self) -> Option<Bounds> {
        self.outlines.iter().map(Outline::bounds).reduce(|a, b| a.joined(&b))
    }

    /// Every point passed through `change`; parts that lose their area are dropped.
    pub fn map(&self, change: impl Fn(Point) -> Point) -> Self {
        Self { outlines: self.outlines.iter().filter_map(|o| o.map(&change).ok()).collect() }
    }

    /// Whether the point lies inside any part.
    pub fn contains(&self, p: Point) -> bool {
        self.outlines.iter().any(|o| o.contains(p))
    }
}

/// Twice-signed shoelace sum halved: positive when counter-clockwise, mm².
pub(crate) fn signed_area(ring: &[Point]) -> f64 {
    // Taken about the first point, so that a small ring far from the origin keeps its digits.
    let Some(origin) = ring.first() else { return 0.0 };
    edges(ring).map(|(a, b)| (a.x - origin.x) * (b.y - origin.y) - (b.x - origin.x) * (a.y - origin.y)).sum::<f64>()
        / 2.0
}

/// The edges of a ring, the closing one last.
pub(crate) fn edges(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| (*a, *b))
}

fn ring_contains(ring: &[Point], p: Point) -> bool {
    edges(ring)
        .filter(|(a, b)| (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x)
        .count()
        % 2
        == 1
}

#[derive(Clone, Copy, PartialEq)]
enum Turn {
    CounterClockwise,
    Clockwise,
}

fn tidy(mut ring: Ring, index: usize, turn: Turn) -> Result<Ring, OutlineError> {
    if let Some(point) = ring.iter().position(|p| !(p.x.is_finite() && p.y.is_finite())) {
        return Err(OutlineError::NotFinite { ring: index, point });
    }
    ring.dedup();
    while ring.len() > 1 && ring.first() == ring.last() {
        ring.pop();
    }
    if ring.len() < 3 {
        return Err(OutlineError::TooFewPoints { ring: index });
    }
    let area = signed_area(&ring);
    if area == 0.0 || !area.is_finite() {
        return Err(OutlineError::NoArea { ring: index });
    }
    if (area > 0.0) != (turn == Turn::CounterClockwise) {
        ring.reverse();
    }
    Ok(ring)
}
