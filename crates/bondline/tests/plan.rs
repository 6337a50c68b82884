//! The main job through the front door: the program is run as a person runs it.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const TODAY: &str = "2026-11-24";

/// A folder with the demo's shop and art, and an order of one's own.
struct Desk {
    home: tempfile::TempDir,
}

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
        Self { home }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.home.path().join(name)
    }

    fn plan(&self, order: &str, more: &[&str]) -> Output {
        fs::write(self.path("order.toml"), order).expect("written");
        Command::new(env!("CARGO_BIN_EXE_bondline"))
            .current_dir(self.home.path())
            .args(["plan", "order.toml", "--out", "out", "--today", TODAY])
            .args(if more.contains(&"--effort") { &[][..] } else { &["--effort", "0"] })
            .args(if more.contains(&"--shop") { &[][..] } else { &["--shop", "shop"] })
            .args(more)
            .output()
            .expect("the program runs")
    }

    fn json(&self) -> serde_json::Value {
        let text = fs::read_to_string(self.path("out/plan.json")).expect("a plan");
        serde_json::from_str(&text).expect("JSON")
    }
}

fn order(lines: &str) -> String {
    format!("version = 1\ncustomer = \"Kite crew\"\ndue = \"2026-12-18\"\n{lines}")
}

fn totes(count: i64, art: &str) -> String {
    format!(
        "[[line]]\ngarment = \"tote-canvas\"\ncolour = \"natural\"\nsizes = {{ \"one size\" = {count} }}\n\
         [[line.print]]\nart = \"{art}\"\nposition = \"bag side\"\nwidth = \"120 mm\"\n"
    )
}

fn words(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut all = BTreeMap::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(&next).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(folder).expect("inside").to_path_buf();
                all.insert(name, fs::read(&path).expect("read"));
            }
        }
    }
    all
}

#[test]
fn a_plan_is_whole_and_its_sums_add_up() {
    let desk = Desk::new();
    let output = desk.plan(&order(&totes(12, "art/kite.svg")), &[]);
    assert_eq!(output.status.code(), Some(0), "{}", words(&output));
    let plan = desk.json();
    let order = &plan["orders"][0];
    let price = &order["price"];
    let number = |value: &serde_json::Value| value.as_i64().expect("a number");
    let lines: i64 = order["lines"].as_array().expect("lines").iter().map(|line| number(&line["price"]["total"])).sum();
    assert_eq!(lines, number(&price["lines"]));
    let taxes: i64 = price["taxes"].as_array().expect("taxes").iter().map(|tax| number(&tax["amount"])).sum();
    assert_eq!(number(&price["net"]["value"]) + taxes, number(&price["gross"]));
    for line in order["lines"].as_array().expect("lines") {
        let costs: i64 =
            line["price"]["costs"].as_array().expect("costs").iter().map(|cost| number(&cost["amount"]["value"])).sum();
        assert_eq!(costs, number(&line["price"]["cost"]));
        assert_eq!(number(&line["price"]["unit"]["value"]) * 12, number(&line["price"]["total"]));
    }
    for purchase in plan["purchases"].as_array().expect("purchases") {
        let items: i64 = purchase["items"].as_array().expect("items").iter().map(|item| number(&item["total"])).sum();
        assert_eq!(items, number(&purchase["goods"]));
        let parts: i64 =
            ["goods", "set_up", "top_up", "handling", "freight"].iter().map(|part| number(&purchase[part])).sum();
        assert_eq!(parts, number(&purchase["total"]));
    }
    // Every transfer asked for lies on some sheet, once.
    let print = &order["lines"][0]["prints"][0];
    let placed: usize = plan["pools"][0]["sheets"]
        .as_array()
        .expect("sheets")
        .iter()
        .map(|sheet| sheet["pieces"].as_array().expect("pieces").iter().filter(|piece| piece["spare"] == false).count())
        .sum();
    assert_eq!(placed as i64, number(&print["transfers"]));
    for name in ["papers/quote-1.pdf", "papers/job-tickets-1.pdf", "papers/purchase-list.pdf", "summary.txt"] {
        assert!(desk.path("out").join(name).is_file(), "{name}");
    }
}

