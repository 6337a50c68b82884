//! Papers of the invented festival order, planned through and read back.

use papers::{Page, PaperError, Papers, Pictures};
use plan::{Arts, Order, Plan, Settings};
use report::{Effort, Quiet, Seed};
use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use trade::Shop;
use units::UnitSystem;
use words::Speech;

const METRIC: fn() -> Speech = || Speech::english(UnitSystem::Metric);

/// Papers on A4 without pictures.
fn papers<'a>(plan: &'a Plan, shop: &'a Shop, speech: &'a Speech) -> Papers<'a> {
    static NONE: OnceLock<Pictures> = OnceLock::new();
    Papers { plan, shop, speech, pictures: NONE.get_or_init(Pictures::default), page: Page::A4 }
}

fn demo(path: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo").join(path)
}

/// The shop and the plan of its demo order, made once.
fn planned() -> &'static (Shop, Plan) {
    static PLANNED: OnceLock<(Shop, Plan)> = OnceLock::new();
    PLANNED.get_or_init(|| {
        let shop = shop();
        let text = std::fs::read_to_string(demo("order.toml")).expect("the demo order");
        let order = plan::form::read_order("order.toml", &text).expect("a readable order");
        let orders = [order];
        let settings =
            Settings { today: jiff::civil::date(2026, 11, 24), seed: Seed(7), effort: Effort(20_000), threads: 2 };
        let plan = plan::plan(&shop, &orders, &arts(&orders), &settings, &mut Quiet).value;
        (shop, plan)
    })
}

fn shop() -> Shop {
    let texts: Vec<(&str, String)> = trade::form::FILE_NAMES
        .iter()
        .map(|name| (*name, std::fs::read_to_string(demo("shop").join(name)).expect("a file of the demo shop")))
        .collect();
    let files: Vec<trade::form::ShopFile<'_>> =
        texts.iter().map(|(name, text)| trade::form::ShopFile { name, text }).collect();
    trade::form::read(&files).expect("a readable shop").value
}

fn arts(orders: &[Order]) -> Arts {
    let mut arts = Arts::new();
    for (name, remove_background) in Arts::wanted(orders) {
        let Ok(bytes) = std::fs::read(demo(&name)) else { continue };
        let options = art::ReadOptions { remove_background, ..art::ReadOptions::default() };
        arts.insert(&name, remove_background, art::read(&name, &bytes, &options));
    }
    arts
}

