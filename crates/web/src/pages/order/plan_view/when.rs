//! Dates and the runs at the press.

use super::{Show, html};
use crate::form::plan::{EntryPart, OrderPart};
use crate::parts::Fig;

impl Show<'_> {
    pub(super) fn dates(&self, part: &OrderPart) -> Vec<(String, String)> {
        let w = self.w;
        let dates = &part.dates;
        let mut all = Vec::new();
        for (label, figure) in [
            ("web.sign-off-by", &dates.sign_off_by),
            ("web.transfers-by", &dates.order_transfers_by),
            ("web.garments-by", &dates.order_garments_by),
        ] {
            all.extend(figure.as_ref().map(|f| (w.t(label), html(&Fig::moment(w, &self.reader, f)))));
        }
        let press_by = || dates.press_by.as_ref().map(|by| self.model(w.t("papers.by-press"), w.moment(by)));
        all.extend(dates.goods_by.as_ref().map(|by| {
            let fig = self.worked(w.day(by), "web.why-goods-by", press_by().into_iter().collect());
            (w.t("papers.by-goods"), html(&fig))
        }));
        all.extend(dates.press_by.as_ref().map(|by| {
            let due = self.input(w.t("web.due-day"), w.moment(&self.order.listed.due), report::Origin::Person);
            (w.t("papers.by-press"), html(&self.worked(w.moment(by), "web.why-press-by", vec![due])))
        }));
        all.extend(dates.press_from.as_ref().map(|from| (w.t("web.press-from"), w.moment(from))));
        all.extend(dates.finish.as_ref().map(|f| (w.t("web.finished"), html(&Fig::moment(w, &self.reader, f)))));
        all
    }

    pub(super) fn runs(&self, part: &OrderPart) -> Vec<(String, String, String, String, String, String)> {
        let w = self.w;
        let mine = self.file.timeline.entries.iter().filter(|entry| entry.order == self.at);
        let run = |entry: &EntryPart| {
            let line = part.lines.get(entry.line);
            let print = line.and_then(|line| line.prints.get(entry.print));
            let position =
                print.and_then(|print| print.position.as_deref()).map(|code| w.code(code)).unwrap_or_default();
            let garment = line.map(|line| self.garment(&line.garment)).unwrap_or_default();
            (
                w.moment(&entry.from),
                w.moment(&entry.done),
                format!("{garment} – {position}"),
                format!("{}, {}", words::clean(&entry.press), w.c(f64::from(entry.temp_c)).0),
                words::clean(&entry.people.join(", ")),
                w.ab("web.pieces-closings", entry.pieces, entry.closings),
            )
        };
        mine.map(run).collect()
    }
}
