//! Print and cut files through the front door: what a shop's files and an order say of
//! them is found again in what the program writes, read here without its own code.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The demo's shop and art in a folder, to be changed.
struct Desk {
    home: tempfile::TempDir,
}

/// A letter R: no symmetry of any kind. Its rings on a field of 60 × 80.
const R: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 80" width="60mm" height="80mm">
<path fill="#b01c2e" fill-rule="evenodd" d="M0 0H38L60 22L45 43L60 80H44L31 46H14V80H0ZM14 12V34H36L46 23L36 12Z"/>
</svg>"##;
const R_RINGS: [&[(f64, f64)]; 2] = [
    &[
        (0.0, 0.0),
        (38.0, 0.0),
        (60.0, 22.0),
        (45.0, 43.0),
        (60.0, 80.0),
        (44.0, 80.0),
        (31.0, 46.0),
        (14.0, 46.0),
        (14.0, 80.0),
        (0.0, 80.0),
    ],
    &[(14.0, 12.0), (14.0, 34.0), (36.0, 34.0), (46.0, 23.0), (36.0, 12.0)],
];

impl Desk {
    fn new() -> Self {
        let home = tempfile::tempdir().expect("a folder");
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
        for folder in ["shop", "art"] {
            fs::create_dir(home.path().join(folder)).expect("a folder");
            for entry in fs::read_dir(demo.join(folder)).expect("the demo") {
                let path = entry.expect("an entry").path();
                if path.is_file() {
                    fs::copy(&path, home.path().join(folder).join(path.file_name().expect("a name"))).expect("copied");
                }
            }
        }
        let desk = Self { home };
        fs::write(desk.path("art/r.svg"), R).expect("written");
        desk
    }

    fn path(&self, name: &str) -> PathBuf {
        self.home.path().join(name)
    }

    fn edit(&self, file: &str, old: &str, new: &str) {
        let path = self.path("shop").join(file);
        let text = fs::read_to_string(&path).expect("a shop file");
        assert!(text.contains(old), "{file} has {old}");
        fs::write(path, text.replacen(old, new, 1)).expect("written");
    }

    fn add(&self, file: &str, text: &str) {
        let path = self.path("shop").join(file);
        let old = fs::read_to_string(&path).expect("a shop file");
        fs::write(path, format!("{old}\n{text}")).expect("written");
    }

    fn command(&self, order: &str) -> String {
        fs::write(self.path("order.toml"), order).expect("written");
        format!(
            "exec '{}' plan order.toml --out out --today 2026-11-24 --effort 0 --shop shop",
            env!("CARGO_BIN_EXE_bondline")
        )
    }

    fn plan(&self, order: &str) -> Output {
        self.shell(&self.command(order))
    }

    fn shell(&self, script: &str) -> Output {
        Command::new("sh").current_dir(self.home.path()).args(["-c", script]).output().expect("a shell")
    }

    /// Files written, by name.
    fn written(&self) -> BTreeMap<String, Vec<u8>> {
        let list = fs::read_to_string(self.path("out/contents.txt")).expect("a list");
        list.lines().map(|name| (name.to_owned(), fs::read(self.path("out").join(name)).expect(name))).collect()
    }

    fn names(&self, folder: &str) -> Vec<String> {
        self.written().into_keys().filter(|name| name.starts_with(folder)).collect()
    }
}

