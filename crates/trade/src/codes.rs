//! The codes of findings, remedies, reasons and terms of this room.

use crate::{Dye, Fibre, Finish, Kind, Peel, PressureClass, Surface};
use report::Code;

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $text:literal;)*) => {
        $($(#[$doc])* pub const $name: Code = Code($text);)*

        /// Every code of this room; the words of enumerations have codes of their own.
        pub const ALL: &[Code] = &[$($name),*];
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
    ($($(#[$doc:meta])* $find:ident: $of:ty { $($variant:ident = $text:literal,)* })*) => {
        $(
            $(#[$doc])*
            pub fn $find(value: $of) -> Code {
                match value { $(<$of>::$variant => Code($text),)* }
            }
        )*
    };
}

terms! {
    /// The term of a pressure.
    pressure: PressureClass {
        Light = "pressure.light", Medium = "pressure.medium", Firm = "pressure.firm",
    }
    /// The term of a peel.
    peel: Peel {
        Hot = "peel.hot", Warm = "peel.warm", Cold = "peel.cold",
    }
    /// The term of a fibre.
    fibre: Fibre {
        Cotton = "fibre.cotton", Linen = "fibre.linen", Viscose = "fibre.viscose",
        Wool = "fibre.wool", Silk = "fibre.silk", Polyester = "fibre.polyester",
        Nylon6 = "fibre.nylon-6", Nylon66 = "fibre.nylon-66", Acrylic = "fibre.acrylic",
        Acetate = "fibre.acetate", Elastane = "fibre.elastane",
        Polypropylene = "fibre.polypropylene",
    }
    /// The term of a face.
    surface: Surface {
        Plain = "surface.plain", WaterRepellent = "surface.water-repellent",
        Laminate = "surface.laminate", VinylCoated = "surface.vinyl-coated",
        Foam = "surface.foam", Pile = "surface.pile", Treated = "surface.treated",
    }
    /// The term of a way of dyeing.
    dye: Dye {
        Undyed = "dye.undyed", Light = "dye.light", Dark = "dye.dark",
        Sublimated = "dye.sublimated", Unknown = "dye.unknown",
    }
    /// The term of a family of transfers.
    kind: Kind {
        CutFilm = "kind.cut-film", StretchFilm = "kind.stretch-film",
        LowTemperatureFilm = "kind.low-temperature-film", Flock = "kind.flock",
        Glitter = "kind.glitter", Metallic = "kind.metallic", Puff = "kind.puff",
        Reflective = "kind.reflective", PrintAndCut = "kind.print-and-cut",
        ScreenMade = "kind.screen-made", PowderAdhesive = "kind.powder-adhesive",
        Hybrid = "kind.hybrid", Sublimation = "kind.sublimation",
        NylonGrade = "kind.nylon-grade", RepellentGrade = "kind.repellent-grade",
    }
    /// The term of a finish.
    finish: Finish {
        Matt = "finish.matt", Smooth = "finish.smooth", Soft = "finish.soft",
        Velvet = "finish.velvet", Sparkling = "finish.sparkling", Mirror = "finish.mirror",
        Raised = "finish.raised", Reflecting = "finish.reflecting", InCloth = "finish.in-cloth",
    }
}
