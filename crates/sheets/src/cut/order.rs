//! The order of the cuts: little travel, and nothing cut after the ring around it.
//!
//! Nearest neighbour first, then exchanges of two edges and moves of short runs among
//! near neighbours (Bentley, *Fast algorithms for geometric traveling salesman
//! problems*, ORSA Journal on Computing 4(4), 1992), every change checked against what
//! must come first. The start of each cut is then chosen for the whole tour at once.

use super::contours::{Contour, starts};
use geometry::Point;

/// Near neighbours looked at for every cut.
const NEAR: usize = 10;
/// Rounds of improvement; each stops by itself when nothing is left to gain.
const ROUNDS: usize = 60;
/// Gains below this are rounding, mm.
const GAIN: f64 = 1e-9;

/// Contours in the order they are cut, each with the edge its cut starts on.
pub(crate) fn order(contours: &[Contour], from: Point) -> Vec<(usize, usize)> {
    let choices: Vec<Vec<(usize, Point)>> = contours.iter().map(|c| starts(&c.ring)).collect();
    let mut chosen: Vec<usize> = vec![0; contours.len()];
    let around: Vec<Option<usize>> = contours.iter().map(|c| c.around).collect();
    let places = |chosen: &[usize]| -> Vec<Point> {
        choices.iter().zip(chosen).map(|(c, at)| c.get(*at).map_or(from, |c| c.1)).collect()
    };
    let mut tour = nearest_first(&places(&chosen), &around, from);
    for _ in 0..2 {
        let mut way = Tour::new(places(&chosen), &around, tour, from);
        way.improve();
        tour = way.order();
        chosen = best_starts(&tour, &choices, from, &chosen);
    }
    tour.into_iter().map(|at| (at, choices[at].get(chosen[at]).map_or(0, |c| c.0))).collect()
}

/// Always on to the nearest cut that may already be made.
fn nearest_first(places: &[Point], around: &[Option<usize>], from: Point) -> Vec<usize> {
    let mut inside_left = vec![0_usize; places.len()];
    for outer in around.iter().flatten() {
        inside_left[*outer] += 1;
    }
    let mut grid = Grid::new(places);
    for (at, left) in inside_left.iter().enumerate() {
        if *left == 0 {
            grid.put(at);
        }
    }
    let mut tour = Vec::with_capacity(places.len());
    let mut here = from;
    while let Some(next) = grid.nearest(here) {
        grid.take(next);
        tour.push(next);
        here = places[next];
        if let Some(outer) = around[next] {
            inside_left[outer] -= 1;
            if inside_left[outer] == 0 {
                grid.put(outer);
            }
        }
    }
    tour
}

/// Points in square cells.
struct Grid<'p> {
    places: &'p [Point],
    origin: Point,
    cell: f64,
    columns: i64,
    rows: i64,
    cells: Vec<Vec<usize>>,
}

impl<'p> Grid<'p> {
    fn new(places: &'p [Point]) -> Self {
        let bounds = geometry::Bounds::around(places);
        let (origin, w, h) = bounds.map_or((Point::default(), 1.0, 1.0), |b| (b.min, b.width(), b.height()));
        // About two points to a cell.
        let cell =
            (w.max(1e-3) * h.max(1e-3) * 2.0 / places.len().max(1) as f64).sqrt().max(w.max(h) / 2_000.0).max(1e-3);
        let (columns, rows) = ((w / cell) as i64 + 1, (h / cell) as i64 + 1);
        let cells = vec![Vec::new(); usize::try_from(columns * rows).unwrap_or(1)];
        Self { places, origin, cell, columns, rows, cells }
    }

    fn cell_of(&self, p: Point) -> (i64, i64) {
        let column = ((p.x - self.origin.x) / self.cell) as i64;
        let row = ((p.y - self.origin.y) / self.cell) as i64;
        (column.clamp(0, self.columns - 1), row.clamp(0, self.rows - 1))
    }

    fn index(&self, (column, row): (i64, i64)) -> usize {
        usize::try_from(row * self.columns + column).unwrap_or(0)
    }

    fn put(&mut self, at: usize) {
        let index = self.index(self.cell_of(self.places[at]));
        self.cells[index].push(at);
    }

    fn take(&mut self, at: usize) {
        let index = self.index(self.cell_of(self.places[at]));
        self.cells[index].retain(|other| *other != at);
    }

