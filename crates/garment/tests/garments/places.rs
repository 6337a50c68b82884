//! Places, measures, mirroring, scaling, order, templates.

use crate::bench::{cloth, mm, put, shop, size, style};
use garment::{
    Change, Isolation, Landmark, Panel, Position, Pressing, Sizing, Under, codes, flat, order_on_garment,
    paper_template, place, pocket_art, reach, size_plan, usual_size,
};
use geometry::{Outline, Point};
use report::{Severity, Value};
use trade::{Band, GarmentClass, Kind, Peel};
use units::{Duration, Temperature};

/// Numbers that look random and are the same every time.
struct Numbers(u64);

impl Numbers {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((self.0 >> 33) as f64 / f64::from(1_u32 << 31))
    }
}

/// Common practice, no source: left chest 3.5 in from the centre and 7 in below the
/// shoulder point on adult S–M; full front 2.75 in below the collar seam; 1 in = 25.4 mm.
#[test]
fn distances_by_hand() {
    let shop = shop();
    let tee = style(&shop, "tee");
    let m = size(tee, "M");
    let chest = put(tee, m, Position::LeftChest, 80.0, 60.0);
    assert!((chest.bounds.centre().x - 88.9).abs() < 1e-9 && (chest.bounds.max.y + 177.8).abs() < 1e-9);
    let full = put(tee, m, Position::FullFront, 250.0, 300.0);
    // Neck depth 95: 95 + 69.85 = 164.85.
    assert!(full.bounds.centre().x.abs() < 1e-9 && (full.bounds.max.y + 164.85).abs() < 1e-9);
    let tape: Vec<f64> = full.measures.iter().map(|t| t.length.mm()).collect();
    assert!((tape[0]).abs() < 1e-9 && (tape[1] - 69.85).abs() < 1e-9);
    let tote = style(&shop, "tote");
    let bag = put(tote, &tote.sizes[0], Position::FullFront, 200.0, 200.0);
    assert_eq!(bag.position, Position::Tote);
    assert!((bag.bounds.max.y + 88.9).abs() < 1e-9, "3.5 in below the top edge");
}

/// Left is the wearer's: on the front it lies at the viewer's right, and the right-hand
/// position is the mirror image, on every garment and size that has both.
#[test]
fn right_is_left_mirrored() {
    let shop = shop();
    let mut numbers = Numbers(7);
    let mut seen = 0;
    for (_, garment) in shop.garments() {
        for size in &garment.sizes {
            for position in Position::ALL {
                let other = position.other_side();
                if position >= other || position.on(garment) != position || garment.has(trade::Feature::StormFlap) {
                    continue;
                }
                let art = (mm(numbers.between(10.0, 60.0)), mm(numbers.between(10.0, 40.0)));
                let (a, b) =
                    (place(garment, size, position, art, None).value, place(garment, size, other, art, None).value);
                assert_eq!(a.is_some(), b.is_some(), "{} {position:?}", garment.id);
                let (Some(a), Some(b)) = (a, b) else { continue };
                assert!((a.bounds.min.x + b.bounds.max.x).abs() < 1e-6, "{} {position:?}", garment.id);
                assert!((a.bounds.min.y - b.bounds.min.y).abs() < 1e-9);
                if a.panel == Panel::Front {
                    assert!(a.bounds.centre().x > 0.0, "{position:?}: the wearer's left is at the viewer's right");
                }
                let cloth = cloth(&shop, garment);
                let (ra, rb) =
                    (reach(&shop, garment, size, cloth, &a, &[]), reach(&shop, garment, size, cloth, &b, &[]));
                // A chest pocket or a shirt's buttons lie on one side only.
                if !garment.has(trade::Feature::ChestPocket) && !garment.has(trade::Feature::FrontButtons) {
                    assert_eq!(ra.is_ok(), rb.is_ok(), "{} {} {position:?}", garment.id, size.name);
                    if let (Ok(ra), Ok(rb)) = (ra, rb) {
                        assert_eq!((ra.isolation, ra.load, ra.platen), (rb.isolation, rb.load, rb.platen));
                    }
                }
                seen += 1;
            }
        }
    }
    assert!(seen > 60, "{seen}");
}

