//! Words for the values of enumerations.
//!
//! Each word also has a code (`peel.cold`), so that a sentence may show it as a
//! term. Words stand within a sentence: lower case unless they are names.

use crate::Language;

/// A value that is called by one word or phrase.
pub trait Worded {
    /// The word, as it stands within a sentence.
    fn word(self, language: Language) -> &'static str;
}

macro_rules! words {
    ($($(#[$doc:meta])* $name:ident = $of:path { $($value:ident $code:literal $word:literal,)* })*) => {
        $(
            $(#[$doc])*
            const $name: &[(&str, &str)] = &[$(($code, $word)),*];

            impl Worded for $of {
                fn word(self, language: Language) -> &'static str {
                    let Language::English = language;
                    match self { $(Self::$value => $word,)* }
                }
            }
        )*

        /// Code and word of every value.
        pub(crate) const TABLES: &[(&str, &[(&str, &str)])] = &[$((stringify!($name), $name)),*];
    };
}

words! {
    /// When the carrier comes off.
    PEEL = trade::Peel {
        Hot "peel.hot" "hot peel",
        Warm "peel.warm" "warm peel",
        Cold "peel.cold" "cold peel",
    }
    /// Pressure.
    PRESSURE = trade::PressureClass {
        Light "pressure.light" "light pressure",
        Medium "pressure.medium" "medium pressure",
        Firm "pressure.firm" "firm pressure",
    }
    /// What a closing of the press is for.
    STEP = trade::StepRole {
        Tack "step.tack" "tack",
        Full "step.full" "full press",
        Second "step.second" "second press",
    }
    /// Fibres.
    FIBRE = trade::Fibre {
        Cotton "fibre.cotton" "cotton",
        Linen "fibre.linen" "linen",
        Viscose "fibre.viscose" "viscose",
        Wool "fibre.wool" "wool",
        Silk "fibre.silk" "silk",
        Polyester "fibre.polyester" "polyester",
        Nylon6 "fibre.nylon-6" "nylon 6",
        Nylon66 "fibre.nylon-66" "nylon 6.6",
        Acrylic "fibre.acrylic" "acrylic",
        Acetate "fibre.acetate" "acetate",
        Elastane "fibre.elastane" "elastane",
        Polypropylene "fibre.polypropylene" "polypropylene",
    }
    /// How a cloth is made.
    STRUCTURE = trade::Structure {
        Woven "structure.woven" "woven",
        Jersey "structure.jersey" "jersey knit",
        Rib "structure.rib" "rib knit",
        Pique "structure.pique" "piqué knit",
        Mesh "structure.mesh" "mesh",
        Fleece "structure.fleece" "fleece",
        ElasticKnit "structure.elastic-knit" "elastic sports knit",
        Nonwoven "structure.nonwoven" "nonwoven",
    }
    /// Faces of cloths.
    SURFACE = trade::Surface {
        Plain "surface.plain" "plain face",
        WaterRepellent "surface.water-repellent" "water-repellent finish",
        Laminate "surface.laminate" "laminated face",
        VinylCoated "surface.vinyl-coated" "vinyl coating",
        Foam "surface.foam" "foam",
        Pile "surface.pile" "brushed or pile face",
        Treated "surface.treated" "flame-retardant or antimicrobial finish",
    }
    /// How a cloth is coloured.
    DYE = trade::Dye {
        Undyed "dye.undyed" "undyed or white",
        Light "dye.light" "light shade",
        Dark "dye.dark" "dark or bright shade",
        Sublimated "dye.sublimated" "sublimation-dyed",
        Unknown "dye.unknown" "dye not known",
    }
    /// Garments.
    GARMENT_CLASS = trade::GarmentClass {
        Tee "garment-class.tee" "T-shirt",
        Vest "garment-class.vest" "vest",
        PerformanceTee "garment-class.performance-tee" "sports T-shirt",
        Sweatshirt "garment-class.sweatshirt" "sweatshirt",
        Hoodie "garment-class.hoodie" "hoodie",
        ShellJacket "garment-class.shell-jacket" "lined shell jacket",
        RainShell "garment-class.rain-shell" "rain shell",
        Softshell "garment-class.softshell" "softshell jacket",
        Polo "garment-class.polo" "polo shirt",
        DressShirt "garment-class.dress-shirt" "dress shirt",
        Apron "garment-class.apron" "apron",
        Tote "garment-class.tote" "carrying bag",
        Cap "garment-class.cap" "cap",
        FaceCover "garment-class.face-cover" "face cover",
        Bib "garment-class.bib" "infant bib",
        Sock "garment-class.sock" "sock",
        Legwear "garment-class.legwear" "legwear",
        ChildSleepwear "garment-class.child-sleepwear" "children's sleepwear",
    }
    /// Size bands.
    BAND = trade::Band {
        Infant "band.infant" "infant",
        Toddler "band.toddler" "toddler",
        Youth "band.youth" "youth",
        AdultSmall "band.adult-small" "adult S and M",
        AdultLarge "band.adult-large" "adult L and XL",
        AdultPlus "band.adult-plus" "adult 2XL and up",
        OneSize "band.one-size" "one size",
    }
    /// Measures of a garment lying flat.
    MEASURE = trade::Measure {
        ChestWidth "measure.chest-width" "chest width",
        BodyLength "measure.body-length" "body length",
        HemWidth "measure.hem-width" "hem width",
        ShoulderWidth "measure.shoulder-width" "shoulder width",
        NeckWidth "measure.neck-width" "neck width",
        NeckDepth "measure.neck-depth" "neck depth",
        SleeveLength "measure.sleeve-length" "sleeve length",
        SleeveWidth "measure.sleeve-width" "sleeve width",
        PocketWidth "measure.pocket-width" "pocket width",
        PocketHeight "measure.pocket-height" "pocket height",
        PocketDrop "measure.pocket-drop" "distance from the top to the pocket",
        BibWidth "measure.bib-width" "bib width",
        BibHeight "measure.bib-height" "bib height",
        RibHeight "measure.rib-height" "rib height",
        HoodHeight "measure.hood-height" "hood height",
        HoodWidth "measure.hood-width" "hood width",
        PlacketLength "measure.placket-length" "placket length",
        GussetDepth "measure.gusset-depth" "gusset depth",
        HandleDrop "measure.handle-drop" "distance from the top to the handle's end",
        HandleSpacing "measure.handle-spacing" "distance between the handles",
        LegLength "measure.leg-length" "leg length",
        LegWidth "measure.leg-width" "leg width",
        CrownHeight "measure.crown-height" "crown height",
        CrownWidth "measure.crown-width" "crown width",
    }
    /// What is sewn on.
    FEATURE = trade::Feature {
        PouchPocket "feature.pouch-pocket" "pouch pocket",
        ChestPocket "feature.chest-pocket" "chest pocket",
        BibPocket "feature.bib-pocket" "bib pocket",
        SkirtPocket "feature.skirt-pocket" "skirt pocket",
        SlantPockets "feature.slant-pockets" "slanted hand pockets",
        FullZip "feature.full-zip" "full zip",
        QuarterZip "feature.quarter-zip" "quarter zip",
        FrontSnaps "feature.front-snaps" "front snaps",
        FrontButtons "feature.front-buttons" "front buttons",
        Placket "feature.placket" "placket",
        Hood "feature.hood" "hood",
        HoodCord "feature.hood-cord" "hood cord",
        WaistCord "feature.waist-cord" "waist cord",
        Collar "feature.collar" "collar",
        RibHem "feature.rib-hem" "rib hem",
        ElasticHem "feature.elastic-hem" "elastic hem",
        MeshSides "feature.mesh-sides" "mesh sides",
        TapedSeams "feature.taped-seams" "taped seams",
        StormFlap "feature.storm-flap" "storm flap",
        YokeSeam "feature.yoke-seam" "yoke seam",
        DropShoulder "feature.drop-shoulder" "dropped shoulder seams",
        Raglan "feature.raglan" "raglan sleeves",
        Straps "feature.straps" "straps",
        Rivets "feature.rivets" "metal rivets",
        Handles "feature.handles" "handles",
        Gusset "feature.gusset" "gusset",
        Quilted "feature.quilted" "quilting",
        NeckLabel "feature.neck-label" "neck label",
        CentreSeam "feature.centre-seam" "seam down the middle of the front",
        CentreBackSeam "feature.centre-back-seam" "seam down the middle of the back",
    }
    /// Linings.
    LINING = trade::Lining {
        None "lining.none" "no lining",
        Mesh "lining.mesh" "mesh lining",
        Smooth "lining.smooth" "smooth lining",
        Padded "lining.padded" "padded lining",
    }
    /// Ways between shell and lining.
    ACCESS = trade::Access {
        Open "access.open" "open inside",
        Opening "access.opening" "through an opening",
        Sewn "access.sewn" "sewn shut",
        Unknown "access.unknown" "not known",
    }
    /// For whom a garment is made.
    AGE = trade::Age {
        Infant "age.infant" "infant, up to 3 years",
        Child "age.child" "child, up to 12 years",
        Adult "age.adult" "adult",
    }
    /// Marks that halt planning.
    REGULATED = trade::Regulated {
        ChildSleepwear "regulated.child-sleepwear" "children's sleepwear",
        HighVisibility "regulated.high-visibility" "certified high-visibility wear",
        FlameResistant "regulated.flame-resistant" "flame-resistant wear",
        Protective "regulated.protective" "certified protective wear",
    }
    /// Platens.
    PLATEN = trade::PlatenForm {
        Flat "platen.flat" "flat platen",
        Sleeve "platen.sleeve" "sleeve platen",
        Cap "platen.cap" "cap platen",
        Sock "platen.sock" "sock form",
    }
    /// Cover sheets.
    COVER = trade::CoverFinish {
        Matt "cover.matt" "matt cover sheet",
        Gloss "cover.gloss" "gloss cover sheet",
        Plain "cover.plain" "plain cover sheet",
    }
    /// Which way art reads on film.
    READING = trade::Reading {
        Right "reading.right" "right-reading",
        Reversed "reading.reversed" "mirrored",
    }
    /// Layers of print files.
    LAYERS = trade::Layers {
        Colour "layers.colour" "colours only",
        ColourAndWhite "layers.colour-and-white" "colours and white",
    }
    /// Turns a film allows.
    DIRECTION = trade::Direction {
        Any "direction.any" "any turn",
        Half "direction.half" "upright or upside down",
        Fixed "direction.fixed" "one way only",
    }
    /// Families of transfers.
    KIND = trade::Kind {
        CutFilm "kind.cut-film" "cut film",
        StretchFilm "kind.stretch-film" "stretch film",
        LowTemperatureFilm "kind.low-temperature-film" "low-temperature film",
        Flock "kind.flock" "flock",
        Glitter "kind.glitter" "glitter film",
        Metallic "kind.metallic" "metallic film",
        Puff "kind.puff" "puff film",
        Reflective "kind.reflective" "reflective film",
        PrintAndCut "kind.print-and-cut" "print-and-cut film",
        ScreenMade "kind.screen-made" "screen-made transfer",
        PowderAdhesive "kind.powder-adhesive" "digital film with powder adhesive",
        Hybrid "kind.hybrid" "digital print with screen-printed adhesive",
        Sublimation "kind.sublimation" "sublimation",
        NylonGrade "kind.nylon-grade" "nylon-grade transfer",
        RepellentGrade "kind.repellent-grade" "repellent-grade transfer",
    }
    /// How the shop gets a transfer.
    SOURCE = trade::Way {
        CutInShop "source.cut-in-shop" "cut in the shop",
        PrintedInShop "source.printed-in-shop" "printed in the shop",
        Bought "source.bought" "bought by the sheet",
    }
    /// Looks.
    FINISH = trade::Finish {
        Matt "finish.matt" "matt",
        Smooth "finish.smooth" "smooth, half gloss",
        Soft "finish.soft" "soft ink film",
        Velvet "finish.velvet" "velvet",
        Sparkling "finish.sparkling" "sparkling",
        Mirror "finish.mirror" "mirror",
        Raised "finish.raised" "raised",
        Reflecting "finish.reflecting" "reflecting",
        InCloth "finish.in-cloth" "dye in the cloth",
    }
    /// Families of film colours.
    COLOUR_FAMILY = trade::ColourFamily {
        Plain "colour-family.plain" "plain",
        Metallic "colour-family.metallic" "metallic",
        Glitter "colour-family.glitter" "glitter",
        Reflective "colour-family.reflective" "reflective",
        Fluorescent "colour-family.fluorescent" "fluorescent",
    }
    /// Where a value comes from.
    ORIGIN = report::Origin {
        Maker "origin.maker" "maker's sheet",
        Shop "origin.shop" "shop's file",
        Default "origin.default" "shop default",
        Measured "origin.measured" "measured here",
        Model "origin.model" "calculated",
        Person "origin.person" "said in the order",
    }
    /// The three ways.
    WAY = plan::Way {
        Everyday "way.everyday" "everyday",
        Stronger "way.stronger" "stronger",
        Finest "way.finest" "finest",
    }
    /// Whether a line can be made.
    LINE_STATE = plan::LineState {
        Planned "line-state.planned" "planned",
        Waiting "line-state.waiting" "waits for an answer",
        Stopped "line-state.stopped" "cannot be made as ordered",
    }
    /// Whether a transfer suits.
    FIT = plan::Fit {
        Fits "fit.fits" "suits",
        WithConditions "fit.with-conditions" "suits under conditions",
        DoesNot "fit.does-not" "does not suit",
    }
}