fn order(head: &str, count: u32, print: &str) -> String {
    format!(
        "version = 1\ncustomer = \"Küste & Wind\"\nname = \"Kites\"\ndue = \"2026-12-18\"\n{head}\n[[line]]\n\
         garment = \"tote-canvas\"\ncolour = \"natural\"\nsizes = {{ \"one size\" = {count} }}\n\
         [[line.print]]\nposition = \"bag side\"\n{print}\n"
    )
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

fn done(output: &Output) {
    assert_eq!(output.status.code(), Some(0), "{}", said(output));
}

const BOUGHT: &str = "art = \"art/r.svg\"\nwidth = \"100 mm\"\ntransfer = \"sheet-powder\"";
const CUT: &str = "art = \"art/r.svg\"\nwidth = \"100 mm\"\ntransfer = \"film-plain\"\ncolours = [\"kite red\"]";
const RULE: &str =
    "files = { reading = \"right\", layers = \"colour\", source = \"printer's file page, read 3 November 2026\" }";

/// Gives the demo's printer another rule.
fn rule(desk: &Desk, files: &str, print: &str) {
    desk.edit("suppliers.toml", RULE, &format!("files = {{ {files} }}\n[supplier.print]\n{print}"));
}

struct Picture {
    width: usize,
    height: usize,
    alpha: Vec<u8>,
    px_per_m: u32,
    text: String,
}

fn picture(bytes: &[u8]) -> Picture {
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().expect("a PNG");
    let info = reader.info();
    assert!(info.srgb.is_some(), "tagged sRGB");
    let text = info.uncompressed_latin1_text.iter().map(|t| t.text.clone()).collect();
    let (width, height, step) = (info.width as usize, info.height as usize, info.bytes_per_pixel());
    let px_per_m = info.pixel_dims.expect("a size tag").xppu;
    let mut pixels = vec![0; reader.output_buffer_size().expect("a size")];
    reader.next_frame(&mut pixels).expect("pixels");
    Picture { width, height, alpha: pixels.chunks_exact(step).map(|p| p[step - 1]).collect(), px_per_m, text }
}

impl Picture {
    fn covered(&self) -> usize {
        self.alpha.iter().filter(|a| **a >= 128).count()
    }

    /// The ink that hangs together with the first inked pixel, and its left, top, right and bottom.
    fn first_piece(&self) -> (Vec<bool>, (usize, usize, usize, usize)) {
        let inked = |at: usize| self.alpha[at] >= 128;
        let first = (0..self.alpha.len()).find(|at| inked(*at)).expect("ink");
        let mut piece = vec![false; self.alpha.len()];
        let mut sides = (self.width, self.height, 0, 0);
        let mut open = vec![first];
        piece[first] = true;
        while let Some(at) = open.pop() {
            let (x, y) = (at % self.width, at / self.width);
            sides = (sides.0.min(x), sides.1.min(y), sides.2.max(x + 1), sides.3.max(y + 1));
            let near = [
                (x > 0).then(|| at - 1),
                (x + 1 < self.width).then(|| at + 1),
                (y > 0).then(|| at - self.width),
                (y + 1 < self.height).then(|| at + self.width),
            ];
            for next in near.into_iter().flatten() {
                if inked(next) && !piece[next] {
                    piece[next] = true;
                    open.push(next);
                }
            }
        }
        (piece, sides)
    }
}

/// Ink on a grid of 24 × 24 over the ink's own rectangle.
type Cells = Vec<bool>;
const SIDE: usize = 24;

fn cells(ink: impl Fn(f64, f64) -> bool) -> Cells {
    let middle = |at: usize| (at as f64 + 0.5) / SIDE as f64;
    (0..SIDE * SIDE).map(|at| ink(middle(at % SIDE), middle(at / SIDE))).collect()
}

/// Even-odd, y down.
fn inside(rings: &[Vec<(f64, f64)>], x: f64, y: f64) -> bool {
    let crossings = rings
        .iter()
        .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)))
        .filter(|((ax, ay), (bx, by))| (*ay > y) != (*by > y) && x < (bx - ax) * (y - ay) / (by - ay) + ax)
        .count();
    crossings % 2 == 1
}

