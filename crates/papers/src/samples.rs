//! Invented papers, for tests: a riverside kite festival orders for its crew.

use crate::code::square_code;
use crate::form::*;

/// A drawing that stands in for a garment's picture.
const PICTURE: &str = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 240 260'>\
 <path d='M80 20 L20 50 L40 100 L60 92 L60 240 L180 240 L180 92 L200 100 L220 50 L160 20 Q120 55 80 20 Z' \
 fill='#F4F1EA' stroke='#23262D' stroke-width='1.5'/>\
 <path d='M120 90 L150 125 L120 175 L90 125 Z' fill='#9B1C31'/><path d='M120 175 q8 14 -4 26' fill='none' stroke='#9B1C31' stroke-width='3'/>\
 <path d='M60 236 h120' stroke='#5C606B' stroke-dasharray='3 3'/>\
 <text x='120' y='256' font-size='11' text-anchor='middle' font-family='Atkinson Hyperlegible Next'>100 mm</text></svg>";

fn text(text: &str) -> String {
    text.to_owned()
}

fn pairs(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
    pairs.iter().map(|(label, value)| (text(label), text(value))).collect()
}

/// Names as people have them: plain, accented, right to left, and far too long.
const NAMES: [&str; 4] = [
    "River Kite Days",
    "Fête des cerfs-volants à Łąka-Žďár",
    "مهرجان الطائرات الورقية على النهر",
    "The Association of Friends of the Riverside Kite Festival and its Evening Lantern Procession, Crew of the North Bank",
];

/// A mark of three bars.
const MARK: &str = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 60 30'>\
    <path d='M2 28 L22 2 H30 L10 28 Z M22 28 L42 2 H50 L30 28 Z'/><circle cx='52' cy='22' r='6'/></svg>";

pub(crate) fn frame(paper: &'static str, title: &str, name: usize) -> Frame {
    let speech = words::Speech::english(units::UnitSystem::Metric);
    Frame {
        paper,
        language: "en",
        say: speech.section("papers").collect(),
        invented: true,
        head: Head {
            title: text(title),
            shop: text("Brookside Press Room"),
            address: vec![text("4 Weir Lane"), text("Millbrook"), text("hello@brookside.example")],
            mark: Some(MARK.to_owned()),
            order: text(NAMES[name % NAMES.len()]),
            foot: text("Brookside Press Room · River Kite Days"),
        },
    }
}

fn sizes(count: usize) -> Vec<Size> {
    let known = ["XS", "S", "M", "L", "XL", "2XL"];
    let name = |at: usize| known.get(at).map_or_else(|| format!("{} long", 30 + at), |name| text(name));
    (0..count).map(|at| Size { size: name(at), count: (at * 3 + 2).to_string() }).collect()
}

/// A quote of `lines` lines; the third of five has forty sizes and no picture.
pub(crate) fn quote(paper: &'static str, lines: usize) -> Quote {
    Quote {
        frame: frame(paper, "Quote", lines),
        customer: text(NAMES[(lines + 1) % NAMES.len()]),
        currency: text("EUR"),
        date: text("Tue 24 Nov 2026"),
        valid_until: text("Thu 24 Dec 2026"),
        due: text("Fri 18 Dec, 14:00"),
        lines: (0..lines).map(quote_line).collect(),
        totals: Totals {
            rows: pairs(&[
                ("Line 1, Crew tee, 24 pieces at 12.40 EUR", "297.60 EUR"),
                ("Line 2, Crew hoodie, 12 pieces at 31.20 EUR", "374.40 EUR"),
                ("Net", "672.00 EUR"),
                ("Sales tax 19 %", "127.68 EUR"),
            ]),
            gross: text("799.68 EUR"),
            deposit: text("399.84 EUR"),
            balance: text("399.84 EUR"),
        },
        ways: ["Everyday", "Stronger", "Finest"]
            .iter()
            .enumerate()
            .map(|(at, name)| QuoteWay {
                name: text(name),
                chosen: at == 0,
                lines: vec![
                    text("Line 1: Crew tee, Harbour film, 12.40 EUR each"),
                    text("Line 2: Crew hoodie, Harbour film and Skylark transfer, 31.20 EUR each"),
                ],
                net: format!("{}.00 EUR", 672 + 80 * at),
            })
            .collect(),
        confirm: vec![
            text("Garments, colours, sizes and counts are as I want them."),
            text("Each print's picture, place and size are as I want them; words and names are spelled right."),
            text("The child's hoodie has a cord at the neck. Is a hoodie without a cord taken instead?"),
            text("I pay the deposit of 399.84 EUR by Fri 27 Nov, 14:00; work begins then."),
        ],
        terms: vec![
            text("Goods remain ours until they are paid."),
            text("Counts may differ by the pieces lost in pressing; these are not charged."),
        ],
    }
}

