use super::*;
use trade::form::ShopFile;

/// The demo's shelf with a tee in adult sizes beside it.
fn shop() -> Shop {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/shop");
    let mut files: Vec<(String, String)> = trade::form::FILE_NAMES
        .iter()
        .map(|name| ((*name).to_owned(), std::fs::read_to_string(folder.join(name)).expect(name)))
        .collect();
    let tee = "\n[[garment]]\nid = \"tee-plain\"\nname = \"Plain tee\"\nclass = \"tee\"\nage = \"adult\"\n\
        supplier = \"lockgate\"\ninvented = true\n\
        [[garment.colour]]\nname = \"black\"\nrgb = \"#202020\"\ncloth = \"canvas-240\"\ndye = \"dark\"\n\
        [[garment.colour]]\nname = \"night black\"\nrgb = \"#101018\"\ncloth = \"canvas-240\"\ndye = \"dark\"\n";
    let sizes = ["S", "M", "L", "XL", "2XL"].map(|size| {
        let band = if size.contains('X') { "adult-large" } else { "adult-small" };
        format!(
            "[[garment.size]]\nname = \"{size}\"\nband = \"{band}\"\nprice = \"3.00\"\nmeasures = {{ chest-width = \
             \"520 mm\", body-length = \"720 mm\" }}\n"
        )
    });
    for (name, text) in &mut files {
        if name == "garments.toml" {
            text.push_str(tee);
            text.push_str(&sizes.concat());
        }
    }
    let files: Vec<ShopFile<'_>> = files.iter().map(|(name, text)| ShopFile { name, text }).collect();
    trade::form::read(&files).unwrap_or_else(|faults| panic!("{faults:?}")).value
}

fn counts(line: &Line) -> Vec<(&str, u32)> {
    line.sizes.iter().map(|size| (size.size.as_str(), size.count)).collect()
}

/// Ways in which people write the same; common practice, no source.
#[test]
fn a_line_as_people_type_it() {
    let shop = shop();
    let arts = ["art/kite.svg".to_owned()];
    let four = vec![("S", 4), ("M", 8), ("L", 8), ("XL", 4)];
    for (text, garment, colour, sizes, place) in [
        ("black tee S4 M8 L8 XL4, left chest", "tee-plain", "black", four.clone(), "left chest"),
        ("Black tees: S 4, M 8, L 8, XL 4, left chest", "tee-plain", "black", four.clone(), "left chest"),
        ("tee black 4 S 8 M 8 L 4 XL; LC", "tee-plain", "black", four.clone(), "left chest"),
        ("4xS 8xM 8xL 4xXL black t-shirts, left chest", "tee-plain", "black", four.clone(), "left chest"),
        ("night black tee s:4 m:8 l=8 xl=4, left-chest", "tee-plain", "night black", four.clone(), "left chest"),
        ("black tee XXL3 Mx2, back", "tee-plain", "black", vec![("M", 2), ("2XL", 3)], "full back"),
        ("slate sweatshirt M5, left chest", "sweat-pouch", "slate", vec![("M", 5)], "left chest"),
        ("20 natural canvas totes", "tote-canvas", "natural", vec![("one size", 20)], "tote"),
        ("heavy apron blue 6", "apron-heavy", "river blue", vec![("one size", 6)], "apron bib"),
        ("white youth tee Y-S 3 Y-M 4", "tee-youth", "white", vec![("Y-S", 3), ("Y-M", 4)], "full front"),
        ("own jacket deep teal L1, left chest 90 mm", "jacket-lined", "deep teal", vec![("L", 1)], "left chest"),
    ] {
        let read = lines_of_text(text, &shop, &arts).unwrap_or_else(|faults| panic!("{text}: {faults:#?}")).value;
        let [line] = &read[..] else { panic!("{text}: {read:?}") };
        assert_eq!((line.garment.as_str(), line.colour.as_str(), counts(line)), (garment, colour, sizes), "{text}");
        assert_eq!(line.prints.len(), 1, "{text}");
        assert_eq!(line.prints[0].position, place, "{text}");
        assert_eq!(line.prints[0].art, "art/kite.svg", "{text}");
        assert_eq!(line.brought, text.starts_with("own"), "{text}");
    }
}

#[test]
fn prints_take_width_and_art_in_any_order() {
    let shop = shop();
    let arts = ["art/kite.svg".to_owned(), "art/river.svg".to_owned()];
    let text = "black tee M8, kite 9,5 cm left chest, full back river.svg 11 in wide";
    let read = lines_of_text(text, &shop, &arts).expect("reads");
    let prints = &read.value[0].prints;
    let width = |at: usize| match prints[at].size {
        SizeWish::Width(width) => (width.mm() * 10.0).round() / 10.0,
        other => panic!("{other:?}"),
    };
    assert_eq!((prints[0].art.as_str(), prints[0].position.as_str(), width(0)), ("art/kite.svg", "left chest", 95.0));
    // 11 in = 279.4 mm (international inch, 1959).
    assert_eq!((prints[1].art.as_str(), prints[1].position.as_str(), width(1)), ("art/river.svg", "full back", 279.4));
    assert_eq!(read.findings, []);
}