/// Whether cells show the letter as read, or its mirror image, whichever of eight attitudes is nearest.
fn reads_right(seen: &Cells) -> bool {
    let rings: Vec<Vec<(f64, f64)>> = R_RINGS.iter().map(|ring| ring.to_vec()).collect();
    let mut best = (usize::MAX, false);
    for turn in 0..4 {
        for mirrored in [false, true] {
            let attitude = cells(|x, y| {
                let (x, y) = if mirrored { (1.0 - x, y) } else { (x, y) };
                let (x, y) = [(x, y), (y, 1.0 - x), (1.0 - x, 1.0 - y), (1.0 - y, x)][turn];
                inside(&rings, x * 60.0, y * 80.0)
            });
            let unlike = attitude.iter().zip(seen).filter(|(a, b)| a != b).count();
            best = best.min((unlike, !mirrored));
        }
    }
    assert!(best.0 < SIDE * SIDE / 20, "the letter is found: {best:?}");
    best.1
}

/// Pen-down strokes of HP-GL, mm (40 units to the millimetre).
fn strokes(bytes: &[u8]) -> Vec<Vec<(f64, f64)>> {
    let text = std::str::from_utf8(bytes).expect("ASCII");
    let mut all: Vec<Vec<(f64, f64)>> = Vec::new();
    for command in text.split(';').map(str::trim) {
        let Some((name, numbers)) = command.split_at_checked(2) else { continue };
        let numbers: Vec<f64> = numbers.split(',').filter_map(|n| n.parse().ok()).map(|n: f64| n / 40.0).collect();
        let points = numbers.chunks_exact(2).map(|c| (c[0], c[1]));
        match name {
            "PU" => all.push(points.collect()),
            "PD" => all.last_mut().expect("a start").extend(points),
            _ => {}
        }
    }
    all.retain(|stroke| stroke.len() > 1);
    all
}

fn extent(strokes: &[Vec<(f64, f64)>]) -> (f64, f64, f64, f64) {
    let all = || strokes.iter().flatten();
    let least = |of: fn(&(f64, f64)) -> f64| all().map(of).fold(f64::INFINITY, f64::min);
    let most = |of: fn(&(f64, f64)) -> f64| all().map(of).fold(f64::NEG_INFINITY, f64::max);
    (least(|p| p.0), least(|p| p.1), most(|p| p.0), most(|p| p.1))
}

/// A letter R right-reading on a bought sheet, reversed on film cut here, and as a printer's rule says.
#[test]
fn reversed_exactly_when_the_stock_says_so() {
    let desk = Desk::new();
    rule(&desk, "reading = \"right\", layers = \"colour\"", "labels = false");
    for reversed in [false, true] {
        if reversed {
            desk.edit("suppliers.toml", "reading = \"right\"", "reading = \"reversed\"");
        }
        done(&desk.plan(&order("", 1, BOUGHT)));
        let sheet = picture(&desk.written()["sheets/a-1.png"]);
        assert!(sheet.text.contains(if reversed { "reversed" } else { "right-reading" }), "{}", sheet.text);
        let (piece, (left, top, right, bottom)) = sheet.first_piece();
        let at = |low: usize, high: usize, t: f64| low + (t * (high - low) as f64) as usize;
        let seen = cells(|x, y| piece[at(top, bottom, y) * sheet.width + at(left, right, x)]);
        assert_eq!(reads_right(&seen), !reversed);
    }
    desk.edit(
        "stock.toml",
        "id = \"plain-roll-500\"",
        "cut = { weeding = \"none\", formats = [\"hpgl\"] }\nid = \"plain-roll-500\"",
    );
    for (reading, ending) in [("reversed", "reversed"), ("right", "right-reading")] {
        if reading == "right" {
            desk.edit("stock.toml", "id = \"plain-roll-500\"", "reading = \"right\"\nid = \"plain-roll-500\"");
        }
        done(&desk.plan(&order("", 1, CUT)));
        let name = format!("cut/a-1-kite-red-{ending}.plt");
        assert_eq!(desk.names("cut/"), std::slice::from_ref(&name));
        let letter = first_letter(&strokes(&desk.written()[&name]));
        let (x0, y0, x1, y1) = extent(&letter);
        let long = (x1 - x0).max(y1 - y0);
        assert!((long - 100.0 * 80.0 / 60.0).abs() < 0.05, "true size: {long}");
        // Standing film: x of the film down, y to the right.
        let standing = |(x, y): &(f64, f64)| ((y - y0) / (y1 - y0), (x - x0) / (x1 - x0));
        let rings: Vec<Vec<(f64, f64)>> = letter.iter().map(|s| s.iter().map(standing).collect()).collect();
        assert_eq!(reads_right(&cells(|x, y| inside(&rings, x, y))), reading == "right");
    }
}