/// Every reach that is granted holds its own rules, checked afresh on the drawn shapes.
#[test]
fn what_is_granted_holds() {
    let shop = shop();
    let mut numbers = Numbers(99);
    let (mut granted, mut refused) = (0, 0);
    for (_, garment) in shop.garments() {
        for size in &garment.sizes {
            for position in Position::ALL {
                if position.on(garment) != position {
                    continue;
                }
                let Some(usual) = usual_size(position, size.band, garment.class) else { continue };
                let w = numbers.between(0.6, 1.0) * usual.widest.mm();
                let h = numbers.between(0.4, 1.0) * usual.max_height.mm().min(w * 1.3);
                let art = if position.runs_along() { (mm(h.max(w)), mm(w)) } else { (mm(w), mm(h)) };
                let Some(placed) = place(garment, size, position, art, None).value else { continue };
                let cloth = cloth(&shop, garment);
                let limit = if cloth.is_knit() { 1.0 } else { 0.5 };
                match reach(&shop, garment, size, cloth, &placed, &[]) {
                    Ok(reach) => {
                        granted += 1;
                        let what = format!("{} {} {position:?}", garment.id, size.name);
                        let on = if reach.place.round { 0.0 } else { 10.0 };
                        assert!(reach.place.holds(&placed.bounds.grown(on)), "{what}: art + 10 mm on the platen");
                        let drawn = flat(garment, size).expect("drawn");
                        let shape = drawn.panel(placed.panel).expect("panel");
                        let stays = |o: &&garment::Obstacle| !o.movable && reach.isolation != Isolation::OpenFront;
                        for obstacle in shape.obstacles.iter().filter(stays) {
                            let counts = !obstacle.kind.under_art_only()
                                && (obstacle.step_mm > limit || obstacle.kind.never_pressed());
                            if counts && reach.pillow_place.is_none() {
                                // The true shape, not the rectangles the search used.
                                let platen = reach.place.bounds.grown(-0.5);
                                assert!(!meets(obstacle, &platen, reach.place.round), "{what}: {:?}", obstacle.kind);
                            }
                            if counts && let Some(pillow) = reach.pillow_place {
                                assert!(
                                    !meets(obstacle, &pillow.grown(-0.5), false),
                                    "{what}: pillow on {:?}",
                                    obstacle.kind
                                );
                            }
                        }
                        assert!(!reach.presses.is_empty() && !reach.why.is_empty(), "{what}");
                    }
                    Err(unreachable) => {
                        refused += 1;
                        if let Some(nearest) = unreachable.nearest {
                            let cloth = crate::bench::cloth(&shop, garment);
                            assert!(reach(&shop, garment, size, cloth, &nearest.placed, &[]).is_ok());
                            match nearest.change {
                                Change::Smaller { scale, .. } => assert!(scale < 1.0),
                                Change::Moved { right, up } => assert!(right.mm() != 0.0 || up.mm() != 0.0),
                                Change::Elsewhere => assert_ne!(nearest.placed.position, placed.position),
                            }
                        }
                    }
                }
            }
        }
    }
    assert!(granted > 300 && refused > 20, "{granted} granted, {refused} refused");
}

/// Whether an obstacle's drawn shape reaches into an upright rectangle (or the disc inside it).
fn meets(obstacle: &garment::Obstacle, area: &geometry::Bounds, round: bool) -> bool {
    let (c, r) = (area.centre(), area.width() / 2.0);
    let ring = if round {
        (0..64)
            .map(|k| {
                let (sin, cos) = (f64::from(k) / 64.0 * std::f64::consts::TAU).sin_cos();
                Point::new(c.x + r * cos, c.y + r * sin)
            })
            .collect()
    } else {
        vec![area.min, Point::new(area.max.x, area.min.y), area.max, Point::new(area.min.x, area.max.y)]
    };
    let area = geometry::Region { outlines: vec![Outline::new(ring, vec![]).expect("an area")] };
    geometry::intersect(&obstacle.shape, &area).area() > 0.01
}