/// A sheet's PNG has the pixels of its millimetres at 300 to the inch, and says
/// so: 300 dpi is 11,811 pixels a metre (PNG specification, third edition, pHYs).
#[test]
fn sheets_have_their_exact_size() {
    let desk = Desk::new();
    let output = desk.plan(&order(&totes(6, "art/sunset.svg")), &[]);
    assert_eq!(output.status.code(), Some(0), "{}", words(&output));
    let mut seen = 0;
    for (name, bytes) in files(&desk.path("out")) {
        if !name.starts_with("sheets") || name.extension().is_none_or(|ending| ending != "png") {
            continue;
        }
        seen += 1;
        let reader = png::Decoder::new(std::io::Cursor::new(&bytes)).read_info().expect("a PNG");
        let info = reader.info();
        let dims = info.pixel_dims.expect("a size tag");
        assert_eq!((dims.xppu, dims.yppu, dims.unit), (11_811, 11_811, png::Unit::Meter), "{}", name.display());
        let plan = desk.json();
        let charged = plan["pools"][0]["sheets"][0]["charged_length_mm"].as_f64().expect("a length");
        let most = (charged / 25.4 * 300.0).round() as u32;
        assert!(info.height <= most && info.width > 1000, "{} is {} × {}", name.display(), info.width, info.height);
    }
    assert!(seen > 0, "a bought sheet was written");
}

#[test]
fn the_same_bytes_on_one_thread_or_two() {
    let desk = Desk::new();
    let text = order(&(totes(7, "art/kite.svg") + &totes(3, "art/sunset.svg")));
    let mut plans = Vec::new();
    for threads in ["1", "2", "2"] {
        let output = desk.plan(&text, &["--threads", threads, "--effort", "60000"]);
        assert_eq!(output.status.code(), Some(0), "{}", words(&output));
        plans.push(files(&desk.path("out")));
    }
    assert!(plans[0].len() > 10);
    for other in &plans[1..] {
        assert_eq!(plans[0].keys().collect::<Vec<_>>(), other.keys().collect::<Vec<_>>());
        for (name, bytes) in &plans[0] {
            assert!(other[name] == *bytes, "{} differs", name.display());
        }
    }
}

#[test]
fn a_changed_order_changes_the_plan_as_a_person_would_expect() {
    let desk = Desk::new();
    let net = |desk: &Desk| desk.json()["orders"][0]["price"]["net"]["value"].as_i64().expect("a price");
    desk.plan(&order(&totes(12, "art/kite.svg")), &[]);
    let (once, first) = (net(&desk), desk.json());
    desk.plan(&order(&totes(24, "art/kite.svg")), &[]);
    assert!(net(&desk) > once, "twice as many cost more");
    assert!(net(&desk) < 2 * once, "but less than twice as much: set-up is shared");

    // A dearer sheet of the only transfers that show a fade.
    desk.plan(&order(&totes(12, "art/sunset.svg")), &[]);
    let faded = net(&desk);
    let stock = fs::read_to_string(desk.path("shop/stock.toml")).expect("stock");
    let dearer = stock.replace("price = \"", "price = \"9").replace("price-per-step = \"", "price-per-step = \"9");
    fs::write(desk.path("shop/stock.toml"), dearer).expect("written");
    desk.plan(&order(&totes(12, "art/sunset.svg")), &[]);
    assert!(net(&desk) > faded, "dearer sheets cost more");
    fs::write(desk.path("shop/stock.toml"), stock).expect("written");

    // Dyed polyester gives off dye under heat: what suits canvas is not taken for it.
    let taken = |desk: &Desk| {
        let print = &desk.json()["orders"][0]["lines"][0]["prints"][0];
        print["chosen"].as_str().expect("a transfer").to_owned()
    };
    desk.plan(&order(&totes(12, "art/marshal.svg")), &[]);
    let on_canvas = taken(&desk);
    let vests = totes(12, "art/marshal.svg")
        .replace("tote-canvas", "vest-run")
        .replace("natural", "marshal orange")
        .replace("\"one size\"", "M")
        .replace("bag side", "upper back");
    let output = desk.plan(&order(&vests), &[]);
    assert_eq!(output.status.code(), Some(0), "{}", words(&output));
    assert_ne!(taken(&desk), on_canvas, "another cloth, another transfer");

    let near = order(&totes(12, "art/kite.svg")).replace("2026-12-18", "2026-11-25");
    let output = desk.plan(&near, &[]);
    assert!(words(&output).contains("is due"), "a near date is told: {}", words(&output));
    assert_ne!(desk.json()["findings"], first["findings"]);
}

