//! Screens: which pixels of half-transparent ink get white.

use crate::sheet::Screen;
use std::sync::LazyLock;

/// Side of the table of scattered dots.
const SIDE: usize = 64;
/// Steps in which the share of a dot's values is counted.
const BINS: usize = 4096;
/// A ruling that divides the pixel grid evenly would know only as many tones as a dot has
/// pixels; a ruling and angle off by this little meet every phase of the grid.
const OFF_RULING: f64 = 1.0013;
/// As above, degrees.
const OFF_ANGLE: f64 = 0.13;

/// A screen laid over the whole sheet, so that neighbouring pieces and strips meet without a seam.
pub(crate) enum Threshold {
    Half,
    Rows {
        /// Turned and scaled: dot rows run along whole numbers.
        cos: f64,
        sin: f64,
        /// For every bin of the dot's height, the share of pixels below it.
        share: Vec<f32>,
    },
    Scattered {
        dot_px: usize,
    },
}

impl Threshold {
    pub(crate) fn new(screen: Screen, dpi: f64) -> Self {
        match screen {
            Screen::Threshold => Self::Half,
            Screen::Halftone { lines_per_inch, angle_deg } => {
                let (s, c) = (angle_deg + OFF_ANGLE).to_radians().sin_cos();
                let per_px = lines_per_inch * OFF_RULING / dpi;
                let (cos, sin) = (c * per_px, s * per_px);
                Self::Rows { cos, sin, share: shares(cos, sin) }
            }
            Screen::Stochastic { dot_mm } => {
                Self::Scattered { dot_px: ((dot_mm * dpi / 25.4).round() as usize).max(1) }
            }
        }
    }

    /// Whether ink that covers `alpha` of 255 has white at this pixel of the sheet.
    pub(crate) fn white(&self, alpha: u8, column: usize, row: usize) -> bool {
        let tone = f32::from(alpha) / 255.0;
        match self {
            _ if alpha == 0 || alpha == 255 => alpha == 255,
            Self::Half => alpha >= 128,
            Self::Rows { cos, sin, share } => share[bin(height(*cos, *sin, column as f64, row as f64))] < tone,
            Self::Scattered { dot_px } => {
                let (x, y) = (column / dot_px % SIDE, row / dot_px % SIDE);
                (f32::from(SCATTER[y * SIDE + x]) + 0.5) / ((SIDE * SIDE) as f32) < tone
            }
        }
    }
}

/// Lowest in the middle of a dot, −2 to 2; round dots that meet at half tone.
fn height(cos: f64, sin: f64, x: f64, y: f64) -> f64 {
    let (u, v) = (cos * x + sin * y, cos * y - sin * x);
    let wave = |t: f64| (std::f64::consts::TAU * t).cos();
    -(wave(u) + wave(v))
}

fn bin(height: f64) -> usize {
    (((height + 2.0) / 4.0 * BINS as f64) as usize).min(BINS - 1)
}

/// The share of pixels whose dot height lies below each bin's middle, counted on the pixel grid itself.
fn shares(cos: f64, sin: f64) -> Vec<f32> {
    const COUNTED: usize = 700;
    let mut counts = vec![0_u32; BINS];
    for y in 0..COUNTED {
        for x in 0..COUNTED {
            counts[bin(height(cos, sin, x as f64, y as f64))] += 1;
        }
    }
    let all = (COUNTED * COUNTED) as f32;
    let mut below = 0_u32;
    counts
        .into_iter()
        .map(|count| {
            let share = (below as f32 + count as f32 / 2.0) / all;
            below += count;
            share
        })
        .collect()
}

/// Ranks of a square of dots, each as far from the earlier ones as it can be: the
/// void-and-cluster method of R. Ulichney, Proc. SPIE 1913 (1993), 332–343.
static SCATTER: LazyLock<Vec<u16>> = LazyLock::new(scatter);

struct Spread {
    on: Vec<bool>,
    energy: Vec<f32>,
    kernel: Vec<f32>,
}

