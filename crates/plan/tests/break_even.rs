//! Where the cheaper of two ways changes, checked against the costs themselves.

#[path = "common/mod.rs"]
mod common;

use common::{order, planned, shop};

/// At every quantity looked at the way named is the cheaper one, each change is the first
/// quantity of its side, and the line's own cost stands in the table of its own ladder.
#[test]
fn the_cheaper_way_is_the_cheaper_one() {
    // Dear film: a piece that lies in the shop does for a few, bought sheets for many.
    let shop = shop(&[("stock.toml", "price-per-step = \"4.60\"", "price-per-step = \"40.00\"")]);
    let mut crossed = 0;
    let mut seen = Vec::new();
    for transfer in ["film-plain", "sheet-powder"] {
        let plan = planned(&shop, &[order("2026-12-18T17:00", "", transfer)]);
        let price = plan.orders[0].lines[0].price.as_ref().expect("a price");
        let both = price.break_even.as_ref().expect("another way");
        assert_ne!(both.ways[0], both.ways[1]);
        let way = |way: usize| shop.transfer(both.ways[way][0]).way;
        assert_ne!(way(0), way(1), "bought against made in the shop");
        assert!(both.points.windows(2).all(|pair| pair[0].pieces < pair[1].pieces));
        for point in &both.points {
            let cheaper = both.cheaper_at(point.pieces);
            assert!(point.costs[cheaper].minor() <= point.costs[1 - cheaper].minor(), "{point:?}: {cheaper}");
            // A rung of the ladder is the same line made alone in so many pieces.
            if let Some(rung) = price.ladder.iter().find(|rung| rung.pieces == point.pieces) {
                assert_eq!(rung.cost, point.costs[0]);
            }
        }
        seen.push(both.points.iter().map(|p| (p.pieces, p.costs[0].minor(), p.costs[1].minor())).collect::<Vec<_>>());
        for (from, way) in &both.changes {
            assert!(both.points.iter().any(|point| point.pieces == *from && both.cheaper_at(from - 1) != *way));
            crossed += 1;
        }
    }
    assert!(crossed > 0, "in neither order does the cheaper way change: {seen:?}");
}
