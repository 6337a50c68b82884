//! Pieces in straight lanes, for film that is cut apart by hand: upright
//! rectangles side by side in columns, so that straight cuts part them all.

use crate::answer::{Answer, Context, Filled};
use crate::first::available;

/// Sheets of one stock item in lanes; `None` when not everything finds a place.
pub(crate) fn in_lanes(context: &Context<'_>, stock: usize) -> Option<Answer> {
    if !context.locked.is_empty() || !context.instance.stock[stock].forbidden.is_empty() {
        return None;
    }
    let board = context.board_free(&[(stock, context.length(stock))]);
    let gap = context.instance.spacing_mm;
    let mut pieces = Vec::new();
    for (design, count) in context.wanted.iter().enumerate() {
        // The turn with the least length along the sheet, so that lanes are narrow.
        let class = board.classes_on(0, design).into_iter().min_by(|a, b| {
            let long = |c: &usize| context.parts.classes[*c].size()[0];
            long(a).total_cmp(&long(b)).then(a.cmp(b))
        })?;
        pieces.extend(std::iter::repeat_n(class, *count as usize));
    }
    let size = |c: usize| context.parts.classes[c].size();
    pieces.sort_by(|a, b| size(*b)[0].total_cmp(&size(*a)[0]).then(size(*b)[1].total_cmp(&size(*a)[1])).then(a.cmp(b)));
    let (length, width) = (context.length(stock), board.bins[0].width);
    let mut sheets: Vec<Lanes> = Vec::new();
    for class in pieces {
        let placed = sheets.iter_mut().any(|s| s.put(class, size(class), length, width, gap));
        if !placed {
            if sheets.len() as u32 >= available(context, stock).min(4000) {
                return None;
            }
            let mut sheet = Lanes::default();
            if !sheet.put(class, size(class), length, width, gap) {
                return None;
            }
            sheets.push(sheet);
        }
    }
    let filled = sheets
        .into_iter()
        .map(|s| {
            let items = s.items.into_iter().map(|(class, at)| {
                let low = context.parts.classes[class].low;
                (class, [at[0] - low[0], at[1] - low[1]])
            });
            Filled { stock, items: items.collect(), spares: Vec::new() }
        })
        .collect();
    Some(context.priced(filled, vec![0; context.wanted.len()]))
}

/// One sheet's lanes: where each begins, how long it is and how far it is filled.
#[derive(Default)]
struct Lanes {
    lanes: Vec<(f64, f64, f64)>,
    items: Vec<(usize, [f64; 2])>,
}

impl Lanes {
    fn put(&mut self, class: usize, size: [f64; 2], length: f64, width: f64, gap: f64) -> bool {
        for (start, long, filled) in &mut self.lanes {
            if size[0] <= *long + 1e-9 && *filled + size[1] <= width + 1e-9 {
                self.items.push((class, [*start, *filled]));
                *filled += size[1] + gap;
                return true;
            }
        }
        let start = self.lanes.last().map_or(0.0, |(start, long, _)| start + long + gap);
        if start + size[0] > length + 1e-9 || size[1] > width + 1e-9 {
            return false;
        }
        self.lanes.push((start, size[0], size[1] + gap));
        self.items.push((class, [start, 0.0]));
        true
    }
}
