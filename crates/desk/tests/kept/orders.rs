//! Orders, their art and their decisions.

use crate::common::{art, bram, ines, on_each, take_totes, totes};
use desk::kept::{DeedError, Stage};
use plan::Decision;
use store::Sieve;

#[test]
fn an_order_is_taken_found_and_changed() {
    on_each(|kept| {
        let id = take_totes(kept, 12);
        assert_eq!(id, "1");
        let order = kept.order(&id).expect("there");
        assert_eq!((order.version, order.stamp.by.as_str()), (1, "Ines"));
        assert_eq!(order.order.as_ref().map(|order| order.lines[0].pieces()), Ok(12));
        assert_eq!(order.listed.stage, Stage::ToPlan.word());
        assert_eq!(kept.art_bytes(&id, "art/kite.svg"), Ok(art("art/kite.svg")));

        let found = kept.list(&Sieve { text: "STALL kite".to_owned(), ..Sieve::default() }).expect("read");
        assert_eq!(found, [order.listed]);
        assert_eq!(kept.list(&Sieve { text: "balloon".to_owned(), ..Sieve::default() }), Ok(vec![]));

        assert_eq!(kept.change_order(&id, 1, &totes(20), "more of them", &bram(30)), Ok(2));
        let refused = kept.change_order(&id, 1, &totes(9), "fewer", &ines(31));
        let conflict = DeedError::Conflict { what: "order 1".to_owned(), seen: 1, now: 2, by: "Bram".to_owned() };
        assert_eq!(refused, Err(conflict));
        assert_eq!(kept.list(&Sieve::default()).expect("read")[0].pieces, 20, "lists show the change");
        assert!(matches!(kept.order("7"), Err(DeedError::Missing { .. })));
        assert_eq!(take_totes(kept, 1), "2");
    });
}

#[test]
fn an_edit_changes_the_order_and_its_text() {
    on_each(|kept| {
        let id = take_totes(kept, 12);
        let version = kept
            .edit_order(&id, 1, "moved", &ines(11), |order| {
                order.lines[0].sizes[0].count = 14;
                order.lines[0].prints[0].offset = Some((
                    units::Length::from_mm(10.0).unwrap_or_default(),
                    units::Length::from_mm(-5.0).unwrap_or_default(),
                ));
                Ok(())
            })
            .expect("edited");
        assert_eq!(version, 2);
        let order = kept.order(&id).expect("there");
        let read = plan::form::read_order("order.toml", &order.form.text).expect("it reads");
        assert_eq!((read.lines[0].pieces(), Ok(&read)), (14, order.order.as_ref()));
        assert!(order.form.text.contains("right = \"10 mm\""), "{}", order.form.text);

        let none = kept.edit_order(&id, 2, "emptied", &ines(12), |order| {
            order.lines.clear();
            Ok(())
        });
        assert!(matches!(none, Err(DeedError::Faults(_))), "an order no file can hold is refused: {none:?}");
        assert_eq!(kept.order(&id).expect("there").version, 2);
    });
}

#[test]
fn decisions_are_kept_and_taken_back() {
    on_each(|kept| {
        let id = take_totes(kept, 12);
        let answer = |go_on| Decision::Answered {
            line: 0,
            question: "garment.child-sleepwear".to_owned(),
            go_on,
            by: "Ines".to_owned(),
        };
        let version = kept.decide(&id, 1, answer(true), &ines(11)).expect("decided");
        let version = kept.decide(&id, version, answer(false), &ines(12)).expect("decided anew");
        let decisions = |kept: &desk::kept::Kept| kept.order(&id).expect("there").order.expect("it reads").decisions;
        assert_eq!(decisions(kept), [answer(false)], "one answer a question");
        kept.undecide(&id, version, &answer(false), &ines(13)).expect("taken back");
        assert_eq!(decisions(kept), []);
    });
}

#[test]
fn what_no_order_may_hold_is_refused() {
    on_each(|kept| {
        let faulty = totes(12).replace("garment", "garmnet");
        assert!(matches!(kept.new_order(&faulty, vec![], &ines(1)), Err(DeedError::Faults(_))));
        let long = "x".repeat(201);
        for name in ["../kite.svg", "/etc/kite.svg", "a/../../b", "c:kite", "a\\b", "", "a//b", "order.toml", &long] {
            let refused = kept.new_order(&totes(12), vec![(name.to_owned(), vec![1])], &ines(1));
            let word = refused.expect_err(name).to_string();
            assert!(word.contains("own folder"), "{name}: {word}");
        }
        assert_eq!(kept.list(&Sieve::default()), Ok(vec![]), "nothing of it is kept");
        let id = take_totes(kept, 1);
        assert!(kept.add_art(&id, 1, "../x", vec![1], &ines(2)).is_err());
        let version = kept.add_art(&id, 1, "art/river.svg", art("art/river.svg"), &ines(2)).expect("added");
        assert_eq!(kept.remove_art(&id, version, "art/river.svg", &ines(3)), Ok(3));
        assert!(matches!(kept.art_bytes(&id, "art/river.svg"), Err(DeedError::Missing { .. })));
    });
}
