//! Garment × position × platen, each worked by hand.
//!
//! The rules are common practice, no source: art + 10 mm all round on the platen;
//! 12 mm from anything sewn unless on a pillow; a step above 1.0 mm (knit) or
//! 0.5 mm (woven) counts anywhere on the platen; a pillow reaches 5 mm beyond the
//! art and lies clear of what is raised; a tube slips over a platen 10 mm
//! narrower than its flat width. Everything else is arithmetic on the measures of
//! the invented test shop. Inches: 16 = 406.4, 20 = 508, 15 = 381, 11 = 279.4,
//! 6 = 152.4, 10 = 254, 4 = 101.6, 5 = 127, 3 = 76.2 mm. Pillows: 300 × 350,
//! 200 × 250, 110 × 110. y is measured down from the highest shoulder point (or
//! the top edge) and written without its sign; x from the centre line.
//!
//! Facts used below, from the measures:
//! * tee XL: chest 610, length 785, neck depth 110, shoulder 535. Collar ends at
//!   110 + 6 = 116 (front) and 0.22 × 110 + 6 = 30 (back). Armhole nearest to the
//!   centre: Bézier 267.5, 230.9, 250.1, 305 at t = 0.35 → 248.7, less 6 = 242.
//!   Side seams 299. Sleeve 250 × 220.
//! * hoodie L: chest 560, length 740, neck depth 105 (collar to 111), armhole
//!   243 − 6 = 237, pocket 465 to 680 deep (edges ± 7), 360 wide, rib seam from 674.
//!   Hood 345: falls to 0.55 × 345 = 190.
//! * polo, shirt L: chest 560, neck depth 105, placket ± 17, armhole
//!   (246.5 − 33.6 …) about 234 − 6.
//! * apron: bib straps from x 122, y to 34; pocket from 400 − 6 = 394.
//! * tote: 380 × 420, free x ± 180, y from 40 (handles) to 410.

use crate::bench::{reached, shop_with};
use garment::{Isolation, Position};

/// Garment, size, position, art, platens, pillows, expected, working.
type Case = (&'static str, &'static str, Position, (f64, f64), &'static [&'static str], bool, Expected, &'static str);

