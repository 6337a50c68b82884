//! The daily path: a new order from typed lines to its plan, changed and undone.

use crate::common::Shop;
use axum::http::StatusCode;
use store::form::Role;

#[test]
fn from_typed_lines_to_a_plan_a_change_and_back() {
    let shop = Shop::shelf();
    let (cookie, token) = shop.session(Role::Planner);
    let made = shop.post(
        "/orders/new",
        &cookie,
        &[("token", &token), ("customer", "Weir café"), ("due", "2026-12-15"), ("lines", "natural canvas tote 20")],
    );
    assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text);
    let order = made.header("location").to_owned();
    let waiting = shop.get(&order, &cookie);
    assert!(
        waiting.text.contains("Weir café") && waiting.text.contains("http-equiv=\"refresh\""),
        "reads without scripts"
    );
    assert!(shop.get(&format!("{order}/progress"), &cookie).text.contains("\"working\":true"));
    shop.work();
    let planned = shop.get(&order, &cookie);
    for part in ["Canvas tote", "Where it goes", "How it is pressed", "papers/quote-1.pdf", "Everyday", "class=\"why\""]
    {
        assert!(planned.text.contains(part), "{part}");
    }
    assert!(planned.text.len() < 300_000, "the page weighs {}", planned.text.len());
    let picture = shop.get(&format!("{order}/picture/garment-1-1-1.svg"), &cookie);
    assert_eq!((picture.status, picture.header("content-type")), (StatusCode::OK, "image/svg+xml"));
    assert!(picture.header("content-security-policy").contains("sandbox"));
    let quote = shop.get(&format!("{order}/file/papers/quote-1.pdf"), &cookie);
    assert!(quote.header("content-disposition").starts_with("attachment"));
    // More pieces: planned again, and said in words and money.
    let id = order.trim_start_matches("/orders/");
    let fields = |version: &'static str, count: &'static str| {
        vec![
            ("token", token.clone()),
            ("version", version.to_owned()),
            ("line", "1".to_owned()),
            ("size:one size", count.to_owned()),
            ("colour", "natural".to_owned()),
        ]
    };
    let send = |fields: &[(&str, String)]| {
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        shop.post(&format!("/orders/{id}/line"), &cookie, &fields)
    };
    let changed = send(&fields("1", "40"));
    assert_eq!(changed.status, StatusCode::SEE_OTHER, "{}", changed.text);
    shop.work();
    let after = shop.get(&format!("{order}?changed=1"), &cookie);
    assert!(after.text.contains("The price goes from"), "the difference is told");
    // Somebody who still sees the first version is told, and loses nothing.
    let late = send(&fields("1", "30"));
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.text.contains("Somebody else changed this order"));
    let bad = send(&fields("2", "many"));
    assert!(bad.status == StatusCode::UNPROCESSABLE_ENTITY && bad.text.contains("“many” is no quantity"));
    let undo =
        |version: &str| shop.post(&format!("/orders/{id}/undo"), &cookie, &[("token", &token), ("version", version)]);
    assert_eq!(undo("1").status, StatusCode::CONFLICT, "nothing is undone that was not seen");
    let undone = undo("2");
    assert_eq!(undone.status, StatusCode::SEE_OTHER);
    shop.work();
    let back = shop.app.kept.order(id).expect("there").order.expect("reads");
    assert_eq!(back.lines[0].sizes[0].count, 20);
}

