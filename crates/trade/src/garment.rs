//! Garment styles as a shop lists them: sizes, measures, colours, what is sewn on.

use crate::{ClothId, SupplierId};
use std::collections::BTreeMap;
use units::{Length, Money, MoneyError, Rounding, Share};

/// The class of a garment; decides how it is drawn, loaded and pressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GarmentClass {
    /// T-shirt.
    Tee,
    /// Sleeveless sports top, running vest.
    Vest,
    /// Sports tee with mesh panels.
    PerformanceTee,
    /// Sweatshirt without hood.
    Sweatshirt,
    /// Hooded fleece.
    Hoodie,
    /// Bomber, coach or other lined shell jacket.
    ShellJacket,
    /// Rain shell with mesh lining.
    RainShell,
    /// Softshell jacket.
    Softshell,
    /// Polo shirt.
    Polo,
    /// Dress shirt.
    DressShirt,
    /// Apron.
    Apron,
    /// Carrying bag.
    Tote,
    /// Cap.
    Cap,
    /// Face cover.
    FaceCover,
    /// Infant bib.
    Bib,
    /// Sock.
    Sock,
    /// Leggings, joggers.
    Legwear,
    /// Children's sleepwear.
    ChildSleepwear,
}

/// Size band of the positions table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Band {
    /// Infant, 3 to 24 months.
    Infant,
    /// Toddler, 2T to 5T.
    Toddler,
    /// Youth S to XL.
    Youth,
    /// Adult S and M.
    AdultSmall,
    /// Adult L and XL.
    AdultLarge,
    /// Adult 2XL and up.
    AdultPlus,
    /// One size, as aprons and bags.
    OneSize,
}

/// A measure of a garment lying flat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Across the chest, pit to pit; bags and aprons: full width.
    ChestWidth,
    /// From the highest shoulder point to the hem; bags and aprons: full height.
    BodyLength,
    /// Across the hem.
    HemWidth,
    /// Across the shoulders, seam to seam.
    ShoulderWidth,
    /// Width of the neck opening.
    NeckWidth,
    /// Depth of the front neck below the highest shoulder point.
    NeckDepth,
    /// Shoulder seam to sleeve hem.
    SleeveLength,
    /// Across the sleeve near its hem.
    SleeveWidth,
    /// Width of the front or chest pocket.
    PocketWidth,
    /// Height of that pocket.
    PocketHeight,
    /// From the highest shoulder point (bags, aprons: top edge) to the pocket's top edge.
    PocketDrop,
    /// Width of an apron's bib at its top.
    BibWidth,
    /// Height of an apron's bib.
    BibHeight,
    /// Height of rib at the hem.
    RibHeight,
    /// Height of the hood, folded flat.
    HoodHeight,
    /// Width of the hood, folded flat.
    HoodWidth,
    /// Length of the placket below the collar seam.
    PlacketLength,
    /// Depth of a bag's gusset.
    GussetDepth,
    /// From the top edge to where a bag's handle ends.
    HandleDrop,
    /// Distance between a bag's handles.
    HandleSpacing,
    /// Waist to cuff of legwear.
    LegLength,
    /// Across the leg at mid-thigh.
    LegWidth,
    /// Height of a cap's front above the visor.
    CrownHeight,
    /// Width of a cap's front.
    CrownWidth,
}

/// What is sewn into a style beyond its plain shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Feature {
    /// A pouch pocket at the front.
    PouchPocket,
    /// A patch pocket on the wearer's left chest.
    ChestPocket,
    /// A pocket across an apron's bib.
    BibPocket,
    /// A pocket across an apron's skirt.
    SkirtPocket,
    /// Slanted hand pockets at both sides of the front.
    SlantPockets,
    /// A zip down the whole front.
    FullZip,
    /// A zip from the collar part of the way down.
    QuarterZip,
    /// Snaps down the front.
    FrontSnaps,
    /// Buttons down the whole front.
    FrontButtons,
    /// A short placket with buttons.
    Placket,
    /// A hood.
    Hood,
    /// A cord in the hood or neck.
    HoodCord,
    /// A cord at waist or hem.
    WaistCord,
    /// A sewn collar that stands or folds.
    Collar,
    /// Rib at hem and cuffs.
    RibHem,
    /// Elastic at the hem.
    ElasticHem,
    /// Mesh panels at the sides.
    MeshSides,
    /// Sealed (taped) seams.
    TapedSeams,
    /// A storm flap over the zip.
    StormFlap,
    /// A seam across the upper back.
    YokeSeam,
    /// Shoulder seams that lie below the natural shoulder.
    DropShoulder,
    /// Raglan sleeves.
    Raglan,
    /// Straps.
    Straps,
    /// Metal rivets at pocket corners.
    Rivets,
    /// Carrying handles.
    Handles,
    /// A gusset at sides and bottom.
    Gusset,
    /// Quilted layers.
    Quilted,
    /// A label sewn in the neck.
    NeckLabel,
    /// A seam down the middle of the front.
    CentreSeam,
    /// A seam down the middle of the back.
    CentreBackSeam,
}