/// The mark is on the papers where it can be read; where it cannot, that is said and the papers go without.
#[test]
fn the_shops_mark_is_on_its_papers_or_its_absence_is_told() {
    let desk = Desk::new();
    let quote = |desk: &Desk| fs::read(desk.path("out/papers/quote-1.pdf")).expect("a quote");
    desk.plan(&order(&totes(2, "art/ring.svg")), &[]);
    let plain = quote(&desk);
    let text = fs::read_to_string(desk.path("shop/shop.toml")).expect("the shop");
    fs::write(desk.path("shop/shop.toml"), text.replacen("version = 1\n", "version = 1\nmark = \"mark.svg\"\n", 1))
        .expect("written");
    let found = |output: &Output| {
        assert_eq!(output.status.code(), Some(0), "{}", words(output));
        words(output).contains("mark.svg")
    };
    assert!(found(&desk.plan(&order(&totes(2, "art/ring.svg")), &[])), "it is not there");
    assert_eq!(quote(&desk), plain);
    fs::write(desk.path("shop/mark.svg"), "<svg no picture").expect("written");
    assert!(found(&desk.plan(&order(&totes(2, "art/ring.svg")), &[])), "it is broken");
    assert_eq!(quote(&desk), plain);
    fs::copy(desk.path("art/kite.svg"), desk.path("shop/mark.svg")).expect("copied");
    assert!(!found(&desk.plan(&order(&totes(2, "art/ring.svg")), &[])), "nothing to say");
    assert_ne!(quote(&desk), plain);
}

/// What lies in the shop is used first, but only in the colour of the print.
#[test]
fn film_on_hand_is_used_first_in_its_own_colour() {
    let desk = Desk::new();
    let jackets = totes(2, "art/ring.svg")
        .replace("tote-canvas", "jacket-lined")
        .replace("natural", "deep teal")
        .replace("\"one size\"", "L")
        .replace("bag side", "left chest")
        .replace("120 mm", "90 mm")
        .replace("[[line.print]]", "brought = true\n[[line.print]]");
    let film = |desk: &Desk| desk.json()["pools"][0]["cost"]["value"].as_i64().expect("a cost");
    let output = desk.plan(&order(&jackets), &[]);
    assert_eq!(output.status.code(), Some(0), "{}", words(&output));
    let bought = film(&desk);
    assert!(bought > 0);
    let colour = desk.json()["pools"][0]["colour"].as_str().expect("a film colour").to_owned();
    let stock = fs::read_to_string(desk.path("shop/stock.toml")).expect("stock");
    let other = if colour == "silver grey" { "white" } else { "silver grey" };
    for (on_hand, cost) in [(other, bought), (colour.as_str(), 0)] {
        let place = stock.find("id = \"shell-roll").expect("the shell film");
        let end = place + stock[place..].find("\n\n").unwrap_or(stock.len() - place);
        let remnant = format!("\nremnant = [{{ colour = \"{on_hand}\", length = \"500 mm\" }}]");
        fs::write(desk.path("shop/stock.toml"), format!("{}{remnant}{}", stock[..end].trim_end(), &stock[end..]))
            .expect("written");
        let output = desk.plan(&order(&jackets), &[]);
        assert_eq!(output.status.code(), Some(0), "{}", words(&output));
        assert_eq!(film(&desk), cost, "{on_hand} on hand for a print in {colour}");
    }
}

/// SHA-256 by coreutils.
fn sha256sum(path: &Path) -> String {
    let output = Command::new("sha256sum").arg(path).output().expect("coreutils");
    String::from_utf8_lossy(&output.stdout).split(' ').next().expect("a sum").to_owned()
}

