//! What prints cost to have here, each way of getting them, worked out by hand from a supplier's price list.

#[path = "common/mod.rs"]
mod common;

use common::{TODAY, order, planned, shop};
use plan::{Landed, LandedPoint, Plan};
use trade::{Shop, SpareTransfer, Way};

/// Kites of 120 mm on black film, where film is taken.
fn in_black(transfer: &str, pieces: u32) -> plan::Order {
    let mut order = order("2026-12-18T17:00", "", transfer);
    order.lines[0].sizes[0].count = pieces;
    if transfer == "film-plain" {
        order.lines[0].prints[0].colours = vec!["black".to_owned()];
    }
    order
}

fn landed(plan: &Plan, way: Way) -> &Landed {
    let all = &plan.orders[0].lines[0].price.as_ref().expect("a price").landed;
    all.iter().find(|one| one.making == Some(way)).expect("made so")
}

fn parts(point: &LandedPoint) -> [i64; 5] {
    [point.goods, point.top_up, point.handling, point.freight, point.total].map(|money| money.minor())
}

fn adds_up(shop: &Shop, plan: &Plan) {
    for one in &plan.orders[0].lines[0].price.as_ref().expect("a price").landed {
        assert_eq!(one.transfers.len(), 1);
        assert_eq!(Some(shop.transfer(one.transfers[0]).way), one.making);
        assert!(one.points.windows(2).all(|pair| pair[0].pieces < pair[1].pieces));
        for point in &one.points {
            let [goods, top_up, handling, freight, total] = parts(point);
            let rest = point.set_up.minor() + point.rush.minor();
            assert_eq!(goods + top_up + handling + freight + rest, total, "{point:?}");
        }
    }
}

/// Six pieces with their spare fit on one small sheet and on half a metre of film. The sheet costs 16.00 and
/// comes for 12.00 of freight; the film costs 7.50 and comes for 1.50 of handling: 28.00, of which 12.00 freight,
/// against 9.00.
#[test]
fn six_pieces_bought_or_cut_here() {
    let shop = shop(&[
        ("stock.toml", "price = \"16.00\"", "price = \"18.00\""),
        ("stock.toml", "price = \"11.20\"", "price = \"17.00\""),
        ("stock.toml", "price = \"14.80\"", "price = \"19.00\""),
        ("stock.toml", "price = \"7.40\"", "price = \"16.00\""),
        ("stock.toml", "price-per-step = \"2.35\"", "price-per-step = \"4.00\""),
        ("stock.toml", "price-per-step = \"4.60\"", "price-per-step = \"7.50\""),
        ("suppliers.toml", "minimum = \"20.00\"", "minimum = \"1.00\""),
        ("suppliers.toml", "from = \"0\", price = \"7.90\"", "from = \"0\", price = \"12.00\""),
        ("suppliers.toml", "minimum = \"15.00\"", "minimum = \"1.00\""),
        ("suppliers.toml", "from = \"0\", price = \"6.50\"", "from = \"0\", price = \"0.00\""),
    ]);
    let plan = planned(&shop, &[in_black("film-plain", 6)]);
    adds_up(&shop, &plan);
    let all = &plan.orders[0].lines[0].price.as_ref().expect("a price").landed;
    assert_eq!(all[0].making, Some(Way::CutInShop), "its own way first");
    let at_six = |way| parts(landed(&plan, way).at(6).expect("looked at"));
    assert_eq!(at_six(Way::Bought), [1600, 0, 0, 1200, 2800]);
    assert_eq!(at_six(Way::CutInShop), [750, 0, 150, 0, 900]);
    let work = |way| landed(&plan, way).at(6).expect("looked at").work.s();
    assert!(work(Way::CutInShop) > 0.0, "film is weeded");
}

