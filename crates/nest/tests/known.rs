//! Answers known beforehand, rules kept, and input refused.

mod common;

use std::time::{Duration, Instant};

use common::Chance;
use geometry::{Outline, Point};
use nest::{Design, Instance, LockedPiece, Piece, Rotations, Settings, Stock, StockKind, Trim, check, solve};
use report::{Effort, Go, Progress, Quiet, Seed, Watch};

fn sheet(width_mm: f64, length_mm: f64, price: i64) -> Stock {
    Stock::new(format!("sheet {width_mm} x {length_mm}"), StockKind::Sheet { width_mm, length_mm, price, count: None })
}

fn roll(width_mm: f64, price_per_step: i64, step_mm: f64) -> Stock {
    let kind = StockKind::Roll { width_mm, price_per_step, step_mm, minimum_mm: 0.0, maximum_mm: 25_000.0 };
    Stock::new("roll", kind)
}

fn rectangle(id: &str, quantity: u32, width: f64, height: f64) -> Design {
    Design::new(id, quantity, Outline::rectangle(width, height).expect("an outline"))
}

fn polygon(id: &str, quantity: u32, points: &[(f64, f64)]) -> Design {
    let ring = points.iter().map(|(x, y)| Point::new(*x, *y)).collect();
    Design::new(id, quantity, Outline::new(ring, Vec::new()).expect("an outline"))
}

fn frame(id: &str, quantity: u32, size: f64, hole: f64) -> Design {
    let square = |low: f64, high: f64| {
        vec![Point::new(low, low), Point::new(high, low), Point::new(high, high), Point::new(low, high)]
    };
    let inset = (size - hole) / 2.0;
    let outline = Outline::new(square(0.0, size), vec![square(inset, size - inset)]).expect("an outline");
    Design::new(id, quantity, outline)
}

/// A five-pointed star as logos have them.
fn star(id: &str, quantity: u32, size: f64) -> Design {
    let point = |k: i32| {
        let (sin, cos) = (f64::from(k) * std::f64::consts::PI / 5.0).sin_cos();
        let r = if k % 2 == 0 { size } else { size * 0.45 };
        (r * cos, r * sin)
    };
    polygon(id, quantity, &(0..10).map(point).collect::<Vec<_>>())
}

fn settings(effort: u64) -> Settings {
    Settings { effort: Effort(effort), seed: Seed(3), threads: 2 }
}

fn solved(instance: &Instance, effort: u64) -> nest::Layout {
    let outcome = solve(instance, &settings(effort), &mut Quiet).expect("a layout");
    let verdict = check(instance, &outcome.value);
    assert!(verdict.good(), "{:?}", verdict.faults);
    outcome.value
}

fn instance(designs: Vec<Design>, stock: Vec<Stock>, spacing_mm: f64) -> Instance {
    Instance { spacing_mm, designs, stock, locked: Vec::new() }
}

/// Rectangles cut from a whole sheet fit back: 4 × (60 × 40) is 120 × 80 exactly,
/// with spacing 2 it is 122 × 82.
#[test]
fn rectangles_fill_their_sheet() {
    for (spacing, width, length) in [(0.0, 80.0, 120.0), (2.0, 82.0, 122.0)] {
        let all = instance(vec![rectangle("card", 4, 60.0, 40.0)], vec![sheet(width, length, 700)], spacing);
        let layout = solved(&all, 0);
        assert!(layout.complete);
        assert_eq!((layout.cost, layout.sheets.len()), (700, 1));
        assert_eq!(layout.lower_bound, 700);
    }
}

/// Cut up in strips of different width: 100 × 60 from pieces 50×20, 50×40, 30×60, 20×60.
#[test]
fn unlike_rectangles_fill_their_strip() {
    let designs = vec![
        rectangle("a", 1, 50.0, 20.0),
        rectangle("b", 1, 50.0, 40.0),
        rectangle("c", 1, 30.0, 60.0),
        rectangle("d", 1, 20.0, 60.0),
    ];
    let layout = solved(&instance(designs, vec![roll(60.0, 1, 0.1)], 0.0), 400_000);
    assert!(layout.sheets[0].used_length_mm <= 100.0 + 1e-5, "{}", layout.sheets[0].used_length_mm);
}

