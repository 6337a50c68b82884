//! Undoing and doing again.

use crate::common::{bram, ines, on_each, on_each_with_shop, take_totes, totes};
use desk::kept::Kept;
use store::{Kind, Sieve};

fn pieces(kept: &Kept, id: &str) -> Option<u32> {
    kept.order(id).ok().map(|order| order.order.expect("it reads").lines[0].pieces())
}

#[test]
fn changes_are_undone_and_done_again_in_any_chain() {
    on_each(|kept| {
        let id = take_totes(kept, 10);
        for (on, count) in [(1, 11), (2, 12), (3, 13)] {
            kept.change_order(&id, on, &totes(count), "more", &bram(on)).expect("changed");
            // Other orders change in between: numbers of changes are not those of versions.
            take_totes(kept, 1);
        }
        let undo = |kept: &Kept| kept.undo(Kind::Order, &id, &ines(50)).map(|_| pieces(kept, &id));
        let redo = |kept: &Kept| kept.redo(Kind::Order, &id, &ines(50)).map(|_| pieces(kept, &id));
        assert_eq!(undo(kept), Ok(Some(12)));
        assert_eq!(undo(kept), Ok(Some(11)));
        assert_eq!(redo(kept), Ok(Some(12)));
        assert_eq!(undo(kept), Ok(Some(11)), "what was done again is undone again");
        assert_eq!(redo(kept), Ok(Some(12)));
        assert_eq!(redo(kept), Ok(Some(13)));
        assert!(redo(kept).is_err(), "nothing is left to do again");
        for count in [Some(12), Some(11), Some(10), None] {
            assert_eq!(undo(kept), Ok(count));
        }
        assert!(undo(kept).is_err(), "nothing is left to undo");
        let listed = kept.list(&Sieve::default()).expect("read");
        assert!(listed.iter().all(|order| order.id != id), "lists do not show what is gone");
        assert_eq!(redo(kept), Ok(Some(10)), "even a taken order comes back");
        let version = kept.order(&id).expect("there").version;
        kept.change_order(&id, version, &totes(30), "otherwise", &bram(60)).expect("changed");
        assert!(redo(kept).is_err(), "a new change ends what could be done again");
        assert_eq!(undo(kept), Ok(Some(10)));
        assert_eq!(kept.list(&Sieve::default()).expect("read").iter().filter(|order| order.id == id).count(), 1);
        let history = kept.history(Kind::Order, &id).expect("read");
        assert!(history.iter().any(|change| change.what == "undone: more" && change.stamp.by == "Ines"));
        assert_eq!(history.last().map(|change| change.version), Some(history.len() as i64));
    });
}

/// Two people look at an order; what one did is not undone by the other unseen.
#[test]
fn only_what_was_seen_is_undone() {
    on_each(|kept| {
        let id = take_totes(kept, 10);
        assert_eq!(kept.undoable(Kind::Order, &id), Ok(None), "the order itself is not undone from its page");
        assert!(kept.undo_seen(Kind::Order, &id, 1, &ines(11)).is_err());
        kept.change_order(&id, 1, &totes(11), "more", &ines(12)).expect("changed");
        assert_eq!(kept.undoable(Kind::Order, &id), Ok(Some("more".to_owned())));
        kept.change_order(&id, 2, &totes(12), "still more", &bram(13)).expect("changed");
        let late = kept.undo_seen(Kind::Order, &id, 2, &ines(14)).expect_err("Bram was first");
        let told =
            desk::kept::DeedError::Conflict { what: format!("order {id}"), seen: 2, now: 3, by: "Bram".to_owned() };
        assert_eq!(late, told);
        assert_eq!(pieces(kept, &id), Some(12));
        assert_eq!(kept.undo_seen(Kind::Order, &id, 3, &ines(15)), Ok(4));
        assert_eq!((pieces(kept, &id), kept.redoable(Kind::Order, &id)), (Some(11), Ok(Some("still more".to_owned()))));
        assert_eq!(kept.redo_seen(Kind::Order, &id, 4, &ines(16)), Ok(5));
        assert_eq!(pieces(kept, &id), Some(12));
    });
}

#[test]
fn a_file_of_the_shop_goes_back_only_where_the_shop_still_reads() {
    on_each_with_shop(|kept| {
        let file = |name: &str| {
            kept.shop_files().expect("read").into_iter().find(|(known, _, _)| known == name).expect("there")
        };
        let (_, version, text) = file("stock.toml");
        let dearer = text.replacen("price = \"7.40\"", "price = \"7.90\"", 1);
        kept.put_shop_file("stock.toml", &dearer, version, &ines(2)).expect("kept");
        kept.undo(Kind::ShopFile, "stock.toml", &ines(3)).expect("undone");
        assert_eq!(file("stock.toml").2, text);
        let removed = kept.undo(Kind::ShopFile, "presses.toml", &ines(3));
        assert!(removed.is_err(), "the shop would not read without it");
        assert!(kept.shop().is_ok());
    });
}