/// The demo's own price lists at one piece, its spare with it. The smallest sheet is 7.40, filled up to the
/// minimum of 20.00 with 12.60, and 7.90 of freight: 27.90. A step of film is 4.60, up to 15.00 with 10.40, handling
/// 1.50, freight 6.50: 23.00.
#[test]
fn one_piece_pays_minimum_handling_and_freight() {
    let shop = shop(&[]);
    for transfer in ["film-plain", "sheet-powder"] {
        let plan = planned(&shop, &[in_black(transfer, 12)]);
        adds_up(&shop, &plan);
        let first = |way| parts(&landed(&plan, way).points[0]);
        assert_eq!(first(Way::Bought), [740, 1260, 0, 790, 2790]);
        if transfer == "film-plain" {
            assert_eq!(first(Way::CutInShop), [460, 1040, 150, 650, 2300]);
        }
        // At the line's own quantity it is what its price counts, since the order is made alone.
        let price = plan.orders[0].lines[0].price.as_ref().expect("a price");
        let item = |what: &str| {
            let item = price.costs.iter().find(|item| item.what.0 == what);
            item.map_or(0, |item| item.amount.value.minor())
        };
        let own = price.landed[0].at(12).expect("looked at");
        assert_eq!(own.goods.plus(own.set_up).map(|sum| sum.minor()), Ok(item("plan.cost-transfers")));
        let blanks = plan.purchases.iter().find(|one| Some(one.supplier) == shop.find_supplier("lockgate"));
        let blanks = blanks.expect("bags are bought");
        let carriage = blanks.top_up.minor() + blanks.handling.minor() + blanks.freight.minor();
        assert_eq!(own.on_top().minor() - own.set_up.minor() + carriage, item("plan.cost-carriage"));
    }
}

/// Twelve bags at 2.60 are 31.20 of the film's own supplier: its minimum is reached, its handling and freight are
/// paid with the bags, so that a step of film adds its 4.60 and nothing more.
#[test]
fn a_parcel_that_comes_anyway_is_not_paid_twice() {
    let bags = "supplier = \"lockgate\"\nfiner = \"tote-heavy\"";
    let shop = shop(&[("garments.toml", bags, "supplier = \"millrace\"\nfiner = \"tote-heavy\"")]);
    let plan = planned(&shop, &[in_black("film-plain", 12)]);
    adds_up(&shop, &plan);
    assert_eq!(parts(landed(&plan, Way::CutInShop).at(12).expect("looked at")), [460, 0, 0, 0, 460]);
}

/// The demo's shop has 400 mm of sun yellow left over, of which one kite and its spare take a part.
#[test]
fn film_left_over_costs_nothing() {
    let shop = shop(&[]);
    let mut order = in_black("film-plain", 6);
    order.lines[0].prints[0].colours = vec!["sun yellow".to_owned()];
    let plan = planned(&shop, &[order]);
    let first = landed(&plan, Way::CutInShop).points[0];
    assert_eq!((first.on_hand, first.ready, first.total.minor()), (1, 0, 0));
}

/// Seven transfers lie ready: six pieces and their spare cost nothing; the eighth piece on, what is made besides.
#[test]
fn ready_stock_costs_nothing() {
    let plain = shop(&[]);
    let plan = planned(&plain, &[in_black("film-plain", 6)]);
    let print = &plan.orders[0].lines[0].prints[0];
    let size = print.size.expect("a size");
    let spare = SpareTransfer {
        transfer: plain.find_transfer("film-plain").expect("there"),
        sha256: print.hash.expect("art").hex(),
        art: "kite.svg".to_owned(),
        film: Some("black".to_owned()),
        width: size.width(),
        height: size.height(),
        count: 7,
        place: String::new(),
        since: TODAY,
        kept: None,
    };
    let stocked = shop(&[]).with_spare_transfer(spare);
    let plan = planned(&stocked, &[in_black("film-plain", 6)]);
    let own = landed(&plan, Way::CutInShop);
    let (six, twelve) = (own.at(6).expect("looked at"), own.at(12).expect("looked at"));
    assert_eq!((six.ready, six.total.minor()), (7, 0));
    assert_eq!((twelve.ready, parts(twelve)), (7, [460, 1040, 150, 650, 2300]));
}
