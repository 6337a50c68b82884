//! Where a print goes, as people say it.

use crate::codes;
use crate::flat::{has_hood, has_sleeves, is_long_sleeved};
use crate::panel::Panel;
use report::{Code, Finding, Severity, Value};
use trade::{Feature, GarmentClass, GarmentSize, GarmentStyle};

/// A place on a garment. Left and right are the wearer's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Position {
    /// The wearer's left chest.
    LeftChest,
    /// The wearer's right chest.
    RightChest,
    /// Centre of the chest, small.
    CentreChest,
    /// The front, full size.
    FullFront,
    /// The front, as large as it goes.
    OversizeFront,
    /// Below the collar at the back.
    Nape,
    /// Across the shoulder blades.
    UpperBack,
    /// The back, full size.
    FullBack,
    /// Short sleeve, wearer's left.
    ShortSleeveLeft,
    /// Short sleeve, wearer's right.
    ShortSleeveRight,
    /// Along a long sleeve, wearer's left.
    LongSleeveLeft,
    /// Along a long sleeve, wearer's right.
    LongSleeveRight,
    /// Cuff, wearer's left.
    CuffLeft,
    /// Cuff, wearer's right.
    CuffRight,
    /// Side of the hood, wearer's left.
    HoodLeft,
    /// Side of the hood, wearer's right.
    HoodRight,
    /// On the pocket.
    OnPocket,
    /// Above the pocket.
    AbovePocket,
    /// Near the front hem, wearer's left.
    HemLeft,
    /// Near the front hem, wearer's right.
    HemRight,
    /// Below the waistband, wearer's left leg.
    LegLeft,
    /// Below the waistband, wearer's right leg.
    LegRight,
    /// Above the cuff, wearer's left leg.
    LegCuffLeft,
    /// Above the cuff, wearer's right leg.
    LegCuffRight,
    /// Left chest of a polo or shirt, beside the placket.
    ShirtLeftChest,
    /// Half of a front that opens, wearer's left.
    ZipFrontLeft,
    /// Half of a front that opens, wearer's right.
    ZipFrontRight,
    /// Front of a cap.
    CapFront,
    /// Side of a bag.
    Tote,
    /// Bib of an apron.
    ApronBib,
    /// Infant's bib.
    InfantBib,
    /// Side panel of a face cover, wearer's left.
    FaceCoverLeft,
    /// Side panel of a face cover, wearer's right.
    FaceCoverRight,
    /// Outer side of a sock, below its rib; each of the pair.
    Sock,
}

impl Position {
    /// Every position, in the order of their names above.
    pub const ALL: [Self; 34] = [
        Self::LeftChest,
        Self::RightChest,
        Self::CentreChest,
        Self::FullFront,
        Self::OversizeFront,
        Self::Nape,
        Self::UpperBack,
        Self::FullBack,
        Self::ShortSleeveLeft,
        Self::ShortSleeveRight,
        Self::LongSleeveLeft,
        Self::LongSleeveRight,
        Self::CuffLeft,
        Self::CuffRight,
        Self::HoodLeft,
        Self::HoodRight,
        Self::OnPocket,
        Self::AbovePocket,
        Self::HemLeft,
        Self::HemRight,
        Self::LegLeft,
        Self::LegRight,
        Self::LegCuffLeft,
        Self::LegCuffRight,
        Self::ShirtLeftChest,
        Self::ZipFrontLeft,
        Self::ZipFrontRight,
        Self::CapFront,
        Self::Tote,
        Self::ApronBib,
        Self::InfantBib,
        Self::FaceCoverLeft,
        Self::FaceCoverRight,
        Self::Sock,
    ];

