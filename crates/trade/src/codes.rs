//! The codes of findings, remedies, reasons and terms of this room.

use crate::{Dye, Fibre, Finish, Kind, Peel, PressureClass, Surface};
use report::Code;

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $text:literal;)*) => {
        $($(#[$doc])* pub const $name: Code = Code($text);)*

        /// Codes of findings, remedies and reasons.
        const PLAIN: &[Code] = &[$($name),*];
    };
}

codes! {
    /// The full press is hotter or cooler than usual for the family.
    UNUSUAL_TEMPERATURE = "trade.unusual-temperature";
    /// The full press is longer or shorter than usual for the family.
    UNUSUAL_DWELL = "trade.unusual-dwell";
    /// The peel is not one in use for the family.
    UNUSUAL_PEEL = "trade.unusual-peel";
    /// The pressure is not usual for the family.
    UNUSUAL_PRESSURE = "trade.unusual-pressure";
    /// More closings than the family bears.
    UNUSUAL_PRESSES = "trade.unusual-presses";
    /// Pressed bare, though bare plates harm the family.
    UNUSUAL_NO_COVER = "trade.unusual-no-cover";
    /// Remedy: look at the maker's sheet again.
    LOOK_AT_SHEET = "trade.look-at-sheet";
    /// A transfer has no recipe, so it has no settings.
    NO_RECIPE = "trade.no-recipe";
    /// Remedy: ask the maker for the sheet and type it.
    TYPE_RECIPE = "trade.type-recipe";
    /// A stock item cannot be had: no supplier, none on hand.
    STOCK_NOT_HAD = "trade.stock-not-had";
    /// Remedy: name a supplier or count what is on hand.
    NAME_SUPPLIER = "trade.name-supplier";
    /// A stock item that no transfer uses.
    STOCK_UNUSED = "trade.stock-unused";
    /// Remedy: name it under a transfer or strike it.
    USE_OR_STRIKE = "trade.use-or-strike";
    /// The shop has no cover sheet, though a recipe asks for one.
    NO_COVER_SHEET = "trade.no-cover-sheet";
    /// Remedy: add the cover sheet.
    ADD_COVER_SHEET = "trade.add-cover-sheet";
    /// Ceiling: what the fibre bears under a platen.
    CEILING_FIBRE = "trade.ceiling-fibre";
    /// Ceiling: what a mixture with several fibres bears.
    CEILING_BLEND = "trade.ceiling-blend";
    /// Ceiling: what a cloth with much elastane bears.
    CEILING_ELASTANE = "trade.ceiling-elastane";
    /// Ceiling: dye wanders into a lighter print.
    CEILING_MIGRATION = "trade.ceiling-migration";
    /// Ceiling: dye of sublimation-dyed cloth wanders.
    CEILING_MIGRATION_SUBLIMATED = "trade.ceiling-migration-sublimated";
    /// Caution: a blend may let dye into a light print; hold a sample.
    CAUTION_MIGRATION_BLEND = "trade.caution-migration-blend";
    /// Caution: it is not known how the cloth is dyed.
    CAUTION_DYE_UNKNOWN = "trade.caution-dye-unknown";
    /// Ceiling: a water-repellent finish.
    CEILING_REPELLENT = "trade.ceiling-repellent";
    /// Ceiling: a laminate or membrane.
    CEILING_LAMINATE = "trade.ceiling-laminate";
    /// Ceiling: pile is crushed.
    CEILING_PILE = "trade.ceiling-pile";
    /// Refused: polypropylene flattens and melts.
    REFUSE_POLYPROPYLENE = "trade.refuse-polypropylene";
    /// Refused: vinyl blisters.
    REFUSE_VINYL = "trade.refuse-vinyl";
    /// Refused: foam blisters.
    REFUSE_FOAM = "trade.refuse-foam";
    /// Refused: a finish that a print may undo.
    REFUSE_TREATED = "trade.refuse-treated";
    /// Caution: nylon is tried first.
    CAUTION_NYLON_TEST = "trade.caution-nylon-test";
    /// Caution: wool and silk want a pad and a short time.
    CAUTION_WOOL = "trade.caution-wool";
    /// Caution: acetate is best avoided.
    CAUTION_ACETATE = "trade.caution-acetate";
    /// Refused: sublimation needs light polyester.
    REFUSE_SUBLIMATION_CLOTH = "trade.refuse-sublimation-cloth";
}

macro_rules! terms {
    ($($(#[$doc:meta])* $find:ident, $list:ident: $of:ty { $($variant:ident = $text:literal,)* })*) => {
        $(
            $(#[$doc])*
            pub fn $find(value: $of) -> Code {
                match value { $(<$of>::$variant => Code($text),)* }
            }

            const $list: &[Code] = &[$(Code($text)),*];
        )*
    };
}

terms! {
    /// The term of a pressure.
    pressure, PRESSURES: PressureClass {
        Light = "trade.pressure-light", Medium = "trade.pressure-medium", Firm = "trade.pressure-firm",
    }
    /// The term of a peel.
    peel, PEELS: Peel {
        Hot = "trade.peel-hot", Warm = "trade.peel-warm", Cold = "trade.peel-cold",
    }
    /// The term of a fibre.
    fibre, FIBRES: Fibre {
        Cotton = "trade.fibre-cotton", Linen = "trade.fibre-linen", Viscose = "trade.fibre-viscose",
        Wool = "trade.fibre-wool", Silk = "trade.fibre-silk", Polyester = "trade.fibre-polyester",
        Nylon6 = "trade.fibre-nylon-6", Nylon66 = "trade.fibre-nylon-66", Acrylic = "trade.fibre-acrylic",
        Acetate = "trade.fibre-acetate", Elastane = "trade.fibre-elastane",
        Polypropylene = "trade.fibre-polypropylene",
    }
    /// The term of a face.
    surface, SURFACES: Surface {
        Plain = "trade.surface-plain", WaterRepellent = "trade.surface-water-repellent",
        Laminate = "trade.surface-laminate", VinylCoated = "trade.surface-vinyl-coated",
        Foam = "trade.surface-foam", Pile = "trade.surface-pile", Treated = "trade.surface-treated",
    }
    /// The term of a way of dyeing.
    dye, DYES: Dye {
        Undyed = "trade.dye-undyed", Light = "trade.dye-light", Dark = "trade.dye-dark",
        Sublimated = "trade.dye-sublimated", Unknown = "trade.dye-unknown",
    }
    /// The term of a family of transfers.
    kind, KINDS: Kind {
        CutFilm = "trade.kind-cut-film", StretchFilm = "trade.kind-stretch-film",
        LowTemperatureFilm = "trade.kind-low-temperature-film", Flock = "trade.kind-flock",
        Glitter = "trade.kind-glitter", Metallic = "trade.kind-metallic", Puff = "trade.kind-puff",
        Reflective = "trade.kind-reflective", PrintAndCut = "trade.kind-print-and-cut",
        ScreenMade = "trade.kind-screen-made", PowderAdhesive = "trade.kind-powder-adhesive",
        Hybrid = "trade.kind-hybrid", Sublimation = "trade.kind-sublimation",
        NylonGrade = "trade.kind-nylon-grade", RepellentGrade = "trade.kind-repellent-grade",
    }
    /// The term of a finish.
    finish, FINISHES: Finish {
        Matt = "trade.finish-matt", Smooth = "trade.finish-smooth", Soft = "trade.finish-soft",
        Velvet = "trade.finish-velvet", Sparkling = "trade.finish-sparkling", Mirror = "trade.finish-mirror",
        Raised = "trade.finish-raised", Reflecting = "trade.finish-reflecting", InCloth = "trade.finish-in-cloth",
    }
}

const LISTS: &[&[Code]] = &[PLAIN, PRESSURES, PEELS, FIBRES, SURFACES, DYES, KINDS, FINISHES];
const COUNT: usize = {
    let (mut at, mut sum) = (0, 0);
    while at < LISTS.len() {
        sum += LISTS[at].len();
        at += 1;
    }
    sum
};
const JOINED: [Code; COUNT] = {
    let mut joined = [Code(""); COUNT];
    let (mut list, mut next) = (0, 0);
    while list < LISTS.len() {
        let mut at = 0;
        while at < LISTS[list].len() {
            joined[next] = LISTS[list][at];
            next += 1;
            at += 1;
        }
        list += 1;
    }
    joined
};

/// Every code of this room.
pub const ALL: &[Code] = &JOINED;