#[test]
fn what_was_typed_stays_when_it_is_refused() {
    let shop = Shop::new();
    let (cookie, token) = shop.session(Role::Planner);
    let lines = "natural canvas tote 20\nstriped umbrella 4 & <b>";
    let heard = shop.post(
        "/orders/new",
        &cookie,
        &[("token", &token), ("customer", "Weir \"café\" <x>"), ("due", "2026-12-15"), ("lines", lines)],
    );
    assert_eq!(heard.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(heard.text.contains("no garment of the shelf is meant by it"));
    assert!(heard.text.contains("striped umbrella 4 &#38; &#60;b&#62;"), "typed text is kept, escaped");
    assert!(heard.text.contains("Weir &#34;café&#34; &#60;x&#62;") && !heard.text.contains("<x>"));
    assert_eq!(shop.app.kept.list(&store::Sieve::default()).expect("read").len(), 1, "nothing was kept");
}

#[test]
fn a_customers_link_shows_one_quote_and_can_be_taken_back() {
    let shop = Shop::new();
    shop.work();
    let (cookie, token) = shop.session(Role::Planner);
    let made = shop.post("/orders/1/link", &cookie, &[("token", &token)]);
    let link = made.text.split("/q/").nth(1).expect("a link")[..32].to_owned();
    let page = shop.get(&format!("/q/{link}"), "");
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("Riverside kite festival") && page.text.contains("Finest"));
    assert_eq!((page.header("referrer-policy"), page.header("cache-control")), ("no-referrer", "no-store"));
    assert!(page.header("x-robots-tag").contains("noindex"));
    assert_eq!(shop.get(&format!("/q/{link}/picture/garment-1-1-1.svg"), "").status, StatusCode::OK);
    for hidden in ["sheet-a-1.svg", "timeline-1.svg", "window-1-1-1.svg", "..%2Fplan.json"] {
        assert_eq!(shop.get(&format!("/q/{link}/picture/{hidden}"), "").status, StatusCode::NOT_FOUND, "{hidden}");
    }
    // Costs, suppliers and earnings are not for customers.
    for secret in ["Millrace", "earns", "over cost"] {
        assert!(!page.text.contains(secret), "{secret}");
    }
    let hash = web::guard::Secret::of(&link).expect("a secret").hash();
    assert!(!shop.get("/orders/1", &cookie).text.contains(&link), "shown once");
    let back = shop.post("/orders/1/link/revoke", &cookie, &[("token", &token), ("link", &hash)]);
    assert_eq!(back.status, StatusCode::SEE_OTHER);
    assert_eq!(shop.get(&format!("/q/{link}"), "").status, StatusCode::NOT_FOUND);
}

#[test]
fn the_first_start_of_an_empty_shop() {
    let shop = Shop::empty();
    let (cookie, token) = shop.session(Role::Owner);
    assert_eq!(shop.get("/", &cookie).header("location"), "/first");
    let made = shop.post("/first", &cookie, &[("token", &token), ("with", "demo")]);
    assert_eq!(made.header("location"), "/orders/1", "{}", made.text);
    assert!(shop.get("/", &cookie).text.contains("Riverside kite festival"));
}

#[test]
fn a_few_answers_open_a_shop_of_ones_own() {
    let shop = Shop::empty();
    let (cookie, token) = shop.session(Role::Owner);
    let mut fields = vec![
        ("token", token.as_str()),
        ("with", "answers"),
        ("name", "Boathouse press"),
        ("currency", "eur"),
        ("hour", "24,50"),
        ("plate-width", "16 in"),
        ("plate-depth", "20 in"),
        ("tee", "3,20"),
        ("name1", "Plain film"),
        ("kind1", "cut"),
        ("price1", "4,60"),
        ("sheet1", "Card, 3 May 2026"),
        ("temperature1", "hot"),
        ("dwell1", "15 s"),
        ("peel1", "warm"),
        ("name2", "Printed"),
        ("kind2", "printed"),
        ("price2", "7.40"),
        ("sheet2", "Card 4"),
        ("temperature2", "300 °F"),
        ("dwell2", "12 s"),
        ("peel2", "hot"),
    ];
    let refused = shop.post("/first", &cookie, &fields);
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        refused.text.contains("value=\"Boathouse press\"") && refused.text.contains("transfers.toml"),
        "{}",
        refused.text
    );
    for field in &mut fields {
        if field.0 == "temperature1" {
            field.1 = "155 °C";
        }
    }
    let made = shop.post("/first", &cookie, &fields);
    assert_eq!((made.status, made.header("location")), (StatusCode::SEE_OTHER, "/"), "{}", made.text);
    let order = shop.post(
        "/orders/new",
        &cookie,
        &[("token", &token), ("customer", "Rowers"), ("due", "2026-12-15"), ("lines", "black tee S4 M8, left chest")],
    );
    assert_eq!(order.header("location"), "/orders/1", "{}", order.text);
    shop.work();
    let page = shop.get("/orders/1", &cookie).text;
    assert!(page.contains("EUR") && page.contains("Plain tee") && page.contains("How it is pressed"));
}