#[derive(Debug, Clone, Copy, PartialEq)]
enum Expected {
    By(Isolation),
    No(&'static str),
}

use Expected::{By, No};
use Isolation::{BetweenLayers, Pillow, PlatenAlone, SlipOver, UnpickLining};
use Position as P;

const CASES: &[Case] = &[
    // Tee XL, front: top of a full front 110 + 3.25 in = 192.6.
    (
        "tee",
        "XL",
        P::FullFront,
        (300.0, 330.0),
        &["16x20"],
        false,
        By(PlatenAlone),
        "320 ≤ 406, 350 ≤ 508; ±203 < 242; 508 ≤ 785 − 116",
    ),
    ("tee", "XL", P::FullFront, (370.0, 330.0), &["16x20"], false, By(PlatenAlone), "390 ≤ 406"),
    (
        "tee",
        "XL",
        P::FullFront,
        (390.0, 330.0),
        &["16x20"],
        false,
        No("garment.platen-on-obstacle"),
        "410 > 406; across ±254 > 246 at the armhole, whose lower part (252 − 6) lies beside the art",
    ),
    ("tee", "XL", P::FullFront, (400.0, 500.0), &["16x20"], false, No("garment.no-platen"), "420 > 406 and 520 > 508"),
    ("tee", "XL", P::FullFront, (300.0, 330.0), &["15x15"], false, By(PlatenAlone), "320 and 350 ≤ 381"),
    ("tee", "XL", P::FullFront, (300.0, 330.0), &["11x15"], false, No("garment.no-platen"), "320 and 350 > 279"),
    ("tee", "XL", P::FullFront, (250.0, 330.0), &["11x15"], false, By(PlatenAlone), "270 ≤ 279, 350 ≤ 381"),
    ("tee", "XL", P::FullFront, (250.0, 330.0), &["6x10"], false, No("garment.no-platen"), "270 > 254"),
    (
        "tee",
        "XL",
        P::CentreChest,
        (200.0, 140.0),
        &["11x15"],
        false,
        By(PlatenAlone),
        "220 ≤ 279, 160 ≤ 381; moved below 116",
    ),
    // Tee XL, left chest: centre 4 in = 101.6, top 8 in = 203.2.
    (
        "tee",
        "XL",
        P::LeftChest,
        (95.0, 70.0),
        &["6x10"],
        false,
        By(PlatenAlone),
        "115 ≤ 152; ends at 101.6 + 76 = 178 < 242",
    ),
    ("tee", "XL", P::RightChest, (95.0, 70.0), &["6x10"], false, By(PlatenAlone), "as the left"),
    ("tee", "XL", P::LeftChest, (95.0, 70.0), &["round5"], false, No("garment.no-platen"), "diagonal 118 + 20 > 127"),
    (
        "tee",
        "XL",
        P::LeftChest,
        (70.0, 70.0),
        &["round5"],
        false,
        By(PlatenAlone),
        "99 + 20 ≤ 127; top 238 − 63.5 = 175 > 116",
    ),
    ("tee", "XL", P::LeftChest, (55.0, 55.0), &["round3"], false, No("garment.no-platen"), "77.8 + 20 > 76"),
    ("tee", "XL", P::LeftChest, (38.0, 38.0), &["round3"], false, By(PlatenAlone), "53.7 + 20 ≤ 76.2"),
    (
        "tee",
        "XL",
        P::LeftChest,
        (80.0, 60.0),
        &["sleeve"],
        false,
        By(PlatenAlone),
        "100 ≤ 101.6; moved down past the collar, 193 + 406 ≤ 785",
    ),
    (
        "tee",
        "XL",
        P::LeftChest,
        (90.0, 60.0),
        &["sleeve"],
        false,
        By(PlatenAlone),
        "110 > 101.6, so across: 80 ≤ 101.6 high, 406 ≤ 2 × 242 between the armholes",
    ),
    // Tee XL, back: laid flat, the front collar to 116 lies beneath.
    (
        "tee",
        "XL",
        P::Nape,
        (75.0, 50.0),
        &["16x20"],
        false,
        By(SlipOver),
        "top 24.2 + 31.75 = 56 − 10 = 46 < 116, so not flat; slipped over 46 > 30; 610 ≥ 416",
    ),
    ("tee", "XL", P::Nape, (75.0, 50.0), &["6x10"], false, By(SlipOver), "the same"),
    ("tee", "XL", P::UpperBack, (250.0, 90.0), &["15x15"], false, By(SlipOver), "top 24.2 + 88.9 = 113 − 10 < 116"),
    (
        "tee",
        "XL",
        P::FullBack,
        (330.0, 380.0),
        &["16x20"],
        false,
        By(PlatenAlone),
        "top 24.2 + 114.3 = 138.5 − 10 > 116",
    ),
    (
        "tee",
        "XL",
        P::FullBack,
        (360.0, 470.0),
        &["16x20"],
        false,
        By(PlatenAlone),
        "380 ≤ 406, 490 ≤ 508; 128.5 + 508 = 636 ≤ 785",
    ),
    // Short sleeves: the underarm seam lies behind, so never flat; hem is 0.7 mm, no step.
    (
        "tee",
        "XL",
        P::ShortSleeveLeft,
        (75.0, 60.0),
        &["6x10"],
        false,
        By(SlipOver),
        "220 ≥ 162; top 250 − 38 − 60 − 10 = 142 > 6",
    ),
    ("tee", "XL", P::ShortSleeveRight, (75.0, 60.0), &["6x10"], false, By(SlipOver), "the same"),
    ("tee", "XL", P::ShortSleeveLeft, (75.0, 60.0), &["sleeve"], false, By(SlipOver), "95 ≤ 102, 220 ≥ 112"),
    (
        "tee",
        "XL",
        P::ShortSleeveLeft,
        (85.0, 60.0),
        &["sleeve"],
        false,
        No("garment.platen-on-obstacle"),
        "105 > 102; across it lies flat on the seam behind",
    ),
    ("tee", "S", P::ShortSleeveLeft, (70.0, 50.0), &["6x10"], false, By(SlipOver), "sleeve 165 ≥ 162.4"),
    (
        "tee",
        "Y-M",
        P::ShortSleeveLeft,
        (55.0, 40.0),
        &["6x10"],
        false,
        No("garment.platen-on-obstacle"),
        "sleeve 150 < 162.4",
    ),
    ("tee", "Y-M", P::ShortSleeveLeft, (55.0, 40.0), &["sleeve"], false, By(SlipOver), "150 ≥ 111.6"),
    ("tee", "XL", P::ShortSleeveLeft, (75.0, 60.0), &["11x15"], false, No("garment.platen-on-obstacle"), "220 < 289"),
    // Long sleeve of a tee M, 135 wide: art lies along the arm.
    (
        "long-tee",
        "M",
        P::LongSleeveLeft,
        (250.0, 50.0),
        &["sleeve"],
        false,
        By(SlipOver),
        "70 ≤ 102, 270 ≤ 406; 135 ≥ 112",
    ),
    ("long-tee", "M", P::LongSleeveLeft, (250.0, 50.0), &["6x10"], false, No("garment.no-platen"), "270 > 254"),
    (
        "long-tee",
        "M",
        P::LongSleeveLeft,
        (250.0, 50.0),
        &["11x15"],
        false,
        No("garment.platen-on-obstacle"),
        "135 < 289; flat on the seam behind",
    ),
    // Hoodie L: full front top 105 + 82.6 = 187.6; free between collar 111 and pocket 458 = 347.
    (
        "hoodie",
        "L",
        P::FullFront,
        (290.0, 220.0),
        &["11x15"],
        false,
        By(PlatenAlone),
        "across: 310 ≤ 381, 240 ≤ 279 ≤ 347; ±190 < 237",
    ),
    ("hoodie", "L", P::FullFront, (290.0, 220.0), &["16x20"], false, No("garment.platen-on-obstacle"), "406 > 347"),
    (
        "hoodie",
        "L",
        P::FullFront,
        (290.0, 220.0),
        &["16x20"],
        true,
        By(Pillow),
        "pillow 350 × 300: 300 × 230 within, 300 ≤ 347",
    ),
    ("hoodie", "L", P::FullFront, (290.0, 300.0), &["11x15"], false, No("garment.no-platen"), "310 and 320 > 279"),
    (
        "hoodie",
        "L",
        P::FullFront,
        (290.0, 300.0),
        &["15x15"],
        true,
        No("garment.art-on-obstacle"),
        "art ends at 487 past the pocket's edge at 465",
    ),
    (
        "hoodie",
        "L",
        P::OnPocket,
        (80.0, 60.0),
        &["round5"],
        false,
        By(PlatenAlone),
        "100 + 20 ≤ 127; ±63.5 inside 215 × 223",
    ),
    ("hoodie", "L", P::OnPocket, (80.0, 60.0), &["11x15"], false, No("garment.platen-on-obstacle"), "279 > 215 − 14"),
    (
        "hoodie",
        "L",
        P::OnPocket,
        (80.0, 60.0),
        &["11x15"],
        true,
        By(Pillow),
        "pillow 110 × 110 holds 90 × 70 inside the pocket",
    ),
    (
        "hoodie",
        "L",
        P::FullBack,
        (330.0, 380.0),
        &["16x20"],
        false,
        By(SlipOver),
        "top 190 + 25 = 215; flat, the pocket beneath begins at 458; 480 ≥ 416; 166 to 674 holds 508",
    ),
    (
        "hoodie",
        "L",
        P::HoodLeft,
        (90.0, 70.0),
        &["6x10"],
        false,
        By(PlatenAlone),
        "110 ≤ 152 ≤ hood 250 − 28 − 7, 254 ≤ 345 − 14",
    ),
    (
        "hoodie",
        "L",
        P::LongSleeveRight,
        (240.0, 60.0),
        &["sleeve"],
        false,
        By(SlipOver),
        "80 ≤ 102; sleeve 105 gathered × 1.4 = 147 ≥ 112",
    ),
    // Zipped hoodie L: left half, centre 101.6, top 203; zip tape to 16, armhole 237.
    (
        "zip-hoodie",
        "L",
        P::LeftChest,
        (120.0, 100.0),
        &["6x10"],
        false,
        By(PlatenAlone),
        "140 ≤ 152 from 19 to 172; 16 < 19, 172 < 237",
    ),
    (
        "zip-hoodie",
        "L",
        P::LeftChest,
        (120.0, 100.0),
        &["11x15"],
        false,
        No("garment.platen-on-obstacle"),
        "16 + 279 > 237",
    ),
    (
        "zip-hoodie",
        "L",
        P::LeftChest,
        (120.0, 100.0),
        &["11x15"],
        true,
        By(Pillow),
        "pillow 200 × 250 between 16 and 237, 111 and 458",
    ),
    // Polo and shirt L.
    (
        "polo",
        "L",
        P::LeftChest,
        (90.0, 60.0),
        &["6x10"],
        false,
        By(PlatenAlone),
        "110 ≤ 152 from 25 to 178; placket 17",
    ),
    ("polo", "L", P::LeftChest, (90.0, 60.0), &["11x15"], false, No("garment.platen-on-obstacle"), "17 + 279 > 228"),
    ("polo", "L", P::LeftChest, (90.0, 60.0), &["11x15"], true, By(Pillow), "pillow 200 × 250 from 17 to 217"),
    (
        "shirt",
        "L",
        P::LeftChest,
        (90.0, 60.0),
        &["6x10"],
        false,
        By(PlatenAlone),
        "top 105 + 12 + 85 = 202 − 10 > yoke 113 + 6 beneath",
    ),
    (
        "shirt",
        "L",
        P::UpperBack,
        (260.0, 80.0),
        &["15x15"],
        false,
        By(SlipOver),
        "placket beneath when flat; 280 ≤ 381; 560 ≥ 391; top 131.8 − 10 > 119",
    ),
    (
        "shirt",
        "L",
        P::UpperBack,
        (280.0, 80.0),
        &["11x15"],
        false,
        No("garment.platen-on-obstacle"),
        "300 > 279 and a tube does not slip over sideways",
    ),
    // Lined shells.
    (
        "coach",
        "L",
        P::LeftChest,
        (100.0, 80.0),
        &["6x10"],
        false,
        By(BetweenLayers),
        "lined, opening; 120 ≤ 152 from 25; placket 17",
    ),
    ("bomber", "L", P::LeftChest, (100.0, 80.0), &["6x10"], false, By(UnpickLining), "lined, sewn shut"),
    (
        "rain",
        "L",
        P::LeftChest,
        (100.0, 80.0),
        &["6x10"],
        false,
        By(UnpickLining),
        "mesh sewn in; flap to 46, art from 71, platen from 46 to 199",
    ),
    ("rain", "L", P::RightChest, (100.0, 80.0), &["6x10"], false, By(UnpickLining), "no flap on the right"),
    ("rain-unknown", "M", P::LeftChest, (100.0, 80.0), &["6x10"], true, No("garment.lining-ask"), "access unknown"),
    ("quilted", "M", P::LeftChest, (60.0, 50.0), &["6x10"], true, No("garment.quilted-through"), "quilted through"),
    ("softshell", "L", P::LeftChest, (100.0, 80.0), &["6x10"], false, By(PlatenAlone), "unlined; zip 16 < 25"),
    // Apron: top 88.9.
    (
        "apron",
        "one size",
        P::ApronBib,
        (200.0, 120.0),
        &["15x15"],
        false,
        No("garment.platen-on-obstacle"),
        "381 > 394 − 34",
    ),
    ("apron", "one size", P::ApronBib, (200.0, 120.0), &["11x15"], false, By(PlatenAlone), "across: 279 ≤ 360"),
    (
        "apron",
        "one size",
        P::ApronBib,
        (200.0, 120.0),
        &["6x10"],
        false,
        By(PlatenAlone),
        "across: 220 ≤ 254, 140 ≤ 152",
    ),
    (
        "apron",
        "one size",
        P::ApronBib,
        (200.0, 120.0),
        &["15x15"],
        true,
        By(Pillow),
        "pillow 250 × 200 holds 210 × 130",
    ),
    // Totes: top 88.9.
    (
        "tote",
        "one size",
        P::Tote,
        (200.0, 200.0),
        &["11x15"],
        false,
        No("garment.platen-on-obstacle"),
        "381 > 370 and > 360",
    ),
    (
        "tote",
        "one size",
        P::Tote,
        (200.0, 200.0),
        &["11x15"],
        true,
        No("garment.platen-on-obstacle"),
        "a pillow must hold 210 × 210: 200 × 250 is too narrow, 300 × 350 is wider than 279 either way",
    ),
    (
        "tote",
        "one size",
        P::Tote,
        (200.0, 200.0),
        &["16x20"],
        true,
        By(Pillow),
        "pillow 300 × 350 within 360 × 370 and on 406 × 508",
    ),
    ("tote", "one size", P::Tote, (120.0, 120.0), &["6x10"], false, By(PlatenAlone), "140 ≤ 152"),
    ("tote", "one size", P::Tote, (200.0, 200.0), &["6x10"], false, No("garment.no-platen"), "220 > 152"),
    ("tote", "large", P::Tote, (200.0, 200.0), &["11x15"], false, By(PlatenAlone), "480 × 520: 381 ≤ 470"),
    (
        "tote-gusset",
        "one size",
        P::Tote,
        (200.0, 200.0),
        &["11x15"],
        false,
        No("garment.platen-on-obstacle"),
        "folds at 140 − 4: 272 < 279",
    ),
    ("tote-gusset", "one size", P::Tote, (120.0, 120.0), &["6x10"], false, By(PlatenAlone), "152 ≤ 272"),
    // Caps on the cap platen, 152 × 89.
    (
        "cap",
        "one size",
        P::CapFront,
        (100.0, 50.0),
        &["cap"],
        false,
        By(PlatenAlone),
        "120 ≤ 152, 70 ≤ 89; 12.7 above the visor",
    ),
    ("cap", "one size", P::CapFront, (140.0, 50.0), &["cap"], false, No("garment.no-platen"), "160 > 152"),
    (
        "cap",
        "one size",
        P::CapFront,
        (100.0, 50.0),
        &["16x20"],
        false,
        No("garment.no-platen"),
        "a flat platen does not take a cap",
    ),
    (
        "cap-seam",
        "one size",
        P::CapFront,
        (100.0, 50.0),
        &["cap"],
        false,
        No("garment.art-on-obstacle"),
        "the centre seam lies under the art",
    ),
    // Small pieces.
    (
        "face-cover",
        "one size",
        P::FaceCoverLeft,
        (40.0, 40.0),
        &["round5"],
        false,
        By(PlatenAlone),
        "56.6 + 20 ≤ 127; art from 60 > 45.6",
    ),
    (
        "face-cover",
        "one size",
        P::FaceCoverLeft,
        (72.0, 40.0),
        &["6x10"],
        true,
        No("garment.art-on-obstacle"),
        "art from 44.4 < 45.6, the breathing zone",
    ),
    ("bib", "one size", P::InfantBib, (80.0, 60.0), &["round5"], false, By(PlatenAlone), "100 + 20 ≤ 127; ±63.5 < 108"),
    (
        "bib",
        "one size",
        P::InfantBib,
        (100.0, 80.0),
        &["6x10"],
        false,
        No("garment.platen-on-obstacle"),
        "254 > 323 − 106 and ±127 > 108",
    ),
    ("bib", "one size", P::InfantBib, (100.0, 80.0), &["6x10"], true, By(Pillow), "pillow 110 × 110 holds 110 × 90"),
    ("sock", "39-42", P::Sock, (50.0, 60.0), &["sock"], false, By(SlipOver), "70 ≤ 90; ends above the heel at 171"),
    // Legs and vests.
    (
        "leggings",
        "S",
        P::LegLeft,
        (60.0, 150.0),
        &["sleeve"],
        false,
        By(PlatenAlone),
        "80 ≤ 102; ±51 within the leg; waistband 40 + 406 = 446",
    ),
    ("leggings", "S", P::LegLeft, (60.0, 150.0), &["11x15"], false, No("garment.platen-on-obstacle"), "±140 > 120"),
    (
        "vest",
        "L",
        P::UpperBack,
        (230.0, 60.0),
        &["11x15"],
        false,
        By(SlipOver),
        "top 112 − 10 < 111 beneath; ±140 < 171",
    ),
    (
        "vest",
        "L",
        P::FullFront,
        (290.0, 200.0),
        &["15x15"],
        false,
        No("garment.platen-on-obstacle"),
        "±190 > 171 beside the armhole",
    ),
];

#[test]
fn the_table() {
    let mut wrong = Vec::new();
    for (garment, size, position, art, platens, pillows, expected, working) in CASES {
        let shop = shop_with(platens, *pillows);
        let found = match reached(&shop, garment, size, *position, *art) {
            Ok(reach) => By(reach.isolation),
            Err(unreachable) => No(unreachable.finding.code.0),
        };
        if found != *expected {
            wrong.push(format!(
                "{garment} {size} {position:?} {art:?} on {platens:?}: {found:?}, by hand {expected:?} ({working})"
            ));
        }
    }
    assert!(CASES.len() >= 60, "{}", CASES.len());
    assert!(wrong.is_empty(), "{} of {} differ:\n{}", wrong.len(), CASES.len(), wrong.join("\n"));
}
