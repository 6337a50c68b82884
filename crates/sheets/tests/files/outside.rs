//! Files for readers that are not ours.
//!
//! Writes one of each file, with what is to be found in them, and has them read by the
//! script `tests/outside/check_sheets.py` (Pillow, pikepdf, PDFium, ezdxf) when the
//! environment names a Python that has these libraries in `BONDLINE_PYTHON`.

use crate::common::{letter, letter_in_pixels, piece, png};
use geometry::Point;
use report::Quiet;
use sheets::{
    CutPiece, CutSheet, Marks, PrintSheet, Reading, Screen, White, cut_dxf, cut_hpgl, cut_paths, cut_svg, pdf,
    white_pdf, write_white_png,
};
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sheets-outside");
    std::fs::create_dir_all(&folder).expect("a folder");
    folder
}

#[test]
fn files_for_readers_that_are_not_ours() {
    let (drawn, pixels) = (letter(), letter_in_pixels(945));
    let folder = folder();
    let write = |name: &str, bytes: &[u8]| std::fs::write(folder.join(name), bytes).expect("a file");

    let pieces = vec![
        piece(&drawn, 60.0, (60.0, 50.0), 90.0, false),
        piece(&pixels, 60.0, (150.0, 50.0), 0.0, false),
        piece(&drawn, 40.0, (60.0, 130.0), 33.0, false),
        piece(&pixels, 40.0, (150.0, 130.0), 123.0, false),
    ];
    let mut sheet = PrintSheet::plain(200.0, 220.0, 8.0, pieces);
    (sheet.labels, sheet.check_bar, sheet.register_marks) = (true, true, true);
    write("sheet.png", &png(&sheet));
    write("sheet.pdf", &pdf(&sheet, f64::INFINITY).expect("a PDF").value.bytes);

    sheet.white = Some(White { choke_mm: 0.2, soft: Screen::Threshold });
    sheet.cut_outline_mm = Some(1.0);
    (sheet.spot_names.white, sheet.spot_names.cut) = ("Film white".into(), "Knife line".into());
    write("layers.pdf", &pdf(&sheet, f64::INFINITY).expect("a PDF").value.bytes);
    write("white.pdf", &white_pdf(&sheet, f64::INFINITY).expect("a PDF").value.bytes);
    let mut white = Vec::new();
    write_white_png(&sheet, &mut white, &mut Quiet).expect("a PNG");
    write("white.png", &white);
    sheet.white = Some(White { choke_mm: 0.2, soft: Screen::Halftone { lines_per_inch: 25.0, angle_deg: 22.5 } });
    write("screened.pdf", &pdf(&sheet, f64::INFINITY).expect("a PDF").value.bytes);

    let mirrored = vec![piece(&drawn, 60.0, (60.0, 50.0), 90.0, true)];
    let mut reversed = PrintSheet::plain(120.0, 130.0, 8.0, mirrored);
    reversed.reading = Reading::Reversed;
    write("reversed.png", &png(&reversed));
    reversed.pieces = vec![piece(&drawn, 60.0, (60.0, 50.0), 90.0, false)];
    reversed.reading = Reading::Right;
    write("right.png", &png(&reversed));

    let long = (0..40).map(|at| piece(&drawn, 60.0, (60.0 + 150.0 * f64::from(at), 60.0), 0.0, false)).collect();
    let long = PrintSheet::plain(120.0, 6_200.0, 8.0, long);
    let document = pdf(&long, f64::INFINITY).expect("a PDF");
    assert_eq!((document.value.pages, document.findings.len()), (2, 1));
    write("long.pdf", &document.value.bytes);

    let cut = cut_sheet(&drawn);
    let plan = cut_paths(&cut, 0.02).expect("a plan");
    write("cut.svg", cut_svg(&plan).as_bytes());
    write("cut.dxf", cut_dxf(&plan).as_bytes());
    write("cut.hpgl", cut_hpgl(&plan).as_bytes());
    let all: Vec<Point> = plan.paths.iter().flat_map(|p| p.points.clone()).collect();
    let bounds = geometry::Bounds::around(&all).expect("points");
    let expected = format!(
        "{{\"width_mm\": 200.0, \"length_mm\": 220.0, \"width_px\": 2362, \"height_px\": 2598, \"paths\": {}, \
         \"cut_min\": [{}, {}], \"cut_max\": [{}, {}]}}",
        plan.paths.len(),
        bounds.min.x,
        bounds.min.y,
        bounds.max.x,
        bounds.max.y
    );
    write("expected.json", expected.as_bytes());
    if let Some(python) = std::env::var_os("BONDLINE_PYTHON") {
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/outside/check_sheets.py");
        let status = std::process::Command::new(python).arg(script).arg(&folder).status().expect("a Python");
        assert!(status.success());
    }
}

fn cut_sheet(art: &art::CleanArt) -> CutSheet {
    let pieces = [(50.0, 10.0), (130.0, 100.0)]
        .map(|(at, turn)| {
            let placed = piece(art, 50.0, (at, 60.0), turn, true);
            CutPiece {
                region: placed.pose.region(&art.region(placed.size)),
                mirrored: true,
                label: "kite".into(),
                marks: vec![],
            }
        })
        .to_vec();
    CutSheet {
        width_mm: 140.0,
        length_mm: 210.0,
        margin_mm: 10.0,
        pieces,
        name: "Kites".into(),
        reading: Reading::Reversed,
        weed: Some(sheets::Weed { frame_mm: 5.0, split_every_mm: Some(80.0) }),
        knife: None,
        overcut_mm: 0.3,
        marks: Marks::Alignment,
    }
}
