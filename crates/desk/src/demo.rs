//! The invented demo: a shop, an order of a riverside kite festival, its art.

use crate::art_folder::ArtFolder;
use crate::job::{PlanRequest, Planned, plan_orders};
use crate::kept::{DeedError, Kept, PlanWish, hand};
use crate::refusal::Refusal;
use crate::safe_folder::SafeFolder;
use crate::shop_folder::ShopFolder;
use jiff::civil::{Date, date};
use report::{Severity, Watch};
use std::path::{Path, PathBuf};
use store::{Place, Stamp, StoreError};

/// The day the demo order is planned on.
pub const DEMO_TODAY: Date = date(2026, 11, 24);

/// The line of the demo order that is refused on purpose, from 0: carriers of
/// polypropylene, which melts under a press.
const REFUSED_LINE: usize = 4;

macro_rules! built_in {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_bytes!(concat!("../../../demo/", $name)) as &[u8])),*]
    };
}

const ORDER: &str = include_str!("../../../demo/order.toml");

const SHOP: &[(&str, &[u8])] = built_in![
    "shop/cloths.toml",
    "shop/garments.toml",
    "shop/presses.toml",
    "shop/shop.toml",
    "shop/stock.toml",
    "shop/suppliers.toml",
    "shop/transfers.toml",
];

const ART: &[(&str, &[u8])] = built_in![
    "art/clouds.png",
    "art/club.png",
    "art/kite.svg",
    "art/marshal.svg",
    "art/ring.svg",
    "art/river.svg",
    "art/splash.svg",
    "art/sunset.svg",
];

/// The demo as planned.
#[derive(Debug, Clone)]
pub struct Demo {
    /// The plan and its files.
    pub planned: Planned,
    /// Folder of the plan.
    pub plan: PathBuf,
    /// Folder of the order and the shop, to be changed and planned again.
    pub files: PathBuf,
    /// Whether just the line was refused that is refused on purpose.
    pub as_intended: bool,
}

/// Plans the demo into `out`: its files to `out/files`, the plan to `out/plan`.
pub fn demo(out: &Path, threads: usize, watch: &mut dyn Watch) -> Result<Demo, Refusal> {
    let files = out.join("files");
    let plan = out.join("plan");
    let mut copy = SafeFolder::begin(&files)?;
    copy.write("order.toml", ORDER.as_bytes())?;
    for (name, bytes) in SHOP.iter().chain(ART) {
        copy.write(name, bytes)?;
    }
    let request = PlanRequest {
        orders: vec![("order.toml".to_owned(), ORDER.to_owned())],
        art: ArtFolder::BuiltIn(ART),
        shop: ShopFolder { files: shop_files() },
        out: plan.clone(),
        today: DEMO_TODAY,
        seed: 1,
        effort: None,
        threads,
    };
    let planned = plan_orders(&request, watch)?;
    copy.finish()?;
    let as_intended = as_intended(&planned);
    Ok(Demo { planned, plan, files, as_intended })
}

fn shop_files() -> Vec<(String, String)> {
    SHOP.iter()
        .map(|(name, bytes)| {
            let name = name.trim_start_matches("shop/").to_owned();
            (name, String::from_utf8_lossy(bytes).into_owned())
        })
        .collect()
}

fn as_intended(planned: &Planned) -> bool {
    let grave = planned.findings.iter().filter(|finding| finding.severity >= Severity::Ask);
    let lines: Vec<Option<usize>> = grave.map(|finding| finding.subject.line).collect();
    !lines.is_empty() && lines.iter().all(|line| *line == Some(REFUSED_LINE))
}

/// The demo as a kept shop in `home`: made with its order when none is there, else as it was left.
///
/// # Errors
/// As [`Kept::open`] and [`Kept::make`].
pub fn demo_shop(home: &Path) -> Result<Kept, DeedError> {
    let place = Place::File(home.join("shop.db"));
    match Kept::open(&place) {
        Err(DeedError::Store(StoreError::NotMade { .. })) => {}
        other => return other,
    }
    let kept = Kept::make(&place)?;
    put_demo(&kept, &hand("the demo"))?;
    Ok(kept)
}

/// Puts the demo's shelf and order into an empty shop, and has the order planned.
///
/// # Errors
/// As [`Kept::put_shop_files`] and [`Kept::new_order`]: a shop that has files of its own keeps them.
pub fn put_demo(kept: &Kept, hand: &Stamp) -> Result<String, DeedError> {
    let files: Vec<(String, String, i64)> = shop_files().into_iter().map(|(name, text)| (name, text, 0)).collect();
    kept.put_shop_files(&files, hand)?;
    let art = ART.iter().map(|(name, bytes)| ((*name).to_owned(), bytes.to_vec())).collect();
    let id = kept.new_order(ORDER, art, hand)?;
    let wish = PlanWish { today: Some(DEMO_TODAY), ..PlanWish::default() };
    kept.plan_later(&id, wish, hand)?;
    Ok(id)
}
