//! The words by which files name the values of closed lists.

use super::texts::Worded;
use crate::{
    Access, Age, Band, ColourFamily, CoverFinish, CutFormat, Direction, Dye, Feature, Fibre, Finish, GarmentClass,
    Kind, Layers, Lining, PagesIn, Payer, Peel, PlatenForm, PressureClass, PrintFormat, Reading, Regulated, SoftEdges,
    Structure, Surface, TestOn, Way, Weeding, WhiteIn,
};
use jiff::civil::Weekday;
use units::UnitSystem;

/// What a step of a recipe does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Act {
    Preheat,
    Place,
    Tack,
    Press,
    SecondPress,
    SetAside,
    Peel,
}

macro_rules! words {
    ($($of:ty, $what:literal, $schema:literal: $($variant:ident = $word:literal),* $(,)?;)*) => { $(
        impl Worded for $of {
            const WHAT: &'static str = $what;
            const SCHEMA: &'static str = $schema;
            const WORDS: &'static [(&'static str, Self)] = &[$(($word, <$of>::$variant)),*];
        }
    )* };
}

words! {
    TestOn, "what a test piece is made on", "test-on":
        Garment = "garment", Offcut = "offcut", InsideHem = "inside-hem";
    Payer, "who pays", "payer": Customer = "customer", Shop = "shop";
    UnitSystem, "a system of units", "units": Metric = "metric", Inch = "inch";
    Weekday, "a day of the week", "weekday":
        Monday = "monday", Tuesday = "tuesday", Wednesday = "wednesday", Thursday = "thursday", Friday = "friday",
        Saturday = "saturday", Sunday = "sunday";
    Fibre, "a fibre", "fibre":
        Cotton = "cotton", Linen = "linen", Viscose = "viscose", Wool = "wool", Silk = "silk",
        Polyester = "polyester", Nylon6 = "nylon-6", Nylon66 = "nylon-6.6", Acrylic = "acrylic",
        Acetate = "acetate", Elastane = "elastane", Polypropylene = "polypropylene";
    Structure, "a structure of cloth", "structure":
        Woven = "woven", Jersey = "jersey", Rib = "rib", Pique = "pique", Mesh = "mesh", Fleece = "fleece",
        ElasticKnit = "elastic-knit", Nonwoven = "nonwoven";
    Surface, "a face of cloth", "surface":
        Plain = "plain", WaterRepellent = "water-repellent", Laminate = "laminate", VinylCoated = "vinyl-coated",
        Foam = "foam", Pile = "pile", Treated = "treated";
    Dye, "a way of dyeing", "dye":
        Undyed = "undyed", Light = "light", Dark = "dark", Sublimated = "sublimated", Unknown = "unknown";
    GarmentClass, "a class of garment", "garment-class":
        Tee = "tee", Vest = "vest", PerformanceTee = "performance-tee", Sweatshirt = "sweatshirt",
        Hoodie = "hoodie", ShellJacket = "shell-jacket", RainShell = "rain-shell", Softshell = "softshell",
        Polo = "polo", DressShirt = "dress-shirt", Apron = "apron", Tote = "tote", Cap = "cap",
        FaceCover = "face-cover", Bib = "bib", Sock = "sock", Legwear = "legwear",
        ChildSleepwear = "child-sleepwear";
    Age, "an age group", "age": Infant = "infant", Child = "child", Adult = "adult";
    Band, "a size band", "band":
        Infant = "infant", Toddler = "toddler", Youth = "youth", AdultSmall = "adult-small",
        AdultLarge = "adult-large", AdultPlus = "adult-plus", OneSize = "one-size";
    Feature, "something sewn on", "feature":
        PouchPocket = "pouch-pocket", ChestPocket = "chest-pocket", BibPocket = "bib-pocket",
        SkirtPocket = "skirt-pocket", SlantPockets = "slant-pockets", FullZip = "full-zip",
        QuarterZip = "quarter-zip", FrontSnaps = "front-snaps", FrontButtons = "front-buttons",
        Placket = "placket", Hood = "hood", HoodCord = "hood-cord", WaistCord = "waist-cord", Collar = "collar",
        RibHem = "rib-hem", ElasticHem = "elastic-hem", MeshSides = "mesh-sides", TapedSeams = "taped-seams",
        StormFlap = "storm-flap", YokeSeam = "yoke-seam", DropShoulder = "drop-shoulder", Raglan = "raglan",
        Straps = "straps", Rivets = "rivets", Handles = "handles", Gusset = "gusset", Quilted = "quilted",
        NeckLabel = "neck-label", CentreSeam = "centre-seam", CentreBackSeam = "centre-back-seam";
    Lining, "a lining", "lining": None = "none", Mesh = "mesh", Smooth = "smooth", Padded = "padded";
    Access, "a way between shell and lining", "access":
        Open = "open", Opening = "opening", Sewn = "sewn", Unknown = "unknown";
    Regulated, "a regulated kind of garment", "regulated":
        ChildSleepwear = "child-sleepwear", HighVisibility = "high-visibility", FlameResistant = "flame-resistant",
        Protective = "protective";
    Kind, "a family of transfers", "kind":
        CutFilm = "cut-film", StretchFilm = "stretch-film", LowTemperatureFilm = "low-temperature-film",
        Flock = "flock", Glitter = "glitter", Metallic = "metallic", Puff = "puff", Reflective = "reflective",
        PrintAndCut = "print-and-cut", ScreenMade = "screen-made", PowderAdhesive = "powder-adhesive",
        Hybrid = "hybrid", Sublimation = "sublimation", NylonGrade = "nylon-grade",
        RepellentGrade = "repellent-grade";
    Way, "a way to get a transfer", "way":
        CutInShop = "cut-in-shop", PrintedInShop = "printed-in-shop", Bought = "bought";
    Finish, "a finish", "finish":
        Matt = "matt", Smooth = "smooth", Soft = "soft", Velvet = "velvet", Sparkling = "sparkling",
        Mirror = "mirror", Raised = "raised", Reflecting = "reflecting", InCloth = "in-cloth";
    ColourFamily, "a family of colours", "colour-family":
        Plain = "plain", Metallic = "metallic", Glitter = "glitter", Reflective = "reflective",
        Fluorescent = "fluorescent";
    PressureClass, "a pressure", "pressure": Light = "light", Medium = "medium", Firm = "firm";
    Peel, "a peel", "peel": Hot = "hot", Warm = "warm", Cold = "cold";
    Act, "a step", "do":
        Preheat = "preheat", Place = "place", Tack = "tack", Press = "press", SecondPress = "second-press",
        SetAside = "set-aside", Peel = "peel";
    CoverFinish, "a finish of a cover sheet", "cover-finish": Matt = "matt", Gloss = "gloss", Plain = "plain";
    PlatenForm, "a form of platen", "platen-form": Flat = "flat", Sleeve = "sleeve", Cap = "cap", Sock = "sock";
    Reading, "a way of reading", "reading": Right = "right", Reversed = "reversed";
    Layers, "the layers of a printer's file", "layers": Colour = "colour", ColourAndWhite = "colour-and-white";
    PrintFormat, "a form of print file", "print-format": Png = "png", Pdf = "pdf";
    CutFormat, "a form of cut file", "cut-format": Svg = "svg", Dxf = "dxf", Hpgl = "hpgl";
    WhiteIn, "a place of the white layer", "white-in": SameFile = "same-file", OwnFile = "own-file";
    PagesIn, "a place of pages", "pages-in": OneFile = "one-file", OwnFiles = "own-files";
    SoftEdges, "a way with soft edges", "soft-edges":
        Threshold = "threshold", Halftone = "halftone", Stochastic = "stochastic";
    Weeding, "a help for weeding", "weeding":
        None = "none", Frame = "frame", FrameAndSplits = "frame-and-splits";
    Direction, "the turns a film allows", "direction": Any = "any", Half = "half", Fixed = "fixed";
}