    /// Its name, as a term.
    pub fn term(self) -> Code {
        match self {
            Self::LeftChest => codes::POSITION_LEFT_CHEST,
            Self::RightChest => codes::POSITION_RIGHT_CHEST,
            Self::CentreChest => codes::POSITION_CENTRE_CHEST,
            Self::FullFront => codes::POSITION_FULL_FRONT,
            Self::OversizeFront => codes::POSITION_OVERSIZE_FRONT,
            Self::Nape => codes::POSITION_NAPE,
            Self::UpperBack => codes::POSITION_UPPER_BACK,
            Self::FullBack => codes::POSITION_FULL_BACK,
            Self::ShortSleeveLeft => codes::POSITION_SHORT_SLEEVE_LEFT,
            Self::ShortSleeveRight => codes::POSITION_SHORT_SLEEVE_RIGHT,
            Self::LongSleeveLeft => codes::POSITION_LONG_SLEEVE_LEFT,
            Self::LongSleeveRight => codes::POSITION_LONG_SLEEVE_RIGHT,
            Self::CuffLeft => codes::POSITION_CUFF_LEFT,
            Self::CuffRight => codes::POSITION_CUFF_RIGHT,
            Self::HoodLeft => codes::POSITION_HOOD_LEFT,
            Self::HoodRight => codes::POSITION_HOOD_RIGHT,
            Self::OnPocket => codes::POSITION_ON_POCKET,
            Self::AbovePocket => codes::POSITION_ABOVE_POCKET,
            Self::HemLeft => codes::POSITION_HEM_LEFT,
            Self::HemRight => codes::POSITION_HEM_RIGHT,
            Self::LegLeft => codes::POSITION_LEG_LEFT,
            Self::LegRight => codes::POSITION_LEG_RIGHT,
            Self::LegCuffLeft => codes::POSITION_LEG_CUFF_LEFT,
            Self::LegCuffRight => codes::POSITION_LEG_CUFF_RIGHT,
            Self::ShirtLeftChest => codes::POSITION_SHIRT_LEFT_CHEST,
            Self::ZipFrontLeft => codes::POSITION_ZIP_FRONT_LEFT,
            Self::ZipFrontRight => codes::POSITION_ZIP_FRONT_RIGHT,
            Self::CapFront => codes::POSITION_CAP_FRONT,
            Self::Tote => codes::POSITION_TOTE,
            Self::ApronBib => codes::POSITION_APRON_BIB,
            Self::InfantBib => codes::POSITION_INFANT_BIB,
            Self::FaceCoverLeft => codes::POSITION_FACE_COVER_LEFT,
            Self::FaceCoverRight => codes::POSITION_FACE_COVER_RIGHT,
            Self::Sock => codes::POSITION_SOCK,
        }
    }

    /// The same place on the wearer's other side; places on the centre line stay.
    #[must_use]
    pub fn other_side(self) -> Self {
        let pairs = [
            (Self::LeftChest, Self::RightChest),
            (Self::ShortSleeveLeft, Self::ShortSleeveRight),
            (Self::LongSleeveLeft, Self::LongSleeveRight),
            (Self::CuffLeft, Self::CuffRight),
            (Self::HoodLeft, Self::HoodRight),
            (Self::HemLeft, Self::HemRight),
            (Self::LegLeft, Self::LegRight),
            (Self::LegCuffLeft, Self::LegCuffRight),
            (Self::ZipFrontLeft, Self::ZipFrontRight),
            (Self::FaceCoverLeft, Self::FaceCoverRight),
        ];
        for (left, right) in pairs {
            if self == left {
                return right;
            }
            if self == right {
                return left;
            }
        }
        self
    }

    /// The panel it lies on.
    pub fn panel(self) -> Panel {
        match self {
            Self::Nape | Self::UpperBack | Self::FullBack => Panel::Back,
            Self::ShortSleeveLeft | Self::LongSleeveLeft | Self::CuffLeft => Panel::LeftSleeve,
            Self::ShortSleeveRight | Self::LongSleeveRight | Self::CuffRight => Panel::RightSleeve,
            Self::HoodLeft => Panel::HoodLeft,
            Self::HoodRight => Panel::HoodRight,
            Self::LegLeft | Self::LegCuffLeft => Panel::LeftLeg,
            Self::LegRight | Self::LegCuffRight => Panel::RightLeg,
            Self::CapFront => Panel::CapFront,
            Self::Sock => Panel::Sock,
            _ => Panel::Front,
        }
    }

    /// Whether art here is turned by a quarter so that it runs along arm or leg.
    pub fn runs_along(self) -> bool {
        matches!(self, Self::LongSleeveLeft | Self::LongSleeveRight)
    }

