//! Writing an order as the order file, every key that its value needs.

use super::order::{FINISHES, ORDER_VERSION, PAYERS, SIZINGS, TESTS_ON, WAYS};
use crate::{Decision, Line, Order, Print};
use art::SizeWish;
use std::fmt::Write as _;
use units::{Length, Share, read_length};

/// An order as its file. Reading the text again gives the same order, as long as
/// the order is one that a file can hold: names without control characters and of
/// at most 200 characters, sizes and offsets within the reader's limits.
pub fn write_order(order: &Order) -> String {
    let mut text = format!("version = {ORDER_VERSION}\n");
    let mut key = |name: &str, value: String| {
        let _ = writeln!(text, "{name} = {value}");
    };
    key("customer", quoted(&order.customer));
    if order.name != order.customer {
        key("name", quoted(&order.name));
    }
    key("due", quoted(&order.due.to_string()));
    if let Some((word, _)) = WAYS.iter().find(|(_, way)| *way == order.way && order.way != crate::Way::default()) {
        key("way", quoted(word));
    }
    if order.rush {
        key("rush", "true".to_owned());
    }
    if order.discount != Share::ZERO {
        key("discount", quoted(&format!("{} %", order.discount.ppm() as f64 / 1e4)));
    }
    if order.check_bar {
        key("check-bar", "true".to_owned());
    }
    let on = TESTS_ON.iter().find(|(_, on)| Some(*on) == order.test_on).map(|(word, _)| ("on", word));
    let paid_by =
        PAYERS.iter().find(|(_, payer)| Some(*payer) == order.test_paid_by).map(|(word, _)| ("paid-by", word));
    if on.is_some() || paid_by.is_some() {
        let said = [on, paid_by].into_iter().flatten().map(|(name, word)| format!("{name} = {}", quoted(word)));
        key("test-piece", table(said));
    }
    for line in &order.lines {
        write_line(line, &mut text);
    }
    for decision in &order.decisions {
        let (line, question, go_on, by) = match decision {
            Decision::Answered { line, question, go_on, by } => (line, question, go_on, by),
            Decision::Locked(locked) => {
                super::locked::write(locked, &mut text);
                continue;
            }
        };
        let _ = write!(
            text,
            "\n[[answer]]\nline = {}\nquestion = {}\ngo-on = {go_on}\nby = {}\n",
            line.saturating_add(1),
            quoted(question),
            quoted(by)
        );
    }
    text
}

fn write_line(line: &Line, text: &mut String) {
    let _ = write!(text, "\n[[line]]\ngarment = {}\ncolour = {}\n", quoted(&line.garment), quoted(&line.colour));
    if line.brought {
        text.push_str("brought = true\n");
    }
    let sizes = line.sizes.iter().map(|size| format!("{} = {}", key(&size.size), size.count));
    let _ = writeln!(text, "sizes = {}", table(sizes));
    for print in &line.prints {
        write_print(print, text);
    }
}

fn write_print(print: &Print, text: &mut String) {
    text.push_str("\n[[line.print]]\n");
    let mut key = |name: &str, value: String| {
        let _ = writeln!(text, "{name} = {value}");
    };
    key("art", quoted(&print.art));
    key("position", quoted(&print.position));
    let sizing = SIZINGS.iter().find(|(_, sizing)| Some(*sizing) == print.sizing);
    match (sizing, print.size) {
        (Some((word, _)), _) => key("sized", quoted(word)),
        (None, SizeWish::Width(width)) => key("width", length(width)),
        (None, SizeWish::Height(height)) => key("height", length(height)),
        (None, SizeWish::AsFile) => {}
    }
    if let Some((word, _)) = FINISHES.iter().find(|(_, finish)| Some(*finish) == print.finish) {
        key("finish", quoted(word));
    }
    if let Some((right, up)) = print.offset {
        key("offset", format!("{{ right = {}, up = {} }}", length(right), length(up)));
    }
    if let Some(transfer) = &print.transfer {
        key("transfer", quoted(transfer));
    }
    if print.remove_background {
        key("remove-background", "true".to_owned());
    }
    if !print.colours.is_empty() {
        let colours: Vec<String> = print.colours.iter().map(|colour| quoted(colour)).collect();
        key("colours", format!("[{}]", colours.join(", ")));
    }
    if print.let_cloth_show {
        key("let-cloth-show", "true".to_owned());
    }
    if !print.stated.is_empty() {
        let stated = print.stated.iter().map(|stated| {
            let [r, g, b] = stated.file;
            format!("\"#{r:02x}{g:02x}{b:02x}\" = {}", quoted(&stated.typed))
        });
        key("stated-colours", table(stated));
    }
}