/// A square cut along a zigzag and a diagonal goes together again.
#[test]
fn a_jigsaw_goes_together() {
    let zig = [(30.0, 0.0), (45.0, 10.0), (30.0, 20.0), (50.0, 35.0), (40.0, 60.0)];
    let mut left = vec![(0.0, 60.0), (0.0, 0.0)];
    left.extend(zig);
    let mut right = vec![(60.0, 60.0)];
    right.extend(zig.iter().rev());
    right.extend([(60.0, 0.0)]);
    let mut designs = vec![polygon("left", 2, &left), polygon("right", 2, &right)];
    for d in &mut designs {
        d.rotations = Rotations::Half;
    }
    let layout = solved(&instance(designs, vec![sheet(60.0, 120.0, 500), sheet(60.0, 90.0, 480)], 0.0), 200_000);
    assert_eq!((layout.complete, layout.cost), (true, 500));
}

/// Sheets cut across along zigzags, several seeds: the area of the pieces admits no cheaper set.
#[test]
fn jigsaws_of_several_sheets_go_together() {
    for seed in 1..=6 {
        let mut chance = Chance(seed);
        let mut designs = Vec::new();
        for (length, width) in [(120.0, 80.0), (150.0, 100.0), (120.0, 80.0)] {
            let parts = 2 + chance.below(2);
            let mut before = vec![(0.0, 0.0), (0.0, width)];
            for part in 1..=parts {
                let x = length * part as f64 / parts as f64;
                let inner = (1..5).map(|k| (x + chance.below(24) as f64 - 12.0, width * f64::from(k) / 5.0));
                let zigzag: Vec<(f64, f64)> = [(x, 0.0)].into_iter().chain(inner).chain([(x, width)]).collect();
                let next = if part == parts { vec![(length, 0.0), (length, width)] } else { zigzag };
                let around: Vec<(f64, f64)> = next.iter().chain(before.iter().rev()).copied().collect();
                let mut design = polygon(&format!("part {}", designs.len()), 1, &around);
                design.rotations = Rotations::Half;
                designs.push(design);
                before = next;
            }
        }
        let stock = vec![sheet(80.0, 120.0, 500), sheet(100.0, 150.0, 820)];
        let layout = solved(&instance(designs, stock, 0.0), 400_000);
        assert_eq!((layout.complete, layout.cost), (true, 1820), "seed {seed}");
    }
}

/// The rectangle of 33 × 32 made of nine different squares (Z. Moroń, "O rozkładach prostokątów na
/// kwadraty", Przegląd Matematyczno-Fizyczny 3, 1925): no straight cut goes through it.
#[test]
fn a_rectangle_of_squares_goes_together() {
    let squares = [18, 15, 14, 10, 9, 8, 7, 4, 1];
    let square = |side: &i32| rectangle(&side.to_string(), 1, f64::from(*side) * 10.0, f64::from(*side) * 10.0);
    let stock = vec![sheet(320.0, 330.0, 1000), sheet(200.0, 200.0, 520)];
    let layout = solved(&instance(squares.iter().map(square).collect(), stock, 0.0), 1_000_000);
    assert_eq!((layout.complete, layout.cost), (true, 1000));
}

/// Sheets cut up so that the cheapest set is known: the area admits nothing cheaper.
#[test]
fn the_cheapest_set_is_found() {
    let designs = vec![
        rectangle("half", 2, 100.0, 50.0),
        rectangle("quarter", 4, 50.0, 50.0),
        rectangle("strip", 2, 100.0, 20.0),
    ];
    // 100 × 200 of halves and quarters, and 100 × 40 of strips: one large and one small sheet.
    let stock =
        vec![sheet(100.0, 200.0, 1000), sheet(100.0, 40.0, 230), sheet(100.0, 100.0, 620), sheet(200.0, 200.0, 1900)];
    let layout = solved(&instance(designs, stock, 0.0), 600_000);
    assert_eq!((layout.complete, layout.cost), (true, 1230));
}

/// Width, length and price of the sheets that are cut up.
const LIST: [(f64, f64, i64); 3] = [(200.0, 300.0, 700), (300.0, 450.0, 1450), (420.0, 600.0, 2500)];

