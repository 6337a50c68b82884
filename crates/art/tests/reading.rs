//! Files as customers send them, and files that mean harm: each comes to clean art or to
//! exactly one finding that stops its line, with a remedy, in little time.

use art::{ColourNature, PrintSize, ReadOptions, SizeWish, SourceKind, read};
use report::{Finding, Severity, Value};
use std::io::Write;
use std::time::{Duration, Instant};
use units::Length;

const OPEN: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" ";

fn svg(attributes: &str, body: &str) -> Vec<u8> {
    format!("{OPEN}{attributes}>{body}</svg>").into_bytes()
}

fn accepted(bytes: &[u8]) -> report::Outcome<art::CleanArt> {
    read("kite", bytes, &ReadOptions::default()).expect("clean art")
}

/// Refused in time, with a remedy, as `code`.
fn refused(bytes: &[u8], code: &str) -> Finding {
    let start = Instant::now();
    let finding = read("kite", bytes, &ReadOptions::default()).expect_err("a refusal");
    assert!(start.elapsed() < Duration::from_secs(10), "{code} took {:?}", start.elapsed());
    assert_eq!(finding.code.0, code);
    assert_eq!(finding.severity, Severity::StopsLine);
    assert!(finding.remedy.0.starts_with("art.fix-"));
    finding
}

fn wide(art: &art::CleanArt, mm: f64) -> PrintSize {
    art.size(SizeWish::Width(Length::from_mm(mm).expect("finite"))).expect("a size")
}

fn png(width: u32, height: u32, colour: png::ColorType, depth: png::BitDepth, data: &[u8]) -> Vec<u8> {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, width, height);
    encoder.set_color(colour);
    encoder.set_depth(depth);
    if colour == png::ColorType::Indexed {
        encoder.set_palette(vec![255, 255, 255, 200, 30, 40]);
        encoder.set_trns(vec![0, 255]);
    }
    encoder.write_header().expect("a header").write_image_data(data).expect("data");
    file
}

/// π(33² − 27²) at 80 mm page width; the box trims to the ring's own 66 units.
#[test]
fn a_stroked_circle_is_a_ring_to_a_hundredth_of_a_millimetre() {
    let bytes = svg(
        "width=\"80mm\" height=\"80mm\" viewBox=\"0 0 80 80\"",
        "<circle cx=\"40\" cy=\"40\" r=\"30\" fill=\"none\" stroke=\"#c02020\" stroke-width=\"6\"/>",
    );
    let outcome = accepted(&bytes);
    let art = outcome.value;
    assert_eq!(art.kind(), SourceKind::Svg);
    let (width, _) = art.natural_size().expect("a size in mm");
    assert!((width.mm() - 66.0).abs() < 1e-3);
    let region = art.exact_region(art.size(SizeWish::AsFile).expect("a size"));
    assert_eq!((region.outlines.len(), region.outlines[0].holes().len()), (1, 1));
    let exact = std::f64::consts::PI * (33.0 * 33.0 - 27.0 * 27.0);
    assert!((region.area() / exact - 1.0).abs() < 1e-3, "{} for {exact}", region.area());
    for ring in region.outlines[0].rings() {
        for p in ring {
            let off = (p.x - 33.0).hypot(p.y - 33.0);
            assert!((off - 33.0).abs() < 0.01 || (off - 27.0).abs() < 0.01, "{off}");
        }
    }
    assert!(outcome.findings.iter().any(|f| f.code.0 == "art.margin-trimmed"));
    assert_eq!(art.colour_nature(), ColourNature::Spot(1));
    assert_eq!(art.colours()[0].rgb, [0xc0, 0x20, 0x20]);
}

/// The simplified outline contains the exact one and lies within a tenth of a millimetre of it.
#[test]
fn the_simplified_outline_stays_within_its_tolerance() {
    let bytes = svg("viewBox=\"0 0 100 100\"", "<path d=\"M10 50 C10 0 90 0 90 50 S 60 95 50 60 S 10 90 10 50\"/>");
    let art = accepted(&bytes).value;
    for width in [40.0, 150.0, 600.0] {
        let size = wide(&art, width);
        let (exact, simple) = (art.exact_region(size), art.region(size));
        let least = geometry::shrink(&simple, 0.1);
        let most = geometry::grow(&exact, 0.1);
        assert!(geometry::subtract(&least, &exact).area() < 1e-3);
        assert!(geometry::subtract(&simple, &most).area() < 1e-3);
    }
}