fn table(entries: impl Iterator<Item = String>) -> String {
    let entries: Vec<String> = entries.collect();
    format!("{{ {} }}", entries.join(", "))
}

pub(super) fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// A bare key where TOML allows one, else a quoted one.
fn key(text: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if !text.is_empty() && text.chars().all(bare) { text.to_owned() } else { one_line(text) }
}

/// A quoted text on one line, which a key must be.
fn one_line(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

/// A length as short as it can be said without changing it: "90 mm", "3.5 in".
pub(super) fn length(length: Length) -> String {
    let short = |number: f64, unit: &str| {
        let text = format!("{} {unit}", (number * 1e4).round() / 1e4);
        read_length(&text).is_ok_and(|read| read == length).then_some(text)
    };
    let text = short(length.mm(), "mm").or_else(|| short(length.inches(), "in"));
    quoted(&text.unwrap_or_else(|| format!("{} mm", length.mm())))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::read_order;
    use crate::{Locked, SizeCount, StatedColour, Way};
    use jiff::civil::DateTime;

    /// Numbers from a seed: Steele, Lea & Flood, "Fast splittable pseudorandom
    /// number generators", OOPSLA 2014, figure 17.
    struct Dice(u64);

    impl Dice {
        fn next(&mut self) -> u64 {
            self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut z = self.0;
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            z ^ (z >> 31)
        }

        fn below(&mut self, most: u64) -> u64 {
            self.next() % most
        }

        fn coin(&mut self) -> bool {
            self.below(2) == 0
        }

        fn one<T: Clone>(&mut self, of: &[T]) -> T {
            of[usize::try_from(self.below(of.len() as u64)).expect("small")].clone()
        }

        /// A text as hostile to quoting as a person can type it.
        fn text(&mut self) -> String {
            let letters: Vec<char> = "abcÄ 'é\"\\#=[]{}\u{1fa81}.,-_\u{202e}日\u{7f}".chars().collect();
            let some: String = (0..=self.below(12)).map(|_| self.one(&letters)).collect();
            let text: String = some.chars().filter(|c| !c.is_control()).collect();
            let text = text.trim().to_owned();
            if text.is_empty() { "x".to_owned() } else { text }
        }

        fn length(&mut self) -> Length {
            let sixteenths = self.below(400) as f64 + 16.0;
            let length = match self.below(3) {
                0 => Length::from_mm(sixteenths * 0.5),
                1 => Length::from_inches(sixteenths / 16.0),
                _ => Length::from_mm(1.0 + self.next() as f64 / u64::MAX as f64 * 4000.0),
            };
            length.expect("finite")
        }
    }

    fn order(dice: &mut Dice) -> Order {
        let lines: Vec<Line> = (0..=dice.below(3)).map(|_| line(dice)).collect();
        let customer = dice.text();
        Order {
            name: if dice.coin() { customer.clone() } else { dice.text() },
            customer,
            due: dice.one::<DateTime>(&[
                jiff::civil::date(2026, 12, 18).at(17, 0, 0, 0),
                jiff::civil::date(2027, 1, 2).at(8, 30, 5, 0),
            ]),
            way: dice.one(&[Way::Everyday, Way::Stronger, Way::Finest]),
            rush: dice.coin(),
            discount: Share::from_ppm(i64::try_from(dice.below(901)).expect("small") * 1000).expect("a share"),
            check_bar: dice.coin(),
            test_on: dice.one(&[None, Some(trade::TestOn::Garment), Some(trade::TestOn::InsideHem)]),
            test_paid_by: dice.one(&[None, Some(trade::Payer::Customer), Some(trade::Payer::Shop)]),
            decisions: decisions(dice, lines.len()),
            lines,
        }
    }

    /// Answers first, then locked pieces, as the file has them.
    fn decisions(dice: &mut Dice, lines: usize) -> Vec<Decision> {
        let mut all: Vec<Decision> = (0..dice.below(3))
            .map(|_| Decision::Answered {
                line: usize::try_from(dice.below(lines as u64)).expect("small"),
                question: dice.text(),
                go_on: dice.coin(),
                by: dice.text(),
            })
            .collect();
        let small = |dice: &mut Dice, most| usize::try_from(dice.below(most)).expect("small");
        all.extend((0..dice.below(3)).map(|_| {
            Decision::Locked(Locked {
                line: small(dice, 9),
                print: small(dice, 3),
                film: dice.coin().then(|| small(dice, 4)),
                transfer: dice.text(),
                stock: dice.text(),
                remnant: dice.coin().then(|| (dice.length(), dice.length())),
                sheet: small(dice, 30),
                at: (dice.length() * -0.3, dice.length() * 0.7),
                turn_deg: dice.one(&[0.0, 90.0, 180.0, 270.0, 12.25]),
                by: dice.text(),
            })
        }));
        all
    }

    fn line(dice: &mut Dice) -> Line {
        let mut sizes: Vec<SizeCount> = Vec::new();
        for _ in 0..=dice.below(4) {
            let size = if dice.coin() { dice.text() } else { dice.one(&["S".to_owned(), "one size".to_owned()]) };
            if sizes.iter().all(|known| known.size != size) {
                sizes.push(SizeCount { size, count: 1 + u32::try_from(dice.below(99_999)).expect("small") });
            }
        }
        Line {
            garment: dice.text(),
            colour: dice.text(),
            brought: dice.coin(),
            sizes,
            prints: (0..=dice.below(2)).map(|_| print(dice)).collect(),
        }
    }

    fn print(dice: &mut Dice) -> Print {
        let mut stated: Vec<StatedColour> = Vec::new();
        for _ in 0..dice.below(3) {
            let [_, _, _, _, _, r, g, b] = dice.next().to_be_bytes();
            let (meant, typed) = if dice.coin() {
                (art::Lab { l: 32.5, a: 10.0, b: -44.0 }, "lab 32.5 10 -44".to_owned())
            } else {
                (art::Lab::of([r, b, g]), format!("#{r:02X}{b:02x}{g:02x}"))
            };
            if stated.iter().all(|known| known.file != [r, g, b]) {
                stated.push(StatedColour { file: [r, g, b], meant, typed });
            }
        }
        stated.sort_by_key(|stated| stated.file);
        let finishes = FINISHES.map(|(_, finish)| finish);
        let sizing = (dice.below(4) == 0).then(|| dice.one(&SIZINGS.map(|(_, sizing)| sizing)));
        Print {
            art: dice.one(&[
                "art/kite.svg".to_owned(),
                "a \"b\" \\ 'c'.png".replace(['\\', '"'], "-"),
                "é#1.svg".to_owned(),
            ]),
            position: dice.text(),
            size: match dice.below(3) {
                _ if sizing.is_some() => SizeWish::AsFile,
                0 => SizeWish::Width(dice.length()),
                1 => SizeWish::Height(dice.length()),
                _ => SizeWish::AsFile,
            },
            finish: dice.coin().then(|| dice.one(&finishes)),
            offset: dice.coin().then(|| (dice.length() * -0.25, dice.length() * 0.25)),
            transfer: dice.coin().then(|| dice.text()),
            remove_background: dice.coin(),
            colours: (0..dice.below(3)).map(|_| dice.text()).collect(),
            let_cloth_show: dice.coin(),
            sizing,
            stated,
        }
    }

    #[test]
    fn what_was_written_reads_as_the_same_order() {
        for seed in 0..2000 {
            let order = order(&mut Dice(seed));
            let text = write_order(&order);
            let read = read_order("order.toml", &text).unwrap_or_else(|faults| panic!("{faults:?}\n{text}"));
            assert_eq!(read, order, "seed {seed}\n{text}");
            assert_eq!(write_order(&read), text, "writing again changes nothing");
        }
    }

    #[test]
    fn an_order_is_written_as_people_write_it() {
        let text = "version = 1\ncustomer = \"Kite crew\"\ndue = \"2026-12-18T17:00:00\"\n\n[[line]]\n\
                    garment = \"tote\"\ncolour = \"natural\"\nsizes = { \"one size\" = 3, XL = 1 }\n\n[[line.print]]\n\
                    art = \"art/kite.svg\"\nposition = \"tote\"\nwidth = \"3.5 in\"\nfinish = \"in cloth\"\n\
                    offset = { right = \"10 mm\", up = \"-2.5 mm\" }\n";
        let order = read_order("order.toml", text).expect("an order");
        assert_eq!(write_order(&order), text);
    }
}