    /// The position meant on this garment: "front" of a bag is the bag's side,
    /// "left chest" of a polo lies beside its placket, of a zipped front on its half.
    #[must_use]
    pub fn on(self, style: &GarmentStyle) -> Self {
        let opens = opens_in_front(style);
        match (self, style.class) {
            (Self::FullFront | Self::CentreChest | Self::OversizeFront, GarmentClass::Tote) => Self::Tote,
            (Self::FullFront | Self::CentreChest, GarmentClass::Apron) => Self::ApronBib,
            (Self::FullFront | Self::CentreChest, GarmentClass::Bib) => Self::InfantBib,
            (Self::FullFront | Self::CentreChest, GarmentClass::Cap) => Self::CapFront,
            (Self::LeftChest, GarmentClass::Polo | GarmentClass::DressShirt) => Self::ShirtLeftChest,
            (Self::ShirtLeftChest, class) if !matches!(class, GarmentClass::Polo | GarmentClass::DressShirt) => {
                Self::LeftChest.on(style)
            }
            (Self::LeftChest, _) if opens => Self::ZipFrontLeft,
            (Self::RightChest, _) if opens => Self::ZipFrontRight,
            (Self::ShortSleeveLeft, _) if style.class == GarmentClass::Hoodie => Self::LongSleeveLeft,
            (Self::ShortSleeveRight, _) if style.class == GarmentClass::Hoodie => Self::LongSleeveRight,
            _ => self,
        }
    }

    /// Whether the garment has this place at all.
    pub fn is_on(self, style: &GarmentStyle, size: &GarmentSize) -> bool {
        let class = style.class;
        let sleeves = has_sleeves(class);
        let long = sleeves && is_long_sleeved(style, size);
        let body = sleeves || class == GarmentClass::Vest;
        let opens = opens_in_front(style);
        match self {
            Self::LeftChest | Self::RightChest => body,
            Self::CentreChest | Self::FullFront | Self::OversizeFront => body && !opens,
            Self::Nape | Self::UpperBack | Self::FullBack | Self::HemLeft | Self::HemRight => body,
            Self::ShortSleeveLeft | Self::ShortSleeveRight => sleeves && !long,
            Self::LongSleeveLeft | Self::LongSleeveRight | Self::CuffLeft | Self::CuffRight => long,
            Self::HoodLeft | Self::HoodRight => has_hood(style),
            Self::OnPocket | Self::AbovePocket => has_pocket(style),
            Self::LegLeft | Self::LegRight | Self::LegCuffLeft | Self::LegCuffRight => class == GarmentClass::Legwear,
            Self::ShirtLeftChest => matches!(class, GarmentClass::Polo | GarmentClass::DressShirt),
            Self::ZipFrontLeft | Self::ZipFrontRight => body && opens,
            Self::CapFront => class == GarmentClass::Cap,
            Self::Tote => class == GarmentClass::Tote,
            Self::ApronBib => class == GarmentClass::Apron,
            Self::InfantBib => class == GarmentClass::Bib,
            Self::FaceCoverLeft | Self::FaceCoverRight => class == GarmentClass::FaceCover,
            Self::Sock => class == GarmentClass::Sock,
        }
    }
}

/// Whether the front opens from neck to hem.
pub(crate) fn opens_in_front(style: &GarmentStyle) -> bool {
    [Feature::FullZip, Feature::FrontSnaps, Feature::FrontButtons].iter().any(|feature| style.has(*feature))
}

fn has_pocket(style: &GarmentStyle) -> bool {
    [Feature::PouchPocket, Feature::ChestPocket, Feature::BibPocket, Feature::SkirtPocket]
        .iter()
        .any(|feature| style.has(*feature))
}

/// What a word means.
#[derive(Clone, Copy)]
enum Meant {
    One(Position),
    Sides(Position),
}