/// The outline agrees with the library's own rendering: the area is the sum of its alpha.
#[test]
fn outline_and_rendering_agree() {
    let bodies = [
        "<path fill=\"#123\" fill-rule=\"evenodd\" d=\"M5 5h90v90h-90z M30 30h40v40h-40z\"/>",
        "<clipPath id=\"c\"><circle cx=\"50\" cy=\"50\" r=\"40\"/></clipPath><g clip-path=\"url(#c)\"><rect width=\"100\" height=\"50\" fill=\"red\"/></g>",
        "<g transform=\"rotate(30 50 50) scale(1 0.6)\"><rect x=\"20\" y=\"40\" width=\"50\" height=\"50\" stroke=\"#000\" stroke-width=\"7\" stroke-dasharray=\"9 4\" fill=\"none\"/></g>",
        "<mask id=\"m\"><rect x=\"20\" y=\"20\" width=\"50\" height=\"50\" fill=\"#fff\"/></mask><circle cx=\"50\" cy=\"50\" r=\"40\" mask=\"url(#m)\"/>",
    ];
    for body in bodies {
        let art = accepted(&svg("viewBox=\"0 0 100 100\"", body)).value;
        let size = wide(&art, 100.0);
        let (width, height) = (1500, (1500.0 / art.aspect()).round() as u32);
        let image = art.render(width, height).expect("a picture");
        let alpha: u64 = image.pixels().chunks(4).map(|p| u64::from(p[3])).sum();
        let pixel = size.width().mm() / f64::from(width) * (size.height().mm() / f64::from(height));
        let drawn = alpha as f64 / 255.0 * pixel;
        let area = art.exact_region(size).area();
        assert!((area / drawn - 1.0).abs() < 4e-3, "{body}: outline {area}, rendering {drawn}");
    }
}

#[test]
fn every_depth_and_palette_of_png_comes_to_the_same_outline() {
    let inked = |x: u32, y: u32| (8..24).contains(&x) && (4..28).contains(&y);
    let each = || (0..32u32).flat_map(|y| (0..32u32).map(move |x| inked(x, y)));
    let packed = |bits: usize| -> Vec<u8> {
        let values: Vec<u8> = each().map(u8::from).collect();
        values
            .chunks(8 / bits)
            .map(|group| group.iter().fold(0u32, |byte, v| byte << bits | u32::from(*v)) as u8)
            .collect()
    };
    use png::{BitDepth, ColorType};
    let files = [
        png(32, 32, ColorType::Indexed, BitDepth::One, &packed(1)),
        png(32, 32, ColorType::Indexed, BitDepth::Two, &packed(2)),
        png(32, 32, ColorType::Indexed, BitDepth::Four, &packed(4)),
        png(32, 32, ColorType::Indexed, BitDepth::Eight, &packed(8)),
        png(
            32,
            32,
            ColorType::Rgba,
            BitDepth::Eight,
            &each().flat_map(|on| [200, 30, 40, if on { 255 } else { 0 }]).collect::<Vec<u8>>(),
        ),
        png(
            32,
            32,
            ColorType::Rgba,
            BitDepth::Sixteen,
            &each().flat_map(|on| [200, 0, 30, 0, 40, 0, if on { 255 } else { 0 }, 255]).collect::<Vec<u8>>(),
        ),
        png(
            32,
            32,
            ColorType::GrayscaleAlpha,
            BitDepth::Eight,
            &each().flat_map(|on| [90, if on { 255 } else { 0 }]).collect::<Vec<u8>>(),
        ),
    ];
    for file in files {
        let art = accepted(&file).value;
        assert_eq!(art.kind(), SourceKind::Png);
        assert!((art.aspect() - 16.0 / 24.0).abs() < 1e-12);
        let region = art.exact_region(wide(&art, 16.0));
        assert!((region.area() - 16.0 * 24.0).abs() < 1.0);
    }
}

/// A gray of 0.5 linear light stored with gamma 1.0 is sRGB 188 (IEC 61966-2-1).
#[test]
fn png_gamma_is_honoured() {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, 16, 16);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_source_gamma(png::ScaledFloat::new(1.0));
    encoder.write_header().expect("a header").write_image_data(&[128; 16 * 16 * 3]).expect("data");
    let art = accepted(&file).value;
    assert_eq!(art.colours()[0].rgb, [188; 3]);
}