/// Some sheets of the list cut up by straight cuts, some corners of the pieces taken off where there
/// is no spacing: no cheaper sheets have the area of the pieces, so what was cut up is the cheapest
/// set there is, and it is filled whole by the pieces' rectangles. The instance and the set's price.
fn cut_up_sheets(seed: u64, spacing: f64, sheets: &[usize]) -> (Instance, i64) {
    let mut chance = Chance(seed);
    let mut cells = Vec::new();
    for (width, length, _) in sheets.iter().map(|sheet| LIST[*sheet]) {
        cut_up(&mut chance, [length + spacing, width + spacing], 60.0, &mut cells);
    }
    let designs = cells.iter().enumerate().map(|(at, cell)| {
        let [x, y] = cell.map(|side| side - spacing);
        let off = if spacing == 0.0 && chance.below(2) == 0 { 0.4 * x.min(y) } else { 0.0 };
        let mut corners = vec![(0.0, 0.0), (x, 0.0), (x, y), (off, y), (0.0, y - off)];
        corners.dedup();
        polygon(&format!("cell {at}"), 1, &corners)
    });
    let designs: Vec<Design> = designs.collect();
    let cost: i64 = sheets.iter().map(|sheet| LIST[*sheet].2).sum();
    let area: f64 = designs.iter().map(|d| d.outline.area() + spacing / 2.0 * d.outline.perimeter()).sum();
    assert_eq!(cheapest_with(area, spacing), cost, "seed {seed}: another set may be cheaper");
    (instance(designs, LIST.map(|(width, length, price)| sheet(width, length, price)).to_vec(), spacing), cost)
}

/// With nothing lost between the pieces and as labels 3 mm apart.
#[test]
fn sheets_cut_up_go_together_again() {
    let cases: [(u64, f64, &[usize]); 6] = [
        (1, 0.0, &[0, 0, 0]),
        (2, 0.0, &[2, 0]),
        (3, 0.0, &[1, 1]),
        (4, 0.0, &[2, 0, 0]),
        (5, 3.0, &[2, 0]),
        (6, 3.0, &[1, 0]),
    ];
    for (seed, spacing, sheets) in cases {
        let (all, cost) = cut_up_sheets(seed, spacing, sheets);
        let layout = solved(&all, 4_000_000);
        assert_eq!((layout.complete, layout.cost), (true, cost), "seed {seed}, {} pieces", all.designs.len());
    }
}

/// What fills sheets whole is the same on 1, 2 and 4 threads, and more effort never costs more.
#[test]
fn threads_change_nothing_where_nothing_is_lost() {
    let (all, cost) = cut_up_sheets(2, 0.0, &[2, 0]);
    let run = |effort: u64, threads: usize| {
        solve(&all, &Settings { threads, ..settings(effort) }, &mut Quiet).expect("a layout").value
    };
    let mut before = i64::MAX;
    for effort in [0, 30_000, 60_000, 90_000, 120_000, 200_000, 400_000, 4_000_000] {
        let layout = run(effort, 2);
        assert!(layout.cost <= before, "{effort}: {} after {before}", layout.cost);
        assert!(effort > 200_000 || run(effort, 1) == layout && run(effort, 4) == layout, "{effort}");
        before = layout.cost;
    }
    assert_eq!(before, cost);
}

/// What the sheets of a price list with so much grown area cost at least.
fn cheapest_with(needed: f64, spacing: f64) -> i64 {
    let counts = (0..1000).map(|n| [n % 10, n / 10 % 10, n / 100]);
    let grown = |counts: &[i32; 3]| -> f64 {
        counts.iter().zip(LIST).map(|(n, (w, l, _))| f64::from(*n) * (w + spacing) * (l + spacing)).sum()
    };
    let price = |counts: [i32; 3]| -> i64 { counts.iter().zip(LIST).map(|(n, s)| i64::from(*n) * s.2).sum() };
    counts.filter(|counts| grown(counts) >= needed).map(price).min().expect("a set of sheets")
}