impl Spread {
    fn new() -> Self {
        let kernel = (0..SIDE * SIDE)
            .map(|at| {
                let wrapped = |d: usize| d.min(SIDE - d) as f64;
                let (x, y) = (wrapped(at % SIDE), wrapped(at / SIDE));
                libm::exp(-(x * x + y * y) / (2.0 * 1.5 * 1.5)) as f32
            })
            .collect();
        Self { on: vec![false; SIDE * SIDE], energy: vec![0.0; SIDE * SIDE], kernel }
    }

    fn set(&mut self, at: usize, on: bool) {
        self.on[at] = on;
        let sign = if on { 1.0 } else { -1.0 };
        let (ax, ay) = (at % SIDE, at / SIDE);
        for (to, energy) in self.energy.iter_mut().enumerate() {
            let (dx, dy) = ((to % SIDE).abs_diff(ax), (to / SIDE).abs_diff(ay));
            *energy += sign * self.kernel[dy * SIDE + dx];
        }
    }

    fn tightest(&self) -> usize {
        self.pick(true, |a, b| a > b)
    }

    fn emptiest(&self) -> usize {
        self.pick(false, |a, b| a < b)
    }

    fn pick(&self, on: bool, better: impl Fn(f32, f32) -> bool) -> usize {
        let mut best: Option<usize> = None;
        for at in (0..SIDE * SIDE).filter(|at| self.on[*at] == on) {
            if best.is_none_or(|b| better(self.energy[at], self.energy[b])) {
                best = Some(at);
            }
        }
        best.unwrap_or(0)
    }
}

fn scatter() -> Vec<u16> {
    let mut first = Spread::new();
    let mut state = 1_u32;
    let mut seeds = 0;
    while seeds < SIDE * SIDE / 10 {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let at = (state >> 20) as usize % (SIDE * SIDE);
        if !first.on[at] {
            first.set(at, true);
            seeds += 1;
        }
    }
    for _ in 0..SIDE * SIDE {
        let tight = first.tightest();
        first.set(tight, false);
        let empty = first.emptiest();
        first.set(empty, true);
        if empty == tight {
            break;
        }
    }
    let mut rank = vec![0_u16; SIDE * SIDE];
    let start = first.on.clone();
    for at in (0..seeds).rev() {
        let tight = first.tightest();
        first.set(tight, false);
        rank[tight] = at as u16;
    }
    for (at, on) in start.into_iter().enumerate() {
        if on {
            first.set(at, true);
        }
    }
    for at in seeds..SIDE * SIDE {
        let empty = first.emptiest();
        first.set(empty, true);
        rank[empty] = at as u16;
    }
    rank
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counted on a square of 40 mm at 300 dpi: the white covers the tone asked for within 1 %.
    #[test]
    fn coverage_is_the_tone() {
        let screens = [
            (Screen::Halftone { lines_per_inch: 35.0, angle_deg: 22.5 }, 0.01),
            (Screen::Halftone { lines_per_inch: 50.0, angle_deg: 0.0 }, 0.01),
            (Screen::Halftone { lines_per_inch: 50.0, angle_deg: 45.0 }, 0.01),
            (Screen::Halftone { lines_per_inch: 25.0, angle_deg: 61.0 }, 0.01),
            (Screen::Stochastic { dot_mm: 0.0847 }, 0.01),
            (Screen::Stochastic { dot_mm: 0.5 }, 0.01),
        ];
        for (screen, within) in screens {
            let threshold = Threshold::new(screen, 300.0);
            for alpha in [13_u8, 51, 102, 128, 190, 242] {
                let count = (0..472 * 472).filter(|at| threshold.white(alpha, at % 472, at / 472)).count();
                let share = count as f64 / (472.0 * 472.0);
                assert!((share - f64::from(alpha) / 255.0).abs() < within, "{screen:?} {alpha}: {share}");
            }
        }
    }
}
