//! Cloths: what the print has to hold on to.

use crate::Marked;
use units::{Length, Mass};

/// A fibre.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fibre {
    /// Cotton.
    Cotton,
    /// Linen.
    Linen,
    /// Viscose, modal.
    Viscose,
    /// Wool.
    Wool,
    /// Silk.
    Silk,
    /// Polyester.
    Polyester,
    /// Nylon 6.
    Nylon6,
    /// Nylon 6.6.
    Nylon66,
    /// Acrylic, modacrylic.
    Acrylic,
    /// Acetate.
    Acetate,
    /// Elastane.
    Elastane,
    /// Polypropylene.
    Polypropylene,
}

/// A fibre and its share of the mass, percent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FibreShare {
    /// The fibre.
    pub fibre: Fibre,
    /// Percent of the mass, 1 to 100.
    pub percent: u8,
}

/// How the cloth is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Structure {
    /// Woven.
    Woven,
    /// Plain knit, as a tee.
    Jersey,
    /// Rib knit.
    Rib,
    /// Piqué knit, as a polo.
    Pique,
    /// Knit or woven with open holes.
    Mesh,
    /// Knit with a brushed inner or outer face.
    Fleece,
    /// Knit with elastane for sport.
    ElasticKnit,
    /// Bonded fibres, as a carrier bag.
    Nonwoven,
}

/// What lies on the face that is pressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Surface {
    /// Nothing special.
    Plain,
    /// A durable water-repellent finish.
    WaterRepellent,
    /// A polyurethane or similar laminate or membrane.
    Laminate,
    /// Vinyl coated.
    VinylCoated,
    /// Foam, neoprene.
    Foam,
    /// Brushed or pile outer face.
    Pile,
    /// A flame-retardant or antimicrobial finish.
    Treated,
}

/// How it is coloured; decides whether dye may wander into a print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dye {
    /// Not dyed, or white.
    Undyed,
    /// Dyed in a light shade.
    Light,
    /// Dyed in a dark or bright shade.
    Dark,
    /// Printed or dyed by sublimation.
    Sublimated,
    /// Not known.
    Unknown,
}

/// A cloth. Dye belongs to the colour of a garment, not to the cloth.
#[derive(Debug, Clone, PartialEq)]
pub struct Cloth {
    /// The name it is called by in files.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Fibres; the percents sum to 100, the largest share first.
    pub fibres: Vec<FibreShare>,
    /// Mass per area.
    pub mass: Mass,
    /// Thickness under the press.
    pub pressed_thickness: Marked<Length>,
    /// How it is made.
    pub structure: Structure,
    /// What lies on its face.
    pub surface: Surface,
    /// How far it is stretched in wear, as a fraction of its length (0.3 = 30 %).
    pub working_stretch: Marked<f64>,
    /// Moisture at rest as a fraction of dry mass, when the shop measured it.
    pub regain: Option<f64>,
}

impl Cloth {
    /// Share of a fibre, percent.
    pub fn percent(&self, fibre: Fibre) -> u8 {
        self.fibres.iter().filter(|share| share.fibre == fibre).map(|share| share.percent).sum()
    }

    /// Whether the cloth is knitted.
    pub fn is_knit(&self) -> bool {
        matches!(
            self.structure,
            Structure::Jersey | Structure::Rib | Structure::Pique | Structure::Fleece | Structure::ElasticKnit
        )
    }
}