/// Larger garments never hold less: a print reached by the platen alone on a size is
/// on the panel of the next.
#[test]
fn panels_grow_with_sizes() {
    let shop = shop();
    for (_, garment) in shop.garments().filter(|(_, g)| g.id == "tee" || g.id == "hoodie") {
        let areas: Vec<f64> = garment
            .sizes
            .iter()
            .map(|size| flat(garment, size).expect("drawn").panel(Panel::Front).expect("front").outline.area())
            .collect();
        assert!(areas.windows(2).all(|pair| pair[0] < pair[1]), "{} {areas:?}", garment.id);
    }
}

/// Scaling every measure scales the outline: area by the square, places of landmarks in proportion.
#[test]
fn outlines_scale_with_their_measures() {
    let shop = shop();
    for (id, name) in [("tee", "M"), ("vest", "L"), ("tote", "one size"), ("apron", "one size")] {
        let garment = style(&shop, id);
        let one = size(garment, name);
        let mut two = one.clone();
        two.measures.values_mut().for_each(|length| *length = *length * 2.0);
        let area = |size| flat(garment, size).expect("drawn").panels[0].outline.area();
        let ratio = area(&two) / area(one);
        assert!((ratio - 4.0).abs() < 1e-6, "{id}: {ratio}");
    }
}

/// Every outline is simple, holds its own landmarks' frame and has area.
#[test]
fn outlines_are_simple() {
    let shop = shop();
    for (_, garment) in shop.garments() {
        for size in &garment.sizes {
            let Ok(flat) = flat(garment, size) else { continue };
            for shape in &flat.panels {
                assert_eq!(
                    geometry::outline_fault(&shape.outline),
                    None,
                    "{} {} {:?}",
                    garment.id,
                    size.name,
                    shape.panel
                );
            }
        }
    }
}

#[test]
fn missing_measures_are_asked_for() {
    let shop = shop();
    let garment = style(&shop, "no-measures");
    let finding = flat(garment, size(garment, "M")).expect_err("no chest");
    assert_eq!((finding.severity, finding.code), (Severity::Ask, codes::MEASURE_MISSING));
    let has = |code| finding.quantities.iter().any(|q| q.value == Value::Term(code));
    assert!(has(codes::MEASURE_CHEST_WIDTH) && has(codes::TAKE_CHEST_WIDTH));
    // The sleeve is not known; the front is, with proportions said aloud.
    let large = size(garment, "L");
    let sleeve = place(garment, large, Position::ShortSleeveLeft, (mm(60.0), mm(40.0)), None);
    assert!(sleeve.value.is_none());
    assert!(sleeve.findings.iter().any(|f| f.code == codes::MEASURE_MISSING));
    let front = place(garment, large, Position::FullFront, (mm(280.0), mm(300.0)), None);
    assert!(front.value.is_some());
    assert!(front.findings.iter().any(|f| f.code == codes::MEASURE_ASSUMED));
    let odd = flat(garment, size(garment, "odd")).expect_err("neck wider than shoulders");
    assert_eq!(odd.code, codes::MEASURES_CLASH);
}

#[test]
fn what_does_not_fit_is_refused_with_a_size_that_does() {
    let shop = shop();
    let tee = style(&shop, "tee");
    let outcome = place(tee, size(tee, "12m"), Position::FullFront, (mm(400.0), mm(400.0)), None);
    assert!(outcome.value.is_none());
    let finding = &outcome.findings[0];
    assert_eq!(finding.code, codes::OFF_PANEL);
    let limit = finding.quantities.iter().find(|q| q.name == "limit-width").map(|q| &q.value);
    assert!(matches!(limit, Some(Value::Length(l)) if l.mm() > 50.0 && l.mm() < 255.0));
    let hood = place(tee, size(tee, "M"), Position::HoodLeft, (mm(50.0), mm(50.0)), None);
    assert_eq!(hood.findings[0].code, codes::POSITION_NOT_OFFERED);
}

