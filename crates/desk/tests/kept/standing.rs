//! Quote, sign-off, money, goods, work.

use crate::common::{bram, ines, on_each_with_shop, plan, take_totes, totes};
use desk::kept::{Counted, DeedError, GoodsIn, Kept, Stage, Told};
use report::Finding;
use std::collections::BTreeMap;
use std::sync::atomic::AtomicBool;
use store::form::{Goods, RealCosts, SignOff, Work};
use store::{Kind, Sieve};

fn codes(warnings: &[Finding]) -> Vec<&'static str> {
    warnings.iter().map(|finding| finding.code.0).collect()
}

fn stage(kept: &Kept, id: &str) -> String {
    kept.order(id).expect("there").listed.stage
}

#[test]
fn an_order_goes_through_all_its_stages() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 12);
        assert_eq!(stage(kept, &id), "to-plan");
        plan(kept, &id);
        assert_eq!(stage(kept, &id), "to-quote");
        let facts = kept.plan_of(&id).expect("read").expect("planned").facts(&id).expect("figures").clone();
        let clean = |told: Told| {
            assert_eq!(codes(&told.warnings), [""; 0]);
            told.version
        };
        let v = clean(kept.quote_sent(&id, 1, &ines(100)).expect("sent"));
        assert_eq!(stage(kept, &id), "waiting-on-customer");
        let v = clean(kept.sign_off(&id, v, "Kite crew, Mara", &ines(101)).expect("signed"));
        let after_sign_off = if facts.deposit > 0 { "waiting-on-customer" } else { "order-before-cut-off" };
        assert_eq!(stage(kept, &id), after_sign_off);
        let v = clean(kept.deposit(&id, v, facts.deposit.max(1), &ines(102)).expect("paid"));
        assert_eq!(stage(kept, &id), "order-before-cut-off");
        let v = clean(kept.ordered(&id, v, &ines(103)).expect("ordered"));
        assert_eq!(stage(kept, &id), "waiting-for-goods");
        let lots: BTreeMap<String, String> =
            [(facts.lines[0].prints[0].transfer.clone().expect("one"), "K17".to_owned())].into();
        let v = clean(kept.arrived(&id, v, 12, "", lots, &ines(104)).expect("arrived"));
        assert_eq!(stage(kept, &id), "arrived");
        let counted = Counted { line: 0, print: 0, good: 12, spoiled: 1, why: "pressed askew" };
        let v = kept.count(&id, v, counted, &bram(105)).expect("counted");
        let v = clean(kept.pressed(&id, v, &bram(106)).expect("pressed"));
        assert_eq!(stage(kept, &id), "to-hand-over");
        assert_eq!(
            kept.order(&id).expect("there").form.standing.work,
            Work::Pressed { at_ms: 106, good: 12, spoiled: 1 }
        );
        let v = clean(kept.handed_over(&id, v, "Mara", &ines(107)).expect("handed over"));
        assert_eq!(stage(kept, &id), "to-be-paid");
        clean(kept.paid(&id, v, facts.gross, &ines(108)).expect("paid"));
        assert_eq!(stage(kept, &id), "done");
        assert_eq!(kept.list(&Sieve { open_only: true, ..Sieve::default() }), Ok(vec![]));

        let evidence = kept.evidence().expect("read");
        assert_eq!(evidence.len(), 2, "pressing is evidence: what went well and what did not");
        assert!(
            evidence
                .iter()
                .all(|seen| seen.body.order.as_deref() == Some("1") && seen.body.lot.as_deref() == Some("K17"))
        );
        assert_eq!(kept.stage(&kept.order(&id).expect("there"), None), Stage::Done);
    });
}

#[test]
fn money_spent_too_early_is_warned_of() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 12);
        let unplanned = kept.ordered(&id, 1, &ines(50)).expect("kept all the same");
        assert_eq!(codes(&unplanned.warnings), ["desk.not-planned", "desk.spent-unsigned"]);
        plan(kept, &id);
        let facts = kept.plan_of(&id).expect("read").expect("planned").facts(&id).expect("figures").clone();
        assert!(facts.deposit > 0, "the demo's shop asks for one");
        let told = kept.ordered(&id, unplanned.version, &ines(51)).expect("kept");
        assert_eq!(codes(&told.warnings), ["desk.spent-unsigned", "desk.spent-unpaid"]);
        let told = kept.deposit(&id, told.version, facts.deposit - 1, &ines(52)).expect("kept");
        assert_eq!(codes(&told.warnings), ["desk.deposit-short"]);
        let told = kept.arrived(&id, told.version, 11, "one short", BTreeMap::new(), &ines(53)).expect("kept");
        assert_eq!(codes(&told.warnings), ["desk.counted-fewer"]);
        let told = kept.handed_over(&id, told.version, "Mara", &ines(54)).expect("kept");
        assert_eq!(codes(&told.warnings), ["desk.not-pressed"]);
        let told = kept.paid(&id, told.version, facts.gross - 1, &ines(55)).expect("kept");
        assert_eq!(codes(&told.warnings), ["desk.paid-short"]);
        for refused in [
            kept.deposit(&id, told.version, 0, &ines(56)),
            kept.paid(&id, told.version, -5, &ines(56)),
            kept.sign_off(&id, told.version, " \u{7} ", &ines(56)),
            kept.drop_order(&id, told.version, "", &ines(56)),
        ] {
            assert!(matches!(refused, Err(DeedError::Refused(_))), "{refused:?}");
        }
        assert!(matches!(kept.paid(&id, 1, 5, &ines(57)), Err(DeedError::Conflict { seen: 1, .. })));
    });
}

