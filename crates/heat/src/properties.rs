//! Property table: materials, fibres, joints, each with where it comes from.
//!
//! Generic classes, used where neither a maker's sheet nor the shop says
//! better; a figure built on one carries `Origin::Default`.

/// How far a value may be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Published; the source is named.
    Published,
    /// From memory of the named text, not read again.
    Memory,
    /// Common practice or judgement, no source.
    Practice,
    /// Calculated here.
    Calculated,
}

/// A material's thermal properties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Stable name.
    pub name: &'static str,
    /// Conductivity, W/mK.
    pub k: f64,
    /// Density, kg/m³.
    pub rho: f64,
    /// Heat capacity near 90 °C, J/kgK.
    pub c: f64,
    /// How far to trust it.
    pub mark: Mark,
    /// Where it comes from.
    pub source: &'static str,
}

impl Material {
    /// Conductivity, density, heat capacity, as a layer takes them.
    pub fn values(&self) -> [f64; 3] {
        [self.k, self.rho, self.c]
    }
}

/// Polyester carrier film.
pub const PET_FILM: Material = Material {
    name: "pet-film",
    k: 0.18,
    rho: 1390.0,
    c: 1250.0,
    mark: Mark::Published,
    source: "Crawford, Plastics Engineering, Table 1.8 (k 0.20, ρ 1360, c 1000 at room temperature); k and c near 90 °C from memory",
};
/// Polyurethane film.
pub const PU_FILM: Material = Material {
    name: "pu-film",
    k: 0.20,
    rho: 1200.0,
    c: 1700.0,
    mark: Mark::Memory,
    source: "polymer handbooks, from memory (0.19–0.22, 1150–1250, 1700–1800)",
};
/// Hot-melt adhesive, polyurethane or co-polyester.
pub const ADHESIVE: Material = Material {
    name: "adhesive",
    k: 0.20,
    rho: 1150.0,
    c: 1800.0,
    mark: Mark::Memory,
    source: "polymer handbooks, from memory; melting raises c",
};
/// Flexible PVC film.
pub const PVC_FILM: Material = Material {
    name: "pvc-film",
    k: 0.14,
    rho: 1300.0,
    c: 1500.0,
    mark: Mark::Published,
    source: "Crawford, Plastics Engineering, Table 1.8",
};
/// PTFE-coated glass cloth, the usual cover sheet.
pub const PTFE_GLASS: Material = Material {
    name: "ptfe-glass",
    k: 0.25,
    rho: 2150.0,
    c: 1000.0,
    mark: Mark::Memory,
    source: "PTFE after Crawford, Table 1.8; the glass cloth from memory",
};
/// Solid silicone rubber.
pub const SILICONE: Material = Material {
    name: "silicone",
    k: 0.24,
    rho: 1150.0,
    c: 1300.0,
    mark: Mark::Published,
    source: "k after a guarded heat-flow-meter note to ASTM E1530; ρ and c from memory",
};
/// Silicone sponge, the usual pad.
pub const SPONGE: Material = Material {
    name: "silicone-sponge",
    k: 0.10,
    rho: 500.0,
    c: 1300.0,
    mark: Mark::Memory,
    source: "0.06–0.12 W/mK and 250–600 kg/m³ occur; density after trade articles on foamed silicone, the rest from memory",
};
/// Foam of a pressing pillow.
pub const FOAM: Material = Material {
    name: "pillow-foam",
    k: 0.06,
    rho: 200.0,
    c: 1300.0,
    mark: Mark::Practice,
    source: "judgement, soft closed foam under load",
};
/// Aluminium, pure; alloys 160–200 W/mK.
pub const ALUMINIUM: Material = Material {
    name: "aluminium",
    k: 237.0,
    rho: 2702.0,
    c: 903.0,
    mark: Mark::Memory,
    source: "Incropera & DeWitt, Table A.1",
};
/// Kraft or release paper.
pub const PAPER: Material = Material {
    name: "paper",
    k: 0.14,
    rho: 900.0,
    c: 1340.0,
    mark: Mark::Memory,
    source: "Incropera & DeWitt, Table A.3",
};
/// Wood or fibreboard table.
pub const WOOD: Material = Material {
    name: "wood",
    k: 0.15,
    rho: 700.0,
    c: 1700.0,
    mark: Mark::Memory,
    source: "wood handbooks, from memory",
};
/// All of the materials above.
pub const MATERIALS: &[Material] =
    &[PET_FILM, PU_FILM, ADHESIVE, PVC_FILM, PTFE_GLASS, SILICONE, SPONGE, FOAM, ALUMINIUM, PAPER, WOOD];

/// A joint's conductance with the range it is drawn from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Stable name.
    pub name: &'static str,
    /// W/m²K taken.
    pub w_m2k: f64,
    /// Lowest and highest likely.
    pub range: (f64, f64),
}