fn quote_line(at: usize) -> QuoteLine {
    let many = at % 5 == 2;
    let rung = |pieces: u32, unit: &str, total: &str| QuoteRung {
        pieces: pieces.to_string(),
        unit: text(unit),
        total: text(total),
        note: (pieces == 25).then(|| text("25 pieces cost less in all than 22 to 24.")),
    };
    QuoteLine {
        number: (at + 1).to_string(),
        garment: text(["Crew tee", "Festival apron with a bib pocket", "Sweatshirt", "Shell jacket, lined"][at % 4]),
        colour: text(["Sand", "Night blue heather", "Grün meliert", "أخضر"][at % 4]),
        rgb: Some([[220, 205, 180], [40, 52, 90], [90, 130, 90], [20, 110, 70]][at % 4]),
        brought: at % 4 == 3,
        pieces: text("24"),
        sizes: sizes(if many { 40 } else { 5 }),
        prints: vec![
            QuotePrint {
                position: text("Full front"),
                size: Some(text("280 × 210 mm")),
                art: text("kite-and-tail.svg"),
                transfer: Some(text("Skylark transfer")),
                films: Vec::new(),
            },
            QuotePrint {
                position: text("Left chest"),
                size: Some(text("90 × 60 mm")),
                art: text("crew-name-of-the-whole-north-bank-with-a-very-long-file-name-indeed-2026-final.svg"),
                transfer: Some(text("Harbour film")),
                films: vec![Film { name: text("Signal red"), rgb: Some([190, 30, 45]) }],
            },
        ],
        pictures: if many { vec![] } else { vec![text(PICTURE); 1 + at % 2] },
        state: text("Not in this price: waits for an answer"),
        price: (at % 5 != 4).then(|| QuotePrice {
            unit: text("12.40 EUR"),
            total: text("297.60 EUR"),
            ladder: vec![
                rung(1, "38.20", "38.20"),
                rung(6, "19.10", "114.60"),
                rung(12, "14.90", "178.80"),
                rung(25, "11.80", "295.00"),
                rung(50, "10.60", "530.00"),
                rung(100, "9.90", "990.00"),
                rung(250, "9.40", "2350.00"),
            ],
        }),
    }
}

/// Job tickets for `lines` lines; the third of five is waiting, with forty sizes and no picture.
pub(crate) fn tickets(paper: &'static str, lines: usize) -> Tickets {
    Tickets {
        frame: frame(paper, "Job ticket", lines),
        customer: text(NAMES[(lines + 2) % NAMES.len()]),
        due: text("Fri 18 Dec, 14:00"),
        tickets: (0..lines).map(|at| ticket(at, lines)).collect(),
    }
}

fn ticket(at: usize, of: usize) -> Ticket {
    let halted = at % 5 == 2;
    Ticket {
        number: format!("{} / {of}", at + 1),
        garment: text(["Crew tee", "Festival apron with a bib pocket and crossed straps, long"][at % 2]),
        colour: text(["Sand", "Night blue heather"][at % 2]),
        rgb: Some([[220, 205, 180], [40, 52, 90]][at % 2]),
        brought: at % 2 == 1,
        pieces: text("24 pieces"),
        press_at: Some(text("Press from Mon 14 Dec, 09:30")),
        qr: square_code(&format!("River Kite Days · line {}", at + 1)).expect("short enough"),
        pictures: if halted { vec![] } else { vec![text(PICTURE); 1 + at % 2] },
        sizes: sizes(if halted { 40 } else { 5 }),
        spare: Some(text("1 spare in the count for test and loss")),
        placements: vec![
            TicketPlace {
                print: text("Full front"),
                rows: vec![
                    text("XS, S, M: 75 mm below the collar, centred"),
                    text("L, XL: 85 mm below the collar, centred"),
                ],
            },
            TicketPlace {
                print: text("Left chest"),
                rows: vec![text("All sizes: 190 mm from the shoulder, 100 mm from the middle")],
            },
        ],
        pressing_order: Some(text("Press in this order: 1 Full front, 2 Left chest")),
        prints: vec![ticket_print(1), ticket_print(2)],
        halted: if halted {
            vec![text("The child's hoodie has a cord at the neck. Is one without a cord taken instead?")]
        } else {
            vec![]
        },
        state: text("Do not press: a question is open"),
        cautions: words::Speech::english(units::UnitSystem::Metric)
            .section("heat")
            .filter(|(key, _)| key.starts_with("caution-"))
            .map(|(_, said)| text(said))
            .collect(),
        remarks: vec![text(
            "Watch: Dark polyester may bleed into the print; hold one piece for 2 days before packing.",
        )],
        test: text("On an offcut of the same cloth."),
    }
}