/// Common practice, no source: widths in inches by band, as tabled by the trade.
#[test]
fn usual_sizes_as_tabled() {
    for (position, band, low, high, tall) in [
        (Position::LeftChest, Band::Infant, 1.5, 2.0, 2.0),
        (Position::LeftChest, Band::AdultPlus, 4.0, 4.5, 4.0),
        (Position::FullFront, Band::Youth, 7.0, 9.5, 11.0),
        (Position::FullFront, Band::AdultSmall, 10.0, 11.0, 14.0),
        (Position::FullBack, Band::AdultPlus, 13.0, 15.0, 18.0),
        (Position::OversizeFront, Band::AdultLarge, 13.0, 15.0, 19.0),
        (Position::CapFront, Band::OneSize, 4.0, 4.75, 2.25),
        (Position::Tote, Band::OneSize, 8.0, 10.0, 10.0),
        (Position::ApronBib, Band::OneSize, 7.0, 10.0, 6.0),
    ] {
        let range = usual_size(position, band, GarmentClass::Tee).expect("offered");
        let near = |l: units::Length, inches: f64| (l.inches() - inches).abs() < 1e-9;
        assert!(
            near(range.lowest, low) && near(range.widest, high) && near(range.max_height, tall),
            "{position:?} {band:?}"
        );
    }
    assert!(usual_size(Position::OversizeFront, Band::Infant, GarmentClass::Tee).is_none());
    assert!(usual_size(Position::LeftChest, Band::AdultSmall, GarmentClass::Sock).is_none());
}

/// Art for all sizes is one transfer; by band it is several; pieces are kept, proportion too.
#[test]
fn sizing_trades_transfers_for_fit() {
    let shop = shop();
    let tee = style(&shop, "tee");
    let sizes: Vec<_> = ["Y-M", "S", "M", "L", "3XL"].iter().map(|name| (size(tee, name), 4)).collect();
    let groups = |sizing| size_plan(tee, &sizes, Position::FullFront, 1.25, sizing);
    let (one, adults, bands) = (groups(Sizing::OneForAll), groups(Sizing::OneForAdults), groups(Sizing::EachBand));
    assert_eq!((one.groups.len(), adults.groups.len(), bands.groups.len()), (1, 2, 4));
    for plan in [&one, &adults, &bands] {
        assert_eq!(plan.groups.iter().map(|g| g.pieces).sum::<u32>(), 20);
        assert!(plan.groups.iter().all(|g| (g.width.mm() / g.height.mm() - 1.25).abs() < 1e-9));
        assert!(plan.groups.windows(2).all(|pair| pair[0].width.mm() < pair[1].width.mm()));
    }
    assert!((one.groups[0].width.mm() - bands.groups[0].width.mm()).abs() < 1e-9);
}

/// Earlier prints: a back print lies under the front when laid flat, so one layer is pressed.
#[test]
fn earlier_prints_are_kept_off_or_told() {
    let shop = shop();
    let tee = style(&shop, "tee");
    let xl = size(tee, "XL");
    let back = put(tee, xl, Position::FullBack, 330.0, 380.0);
    let front = put(tee, xl, Position::FullFront, 280.0, 300.0);
    let cloth = cloth(&shop, tee);
    let alone = reach(&shop, tee, xl, cloth, &front, &[]).expect("reached");
    assert_eq!(alone.isolation, Isolation::PlatenAlone);
    assert!(alone.under.iter().all(|u| !matches!(u.what, Under::EarlierPrint(_))));
    let after = reach(&shop, tee, xl, cloth, &front, std::slice::from_ref(&back)).expect("reached");
    assert!(after.under.iter().any(|u| u.what == Under::EarlierPrint(0)) || after.single_layer);
    let chest = put(tee, xl, Position::LeftChest, 90.0, 70.0);
    let nape = put(tee, xl, Position::Nape, 70.0, 40.0);
    let clear = reach(&shop, tee, xl, cloth, &nape, std::slice::from_ref(&chest)).expect("reached");
    assert!(
        clear.under.iter().all(|u| !matches!(u.what, Under::EarlierPrint(_))),
        "slipped over, the front hangs below"
    );
}

