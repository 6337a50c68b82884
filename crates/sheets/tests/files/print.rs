//! Print sheets read back by a general-purpose picture library.

use crate::common::{as_png, inked, letter, letter_in_pixels, piece, png, read, read_back};
use image::RgbaImage;
use image::imageops::{crop_imm, flip_horizontal, rotate90};
use report::{Go, Progress, Quiet, Watch};
use sheets::{LetClothShow, PrintSheet, Reading, Screen, SheetError, White, write_png, write_white_png};

const PX_PER_MM: f64 = 300.0 / 25.4;

fn letter_on_a_sheet(art: &art::CleanArt, turn: f64, reading: Reading) -> RgbaImage {
    let mirrored = reading == Reading::Reversed;
    let mut sheet = PrintSheet::plain(80.0, 90.0, 5.0, vec![piece(art, 40.0, (40.0, 35.0), turn, mirrored)]);
    sheet.reading = reading;
    read_back(&sheet)
}

fn only_ink(picture: &RgbaImage) -> RgbaImage {
    let (x0, y0, x1, y1) = inked(picture);
    crop_imm(picture, x0, y0, x1 - x0, y1 - y0).to_image()
}

/// Share of pixels whose cover differs by more than a fifth.
fn unlike(a: &RgbaImage, b: &RgbaImage) -> f64 {
    let (w, h) = (a.width().min(b.width()), a.height().min(b.height()));
    assert!(
        a.width().abs_diff(b.width()) <= 1 && a.height().abs_diff(b.height()) <= 1,
        "{:?} {:?}",
        a.dimensions(),
        b.dimensions()
    );
    let off = (0..h)
        .flat_map(|y| (0..w).map(move |x| (x, y)))
        .filter(|(x, y)| a.get_pixel(*x, *y).0[3].abs_diff(b.get_pixel(*x, *y).0[3]) > 51);
    off.count() as f64 / f64::from(w * h)
}

/// The letter as the customer sees it, drawn by the art room.
fn as_seen(art: &art::CleanArt) -> RgbaImage {
    let px = |mm: f64| (mm * PX_PER_MM).round() as u32;
    let size = crate::common::size(art, 40.0);
    let drawn = art.render(px(size.width().mm()), px(size.height().mm())).expect("pixels");
    RgbaImage::from_raw(drawn.width(), drawn.height(), drawn.pixels().to_vec()).expect("a picture")
}

/// A quarter turn stands the film upright in the file; mirrored it never is.
#[test]
fn a_bought_sheet_reads_right() {
    for art in [letter(), letter_in_pixels(900)] {
        let seen = as_seen(&art);
        assert!(unlike(&only_ink(&letter_on_a_sheet(&art, 90.0, Reading::Right)), &seen) < 0.01);
        assert!(unlike(&only_ink(&letter_on_a_sheet(&art, 0.0, Reading::Right)), &rotate90(&seen)) < 0.01);
        assert!(unlike(&only_ink(&letter_on_a_sheet(&art, 90.0, Reading::Right)), &flip_horizontal(&seen)) > 0.1);
    }
}

#[test]
fn own_film_is_reversed_once() {
    for art in [letter(), letter_in_pixels(900)] {
        let reversed = only_ink(&letter_on_a_sheet(&art, 90.0, Reading::Reversed));
        assert!(unlike(&flip_horizontal(&reversed), &as_seen(&art)) < 0.01);
        assert!(unlike(&reversed, &as_seen(&art)) > 0.1);
    }
}

#[test]
fn a_piece_the_other_way_round_is_refused() {
    let art = letter();
    let mut sheet = PrintSheet::plain(80.0, 90.0, 5.0, vec![piece(&art, 40.0, (40.0, 35.0), 0.0, true)]);
    let refused = write_png(&sheet, &mut Vec::new(), &mut Quiet);
    assert!(matches!(refused, Err(SheetError::ReadingDisagrees { piece: 0, reading: Reading::Right })));
    sheet.pieces = vec![piece(&art, 40.0, (10.0, 35.0), 0.0, false)];
    assert!(matches!(write_png(&sheet, &mut Vec::new(), &mut Quiet), Err(SheetError::PieceOutside { piece: 0 })));
}

