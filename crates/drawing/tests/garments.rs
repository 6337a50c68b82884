//! Every garment of the test shop drawn in every size: the pictures are whole and
//! show the spot. They are written to the target folder to be looked at.

use drawing::{ArtImage, GarmentPicture, Labelled, PrintOn, TemplateWords, garment_picture, template_pages};
use garment::{Placed, Position, flat, paper_template, place, reach, usual_size};
use geometry::{Point, Region};
use trade::form::{ShopFile, read};
use trade::{GarmentSize, GarmentStyle, Shop};
use units::Length;

fn shop() -> Shop {
    let files = [
        ShopFile { name: "shop.toml", text: include_str!("../../garment/tests/shop/shop.toml") },
        ShopFile { name: "presses.toml", text: include_str!("../../garment/tests/shop/presses.toml") },
        ShopFile { name: "cloths.toml", text: include_str!("../../garment/tests/shop/cloths.toml") },
        ShopFile { name: "garments.toml", text: include_str!("../../garment/tests/shop/garments.toml") },
        ShopFile { name: "transfers.toml", text: include_str!("../../garment/tests/shop/transfers.toml") },
        ShopFile { name: "suppliers.toml", text: include_str!("../../garment/tests/shop/suppliers.toml") },
        ShopFile { name: "stock.toml", text: include_str!("../../garment/tests/shop/stock.toml") },
    ];
    read(&files).expect("a shop").value
}

fn mm(value: f64) -> Length {
    Length::from_mm(value).expect("finite")
}

/// A kite in a `w` × `h` box.
fn kite(w: f64, h: f64) -> Vec<(Region, [u8; 3])> {
    let part = |points: &[(f64, f64)], rgb| {
        let ring = points.iter().map(|(x, y)| Point::new(x * w, y * h)).collect();
        (Region { outlines: vec![geometry::Outline::new(ring, vec![]).expect("an outline")] }, rgb)
    };
    vec![
        part(&[(0.5, 1.0), (0.0, 0.6), (0.5, 0.0)], [196, 37, 43]),
        part(&[(0.5, 1.0), (0.5, 0.0), (1.0, 0.6)], [242, 183, 5]),
    ]
}

/// The position in which a garment is shown, with art of its usual size.
fn usual(style: &GarmentStyle, size: &GarmentSize, position: Position) -> Option<(Placed, f64, f64)> {
    let position = position.on(style);
    let range = position.is_on(style, size).then(|| usual_size(position, size.band, style.class))??;
    let (w, h) = if position.runs_along() {
        (range.max_height.mm() * 0.7, range.widest.mm() * 0.8)
    } else {
        let w = range.widest.mm().min(range.max_height.mm());
        (w, w)
    };
    Some((place(style, size, position, (mm(w), mm(h)), None).value?, w, h))
}

fn picture(shop: &Shop, style: &GarmentStyle, size: &GarmentSize, position: Position, bare: bool) -> Option<String> {
    let (placed, w, h) = usual(style, size, position)?;
    let flat = flat(style, size).ok()?;
    let shape = flat.panel(placed.panel)?;
    let art = kite(w, h);
    let reached = reach(shop, style, size, shop.cloth(style.colours[0].cloth), &placed, &[]).ok();
    let labels: Vec<String> = placed.measures.iter().map(|m| format!("{:.0} mm", m.length.mm())).collect();
    let measures: Vec<Labelled<'_>> =
        placed.measures.iter().zip(&labels).map(|(measure, label)| Labelled { measure, label }).collect();
    let print = PrintOn { placed: &placed, image: ArtImage::Shapes(&art), name: "kite" };
    Some(garment_picture(&GarmentPicture {
        title: &style.name,
        description: &size.name,
        shape,
        cloth: if bare { None } else { Some(style.colours[0].rgb) },
        prints: &[print],
        platen: reached.as_ref().map(|r| &r.place),
        pillow: reached.as_ref().and_then(|r| r.pillow_place.as_ref()),
        measures: &measures,
        wearers_left: "wearer's left",
        obstacles: bare,
    }))
}