#[test]
fn a_change_after_the_sign_off_is_priced_and_asked_again() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 12);
        plan(kept, &id);
        let v = kept.quote_sent(&id, 1, &ines(60)).expect("sent").version;
        let v = kept.sign_off(&id, v, "Mara", &ines(61)).expect("signed").version;
        let signed = |kept: &Kept| kept.order(&id).expect("there").form.standing.sign_off;
        let SignOff::Signed { by, on, .. } = signed(kept) else { panic!("not signed") };
        assert_eq!(by, "Mara");
        let says = |name: &str| on.facts.get(name).map(String::as_str);
        assert_eq!(says("line 01 sizes"), Some("12 × one size"));
        assert_eq!(says("line 01 print 1 position"), Some("bag side"));
        assert!(
            says("line 01 print 1 art")
                .is_some_and(|art| art.contains(&store::hash_of(&crate::common::art("art/kite.svg"))))
        );
        assert!(on.net.is_some() && says("line 01 print 1 as pressed").is_some_and(|size| size.starts_with("120.0 ×")));

        let v = kept.change_order(&id, v, &totes(13), "one more", &ines(62)).expect("changed");
        assert_eq!(signed(kept), SignOff::Open, "nobody signed thirteen");
        let job = kept.job_of(&id).expect("read").expect("a job");
        assert_eq!(job.state, store::JobState::Waiting, "it is priced anew by itself");
        kept.call_off(&job.id).expect("planned for another day");
        plan(kept, &id);
        let told = kept.sign_off(&id, v, "Mara", &ines(63)).expect("kept");
        assert_eq!(codes(&told.warnings), ["desk.quote-differs"]);
        let v = kept.quote_sent(&id, told.version, &ines(64)).expect("sent").version;
        let v = kept.wish_change(&id, v, "Mara", "blue, please", &ines(65)).expect("wished").version;
        assert_eq!(stage(kept, &id), "change-wished");
        let v2 = kept.undo(Kind::Order, &id, &ines(66)).expect("undone");
        assert_eq!((v2, stage(kept, &id).as_str()), (v + 1, "waiting-on-customer"));
        assert!(
            kept.job_of(&id).expect("read").is_some() && !kept.work_one("x", 1, &AtomicBool::new(false)).expect("none")
        );
    });
}

#[test]
fn pieces_are_counted_by_line_and_print() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 12);
        plan(kept, &id);
        let one = |good, spoiled, why| Counted { line: 0, print: 0, good, spoiled, why };
        let v = kept.count(&id, 1, one(5, 0, ""), &bram(70)).expect("counted");
        let v = kept.count(&id, v, one(3, 1, "scorched"), &bram(71)).expect("counted");
        let v = kept.count(&id, v, one(2, 1, "scorched"), &bram(72)).expect("counted");
        let counts = kept.order(&id).expect("there").form.standing.counts;
        assert_eq!((counts.len(), counts[0].good, counts[0].spoiled(), counts[0].spoiled.len()), (1, 10, 2, 1));
        assert!(matches!(kept.count(&id, v, one(0, 1, ""), &bram(73)), Err(DeedError::Refused(_))), "why?");
        let elsewhere = Counted { line: 1, ..one(1, 0, "") };
        assert!(matches!(kept.count(&id, v, elsewhere, &bram(73)), Err(DeedError::Missing { .. })));
        let told = kept.pressed(&id, v, &bram(74)).expect("kept");
        assert!(codes(&told.warnings).contains(&"desk.pressed-fewer"));
    });
}

#[test]
fn faulty_garments_are_counted_in() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 12);
        let goods = |counted, faulty| GoodsIn { counted, faulty, ..GoodsIn::default() };
        let enough = kept.counted_in(&id, 1, goods(14, 2), &ines(50)).expect("kept");
        assert_eq!(codes(&enough.warnings), ["desk.faulty"]);
        assert_eq!(enough.warnings[0].remedy.0, "desk.faulty-remedy", "twelve are good");
        let short = kept.counted_in(&id, enough.version, goods(12, 2), &ines(51)).expect("kept");
        assert_eq!(codes(&short.warnings), ["desk.faulty"]);
        assert_eq!(short.warnings[0].remedy.0, "desk.faulty-short-remedy");
        let Goods::Arrived { counted, faulty, note, .. } = kept.order(&id).expect("there").form.standing.goods else {
            panic!("not arrived")
        };
        assert_eq!((counted, faulty, note.as_str()), (12, 2, "2 faulty"));
        let more = kept.counted_in(&id, short.version, goods(1, 2), &ines(52));
        assert!(matches!(more, Err(DeedError::Refused(_))), "{more:?}");
    });
}

