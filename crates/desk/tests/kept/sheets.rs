//! Pieces laid on a sheet by hand: they stay, the rest is packed round them.

use crate::common::{ines, on_each_with_shop, plan, take_totes, totes};
use desk::kept::{DeedError, Kept, KeptPlan, Laid, LockEdit, Moved};
use store::Kind;

fn laid(kept: &Kept, id: &str) -> (KeptPlan, Laid) {
    let plan = kept.plan_of(id).expect("read").expect("planned");
    let laid = kept.laid(&plan, "a").expect("laid out");
    (plan, laid)
}

fn code(refused: Result<i64, DeedError>) -> &'static str {
    match refused {
        Err(DeedError::Refused(finding)) => finding.code.0,
        other => panic!("not refused: {other:?}"),
    }
}

/// Where a piece lies is read back from the layout; that nothing touches is the word of the
/// engine's own checker, which shares no code with the search, and of an all-pairs look at
/// rectangles, which are the least that outlines take.
#[test]
fn a_locked_piece_stays_and_the_rest_goes_round_it() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 6);
        plan(kept, &id);
        let (made, before) = laid(kept, &id);
        let pieces = before.layout.sheets.iter().map(|sheet| sheet.pieces.len()).sum::<usize>();
        let mut to = before.place(0, 0).expect("a piece");
        to.along_mm += 41.5;
        to.across_mm += 23.25;
        let edit = LockEdit { plan: made.version, pool: "a".into(), lock: vec![to], ..LockEdit::default() };
        assert_eq!(kept.lock_pieces(&id, 1, &edit, &ines(30)), Ok(2));
        plan(kept, &id);
        let (_, after) = laid(kept, &id);
        assert!(nest::check(&after.instance, &after.layout).good());
        assert_eq!(after.layout.sheets.iter().map(|sheet| sheet.pieces.len()).sum::<usize>(), pieces);
        let locked: Vec<usize> =
            (0..after.layout.sheets[0].pieces.len()).filter(|piece| after.is_locked(0, *piece)).collect();
        let [locked] = locked[..] else { panic!("one is locked: {locked:?}") };
        let lies = after.place(0, locked).expect("it lies");
        for (is, wanted) in [(lies.along_mm, to.along_mm), (lies.across_mm, to.across_mm), (lies.turn_deg, to.turn_deg)]
        {
            assert!((is - wanted).abs() < 1e-6, "{is} instead of {wanted}");
        }
        let order = kept.order(&id).expect("there").order.expect("it reads");
        assert_eq!(kept.loose_locks(&order, &[after]), [], "it is where it was put");

        // Undone like any other change.
        kept.undo_seen(Kind::Order, &id, 2, &ines(31)).expect("undone");
        let order = kept.order(&id).expect("there").order.expect("it reads");
        assert_eq!(order.locked().count(), 0);
    });
}

#[test]
fn what_cannot_stay_is_refused_at_once() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 6);
        plan(kept, &id);
        let (made, table) = laid(kept, &id);
        let first = table.place(0, 0).expect("a piece");
        let edit = |lock: Vec<Moved>| LockEdit { plan: made.version, pool: "a".into(), lock, ..LockEdit::default() };
        let out = Moved { along_mm: -5.0, ..first };
        assert_eq!(code(kept.lock_pieces(&id, 1, &edit(vec![out]), &ines(30))), "desk.piece-outside");
        let slanted = Moved { along_mm: 60.0, across_mm: 60.0, turn_deg: 30.0, ..first };
        assert_eq!(code(kept.lock_pieces(&id, 1, &edit(vec![slanted]), &ines(30))), "desk.piece-turned");
        let upon = Moved { piece: 1, ..first };
        assert_eq!(code(kept.lock_pieces(&id, 1, &edit(vec![first, upon]), &ines(30))), "desk.piece-near");
        assert_eq!(code(kept.lock_pieces(&id, 1, &edit(vec![]), &ines(30))), "desk.piece-unknown");
        let none = Moved { piece: 999, ..first };
        assert_eq!(code(kept.lock_pieces(&id, 1, &edit(vec![none]), &ines(30))), "desk.piece-unknown");
        let old = LockEdit { plan: made.version + 1, ..edit(vec![first]) };
        assert_eq!(code(kept.lock_pieces(&id, 1, &old, &ines(30))), "desk.sheets-changed");
        assert!(matches!(kept.lock_pieces(&id, 9, &edit(vec![first]), &ines(30)), Err(DeedError::Conflict { .. })));
        let missing = LockEdit { pool: "zz".into(), ..edit(vec![first]) };
        assert!(matches!(kept.lock_pieces(&id, 1, &missing, &ines(30)), Err(DeedError::Missing { .. })));
        assert_eq!(kept.order(&id).expect("there").version, 1, "nothing of it was kept");

        // What is said while a piece is moved: others that are not locked will make room.
        let said: Vec<&str> = table.tried(0, &upon).iter().map(|finding| finding.code.0).collect();
        assert_eq!(said, ["desk.piece-makes-room"]);
        assert_eq!(table.tried(0, &first), []);
        assert_eq!(table.tried(0, &out)[0].code.0, "desk.piece-outside");
    });
}

