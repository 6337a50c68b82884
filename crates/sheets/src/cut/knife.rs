//! Leading a blade whose tip trails behind the middle of its holder.
//!
//! On a straight run the holder is the offset ahead of the tip. At a corner the tip must
//! stay where it is until the blade points the new way, so the holder runs an arc round
//! the corner point. Both follow from the geometry of a trailing point.

use super::Knife;
use geometry::Point;

/// The holder's way for a tip that is to follow `tip`.
pub(crate) fn led(tip: &[Point], knife: &Knife, tolerance: f64) -> Vec<Point> {
    let d = knife.offset_mm;
    if d <= 0.0 || tip.len() < 2 {
        return tip.to_vec();
    }
    // Steps whose middle stays within the tolerance of the arc.
    let most_step = 2.0 * (1.0 - (tolerance / d).min(1.0)).acos().max(0.1);
    let mut led = Vec::with_capacity(tip.len() * 2);
    let mut heading: Option<f64> = None;
    for pair in tip.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if a.distance(b) < 1e-9 {
            continue;
        }
        let next = (b.y - a.y).atan2(b.x - a.x);
        let ahead = |p: Point, angle: f64| Point::new(p.x + d * angle.cos(), p.y + d * angle.sin());
        if let Some(old) = heading {
            let turn = half_turns(next - old);
            if turn.abs() >= knife.turn_from_deg.to_radians() {
                let steps = (turn.abs() / most_step).ceil().max(1.0);
                led.extend((1..steps as usize).map(|at| ahead(a, old + turn * at as f64 / steps)));
                led.push(ahead(a, next));
            }
        } else {
            led.push(ahead(a, next));
        }
        led.push(ahead(b, next));
        heading = Some(next);
    }
    led
}

/// The same turn between −180° and 180°.
fn half_turns(angle: f64) -> f64 {
    let whole = std::f64::consts::TAU;
    let turn = angle.rem_euclid(whole);
    if turn > whole / 2.0 { turn - whole } else { turn }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A point pulled along behind the holder at a fixed distance (a tractrix, stepped finely)
    /// must come back to the wanted corners.
    #[test]
    fn a_trailing_tip_finds_the_corners() {
        let wanted =
            [(5.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (0.0, 0.0), (5.4, 0.0)].map(|(x, y)| Point::new(x, y));
        let knife = Knife { offset_mm: 0.3, turn_from_deg: 15.0 };
        let way = led(&wanted, &knife, 0.005);
        let mut tip = wanted[0];
        let mut nearest = [f64::INFINITY; 6];
        for pair in way.windows(2) {
            let steps = (pair[0].distance(pair[1]) / 0.001).ceil().max(1.0) as usize;
            for at in 0..=steps {
                let t = at as f64 / steps as f64;
                let holder =
                    Point::new(pair[0].x + t * (pair[1].x - pair[0].x), pair[0].y + t * (pair[1].y - pair[0].y));
                let apart = holder.distance(tip);
                if apart > 0.3 {
                    let pull = (apart - 0.3) / apart;
                    tip = Point::new(tip.x + pull * (holder.x - tip.x), tip.y + pull * (holder.y - tip.y));
                }
                for (best, corner) in nearest.iter_mut().zip(&wanted) {
                    *best = best.min(tip.distance(*corner));
                }
            }
        }
        for (best, corner) in nearest.iter().zip(&wanted) {
            assert!(*best < 0.02, "{corner:?}: {best}");
        }
        let plain = led(&wanted, &Knife { offset_mm: 0.0, turn_from_deg: 15.0 }, 0.005);
        assert_eq!(plain, wanted.to_vec());
    }
}
