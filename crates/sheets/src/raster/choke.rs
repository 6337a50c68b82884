//! Holding the white back from the edge, by exact distance between pixels.

use rayon::prelude::*;
use std::ops::Range;

/// Rows of ink cover, with as many rows above and below as the choke looks back.
pub(crate) struct Cover<'a> {
    pub(crate) width: usize,
    /// Which row of the sheet comes first.
    pub(crate) first: usize,
    /// One byte a pixel.
    pub(crate) ink: &'a [u8],
}

/// How many rows a choke looks at on either side.
pub(crate) fn reach(choke_px: f64) -> usize {
    (choke_px + 0.5).ceil() as usize + 1
}

/// The cover of the `rows`, emptied wherever the middle of a pixel lies within the choke of
/// the edge. Ink counts from `least` on; beyond the sheet there is none.
///
/// The edge runs half a pixel beyond the last inked pixel's middle.
pub(crate) fn choked(cover: &Cover<'_>, rows: Range<usize>, choke_px: f64, least: u8) -> Vec<u8> {
    let width = cover.width;
    let mut out = vec![0; width * rows.len()];
    out.par_chunks_mut(width.max(1)).enumerate().for_each(|(at, line)| {
        choke_row(cover, rows.start + at, choke_px, least, line);
    });
    out
}

fn choke_row(cover: &Cover<'_>, row: usize, choke_px: f64, least: u8, line: &mut [u8]) {
    let width = cover.width;
    let of = |row: usize| -> Option<&[u8]> {
        let own = row.checked_sub(cover.first)?;
        cover.ink.get(own * width..(own + 1) * width)
    };
    let Some(ink) = of(row) else { return };
    if ink.iter().all(|i| *i < least) {
        return;
    }
    if choke_px <= 0.0 {
        for (to, ink) in line.iter_mut().zip(ink) {
            *to = if *ink >= least { *ink } else { 0 };
        }
        return;
    }
    let reach = reach(choke_px);
    // How far the nearest bare pixel lies straight above or below, up to the reach.
    let mut away: Vec<u8> = ink.iter().map(|i| if *i < least { 0 } else { u8::MAX }).collect();
    for step in 1..=reach {
        for other in [row.checked_sub(step), row.checked_add(step)] {
            let near = step.min(254) as u8;
            match other.and_then(of) {
                Some(other) => {
                    for (away, ink) in away.iter_mut().zip(other) {
                        if *ink < least {
                            *away = (*away).min(near);
                        }
                    }
                }
                None => away.iter_mut().for_each(|away| *away = (*away).min(near)),
            }
        }
    }
    let limit = (choke_px + 0.5) * (choke_px + 0.5);
    let square = |x: usize| f64::from(away[x]) * f64::from(away[x]);
    for (x, to) in line.iter_mut().enumerate() {
        if away[x] == 0 || square(x) < limit {
            continue;
        }
        let low = x.saturating_sub(reach);
        let clear = (low..=(x + reach).min(width - 1)).all(|other| {
            let across = x.abs_diff(other) as f64;
            across * across + square(other) >= limit
        });
        let to_side = (x + 1).min(width - x) as f64;
        if clear && to_side * to_side >= limit {
            *to = ink[x];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counted(width: usize, height: usize, ink: &[u8], choke: f64) -> usize {
        let cover = Cover { width, first: 0, ink };
        choked(&cover, 0..height, choke, 128).iter().filter(|p| **p > 0).count()
    }

    /// A square of 100 px held back 3 px on every side is one of 94 px; a disc of radius 60
    /// becomes one of radius 57, its area within 1 %.
    #[test]
    fn squares_and_discs_shrink_by_the_choke() {
        let square: Vec<u8> = (0..120 * 120)
            .map(|at| if (10..110).contains(&(at % 120)) && (10..110).contains(&(at / 120)) { 255 } else { 0 })
            .collect();
        assert_eq!(counted(120, 120, &square, 3.0), 94 * 94);
        assert_eq!(counted(120, 120, &square, 0.0), 100 * 100);
        let disc: Vec<u8> = (0..140 * 140)
            .map(|at| {
                let (x, y) = ((at % 140) as f64 - 69.5, (at / 140) as f64 - 69.5);
                if x.hypot(y) <= 60.0 { 255 } else { 0 }
            })
            .collect();
        let area = std::f64::consts::PI * 57.0 * 57.0;
        let share = counted(140, 140, &disc, 3.0) as f64 / area;
        assert!((share - 1.0).abs() < 0.01, "{share}");
    }

    #[test]
    fn the_sheets_edge_is_an_edge() {
        assert_eq!(counted(50, 40, &vec![255; 2000], 2.0), 46 * 36);
    }
}