/// A rectangle cut across its longer side at whole millimetres, again and again.
fn cut_up(chance: &mut Chance, size: [f64; 2], least: f64, into: &mut Vec<[f64; 2]>) {
    let along = usize::from(size[1] > size[0]);
    if size[along] < 2.0 * least || size[0] * size[1] < 3.0 * least * least {
        into.push(size);
        return;
    }
    let cut = least + chance.below((size[along] - 2.0 * least) as usize + 1) as f64;
    let mut parts = [size, size];
    parts[0][along] = cut;
    parts[1][along] = size[along] - cut;
    for part in parts {
        cut_up(chance, part, least, into);
    }
}

#[test]
fn holes_are_used_and_more_than_once_deep() {
    let designs = vec![
        frame("large", 1, 100.0, 84.0),
        frame("middle", 1, 78.0, 62.0),
        frame("small", 1, 56.0, 40.0),
        rectangle("heart", 1, 34.0, 34.0),
    ];
    let layout = solved(&instance(designs, vec![sheet(100.0, 100.0, 100)], 3.0), 0);
    assert_eq!((layout.complete, layout.cost), (true, 100));
    let filled = vec![rectangle("large", 1, 100.0, 100.0), rectangle("middle", 1, 78.0, 78.0)];
    let layout = solved(&instance(filled, vec![sheet(100.0, 100.0, 100)], 3.0), 0);
    assert_eq!(layout.cost, 200);
}

/// 5 × 110 mm with a margin of 10 mm at both ends and steps of 100 mm: 570 mm are charged as 600.
#[test]
fn a_roll_is_charged_by_the_step() {
    let mut stock = roll(120.0, 45, 100.0);
    stock.margin_mm = 10.0;
    let layout = solved(&instance(vec![rectangle("bar", 5, 110.0, 98.0)], vec![stock], 0.0), 0);
    let sheet = &layout.sheets[0];
    assert!((sheet.used_length_mm - 550.0).abs() < 1e-5);
    assert!((sheet.charged_length_mm - 600.0).abs() < 1e-9);
    assert_eq!(layout.cost, 270);
}

#[test]
fn identical_sheets_have_their_break_and_set_up() {
    let mut stock = sheet(100.0, 100.0, 1000);
    stock.identical = vec![(1, 1000), (5, 800)];
    stock.set_up = 300;
    let layout = solved(&instance(vec![rectangle("a", 10, 100.0, 50.0)], vec![stock], 0.0), 0);
    assert_eq!((layout.sheets.len(), layout.cost), (5, 5 * 800 + 300));
}

/// By hand: 10 pieces of 50 × 100 in a row on a roll 100 wide are 500 mm, five steps of 100.
/// 5 × 30 = 150; from 5 steps 5 × 24 = 120. Nine are 450 mm, five steps begun as well; eight are four: 4 × 30 = 120.
#[test]
fn a_roll_is_cheaper_from_a_length_on() {
    let mut stock = roll(100.0, 30, 100.0);
    stock.by_quantity = vec![(5, 24), (20, 20)];
    for (pieces, cost) in [(10, 120), (9, 120), (8, 120), (6, 90), (42, 21 * 20)] {
        let layout = solved(&instance(vec![rectangle("a", pieces, 50.0, 100.0)], vec![stock.clone()], 0.0), 0);
        assert_eq!(layout.cost, cost, "{pieces} pieces");
        assert_eq!(layout.lower_bound, cost, "{pieces} pieces: by area alone no less is possible");
    }
}

/// By hand: a sheet holds 2, so 6 take three. The dearer roll of few metres is the cheaper one for many.
#[test]
fn breaks_decide_between_sheets_and_rolls() {
    let mut sheets = sheet(100.0, 100.0, 28);
    let mut film = roll(100.0, 30, 100.0);
    film.by_quantity = vec![(5, 24)];
    let of =
        |pieces, stock: &[Stock]| solved(&instance(vec![rectangle("a", pieces, 50.0, 100.0)], stock.to_vec(), 0.0), 0);
    let both = [sheets.clone(), film.clone()];
    assert_eq!((of(6, &both).cost, of(6, &both).sheets[0].stock), (3 * 28, 0));
    assert_eq!((of(12, &both).cost, of(12, &both).sheets[0].stock), (6 * 24, 1));
    // From six sheets on the sheet is the cheaper one again, whatever lies on them.
    sheets.by_quantity = vec![(6, 23)];
    let both = [sheets.clone(), film];
    assert_eq!((of(12, &both).cost, of(12, &both).sheets[0].stock), (6 * 23, 0));
    // With a price for equal sheets as well, the lower holds.
    sheets.identical = vec![(2, 25)];
    assert_eq!(of(12, &[sheets.clone()]).cost, 6 * 23);
    sheets.identical = vec![(2, 20)];
    assert_eq!(of(12, &[sheets]).cost, 6 * 20);
}

