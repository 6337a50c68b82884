//! What a row differs in from what is expected of it: the filters of PNG, and which serves a row best.

/// Whether all bytes are 0: compared with itself one byte on, which is quicker than looking at each byte.
pub(crate) fn is_blank(bytes: &[u8]) -> bool {
    match bytes {
        [] => true,
        [first, rest @ ..] => *first == 0 && *rest == bytes[..rest.len()],
    }
}

/// Bytes of a row filtered together; whole pixels.
const BLOCK: usize = 256;

/// The filters of a row tried side by side.
#[derive(Default)]
pub(crate) struct Trial {
    sub: Vec<u8>,
    up: Vec<u8>,
    paeth: Vec<u8>,
    /// Blocks where a filter leaves more than zeros.
    busy: Vec<usize>,
    /// The filter last chosen, and for how many rows it stays.
    chosen: Option<(Filter, u8)>,
}

/// Filters that are tried, by their numbers (PNG, 9.2).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Filter {
    Sub = 1,
    Up = 2,
    Paeth = 4,
}

/// Rows that keep a filter once it is chosen: neighbours are much alike, and trying takes as long as packing.
const KEPT_ROWS: u8 = 3;

/// A stretch of a row with its neighbours, all of one length.
struct Stretch<'r> {
    now: &'r [u8],
    left: &'r [u8],
    above: &'r [u8],
    corner: &'r [u8],
}

impl Trial {
    /// Begins a band: nothing that was chosen before stays.
    pub(crate) fn begin(&mut self) {
        self.chosen = None;
    }

    /// Adds the filtered row with its filter's number, the filter chosen by the least sum of
    /// absolute differences (PNG, 12.7) and kept for a few rows.
    pub(crate) fn filter_row(&mut self, row: &[u8], above: &[u8], step: usize, raw: &mut Vec<u8>) {
        if row == above || is_blank(row) {
            raw.push(if row == above { Filter::Up as u8 } else { 0 });
            raw.resize(raw.len() + row.len(), 0);
            self.chosen = None;
            return;
        }
        let kept = self.chosen.filter(|(_, rows)| *rows > 0).map(|(filter, _)| filter);
        let wanted = |filter: Filter| kept.is_none_or(|kept| kept == filter);
        for (filter, trial) in
            [(Filter::Sub, &mut self.sub), (Filter::Up, &mut self.up), (Filter::Paeth, &mut self.paeth)]
        {
            if wanted(filter) {
                trial.resize(row.len(), 0);
            }
        }
        self.busy.clear();
        let mut weights = [0_u32; 3];
        let (mut left, mut corner) = ([0; BLOCK], [0; BLOCK]);
        for from in (0..row.len()).step_by(BLOCK) {
            let to = (from + BLOCK).min(row.len());
            // The first pixel has nothing on its left.
            let stretch = if from == 0 {
                left[step..to].copy_from_slice(&row[..to - step]);
                corner[step..to].copy_from_slice(&above[..to - step]);
                Stretch { now: &row[..to], left: &left[..to], above: &above[..to], corner: &corner[..to] }
            } else {
                let before = from - step..to - step;
                Stretch {
                    now: &row[from..to],
                    left: &row[before.clone()],
                    above: &above[from..to],
                    corner: &above[before],
                }
            };
            let flat = stretch.now == stretch.left;
            let repeats = stretch.now == stretch.above;
            if flat && repeats {
                // Zeros by all three, see below.
                continue;
            }
            self.busy.push(from);
            if wanted(Filter::Sub) {
                let sub = &mut self.sub[from..to];
                less(stretch.now, stretch.left, sub);
                weights[0] = weights[0].wrapping_add(if kept.is_none() { weight(sub) } else { 0 });
            }
            if wanted(Filter::Up) {
                let up = &mut self.up[from..to];
                less(stretch.now, stretch.above, up);
                weights[1] = weights[1].wrapping_add(if kept.is_none() { weight(up) } else { 0 });
            }
            if wanted(Filter::Paeth) {
                let paeth = &mut self.paeth[from..to];
                // Where the row goes on like the row above, or both go on as they were, so does
                // what this filter expects.
                if (repeats && stretch.left == stretch.corner) || (flat && stretch.above == stretch.corner) {
                    paeth.fill(0);
                } else {
                    less_paeth(&stretch, paeth);
                    weights[2] = weights[2].wrapping_add(if kept.is_none() { weight(paeth) } else { 0 });
                }
            }
        }
        let lightest = || {
            let all = [(weights[0], Filter::Sub), (weights[1], Filter::Up), (weights[2], Filter::Paeth)];
            all.into_iter().min().map_or(Filter::Up, |(_, filter)| filter)
        };
        let filter = kept.unwrap_or_else(lightest);
        self.chosen = match self.chosen.filter(|_| kept.is_some()) {
            Some((filter, rows)) => Some((filter, rows - 1)),
            None => Some((filter, KEPT_ROWS)),
        };
        let bytes = match filter {
            Filter::Sub => &self.sub,
            Filter::Up => &self.up,
            Filter::Paeth => &self.paeth,
        };
        raw.push(filter as u8);
        let start = raw.len();
        raw.resize(start + row.len(), 0);
        for from in &self.busy {
            let to = (from + BLOCK).min(row.len());
            raw[start + from..start + to].copy_from_slice(&bytes[*from..to]);
        }
    }
}

/// The sum of the bytes' sizes, taken as signed; lanes the compiler can run side by side.
fn weight(bytes: &[u8]) -> u32 {
    let size = |byte: &u8| byte.min(&byte.wrapping_neg()).to_owned();
    let mut lanes = [0_u16; 16];
    let chunks = bytes.chunks_exact(16);
    let rest: u32 = chunks.remainder().iter().map(|byte| u32::from(size(byte))).sum();
    for chunk in chunks {
        for (lane, byte) in lanes.iter_mut().zip(chunk) {
            *lane = lane.wrapping_add(u16::from(size(byte)));
        }
    }
    rest + lanes.into_iter().map(u32::from).sum::<u32>()
}

fn less(now: &[u8], expected: &[u8], to: &mut [u8]) {
    for ((to, now), expected) in to.iter_mut().zip(now).zip(expected) {
        *to = now.wrapping_sub(*expected);
    }
}

fn less_paeth(stretch: &Stretch<'_>, to: &mut [u8]) {
    let count = to.len();
    let (now, left) = (&stretch.now[..count], &stretch.left[..count]);
    let (above, corner) = (&stretch.above[..count], &stretch.corner[..count]);
    for at in 0..count {
        to[at] = now[at].wrapping_sub(paeth(left[at], above[at], corner[at]));
    }
}

/// The neighbour nearest to left + up − corner (PNG, 9.4). Nothing here can overflow; the
/// wrapping forms let the compiler take many pixels at a time.
fn paeth(left: u8, up: u8, corner: u8) -> u8 {
    let (a, b, c) = (i16::from(left), i16::from(up), i16::from(corner));
    let (from_left, from_up) = (b.wrapping_sub(c), a.wrapping_sub(c));
    let (pa, pb, pc) =
        (from_left.wrapping_abs(), from_up.wrapping_abs(), from_left.wrapping_add(from_up).wrapping_abs());
    let second = if pb <= pc { up } else { corner };
    if pa <= pb && pa <= pc { left } else { second }
}