/// Copies that a plan makes, all pools together.
fn made(plan: &serde_json::Value) -> u64 {
    let sheets = plan["pools"].as_array().expect("pools").iter().flat_map(|pool| pool["sheets"].as_array());
    sheets.flatten().map(|sheet| sheet["pieces"].as_array().expect("pieces").len() as u64).sum()
}

/// Transfers that lie in the shop are used before any are made, as long as they are not too old.
#[test]
fn transfers_and_garments_on_the_shelf_are_used_first() {
    let desk = Desk::new();
    let totes = totes(12, "art/kite.svg").replace("width =", "transfer = \"sheet-powder\"\nwidth =");
    let plan = |desk: &Desk| {
        let output = desk.plan(&order(&totes), &[]);
        assert_eq!(output.status.code(), Some(0), "{}", words(&output));
        desk.json()
    };
    let stock = fs::read_to_string(desk.path("shop/stock.toml")).expect("stock");
    let before = plan(&desk);
    let print = &before["orders"][0]["lines"][0]["prints"][0];
    let height = print["height_mm"].as_f64().expect("a height");
    // Twelve garments, one spare transfer for a small order (the shop's own rule in shop.toml).
    assert_eq!((print["transfers"].as_u64(), made(&before)), (Some(13), 13));
    let net = |plan: &serde_json::Value| plan["orders"][0]["price"]["net"]["value"].as_i64().expect("a price");
    let cost = |plan: &serde_json::Value, what: &str| {
        let costs = plan["orders"][0]["lines"][0]["price"]["costs"].as_array().expect("costs");
        costs.iter().find(|one| one["what"] == what).map_or(0, |one| one["amount"]["value"].as_i64().expect("money"))
    };
    let spare = |count: u32, since: &str, width: f64| {
        format!(
            "\n[[spare-transfer]]\ntransfer = \"sheet-powder\"\nart = \"kite.svg\"\nsha256 = \"{}\"\n\
             width = \"{width} mm\"\nheight = \"{height} mm\"\ncount = {count}\nplace = \"second drawer\"\n\
             since = \"{since}\"\n",
            sha256sum(&desk.path("art/kite.svg"))
        )
    };
    let with = |more: &str| {
        fs::write(desk.path("shop/stock.toml"), format!("{stock}{more}")).expect("written");
        plan(&desk)
    };
    // Rows: what lies there, and how many are still made. 180 days before 24 November is 28 May (counted on a calendar).
    for (more, left) in [
        (spare(5, "2026-10-01", 120.0), 8),
        (spare(5, "2026-05-28", 120.0), 8),
        (spare(5, "2026-05-27", 120.0), 13),
        (spare(5, "2026-10-01", 121.0), 13),
        (spare(5, "2026-10-01", 120.0) + &spare(3, "2026-09-01", 120.0), 5),
    ] {
        let after = with(&more);
        assert_eq!(made(&after), left, "{more}");
        if left < 13 {
            assert!(net(&after) < net(&before), "fewer are charged");
        } else {
            assert_eq!(net(&after), net(&before));
        }
    }
    let old = with(&spare(5, "2026-01-01", 120.0));
    assert!(old["findings"].as_array().expect("findings").iter().any(|one| one["code"] == "plan.shelf-too-old"));

    let all = with(&spare(40, "2026-10-01", 120.0));
    assert_eq!(made(&all), 0);
    assert_eq!(cost(&all, "plan.cost-transfers"), 0, "the order they were made for has paid for them");
    assert_eq!(all["orders"][0]["dates"]["order_transfers_by"], serde_json::Value::Null, "nothing to order");
    let taken = &all["orders"][0]["lines"][0]["prints"][0]["from_shelf"][0];
    assert_eq!((taken["count"].as_u64(), taken["place"].as_str()), (Some(13), Some("second drawer")));

    let bought = |plan: &serde_json::Value| -> u64 {
        let all = plan["purchases"].as_array().expect("purchases").iter();
        let items = all.flat_map(|one| one["items"].as_array().expect("items"));
        items.filter(|item| item["what"] == "tote-canvas").map(|item| item["quantity"].as_u64().expect("a count")).sum()
    };
    let garments = with(
        "\n[[garment-on-hand]]\ngarment = \"tote-canvas\"\ncolour = \"natural\"\nsize = \"one size\"\ncount = 4\n\
         place = \"left rack\"\n",
    );
    assert_eq!(bought(&garments), bought(&before) - 4);
    assert_eq!(
        cost(&garments, "plan.cost-garments"),
        cost(&before, "plan.cost-garments"),
        "charged as to replace them"
    );
}