/// What was not said is taken as usual, and each such choice is told.
#[test]
fn what_is_assumed_is_told() {
    let shop = shop();
    let read = lines_of_text("tee 20", &shop, &[]).expect("reads");
    let told: Vec<_> = read.findings.iter().map(|finding| finding.code).collect();
    for code in
        [codes::TYPED_COLOUR, codes::TYPED_SIZE, codes::TYPED_PLACE, codes::TYPED_WIDTH, codes::TYPED_ART_TO_COME]
    {
        assert!(told.contains(&code), "{code:?} in {told:?}");
    }
    assert_eq!(counts(&read.value[0]), [("L", 20)]);
    assert_eq!(read.value[0].prints[0].art, ART_TO_COME);
    assert!(read.findings.iter().all(|finding| finding.severity == Severity::Note && finding.subject.line == Some(0)));
}

#[test]
fn faults_name_the_row_and_lose_nothing_else() {
    let shop = shop();
    for (text, code) in [
        ("", codes::TYPED_NOTHING),
        ("black umbrella 4", codes::TYPED_NO_GARMENT),
        ("black tee, left chest", codes::TYPED_NO_SIZES),
        ("crimson tee M4", codes::TYPED_WORD),
        ("black tee M4, sleeve", garment::codes::POSITION_WHICH_SIDE),
        ("black tee M4, somewhere nice", garment::codes::POSITION_UNKNOWN),
        ("black tee M99999999999", codes::TYPED_WORD),
    ] {
        let faults = lines_of_text(text, &shop, &[]).expect_err(text);
        assert_eq!(faults[0].code, code, "{text}");
    }
    let faults = lines_of_text("black tee M4\n\ncrimson tee M4\nblack tee", &shop, &[]).expect_err("two faults");
    let rows: Vec<_> = faults.iter().map(|fault| fault.quantities.iter().find(|q| q.name == "row").cloned()).collect();
    assert_eq!(rows, [Some(report::Named::count("row", 3)), Some(report::Named::count("row", 4))]);
}

#[test]
fn a_table_is_grouped_into_lines() {
    let shop = shop();
    let rows = |text: &str| -> Vec<Vec<String>> {
        text.lines().map(|line| line.split('|').map(str::to_owned).collect()).collect()
    };
    let long = rows(
        "Garment|Colour|Size|Quantity|Position\ntee|black|S|4|left chest\ntee|black|M|8|left chest\n\
         tote|natural||20|\n",
    );
    let read = lines_of_table(&long, &shop, &[]).unwrap_or_else(|faults| panic!("{faults:#?}")).value;
    assert_eq!(read.len(), 2);
    assert_eq!(counts(&read[0]), [("S", 4), ("M", 8)]);
    assert_eq!((read[1].garment.as_str(), counts(&read[1])), ("tote-canvas", vec![("one size", 20)]));
    let wide = rows("style|color|S|M|XXL|place|width\nPlain tee|black|4||2|left chest|9,5 cm\n");
    let read = lines_of_table(&wide, &shop, &[]).unwrap_or_else(|faults| panic!("{faults:#?}")).value;
    assert_eq!(counts(&read[0]), [("S", 4), ("2XL", 2)]);
    assert_eq!(read[0].prints[0].size, SizeWish::Width(Length::from_mm(95.0).expect("finite")));
    let bare = lines_of_table(&rows("a|b\nc|d\n"), &shop, &[]).expect_err("no garment column");
    assert_eq!(bare[0].code, codes::TYPED_NO_COLUMN);
}

/// Whatever is typed is read or refused; nothing gives way.
#[test]
fn nothing_typed_brings_it_down() {
    let shop = shop();
    let seeds = [
        "black tee S4 M8, left chest 90 mm",
        "№ ß 4×٣ 😀😀 tee",
        "tee ,,,;;; 1,2,3",
        "XxXxXxXxL4 tee x x x",
        "\u{0}\u{202e}",
    ];
    for seed in seeds {
        let letters: Vec<char> = seed.chars().collect();
        for at in 0..=letters.len() {
            for cut in 0..4 {
                let mut text: String = letters.iter().take(at).collect();
                text.push_str(["", "9", "é", ",x"][cut]);
                text.extend(letters.iter().skip(at + cut));
                let _ = lines_of_text(&text, &shop, &["art/a.svg".to_owned()]);
            }
        }
    }
    assert!(lines_of_text(&"tee 4\n".repeat(600), &shop, &[]).is_err());
    assert!(lines_of_text(&"x".repeat(2000), &shop, &[]).is_err());
}