fn ticket_print(number: usize) -> TicketPrint {
    let step = |title: &str, notes: &[&str], heat: Option<(&str, &str)>, time: Option<&str>| Step {
        title: text(title),
        notes: notes.iter().map(|note| text(note)).collect(),
        temperature: heat.map(|(first, second)| (text(first), text(second))),
        time: time.map(text),
    };
    TicketPrint {
        number: number.to_string(),
        position: text(["Full front", "Left chest"][number - 1]),
        size: Some(text(["280 × 210 mm", "90 × 60 mm"][number - 1])),
        art: text("kite-and-tail.svg"),
        transfer: Some(text("Harbour film")),
        films: (number == 2).then(|| Film { name: text("Signal red"), rgb: Some([190, 30, 45]) }).into_iter().collect(),
        reading: Some(text("On the film it is mirrored")),
        steps: vec![
            step(
                "Preheat, smooth",
                &["Empty garment; press out moisture and creases"],
                Some(("150 °C", "302 °F")),
                Some("4 s"),
            ),
            step("Place the transfer", &[], None, None),
            step("Press", &["medium pressure · matt cover sheet on top"], Some(("150 °C", "302 °F")), Some("15 s")),
            step("Lay aside to cool", &["Singly, flat on a table"], None, Some("1 min 40 s")),
            step("Peel cold", &["At room temperature, never sooner"], None, None),
        ],
        state: text("No press settings: no transfer was chosen"),
        facts: pairs(&[
            ("Transfers", "26, 2 of them spare"),
            ("Press", "Bench press or Swing press"),
            ("Platen", "Platen 11 × 15 in"),
            ("Settings from", "maker's sheet, card 7"),
            ("Bond line at the end", "131 °C · 268 °F"),
        ]),
        why: vec![text(
            "The maker's 15 s reach the maker's heat at the bond line on this cloth as well; nothing is added.",
        )],
    }
}

/// Purchases from `count` suppliers.
pub(crate) fn purchases(paper: &'static str, count: usize) -> Purchases {
    let item = |quantity: &str, what: &str, detail: Option<&str>, unit: &str, total: &str| Item {
        quantity: text(quantity),
        what: text(what),
        detail: detail.map(text),
        rgb: detail.map(|_| [190, 30, 45]),
        unit: text(unit),
        total: text(total),
    };
    Purchases {
        frame: frame(paper, "Purchase list", 0),
        subtitle: text("For River Kite Days and Fête des cerfs-volants"),
        count: count.to_string(),
        total: Some(text("289.40 EUR")),
        first: Some(text("Wed 2 Dec, 12:00")),
        shelf: vec![text("5 × kite.svg in Skylark transfer (second drawer, made on 1 Oct 2026)")],
        purchases: (0..count)
            .map(|at| SupplierList {
                supplier: text(["Tideway Transfers", "Loom & Line blanks", "Harbour Film"][at % 3]),
                order_by: text("Wed 2 Dec, 12:00"),
                arrives: text("Wed 9 Dec 2026"),
                earliest: text("Tue 1 Dec 2026"),
                items: vec![
                    item("3", "Sheet 559 × 610 mm", Some("Skylark transfer · file set a"), "16.00 EUR", "48.00 EUR"),
                    item("1", "Harbour film, Signal red", Some("length 1.5 m · file set b"), "6.75 EUR", "6.75 EUR"),
                    item("24", "Crew tee, Sand, M", None, "3.10 EUR", "74.40 EUR"),
                ],
                sums: pairs(&[
                    ("Goods", "129.15 EUR"),
                    ("Up to the supplier's minimum of 150.00 EUR", "20.85 EUR"),
                    ("Freight, free from 250.00 EUR on", "6.90 EUR"),
                ]),
                sum_label: text("Tideway Transfers in all"),
                total: text("156.90 EUR"),
                more: if at == 0 { vec![text("Sheet 559 × 610 mm: 5 cost 3.10 EUR less than 4.")] } else { vec![] },
                why: vec![text(
                    "The goods need 4 working days to make and 2 under way, and must be there on Wed 9 Dec.",
                )],
            })
            .collect(),
    }
}