/// The widest stroke and the one within it.
fn first_letter(strokes: &[Vec<(f64, f64)>]) -> Vec<Vec<(f64, f64)>> {
    let wide = |stroke: &Vec<(f64, f64)>| {
        let (x0, y0, x1, y1) = extent(std::slice::from_ref(stroke));
        (x1 - x0) * (y1 - y0)
    };
    let outer = strokes.iter().max_by(|a, b| wide(a).total_cmp(&wide(b))).expect("a stroke");
    let of = std::slice::from_ref(outer).to_vec();
    let hole = strokes.iter().find(|stroke| *stroke != outer && stroke.iter().all(|(x, y)| inside(&of, *x, *y)));
    vec![outer.clone(), hole.expect("the hole of the letter").clone()]
}

/// Which files, white in its own, its screen and choke, resolution, names of separations.
#[test]
fn a_printers_rule_decides_the_files() {
    let desk = Desk::new();
    rule(
        &desk,
        "reading = \"right\", layers = \"colour-and-white\"",
        "white-in = \"own-file\"\ndpi = 150\nchoke = \"0.5 mm\"\nwhite-name = \"Under white\"\nlabels = false",
    );
    done(&desk.plan(&order("", 2, BOUGHT)));
    assert_eq!(
        desk.names("sheets/"),
        ["a-1-white.pdf", "a-1-white.png", "a-1.pdf", "a-1.png"].map(|n| format!("sheets/{n}"))
    );
    let files = desk.written();
    let (colours, white) = (picture(&files["sheets/a-1.png"]), picture(&files["sheets/a-1-white.png"]));
    // 150 to the inch is 5,905.5 to the metre.
    assert_eq!((colours.px_per_m, white.px_per_m), (5_906, 5_906));
    // The letter's area less half a millimetre along its edges, within 1 %.
    let area = |p: &Picture| p.covered() as f64 * (25.4_f64 / 150.0).powi(2);
    let scale = 100.0 / 60.0;
    let lengths: f64 = R_RINGS
        .iter()
        .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)))
        .map(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1) * scale)
        .sum();
    let copies = area(&colours) / (ring_area(R_RINGS[0]) - ring_area(R_RINGS[1])) / scale / scale;
    assert!((copies - copies.round()).abs() < 0.01, "{copies}");
    let lost = (area(&colours) - area(&white)) / copies.round();
    assert!((lost / (0.5 * lengths) - 1.0).abs() < 0.03, "{lost} of {}", 0.5 * lengths);
    let holds = |bytes: &[u8], text: &str| bytes.windows(text.len()).any(|part| part == text.as_bytes());
    assert!(holds(&files["sheets/a-1-white.pdf"], "/Under#20white"));
    assert!(!holds(&files["sheets/a-1.pdf"], "/Under#20white"));

    // The same in one PDF alone; then pixels alone.
    desk.edit("suppliers.toml", "white-in = \"own-file\"", "formats = [\"pdf\"]");
    done(&desk.plan(&order("", 2, BOUGHT)));
    assert_eq!(desk.names("sheets/"), ["sheets/a-1.pdf"]);
    let together = &desk.written()["sheets/a-1.pdf"];
    assert!(holds(together, "/Under#20white") && holds(together, "/Multiply"));
    desk.edit("suppliers.toml", "formats = [\"pdf\"]", "formats = [\"png\"]");
    desk.edit("suppliers.toml", "\"colour-and-white\"", "\"colour\"");
    done(&desk.plan(&order("", 2, BOUGHT)));
    assert_eq!(desk.names("sheets/"), ["sheets/a-1.png"]);
}

/// Area of a ring, mm² of the letter's field.
fn ring_area(ring: &[(f64, f64)]) -> f64 {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>().abs() / 2.0
}

