//! What was seen here and what is on hand, in the next plan; an order once more.

use crate::common::{WISH, art, ines, on_each_with_shop, plan, take_totes, totes};
use desk::kept::{DeedError, Kept};
use jiff::civil::date;
use std::sync::atomic::AtomicBool;
use store::Kind;
use store::form::{EvidenceForm, OnHand, Seen, StockForm};

fn seen(transfer: &str, cloth: &str, seen: Seen) -> EvidenceForm {
    EvidenceForm {
        day: "2026-11-20".to_owned(),
        transfer: transfer.to_owned(),
        cloth: cloth.to_owned(),
        recipe: String::new(),
        order: None,
        lot: None,
        seen,
        note: String::new(),
    }
}

/// Transfer and cloth of the first print as planned.
fn made(kept: &Kept, id: &str) -> (Option<String>, String) {
    let plan = kept.plan_of(id).expect("read").expect("planned");
    let line = plan.facts(id).expect("figures").lines[0].clone();
    (line.prints[0].transfer.clone(), line.cloth.expect("a cloth"))
}

fn told(kept: &Kept, id: &str) -> String {
    let plan = kept.plan_of(id).expect("read").expect("planned");
    String::from_utf8(kept.plan_file(&plan, "summary.txt").expect("there")).expect("a text")
}

#[test]
fn what_failed_here_is_not_taken_again_and_what_held_is_said() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 12);
        plan(kept, &id);
        let (first, cloth) = made(kept, &id);
        let first = first.expect("a transfer");
        for _ in 0..4 {
            kept.record(&seen(&first, &cloth, Seen::Pressed { pieces: 30 }), &ines(40)).expect("recorded");
        }
        kept.record(&seen(&first, &cloth, Seen::Washed { washes: 20, held: true }), &ines(40)).expect("recorded");
        let stale = kept.plan_of(&id).expect("read").expect("planned");
        assert!(stale.stale && stale.shop_changed, "what is known has changed");
        plan(kept, &id);
        assert_eq!(made(kept, &id).0.as_ref(), Some(&first));
        let said = told(kept, &id);
        assert!(said.contains("Pressed here for 4 orders (120 pieces), 20 washes, none returned"), "{said}");

        let why = "came off at the edges".to_owned();
        kept.record(&seen(&first, &cloth, Seen::Returned { pieces: 7, why }), &ines(41)).expect("recorded");
        plan(kept, &id);
        assert_ne!(made(kept, &id).0.as_ref(), Some(&first), "seven of 120 came back: more than one in twenty");
        assert!(told(kept, &id).contains("It did not hold here"));
        assert_eq!(kept.evidence_for(&first, &cloth).expect("read").len(), 6);
    });
}

/// The order of carriers in printed sheets, of which the shop has none on hand.
fn take_printed(kept: &Kept, count: u32) -> String {
    let text = totes(count).replace("width =", "transfer = \"sheet-powder\"\nwidth =");
    kept.new_order(&text, vec![("art/kite.svg".into(), art("art/kite.svg"))], &ines(1)).expect("taken")
}

/// Twenty-five washes seen on another transfer outrank what the model guesses of all.
#[test]
fn washes_that_were_seen_outrank_the_model() {
    on_each_with_shop(|kept| {
        let other = "sheet-powder";
        let strong = totes(12).replace("due =", "way = \"stronger\"\ndue =");
        let strong =
            kept.new_order(&strong, vec![("art/kite.svg".into(), art("art/kite.svg"))], &ines(1)).expect("taken");
        plan(kept, &strong);
        let (lasting, cloth) = made(kept, &strong);
        assert!(lasting.is_some() && lasting.as_deref() != Some(other), "else this story says nothing");
        kept.record(&seen(other, &cloth, Seen::Pressed { pieces: 30 }), &ines(40)).expect("recorded");
        kept.record(&seen(other, &cloth, Seen::Washed { washes: 25, held: true }), &ines(40)).expect("recorded");
        plan(kept, &strong);
        assert_eq!(made(kept, &strong).0.as_deref(), Some(other));
    });
}