    /// Walks cells in growing squares until no nearer point can come.
    fn near(&self, p: Point, count: usize) -> Vec<usize> {
        let middle = self.cell_of(p);
        let mut found: Vec<(f64, usize)> = Vec::new();
        for reach in 0..self.columns.max(self.rows) {
            for cell in square(middle, reach) {
                if (0..self.columns).contains(&cell.0) && (0..self.rows).contains(&cell.1) {
                    found.extend(self.cells[self.index(cell)].iter().map(|at| (self.places[*at].distance(p), *at)));
                }
            }
            if found.len() >= count {
                found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
                if found[count - 1].0 <= reach as f64 * self.cell {
                    break;
                }
            }
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        found.into_iter().take(count).map(|(_, at)| at).collect()
    }

    fn nearest(&self, p: Point) -> Option<usize> {
        self.near(p, 1).first().copied()
    }
}

/// The cells at `reach` steps from the middle, each once.
fn square((x, y): (i64, i64), reach: i64) -> Vec<(i64, i64)> {
    if reach == 0 {
        return vec![(x, y)];
    }
    let mut cells = Vec::new();
    for d in -reach..=reach {
        cells.extend([(x + d, y - reach), (x + d, y + reach)]);
    }
    for d in 1 - reach..reach {
        cells.extend([(x - reach, y + d), (x + reach, y + d)]);
    }
    cells
}

/// A tour that starts at a fixed place (number `n`) and ends anywhere.
struct Tour {
    places: Vec<Point>,
    around: Vec<Option<usize>>,
    inside: Vec<Vec<usize>>,
    near: Vec<Vec<usize>>,
    tour: Vec<usize>,
    rank: Vec<usize>,
}

impl Tour {
    fn new(mut places: Vec<Point>, around: &[Option<usize>], order: Vec<usize>, from: Point) -> Self {
        let n = places.len();
        let mut grid = Grid::new(&places);
        (0..n).for_each(|at| grid.put(at));
        let near = places
            .iter()
            .enumerate()
            .map(|(at, p)| grid.near(*p, NEAR + 1).into_iter().filter(|other| *other != at).collect())
            .collect();
        let mut inside = vec![Vec::new(); n + 1];
        for (at, outer) in around.iter().enumerate() {
            if let Some(outer) = outer {
                inside[*outer].push(at);
            }
        }
        let around = around.iter().copied().chain([None]).collect();
        places.push(from);
        let tour: Vec<usize> = std::iter::once(n).chain(order).collect();
        let mut rank = vec![0; n + 1];
        tour.iter().enumerate().for_each(|(at, city)| rank[*city] = at);
        Self { places, around, inside, near, tour, rank }
    }

    fn order(self) -> Vec<usize> {
        self.tour.into_iter().skip(1).collect()
    }

    fn way(&self, a: usize, b: usize) -> f64 {
        self.places[a].distance(self.places[b])
    }

    /// From the cut at rank `at` to the next one; nothing after the last.
    fn step(&self, at: usize) -> f64 {
        match self.tour.get(at + 1) {
            Some(next) => self.way(self.tour[at], *next),
            None => 0.0,
        }
    }

    fn improve(&mut self) {
        for _ in 0..ROUNDS {
            let mut gained = false;
            for city in 0..self.near.len() {
                gained |= self.exchange(city) | self.move_run(city);
            }
            if !gained {
                break;
            }
        }
    }

    /// Two edges crosswise instead of as they are: a stretch is run backwards.
    fn exchange(&mut self, city: usize) -> bool {
        for at in 0..self.near[city].len() {
            let other = self.near[city][at];
            let (i, j) = (self.rank[city], self.rank[other]);
            let (low, high) = (i.min(j), i.max(j));
            // The edges after both: low → high side by side, their followers side by side.
            if self.gain_reversed(low + 1, high) > GAIN && self.may_reverse(low + 1, high) {
                self.reverse(low + 1, high);
                return true;
            }
            // The edges before both.
            if low > 0 && self.gain_reversed(low, high - 1) > GAIN && self.may_reverse(low, high - 1) {
                self.reverse(low, high - 1);
                return true;
            }
        }
        false
    }

    fn gain_reversed(&self, from: usize, to: usize) -> f64 {
        if from == 0 || from >= to {
            return 0.0;
        }
        let (before, first, last) = (self.tour[from - 1], self.tour[from], self.tour[to]);
        let old = self.way(before, first) + self.step(to);
        let after = self.tour.get(to + 1).map_or(0.0, |after| self.way(first, *after));
        old - self.way(before, last) - after
    }

    fn may_reverse(&self, from: usize, to: usize) -> bool {
        self.tour[from..=to]
            .iter()
            .all(|city| self.around[*city].is_none_or(|outer| !(from..=to).contains(&self.rank[outer])))
    }

    fn reverse(&mut self, from: usize, to: usize) {
        self.tour[from..=to].reverse();
        self.renumber(from, to);
    }

    fn renumber(&mut self, from: usize, to: usize) {
        for at in from..=to {
            self.rank[self.tour[at]] = at;
        }
    }

    /// A run of one to three cuts from `city` on, set down beside one of its neighbours.
    fn move_run(&mut self, city: usize) -> bool {
        for length in 1..=3 {
            for at in 0..self.near[city].len() {
                let other = self.near[city][at];
                // The run may begin or end with the city; it comes after or before the neighbour.
                for first in [self.rank[city], (self.rank[city] + 1).saturating_sub(length)] {
                    for target in [self.rank[other], self.rank[other].saturating_sub(1)] {
                        if first > 0 && self.try_move(first, length, target) {
                            return true;
                        }
                    }
                }
            }
        }
        false
    }