/// The build-up of the quote is that of the plan, to the minor unit; what was written down
/// changes its own row, is kept in the history and can be taken back.
#[test]
fn what_it_took_is_compared_with_the_quote() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 12);
        assert!(matches!(kept.compare_costs(&id), Err(DeedError::Missing { .. })), "not planned yet");
        plan(kept, &id);
        let facts = kept.plan_of(&id).expect("read").expect("planned").facts(&id).expect("figures").clone();
        let quoted = kept.compare_costs(&id).expect("compared");
        assert_eq!((quoted.quoted.minor(), quoted.net.minor()), (facts.cost, facts.net));
        assert_eq!(quoted.earns.0.map(|money| money.minor()), facts.earns_per_hour);
        assert_eq!(quoted.real, quoted.quoted);

        let one = |word: &str, value| BTreeMap::from([(word.to_owned(), value)]);
        let took = RealCosts {
            work_s: one("press", Some(7200)),
            money: one("transfers", Some(3120)),
            sheets: Some(3),
            ..RealCosts::default()
        };
        let on = kept.order(&id).expect("there").version;
        let on = kept.record_costs(&id, on, &took, &ines(60)).expect("written down");
        let real = kept.compare_costs(&id).expect("compared");
        let row = |what: &str| real.rows.iter().find(|row| row.what.0 == what).expect("a row").clone();
        let (press, transfers) = (row("plan.cost-press"), row("plan.cost-transfers"));
        assert_eq!(transfers.real.map(|money| money.minor()), Some(3120));
        assert_eq!(press.real_work.map(|work| work.s()), Some(7200.0));
        let more = [&press, &transfers].iter().map(|row| row.difference.expect("written down").minor()).sum::<i64>();
        assert_eq!(real.real.minor() - real.quoted.minor(), more);
        assert_eq!(real.sheets.1, Some(3));

        let taken_back = RealCosts { work_s: one("press", None), ..RealCosts::default() };
        let on = kept.record_costs(&id, on, &taken_back, &ines(61)).expect("written down");
        assert!(kept.compare_costs(&id).expect("compared").open.iter().any(|what| what.0 == "plan.cost-press"));
        let wrong = RealCosts { work_s: one("pressing", Some(1)), ..RealCosts::default() };
        assert!(matches!(kept.record_costs(&id, on, &wrong, &ines(62)), Err(DeedError::Refused(_))));
        kept.undo(Kind::Order, &id, &ines(63)).expect("undone");
        assert!(!kept.compare_costs(&id).expect("compared").open.iter().any(|what| what.0 == "plan.cost-press"));
    });
}

/// The demo's offers hold for so many days from the day they are made on; the customer signs on the last of
/// them and not a day later. Of the shop it is kept, with a warning: the paper may have been signed in time.
#[test]
fn an_offer_is_not_signed_after_its_last_day() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 12);
        plan(kept, &id);
        let facts = kept.plan_of(&id).expect("read").expect("planned").facts(&id).expect("figures").clone();
        let until: jiff::civil::Date = facts.valid_until.expect("a last day").parse().expect("a date");
        assert_eq!(until, crate::common::TODAY.saturating_add(jiff::Span::new().days(valid_days())));
        let noon = |day: jiff::civil::Date| {
            let at = jiff::tz::TimeZone::system().to_timestamp(day.at(12, 0, 0, 0)).expect("a moment");
            ines(at.as_millisecond())
        };
        let after = until.tomorrow().expect("a day");
        let Err(DeedError::Refused(refused)) = kept.customer_signs(&id, 1, "Mara", &noon(after)) else {
            panic!("signed after {until}");
        };
        assert_eq!(refused.code.0, "desk.offer-over");
        assert_eq!(kept.order(&id).expect("there").form.standing.sign_off, SignOff::Open);
        let seen = kept.customer_signs(&id, 7, "Mara", &noon(after));
        assert!(matches!(seen, Err(DeedError::Conflict { seen: 7, .. })), "{seen:?}");
        let told = kept.customer_signs(&id, 1, "Mara", &noon(until)).expect("in time");
        assert_eq!(codes(&told.warnings), ["desk.not-quoted"]);
        let told = kept.sign_off(&id, told.version, "Mara, on paper", &noon(after)).expect("kept");
        assert_eq!(codes(&told.warnings), ["desk.not-quoted", "desk.offer-over"]);
    });
}

/// As the demo's shop file says.
fn valid_days() -> i64 {
    let files = crate::common::shop_files();
    let text = &files.iter().find(|(name, _)| name == "shop.toml").expect("a shop").1;
    let value = text.lines().find_map(|line| line.strip_prefix("valid-days = ")).expect("valid-days");
    value.trim().parse().expect("a number")
}