#[test]
fn evidence_of_what_the_shop_does_not_have_is_refused() {
    on_each_with_shop(|kept| {
        let piece = Seen::TestPiece { held: true };
        for form in [
            seen("no-such", "no-such", piece.clone()),
            EvidenceForm { day: "yesterday".to_owned(), ..seen("x", "y", piece) },
            seen("", "", Seen::Platen { press: "no-such".to_owned(), set_c: 150.0, read_c: 146.0 }),
        ] {
            assert!(matches!(kept.record(&form, &ines(1)), Err(DeedError::Refused(_))), "{form:?}");
        }
        let press =
            kept.shop().expect("a shop").value.presses().next().map(|(_, press)| press.id.clone()).expect("one");
        let read = |read_c| seen("", "", Seen::Platen { press: press.clone(), set_c: 150.0, read_c });
        assert!(kept.record(&read(146.0), &ines(1)).is_ok());
        assert!(kept.record(&read(f64::INFINITY), &ines(1)).is_err());
    });
}

fn film(count: u32, width_mm: f64, length_mm: f64) -> StockForm {
    StockForm {
        what: OnHand::Film { stock: "powder-300x400".to_owned(), colour: None, width_mm, length_mm },
        count,
        reserved: Default::default(),
        place: "second drawer".to_owned(),
        since: "2026-10-01".to_owned(),
        lot: Some("K9".to_owned()),
    }
}

#[test]
fn what_is_on_hand_is_reserved_and_used() {
    on_each_with_shop(|kept| {
        let (one, other) = (take_totes(kept, 12), take_totes(kept, 5));
        let id = kept.put_stock(&film(5, 300.0, 400.0), &ines(1)).expect("kept");
        let v = kept.reserve(&id, 1, &one, 3, &ines(2)).expect("reserved");
        assert!(matches!(kept.reserve(&id, v, &other, 3, &ines(3)), Err(DeedError::Refused(_))), "two are free");
        assert!(matches!(kept.reserve(&id, 1, &other, 1, &ines(3)), Err(DeedError::Conflict { .. })));
        let v = kept.reserve(&id, v, &other, 2, &ines(3)).expect("reserved");
        assert!(kept.use_up(&id, v, None, 1, &ines(4)).is_err(), "nothing is free");
        let v = kept.use_up(&id, v, Some(&one), 2, &ines(4)).expect("used");
        let left = kept.list_stock().expect("read").remove(0).body;
        assert_eq!((left.count, left.free(), left.reserved.get(&one)), (3, 0, Some(&1)));
        kept.drop_order(&other, 1, "called off", &ines(5)).expect("dropped");
        let now = kept.list_stock().expect("read").remove(0);
        assert_eq!((now.version, now.body.free()), (v + 1, 2), "what a dropped order held is free");
        kept.use_up(&id, now.version, Some(&one), 3, &ines(6)).expect("used");
        assert_eq!(kept.list_stock(), Ok(vec![]), "what is used up is gone");
        for wrong in [film(0, 300.0, 400.0), film(1, 310.0, 400.0), film(1, f64::NAN, 400.0), film(1, 300.0, -1.0)] {
            assert!(matches!(kept.put_stock(&wrong, &ines(7)), Err(DeedError::Refused(_))), "{wrong:?}");
        }
        let strange =
            OnHand::Garments { garment: "tote-canvas".into(), colour: "no such".into(), size: "one size".into() };
        assert!(kept.put_stock(&StockForm { what: strange, ..film(1, 1.0, 1.0) }, &ines(7)).is_err());
    });
}

#[test]
fn film_on_hand_is_used_before_any_is_bought() {
    on_each_with_shop(|kept| {
        let id = take_printed(kept, 6);
        plan(kept, &id);
        let facts =
            |kept: &Kept| kept.plan_of(&id).expect("read").expect("planned").facts(&id).expect("figures").clone();
        let bought = facts(kept);
        assert!(bought.order_by.is_some());
        let stock = kept.put_stock(&film(4, 300.0, 400.0), &ines(30)).expect("kept");
        plan(kept, &id);
        let used = facts(kept);
        assert!(used.cost < bought.cost, "{} is less than {}", used.cost, bought.cost);
        let other = take_totes(kept, 1);
        let now = kept.list_stock().expect("read").remove(0);
        assert!(!now.body.reserved.is_empty(), "the plan has reserved what it uses");
        let all = StockForm { reserved: [(other.clone(), 4)].into(), ..now.body };
        kept.change_stock(&stock, now.version, &all, &ines(31)).expect("counted for another");
        plan(kept, &id);
        assert_eq!(facts(kept).cost, bought.cost, "what another order has reserved is not used");
    });
}

