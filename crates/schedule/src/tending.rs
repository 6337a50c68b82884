//! One person tending several machines.

/// How many machines one person tends, and how often each comes round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tending {
    /// Machines per person with neither ever waiting: (l + m) ÷ (l + w).
    pub ideal: f64,
    /// The whole number below it, at least 1: the person waits.
    pub fewer: u32,
    /// Cycle with `fewer` machines, s.
    pub fewer_cycle_s: f64,
    /// One machine more: the machines wait.
    pub more: u32,
    /// Cycle with `more` machines, s.
    pub more_cycle_s: f64,
}

/// Machines that one person can tend.
///
/// `load_s`: loading and unloading of one machine, at it; `machine_s`: its run with
/// nobody needed; `walk_s`: to the next machine. With N machines the cycle is the
/// longer of l + m and N·(l + w): up to the ideal number the machines run through and
/// the person waits, beyond it the reverse. Seconds; negative and non-finite ones count
/// as 0; `None` when `load_s + walk_s` is 0, for then there is no limit.
///
/// Source: synchronous servicing in Freivalds & Niebel, *Niebel's Methods, Standards,
/// and Work Design*, chapter on worker–machine relationships (formula from memory).
pub fn machine_tending(load_s: f64, machine_s: f64, walk_s: f64) -> Option<Tending> {
    let sound = |s: f64| if s.is_finite() { s.max(0.0) } else { 0.0 };
    let (load, machine, walk) = (sound(load_s), sound(machine_s), sound(walk_s));
    let each = load + walk;
    if each <= 0.0 {
        return None;
    }
    let ideal = (load + machine) / each;
    let fewer = ideal.floor().clamp(1.0, 1e6);
    let cycle = |machines: f64| (load + machine).max(machines * each);
    Some(Tending {
        ideal,
        fewer: fewer as u32,
        fewer_cycle_s: cycle(fewer),
        more: fewer as u32 + 1,
        more_cycle_s: cycle(fewer + 1.0),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// l, m, w → whole numbers and cycles, worked by hand from the two formulas of
    /// synchronous servicing (see `machine_tending`). The first row is the standard
    /// classroom case: one minute to load, one of machine time per 0.1 to walk.
    #[test]
    fn one_person_and_several_machines_follow_the_published_formula() {
        for (l, m, w, fewer, at_fewer, more, at_more) in [
            (60.0, 60.0, 6.0, 1, 120.0, 2, 132.0),
            (17.0, 15.0, 0.0, 1, 32.0, 2, 34.0),
            (17.0, 34.0, 0.0, 3, 51.0, 4, 68.0),
            (10.0, 50.0, 2.0, 5, 60.0, 6, 72.0),
            (20.0, 0.0, 0.0, 1, 20.0, 2, 40.0),
        ] {
            let found = machine_tending(l, m, w).expect("a limit");
            assert_eq!((found.fewer, found.fewer_cycle_s), (fewer, at_fewer), "{l} {m} {w}");
            assert_eq!((found.more, found.more_cycle_s), (more, at_more), "{l} {m} {w}");
        }
        assert_eq!(machine_tending(0.0, 30.0, 0.0), None);
        assert_eq!(machine_tending(f64::NAN, 30.0, f64::INFINITY), None);
    }
}
