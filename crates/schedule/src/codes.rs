//! The codes of this room; values their sentences use stand in the comments.

use report::Code;

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $code:literal;)*) => {
        $($(#[$doc])* pub const $name: Code = Code($code);)*

        /// All of them.
        pub const ALL: &[Code] = &[$($name),*];
    };
}

codes! {
    /// There is no press, or none with hours.
    NO_PRESSES = "schedule.no-presses";
    /// There is nobody to work, or nobody with hours.
    NO_PEOPLE = "schedule.no-people";
    /// More of something than is taken at once: `what`, `count`, `most`.
    TOO_MANY = "schedule.too-many";
    /// A number outside its range: `of`, `what`, `value`, `least`, `most`.
    OUT_OF_RANGE = "schedule.out-of-range";
    /// Spans of the calendar `of` overlap, run backwards, are out of order or out of reach.
    CALENDAR = "schedule.calendar";
    /// A batch `of` names a `what` numbered `value` of `count`.
    UNKNOWN = "schedule.unknown";
    /// The batch `of` has no press to run on.
    NO_PRESS_ALLOWED = "schedule.no-press-allowed";
    /// The batch `of` waits for itself, directly or through others.
    CIRCLE = "schedule.circle";
    /// One closing of `of` needs `needed` rack places of `places`.
    RACK_SMALL = "schedule.rack-small";
    /// Kept work does not agree with the batches.
    KEPT_WORK = "schedule.kept-work";
    /// A schedule that the check refused: our own fault.
    OWN_FAULT = "schedule.own-fault";
    /// The job `of` is finished `by` after its due date.
    LATE = "schedule.late";
    /// The job `of` is late `by` and would be late in any schedule.
    SURELY_LATE = "schedule.surely-late";
    /// `count` pieces of the batch `of` with `limit` pieces found no time.
    UNPLACED = "schedule.unplaced";
    /// `count` pieces of `of` lay under a press when it failed.
    LOST_IN_PRESS = "schedule.lost-in-press";
    /// Remedy: enter a press with its hours.
    ENTER_PRESS = "schedule.enter-press";
    /// Remedy: enter a person with hours.
    ENTER_PERSON = "schedule.enter-person";
    /// Remedy: plan fewer at once.
    PLAN_FEWER = "schedule.plan-fewer";
    /// Remedy: enter a number within the range.
    ENTER_WITHIN = "schedule.enter-within";
    /// Remedy: put the spans in order.
    ORDER_SPANS = "schedule.order-spans";
    /// Remedy: name one that is there.
    NAME_KNOWN = "schedule.name-known";
    /// Remedy: allow a press.
    ALLOW_PRESS = "schedule.allow-press";
    /// Remedy: take one of the waits out of the circle.
    OPEN_CIRCLE = "schedule.open-circle";
    /// Remedy: press fewer at a time or add rack places.
    MORE_RACK = "schedule.more-rack";
    /// Remedy: plan afresh without the kept work.
    PLAN_AFRESH = "schedule.plan-afresh";
    /// Remedy: keep the input and report it.
    REPORT_IT = "schedule.report-it";
    /// Remedy: add hours or move work elsewhere.
    ADD_HOURS = "schedule.add-hours";
    /// Remedy: tell the customer or make room.
    TELL_CUSTOMER = "schedule.tell-customer";
    /// Remedy: get new garments and transfers for the lost pieces.
    REPLACE_PIECES = "schedule.replace-pieces";
    /// Stage: first answer.
    STAGE_FIRST = "schedule.stage-first";
    /// Stage: improving.
    STAGE_IMPROVE = "schedule.stage-improve";
    /// Term: presses.
    TERM_PRESSES = "schedule.presses";
    /// Term: people.
    TERM_PEOPLE = "schedule.people";
    /// Term: jobs.
    TERM_JOBS = "schedule.jobs";
    /// Term: batches.
    TERM_BATCHES = "schedule.batches";
    /// Term: kept entries.
    TERM_KEPT_ENTRIES = "schedule.kept-entries";
    /// Term: kept closings.
    TERM_KEPT_CLOSINGS = "schedule.kept-closings";
    /// Term: closings.
    TERM_CLOSINGS = "schedule.closings";
    /// Term: lags.
    TERM_LAGS = "schedule.lags";
    /// Term: spans.
    TERM_SPANS = "schedule.spans";
    /// Term: now.
    TERM_NOW = "schedule.now";
    /// Term: labour rate.
    TERM_LABOUR_RATE = "schedule.labour-rate";
    /// Term: energy rate.
    TERM_ENERGY_RATE = "schedule.energy-rate";
    /// Term: temperature.
    TERM_TEMPERATURE = "schedule.temperature";
    /// Term: warm up.
    TERM_WARM_UP = "schedule.warm-up";
    /// Term: settling.
    TERM_SETTLING = "schedule.settling";
    /// Term: heating.
    TERM_HEATING = "schedule.heating";
    /// Term: cooling.
    TERM_COOLING = "schedule.cooling";
    /// Term: platen swap.
    TERM_PLATEN_SWAP = "schedule.platen-swap";
    /// Term: pressure reset.
    TERM_PRESSURE_RESET = "schedule.pressure-reset";
    /// Term: standby draw.
    TERM_STANDBY_DRAW = "schedule.standby-draw";
    /// Term: heating draw.
    TERM_HEATING_DRAW = "schedule.heating-draw";
    /// Term: release.
    TERM_RELEASE = "schedule.release";
    /// Term: due.
    TERM_DUE = "schedule.due";
    /// Term: weight.
    TERM_WEIGHT = "schedule.weight";
    /// Term: pieces.
    TERM_PIECES = "schedule.pieces";
    /// Term: per closing.
    TERM_PER_CLOSING = "schedule.per-closing";
    /// Term: loading.
    TERM_LOADING = "schedule.loading";
    /// Term: dwell.
    TERM_DWELL = "schedule.dwell";
    /// Term: open wait.
    TERM_OPEN_WAIT = "schedule.open-wait";
    /// Term: unloading.
    TERM_UNLOADING = "schedule.unloading";
    /// Term: cooling time.
    TERM_COOLING_TIME = "schedule.cooling-time";
    /// Term: finishing.
    TERM_FINISHING = "schedule.finishing";
    /// Term: test piece.
    TERM_TEST_PIECE = "schedule.test-piece";
    /// Term: cycle.
    TERM_CYCLE = "schedule.cycle";
    /// Term: lag.
    TERM_LAG = "schedule.lag";
}