#[test]
fn what_cannot_be_read_is_refused_with_one_finding() {
    refused(b"", "art.file-empty");
    refused(b"Dear printer, the logo is attached.", "art.file-unknown");
    let whole = png(
        64,
        64,
        png::ColorType::Rgb,
        png::BitDepth::Eight,
        &(0..64 * 64 * 3).map(|i| (i * 7 % 251) as u8).collect::<Vec<u8>>(),
    );
    refused(&whole[..whole.len() / 2], "art.file-broken");
    refused(&whole[..20], "art.file-broken");
    refused(b"\xff\xd8\xff\xe0\0\x10JFIF\0", "art.file-broken");
    refused(b"RIFF\x20\0\0\0WEBPVP8 ", "art.file-broken");
    refused(b"%PDF-1.7\nnothing", "art.file-broken");
    refused(&svg("", "<g>")[..60], "art.file-broken");
    refused(&svg("viewBox=\"0 0 9 9\"", ""), "art.picture-blank");
    refused(&png(8, 8, png::ColorType::Rgba, png::BitDepth::Eight, &[0; 256]), "art.picture-blank");
}

#[test]
fn a_header_that_claims_too_much_is_refused_before_unpacking() {
    let mut file = b"\x89PNG\r\n\x1a\n".to_vec();
    let mut chunk = |kind: &[u8], data: &[u8]| {
        let mut body = kind.to_vec();
        body.extend(data);
        file.extend((data.len() as u32).to_be_bytes());
        file.extend(&body);
        file.extend(crc32(&body).to_be_bytes());
    };
    let side = 30_000u32.to_be_bytes();
    chunk(b"IHDR", &[side.as_slice(), &side, &[8, 6, 0, 0, 0]].concat());
    chunk(b"IDAT", &[0x78, 0x9c, 3, 0, 0, 0, 0, 1]);
    chunk(b"IEND", &[]);
    let finding = refused(&file, "art.picture-huge");
    assert!(finding.quantities.iter().any(|q| q.name == "width-px" && q.value == Value::Count(30_000)));
}

/// ISO 3309, as the PNG specification gives it in annex D.
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| if crc & 1 == 1 { 0xedb8_8320 ^ (crc >> 1) } else { crc >> 1 })
    })
}

#[test]
fn nothing_outside_the_file_is_reached() {
    let rect = "<rect width=\"50\" height=\"50\"/>";
    let view = "viewBox=\"0 0 100 100\"";
    for body in [
        "<image width=\"10\" height=\"10\" xlink:href=\"file:///etc/hostname\"/>",
        "<image width=\"10\" height=\"10\" href=\"../secret.png\"/>",
        "<use href=\"other.svg#part\"/>",
        "<style>@import url(http://festival.example/a.css);</style>",
        "<style>@import 'a.css';</style>",
        "<rect width=\"5\" height=\"5\" fill=\"url(http://festival.example/p.svg#p)\"/>",
        "<rect width=\"5\" height=\"5\" style=\"fill:url( 'p.svg#p' )\"/>",
    ] {
        refused(&svg(view, &format!("{body}{rect}")), "art.reference-outside");
    }
    let entity = format!("<!DOCTYPE svg [<!ENTITY x SYSTEM \"file:///etc/hostname\">]>{OPEN}><text>&x;</text></svg>");
    refused(entity.as_bytes(), "art.reference-outside");
    let sheet = format!("<?xml-stylesheet href=\"a.css\"?>{OPEN}{view}>{rect}</svg>");
    refused(sheet.as_bytes(), "art.reference-outside");
    let linked = accepted(&svg(view, &format!("<a href=\"http://festival.example/\">{rect}</a>")));
    assert!(linked.value.aspect() > 0.0);
}

#[test]
fn scripts_are_named_and_not_run_and_missing_fonts_are_never_silent() {
    let outcome =
        accepted(&svg("viewBox=\"0 0 9 9\"", "<script>x()</script><rect width=\"9\" height=\"9\" onclick=\"y()\"/>"));
    let script = outcome.findings.iter().find(|f| f.code.0 == "art.script-ignored").expect("a note");
    assert!(script.quantities.iter().any(|q| q.value == Value::Count(2)));
    for body in [
        "<text font-family=\"Kite Sans\">Kite</text>",
        "<text style=\"font-family: 'Kite Sans'; font-size: 9px\">Kite</text>",
        "<text>Kite</text>",
        "<style>.a { font-family: Kite }</style><text class=\"a\">Kite</text>",
    ] {
        refused(&svg("viewBox=\"0 0 9 9\"", &format!("{body}<rect width=\"9\" height=\"9\"/>")), "art.font-missing");
    }
    let nested =
        svg("viewBox=\"0 0 9 9\"", "<image width=\"9\" height=\"9\" href=\"data:image/svg+xml;base64,PHN2Zy8+\"/>");
    refused(&nested, "art.embedded-unusable");
}