/// What lies inside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lining {
    /// Nothing.
    None,
    /// A mesh lining.
    Mesh,
    /// A smooth lining.
    Smooth,
    /// Wadding, quilted or loose.
    Padded,
}

/// How one gets between shell and lining.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Access {
    /// Not needed: nothing lies inside.
    Open,
    /// Through a pocket, the hem or a factory opening.
    Opening,
    /// Only by unpicking a lining seam.
    Sewn,
    /// Not known; must be asked.
    Unknown,
}

/// For whom the garment is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Age {
    /// Up to 3 years.
    Infant,
    /// A child up to 12 years.
    Child,
    /// Older.
    Adult,
}

/// Marks a garment for which planning stops until a person has answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Regulated {
    /// Children's sleepwear.
    ChildSleepwear,
    /// Certified high-visibility wear.
    HighVisibility,
    /// Flame-resistant wear.
    FlameResistant,
    /// Other certified protective wear.
    Protective,
}

/// A colour in which a style comes, with the cloth it then has.
#[derive(Debug, Clone, PartialEq)]
pub struct GarmentColour {
    /// The name it is called by.
    pub name: String,
    /// sRGB.
    pub rgb: [u8; 3],
    /// The cloth: a heather is often another blend than the plain colours.
    pub cloth: ClothId,
    /// How it is coloured.
    pub dye: crate::Dye,
}

/// A size in which a style comes.
#[derive(Debug, Clone, PartialEq)]
pub struct GarmentSize {
    /// The name it is called by, "M".
    pub name: String,
    /// Its band.
    pub band: Band,
    /// Measures lying flat; what is missing is asked for, never guessed.
    pub measures: BTreeMap<Measure, Length>,
    /// Price of a blank, when the shop buys it.
    pub price: Option<Money>,
}

/// What there is of one colour and size of a style, as the shop entered it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    /// The colour, as the style names it.
    pub colour: String,
    /// The size, as the style names it.
    pub size: String,
    /// Blanks that lie in the shop.
    pub on_hand: u32,
    /// What the supplier has in stock; `None` where that was not looked up and is taken to be enough.
    pub at_supplier: Option<u32>,
    /// Working days until the supplier has more, before it makes and sends them; `None` when nobody knows.
    pub more_days: Option<u16>,
}

/// What comes off the price of every blank from so many of the style on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GarmentBreak {
    /// From so many.
    pub from: u32,
    /// Taken off.
    pub off: Share,
}

/// A blank's price when so many of the style are bought at once: its list price less the
/// break that holds.
///
/// Fails where the sum cannot be counted.
pub fn break_price(breaks: &[GarmentBreak], list: Money, many: u32) -> Result<Money, MoneyError> {
    let step = breaks.iter().filter(|step| step.from <= many).max_by_key(|step| step.from);
    step.map_or(Ok(list), |step| list.minus(list.share(step.off, Rounding::HalfUp)?))
}

/// A garment style.
#[derive(Debug, Clone, PartialEq)]
pub struct GarmentStyle {
    /// The name it is called by in files.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Its class.
    pub class: GarmentClass,
    /// For whom.
    pub age: Age,
    /// Colours, at least one.
    pub colours: Vec<GarmentColour>,
    /// Sizes, smallest first, at least one.
    pub sizes: Vec<GarmentSize>,
    /// What is sewn on.
    pub features: Vec<Feature>,
    /// What lies inside.
    pub lining: Lining,
    /// How one gets between shell and lining.
    pub access: Access,
    /// Marks that halt planning.
    pub regulated: Vec<Regulated>,
    /// Who sells the blanks, when they can be bought.
    pub supplier: Option<SupplierId>,
    /// Style to offer when a finer one is wanted.
    pub finer: Option<crate::GarmentId>,
    /// Styles to offer when this one cannot be had in time, the best first.
    pub substitutes: Vec<crate::GarmentId>,
    /// What comes off for quantity, rising; sizes and colours count together.
    pub breaks: Vec<GarmentBreak>,
    /// What there is of it by colour and size; what is not listed is taken to be had as usual.
    pub held: Vec<Held>,
    /// What a replacement is worth when the customer brings it.
    pub declared_value: Option<Money>,
    /// Shipped as an invented example.
    pub invented: bool,
}

impl GarmentStyle {
    /// The colour of that name, letter case ignored.
    pub fn colour(&self, name: &str) -> Option<&GarmentColour> {
        self.colours.iter().find(|colour| colour.name.eq_ignore_ascii_case(name))
    }

    /// The size of that name, letter case ignored.
    pub fn size(&self, name: &str) -> Option<&GarmentSize> {
        self.sizes.iter().find(|size| size.name.eq_ignore_ascii_case(name))
    }

    /// What was entered of a colour and size, letter case ignored.
    pub fn held(&self, colour: &str, size: &str) -> Option<&Held> {
        self.held.iter().find(|held| held.colour.eq_ignore_ascii_case(colour) && held.size.eq_ignore_ascii_case(size))
    }

    /// Whether `feature` is sewn on.
    pub fn has(&self, feature: Feature) -> bool {
        self.features.contains(&feature)
    }
}