/// A plain rectangle of 83.3 × 41.7 mm at every quarter turn: its extent to half a pixel.
#[test]
fn sizes_and_places_hold_to_half_a_pixel() {
    let svg = br##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 833 417" width="83.3mm" height="41.7mm"><path fill="#123456" d="M0 0H833V417H0Z"/></svg>"##;
    let drawn = read("box.svg", svg);
    let pixels = read("box.png", &as_png(&RgbaImage::from_pixel(1_666, 834, image::Rgba([18, 52, 86, 255]))));
    for art in [&drawn, &pixels] {
        for turn in [0.0, 90.0, 180.0, 270.0] {
            let (along, across) = if turn % 180.0 == 0.0 { (83.3, 41.7) } else { (41.7, 83.3) };
            let sheet = PrintSheet::plain(110.0, 120.0, 6.0, vec![piece(art, 83.3, (53.27, 49.13), turn, false)]);
            let (left, top, right, bottom) = inked(&read_back(&sheet));
            let off = |measured: f64, mm: f64| (measured - mm * PX_PER_MM).abs();
            assert!(off(f64::from(right - left), across) <= 0.5 + 1e-6, "{turn}");
            assert!(off(f64::from(bottom - top), along) <= 0.5 + 1e-6, "{turn}");
            assert!(off(f64::from(left + right) / 2.0, 49.13 + 6.0) <= 0.51, "{turn}");
            assert!(off(f64::from(top + bottom) / 2.0, 53.27 + 6.0) <= 0.51, "{turn}");
        }
    }
}

/// Turned by 33°, the same outline as the geometry says, its soft rim not wider than two pixels.
#[test]
fn any_angle_without_jagged_edges() {
    let drawn = letter();
    let pixels = letter_in_pixels(1_600);
    for art in [&drawn, &pixels] {
        let placed = piece(art, 40.0, (45.0, 40.0), 33.0, false);
        let region = placed.pose.region(&art.exact_region(placed.size));
        let sheet = PrintSheet::plain(90.0, 100.0, 5.0, vec![placed]);
        let picture = read_back(&sheet);
        let (mut wrong, mut soft, mut full) = (0, 0, 0);
        // Every thirteenth pixel, in no line with rows or columns.
        for (u, v, pixel) in picture.enumerate_pixels().filter(|(u, v, _)| (u + 5 * v) % 13 == 0) {
            let at =
                geometry::Point::new((f64::from(v) + 0.5) / PX_PER_MM - 5.0, (f64::from(u) + 0.5) / PX_PER_MM - 5.0);
            wrong += u32::from((pixel.0[3] >= 128) != region.contains(at));
            soft += u32::from((5..=250).contains(&pixel.0[3]));
            full += u32::from(pixel.0[3] > 250);
        }
        let rim = region.perimeter() * PX_PER_MM / 13.0;
        assert!(f64::from(wrong) < 0.35 * rim, "{wrong} of {rim}");
        assert!(f64::from(soft) > 0.5 * rim && f64::from(soft) < 3.0 * rim, "{soft} of {rim}");
        assert!(full > 100_000 / 13);
    }
}

