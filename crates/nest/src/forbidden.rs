//! Where a piece may not lie relative to another: the no-fit polygon, with a
//! fast answer to "how deep inside?".

/// Rings as plain pairs, outer ones counter-clockwise.
pub(crate) type Rings = Vec<Vec<[f64; 2]>>;

/// One edge with what the distance to it needs.
#[derive(Debug, Clone, Copy)]
struct Edge {
    x: f64,
    y: f64,
    dx: f64,
    dy: f64,
    /// The end, exactly the next edge's start: x + dx may differ in the last digit.
    ex: f64,
    ey: f64,
    /// 1 / length².
    inverse: f64,
}

/// Four edges side by side, so that the distances to them are worked out together.
#[derive(Debug, Clone, Default)]
struct Four {
    x: [f64; 4],
    y: [f64; 4],
    dx: [f64; 4],
    dy: [f64; 4],
    inverse: [f64; 4],
}

impl Four {
    /// Of up to four edges; the last one stands for those that are missing.
    fn of(edges: &[Edge]) -> Self {
        let mut four = Self::default();
        for k in 0..4 {
            if let Some(e) = edges.get(k).or(edges.last()) {
                (four.x[k], four.y[k], four.dx[k], four.dy[k], four.inverse[k]) = (e.x, e.y, e.dx, e.dy, e.inverse);
            }
        }
        four
    }
}

/// The open set of relative positions at which two pieces are too near.
#[derive(Debug, Clone, Default)]
pub(crate) struct NoFit {
    low: [f64; 2],
    high: [f64; 2],
    edges: Vec<Edge>,
    /// The same, four by four.
    fours: Vec<Four>,
    /// For each row of equal height the edges that reach into it.
    rows: Vec<Vec<u16>>,
    row_scale: f64,
}

/// How deep inside, and the shortest way out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Depth {
    pub(crate) mm: f64,
    pub(crate) out: [f64; 2],
}