/// By hand: six pieces of 50 × 40 are cut straight from one another, 4 s or 40 a cut. On one sheet that
/// is 700 + 5 × 40; on two of half the size 2 × 700 + 4 × 40; with a remnant for three of them
/// 700 + 4 × 40. Nothing less is possible, and the bound says so.
#[test]
fn the_bound_knows_what_scissors_cost() {
    let trim = Trim { by_hand: true, per_straight_cut_s: 4.0, per_outline_mm_s: 0.5, rate_per_hour: 36_000 };
    let by_hand = |mut stock: Stock| {
        stock.trim = Some(trim);
        stock
    };
    let remnant = StockKind::Sheet { width_mm: 40.0, length_mm: 150.0, price: 0, count: Some(1) };
    for (stock, cost) in [
        (vec![sheet(80.0, 150.0, 700)], 900),
        (vec![sheet(40.0, 150.0, 700)], 1560),
        (vec![Stock::new("remnant", remnant), sheet(40.0, 150.0, 700)], 860),
    ] {
        let stock: Vec<Stock> = stock.into_iter().map(by_hand).collect();
        let layout = solved(&instance(vec![rectangle("card", 6, 50.0, 40.0)], stock.clone(), 0.0), 100_000);
        assert_eq!((layout.cost, layout.lower_bound), (cost, cost), "{stock:?}");
    }
}

/// Interlocked pieces cost long cuts along their outlines; apart in lanes they cost two straight ones.
#[test]
fn lanes_win_when_scissors_cost_more_than_film() {
    let corner = [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (20.0, 20.0), (20.0, 60.0), (0.0, 60.0)];
    let mut stock = sheet(100.0, 84.0, 100);
    let film = instance(vec![polygon("corner", 4, &corner)], vec![stock.clone()], 2.0);
    let by_machine = solved(&film, 200_000);
    stock.trim = Some(Trim { by_hand: true, per_straight_cut_s: 4.0, per_outline_mm_s: 0.5, rate_per_hour: 36_000 });
    let by_hand = solved(&instance(vec![polygon("corner", 4, &corner)], vec![stock], 2.0), 200_000);
    assert!(by_machine.sheets.len() < by_hand.sheets.len(), "{} {}", by_machine.sheets.len(), by_hand.sheets.len());
}

#[test]
fn spares_fill_what_is_paid_for() {
    let mut a = rectangle("often lost", 1, 30.0, 30.0);
    a.spare_weight = 2.0;
    let layout = solved(&instance(vec![a], vec![sheet(64.0, 64.0, 10)], 4.0), 0);
    assert_eq!(layout.sheets[0].pieces.iter().filter(|p| p.spare).count(), 3);
    assert_eq!(layout.cost, 10);
}

#[test]
fn locked_pieces_stay_and_others_join_them() {
    let mut half_full = instance(vec![rectangle("a", 2, 50.0, 90.0)], vec![sheet(90.0, 104.0, 10)], 4.0);
    let piece = Piece { design: 0, copy: 1, x_mm: 54.0, y_mm: 0.0, rotation_deg: 0.0, mirrored: false, spare: false };
    half_full.locked = vec![LockedPiece { sheet: 0, stock: 0, piece }];
    let layout = solved(&half_full, 50_000);
    assert_eq!((layout.complete, layout.cost, layout.sheets.len()), (true, 10, 1));
    assert!(layout.sheets[0].pieces.contains(&piece));
}