pub(crate) fn sheet_map(paper: &'static str) -> SheetMap {
    let row = |art: &str, here: &str| MapRow {
        mark: text("1.1.1"),
        art: text(art),
        belongs: text("River Kite Days · Crew tee · Full front"),
        here: text(here),
        size: Some(text("280 × 210 mm")),
    };
    let sheet = |number: usize| MapSheet {
        title: format!("Sheet {number} of 2"),
        notes: text("Sheet 559 × 610 mm · 402 mm of 610 mm used · 14 transfers"),
        pictures: if number == 1 { vec![text(PICTURE); 3] } else { Vec::new() },
        rows: vec![row("kite-and-tail.svg", "12"), row("crew.svg", "2")],
    };
    SheetMap {
        frame: frame(paper, "Sheet map", 0),
        subtitle: text("For River Kite Days"),
        pools: vec![MapPool {
            title: text("Set a: Skylark transfer"),
            colour: Some(text("Signal red")),
            rgb: Some([190, 30, 45]),
            sheets: vec![sheet(1), sheet(2)],
        }],
    }
}

pub(crate) fn packing(paper: &'static str) -> Packing {
    let line = |at: usize| PackingLine {
        garment: text(["Crew tee", "Festival apron with a bib pocket"][at]),
        colour: text(["Sand", "Night blue heather"][at]),
        rgb: Some([[220, 205, 180], [40, 52, 90]][at]),
        prints: text("Full front · Left chest"),
        pieces: text("24 pieces"),
        sizes: sizes([5, 40][at]),
        state: (at == 1).then(|| text("waits for an answer")),
    };
    Packing {
        frame: frame(paper, "Packing list", 3),
        customer: text(NAMES[1]),
        due: text("Fri 18 Dec, 14:00"),
        pieces: text("48"),
        lines: vec![line(0), line(1)],
    }
}

pub(crate) fn care(paper: &'static str) -> Care {
    let slip = |garment: &str| CareSlip {
        garment: text(garment),
        advice: vec![
            text("Wait a day before the first wash."),
            text("Wash inside out at 40 °C · 104 °F or cooler."),
            text("No bleach, no softener."),
            text("Never iron on the print; iron from the inside."),
        ],
    };
    Care {
        frame: frame(paper, "Care slip", 0),
        slips: vec![slip("Crew tee · Sand"), slip(NAMES[3]), slip("Shell jacket · أخضر")],
    }
}

pub(crate) fn record(paper: &'static str) -> Record {
    let labels = |labels: &[&str]| labels.iter().map(|label| text(label)).collect();
    let print = |number: usize| RecordPrint {
        garment: text("Crew tee · Sand"),
        print: text("Full front · Skylark transfer"),
        steps: ticket_print(number).steps,
    };
    Record {
        frame: frame(paper, "Test record", 0),
        on: text("On an offcut of the same cloth."),
        entries: labels(&[
            "Temperature",
            "Time closed",
            "Pressure",
            "Peel",
            "Press and platen",
            "Lot of film or sheet",
        ]),
        checks: labels(&["Edges hold when picked at, after cooling", "No press box, shine or scorch", "After wash 1"]),
        prints: vec![print(1), print(2)],
    }
}

/// A press plan of two days with `rows` batches a day; without rows nothing is pressed.
pub(crate) fn press_plan(paper: &'static str, rows: usize) -> PressPlan {
    let row = |at: usize| PressRow {
        from: format!("{:02}:15", 8 + at % 9),
        until: format!("{:02}:05", 9 + at % 9),
        press: text(["Big flat press", "Swing press by the window"][at % 2]),
        work: text(
            ["1 · Crew tee, full front", "2 · Festival apron with a bib pocket, apron bib, pressed once more"][at % 2],
        ),
        pieces: (12 + at).to_string(),
        temperature: text("150 °C · 302 °F"),
        people: text(["Ebb", "Ebb, Łucja Žďárská"][at % 2]),
        set_up: at.is_multiple_of(2).then(|| text("before it 12 min of setting up")),
        cool: (at % 2 == 1).then(|| text("10:20")),
        done: format!("{:02}:10", 10 + at % 9),
        late: at == 1,
    };
    let day = |name: &str| PressSection { day: text(name), rows: (0..rows).map(row).collect() };
    PressPlan {
        frame: frame(paper, "Press plan", 1),
        orders: vec![(text(NAMES[1]), text("Fri 18 Dec, 14:00")), (text(NAMES[2]), text("Fri 11 Dec, 17:00"))],
        late: (rows > 1).then(|| text("Orders finished late: 1")),
        pictures: if rows > 0 { vec![text(TIMELINE)] } else { Vec::new() },
        days: if rows > 0 { vec![day("Wed 9 Dec 2026"), day("Thu 10 Dec 2026")] } else { Vec::new() },
    }
}