/// Orders due near one another share sheets, and each pays for its own area; orders due far apart do not share.
#[test]
fn orders_share_sheets_only_when_their_dates_allow() {
    let desk = Desk::new();
    let of = |count, due: &str| {
        let one = totes(count, "art/kite.svg").replace("width =", "transfer = \"sheet-powder\"\nwidth =");
        order(&one).replace("2026-12-18", due)
    };
    let plan = |due: &str| {
        fs::write(desk.path("second.toml"), of(24, due)).expect("written");
        let output = desk.plan(&of(12, "2026-12-18"), &["second.toml"]);
        assert!(matches!(output.status.code(), Some(0 | 1)), "{}", words(&output));
        desk.json()
    };
    let owners = |plan: &serde_json::Value| -> Vec<Vec<u64>> {
        let pools = plan["pools"].as_array().expect("pools").iter();
        pools
            .map(|pool| {
                let uses = pool["designs"].as_array().expect("designs").iter().flat_map(|one| one["uses"].as_array());
                let mut of: Vec<u64> = uses.flatten().map(|one| one["order"].as_u64().expect("an order")).collect();
                of.sort_unstable();
                of.dedup();
                of
            })
            .collect()
    };
    // Seven days is the shop default; the eighth day is one too many.
    let near = plan("2026-12-25");
    assert_eq!(owners(&near), [vec![0, 1]]);
    let far = plan("2026-12-26");
    let mut apart = owners(&far);
    apart.sort();
    assert_eq!(apart, [vec![0], vec![1]], "no sheet holds pieces of both");
    assert!(far["findings"].as_array().expect("findings").iter().any(|one| one["code"] == "plan.due-apart"));

    // Alike in art and size, the shares go by copies: 12 + 1 spare against 24 + 1 spare (3 % of 24, rounded up).
    let share = |order: usize| {
        let costs = near["orders"][order]["lines"][0]["price"]["costs"].as_array().expect("costs");
        let film = costs.iter().find(|one| one["what"] == "plan.cost-transfers").expect("film");
        film["amount"]["value"].as_i64().expect("money")
    };
    let (first, second) = (share(0), share(1));
    assert!((first * 25 - second * 13).abs() <= 25 + 13, "{first} : {second} is 13 : 25 to the minor unit");
}

/// A program killed at any moment leaves the earlier plan or the new one, whole.
#[test]
fn a_killed_run_leaves_a_whole_plan() {
    let desk = Desk::new();
    let text = order(&totes(3, "art/kite.svg"));
    assert_eq!(desk.plan(&text, &[]).status.code(), Some(0));
    let first = files(&desk.path("out"));
    fs::write(desk.path("order.toml"), order(&totes(4, "art/kite.svg"))).expect("written");
    let begun = |desk: &Desk| {
        Command::new(env!("CARGO_BIN_EXE_bondline"))
            .current_dir(desk.home.path())
            .args(["plan", "order.toml", "--out", "out", "--today", TODAY, "--effort", "0", "--shop", "shop"])
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .expect("the program runs")
    };
    let clock = std::time::Instant::now();
    assert!(begun(&desk).wait().expect("ended").success());
    let whole = clock.elapsed();
    let second = files(&desk.path("out"));
    assert!(first != second, "another order, another plan");
    for nth in 0..12_u32 {
        let mut run = begun(&desk);
        std::thread::sleep(whole * nth / 12);
        let _ = run.kill();
        let _ = run.wait();
        assert!(files(&desk.path("out")) == second, "killed after {nth} twelfths");
    }
    fs::write(desk.path("order.toml"), &text).expect("written");
    assert!(begun(&desk).wait().expect("ended").success());
    assert!(files(&desk.path("out")) == first);
    let left: Vec<_> =
        fs::read_dir(desk.home.path()).expect("a folder").flatten().map(|entry| entry.file_name()).collect();
    assert_eq!(left.len(), 4, "what killed runs left is cleared away: {left:?}");
}