#[test]
fn groups_stay_together_or_apart() {
    let mut designs = vec![rectangle("a", 1, 40.0, 40.0), rectangle("b", 1, 40.0, 40.0), rectangle("c", 2, 40.0, 40.0)];
    designs[0].keep_apart = Some("bags".into());
    designs[1].keep_apart = Some("bags".into());
    designs[2].keep_together = Some("set".into());
    let layout = solved(&instance(designs, vec![sheet(40.0, 84.0, 10)], 0.0), 100_000);
    assert_eq!((layout.complete, layout.sheets.len()), (true, 3));
}

#[test]
fn forbidden_zones_and_direction_are_kept() {
    let mut stock = sheet(50.0, 110.0, 10);
    stock.forbidden = vec![Outline::rectangle(10.0, 50.0).expect("an outline")];
    stock.direction = nest::Direction::Fixed;
    let layout = solved(&instance(vec![rectangle("a", 1, 100.0, 50.0)], vec![stock], 0.0), 0);
    let piece = &layout.sheets[0].pieces[0];
    assert!(piece.x_mm >= 10.0 - 1e-6 && piece.rotation_deg == 0.0);
}

#[test]
fn mirrored_designs_lie_mirrored() {
    let mut flag = polygon("flag", 2, &[(0.0, 0.0), (50.0, 0.0), (0.0, 30.0)]);
    flag.mirrored = true;
    flag.rotations = Rotations::None;
    let layout = solved(&instance(vec![flag], vec![roll(30.0, 1, 1.0)], 0.0), 50_000);
    assert!(layout.sheets[0].pieces.iter().all(|p| p.mirrored));
}

fn logos() -> Instance {
    let mut designs = vec![star("star", 9, 30.0), frame("ring", 4, 80.0, 60.0), rectangle("bar", 8, 90.0, 12.0)];
    designs.push(polygon("kite", 10, &[(0.0, 20.0), (25.0, 0.0), (80.0, 20.0), (25.0, 40.0)]));
    designs[3].rotations = Rotations::Any;
    instance(designs, vec![sheet(300.0, 300.0, 1600), sheet(300.0, 150.0, 900), roll(310.0, 45, 10.0)], 6.0)
}

/// The same bytes on 1, 2 and 4 threads; more effort never costs more.
#[test]
fn threads_change_nothing_and_effort_never_hurts() {
    let all = logos();
    let text = nest::form::write_instance(&all);
    let run = |threads: usize| {
        let settings = Settings { threads, ..settings(400_000) };
        nest::form::run(&text, &settings, &mut Quiet).expect("a layout")
    };
    let one = run(1);
    assert_eq!(one, run(2));
    assert_eq!(one, run(4));
    assert!(nest::form::check(&text, &one).expect("a verdict").1);
    let mut before = i64::MAX;
    for effort in [0, 100_000, 200_000, 400_000, 800_000] {
        let cost = solved(&all, effort).cost;
        assert!(cost <= before, "{effort}: {cost} after {before}");
        before = cost;
    }
}

struct StopAt(u32);

impl Watch for StopAt {
    fn told(&mut self, _: &Progress) -> Go {
        self.0 = self.0.saturating_sub(1);
        if self.0 == 0 { Go::Stop } else { Go::On }
    }
}

#[test]
fn a_watch_stops_it_and_the_best_comes_back() {
    let start = Instant::now();
    let outcome = solve(&logos(), &settings(u64::MAX / 2), &mut StopAt(4)).expect("a layout");
    assert!(outcome.value.complete && start.elapsed() < Duration::from_secs(30));
}

/// Nothing is left to gain, so the search ends long before its effort does.
#[test]
fn a_finished_roll_ends_the_search() {
    let start = Instant::now();
    let mut one = instance(vec![rectangle("a", 1, 40.0, 30.0)], vec![roll(50.0, 10, 7.0)], 2.0);
    one.stock[0].margin_mm = 1.0;
    let layout = solved(&one, u64::MAX / 4);
    assert!((layout.sheets[0].used_length_mm - 30.0).abs() < 1e-6 && start.elapsed() < Duration::from_secs(20));
}