#[test]
fn small_files_that_ask_for_hours_are_refused_in_seconds() {
    let view = "viewBox=\"0 0 1000 1000\"";
    let rect = "<rect width=\"1000\" height=\"1000\"/>";
    let entities: String =
        (0..9).map(|i| format!("<!ENTITY e{} \"{}\">", i + 1, format!("&e{i};").repeat(10))).collect();
    let laughs = format!("<!DOCTYPE svg [<!ENTITY e0 \"ha\">{entities}]>{OPEN}{view}><desc>&e9;</desc></svg>");
    refused(laughs.as_bytes(), "art.drawing-heavy");
    refused(&svg(view, &format!("{}{rect}{}", "<g>".repeat(5000), "</g>".repeat(5000))), "art.drawing-heavy");
    let chain = |open: &str, inner: &str, close: &str, last: &str, times: usize| -> String {
        (0..20)
            .map(|i| {
                let inner = inner.replace('@', &(i + 1).to_string()).repeat(times);
                format!("{}{inner}{close}", open.replace('@', &i.to_string()))
            })
            .chain([last.to_owned()])
            .collect()
    };
    let uses = chain(
        "<g id=\"a@\">",
        "<use xlink:href=\"#a@\"/>",
        "</g>",
        "<g id=\"a20\"><rect width=\"9\" height=\"9\"/></g>",
        3,
    );
    refused(&svg(view, &uses), "art.drawing-heavy");
    let patterns = chain(
        "<pattern id=\"p@\" width=\"9\" height=\"9\">",
        "<rect width=\"9\" height=\"9\" fill=\"url(#p@)\"/>",
        "</pattern>",
        "",
        4,
    );
    refused(
        &svg(view, &format!("{patterns}<rect width=\"99\" height=\"99\" fill=\"url(#p0)\"/>")),
        "art.drawing-heavy",
    );
    let masks = chain("<mask id=\"m@\">", "<rect width=\"9\" height=\"9\" mask=\"url(#m@)\"/>", "</mask>", "", 2);
    refused(&svg(view, &format!("{masks}<rect width=\"99\" height=\"99\" mask=\"url(#m0)\"/>")), "art.drawing-heavy");
    refused(
        &svg(view, "<g id=\"a\"><use xlink:href=\"#b\"/></g><g id=\"b\"><use xlink:href=\"#a\"/></g>"),
        "art.drawing-heavy",
    );
    refused(
        &svg(view, "<path stroke=\"#000\" stroke-dasharray=\"0.0001\" d=\"M0 0H1000V1000H0Z\"/>"),
        "art.drawing-heavy",
    );
    let layers = "<rect width=\"1000\" height=\"1000\" opacity=\"0.5\"/>".repeat(60_000);
    refused(&svg(view, &layers), "art.drawing-heavy");
    for effect in [
        "<feTurbulence baseFrequency=\"0.1\" numOctaves=\"1000\"/>",
        "<feMorphology operator=\"dilate\" radius=\"300\"/>",
    ] {
        refused(
            &svg(view, &format!("<filter id=\"f\">{effect}</filter><g filter=\"url(#f)\">{rect}</g>")),
            "art.filter-heavy",
        );
    }
    let mut packed = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    packed.write_all(format!("{OPEN}{view}><!--").as_bytes()).expect("packed");
    for _ in 0..300 {
        packed.write_all(&vec![b'a'; 1_000_000]).expect("packed");
    }
    refused(&packed.finish().expect("packed"), "art.file-large");
}

/// A scribble of 8,000 sides crosses itself seven million times: it is read from a rendering or
/// refused, in little time either way.
#[test]
fn a_scribble_is_not_untangled() {
    let mut state = 7u32;
    let mut random = move || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(state >> 8) / f64::from(1 << 24) * 1000.0
    };
    let corners: Vec<String> = (0..8_000).map(|_| format!("{:.2} {:.2}", random(), random())).collect();
    let path = format!("<path d=\"M{}Z\"/>", corners.join("L"));
    let start = Instant::now();
    let read = read("kite", &svg("viewBox=\"0 0 1000 1000\"", &path), &ReadOptions::default());
    assert!(start.elapsed() < Duration::from_secs(10), "{:?}", start.elapsed());
    match read {
        Ok(outcome) => assert!(outcome.findings.iter().any(|f| f.code.0 == "art.outline-from-rendering")),
        Err(finding) => assert_eq!(finding.code.0, "art.outline-ragged"),
    }
}