#[test]
fn each_bad_line_stops_alone_with_one_clear_word() {
    let desk = Desk::new();
    fs::write(desk.path("art/empty.png"), b"").expect("written");
    fs::write(desk.path("art/broken.png"), b"\x89PNG\r\n\x1a\nno picture").expect("written");
    fs::write(desk.path("art/huge.png"), huge_png()).expect("written");
    let outside = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40mm\" height=\"40mm\" viewBox=\"0 0 40 40\">\
                   <image href=\"file:///etc/hostname\" width=\"40\" height=\"40\"/></svg>";
    fs::write(desk.path("art/outside.svg"), outside).expect("written");
    let wide = totes(2, "art/kite.svg").replace("120 mm", "900 mm");
    let unknown = totes(2, "art/kite.svg").replace("tote-canvas", "tote-canvass");
    for (name, line) in [
        ("missing art", totes(2, "art/none.svg")),
        ("0-byte art", totes(2, "art/empty.png")),
        ("broken art", totes(2, "art/broken.png")),
        ("30,000 px claimed", totes(2, "art/huge.png")),
        ("reference outside", totes(2, "art/outside.svg")),
        ("wider than anything", wide),
        ("unknown garment", unknown),
    ] {
        let output = desk.plan(&order(&(totes(3, "art/kite.svg") + &line)), &[]);
        assert_eq!(output.status.code(), Some(1), "{name}: {}", words(&output));
        let plan = desk.json();
        let lines = plan["orders"][0]["lines"].as_array().expect("lines");
        assert_eq!(
            (lines[0]["state"].as_str(), lines[1]["state"].as_str()),
            (Some("planned"), Some("stopped")),
            "{name}"
        );
        let stops: Vec<&serde_json::Value> = plan["findings"]
            .as_array()
            .expect("findings")
            .iter()
            .filter(|finding| finding["severity"] == "stops-line")
            .collect();
        assert_eq!(stops.len(), 1, "{name}: one clear finding: {stops:#?}");
        assert_eq!(stops[0]["line"], 1, "{name}");
    }
}

/// A header that claims 30,000 × 30,000 px and nothing behind it.
fn huge_png() -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 30_000, 30_000);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    drop(encoder.write_header().expect("a header"));
    bytes
}

#[test]
fn a_refused_order_writes_nothing_and_names_the_place() {
    let desk = Desk::new();
    let good = order(&totes(3, "art/kite.svg"));
    assert_eq!(desk.plan(&good, &[]).status.code(), Some(0));
    let before = files(&desk.path("out"));
    for (name, text, says) in [
        ("negative quantity", good.replace("= 3", "= -3"), "order.toml"),
        ("mistyped key", good.replace("garment =", "garmnet ="), "“garment” was probably meant"),
        ("due before today", good.replace("2026-12-18", "2026-11-23"), "before today"),
        ("not TOML", "customer = ".to_owned(), "order.toml"),
        ("path out of the folder", good.replace("art/kite.svg", "../art/kite.svg"), "order's folder"),
    ] {
        let output = desk.plan(&text, &[]);
        assert_eq!(output.status.code(), Some(2), "{name}: {}", words(&output));
        assert!(words(&output).contains(says), "{name}: {}", words(&output));
        assert!(files(&desk.path("out")) == before, "{name}: the earlier plan is whole");
    }
    let output = desk.plan(&good, &["--shop", "nowhere"]);
    assert_eq!(output.status.code(), Some(2), "{}", words(&output));
    assert!(files(&desk.path("out")) == before, "an unreadable shop leaves the earlier plan whole");
}

#[test]
fn a_question_halts_its_line_until_somebody_answers() {
    let desk = Desk::new();
    let tees = "[[line]]\ngarment = \"tee-youth\"\ncolour = \"sky\"\nsizes = { Y-M = 4 }\n\
                [[line.print]]\nart = \"art/kite.svg\"\nposition = \"full front\"\nwidth = \"150 mm\"\n";
    let output = desk.plan(&order(tees), &[]);
    assert_eq!(output.status.code(), Some(1), "{}", words(&output));
    assert_eq!(desk.json()["orders"][0]["lines"][0]["state"], "waiting");
    let answered =
        order(tees) + "[[answer]]\nline = 1\nquestion = \"garment.halt-child\"\ngo-on = true\nby = \"the office\"\n";
    let output = desk.plan(&answered, &[]);
    assert_eq!(output.status.code(), Some(0), "{}", words(&output));
    assert_eq!(desk.json()["orders"][0]["lines"][0]["state"], "planned");
}