/// A field of half-covering ink under each screen: no white, or half of it in dots, within 1 % of the tone.
#[test]
fn soft_edges_become_the_dots_the_rule_asks_for() {
    let desk = Desk::new();
    let (side, tone) = (600_u32, 102_u8);
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, side, side);
    encoder.set_color(png::ColorType::Rgba);
    let framed = |at: u32| at < 12 || at >= side - 12;
    let pixels: Vec<u8> = (0..side * side)
        .flat_map(|at| [190, 30, 40, if framed(at % side) || framed(at / side) { 255 } else { tone }])
        .collect();
    encoder.write_header().expect("a header").write_image_data(&pixels).expect("pixels");
    fs::write(desk.path("art/tone.png"), bytes).expect("written");
    rule(
        &desk,
        "reading = \"right\", layers = \"colour-and-white\"",
        "choke = \"0 mm\"\nlabels = false\nformats = [\"png\"]\nsoft-edges = \"threshold\"",
    );
    let print = "art = \"art/tone.png\"\nwidth = \"50 mm\"\ntransfer = \"sheet-powder\"";
    let (full, inner) = (50.0_f64 * 50.0, 48.0_f64 * 48.0);
    let mut last = "soft-edges = \"threshold\"".to_owned();
    for (screen, share) in [
        (last.clone(), 0.0),
        ("soft-edges = \"halftone\"\nruling = 25\nangle = 15".to_owned(), 0.4),
        ("soft-edges = \"stochastic\"\ndot = \"0.3 mm\"".to_owned(), 0.4),
    ] {
        desk.edit("suppliers.toml", &last, &screen);
        last = screen;
        let output = desk.plan(&order("", 1, print));
        assert!(output.status.code().is_some_and(|code| code < 2), "{}", said(&output));
        let files = desk.written();
        let colours = picture(&files["sheets/a-1.png"]);
        let copies =
            (colours.alpha.iter().filter(|a| **a > 0).count() as f64 * (25.4_f64 / 300.0).powi(2) / full).round();
        let white = picture(&files["sheets/a-1-white.png"]).covered() as f64 * (25.4_f64 / 300.0).powi(2) / copies;
        let measured = (white - (full - inner)) / inner;
        assert!((measured - share).abs() < 0.01, "{last}: {measured}");
    }
}

/// A sheet longer than the printer takes in one piece comes in numbered parts, whole pieces in each;
/// so does one whose file would be too large.
#[test]
fn size_limits_divide_a_sheet_between_its_pieces() {
    let desk = Desk::new();
    rule(&desk, "reading = \"right\", layers = \"colour\"", "longest = \"260 mm\"\ncheck-bar = true");
    done(&desk.plan(&order("", 8, BOUGHT)));
    let files = desk.written();
    let parts: Vec<&String> =
        files.keys().filter(|name| name.starts_with("sheets/") && name.ends_with(".png")).collect();
    assert!(parts.len() > 1 && parts.iter().any(|name| name.contains("-part-2")), "{parts:?}");
    assert_eq!(
        files.keys().filter(|name| name.starts_with("sheets/") && name.ends_with(".pdf")).count(),
        sheets_of(&parts)
    );
    for part in &parts {
        assert!(picture(&files[*part]).height as f64 * 25.4 / 300.0 <= 260.0 + 0.05, "{part}");
    }
    let rows = |files: &BTreeMap<String, Vec<u8>>| -> usize {
        let lists = files.iter().filter(|(name, _)| name.starts_with("maps/") && name.ends_with(".csv"));
        lists.filter(|(name, _)| !name.contains("-cuts")).map(|(_, b)| b.split(|b| *b == b'\n').count() - 2).sum()
    };
    let pieces = rows(&files);
    assert!(pieces >= 9, "every piece is on a map: {pieces}");

    desk.edit("suppliers.toml", "longest = \"260 mm\"", "pages-in = \"own-files\"\nlongest = \"260 mm\"");
    done(&desk.plan(&order("", 8, BOUGHT)));
    let apart = desk.names("sheets/").iter().filter(|name| name.ends_with(".pdf")).count();
    assert_eq!(apart, parts.len());

    desk.edit("suppliers.toml", "pages-in = \"own-files\"\nlongest = \"260 mm\"", "formats = [\"png\"]");
    done(&desk.plan(&order("", 8, BOUGHT)));
    let largest = desk.written().iter().filter(|(n, _)| n.starts_with("sheets/")).map(|(_, b)| b.len()).max();
    let limit = largest.expect("sheets") as f64 * 0.7 / 1e6;
    desk.edit("suppliers.toml", "formats = [\"png\"]", &format!("formats = [\"png\"]\nlargest-mb = {limit:.4}"));
    done(&desk.plan(&order("", 8, BOUGHT)));
    let files = desk.written();
    assert_eq!(rows(&files), pieces);
    for (name, bytes) in files.iter().filter(|(name, _)| name.starts_with("sheets/")) {
        assert!(bytes.len() as f64 <= limit * 1e6, "{name} has {} of {limit} million bytes", bytes.len());
    }
    // What no division makes small enough is said.
    desk.edit("suppliers.toml", &format!("largest-mb = {limit:.4}"), "largest-mb = 0.01");
    assert!(said(&desk.plan(&order("", 8, BOUGHT))).contains("million bytes"), "a file too large is told");
}