/// A canvas is only a frame: its size costs nothing.
#[test]
fn a_huge_canvas_is_drawn_at_the_size_that_is_needed() {
    let start = Instant::now();
    let art =
        accepted(&svg("width=\"40000\" height=\"40000\"", "<rect width=\"40000\" height=\"20000\" fill=\"#123456\"/>"))
            .value;
    assert!((art.aspect() - 2.0).abs() < 1e-6);
    assert_eq!(art.render(200, 100).expect("a picture").row(50)[400..404], [0x12, 0x34, 0x56, 255]);
    assert!(start.elapsed() < Duration::from_secs(5));
}

#[test]
fn a_packed_drawing_reads_like_the_plain_one() {
    let plain = svg("viewBox=\"0 0 9 9\"", "<circle cx=\"4\" cy=\"4\" r=\"3\"/>");
    let mut packed = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::default());
    packed.write_all(&plain).expect("packed");
    let (a, b) = (accepted(&plain).value, accepted(&packed.finish().expect("packed")).value);
    assert_eq!(a.svg(), b.svg());
    assert_ne!(a.hash(), b.hash());
}

/// A document of one page of 72 × 36 points.
fn document(content: &str, resources: &str) -> Vec<u8> {
    let mut pdf = String::from("%PDF-1.4\n");
    let mut offsets = Vec::new();
    for (at, body) in [
        "<< /Type /Catalog /Pages 2 0 R >>".to_owned(),
        "<< /Type /Pages /Kids [3 0 R] /Count 1 >>".to_owned(),
        format!("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 72 36] /Contents 4 0 R /Resources << {resources} >> >>"),
        format!("<< /Length {} >>\nstream\n{content}\nendstream", content.len()),
    ]
    .iter()
    .enumerate()
    {
        offsets.push(pdf.len());
        pdf.push_str(&format!("{} 0 obj\n{body}\nendobj\n", at + 1));
    }
    let start = pdf.len();
    pdf.push_str("xref\n0 5\n0000000000 65535 f \n");
    for offset in offsets {
        pdf.push_str(&format!("{offset:010} 00000 n \n"));
    }
    pdf.push_str(&format!("trailer << /Size 5 /Root 1 0 R >>\nstartxref\n{start}\n%%EOF"));
    pdf.into_bytes()
}

/// Text in a font that the document does not hold is refused, one of those that every viewer has
/// too: another font would be another shape. A font that is named and not used is no matter.
#[test]
fn a_page_set_in_a_font_it_does_not_hold_is_refused() {
    for base in ["Helvetica", "Nowhere-Sans"] {
        let fonts = format!("/Font << /F1 << /Type /Font /Subtype /Type1 /BaseFont /{base} >> >>");
        let finding = refused(&document("BT /F1 12 Tf 9 9 Td (Kite) Tj ET", &fonts), "art.page-font-missing");
        let font = finding.quantities.iter().find(|one| one.name == "font").map(|one| &one.value);
        assert_eq!(font, Some(&Value::Text(base.to_owned())));
        accepted(&document("BT /F1 12 Tf ET 0.8 0.1 0.1 rg 9 9 18 18 re f", &fonts));
    }
}

/// A page of 72 × 36 points holding a filled square of 18 points: 6.35 mm.
#[test]
fn a_page_of_a_document_keeps_its_paths_and_size() {
    let pdf = document("0.8 0.1 0.1 rg 9 9 18 18 re f", "");
    let art = accepted(&pdf).value;
    assert_eq!(art.kind(), SourceKind::Pdf);
    let (width, height) = art.natural_size().expect("a size");
    assert!((width.mm() - 6.35).abs() < 1e-3 && (height.mm() - 6.35).abs() < 1e-3);
    assert_eq!(art.colours()[0].rgb, [204, 26, 26]);
    assert!(art.svg().is_some());
    let second = read("kite", &pdf, &ReadOptions { page: 2, ..ReadOptions::default() });
    assert_eq!(second.expect_err("no such page").code.0, "art.page-missing");
}

#[test]
fn sizes_outside_reason_are_refused() {
    let art = accepted(&svg("viewBox=\"0 0 9 9\"", "<rect width=\"9\" height=\"3\"/>")).value;
    assert_eq!(art.size(SizeWish::AsFile).expect_err("no size").code.0, "art.size-unknown");
    for mm in [0.0, -5.0, 0.5, 1e6] {
        let wish = SizeWish::Width(Length::from_mm(mm).expect("finite"));
        assert_eq!(art.size(wish).expect_err("no size").code.0, "art.size-out-of-range");
    }
    let size = art.size(SizeWish::Height(Length::from_mm(20.0).expect("finite"))).expect("a size");
    assert!((size.width().mm() - 60.0).abs() < 1e-9);
}