#[test]
fn the_demo_does_what_it_says() {
    let home = tempfile::tempdir().expect("a folder");
    let output = Command::new(env!("CARGO_BIN_EXE_bondline"))
        .current_dir(home.path())
        .args(["demo", "--out", "demo"])
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(0), "{}", words(&output));
    let said = words(&output);
    assert!(said.contains("refused on purpose"), "{said}");
    let text = fs::read_to_string(home.path().join("demo/plan/plan.json")).expect("a plan");
    let plan: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let states: Vec<&str> = plan["orders"][0]["lines"]
        .as_array()
        .expect("lines")
        .iter()
        .map(|line| line["state"].as_str().expect("a state"))
        .collect();
    assert_eq!(states.iter().filter(|state| **state == "stopped").count(), 1);
    assert_eq!(states.iter().filter(|state| **state == "planned").count(), states.len() - 1);
    // Film cut in the shop is reversed; bought sheets read right.
    let mut ways = BTreeMap::new();
    for pool in plan["pools"].as_array().expect("pools") {
        for sheet in pool["sheets"].as_array().expect("sheets") {
            for piece in sheet["pieces"].as_array().expect("pieces") {
                ways.entry(pool["transfer"].as_str().expect("a transfer").to_owned())
                    .or_insert_with(Vec::new)
                    .push(piece["mirrored"] == true);
            }
        }
    }
    for (transfer, mirrored) in &ways {
        let cut = transfer.contains("film");
        assert!(
            mirrored.iter().all(|way| *way == cut),
            "{transfer} is {}",
            if cut { "reversed" } else { "right-reading" }
        );
    }
    assert!(ways.len() >= 3);
}

/// Widths by hand from the usual ranges of a left chest, their middles: adult S–M 3–3.5 in,
/// L–XL 3.5–4 in, rounded down to half a millimetre (common practice, no source).
#[test]
fn art_grows_with_the_garments() {
    let desk = Desk::new();
    let line = |sized: &str| {
        order(&format!(
            "[[line]]\ngarment = \"sweat-pouch\"\ncolour = \"slate\"\nsizes = {{ S = 2, M = 3, L = 3, XL = 1 }}\n\
             [[line.print]]\nart = \"art/river.svg\"\nposition = \"left chest\"\nsized = \"{sized}\"\n"
        ))
    };
    let parts = |sized: &str| -> Vec<(f64, Vec<String>)> {
        let output = desk.plan(&line(sized), &[]);
        assert!(matches!(output.status.code(), Some(0 | 1)), "{}", words(&output));
        let plan = desk.json();
        assert!(plan.to_string().contains("plan.sized-"), "the choice is told");
        let lines = plan["orders"][0]["lines"].as_array().expect("lines").clone();
        lines
            .iter()
            .map(|line| {
                let sizes = line["sizes"].as_array().expect("sizes").iter();
                let names = sizes.map(|size| size["size"].as_str().expect("a name").to_owned()).collect();
                (line["prints"][0]["width_mm"].as_f64().expect("a width"), names)
            })
            .collect()
    };
    let named = |sizes: &[&str]| sizes.iter().map(|size| (*size).to_owned()).collect::<Vec<_>>();
    assert_eq!(parts("each band"), [(82.5, named(&["S", "M"])), (95.0, named(&["L", "XL"]))]);
    assert_eq!(parts("one for all"), [(82.5, named(&["S", "M", "L", "XL"]))]);
    let both = line("each band").replace("sized", "width = \"80 mm\"\nsized");
    assert_eq!(desk.plan(&both, &[]).status.code(), Some(2), "a width and “sized” are refused together");
    let unknown = desk.plan(&line("each bnad"), &[]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(words(&unknown).contains("each band"), "{}", words(&unknown));
}