#[test]
fn too_large_designs_are_said_and_the_rest_is_laid() {
    let designs = vec![rectangle("door", 1, 2000.0, 900.0), rectangle("badge", 2, 50.0, 50.0)];
    let outcome = solve(&instance(designs, vec![sheet(300.0, 300.0, 10)], 2.0), &settings(10_000), &mut Quiet);
    let outcome = outcome.expect("a layout");
    assert_eq!(outcome.value.unplaced, [(0, 1)]);
    assert!(outcome.findings.iter().any(|f| f.code == nest::codes::TOO_LARGE));
    assert_eq!(outcome.value.sheets[0].pieces.len(), 2);
}

/// An outline that crosses itself in a loop too small to matter is laid out without the loop, and
/// said; one whose loop reaches a millimetre over is refused, however thin the loop is.
#[test]
fn only_what_is_too_small_to_matter_is_left_out() {
    let crossed = |loop_mm: f64| {
        let outline = polygon("kite", 12, &[(0.0, 0.0), (-loop_mm, 0.0), (40.0, 25.0), (0.0, 256.0)]);
        instance(vec![outline], vec![sheet(558.8, 609.6, 1600)], 6.0)
    };
    let outcome = solve(&crossed(0.02), &settings(2_000), &mut Quiet).expect("a layout");
    assert!(outcome.findings.iter().any(|found| found.code == nest::codes::MENDED));
    let verdict = nest::check_within(&crossed(0.02), &outcome.value, 0.05);
    assert!(verdict.good(), "{:?}", verdict.faults);
    let refusal = solve(&crossed(1.0), &settings(2_000), &mut Quiet).expect_err("refused");
    assert_eq!(refusal.findings[0].code, nest::codes::CROSSING);
    // A spike of no width at all, 40 mm long, beside a triangle.
    let spiked = polygon("lantern", 12, &[(0.0, 0.0), (40.0, 0.0), (40.0, 25.0), (256.0, 0.0)]);
    let spiked = instance(vec![spiked], vec![sheet(558.8, 609.6, 1600)], 6.0);
    let refusal = solve(&spiked, &settings(2_000), &mut Quiet).expect_err("refused");
    assert_eq!(refusal.findings[0].code, nest::codes::CROSSING);
}

/// Input that cannot be laid out is refused by name, in bounded time.
#[test]
fn bad_input_is_refused() {
    let good = || instance(vec![rectangle("a", 1, 10.0, 10.0)], vec![sheet(100.0, 100.0, 10)], 2.0);
    let change = |f: &dyn Fn(&mut Instance)| {
        let mut bad = good();
        f(&mut bad);
        bad
    };
    let bow = polygon("bow", 1, &[(0.0, 0.0), (30.0, 30.0), (30.0, 0.0), (0.0, 25.0)]);
    let zigzag: Vec<(f64, f64)> = (0..100_000)
        .map(|k| (f64::from(k % 2) * 90.0 + f64::from(k) * 1e-4, f64::from(k) * 1e-3 * f64::from(k % 3)))
        .collect();
    let piece = Piece { design: 0, copy: 0, x_mm: 95.0, y_mm: 0.0, rotation_deg: 0.0, mirrored: false, spare: false };
    let far_out = LockedPiece { sheet: 0, stock: 0, piece };
    let table: Vec<(Instance, report::Code)> = vec![
        (change(&|i| i.designs.clear()), nest::codes::NOTHING),
        (change(&|i| i.stock.clear()), nest::codes::NO_STOCK),
        (change(&|i| i.designs[0].quantity = 0), nest::codes::NO_QUANTITY),
        (change(&|i| i.designs[0].quantity = 1_000_000), nest::codes::TOO_MANY),
        (change(&|i| i.spacing_mm = f64::NAN), nest::codes::OUT_OF_RANGE),
        (change(&|i| i.spacing_mm = -1.0), nest::codes::OUT_OF_RANGE),
        (change(&|i| i.stock[0].margin_mm = 60.0), nest::codes::NO_AREA),
        (change(&|i| i.stock[0].set_up = -5), nest::codes::OUT_OF_RANGE),
        (change(&|i| i.designs[0].rotations = Rotations::List(vec![f64::INFINITY])), nest::codes::OUT_OF_RANGE),
        (change(&|i| i.designs[0].rotations = Rotations::List(vec![])), nest::codes::OUT_OF_RANGE),
        (change(&|i| i.locked = vec![far_out]), nest::codes::OUTSIDE),
        (change(&|i| i.designs[0] = bow.clone()), nest::codes::CROSSING),
        (change(&|i| i.designs[0] = polygon("z", 1, &zigzag)), nest::codes::CROSSING),
    ];
    for (bad, code) in table {
        let start = Instant::now();
        let refusal = solve(&bad, &settings(0), &mut Quiet).expect_err(code.0);
        assert!(refusal.findings.iter().any(|f| f.code == code), "{} {:?}", code.0, refusal.findings);
        assert!(start.elapsed() < Duration::from_secs(20));
    }
}