    /// Moves the run behind the cut at rank `target`, whichever way round is shorter.
    fn try_move(&mut self, first: usize, length: usize, target: usize) -> bool {
        let last = first + length - 1;
        if last >= self.tour.len() || (first - 1..=last).contains(&target) {
            return false;
        }
        let (a, b) = (self.tour[first], self.tour[last]);
        let before = self.tour[first - 1];
        let after = self.tour.get(last + 1).copied();
        let left = self.way(before, a) + self.step(last) - after.map_or(0.0, |after| self.way(before, after));
        let (t, next) = (self.tour[target], self.tour.get(target + 1).copied());
        let joined = |head: usize, tail: usize| {
            self.way(t, head) + next.map_or(0.0, |next| self.way(tail, next)) - self.step(target)
        };
        let (forward, backward) = (joined(a, b), joined(b, a));
        let turn = backward < forward && self.may_reverse(first, last);
        let cost = if turn { backward } else { forward };
        if left - cost <= GAIN || !self.may_move(first, last, target) {
            return false;
        }
        if turn {
            self.tour[first..=last].reverse();
        }
        let span = if target > last {
            self.tour[first..=target].rotate_left(length);
            (first, target)
        } else {
            self.tour[target + 1..=last].rotate_right(length);
            (target + 1, last)
        };
        self.renumber(span.0, span.1);
        true
    }

    fn may_move(&self, first: usize, last: usize, target: usize) -> bool {
        self.tour[first..=last].iter().all(|city| {
            if target > last {
                self.around[*city].is_none_or(|outer| !(last + 1..=target).contains(&self.rank[outer]))
            } else {
                self.inside[*city].iter().all(|inner| !(target + 1..first).contains(&self.rank[*inner]))
            }
        })
    }
}

/// For a fixed order, the start of every cut that makes the whole way shortest (Bellman's recursion).
fn best_starts(tour: &[usize], choices: &[Vec<(usize, Point)>], from: Point, old: &[usize]) -> Vec<usize> {
    let mut best: Vec<(f64, Point)> = vec![(0.0, from)];
    let mut came: Vec<Vec<usize>> = Vec::with_capacity(tour.len());
    for city in tour {
        let mut back = Vec::new();
        best = choices[*city]
            .iter()
            .map(|(_, p)| {
                let through = best.iter().enumerate().map(|(at, (way, q))| (way + q.distance(*p), at));
                let (way, at) = through.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, 0));
                back.push(at);
                (way, *p)
            })
            .collect();
        came.push(back);
    }
    let mut chosen = old.to_vec();
    let mut at = best.iter().enumerate().min_by(|a, b| a.1.0.total_cmp(&b.1.0)).map_or(0, |(at, _)| at);
    for (city, back) in tour.iter().zip(&came).rev() {
        chosen[*city] = at;
        at = back.get(at).copied().unwrap_or(0);
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scattered(count: usize) -> Vec<Point> {
        let mut state = 12_345_u64;
        let mut next = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 40) as f64 / (1_u64 << 24) as f64
        };
        (0..count).map(|_| Point::new(next() * 1000.0, next() * 500.0)).collect()
    }

    fn toured(places: &[Point], around: &[Option<usize>]) -> (Vec<usize>, f64) {
        let first = nearest_first(places, around, Point::default());
        let mut tour = Tour::new(places.to_vec(), around, first, Point::default());
        tour.improve();
        let order = tour.order();
        let mut here = Point::default();
        let way = order.iter().map(|at| std::mem::replace(&mut here, places[*at]).distance(places[*at])).sum();
        (order, way)
    }

    /// The shortest tour through many random points is about 0.7124 √(n·A)
    /// (Johnson & McGeoch, in *Local Search in Combinatorial Optimization*, 1997).
    #[test]
    fn near_the_known_constant() {
        let places = scattered(5_000);
        let (order, way) = toured(&places, &vec![None; places.len()]);
        assert_eq!(order.len(), places.len());
        let shortest = 0.7124 * (5_000.0_f64 * 1000.0 * 500.0).sqrt();
        assert!(way < 1.1 * shortest, "{way} against {shortest}");
    }

    #[test]
    fn what_lies_inside_is_cut_first() {
        let places = scattered(600);
        let around: Vec<Option<usize>> = (0..600).map(|at| (at % 3 != 0).then_some(at - at % 3)).collect();
        let (order, _) = toured(&places, &around);
        let mut rank = vec![0; 600];
        order.iter().enumerate().for_each(|(at, city)| rank[*city] = at);
        for (at, outer) in around.iter().enumerate() {
            assert!(outer.is_none_or(|outer| rank[at] < rank[outer]));
        }
        let mut all = order.clone();
        all.sort_unstable();
        assert_eq!(all, (0..600).collect::<Vec<_>>());
    }
}