/// Different sheets of the parts: every part but its number.
fn sheets_of(parts: &[&String]) -> usize {
    let stems: std::collections::BTreeSet<&str> =
        parts.iter().map(|name| name.split("-part-").next().unwrap_or(name).trim_end_matches(".png")).collect();
    stems.len()
}

/// Knife, overlap, weeding and formats of cut files, by cutter and by film.
#[test]
fn the_cutter_and_the_film_decide_the_cut_files() {
    let desk = Desk::new();
    done(&desk.plan(&order("", 2, CUT)));
    let names = desk.names("cut/");
    assert_eq!(names.len(), 3);
    let usual = desk.written();
    let dxf = String::from_utf8_lossy(&usual["cut/a-1-kite-red-reversed.dxf"]).into_owned();
    assert!(dxf.contains("kite red") && dxf.contains("reversed") && dxf.contains("\nWEED\n"));
    let svg = String::from_utf8_lossy(&usual["cut/a-1-kite-red-reversed.svg"]).into_owned();
    assert!(svg.contains("<title>Cut file, reversed: a-1, Meadow plain film, kite red</title>"));

    desk.edit("stock.toml", "id = \"plain-roll-500\"", "cut = { weeding = \"none\" }\nid = \"plain-roll-500\"");
    done(&desk.plan(&order("", 2, CUT)));
    let plain = strokes(&desk.written()["cut/a-1-kite-red-reversed.plt"]);
    let weeded = strokes(&usual["cut/a-1-kite-red-reversed.plt"]);
    assert!(plain.len() < weeded.len(), "frame and splits are gone");
    desk.edit(
        "shop.toml",
        "[rates]",
        "[cutter]\nformats = [\"hpgl\"]\nknife-offset = \"0.5 mm\"\nturn-from = 25\noverlap = \"1 mm\"\ntolerance = \"0.02 mm\"\n\n[rates]",
    );
    done(&desk.plan(&order("", 2, CUT)));
    assert_eq!(desk.names("cut/"), ["cut/a-1-kite-red-reversed.plt"]);
    let led = strokes(&desk.written()["cut/a-1-kite-red-reversed.plt"]);
    // The holder runs half a millimetre ahead of the tip and swings round corners outside the letter.
    let (a, b) = (extent(&led), extent(&plain));
    for over in [b.0 - a.0, b.1 - a.1, a.2 - b.2, a.3 - b.3] {
        assert!((0.05..0.55).contains(&over), "{over}: {a:?} {b:?}");
    }

    desk.edit("shop.toml", "knife-offset = \"0.5 mm\"", "knife-offset = \"5 mm\"");
    let refused = desk.plan(&order("", 2, CUT));
    assert_eq!(refused.status.code(), Some(2));
    assert!(said(&refused).contains("Write 0 to 2 mm"), "{}", said(&refused));
}