#[test]
fn the_customer_signs_off_by_name() {
    let shop = Shop::new();
    shop.work();
    let (cookie, token) = shop.session(Role::Planner);
    let made = shop.post("/orders/1/link", &cookie, &[("token", &token)]);
    let link = made.text.split("/q/").nth(1).expect("a link")[..32].to_owned();
    let version = shop.app.kept.order("1").expect("there").version.to_string();
    let sign = |fields: &[(&str, &str)]| shop.post(&format!("/q/{link}/sign"), "", fields);
    assert_eq!(sign(&[("version", &version), ("name", "Mira")]).status, StatusCode::UNPROCESSABLE_ENTITY, "not ticked");
    assert_eq!(sign(&[("version", "99"), ("name", "Mira"), ("sure", "yes")]).status, StatusCode::CONFLICT);
    let signed = sign(&[("version", &version), ("name", "Mira <b>"), ("sure", "yes")]);
    assert!(signed.status == StatusCode::OK && signed.text.contains("Mira &#60;b&#62;"), "{}", signed.text);
    assert!(shop.get("/orders/1", &cookie).text.contains("Signed off by Mira"));
    // Goods ordered before the deposit: done, and warned.
    let version = shop.app.kept.order("1").expect("there").version.to_string();
    let told =
        shop.post("/orders/1/standing", &cookie, &[("token", &token), ("version", &version), ("deed", "ordered")]);
    assert!(told.status == StatusCode::OK && told.text.contains("Watch"), "{}", told.status);
}

#[test]
fn counts_at_the_press_count_once() {
    let shop = Shop::new();
    shop.work();
    let (cookie, token) = shop.session(Role::Press);
    let key = "ab".repeat(16);
    let send = |key: &str, what: &str| {
        shop.post("/press/1/1/1/count", &cookie, &[("token", &token), ("key", key), (what, "1")])
    };
    for _ in 0..3 {
        assert_eq!(send(&key, "good").status, StatusCode::SEE_OTHER);
    }
    assert_eq!(send(&"cd".repeat(16), "spoiled").status, StatusCode::SEE_OTHER);
    let counts = &shop.app.kept.order("1").expect("there").form.standing.counts;
    assert_eq!((counts[0].good, counts[0].spoiled[0].pieces), (1, 1));
    assert_eq!(shop.get("/press", &cookie).status, StatusCode::OK);
    assert!(shop.get("/press/1/1/1", &cookie).text.contains("data-good=\"1\""));
    assert_eq!(shop.get("/press/1/5/1", &cookie).status, StatusCode::NOT_FOUND, "a stopped line has no run");
}

#[test]
fn a_shelf_file_that_does_not_read_is_not_kept_and_stays_in_the_page() {
    let shop = Shop::new();
    let (cookie, token) = shop.session(Role::Planner);
    let (_, version, text) =
        shop.app.kept.shop_files().expect("read").into_iter().find(|f| f.0 == "shop.toml").expect("there");
    let broken = text.replace("labour-per-hour", "labour-per-our");
    let version = version.to_string();
    let fields = [("token", token.as_str()), ("version", version.as_str()), ("text", broken.as_str())];
    let heard = shop.post("/shelf/shop.toml", &cookie, &fields);
    assert_eq!(heard.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(heard.text.contains("labour-per-our") && heard.text.contains("labour-per-hour"), "names what was meant");
    let dearer = text.replace("26.00", "29.00");
    let fields = [("token", token.as_str()), ("version", version.as_str()), ("text", dearer.as_str())];
    assert_eq!(shop.post("/shelf/shop.toml", &cookie, &fields).status, StatusCode::SEE_OTHER);
    assert!(shop.get("/shelf/shop.toml", &cookie).text.contains("29.00"));
}

/// Curves follow the setting: hotter and longer give a hotter bond line.
#[test]
fn what_happens_in_the_press_follows_the_sliders() {
    let shop = Shop::new();
    let (cookie, _) = shop.session(Role::Press);
    let at = |c: u32, s: u32| {
        let heard = shop.get(&format!("/heat/answer?cloth=canvas-240&transfer=film-plain:0&c={c}&s={s}"), &cookie);
        let answer: serde_json::Value = serde_json::from_str(&heard.text).expect("JSON");
        answer["figures"][0][1]
            .as_str()
            .expect("a figure")
            .split(' ')
            .next()
            .expect("a number")
            .parse::<f64>()
            .expect("°C")
    };
    assert!(at(145, 5) < at(160, 5) && at(145, 5) < at(145, 20));
    let begun = std::time::Instant::now();
    for c in 140..150 {
        at(c, 10);
    }
    assert!(begun.elapsed().as_millis() < 1000, "ten moves of a slider within 100 ms each: {:?}", begun.elapsed());
}