#[test]
fn every_garment_in_every_size() {
    let shop = shop();
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("garments");
    std::fs::create_dir_all(&folder).expect("a folder");
    let mut drawn = 0;
    for (_, style) in shop.garments() {
        for size in &style.sizes {
            for (at, position) in Position::ALL.into_iter().enumerate() {
                let bare = at % 2 == 0;
                let Some(svg) = picture(&shop, style, size, position, bare) else { continue };
                assert!(svg.starts_with("<svg") && svg.ends_with("</svg>\n"));
                assert_eq!(svg.matches("<g ").count(), svg.matches("</g>").count(), "{}", style.id);
                for layer in ["garment", "art", "measures"] {
                    assert!(svg.contains(&format!("<g class=\"{layer}\"")), "{layer} of {}", style.id);
                }
                assert!(!svg.contains("NaN") && !svg.contains("inf"), "{}", style.id);
                let name = format!("{}_{}_{position:?}.svg", style.id, size.name.replace(' ', "-"));
                std::fs::write(folder.join(name), svg).expect("written");
                drawn += 1;
            }
        }
    }
    assert!(drawn > 300, "{drawn} drawn");
}

/// True scale: one picture unit is one millimetre, so a kite 60 mm wide spans 60 units.
#[test]
fn art_is_drawn_at_true_scale() {
    let shop = shop();
    let id = shop.find_garment("tee").expect("a tee");
    let style = shop.garment(id);
    let size = style.size("M").expect("M");
    let placed = place(style, size, Position::LeftChest, (mm(60.0), mm(60.0)), None).value.expect("placed");
    let flat = flat(style, size).expect("drawn");
    let square = vec![(
        geometry::Outline::rectangle(60.0, 60.0).map(|o| Region { outlines: vec![o] }).expect("a square"),
        [1, 2, 3],
    )];
    let print = PrintOn { placed: &placed, image: ArtImage::Shapes(&square), name: "square" };
    let svg = garment_picture(&GarmentPicture {
        title: "t",
        description: "d",
        shape: flat.panel(placed.panel).expect("front"),
        cloth: None,
        prints: &[print],
        platen: None,
        pillow: None,
        measures: &[],
        wearers_left: "left",
        obstacles: false,
    });
    let line = svg.lines().find(|line| line.contains("#010203")).expect("the square");
    let numbers: Vec<f64> = line
        .split("d=\"")
        .nth(1)
        .and_then(|rest| rest.split('"').next())
        .expect("path")
        .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .filter_map(|n| n.parse().ok())
        .collect();
    let xs: Vec<f64> = numbers.iter().step_by(2).copied().collect();
    let wide = xs.iter().fold(f64::MIN, |a, b| a.max(*b)) - xs.iter().fold(f64::MAX, |a, b| a.min(*b));
    assert!((wide - 60.0).abs() < 0.01, "{wide}");
}

/// The template says its size in millimetres and tiles the whole sheet.
#[test]
fn templates_come_out_at_true_size() {
    let shop = shop();
    let style = shop.garment(shop.find_garment("tee").expect("a tee"));
    let size = style.size("XL").expect("XL");
    let placed = place(style, size, Position::FullFront, (mm(280.0), mm(300.0)), None).value.expect("placed");
    let template = paper_template(style, size, &placed, (mm(210.0), mm(297.0))).expect("a template");
    let words = vec!["line".to_owned(); template.lines.len()];
    let texts = TemplateWords { title: "Template", window: "art", lines: &words, scale: "100 mm" };
    let pages = template_pages(&template, &texts);
    assert_eq!(pages.len(), template.pages.len());
    // A4 less 8 mm all round: 194 × 281 mm.
    assert!(pages.iter().all(|page| page.contains("width=\"194mm\" height=\"281mm\"")));
    let covered: f64 = template.pages.iter().map(|p| p.width() * p.height()).sum();
    assert!(covered >= template.sheet.width() * template.sheet.height());
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("garments");
    std::fs::create_dir_all(&folder).expect("a folder");
    std::fs::write(folder.join("template.svg"), &pages[0]).expect("written");
}