/// A picture longer than a batch of bands equals the same picture made in one go.
#[test]
fn no_seam_between_strips() {
    let noise = RgbaImage::from_fn(900, 1_900, |x, y| {
        let v = |k: u32| ((x * k + y * (k + 3)) % 251) as u8;
        image::Rgba([v(3), v(5), v(11), if x > 5 || y > 5 { 255 } else { 200 }])
    });
    let art = read("noise.png", &as_png(&noise));
    let sheet = PrintSheet::plain(80.0, 150.0, 3.0, vec![piece(&art, 68.0, (72.0, 36.0), 90.0, false)]);
    let picture = only_ink(&read_back(&sheet));
    let px = |mm: f64| (mm * PX_PER_MM).round() as u32;
    assert_eq!(picture.width(), px(68.0));
    let whole =
        image::imageops::resize(&noise, picture.width(), picture.height(), image::imageops::FilterType::CatmullRom);
    // The other library resizes stored values instead of light, so only the rows' evenness is compared:
    // no row may stand out from the rest.
    let row_off = |y: u32| -> f64 {
        (0..picture.width())
            .map(|x| f64::from(picture.get_pixel(x, y).0[1].abs_diff(whole.get_pixel(x, y).0[1])))
            .sum::<f64>()
            / f64::from(picture.width())
    };
    let rows: Vec<f64> = (8..picture.height() - 8).map(row_off).collect();
    let mean = rows.iter().sum::<f64>() / rows.len() as f64;
    for (at, off) in rows.iter().enumerate() {
        assert!(*off < 3.0 * mean + 2.0, "row {at}: {off} against {mean}");
    }
}

#[test]
fn the_same_bytes_on_one_thread_and_many() {
    let (drawn, pixels) = (letter(), letter_in_pixels(1_200));
    let pieces = vec![
        piece(&drawn, 40.0, (40.0, 35.0), 0.0, false),
        piece(&pixels, 40.0, (110.0, 35.0), 12.0, false),
        piece(&pixels, 30.0, (160.0, 30.0), 90.0, false),
    ];
    let mut sheet = PrintSheet::plain(85.0, 200.0, 5.0, pieces);
    (sheet.labels, sheet.check_bar) = (true, true);
    let on = |threads: usize| {
        rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads").install(|| png(&sheet))
    };
    assert!(on(1) == on(3));
    let first = sheets::pdf(&sheet, f64::INFINITY).expect("a PDF").value;
    assert!(first == sheets::pdf(&sheet, f64::INFINITY).expect("a PDF").value);
}

/// The white of a full square of 20 mm held back 0.254 mm (3 px) covers 19.49² mm².
#[test]
fn the_choke_takes_what_it_says() {
    let art = read("box.png", &as_png(&RgbaImage::from_pixel(500, 500, image::Rgba([200, 30, 30, 255]))));
    let mut sheet = PrintSheet::plain(40.0, 40.0, 5.0, vec![piece(&art, 20.0, (15.0, 15.0), 0.0, false)]);
    sheet.white = Some(White { choke_mm: 0.254, soft: Screen::Threshold });
    let covered = count_white(&sheet) as f64 / (PX_PER_MM * PX_PER_MM);
    assert!((covered / (20.0 - 0.508_f64).powi(2) - 1.0).abs() < 0.01, "{covered}");
}

/// A square at 40 % cover under three screens: none by the threshold, 40 % by the others.
#[test]
fn screens_cover_the_tone_asked() {
    let art = read(
        "tone.png",
        &as_png(&RgbaImage::from_fn(600, 600, |x, y| {
            // A full frame, so that the art has an outline.
            let frame = x.min(y).min(599 - x).min(599 - y) < 12;
            image::Rgba([200, 30, 30, if frame { 255 } else { 102 }])
        })),
    );
    let full = 50.0_f64 * 50.0;
    let inner = 48.0_f64 * 48.0;
    let screens = [
        (Screen::Threshold, 0.0),
        (Screen::Halftone { lines_per_inch: 25.0, angle_deg: 22.5 }, 0.4),
        (Screen::Stochastic { dot_mm: 0.3 }, 0.4),
    ];
    for (soft, tone) in screens {
        let mut sheet = PrintSheet::plain(70.0, 70.0, 5.0, vec![piece(&art, 50.0, (30.0, 30.0), 0.0, false)]);
        sheet.white = Some(White { choke_mm: 0.0, soft });
        let covered = count_white(&sheet) as f64 / (PX_PER_MM * PX_PER_MM);
        let measured = (covered - (full - inner)) / inner;
        assert!((measured - tone).abs() < 0.01, "{soft:?}: {measured}");
    }
}