/// The text as poppler reads it, line by line; `None`, said aloud, where poppler is not installed.
fn lines_of(pdf: &[u8]) -> Option<Vec<String>> {
    let run =
        Command::new("pdftotext").args(["-layout", "-", "-"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn();
    let Ok(mut run) = run else {
        let _ = writeln!(std::io::stderr(), "SKIPPED: pdftotext (poppler-utils) is not installed");
        return None;
    };
    let mut inlet = run.stdin.take()?;
    let bytes = pdf.to_vec();
    let feed = std::thread::spawn(move || inlet.write_all(&bytes));
    let out = run.wait_with_output().ok()?;
    feed.join().ok()?.ok()?;
    Some(String::from_utf8_lossy(&out.stdout).lines().map(words::clean).collect())
}

/// The amount at the end of a line, in minor units: "Net 672.00 EUR" is 67200.
fn amount(line: &str) -> Option<i64> {
    let figure = line.strip_suffix(" EUR")?.rsplit(' ').next()?;
    figure.replace([',', '.'], "").parse().ok()
}

/// Added up from what is printed, not from the plan.
#[test]
fn the_quote_adds_up_as_printed() {
    let (shop, plan) = planned();
    let pdf = papers(plan, shop, &METRIC()).quote(0).expect("a quote");
    let Some(lines) = lines_of(&pdf) else { return };
    let from = lines.iter().position(|line| line == "Price").expect("a heading");
    let to = from + lines[from..].iter().position(|line| line.starts_with("Balance,")).expect("a balance");
    let part = &lines[from..=to];
    let of = |start: &str| part.iter().find(|line| line.starts_with(start)).and_then(|line| amount(line));
    let net_at = part.iter().position(|line| line.starts_with("Net ")).expect("a net price");
    let pay_at = part.iter().position(|line| line.starts_with("To pay ")).expect("a price to pay");
    let sum = |rows: &[String]| rows.iter().filter_map(|line| amount(line)).sum::<i64>();
    let net = of("Net ").expect("an amount");
    let pay = of("To pay ").expect("an amount");
    assert!(net > 0);
    assert_eq!(sum(&part[..net_at]), net, "{part:?}");
    assert_eq!(sum(&part[net_at..pay_at]), pay, "{part:?}");
    assert_eq!(of("Deposit,").zip(of("Balance,")).map(|(deposit, rest)| deposit + rest), Some(pay), "{part:?}");
}

#[test]
fn the_purchase_list_adds_up_as_printed() {
    let (shop, plan) = planned();
    let Some(lines) = lines_of(&papers(plan, shop, &METRIC()).purchase_list().expect("a list")) else {
        return;
    };
    let mut all = 0;
    for purchase in &plan.purchases {
        let name = words::clean(&shop.supplier(purchase.supplier).name);
        let total = lines.iter().find(|line| line.starts_with(&format!("{name} in all"))).expect("a sum");
        all += amount(total).expect("an amount");
    }
    let head = lines.iter().position(|line| line.contains("All purchases")).expect("a head");
    let shown = lines[head + 1].split(" EUR").next().and_then(|start| amount(&format!("{start} EUR")));
    assert_eq!(shown, Some(all), "{}", lines[head + 1]);
}

/// Added up from what is printed: the costs of each line, on the paper for the office alone.
#[test]
fn the_costing_adds_up_as_printed() {
    let (shop, plan) = planned();
    let pdf = papers(plan, shop, &METRIC()).costing(0).expect("a costing");
    let Some(lines) = lines_of(&pdf) else { return };
    assert!(lines.iter().any(|line| line.contains("For the office only")));
    // "At the press  42 min  1.14  27.30 EUR": the last amount of a row counts.
    let heads: Vec<usize> =
        (0..lines.len()).filter(|at| lines[*at].starts_with("For ") && lines[*at].contains("Each")).collect();
    assert_eq!(heads.len(), plan.orders[0].lines.iter().filter(|line| line.price.is_some()).count());
    for head in heads {
        let rows: Vec<&String> = lines[head + 1..].iter().filter(|line| amount(line).is_some()).take(13).collect();
        let end = rows.iter().position(|line| line.starts_with("Cost ")).expect("a sum");
        let sum: i64 = rows[..end].iter().filter_map(|line| amount(line)).sum();
        assert_eq!(Some(sum), amount(rows[end]), "{rows:?}");
    }
}

/// A discount's effect on the margin is told in words, not left to be worked out.
#[test]
fn a_discount_is_told_in_words() {
    let share = |value| report::Value::Share(value);
    let money = |minor| report::Value::Money(units::Money::new(minor, shop().currency));
    let finding = report::Finding::new(report::Severity::Note, plan::codes::DISCOUNT, plan::codes::DISCOUNT_REMEDY)
        .with("share", share(0.1))
        .with("amount", money(2000))
        .with("before", share(0.42))
        .with("after", share(0.36))
        .with("cost", money(11_600))
        .with("net", money(18_000));
    let said = METRIC().finding(&finding).what;
    for part in ["10 %", "20.00 EUR", "42 %", "36 %"] {
        assert!(said.contains(part), "{part} in {said}");
    }
}

/// The press plan has a row for each batch of the schedule, by press, with its pieces.
#[test]
fn the_press_plan_holds_every_batch() {
    let (shop, plan) = planned();
    let pdf = papers(plan, shop, &METRIC()).press_plan().expect("a press plan");
    let Some(lines) = lines_of(&pdf) else { return };
    let schedule = plan.timeline.schedule.as_ref().expect("a schedule");
    for entry in &schedule.entries {
        let from = METRIC().time(plan.timeline.moment(entry.first_load_s()).time());
        let press = words::clean(&plan.timeline.problem.presses[entry.press].name);
        let row = lines.iter().find(|line| line.starts_with(&from) && line.contains(&press));
        let row = row.unwrap_or_else(|| panic!("{from} {press} in {lines:#?}"));
        assert!(row.split_whitespace().any(|word| word == entry.pieces().to_string()), "{row}");
    }
}

/// Every line has its ticket with both scales (°F = 1.8 °C + 32) for each pressing.
#[test]
fn tickets_show_every_step_in_both_scales() {
    let (shop, plan) = planned();
    for system in [UnitSystem::Metric, UnitSystem::Inch] {
        let speech = Speech::english(system);
        let pdf = Papers { page: Page::Letter, ..papers(plan, shop, &speech) }.tickets(0).expect("tickets");
        let Some(lines) = lines_of(&pdf) else { return };
        let text = lines.join("\n");
        let mut pressings = 0;
        for line in &plan.orders[0].lines {
            assert!(text.contains(&words::clean(&line.garment_name)), "{}", line.garment_name);
            for step in line.prints.iter().filter_map(|print| print.card.as_ref()).flat_map(|card| &card.steps) {
                let plan::CardStep::Press { temperature, .. } = step else { continue };
                let c = temperature.value.c();
                assert!(text.contains(&format!("{} °C", c.round())), "{c} °C");
                assert!(text.contains(&format!("{} °F", (c * 1.8 + 32.0).round())), "{c} °C in °F");
                pressings += 1;
            }
        }
        assert!(pressings > 3, "only {pressings} pressings were looked at");
    }
}

#[test]
fn every_paper_of_the_demo_is_made_twice_alike() {
    let (shop, plan) = planned();
    let speech = METRIC();
    let papers = papers(plan, shop, &speech);
    let all = || -> Result<Vec<Vec<u8>>, PaperError> {
        Ok(vec![
            papers.quote(0)?,
            papers.ticket(0, 0)?,
            papers.purchase_list()?,
            papers.sheet_map()?,
            papers.packing_list(0)?,
            papers.care_slip(0)?,
            papers.test_record(0)?,
            papers.press_plan()?,
            papers.costing(0)?,
        ])
    };
    assert_eq!(all().expect("papers"), all().expect("papers"));
}

#[test]
fn what_is_not_there_is_refused() {
    let (shop, plan) = planned();
    let speech = METRIC();
    let papers = papers(plan, shop, &speech);
    let order = papers.quote(7);
    assert_eq!(order, Err(PaperError::NoSuchOrder { order: 7, orders: 1 }));
    let lines = plan.orders[0].lines.len();
    let line = papers.ticket(0, 99);
    assert_eq!(line, Err(PaperError::NoSuchLine { line: 99, lines }));
    assert_eq!(
        PaperError::NoSuchOrder { order: 7, orders: 1 }.to_string(),
        "there is no order 8 in the plan; its orders: 1"
    );
}
