//! Terms of this room and the cautions that go with heat; `words` holds the sentences.

use report::Code;

use crate::cooling::Cooling;
use crate::doubt::Unsure;
use crate::window::Constraint;

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $text:literal;)*) => {
        $($(#[$doc])* pub const $name: Code = Code($text);)*

        /// Every code of this room.
        pub const ALL: &[Code] = &[$($name),*];
    };
}

codes! {
    /// The adhesive gets less than the recipe gives it.
    CLOSED_UNSET = "heat.closed-unset";
    /// The cloth under the transfer gets too hot.
    CLOSED_FACE = "heat.closed-face";
    /// The bare cloth beside it gets too hot.
    CLOSED_BARE = "heat.closed-bare";
    /// The maker's sheet goes no further.
    CLOSED_SHEET = "heat.closed-sheet";
    /// The maker's longest dwell is passed.
    CLOSED_DWELL = "heat.closed-dwell";
    /// The kind must not be pressed longer.
    CLOSED_NEVER_LONGER = "heat.closed-never-longer";
    /// The recipe itself never sets the adhesive on its reference.
    CLOSED_REFERENCE = "heat.closed-reference";
    /// The range looked at ends.
    CLOSED_RANGE = "heat.closed-range";
    /// Measure: true platen temperature.
    MEASURE_PLATEN = "heat.measure-platen";
    /// Measure: what lies between platen and film.
    MEASURE_UPPER = "heat.measure-upper";
    /// Measure: the carrier.
    MEASURE_CARRIER = "heat.measure-carrier";
    /// Measure: how well the adhesive lies on the cloth.
    MEASURE_CONTACT = "heat.measure-contact";
    /// Measure: the cloth.
    MEASURE_CLOTH = "heat.measure-cloth";
    /// Measure: its water.
    MEASURE_WATER = "heat.measure-water";
    /// Measure: the pad.
    MEASURE_PAD = "heat.measure-pad";
    /// Measure: its warmth.
    MEASURE_PAD_WARMTH = "heat.measure-pad-warmth";
    /// Ask the maker: how the adhesive flows.
    MEASURE_ADHESIVE = "heat.measure-adhesive";
    /// Cooling on the pad.
    COOL_PAD = "heat.cool-pad";
    /// Cooling on a table.
    COOL_TABLE = "heat.cool-table";
    /// Cooling on an insulating surface.
    COOL_INSULATED = "heat.cool-insulated";
    /// Cooling on a metal plate.
    COOL_PLATE = "heat.cool-plate";
    /// Cooling hung up.
    COOL_HUNG = "heat.cool-hung";
    /// Cooling before a fan.
    COOL_FAN = "heat.cool-fan";
    /// Cooling in a pile.
    COOL_PILE = "heat.cool-pile";
    /// Caution: the maker's sheet wins; test first, judge after a day and a wash.
    CAUTION_SHEET = "heat.caution-sheet";
    /// Caution: platen, carrier, zips and pad burn.
    CAUTION_BURN = "heat.caution-burn";
    /// Caution: hot peel.
    CAUTION_HOT_PEEL = "heat.caution-hot-peel";
    /// Caution: steam.
    CAUTION_STEAM = "heat.caution-steam";
    /// Caution: fumes.
    CAUTION_FUMES = "heat.caution-fumes";
    /// Caution: PVC.
    CAUTION_PVC = "heat.caution-pvc";
    /// Caution: PTFE sheet far below 260 °C.
    CAUTION_PTFE = "heat.caution-ptfe";
    /// Caution: special garments, ask the maker.
    CAUTION_ASK = "heat.caution-ask";
    /// Caution: local rules; estimates are advice.
    CAUTION_RULES = "heat.caution-rules";
}

/// What is special about a press, for its cautions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Circumstances {
    /// The carrier is peeled hot.
    pub hot_peel: bool,
    /// The cloth holds a good deal of water (cotton, wool, viscose not preheated).
    pub damp: bool,
    /// The material is PVC, or may be.
    pub pvc: bool,
    /// A PTFE sheet is used.
    pub ptfe: bool,
}

/// The cautions of a press, in the order they are read out.
pub fn cautions(of: Circumstances) -> Vec<Code> {
    let special = [
        (of.hot_peel, CAUTION_HOT_PEEL),
        (of.damp, CAUTION_STEAM),
        (true, CAUTION_FUMES),
        (of.pvc, CAUTION_PVC),
        (of.ptfe, CAUTION_PTFE),
    ];
    let mut all = vec![CAUTION_SHEET, CAUTION_BURN];
    all.extend(special.into_iter().filter(|s| s.0).map(|s| s.1));
    all.extend([CAUTION_ASK, CAUTION_RULES]);
    all
}

impl Constraint {
    /// The phrase for it.
    pub fn code(self) -> Code {
        match self {
            Self::AdhesiveUnset => CLOSED_UNSET,
            Self::ClothUnderTransfer => CLOSED_FACE,
            Self::BareCloth => CLOSED_BARE,
            Self::MakerSheet => CLOSED_SHEET,
            Self::MakerDwell => CLOSED_DWELL,
            Self::NeverLonger => CLOSED_NEVER_LONGER,
            Self::ReferenceUnset => CLOSED_REFERENCE,
            Self::RangeEnds => CLOSED_RANGE,
        }
    }
}

impl Unsure {
    /// What to do to know it better.
    pub fn code(self) -> Code {
        match self {
            Self::Platen => MEASURE_PLATEN,
            Self::PlatenFilm | Self::CoverCarrier | Self::PlatenCloth => MEASURE_UPPER,
            Self::CarrierThickness | Self::CarrierConductivity => MEASURE_CARRIER,
            Self::AdhesiveCloth => MEASURE_CONTACT,
            Self::ClothCloth | Self::Arrangement | Self::ClothThickness | Self::HeatCapacity => MEASURE_CLOTH,
            Self::Regain | Self::DryingWindow => MEASURE_WATER,
            Self::ClothPad | Self::PadBase | Self::PadConductivity | Self::PadThickness => MEASURE_PAD,
            Self::PadStart => MEASURE_PAD_WARMTH,
            Self::Activation => MEASURE_ADHESIVE,
        }
    }
}

impl Cooling {
    /// The phrase for it.
    pub fn code(self) -> Code {
        match self {
            Self::OnPad => COOL_PAD,
            Self::Table => COOL_TABLE,
            Self::Insulated => COOL_INSULATED,
            Self::MetalPlate => COOL_PLATE,
            Self::Hung => COOL_HUNG,
            Self::Fan => COOL_FAN,
            Self::Piled { .. } => COOL_PILE,
        }
    }
}
