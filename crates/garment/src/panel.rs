//! A garment as flat panels with what is sewn on them.
//!
//! Every panel has its own frame in millimetres: x to the right **as one looks
//! at the panel**, y up. Left always means the wearer's left: on the front,
//! which faces the viewer, it lies at the viewer's right (x > 0); on the back it
//! lies at the viewer's left (x < 0).
//!
//! | panel | origin |
//! |---|---|
//! | front, back of clothes | centre line at the height of the highest shoulder point |
//! | front of aprons, bags, bibs, face covers | centre of the top edge |
//! | sleeves | the fold over the arm, at the shoulder seam; the sleeve hangs down |
//! | legs | the middle of the leg at the top of the waistband |
//! | hood sides | the middle of the neck seam; the face opening of the left side lies at x < 0 |
//! | cap front | the middle of the visor seam |
//! | sock | the middle of the top edge, toes to the viewer's right |

use crate::codes;
use crate::curve::{bounds, box_region, flipped, strip};
use geometry::{Bounds, Outline, Point, Region};
use report::Code;
use trade::Measure;
use units::Length;

/// A side of a garment that can be laid flat under the press.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Panel {
    /// Front of clothes; the printed side of bags, aprons, bibs, face covers.
    Front,
    /// Back.
    Back,
    /// The wearer's left sleeve, fold in the middle.
    LeftSleeve,
    /// The wearer's right sleeve, fold in the middle.
    RightSleeve,
    /// The wearer's left side of the hood.
    HoodLeft,
    /// The wearer's right side of the hood.
    HoodRight,
    /// The wearer's left leg from the front.
    LeftLeg,
    /// The wearer's right leg from the front.
    RightLeg,
    /// Front of a cap above the visor.
    CapFront,
    /// The outer side of a sock.
    Sock,
}

/// What can be in the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ObstacleKind {
    /// A sewn seam.
    Seam,
    /// A collar, or the seam of a hood.
    Collar,
    /// The doubled strip under buttons.
    Placket,
    /// A button.
    Button,
    /// A snap.
    Snap,
    /// A zip with its tape.
    Zip,
    /// A flap over a zip.
    Flap,
    /// The edge of a pocket: a step.
    Pocket,
    /// A cord.
    Cord,
    /// Rib at hem, cuff or waist.
    Rib,
    /// Elastic in a hem or waistband.
    Elastic,
    /// A panel of mesh: adhesive would bridge its holes.
    MeshPanel,
    /// A line of quilting.
    Quilting,
    /// Tape that seals a seam: heat lifts it.
    SeamTape,
    /// A carrying handle.
    Handle,
    /// The fold of a gusset.
    Gusset,
    /// A metal rivet.
    Rivet,
    /// A sewn-in label.
    Label,
    /// A turned hem.
    HemEdge,
    /// A strap or tie.
    Strap,
    /// Edge binding.
    Binding,
    /// The hood, lying over the back.
    Hood,
    /// Hook-and-loop tape.
    HookTape,
    /// Where the wearer breathes through.
    BreathingZone,
}

impl ObstacleKind {
    /// All kinds, in the order of their names above.
    pub const ALL: [Self; 24] = [
        Self::Seam,
        Self::Collar,
        Self::Placket,
        Self::Button,
        Self::Snap,
        Self::Zip,
        Self::Flap,
        Self::Pocket,
        Self::Cord,
        Self::Rib,
        Self::Elastic,
        Self::MeshPanel,
        Self::Quilting,
        Self::SeamTape,
        Self::Handle,
        Self::Gusset,
        Self::Rivet,
        Self::Label,
        Self::HemEdge,
        Self::Strap,
        Self::Binding,
        Self::Hood,
        Self::HookTape,
        Self::BreathingZone,
    ];

    /// Its name, as a term.
    pub fn term(self) -> Code {
        match self {
            Self::Seam => codes::OBSTACLE_SEAM,
            Self::Collar => codes::OBSTACLE_COLLAR,
            Self::Placket => codes::OBSTACLE_PLACKET,
            Self::Button => codes::OBSTACLE_BUTTON,
            Self::Snap => codes::OBSTACLE_SNAP,
            Self::Zip => codes::OBSTACLE_ZIP,
            Self::Flap => codes::OBSTACLE_FLAP,
            Self::Pocket => codes::OBSTACLE_POCKET,
            Self::Cord => codes::OBSTACLE_CORD,
            Self::Rib => codes::OBSTACLE_RIB,
            Self::Elastic => codes::OBSTACLE_ELASTIC,
            Self::MeshPanel => codes::OBSTACLE_MESH_PANEL,
            Self::Quilting => codes::OBSTACLE_QUILTING,
            Self::SeamTape => codes::OBSTACLE_SEAM_TAPE,
            Self::Handle => codes::OBSTACLE_HANDLE,
            Self::Gusset => codes::OBSTACLE_GUSSET,
            Self::Rivet => codes::OBSTACLE_RIVET,
            Self::Label => codes::OBSTACLE_LABEL,
            Self::HemEdge => codes::OBSTACLE_HEM_EDGE,
            Self::Strap => codes::OBSTACLE_STRAP,
            Self::Binding => codes::OBSTACLE_BINDING,
            Self::Hood => codes::OBSTACLE_HOOD,
            Self::HookTape => codes::OBSTACLE_HOOK_TAPE,
            Self::BreathingZone => codes::OBSTACLE_BREATHING_ZONE,
        }
    }