fn count_white(sheet: &PrintSheet<'_>) -> usize {
    let mut file = Vec::new();
    write_white_png(sheet, &mut file, &mut Quiet).expect("a PNG");
    let picture = image::load_from_memory(&file).expect("a picture").into_luma_alpha8();
    picture.pixels().filter(|p| p.0 == [255, 255]).count()
}

#[test]
fn the_cloth_shows_where_the_art_has_its_colour() {
    let art = read(
        "two.png",
        &as_png(&RgbaImage::from_fn(400, 400, |x, _| {
            if x < 200 { image::Rgba([20, 22, 60, 255]) } else { image::Rgba([250, 200, 20, 255]) }
        })),
    );
    let mut sheet = PrintSheet::plain(40.0, 40.0, 5.0, vec![piece(&art, 20.0, (15.0, 15.0), 90.0, false)]);
    let half = |sheet: &PrintSheet<'_>| read_back(sheet).pixels().filter(|p| p.0[3] == 255).count();
    let all = half(&sheet);
    sheet.pieces[0].let_cloth_show = Some(LetClothShow { cloth: [22, 22, 58], within: 2.0 });
    let shown = half(&sheet);
    assert!((shown as f64 / all as f64 - 0.5).abs() < 0.02, "{shown} of {all}");
}

#[test]
fn labels_keep_off_the_ink_and_the_bar_measures_100_mm() {
    let art = letter();
    let mut sheet = PrintSheet::plain(150.0, 150.0, 8.0, vec![piece(&art, 40.0, (60.0, 60.0), 0.0, false)]);
    let plain = read_back(&sheet);
    sheet.labels = true;
    let labelled = read_back(&sheet);
    let ink = |p: &image::Rgba<u8>| p.0[3] > 0;
    assert!(plain.pixels().zip(labelled.pixels()).all(|(a, b)| !ink(a) || a == b));
    assert!(labelled.pixels().filter(|p| ink(p)).count() > plain.pixels().filter(|p| ink(p)).count() + 300);
    sheet.labels = false;
    sheet.check_bar = true;
    let barred = read_back(&sheet);
    let added = RgbaImage::from_fn(barred.width(), barred.height(), |x, y| {
        if barred.get_pixel(x, y) == plain.get_pixel(x, y) { image::Rgba([0; 4]) } else { *barred.get_pixel(x, y) }
    });
    let (left, top, right, bottom) = inked(&added);
    let long = f64::from((right - left).max(bottom - top)) / PX_PER_MM;
    assert!((long - 100.0).abs() <= 0.5 / PX_PER_MM + 1e-9, "{long}");
    assert!(sheets::look_over(&sheet).expect("a look").is_empty());
}

struct FullDisk {
    room: usize,
}

impl std::io::Write for FullDisk {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        let taken = bytes.len().min(self.room);
        self.room -= taken;
        if taken == 0 { Err(std::io::ErrorKind::StorageFull.into()) } else { Ok(taken) }
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

struct StopAtOnce;

impl Watch for StopAtOnce {
    fn told(&mut self, _: &Progress) -> Go {
        Go::Stop
    }
}

#[test]
fn a_full_disk_and_a_stop_are_told() {
    let art = letter();
    let sheet = PrintSheet::plain(80.0, 90.0, 5.0, vec![piece(&art, 40.0, (40.0, 35.0), 0.0, false)]);
    let full = write_png(&sheet, &mut FullDisk { room: 4_000 }, &mut Quiet);
    assert!(matches!(full, Err(SheetError::Write(fault)) if fault.kind() == std::io::ErrorKind::StorageFull));
    assert!(matches!(write_png(&sheet, &mut Vec::new(), &mut StopAtOnce), Err(SheetError::Stopped)));
}