/// The order of printed carriers, with as many transfers and garments of it on hand.
fn spare_kites(kept: &Kept, id: &str, count: u32) -> (String, String) {
    let facts = kept.plan_of(id).expect("read").expect("planned").facts(id).expect("figures").clone();
    let print = facts.lines[0].prints[0].clone();
    let lies = |what| StockForm { what, ..film(count, 300.0, 400.0) };
    let transfers = lies(OnHand::Transfers {
        art: store::hash_of(&art("art/kite.svg")),
        name: "kite.svg".to_owned(),
        transfer: "sheet-powder".to_owned(),
        film: None,
        width_mm: print.width_mm.expect("a width"),
        height_mm: print.height_mm.expect("a height"),
    });
    let garments = lies(OnHand::Garments {
        garment: "tote-canvas".to_owned(),
        colour: "natural".to_owned(),
        size: "one size".to_owned(),
    });
    let put = |form| kept.put_stock(&form, &ines(30)).expect("kept");
    (put(transfers), put(garments))
}

/// What each order has reserved of a thing on hand.
fn reserved(kept: &Kept, stock: &str) -> Vec<(String, u32)> {
    let all = kept.list_stock().expect("read");
    let found = all.into_iter().find(|record| record.id == stock);
    found.map_or_else(Vec::new, |record| record.body.reserved.into_iter().collect())
}

/// Two orders never count on the same piece: each plan reserves what it uses, and frees it when it is
/// planned anew, called off or pressed.
#[test]
fn what_a_plan_uses_on_hand_is_its_own() {
    on_each_with_shop(|kept| {
        let (one, other) = (take_printed(kept, 6), take_printed(kept, 6));
        plan(kept, &one);
        let dear = kept.plan_of(&one).expect("read").expect("planned").facts(&one).expect("figures").cost;
        let (transfers, garments) = spare_kites(kept, &one, 10);
        plan(kept, &one);
        let cheap = kept.plan_of(&one).expect("read").expect("planned");
        assert!(cheap.facts(&one).expect("figures").cost < dear);
        // Six garments, one spare transfer for a small order.
        assert_eq!(reserved(kept, &transfers), [(one.clone(), 7)]);
        assert_eq!(reserved(kept, &garments), [(one.clone(), 6)]);
        assert!(told(kept, &one).contains("come from the shelf (second drawer"), "{}", told(kept, &one));

        plan(kept, &other);
        assert_eq!(reserved(kept, &transfers), [(one.clone(), 7), (other.clone(), 3)], "what is left, and no more");
        assert_eq!(reserved(kept, &garments), [(one.clone(), 6), (other.clone(), 4)]);
        let first = kept.plan_of(&one).expect("read").expect("planned");
        assert!(!first.stale, "what others reserve does not touch what is one's own");
        assert_eq!(first.version, cheap.version);

        // Planned anew for fewer, the rest is free.
        let text = kept.order(&one).expect("there").form.text.replace("= 6 }", "= 2 }");
        kept.change_order(&one, 1, &text, "fewer", &ines(31)).expect("changed");
        plan(kept, &one);
        assert_eq!(reserved(kept, &transfers), [(one.clone(), 3), (other.clone(), 3)]);
        plan(kept, &other);
        assert_eq!(reserved(kept, &transfers), [(one.clone(), 3), (other.clone(), 7)]);

        kept.drop_order(&other, 1, "called off", &ines(32)).expect("dropped");
        assert_eq!(reserved(kept, &transfers), [(one.clone(), 3)]);
        let on = kept.order(&one).expect("there").version;
        kept.pressed(&one, on, &ines(33)).expect("pressed");
        let left = kept.list_stock().expect("read");
        let count = |id: &str| left.iter().find(|record| record.id == id).map(|record| record.body.count);
        assert_eq!((count(&transfers), count(&garments)), (Some(7), Some(8)), "three and two are used up");

        // Every step of it can be undone.
        kept.undo(Kind::Stock, &transfers, &ines(34)).expect("undone");
        assert_eq!(reserved(kept, &transfers), [(one.clone(), 3)]);
    });
}