/// Words people use, normalised: lower case, single spaces, no hyphens.
const WORDS: &[(&str, Meant)] = &[
    ("left chest", Meant::One(Position::LeftChest)),
    ("right chest", Meant::One(Position::RightChest)),
    ("chest left", Meant::One(Position::LeftChest)),
    ("chest right", Meant::One(Position::RightChest)),
    ("left breast", Meant::One(Position::LeftChest)),
    ("right breast", Meant::One(Position::RightChest)),
    ("heart", Meant::One(Position::LeftChest)),
    ("lc", Meant::One(Position::LeftChest)),
    ("rc", Meant::One(Position::RightChest)),
    ("centre chest", Meant::One(Position::CentreChest)),
    ("center chest", Meant::One(Position::CentreChest)),
    ("chest", Meant::One(Position::CentreChest)),
    ("full front", Meant::One(Position::FullFront)),
    ("front", Meant::One(Position::FullFront)),
    ("front full", Meant::One(Position::FullFront)),
    ("oversize front", Meant::One(Position::OversizeFront)),
    ("oversized front", Meant::One(Position::OversizeFront)),
    ("jumbo front", Meant::One(Position::OversizeFront)),
    ("nape", Meant::One(Position::Nape)),
    ("collar back", Meant::One(Position::Nape)),
    ("back collar", Meant::One(Position::Nape)),
    ("back neck", Meant::One(Position::Nape)),
    ("neck", Meant::One(Position::Nape)),
    ("upper back", Meant::One(Position::UpperBack)),
    ("yoke", Meant::One(Position::UpperBack)),
    ("back yoke", Meant::One(Position::UpperBack)),
    ("shoulders", Meant::One(Position::UpperBack)),
    ("full back", Meant::One(Position::FullBack)),
    ("back", Meant::One(Position::FullBack)),
    ("back full", Meant::One(Position::FullBack)),
    ("short sleeve", Meant::Sides(Position::ShortSleeveLeft)),
    ("sleeve", Meant::Sides(Position::ShortSleeveLeft)),
    ("long sleeve", Meant::Sides(Position::LongSleeveLeft)),
    ("arm", Meant::Sides(Position::LongSleeveLeft)),
    ("cuff", Meant::Sides(Position::CuffLeft)),
    ("wrist", Meant::Sides(Position::CuffLeft)),
    ("hood", Meant::Sides(Position::HoodLeft)),
    ("hood side", Meant::Sides(Position::HoodLeft)),
    ("on pocket", Meant::One(Position::OnPocket)),
    ("pocket", Meant::One(Position::OnPocket)),
    ("above pocket", Meant::One(Position::AbovePocket)),
    ("over pocket", Meant::One(Position::AbovePocket)),
    ("hem", Meant::Sides(Position::HemLeft)),
    ("leg", Meant::Sides(Position::LegLeft)),
    ("thigh", Meant::Sides(Position::LegLeft)),
    ("leg cuff", Meant::Sides(Position::LegCuffLeft)),
    ("ankle", Meant::Sides(Position::LegCuffLeft)),
    ("shirt left chest", Meant::One(Position::ShirtLeftChest)),
    ("polo left chest", Meant::One(Position::ShirtLeftChest)),
    ("zip front", Meant::Sides(Position::ZipFrontLeft)),
    ("front half", Meant::Sides(Position::ZipFrontLeft)),
    ("cap front", Meant::One(Position::CapFront)),
    ("cap", Meant::One(Position::CapFront)),
    ("hat", Meant::One(Position::CapFront)),
    ("tote", Meant::One(Position::Tote)),
    ("bag", Meant::One(Position::Tote)),
    ("tote front", Meant::One(Position::Tote)),
    ("bag side", Meant::One(Position::Tote)),
    ("apron bib", Meant::One(Position::ApronBib)),
    ("apron", Meant::One(Position::ApronBib)),
    ("bib", Meant::One(Position::InfantBib)),
    ("infant bib", Meant::One(Position::InfantBib)),
    ("face cover", Meant::Sides(Position::FaceCoverLeft)),
    ("mask", Meant::Sides(Position::FaceCoverLeft)),
    ("sock", Meant::One(Position::Sock)),
    ("socks", Meant::One(Position::Sock)),
];

/// The position that a person wrote: "left chest", "Full-Front", "sleeve, left".
///
/// Err: an `Ask` finding that names the nearest known position, or asks for the
/// wearer's side where only "sleeve" was written.
pub fn read_position(text: &str) -> Result<Position, Finding> {
    let words = normal(text);
    if let Some(found) = known(&words) {
        return match found {
            Meant::One(position) => Ok(position),
            Meant::Sides(left) => Err(which_side(text, left)),
        };
    }
    let (side, rest) = without_side(&words);
    match (side, known(&rest)) {
        (Some(left), Some(Meant::Sides(position))) => Ok(if left { position } else { position.other_side() }),
        (_, _) => Err(unknown(text, &words)),
    }
}