/// What cannot stay after a change is told, and stays in the order until a person unlocks it.
#[test]
fn a_lock_that_no_longer_holds_is_told() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 6);
        plan(kept, &id);
        let (made, table) = laid(kept, &id);
        let lock = vec![table.place(0, 0).expect("a piece"), table.place(0, 1).expect("another")];
        let edit = LockEdit { plan: made.version, pool: "a".into(), lock, ..LockEdit::default() };
        kept.lock_pieces(&id, 1, &edit, &ines(30)).expect("locked");
        let told = |kept: &Kept| -> Vec<String> {
            plan(kept, &id);
            let made = kept.plan_of(&id).expect("read").expect("planned");
            let file: serde_json::Value =
                serde_json::from_slice(&kept.plan_file(&made, "plan.json").expect("there")).expect("JSON");
            let findings = file["findings"].as_array().expect("a list");
            let codes = findings.iter().filter_map(|finding| finding["code"].as_str());
            codes.filter(|code| code.starts_with("plan.lock")).map(str::to_owned).collect()
        };
        assert_eq!(told(kept), Vec::<String>::new());

        // Larger art: both would lie over one another now.
        let change = |kept: &Kept, change: &dyn Fn(&mut plan::Order)| {
            let version = kept.order(&id).expect("there").version;
            let done = kept.edit_order(&id, version, "changed", &ines(40), |order| {
                change(order);
                Ok(())
            });
            done.expect("changed");
        };
        change(kept, &|order| {
            order.lines[0].prints[0].size = art::SizeWish::Width(units::Length::from_mm(150.0).unwrap_or_default());
        });
        let codes = told(kept);
        assert!(!codes.is_empty() && codes.iter().all(|code| code == "plan.lock-near" || code == "plan.lock-outside"));
        let (made, now) = laid(kept, &id);
        assert!(nest::check(&now.instance, &now.layout).good() && now.layout.complete);
        let order = kept.order(&id).expect("there").order.expect("it reads");
        let loose = kept.loose_locks(&order, std::slice::from_ref(&now));
        // Two locks that are lost alike, by the same length, are one sentence.
        assert!(loose.len() >= codes.len() && order.locked().count() == 2, "nothing is dropped silently: {loose:?}");
        let sample = order.locked().next().expect("two are there").clone();
        let left = 2 - loose.len();

        // Unlocked one by one: what is loose is forgotten, what lies is freed.
        let edit = LockEdit {
            plan: made.version,
            pool: "a".into(),
            forget: loose.iter().map(|(nth, _)| *nth).collect(),
            ..LockEdit::default()
        };
        let version = kept.order(&id).expect("there").version;
        kept.lock_pieces(&id, version, &edit, &ines(41)).expect("forgotten");
        assert_eq!(told(kept), Vec::<String>::new());

        // Fewer pieces than are locked, another transfer, a print that is gone.
        change(kept, &|order| {
            for at in [200.0, 400.0, 600.0] {
                let at = (units::Length::from_mm(at).unwrap_or_default(), sample.at.1);
                order.decisions.push(plan::Decision::Locked(plan::Locked { at, sheet: 7, ..sample.clone() }));
            }
            order.lines[0].sizes[0].count = 1;
        });
        assert!(told(kept).iter().any(|code| code == "plan.lock-more" || code == "plan.lock-outside"));
        change(kept, &|order| {
            for decision in &mut order.decisions {
                if let plan::Decision::Locked(locked) = decision {
                    locked.line = 4;
                }
            }
        });
        let gone = told(kept);
        assert!(!gone.is_empty() && gone.iter().all(|code| code == "plan.lock-gone"), "{gone:?}");
        let order = kept.order(&id).expect("there").order.expect("it reads");
        assert_eq!(order.locked().count(), left + 3, "they stay in the order until a person unlocks them");
    });
}

/// Repairs: the art is another file beside the customer's own, and back again.
#[test]
fn a_repair_is_seen_accepted_and_taken_back() {
    use desk::kept::repair_of;
    on_each_with_shop(|kept| {
        let text = totes(6).replace("kite.svg", "fine.svg");
        // Hairlines of 0.3 mm at this size: an invented mark.
        let fine = br##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 60"><path fill="#123456" d="M5 5h50v50h-50zM60 30h55v.3h-55z"/></svg>"##;
        let art = vec![("art/fine.svg".to_owned(), fine.to_vec())];
        let id = kept.new_order(&text, art, &ines(10)).expect("taken");
        plan(kept, &id);
        let order = kept.order(&id).expect("there");
        let speech = words::Speech::english(units::UnitSystem::Metric);
        let picture = kept.repair_picture(&order, (0, 0), "thicken", &speech).expect("a picture");
        assert!(picture.matches("<image").count() == 2, "before and after");
        assert!(kept.repair_picture(&order, (0, 0), "nonsense", &speech).is_err());
        assert!(kept.repair_picture(&order, (0, 7), "thicken", &speech).is_err());
        assert_eq!(kept.accept_repair(&id, 1, (0, 0), "thicken", &ines(30)), Ok(2));
        let after = kept.order(&id).expect("there");
        let name = after.order.as_ref().expect("it reads").lines[0].prints[0].art.clone();
        assert_eq!((name.as_str(), repair_of(&name)), ("art/fine.thicken.svg", Some("thicken")));
        assert!(after.form.art.contains_key("art/fine.svg"), "the file as it came is kept");
        plan(kept, &id);
        let back = kept.withdraw_repair(&id, 1, (0, 0), "thicken", &ines(31));
        assert!(matches!(back, Err(DeedError::Conflict { seen: 1, now: 2, .. })), "{back:?}");
        assert_eq!(kept.withdraw_repair(&id, 2, (0, 0), "thicken", &ines(31)), Ok(3));
        assert_eq!(kept.order(&id).expect("there").order.expect("it reads").lines[0].prints[0].art, "art/fine.svg");
        // The box behind art is an option of reading, not a file.
        assert_eq!(kept.accept_repair(&id, 3, (0, 0), "background", &ines(32)), Ok(4));
        assert!(kept.order(&id).expect("there").order.expect("it reads").lines[0].prints[0].remove_background);
        assert_eq!(kept.withdraw_repair(&id, 4, (0, 0), "background", &ines(33)), Ok(5));
    });
}