/// Thirty thousand points along a wavy edge, and a spacing wider than the sheet.
#[test]
fn large_outlines_and_wide_spacing_take_bounded_time() {
    let wavy = |k: i32| {
        let t = f64::from(k) * std::f64::consts::TAU / 30_000.0;
        let r = 40.0 + 3.0 * (7.0 * t).sin() + 0.01 * (9_001.0 * t).sin();
        (r * t.cos(), r * t.sin())
    };
    let traced = polygon("traced", 3, &(0..30_000).map(wavy).collect::<Vec<_>>());
    let start = Instant::now();
    let layout = solved(&instance(vec![traced], vec![sheet(100.0, 300.0, 10)], 3.0), 20_000);
    assert!(layout.complete && start.elapsed() < Duration::from_secs(60));
    let wide = instance(vec![rectangle("a", 3, 10.0, 10.0)], vec![sheet(100.0, 100.0, 10)], 500.0);
    assert_eq!(solved(&wide, 0).cost, 30);
}

#[test]
fn unknown_keys_are_named() {
    let text = r#"{ "spacing_mm": 1, "designs": [ { "id": "a", "quantity": 1, "outline": [[0,0],[1,0],[0,1]], "colour": "red" } ], "stock": [] }"#;
    let refused = nest::form::run(text, &settings(0), &mut Quiet).expect_err("an unknown key");
    assert!(refused.to_string().contains("designs[0]") && refused.to_string().contains("colour"), "{refused}");
    assert!(nest::form::schema().contains("spacing_mm"));
}

/// 230 different rectangles, more than are laid out together: complete and good, with the few free
/// remnants used no oftener than there are, groups kept together, and more effort never dearer.
#[test]
fn very_many_designs_are_laid_out_in_batches() {
    let mut designs: Vec<Design> = (0..230)
        .map(|k| rectangle(&format!("d{k}"), 1, 20.0 + f64::from(k % 23) * 3.0, 25.0 + f64::from(k % 17) * 4.0))
        .collect();
    for at in [3, 120, 229] {
        designs[at].keep_together = Some("one customer".into());
    }
    let remnant = StockKind::Sheet { width_mm: 200.0, length_mm: 150.0, price: 0, count: Some(3) };
    let stock = vec![Stock::new("remnant", remnant), sheet(500.0, 600.0, 900), roll(560.0, 20, 10.0)];
    let whole = instance(designs, stock, 3.0);
    let first = solved(&whole, 0);
    let longer = solved(&whole, 60_000);
    for layout in [&first, &longer] {
        assert!(layout.complete && layout.unplaced.is_empty());
        assert!(layout.sheets.iter().filter(|sheet| sheet.stock == 0).count() <= 3);
        assert_eq!(layout.sheets.iter().map(|sheet| sheet.pieces.len()).sum::<usize>(), 230);
        assert!(layout.lower_bound <= layout.cost);
    }
    assert!(longer.cost <= first.cost);
    let alone = Settings { threads: 1, ..settings(60_000) };
    let again = solve(&whole, &alone, &mut Quiet).expect("a layout").value;
    assert_eq!(again, longer);
    // With nothing but so many sheets, every batch gets some of them.
    let few = StockKind::Sheet { width_mm: 500.0, length_mm: 600.0, price: 900, count: Some(6) };
    let counted = solved(&Instance { stock: vec![Stock::new("few", few)], ..whole }, 0);
    assert!(counted.complete && counted.sheets.len() <= 6, "{} sheets", counted.sheets.len());
}