/// Lower case, everything but letters a single space.
fn normal(text: &str) -> String {
    let lower: String =
        text.chars().take(80).map(|c| if c.is_alphabetic() { c.to_ascii_lowercase() } else { ' ' }).collect();
    lower
        .split_whitespace()
        .filter(|word| !matches!(*word, "the" | "of" | "wearer" | "s" | "wearers" | "print"))
        .collect::<Vec<_>>()
        .join(" ")
}

fn known(words: &str) -> Option<Meant> {
    WORDS.iter().find(|(name, _)| *name == words).map(|(_, meant)| *meant)
}

/// The side named, true for left, and the words without it.
fn without_side(words: &str) -> (Option<bool>, String) {
    let side = words.split(' ').find_map(|word| match word {
        "left" | "l" => Some(true),
        "right" | "r" => Some(false),
        _ => None,
    });
    let rest: Vec<&str> = words.split(' ').filter(|word| !matches!(*word, "left" | "right" | "l" | "r")).collect();
    (side, rest.join(" "))
}

fn shown(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).take(60).collect()
}

fn which_side(text: &str, left: Position) -> Finding {
    Finding::new(Severity::Ask, codes::POSITION_WHICH_SIDE, codes::POSITION_SAY_SIDE)
        .named("written", shown(text))
        .with("left", Value::Term(left.term()))
        .with("right", Value::Term(left.other_side().term()))
}

fn unknown(text: &str, words: &str) -> Finding {
    let nearest = WORDS.iter().min_by(|(a, _), (b, _)| distance(words, a).cmp(&distance(words, b))).map_or(
        Position::FullFront,
        |(_, meant)| match meant {
            Meant::One(position) | Meant::Sides(position) => *position,
        },
    );
    Finding::new(Severity::Ask, codes::POSITION_UNKNOWN, codes::POSITION_NEAREST)
        .named("written", shown(text))
        .with("nearest", Value::Term(nearest.term()))
}

/// Edits between two short texts (Levenshtein 1966).
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.chars().enumerate() {
        let mut next = vec![i + 1];
        for (j, cb) in b.iter().enumerate() {
            let kept = row.get(j).copied().unwrap_or(0) + usize::from(ca != *cb);
            let dropped = row.get(j + 1).copied().unwrap_or(0) + 1;
            let added = next.last().copied().unwrap_or(0) + 1;
            next.push(kept.min(dropped).min(added));
        }
        row = next;
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_people_write_them() {
        for (text, expected) in [
            ("left chest", Position::LeftChest),
            ("Left-Chest", Position::LeftChest),
            ("LC", Position::LeftChest),
            ("wearer's left chest", Position::LeftChest),
            ("full_front", Position::FullFront),
            ("back", Position::FullBack),
            ("left sleeve", Position::ShortSleeveLeft),
            ("sleeve, right", Position::ShortSleeveRight),
            ("right long sleeve", Position::LongSleeveRight),
            ("hood left", Position::HoodLeft),
            ("right leg", Position::LegRight),
            ("Tote", Position::Tote),
            ("centre-chest", Position::CentreChest),
            ("zip front, left", Position::ZipFrontLeft),
        ] {
            assert_eq!(read_position(text), Ok(expected), "{text}");
        }
    }

    #[test]
    fn every_position_reads_back_its_own_name() {
        for position in Position::ALL {
            let name = position.term().0.trim_start_matches("garment.position-");
            assert_eq!(read_position(name), Ok(position), "{name}");
        }
    }

    #[test]
    fn what_is_not_known_is_asked() {
        let side = read_position("sleeve").expect_err("no side");
        assert_eq!((side.severity, side.code), (Severity::Ask, codes::POSITION_WHICH_SIDE));
        let typo = read_position("full frnt").expect_err("a slip");
        assert_eq!(typo.code, codes::POSITION_UNKNOWN);
        assert!(typo.quantities.iter().any(|q| q.value == Value::Term(codes::POSITION_FULL_FRONT)));
        assert!(read_position("").is_err());
        assert!(read_position("\u{1b}[31m".repeat(100).as_str()).is_err());
    }

    #[test]
    fn the_other_side_of_the_other_side_is_the_same() {
        for position in Position::ALL {
            assert_eq!(position.other_side().other_side(), position);
        }
    }
}