/// Common practice, no source: sublimation first, then falling temperature, flock and puff last.
#[test]
fn order_of_pressing() {
    let c = |value| Temperature::from_c(value).expect("finite");
    let print = |name: &str, kind, temperature, bears, panel| Pressing {
        name: name.to_owned(),
        kind,
        temperature: c(temperature),
        bears: c(bears),
        peel: Some(Peel::Cold),
        panel,
        over: vec![0, 1, 2, 3],
    };
    let prints = [
        print("puff", Kind::Puff, 160.0, 160.0, Panel::Front),
        print("cool", Kind::LowTemperatureFilm, 130.0, 140.0, Panel::Back),
        print("dye", Kind::Sublimation, 200.0, 200.0, Panel::Front),
        print("film", Kind::CutFilm, 155.0, 160.0, Panel::Front),
    ];
    let order = order_on_garment(&prints, Duration::from_s(6.0).expect("finite"));
    assert_eq!(order.order, [2, 3, 1, 0]);
    assert_eq!(order.reloads, 2);
    assert!((order.reload_time.s() - 12.0).abs() < 1e-9);
    // The cool film bears 140 and the puff is pressed at 160 over it.
    let hot: Vec<_> = order.findings.iter().filter(|f| f.code == codes::ORDER_TOO_HOT).collect();
    assert_eq!(hot.len(), 1);
    assert_eq!(order.peeled_together, vec![vec![2, 3, 1, 0]]);
}

/// The template holds the art's window and its landmarks; pages tile it. A4 = 210 × 297 mm (ISO 216).
#[test]
fn a_template_holds_what_it_must() {
    let shop = shop();
    let tee = style(&shop, "tee");
    let placed = put(tee, size(tee, "M"), Position::LeftChest, 80.0, 60.0);
    let template = paper_template(tee, size(tee, "M"), &placed, (mm(210.0), mm(297.0))).expect("a template");
    assert!(template.sheet.contains(&template.window));
    assert!(template.lines.iter().any(|line| line.on == codes::AT_CENTRE_LINE));
    assert!(template.lines.iter().any(|line| line.on == codes::AT_HPS));
    assert!(!template.pages.is_empty());
    let narrow = paper_template(tee, size(tee, "M"), &placed, (mm(40.0), mm(297.0))).expect("a template");
    assert!(narrow.pages.is_empty());
}

/// A 110 × 130 patch pocket less half an inch all round: 110 − 25.4 = 84.6 wide.
#[test]
fn art_may_fill_a_pocket() {
    let shop = shop();
    let tee = style(&shop, "pocket-tee");
    let field = pocket_art(tee, size(tee, "M"), mm(12.7)).expect("a field");
    let bounds = field.bounds().expect("not empty");
    assert!((bounds.width() - 84.6).abs() < 0.1, "{}", bounds.width());
    assert!(pocket_art(style(&shop, "tee"), size(style(&shop, "tee"), "M"), mm(12.7)).is_err());
}

/// Pieces side by side: a face cover 240 × 140 on a platen 508 × 406 lies (508 + 10) / 250 = 2 by
/// (406 + 10) / 150 = 2 times, arithmetic.
#[test]
fn small_pieces_share_a_closing() {
    let shop = crate::bench::shop_with(&["16x20"], false);
    let cover = style(&shop, "face-cover");
    let placed = put(cover, &cover.sizes[0], Position::FaceCoverLeft, 40.0, 40.0);
    let reach = reach(&shop, cover, &cover.sizes[0], cloth(&shop, cover), &placed, &[]).expect("reached");
    assert_eq!(reach.per_closing, 4);
}

#[test]
fn the_cord_is_pulled_out_of_the_heat() {
    let shop = shop();
    let hoodie = style(&shop, "hoodie");
    let placed = put(hoodie, size(hoodie, "L"), Position::FullFront, 260.0, 180.0);
    let reach = reach(&shop, hoodie, size(hoodie, "L"), cloth(&shop, hoodie), &placed, &[]).expect("reached");
    assert!(reach.pulled_clear.contains(&garment::ObstacleKind::Cord));
    let drawn = flat(hoodie, size(hoodie, "L")).expect("drawn");
    assert!(drawn.panel(Panel::Back).and_then(|p| p.landmark(Landmark::HoodFall)).is_some());
}