    /// Whether it must stay off the platen however low it is: heat or pressure harms it.
    pub fn never_pressed(self) -> bool {
        matches!(
            self,
            Self::Zip
                | Self::Button
                | Self::Snap
                | Self::Rivet
                | Self::Cord
                | Self::SeamTape
                | Self::Elastic
                | Self::HookTape
        )
    }

    /// Whether it matters only where the art itself lies: it is no step.
    pub fn under_art_only(self) -> bool {
        matches!(self, Self::MeshPanel | Self::BreathingZone)
    }
}

/// Something sewn on.
#[derive(Debug, Clone, PartialEq)]
pub struct Obstacle {
    /// What it is.
    pub kind: ObstacleKind,
    /// Where it lies, in the panel's frame.
    pub shape: Region,
    /// Upright rectangles that together cover the shape; what the platen search looks at.
    pub cover: Vec<Bounds>,
    /// How far it stands above the cloth, mm.
    pub step_mm: f64,
    /// Whether a hand can lay it aside (a cord, a strap, the hood).
    pub movable: bool,
    /// Which half of a front that opens it belongs to: −1 the half at x < 0, 1 the half at x > 0, 0 neither.
    pub half: i8,
}

impl Obstacle {
    /// Along a line, `half_mm` to both sides.
    pub fn along(kind: ObstacleKind, points: &[Point], half_mm: f64, step_mm: f64) -> Self {
        let (shape, cover) = strip(points, half_mm);
        Self { kind, shape, cover, step_mm, movable: false, half: 0 }
    }

    /// In an upright rectangle.
    pub fn boxed(kind: ObstacleKind, at: Bounds, step_mm: f64) -> Self {
        Self { kind, shape: box_region(&at), cover: vec![at], step_mm, movable: false, half: 0 }
    }

    /// In a square round a point, as buttons, snaps and rivets are.
    pub fn spot(kind: ObstacleKind, at: Point, radius_mm: f64, step_mm: f64) -> Self {
        Self::boxed(kind, bounds(at.x - radius_mm, at.y - radius_mm, at.x + radius_mm, at.y + radius_mm), step_mm)
    }

    /// The same, which a hand can lay aside.
    #[must_use]
    pub fn loose(self) -> Self {
        Self { movable: true, ..self }
    }

    /// The same, belonging to one half of a front that opens.
    #[must_use]
    pub fn on_half(self, half: i8) -> Self {
        Self { half, ..self }
    }

    /// The same seen from the panel's other side.
    #[must_use]
    pub fn seen_from_behind(&self) -> Self {
        Self {
            shape: self.shape.map(|p| Point::new(-p.x, p.y)),
            cover: self.cover.iter().map(|b| bounds(-b.max.x, b.min.y, -b.min.x, b.max.y)).collect(),
            half: -self.half,
            ..self.clone()
        }
    }
}

/// A point that a tape measure starts from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Landmark {
    /// Highest shoulder point beside the neck.
    HighestShoulder,
    /// Collar seam on the centre line.
    CollarSeam,
    /// Yoke seam on the centre line.
    Yoke,
    /// Where the hood's fall ends.
    HoodFall,
    /// Hem on the centre line of the panel.
    Hem,
    /// Side seam at the hem, on the side of x > 0.
    SideSeam,
    /// Top edge of the pocket, in its middle.
    PocketTop,
    /// Bottom of the pocket, in its middle.
    PocketBottom,
    /// Edge of the placket on the side of x > 0.
    PlacketEdge,
    /// Edge of the zip tape on the side of x > 0.
    ZipEdge,
    /// Edge of the flap over a zip, on the wearer's left.
    FlapEdge,
    /// Second button from the top.
    SecondButton,
    /// Shoulder seam of a sleeve, on its fold.
    ShoulderSeam,
    /// Hem or cuff seam of a sleeve or leg, in its middle.
    CuffSeam,
    /// Lower end of a sleeve or leg.
    LimbEnd,
    /// Lower edge of the waistband.
    Waistband,
    /// Seam of the hood's edge, at half its height.
    HoodEdge,
    /// Visor seam.
    Visor,
    /// Top edge of a bag, apron, bib.
    TopEdge,
    /// Lower edge of a sock's rib.
    SockRib,
    /// The middle of the clear field (bibs, face covers).
    Centre,
}