/// Fewer cannot be counted than orders have reserved; what is no transfer of the shop is refused.
#[test]
fn counts_and_names_on_the_shelf_are_checked() {
    on_each_with_shop(|kept| {
        let one = take_printed(kept, 6);
        plan(kept, &one);
        let (transfers, _) = spare_kites(kept, &one, 10);
        plan(kept, &one);
        let record = kept.list_stock().expect("read").into_iter().find(|record| record.id == transfers).expect("there");
        let fewer = StockForm { count: 6, ..record.body.clone() };
        assert!(matches!(kept.change_stock(&transfers, record.version, &fewer, &ines(1)), Err(DeedError::Refused(_))));
        let OnHand::Transfers { name, transfer, width_mm, height_mm, .. } = record.body.what.clone() else {
            panic!("transfers")
        };
        let art = store::hash_of(b"x");
        for what in [
            OnHand::Transfers {
                art: "no hash".into(),
                name: name.clone(),
                transfer: transfer.clone(),
                film: None,
                width_mm,
                height_mm,
            },
            OnHand::Transfers {
                art: art.clone(),
                name: name.clone(),
                transfer: "no-such".into(),
                film: None,
                width_mm,
                height_mm,
            },
            OnHand::Transfers {
                art: art.clone(),
                name: name.clone(),
                transfer: transfer.clone(),
                film: Some("red".into()),
                width_mm,
                height_mm,
            },
            OnHand::Transfers { art, name, transfer, film: None, width_mm: f64::NAN, height_mm },
        ] {
            let form = StockForm { what, reserved: Default::default(), ..record.body.clone() };
            assert!(matches!(kept.put_stock(&form, &ines(1)), Err(DeedError::Refused(_))), "{form:?}");
        }
    });
}

fn plan_together(kept: &Kept, ids: &[&String]) {
    let ids: Vec<String> = ids.iter().map(|id| (*id).clone()).collect();
    let job = kept.plan_together(&ids, WISH, &ines(20)).expect("put in");
    assert!(kept.work_one("desk", 2, &AtomicBool::new(false)).expect("worked"));
    let job = kept.job(&job).expect("read").expect("there");
    assert_eq!((job.state, job.result.as_str()), (store::JobState::Done, ""));
}

/// Planned together, orders share sheets and what is on hand; each has its own price, papers and reservations.
#[test]
fn orders_are_planned_together() {
    on_each_with_shop(|kept| {
        let (one, other) = (take_printed(kept, 6), take_printed(kept, 8));
        for id in [&one, &other] {
            plan(kept, id);
        }
        let cost = |id: &String| kept.plan_of(id).expect("read").expect("planned").facts(id).expect("figures").cost;
        let alone = cost(&one) + cost(&other);
        let near = |id: &String| -> Vec<String> {
            let plan = kept.plan_of(id).expect("read").expect("planned");
            let order = kept.order(id).expect("there");
            kept.near(&order, &plan).expect("read").into_iter().map(|listed| listed.id).collect()
        };
        assert_eq!(
            (near(&one), near(&other)),
            (vec![other.clone()], vec![one.clone()]),
            "one film, days that are near"
        );
        plan_together(kept, &[&one, &other]);
        assert_eq!(near(&one), Vec::<String>::new(), "it is with the other already");
        assert!(cost(&one) + cost(&other) < alone, "shared sheets and carriage cost less");
        let (a, b) =
            (kept.plan_of(&one).expect("read").expect("one"), kept.plan_of(&other).expect("read").expect("one"));
        assert_eq!(a.form, b.form, "one plan for both");
        assert!(!a.stale && !b.stale);
        assert_eq!(
            (a.facts(&one).expect("its own").lines[0].pieces, a.facts(&other).expect("its own").lines[0].pieces),
            (6, 8)
        );
        for name in ["papers/quote-1.pdf", "papers/quote-2.pdf"] {
            assert!(!kept.plan_file(&a, name).expect(name).is_empty());
        }
        // Planned anew, as after a change, they stay together.
        kept.plan_anew(&other, WISH, &ines(20)).expect("put in");
        assert!(kept.work_one("desk", 2, &AtomicBool::new(false)).expect("worked"));
        let b = kept.plan_of(&other).expect("read").expect("planned");
        assert_eq!(b.form.orders.len(), 2);
        // Planned by itself again, one of them says nothing true of the other any more.
        plan(kept, &one);
        let b = kept.plan_of(&other).expect("read").expect("planned");
        assert!(b.stale && b.others_changed && !b.order_changed);

        // The same name for another picture does not mix them up.
        let version = kept.order(&other).expect("there").version;
        kept.add_art(&other, version, "art/kite.svg", art("art/ring.svg"), &ines(21)).expect("kept");
        plan_together(kept, &[&one, &other]);
        let both = kept.plan_of(&one).expect("read").expect("planned");
        let print = |id: &String| both.facts(id).expect("its own").lines[0].prints[0].clone();
        assert_eq!(print(&one).sha256, Some(store::hash_of(&art("art/kite.svg"))));
        assert_eq!(print(&other).sha256, Some(store::hash_of(&art("art/ring.svg"))));
        assert_eq!(print(&other).art, "art/kite.svg", "called as its order calls it");

        // What cannot be planned together is refused.
        let refused = |ids: &[&String]| {
            let ids: Vec<String> = ids.iter().map(|id| (*id).clone()).collect();
            matches!(kept.plan_together(&ids, WISH, &ines(22)), Err(DeedError::Refused(_)))
        };
        assert!(refused(&[&one]) && refused(&[&one, &one]));
        let version = kept.order(&other).expect("there").version;
        kept.ordered(&other, version, &ines(23)).expect("ordered");
        plan(kept, &one);
        assert_eq!(near(&one), Vec::<String>::new(), "its sheets are on their way");
        assert!(refused(&[&one, &other]), "its sheets are on their way");
    });
}