/// A timeline of the shape the drawings have.
const TIMELINE: &str = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 180'>\
 <rect x='120' y='20' width='300' height='24' fill='none' stroke='#23262D'/>\
 <rect x='440' y='20' width='420' height='24' fill='#D9D3C7' stroke='#23262D'/>\
 <path d='M120 90 h740' stroke='#5C606B' stroke-width='2'/>\
 <text x='10' y='36' font-size='13' font-family='Atkinson Hyperlegible Next'>Big flat press</text></svg>";

/// The costing of `lines` lines; every other one can be made another way.
pub(crate) fn costing(paper: &'static str, lines: usize) -> Costing {
    let row = |what: &str, work: Option<&str>, amount: &str, each: &str| CostRow {
        what: text(what),
        work: work.map(text),
        amount: text(amount),
        each: text(each),
    };
    let both = |at: usize| CostingBreak {
        here: text("Plain film"),
        other: text("Printed sheet on powder"),
        picture: (at == 0).then(|| text(TIMELINE)),
        said: vec![text("Plain film is cheaper from 1 on;"), text("from 14 pieces on, Printed sheet on powder.")],
        rows: (0..10)
            .map(|nth| CostingBreakRow {
                pieces: (nth * 6 + 1).to_string(),
                here: format!("{}.40", 30 - nth * 2),
                other: format!("{}.10", 34 - nth * 3),
                cheaper: usize::from(nth > 4),
            })
            .collect(),
    };
    let landed = || CostingLanded {
        said: Some(text("6 pieces: Plain film, own film, 9.00 EUR; Printed sheet on powder, bought, 28.00 EUR.")),
        pieces: (1..=12).map(|nth| (nth * 2).to_string()).collect(),
        ways: ["Plain film, own film", "Printed sheet on powder, bought"]
            .map(|name| CostingLandedWay {
                name: text(name),
                totals: (1..=12).map(|nth| (format!("{nth}28.40"), nth > 4)).collect(),
                on_top: (1..=12).map(|nth| format!("{nth}.00")).collect(),
            })
            .into(),
    };
    let line = |at: usize| CostingLine {
        number: (at + 1).to_string(),
        garment: text(["Crew tee", NAMES[3]][at % 2]),
        colour: text("Sand"),
        rgb: Some([220, 205, 180]),
        pieces: text("24 pieces"),
        rows: vec![
            row("Garments", None, "74.40 EUR", "3.10"),
            row("Sheets and film", None, "48.00 EUR", "2.00"),
            row("At the press", Some("42 min"), "27.30 EUR", "1.14"),
        ],
        cost: text("149.70 EUR"),
        unit: text("10.75 EUR"),
        total: text("258.00 EUR"),
        facts: vec![text("At 10.75 EUR each it pays from 5 pieces on."), text("One spoiled piece costs 6.24 EUR.")],
        both: at.is_multiple_of(2).then(|| both(at)),
        landed: at.is_multiple_of(2).then(landed),
    };
    Costing {
        frame: frame(paper, "Costing", 1),
        customer: text(NAMES[2]),
        net: text("258.00 EUR"),
        cost: text("149.70 EUR"),
        earns: Some(text("64.20 EUR")),
        work: text("2 h 5 min"),
        rush: pairs(&[
            ("Our own charge, if it were rush", "64.50 EUR"),
            ("Tideway Transfers, if wanted: Wed 25 Nov 2026 instead of Mon 30 Nov 2026", "19.20 EUR"),
        ]),
        dates: vec![
            (text("Sign-off and deposit by"), text("Mon 23 Nov, 14:00"), text("this moment has passed")),
            (text("Finished"), text("Wed 9 Dec, 11:10"), text("1 day 5 h before it is due")),
        ],
        lines: (0..lines).map(line).collect(),
    }
}