/// How a line of the drawing is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LineKind {
    /// An edge of cloth.
    Edge,
    /// A seam.
    Seam,
    /// Topstitching.
    Stitch,
    /// A fold.
    Fold,
    /// A zip's teeth.
    Zip,
    /// A cord or drawstring.
    Cord,
    /// Ribs of knit.
    Rib,
    /// A button, snap or rivet: a closed ring.
    Fastener,
}

/// A line of the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Trim {
    /// Its points, in the panel's frame.
    pub points: Vec<Point>,
    /// Whether the last point joins the first.
    pub closed: bool,
    /// How it is drawn.
    pub kind: LineKind,
}

impl Trim {
    pub(crate) fn open(kind: LineKind, points: Vec<Point>) -> Self {
        Self { points, closed: false, kind }
    }

    pub(crate) fn ring(kind: LineKind, points: Vec<Point>) -> Self {
        Self { points, closed: true, kind }
    }

    /// The same seen from the other side.
    #[must_use]
    pub fn seen_from_behind(&self) -> Self {
        Self { points: flipped(&self.points), ..self.clone() }
    }
}

/// A part of the garment that shows beside the panel and belongs to another one.
#[derive(Debug, Clone, PartialEq)]
pub struct Beside {
    /// Its outline in the panel's frame.
    pub outline: Outline,
    /// Drawn behind the panel (a hood's inside) or before it.
    pub behind: bool,
}

/// One panel.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelShape {
    /// Which.
    pub panel: Panel,
    /// The cloth one can press on, in the panel's frame.
    pub outline: Outline,
    /// What is sewn on.
    pub obstacles: Vec<Obstacle>,
    /// Points to measure from.
    pub landmarks: Vec<(Landmark, Point)>,
    /// Sleeves, hood, collar, other leg: drawn, not pressed.
    pub beside: Vec<Beside>,
    /// Lines of the drawing.
    pub trims: Vec<Trim>,
    /// The field of the pocket, when it has one.
    pub pocket: Option<Outline>,
    /// Whether another layer of the garment lies beneath when it is laid flat.
    pub doubled: bool,
    /// Flat width of the tube that can be slipped over a platen, mm; `None` when it is no open tube.
    pub tube_mm: Option<f64>,
}

impl PanelShape {
    pub(crate) fn new(panel: Panel, outline: Outline) -> Self {
        Self {
            panel,
            outline,
            obstacles: Vec::new(),
            landmarks: Vec::new(),
            beside: Vec::new(),
            trims: Vec::new(),
            pocket: None,
            doubled: true,
            tube_mm: None,
        }
    }

    pub(crate) fn mark(&mut self, landmark: Landmark, x: f64, y: f64) {
        self.landmarks.push((landmark, Point::new(x, y)));
    }

    /// A landmark's place in the panel's frame.
    pub fn landmark(&self, landmark: Landmark) -> Option<Point> {
        self.landmarks.iter().find(|(name, _)| *name == landmark).map(|(_, at)| *at)
    }

    /// The same panel of the garment's other side: everything mirrored about x = 0.
    pub(crate) fn mirrored_as(&self, panel: Panel) -> Option<Self> {
        let turn = |o: &Outline| o.map(|p| Point::new(-p.x, p.y)).ok();
        Some(Self {
            panel,
            outline: turn(&self.outline)?,
            obstacles: self.obstacles.iter().map(Obstacle::seen_from_behind).collect(),
            landmarks: self.landmarks.iter().map(|(name, p)| (*name, Point::new(-p.x, p.y))).collect(),
            beside: self
                .beside
                .iter()
                .filter_map(|b| Some(Beside { outline: turn(&b.outline)?, behind: b.behind }))
                .collect(),
            trims: self.trims.iter().map(Trim::seen_from_behind).collect(),
            pocket: self.pocket.as_ref().and_then(turn),
            doubled: self.doubled,
            tube_mm: self.tube_mm,
        })
    }
}

/// A garment of one size lying flat.
#[derive(Debug, Clone, PartialEq)]
pub struct Flat {
    /// The panels that can be drawn, front first.
    pub panels: Vec<PanelShape>,
    /// Panels left out because a measure is not known.
    pub missing: Vec<(Panel, Measure)>,
    /// Measures that only shape the drawing, taken from proportion (common practice, no source).
    pub assumed: Vec<(Measure, Length)>,
}

impl Flat {
    /// A panel of the drawing.
    pub fn panel(&self, panel: Panel) -> Option<&PanelShape> {
        self.panels.iter().find(|shape| shape.panel == panel)
    }
}