/// Gap estimates: about 10 µm of air for film on metal, 30 µm for fibre faces
/// (from memory of the contact-conductance literature; metal–polymer joints
/// have been measured at 138–2758 kPa, above the pressures of garment presses).
pub const JOINT_SOURCE: &str = "estimated from an air gap of 10 µm (film on metal) or 30 µm (fibre faces), from memory";
/// Platen on film, paper or cover sheet.
pub const PLATEN_FILM: Joint = Joint { name: "platen-film", w_m2k: 2000.0, range: (1000.0, 4000.0) };
/// Cover sheet on carrier.
pub const COVER_CARRIER: Joint = Joint { name: "cover-carrier", w_m2k: 1500.0, range: (800.0, 3000.0) };
/// Adhesive on cloth; brushed faces lie low.
pub const ADHESIVE_CLOTH: Joint = Joint { name: "adhesive-cloth", w_m2k: 1500.0, range: (400.0, 3000.0) };
/// Platen or cover on bare cloth.
pub const PLATEN_CLOTH: Joint = Joint { name: "platen-cloth", w_m2k: 1500.0, range: (800.0, 3000.0) };
/// Cloth on pad or pillow.
pub const CLOTH_PAD: Joint = Joint { name: "cloth-pad", w_m2k: 800.0, range: (400.0, 1500.0) };
/// Cloth on cloth.
pub const CLOTH_CLOTH: Joint = Joint { name: "cloth-cloth", w_m2k: 600.0, range: (300.0, 1200.0) };
/// Pad on the press's base.
pub const PAD_BASE: Joint = Joint { name: "pad-base", w_m2k: 500.0, range: (250.0, 1000.0) };
/// Temperature of the press's base, °C (common practice, no source).
pub const BASE_C: f64 = 28.0;

/// What a fibre does with heat and water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FibreData {
    /// Stable name.
    pub name: &'static str,
    /// Conductivity across the fibre, W/mK.
    pub k: f64,
    /// Density, kg/m³.
    pub rho: f64,
    /// Heat capacity near 90 °C, J/kgK.
    pub c: f64,
    /// Water held at 20 °C and 65 % relative humidity (ISO 139), share of dry mass.
    pub regain: f64,
    /// Cloth temperature that calls for care, °C; a proposal, not a published limit.
    pub warn_c: f64,
    /// Cloth temperature not to be passed, °C; a proposal, not a published limit.
    pub stop_c: f64,
    /// How far to trust the thermal values.
    pub mark: Mark,
    /// Where they come from.
    pub source: &'static str,
}

/// Conductivity of air near 90 °C, W/mK (from memory of Incropera & DeWitt, Table A.4).
pub const AIR_K: f64 = 0.031;

const MH: &str = "Morton & Hearle, Physical Properties of Textile Fibres: c after Table 6.1, raised to 90 °C; k after Kawabata, there quoted (from memory); regain after ASTM D1909 conventions or the same book";

const fn fibre(name: &'static str, [k, rho, c]: [f64; 3], regain: f64, (warn_c, stop_c): (f64, f64)) -> FibreData {
    FibreData { name, k, rho, c, regain, warn_c, stop_c, mark: Mark::Memory, source: MH }
}

/// Cotton.
pub const COTTON: FibreData = fibre("cotton", [0.243, 1520.0, 1450.0], 0.07, (170.0, 200.0));
/// Linen, taken as cotton with more water.
pub const LINEN: FibreData = fibre("linen", [0.243, 1520.0, 1450.0], 0.09, (170.0, 200.0));
/// Viscose, modal, lyocell.
pub const VISCOSE: FibreData = fibre("viscose", [0.24, 1520.0, 1450.0], 0.12, (150.0, 170.0));
/// Polyester.
pub const POLYESTER: FibreData = fibre("polyester", [0.157, 1380.0, 1350.0], 0.004, (150.0, 180.0));
/// Nylon 6 and 66.
pub const NYLON: FibreData = fibre("nylon", [0.171, 1140.0, 1750.0], 0.04, (140.0, 160.0));
/// Acrylic and modacrylic.
pub const ACRYLIC: FibreData = fibre("acrylic", [0.172, 1170.0, 1450.0], 0.015, (110.0, 130.0));
/// Elastane.
pub const ELASTANE: FibreData = fibre("elastane", [0.17, 1200.0, 1500.0], 0.013, (140.0, 150.0));
/// Wool.
pub const WOOL: FibreData = fibre("wool", [0.165, 1310.0, 1500.0], 0.14, (140.0, 160.0));
/// Silk.
pub const SILK: FibreData = fibre("silk", [0.12, 1340.0, 1500.0], 0.10, (130.0, 140.0));
/// Acetate.
pub const ACETATE: FibreData = fibre("acetate", [0.17, 1310.0, 1450.0], 0.06, (105.0, 120.0));
/// Polypropylene: softens at 140 °C; not to be pressed in earnest.
pub const POLYPROPYLENE: FibreData = fibre("polypropylene", [0.111, 910.0, 1900.0], 0.0, (100.0, 115.0));

/// Surface a bare hand touches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touched {
    /// Bare metal: platens, zips, snaps.
    Metal,
    /// Glass, ceramic.
    Glass,
    /// Plastic; cloth, film and pad are taken as plastic, the table has no cloth.
    Plastic,
    /// Wood.
    Wood,
}

/// How long a hand touches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touch {
    /// Under a second.
    Brush,
    /// One to ten seconds: peeling.
    Hold,
    /// Ten seconds to a minute: carrying, folding.
    Carry,
    /// Ten minutes: wearing.
    Wear,
}

/// Surface temperature from which a touch may burn, °C.
///
/// Up to 10 s from memory of IEC 62368-1, Table 38; longer from memory of
/// ISO 13732-1, Table 1, whose scope is surfaces that hold their temperature
/// and contacts of 0.5 s and longer. To be confirmed in the standards before
/// it is shown as authoritative.
pub fn burn_threshold_c(touched: Touched, touch: Touch) -> f64 {
    let column = match touched {
        Touched::Metal => 0,
        Touched::Glass => 1,
        Touched::Plastic => 2,
        Touched::Wood => 3,
    };
    match touch {
        Touch::Brush => [70.0, 85.0, 94.0, 140.0][column],
        Touch::Hold => [60.0, 71.0, 77.0, 107.0][column],
        Touch::Carry => [51.0, 56.0, 60.0, 60.0][column],
        Touch::Wear => 48.0,
    }
}
