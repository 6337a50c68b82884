//! Every code this room says; `words` holds a sentence for each.

use report::Code;

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $code:literal;)*) => {
        $($(#[$doc])* pub const $name: Code = Code($code);)*
        /// All of them, in reading order.
        pub const ALL: &[Code] = &[$($name),*];
    };
}

codes! {
    /// The art file lies outside the order's folder. Values: file.
    ART_OUTSIDE = "desk.art-outside";
    /// Remedy of it.
    ART_OUTSIDE_REMEDY = "desk.art-outside-remedy";
    /// The art file cannot be read from the disk. Values: file, cause.
    ART_UNREADABLE = "desk.art-unreadable";
    /// Remedy of it.
    ART_UNREADABLE_REMEDY = "desk.art-unreadable-remedy";
    /// The reader of an art file gave up. Values: file.
    READER_DIED = "desk.reader-died";
    /// Remedy of it.
    READER_DIED_REMEDY = "desk.reader-died-remedy";
    /// The reader wanted more memory than it is given. Values: file, limit-mb.
    READER_MEMORY = "desk.reader-memory";
    /// The reader took longer than it is given. Values: file, limit.
    READER_SLOW = "desk.reader-slow";
    /// The reader handed back more than it may. Values: file, limit-mb.
    READER_MUCH = "desk.reader-much";
    /// Remedy of the three.
    READER_SMALLER_REMEDY = "desk.reader-smaller-remedy";
    /// The reader's process could not be started. Values: file, cause.
    READER_NOT_STARTED = "desk.reader-not-started";
    /// Remedy of it.
    READER_NOT_STARTED_REMEDY = "desk.reader-not-started-remedy";
    /// A repair that is none, or does not suit. Values: name.
    REPAIR_UNKNOWN = "desk.repair-unknown";
    /// Remedy of it.
    REPAIR_UNKNOWN_REMEDY = "desk.repair-unknown-remedy";
    /// Title of the picture of a repair.
    REPAIR_PICTURE = "desk.repair-picture";
    /// What it shows.
    REPAIR_PICTURE_SHOWS = "desk.repair-picture-shows";
    /// On it: as it came.
    REPAIR_BEFORE = "desk.repair-before";
    /// On it: repaired.
    REPAIR_AFTER = "desk.repair-after";
    // A piece laid on a sheet by hand.
    /// It leaves the usable film. Values: art, over.
    PIECE_OUTSIDE = "desk.piece-outside";
    /// Remedy of it.
    PIECE_OUTSIDE_REMEDY = "desk.piece-outside-remedy";
    /// It is turned as is not allowed. Values: art.
    PIECE_TURNED = "desk.piece-turned";
    /// Remedy of it.
    PIECE_TURNED_REMEDY = "desk.piece-turned-remedy";
    /// It lies too near another that stays. Values: art, other, spacing, limit.
    PIECE_NEAR = "desk.piece-near";
    /// Remedy of it.
    PIECE_NEAR_REMEDY = "desk.piece-near-remedy";
    /// Others lie in its way, which are laid out anew. Values: count.
    PIECE_MAKES_ROOM = "desk.piece-makes-room";
    /// What to do: nothing, or lock those too.
    PIECE_MAKES_ROOM_REMEDY = "desk.piece-makes-room-remedy";
    /// There is no such piece.
    PIECE_UNKNOWN = "desk.piece-unknown";
    /// Remedy of it.
    PIECE_UNKNOWN_REMEDY = "desk.piece-unknown-remedy";
    /// The sheets were laid out anew since the page was made.
    SHEETS_CHANGED = "desk.sheets-changed";
    /// Remedy of it.
    SHEETS_CHANGED_REMEDY = "desk.sheets-changed-remedy";
    /// Title of the picture of findings.
    ART_PICTURE = "desk.art-picture";
    /// What it shows.
    ART_PICTURE_SHOWS = "desk.art-picture-shows";
    /// On it: lines too thin.
    ART_THIN = "desk.art-thin";
    /// On it: gaps too narrow.
    ART_GAPS = "desk.art-gaps";
    /// On it: parts too small.
    ART_ISLANDS = "desk.art-islands";
    /// On it: points that taper off.
    ART_POINTS = "desk.art-points";
    /// On it: what the colours of the dots mean.
    ART_HEAT = "desk.art-heat";
    /// Title of the picture of a box removed.
    BOX_PICTURE = "desk.box-picture";
    /// What it shows.
    BOX_PICTURE_SHOWS = "desk.box-picture-shows";
    /// On it: as it came.
    BOX_BEFORE = "desk.box-before";
    /// On it: without the box.
    BOX_AFTER = "desk.box-after";
    /// Stage: reading art.
    STAGE_READ = "desk.stage-read";
    /// Stage: writing files.
    STAGE_WRITE = "desk.stage-write";
    /// Stage: writing papers.
    STAGE_PAPERS = "desk.stage-papers";
    /// On pictures: the wearer's left.
    WEARERS_LEFT = "desk.wearers-left";
    /// On a picture: where a print was put that no press reaches.
    OUT_OF_REACH = "desk.out-of-reach";
    /// On a picture: the nearest that works.
    NEAREST = "desk.nearest";
    /// On a paper template: the art's window.
    PLACE_WINDOW = "desk.place-window";
    /// On a paper template: beside the bar to measure.
    PLACE_SCALE = "desk.place-scale";
    /// Title of the timeline.
    TIMELINE = "desk.timeline";
    /// On the timeline: due.
    DUE = "desk.due";
    /// On the timeline: late.
    LATE = "desk.late";
    /// On the timeline: set-up.
    SET_UP = "desk.set-up";
    /// On the timeline: cooling.
    COOLING = "desk.cooling";
    /// On the timeline: peeling and packing.
    FINISHING = "desk.finishing";
    /// On the timeline: the present.
    NOW = "desk.now";
    /// Title of the chart of two ways.
    TWO_WAYS = "desk.two-ways";
    /// Axis of it: quantity.
    PIECES_AXIS = "desk.pieces-axis";
    /// Axis of it: cost of a piece.
    COST_AXIS = "desk.cost-axis";
    /// Where the cheaper way changes. Values: count.
    FROM_PIECES = "desk.from-pieces";
    /// Title of a window map. Values: print, cloth.
    WINDOW = "desk.window";
    /// What it shows. Values: colder, hotter.
    WINDOW_SAID = "desk.window-said";
    /// What it shows where the setting does not serve. Values: why.
    WINDOW_CLOSED = "desk.window-closed";
    /// On it: settings that serve.
    WINDOW_OPEN = "desk.window-open";
    /// On it: too short or too cold.
    WINDOW_UNSET = "desk.window-unset";
    /// On it: too hot.
    WINDOW_HOT = "desk.window-hot";
    /// On it: where care begins.
    WINDOW_CARE = "desk.window-care";
    /// On it: nothing serves.
    WINDOW_NONE = "desk.window-none";
    /// On it: the maker's temperatures.
    WINDOW_MAKER = "desk.window-maker";
    /// On it: the maker's setting.
    WINDOW_RECIPE = "desk.window-recipe";
    /// On it: what is set.
    WINDOW_SET = "desk.window-set";
    /// Title of a picture of the bond line over time. Values: print, cloth.
    BOND = "desk.bond";
    /// On it: the bond line.
    BOND_LINE = "desk.bond-line";
    /// On it: activation.
    ACTIVATION = "desk.activation";
    /// On it: what the cloth must not pass.
    CLOTH_LIMIT = "desk.cloth-limit";
    /// On it: the press opens.
    OPENS = "desk.opens";
    /// Axis: plate temperature.
    AXIS_PLATE = "desk.axis-plate";
    /// Axis: temperature.
    AXIS_TEMPERATURE = "desk.axis-temperature";
    /// Axis: time closed.
    AXIS_DWELL = "desk.axis-dwell";
    /// The picture of the shop's mark is not in its folder. Values: file.
    MARK_MISSING = "desk.mark-missing";
    /// Remedy of it.
    MARK_MISSING_REMEDY = "desk.mark-missing-remedy";
    /// The picture of the shop's mark cannot be used. Values: file.
    MARK_BROKEN = "desk.mark-broken";
    /// Remedy of it.
    MARK_BROKEN_REMEDY = "desk.mark-broken-remedy";
    /// A file that no shop has. Values: file, known.
    SHOP_FILE_UNKNOWN = "desk.shop-file-unknown";
    /// Remedy of it.
    SHOP_FILE_UNKNOWN_REMEDY = "desk.shop-file-unknown-remedy";
    /// Art by a name that leads elsewhere. Values: file.
    ART_NAME = "desk.art-name";
    /// Remedy of it.
    ART_NAME_REMEDY = "desk.art-name-remedy";
    /// Art of more bytes than are read. Values: file, limit-mb.
    ART_LARGE = "desk.art-large";
    /// More art files than an order may hold. Values: limit.
    ART_MANY = "desk.art-many";
    /// Remedy of it.
    ART_MANY_REMEDY = "desk.art-many-remedy";
    /// Nothing is left to undo.
    NOTHING_TO_UNDO = "desk.nothing-to-undo";
    /// Nothing is left to do again.
    NOTHING_TO_REDO = "desk.nothing-to-redo";
    /// A record of which nothing is undone.
    NOT_UNDOABLE = "desk.not-undoable";
    /// Remedy of the three.
    NOTHING_TO_UNDO_REMEDY = "desk.nothing-to-undo-remedy";
    /// The reason of a job that was given up by a fault of ours.
    JOB_FAULT = "desk.job-fault";
    /// A copy of a shop that is not whole. Values: file, place, cause, count.
    COPY_DAMAGED = "desk.copy-damaged";
    /// Remedy of it.
    COPY_DAMAGED_REMEDY = "desk.copy-damaged-remedy";
    /// Effort that no plan is made with. Values: limit.
    EFFORT = "desk.effort";
    /// Remedy of it.
    EFFORT_REMEDY = "desk.effort-remedy";
    /// What an order waits for: to be planned.
    WAITS_TO_PLAN = "desk.waits-to-plan";
    /// What an order waits for: needs your answer.
    WAITS_NEEDS_ANSWER = "desk.waits-needs-answer";
    /// What an order waits for: quote to be sent.
    WAITS_TO_QUOTE = "desk.waits-to-quote";
    /// What an order waits for: customer wished for a change.
    WAITS_CHANGE_WISHED = "desk.waits-change-wished";
    /// What an order waits for: waiting on a customer.
    WAITS_ON_CUSTOMER = "desk.waits-on-customer";
    /// What an order waits for: order before the cut-off.
    WAITS_ORDER_BEFORE = "desk.waits-order-before";
    /// What an order waits for: waiting for goods.
    WAITS_FOR_GOODS = "desk.waits-for-goods";
    /// What an order waits for: arrived.
    WAITS_ARRIVED = "desk.waits-arrived";
    /// What an order waits for: press now.
    WAITS_PRESS_NOW = "desk.waits-press-now";
    /// What an order waits for: to be handed over.
    WAITS_TO_HAND_OVER = "desk.waits-to-hand-over";
    /// What an order waits for: to be paid.
    WAITS_TO_BE_PAID = "desk.waits-to-be-paid";
    /// What an order waits for: late.
    WAITS_LATE = "desk.waits-late";
    /// What an order waits for: done.
    WAITS_DONE = "desk.waits-done";
    /// What an order waits for: dropped.
    WAITS_DROPPED = "desk.waits-dropped";

    // What happens in the press, tried without an order.
    /// Title of the picture of a press.
    TRY_CURVES = "desk.try-curves";
    /// Title of the picture of its window.
    TRY_WINDOW = "desk.try-window";
    /// On it: the face of the cloth.
    TRY_CLOTH = "desk.try-cloth";
    /// On it: the setting tried.
    TRY_THIS = "desk.try-this";
    /// Advice: as the maker says.
    TRY_AS_MAKER = "desk.try-as-maker";
    /// Advice: longer.
    TRY_LONGER = "desk.try-longer";
    /// Advice: test, or another material.
    TRY_TEST = "desk.try-test";
    /// Advice: nothing serves.
    TRY_NONE = "desk.try-none";
    /// Lines of the order cannot be made or wait for an answer.
    LINES_OPEN = "desk.lines-open";
    /// Remedy of it.
    LINES_OPEN_REMEDY = "desk.lines-open-remedy";
    /// No quote was sent before it was signed off.
    NOT_QUOTED = "desk.not-quoted";
    /// Remedy of it.
    NOT_QUOTED_REMEDY = "desk.not-quoted-remedy";
    /// What was signed off is not what the quote said: facts. Values: facts.
    QUOTE_DIFFERS = "desk.quote-differs";
    /// Remedy of it.
    QUOTE_DIFFERS_REMEDY = "desk.quote-differs-remedy";
    /// The offer no longer holds. Values: until, today.
    OFFER_OVER = "desk.offer-over";
    /// Remedy of it, for the customer.
    OFFER_OVER_REMEDY = "desk.offer-over-remedy";
    /// Remedy of it, for the shop.
    OFFER_OVER_SHOP_REMEDY = "desk.offer-over-shop-remedy";
    /// Order order has no plan of what it says now, and so no price. Values: order.
    NOT_PLANNED = "desk.not-planned";
    /// Remedy of it.
    NOT_PLANNED_REMEDY = "desk.not-planned-remedy";
    /// The customer has not signed off what the order says now. Values: by.
    SPENT_UNSIGNED = "desk.spent-unsigned";
    /// Remedy of it.
    SPENT_UNSIGNED_REMEDY = "desk.spent-unsigned-remedy";
    /// The deposit of deposit has not been paid. Values: deposit.
    SPENT_UNPAID = "desk.spent-unpaid";
    /// Remedy of it.
    SPENT_UNPAID_REMEDY = "desk.spent-unpaid-remedy";
    /// counted garments were counted, the order needs pieces. Values: counted, pieces.
    COUNTED_FEWER = "desk.counted-fewer";
    /// Remedy of it.
    COUNTED_FEWER_REMEDY = "desk.counted-fewer-remedy";
    /// Some garments that came are faulty. Values: faulty, counted, good, pieces.
    FAULTY = "desk.faulty";
    /// Remedy of it where enough are good.
    FAULTY_REMEDY = "desk.faulty-remedy";
    /// Remedy of it where too few are good.
    FAULTY_SHORT_REMEDY = "desk.faulty-short-remedy";
    /// More faulty garments than were counted. Values: faulty, counted.
    FAULTY_MORE = "desk.faulty-more";
    /// Remedy of it.
    FAULTY_MORE_REMEDY = "desk.faulty-more-remedy";
    /// A kind of cost that nobody knows. Values: what, known.
    COST_UNKNOWN = "desk.cost-unknown";
    /// Remedy of it.
    COST_UNKNOWN_REMEDY = "desk.cost-unknown-remedy";
    /// A real cost out of range. Values: what.
    COST_RANGE = "desk.cost-range";
    /// Remedy of it.
    COST_RANGE_REMEDY = "desk.cost-range-remedy";
    /// good good pieces were counted at the press, the order needs pieces. Values: good, pieces.
    PRESSED_FEWER = "desk.pressed-fewer";
    /// Remedy of it.
    PRESSED_FEWER_REMEDY = "desk.pressed-fewer-remedy";
    /// It is handed over without being recorded as pressed.
    NOT_PRESSED = "desk.not-pressed";
    /// Remedy of it.
    NOT_PRESSED_REMEDY = "desk.not-pressed-remedy";
    /// The goods are not recorded as arrived.
    NOT_ARRIVED = "desk.not-arrived";
    /// Remedy of it.
    NOT_ARRIVED_REMEDY = "desk.not-arrived-remedy";
    /// A name or a reason is missing.
    SAYS_NOTHING = "desk.says-nothing";
    /// Remedy of it.
    SAYS_NOTHING_REMEDY = "desk.says-nothing-remedy";
    /// An amount must be more than nothing.
    NO_AMOUNT = "desk.no-amount";
    /// Remedy of it.
    NO_AMOUNT_REMEDY = "desk.no-amount-remedy";
    /// More than limit pieces cannot be counted at once. Values: limit.
    COUNT_LARGE = "desk.count-large";
    /// Remedy of it.
    COUNT_LARGE_REMEDY = "desk.count-large-remedy";
    /// There is no what “name” in this shop. Values: what, name.
    NAME_UNKNOWN = "desk.name-unknown";
    /// Remedy of it. Values: known.
    NAME_UNKNOWN_REMEDY = "desk.name-unknown-remedy";
    /// “name” is no day.
    DAY_UNREADABLE = "desk.day-unreadable";
    /// Remedy of it.
    DAY_UNREADABLE_REMEDY = "desk.day-unreadable-remedy";
    /// “name” is no temperature of a press.
    TEMPERATURE_RANGE = "desk.temperature-range";
    /// Remedy of it.
    TEMPERATURE_RANGE_REMEDY = "desk.temperature-range-remedy";
    /// name is larger than the film it is a part of, or no size. Values: name.
    STOCK_SIZE = "desk.stock-size";
    /// Remedy of it. Values: widest.
    STOCK_SIZE_REMEDY = "desk.stock-size-remedy";
    /// Nothing on hand need not be written down.
    STOCK_NONE = "desk.stock-none";
    /// Remedy of it.
    STOCK_NONE_REMEDY = "desk.stock-none-remedy";
    /// Spare transfers are known by their art's SHA-256. Values: name.
    STOCK_ART = "desk.stock-art";
    /// Remedy of it.
    STOCK_ART_REMEDY = "desk.stock-art-remedy";
    /// reserved of them are reserved, wanted is fewer. Values: reserved, wanted.
    STOCK_RESERVED = "desk.stock-reserved";
    /// Remedy of it.
    STOCK_RESERVED_REMEDY = "desk.stock-reserved-remedy";
    /// Fewer than two orders, or one twice.
    TOGETHER_FEW = "desk.together-few";
    /// Remedy of it.
    TOGETHER_FEW_REMEDY = "desk.together-few-remedy";
    /// More orders than can be planned together. Values: limit.
    TOGETHER_MANY = "desk.together-many";
    /// Remedy of it.
    TOGETHER_MANY_REMEDY = "desk.together-many-remedy";
    /// An order whose sheets can no longer be shared. Values: order, stage.
    TOGETHER_LATE = "desk.together-late";
    /// Remedy of it.
    TOGETHER_LATE_REMEDY = "desk.together-late-remedy";
    /// A term: it was called off.
    IS_DROPPED = "desk.stage-dropped-word";
    /// A term: its goods are ordered.
    IS_ORDERED = "desk.stage-ordered-word";
    /// A term: it is pressed.
    IS_PRESSED = "desk.stage-pressed-word";
    /// Others reserved what the plan would use, each time.
    STOCK_FOUGHT_OVER = "desk.stock-fought-over";
    /// Remedy of it.
    STOCK_FOUGHT_OVER_REMEDY = "desk.stock-fought-over-remedy";
    /// The address asks for TLS.
    TLS_UNBUILT = "desk.tls-unbuilt";
    /// Remedy of it.
    TLS_UNBUILT_REMEDY = "desk.tls-unbuilt-remedy";
    /// Somebody changed it meanwhile. Values: what, by, found, expected.
    STORE_CONFLICT = "desk.store-conflict";
    /// Remedy of it.
    STORE_CONFLICT_REMEDY = "desk.store-conflict-remedy";
    /// There is no such thing. Values: what.
    STORE_MISSING = "desk.store-missing";
    /// Remedy of it.
    STORE_MISSING_REMEDY = "desk.store-missing-remedy";
    /// No shop is kept there. Values: place.
    STORE_NOT_MADE = "desk.store-not-made";
    /// Remedy of it.
    STORE_NOT_MADE_REMEDY = "desk.store-not-made-remedy";
    /// A shop is kept there already. Values: place.
    STORE_OCCUPIED = "desk.store-occupied";
    /// Remedy of it.
    STORE_OCCUPIED_REMEDY = "desk.store-occupied-remedy";
    /// Written by a later build. Values: found, known.
    STORE_NEWER = "desk.store-newer";
    /// Remedy of it.
    STORE_NEWER_REMEDY = "desk.store-newer-remedy";
    /// Another program holds the database.
    STORE_BUSY = "desk.store-busy";
    /// Remedy of it.
    STORE_BUSY_REMEDY = "desk.store-busy-remedy";
    /// The disk is full.
    STORE_FULL = "desk.store-full";
    /// Remedy of it.
    STORE_FULL_REMEDY = "desk.store-full-remedy";
    /// It may only be read.
    STORE_READ_ONLY = "desk.store-read-only";
    /// Remedy of it.
    STORE_READ_ONLY_REMEDY = "desk.store-read-only-remedy";
    /// It does not answer. Values: cause.
    STORE_AWAY = "desk.store-away";
    /// Remedy of it.
    STORE_AWAY_REMEDY = "desk.store-away-remedy";
    /// It is damaged. Values: cause.
    STORE_DAMAGED = "desk.store-damaged";
    /// Remedy of it.
    STORE_DAMAGED_REMEDY = "desk.store-damaged-remedy";
    /// The job is another's. Values: job.
    STORE_JOB_LOST = "desk.store-job-lost";
    /// Remedy of it.
    STORE_JOB_LOST_REMEDY = "desk.store-job-lost-remedy";
    /// Anything else. Values: cause.
    STORE_OTHER = "desk.store-other";
    /// Remedy of it.
    STORE_OTHER_REMEDY = "desk.store-other-remedy";
    /// A file or folder cannot be read. Values: path, cause.
    UNREADABLE = "desk.unreadable";
    /// A folder cannot be written. Values: path, cause.
    UNWRITABLE = "desk.unwritable";
    /// An order due before the day of its plan. Values: order, due, today.
    DUE_PAST = "desk.due-past";
    /// Remedy of it.
    DUE_PAST_REMEDY = "desk.due-past-remedy";
    /// The work was stopped as asked.
    STOPPED = "desk.stopped";
    /// A row: something on hand. Values: id, count, what, place, since, free.
    STOCK_ROW = "desk.stock-row";
    /// A row: the same, with what is reserved. Values: as before, orders.
    STOCK_ROW_RESERVED = "desk.stock-row-reserved";
    /// What: a piece of film or a sheet. Values: name, size.
    STOCK_FILM = "desk.stock-film";
    /// What: transfers. Values: art, transfer, size.
    STOCK_TRANSFERS = "desk.stock-transfers";
    /// A row: something seen. Values: id, day, of, what.
    SEEN_ROW = "desk.seen-row";
    /// What: a test piece held.
    SEEN_TEST_HELD = "desk.seen-test-held";
    /// What: a test piece did not hold.
    SEEN_TEST_FAILED = "desk.seen-test-failed";
    /// What: pressed for an order. Values: count.
    SEEN_PRESSED = "desk.seen-pressed";
    /// What: washed and held. Values: count.
    SEEN_WASHED = "desk.seen-washed";
    /// What: gave way in washing. Values: count.
    SEEN_WASHED_OFF = "desk.seen-washed-off";
    /// What: came back. Values: count, why.
    SEEN_RETURNED = "desk.seen-returned";
    /// What: spoiled. Values: count, why.
    SEEN_SPOILED = "desk.seen-spoiled";
    /// What: a platen read. Values: set, read.
    SEEN_PLATEN = "desk.seen-platen";
    /// wanted are asked for, free can be had. Values: wanted, free.
    STOCK_SHORT = "desk.stock-short";
    /// Remedy of it.
    STOCK_SHORT_REMEDY = "desk.stock-short-remedy";
    /// The what “name” is no longer in the shop. Values: what, name.
    GONE = "desk.gone";
    /// Remedy of it.
    GONE_REMEDY = "desk.gone-remedy";
    /// amount was paid, the deposit asked for is wanted. Values: amount, wanted.
    DEPOSIT_SHORT = "desk.deposit-short";
    /// amount was paid, the order comes to wanted. Values: amount, wanted.
    PAID_SHORT = "desk.paid-short";
    /// Order order was never planned here: nothing is known of how it was made. Values: order.
    THEN_UNPLANNED = "desk.then-unplanned";
    /// The garment is of after now, before it was before. Values: garment, before, after.
    CLOTH_CHANGED = "desk.cloth-changed";
    /// transfer is no longer pressed by “before”. Values: transfer, before.
    RECIPE_CHANGED = "desk.recipe-changed";
    /// The price was before, now it is after. Values: before, after.
    PRICE_SINCE = "desk.price-since";
    /// art is not made as it was: another transfer, film, file or size. Values: art.
    PRINT_SINCE = "desk.print-since";
    /// transfer is of lot after, before it was before. Values: transfer, before, after.
    LOT_CHANGED = "desk.lot-changed";
    /// A remedy: Ask for the rest, or note what was agreed.
    MONEY_SHORT_REMEDY = "desk.money-short-remedy";
    /// A remedy: Look at it before the customer is told the same again.
    LOOK_AGAIN_REMEDY = "desk.look-again-remedy";
    /// A remedy: Press a test piece before the work.
    TEST_PIECE_REMEDY = "desk.test-piece-remedy";
}