impl NoFit {
    /// From the rings of the region.
    pub(crate) fn new(rings: &Rings) -> Self {
        let mut edges = Vec::new();
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for ring in rings {
            for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
                let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
                let long = dx * dx + dy * dy;
                if long > 0.0 {
                    edges.push(Edge { x: a[0], y: a[1], dx, dy, ex: b[0], ey: b[1], inverse: 1.0 / long });
                }
                for k in 0..2 {
                    low[k] = low[k].min(a[k]);
                    high[k] = high[k].max(a[k]);
                }
            }
        }
        edges.truncate(usize::from(u16::MAX));
        let count = (edges.len() / 3).clamp(1, 64);
        let row_scale = count as f64 / (high[1] - low[1]).max(1e-12);
        let mut rows = vec![Vec::new(); count];
        for (at, edge) in edges.iter().enumerate() {
            let row = |y: f64| (((y - low[1]) * row_scale) as usize).min(count - 1);
            for list in &mut rows[row(edge.y.min(edge.ey))..=row(edge.y.max(edge.ey))] {
                list.push(at as u16);
            }
        }
        let fours = edges.chunks(4).map(Four::of).collect();
        Self { low, high, edges, fours, rows, row_scale }
    }

    /// Whether the point lies inside.
    #[inline]
    pub(crate) fn contains(&self, p: [f64; 2]) -> bool {
        if p[0] <= self.low[0] || p[0] >= self.high[0] || p[1] <= self.low[1] || p[1] >= self.high[1] {
            return false;
        }
        let row = (((p[1] - self.low[1]) * self.row_scale) as usize).min(self.rows.len() - 1);
        let mut inside = false;
        for at in &self.rows[row] {
            let e = &self.edges[usize::from(*at)];
            let (from, to) = (e.y > p[1], e.ey > p[1]);
            if from != to {
                // Left of an upward edge, or right of a downward one, by the sign of the cross product.
                let side = e.dx * (p[1] - e.y) - e.dy * (p[0] - e.x);
                inside ^= (side > 0.0) == to;
            }
        }
        inside
    }

    /// How deep the point lies inside; `None` outside.
    #[inline]
    pub(crate) fn depth(&self, p: [f64; 2]) -> Option<Depth> {
        if !self.contains(p) {
            return None;
        }
        let mut best = f64::INFINITY;
        let mut out = [0.0; 2];
        for e in &self.edges {
            let (x, y) = (p[0] - e.x, p[1] - e.y);
            let t = ((x * e.dx + y * e.dy) * e.inverse).clamp(0.0, 1.0);
            let (x, y) = (t * e.dx - x, t * e.dy - y);
            let d = x * x + y * y;
            if d < best {
                best = d;
                out = [x, y];
            }
        }
        Some(Depth { mm: best.sqrt(), out })
    }

    /// A point of the boundary: `which` picks the edge, `along` the place on it, both from 0 to 1.
    pub(crate) fn on_edge(&self, which: f64, along: f64) -> Option<[f64; 2]> {
        let e = self.edges.get((which * self.edges.len() as f64) as usize)?;
        Some([e.x + along * e.dx, e.y + along * e.dy])
    }

    /// Only how deep; 0 outside.
    #[inline]
    pub(crate) fn depth_mm(&self, p: [f64; 2]) -> f64 {
        if !self.contains(p) {
            return 0.0;
        }
        let mut best = [f64::INFINITY; 4];
        for e in &self.fours {
            for (k, best) in best.iter_mut().enumerate() {
                let (x, y) = (p[0] - e.x[k], p[1] - e.y[k]);
                let t = (x * e.dx[k] + y * e.dy[k]) * e.inverse[k];
                // Written so that a comparison takes one step for several edges.
                let t = if t > 0.0 { t } else { 0.0 };
                let t = if t < 1.0 { t } else { 1.0 };
                let (x, y) = (t * e.dx[k] - x, t * e.dy[k] - y);
                let d = x * x + y * y;
                *best = if d < *best { d } else { *best };
            }
        }
        best.into_iter().fold(f64::INFINITY, f64::min).sqrt()
    }

    /// The stretches of the line p + t·d (|d| = 1) that lie inside, added to `into` as pairs of t.
    pub(crate) fn stretches(&self, p: [f64; 2], d: [f64; 2], scratch: &mut Vec<f64>, into: &mut Vec<(f64, f64)>) {
        scratch.clear();
        let side = |x: f64, y: f64| d[0] * (y - p[1]) - d[1] * (x - p[0]);
        let middle = side(0.5 * (self.low[0] + self.high[0]), 0.5 * (self.low[1] + self.high[1]));
        let half = 0.5 * (d[0].abs() * (self.high[1] - self.low[1]) + d[1].abs() * (self.high[0] - self.low[0]));
        // A line that passes the box by more than rounding could hide passes every edge.
        if middle.abs() > half + 1e-6 {
            return;
        }
        let mut cross = |e: &Edge| {
            let (from, to) = (side(e.x, e.y), side(e.ex, e.ey));
            if (from > 0.0) != (to > 0.0) {
                let s = from / (from - to);
                scratch.push((e.x + s * e.dx - p[0]) * d[0] + (e.y + s * e.dy - p[1]) * d[1]);
            }
        };
        if d[1] == 0.0 && p[1] > self.low[1] && p[1] < self.high[1] {
            // What a level line meets reaches into its row.
            let row = (((p[1] - self.low[1]) * self.row_scale) as usize).min(self.rows.len() - 1);
            self.rows[row].iter().for_each(|at| cross(&self.edges[usize::from(*at)]));
        } else {
            self.edges.iter().for_each(&mut cross);
        }
        scratch.sort_unstable_by(f64::total_cmp);
        into.extend(scratch.chunks_exact(2).map(|pair| (pair[0], pair[1])));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Plain geometry: a 10 × 6 rectangle with a 2 × 2 hole.
    #[test]
    fn depth_and_stretches_of_a_frame() {
        let outer = vec![[0.0, 0.0], [10.0, 0.0], [10.0, 6.0], [0.0, 6.0]];
        let hole = vec![[4.0, 2.0], [4.0, 4.0], [6.0, 4.0], [6.0, 2.0]];
        let frame = NoFit::new(&vec![outer, hole]);
        for (p, depth) in
            [([1.0, 3.0], 1.0), ([5.0, 3.0], 0.0), ([3.5, 3.0], 0.5), ([12.0, 3.0], 0.0), ([5.0, 5.5], 0.5)]
        {
            assert!((frame.depth_mm(p) - depth).abs() < 1e-12, "{p:?}");
        }
        let mut found = Vec::new();
        frame.stretches([-1.0, 3.0], [1.0, 0.0], &mut Vec::new(), &mut found);
        assert_eq!(found, [(1.0, 5.0), (7.0, 11.0)]);
        frame.stretches([1.0, -2.0], [0.0, 1.0], &mut Vec::new(), &mut found);
        assert_eq!(found.last(), Some(&(2.0, 8.0)));
    }
}