/// Six bags on the shelf: six are bought less, and the plan says no more than that.
#[test]
fn garments_on_hand_are_used_before_any_are_bought() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 10);
        let bags = |kept: &Kept| -> i64 {
            plan(kept, &id);
            let made = kept.plan_of(&id).expect("read").expect("planned");
            let file = kept.plan_file(&made, "plan.json").expect("there");
            let file: serde_json::Value = serde_json::from_slice(&file).expect("JSON");
            let purchases = file["purchases"].as_array().expect("purchases").clone();
            let items = purchases.iter().flat_map(|one| one["items"].as_array().expect("items").clone());
            items
                .filter(|item| item["what"] == "tote-canvas")
                .map(|item| item["quantity"].as_i64().expect("many"))
                .sum()
        };
        let before = bags(kept);
        assert!(before >= 10);
        let what =
            OnHand::Garments { garment: "tote-canvas".into(), colour: "natural".into(), size: "one size".into() };
        kept.put_stock(&StockForm { what, ..film(6, 1.0, 1.0) }, &ines(30)).expect("kept");
        assert_eq!(bags(kept), before - 6);
    });
}

#[test]
fn an_order_once_more_is_the_same_and_says_what_has_changed() {
    on_each_with_shop(|kept| {
        let id = take_printed(kept, 60);
        plan(kept, &id);
        let (again, changed) = kept.reorder(&id, date(2027, 1, 29).at(17, 0, 0, 0), &ines(50)).expect("taken");
        assert_eq!(changed, []);
        plan(kept, &again);
        assert_eq!(kept.changes_since(&again), Ok(vec![]), "planned alike, it costs the same");
        let facts = |id: &str| kept.plan_of(id).expect("read").expect("planned").facts(id).expect("figures").clone();
        assert_eq!(facts(&id).lines, facts(&again).lines);
        let (old, new) = (kept.order(&id).expect("there"), kept.order(&again).expect("there"));
        assert_eq!(old.form.art, new.form.art, "the same bytes");

        let (name, version, text) =
            kept.shop_files().expect("read").into_iter().find(|file| file.0 == "stock.toml").expect("there");
        let dearer = text.replace("price = \"", "price = \"1").replace("price-per-step = \"", "price-per-step = \"1");
        kept.put_shop_file(&name, &dearer, version, &ines(51)).expect("kept");
        plan(kept, &again);
        let said: Vec<&str> = kept.changes_since(&again).expect("read").iter().map(|one| one.code.0).collect();
        assert_eq!(said, ["desk.price-since"]);

        let (transfer, _) = made(kept, &id);
        let transfer = transfer.expect("one");
        let (name, version, text) =
            kept.shop_files().expect("read").into_iter().find(|file| file.0 == "transfers.toml").expect("there");
        let renamed = text.replace(&format!("\"{transfer}\""), "\"another-film\"");
        kept.put_shop_file(&name, &renamed, version, &ines(52)).expect("kept");
        let (_, changed) = kept.reorder(&id, date(2027, 1, 29).at(17, 0, 0, 0), &ines(53)).expect("taken");
        let said: Vec<&str> = changed.iter().map(|one| one.code.0).collect();
        assert_eq!(said, ["desk.gone"], "a transfer that is no longer sold");
    });
}