const PRINT_FILM: &str = r##"
[[transfer]]
id = "film-print"
name = "Heron print film"
kind = "print-and-cut"
way = "printed-in-shop"
finish = "matt"
stock = ["print-roll"]
full-colour = true
white-below = true
data-sheet = "Heron data sheet"

[[transfer.recipe]]
sheet = "Heron data sheet"
reference-cloth = "jersey-190"
[[transfer.recipe.step]]
do = "place"
[[transfer.recipe.step]]
do = "press"
temperature = "155 °C"
dwell = "12 s"
pressure = "medium"
[[transfer.recipe.step]]
do = "peel"
peel = "hot"
"##;

/// Film that is printed and cut: corner marks on the print and in the cut file at the same places,
/// cuts as far outside the ink as the film's table says.
#[test]
fn printed_film_is_cut_round_by_its_corner_marks() {
    let desk = Desk::new();
    desk.add("transfers.toml", PRINT_FILM);
    desk.add(
        "stock.toml",
        "[[roll]]\nid = \"print-roll\"\nname = \"Print film\"\nsupplier = \"millrace\"\nwidth = \"500 mm\"\nstep = \"500 mm\"\n\
         price-per-step = \"8.00\"\nminimum = \"500 mm\"\nmaximum = \"25 m\"\nmargin = \"10 mm\"\nspacing = \"8 mm\"\n\
         reading = \"right\"\nturns = \"any\"\n[roll.print]\nlabels = false\ncut-name = \"Knife\"\n\
         [roll.cut]\noutline = \"1.5 mm\"\nweeding = \"none\"\n",
    );
    let print = "art = \"art/r.svg\"\nwidth = \"100 mm\"\ntransfer = \"film-print\"";
    done(&desk.plan(&order("", 3, print)));
    let files = desk.written();
    let cut = strokes(&files["cut/a-1-outline-right-reading.plt"]);
    let sheet = picture(&files["sheets/a-1.png"]);
    let px = 25.4 / 300.0;
    // Three angles of 10 mm stand half the margin in from the corners; the fourth stays bare.
    let dark = |x_mm: f64, y_mm: f64| sheet.alpha[(x_mm / px) as usize * sheet.width + (y_mm / px) as usize] >= 128;
    let (long, wide) = (sheet.height as f64 * px, sheet.width as f64 * px);
    assert!(dark(5.0, 9.0) && dark(9.0, 5.0) && dark(long - 9.0, 5.0) && dark(9.0, wide - 5.0));
    assert!(!dark(long - 9.0, wide - 5.0) && !dark(long - 5.0, wide - 9.0));
    let svg = String::from_utf8_lossy(&files["cut/a-1-outline-right-reading.svg"]).into_owned();
    assert!(svg.contains("id=\"printed-marks\""));
    // Ink away from the marks against the cuts: 1.5 mm outside on every side.
    let inner = |low: f64, at: usize, high: f64| (at as f64 * px) > low && (at as f64 * px) < high;
    let ink: Vec<(f64, f64)> = (0..sheet.alpha.len())
        .filter(|at| sheet.alpha[*at] >= 128)
        .map(|at| (at / sheet.width, at % sheet.width))
        .filter(|(v, u)| inner(9.9, *v, long - 9.9) && inner(9.9, *u, wide - 9.9))
        .map(|(v, u)| ((v as f64 + 0.5) * px, (u as f64 + 0.5) * px))
        .collect();
    let (a, b) = (extent(&[ink]), extent(&cut));
    for (ink, cut) in [(a.0 - b.0, 1.5), (a.1 - b.1, 1.5), (b.2 - a.2, 1.5), (b.3 - a.3, 1.5)] {
        assert!((ink - cut).abs() < 0.05 + px, "{ink}: {a:?} {b:?}");
    }
    let holds = |text: &str| files["sheets/a-1.pdf"].windows(text.len()).any(|part| part == text.as_bytes());
    assert!(holds("/Knife") && holds("/White"));
}

/// An order's own wishes: cloth shows through, a bar to measure by.
#[test]
fn an_order_asks_for_bare_cloth_and_a_bar() {
    let desk = Desk::new();
    // The tote is natural, #EAE2CF in the shop's file.
    fs::write(
        desk.path("art/two.svg"),
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"60mm\" height=\"60mm\" viewBox=\"0 0 60 60\">\
         <path fill=\"#203060\" d=\"M0 0H60V60H0Z\"/><path fill=\"#EAE2CF\" d=\"M15 15H45V45H15Z\"/></svg>",
    )
    .expect("written");
    rule(&desk, "reading = \"right\", layers = \"colour\"", "labels = false\nformats = [\"png\"]");
    let print = "art = \"art/two.svg\"\nwidth = \"120 mm\"\ntransfer = \"sheet-powder\"";
    let covered = |order: &str| {
        let output = desk.plan(order);
        assert!(output.status.code().is_some_and(|code| code < 2), "{}", said(&output));
        picture(&desk.written()["sheets/a-1.png"]).covered() as f64
    };
    let all = covered(&order("", 1, print));
    let bare = covered(&order("", 1, &format!("{print}\nlet-cloth-show = true")));
    assert!((bare / all - 0.75).abs() < 0.01, "a quarter is left out: {}", bare / all);
    let barred = covered(&order("check-bar = true", 1, print));
    // A rule 100 mm long and 0.4 mm thick with ends and its name.
    let more = (barred - all) * (25.4_f64 / 300.0).powi(2);
    assert!((40.0..80.0).contains(&more), "{more} mm²");
}

/// The file system says no in the middle of writing: exit 2 with clear words, the earlier plan whole,
/// nothing half-written left.
#[test]
fn a_full_disk_leaves_nothing_half_written() {
    let desk = Desk::new();
    let text = order("", 4, "art = \"art/clouds.png\"\nwidth = \"200 mm\"");
    done(&desk.plan(&order("", 2, BOUGHT)));
    let before = desk.written();
    // No file may grow past 400 blocks of 512 bytes; the signal that comes with it is ignored, so that
    // the write itself fails as on a full disk.
    let output = desk.shell(&format!("trap '' XFSZ; ulimit -f 400; {}", desk.command(&text)));
    refused(&desk, &output, &before);

    // A disk of 3 MB that is really full, where this machine lets us have one.
    let scratch = desk.path("small");
    fs::create_dir(&scratch).expect("a folder");
    let mount = "mount -t tmpfs -o size=3m tmpfs small";
    let own = desk.shell(&format!("unshare -m sh -c '{mount}' 2>&1"));
    if own.status.success() {
        let command = desk.command(&text).replace("--out out", "--out small/out");
        fs::write(desk.path("full.sh"), format!("{mount} || exit 99\n({command})\necho code $?; ls -A small\n"))
            .expect("written");
        let output = desk.shell("unshare -m sh full.sh");
        let (out, words) = (String::from_utf8_lossy(&output.stdout), said(&output));
        assert!(words.contains("No space left on device"), "{words}");
        assert!(out.trim_end().ends_with("code 2"), "nothing is left on it: {words}");
    }
}

fn refused(desk: &Desk, output: &Output, before: &BTreeMap<String, Vec<u8>>) {
    assert_eq!(output.status.code(), Some(2), "{}", said(output));
    let words = said(output);
    assert!(words.contains("cannot be written") && words.contains("space"), "{words}");
    assert!(desk.written() == *before, "the earlier plan is whole");
    let left: Vec<String> = fs::read_dir(desk.home.path())
        .expect("a folder")
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| !["shop", "art", "out", "order.toml"].contains(&name.as_str()))
        .collect();
    assert!(left.is_empty(), "left behind: {left:?}");
}
