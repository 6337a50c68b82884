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
    // Findings of lines.
    /// No such garment. Values: garment, nearest.
    GARMENT_UNKNOWN = "plan.garment-unknown";
    /// Remedy of it.
    GARMENT_UNKNOWN_REMEDY = "plan.garment-unknown-remedy";
    /// No such colour. Values: garment, colour, known.
    COLOUR_UNKNOWN = "plan.colour-unknown";
    /// Remedy of it.
    COLOUR_UNKNOWN_REMEDY = "plan.colour-unknown-remedy";
    /// No such size. Values: garment, size, known.
    SIZE_UNKNOWN = "plan.size-unknown";
    /// Remedy of it.
    SIZE_UNKNOWN_REMEDY = "plan.size-unknown-remedy";
    /// The garment cannot be bought: no price or supplier. Values: garment, size.
    GARMENT_NO_PRICE = "plan.garment-no-price";
    /// Remedy of it.
    GARMENT_NO_PRICE_REMEDY = "plan.garment-no-price-remedy";
    /// Art grows with the garments. Values: art, different, against, narrowest, widest, other-narrowest, other-widest.
    SIZED_MANY = "plan.sized-many";
    /// Art has one size on all garments. Values as before.
    SIZED_ONE = "plan.sized-one";
    /// Remedy of both.
    SIZED_REMEDY = "plan.sized-remedy";
    /// Art is not usual at a position on a size, so it has no usual size. Values: position, garment.
    SIZED_NOT_USUAL = "plan.sized-not-usual";
    /// Remedy of it.
    SIZED_NOT_USUAL_REMEDY = "plan.sized-not-usual-remedy";
    /// Art file missing. Values: art.
    ART_MISSING = "plan.art-missing";
    /// Remedy of it.
    ART_MISSING_REMEDY = "plan.art-missing-remedy";
    /// No transfer suits. Values: art, cloth, nearest.
    NONE_SUITS = "plan.none-suits";
    /// Transfers on the shelf are used first. Values: count, art, transfer, place, since.
    FROM_SHELF = "plan.from-shelf";
    /// Remedy of it.
    FROM_SHELF_REMEDY = "plan.from-shelf-remedy";
    /// Transfers on the shelf that have lain too long. Values: count, art, transfer, place, since, days.
    SHELF_TOO_OLD = "plan.shelf-too-old";
    /// Remedy of it.
    SHELF_TOO_OLD_REMEDY = "plan.shelf-too-old-remedy";
    /// Garments on hand are used first. Values: count, garment, place.
    GARMENTS_ON_HAND = "plan.garments-on-hand";
    /// Remedy of it.
    GARMENTS_ON_HAND_REMEDY = "plan.garments-on-hand-remedy";
    /// Orders due too far apart do not share sheets. Values: order, first, days.
    DUE_APART = "plan.due-apart";
    /// Remedy of it.
    DUE_APART_REMEDY = "plan.due-apart-remedy";
    /// The same, and by how much the nearest is too hot. Values: art, cloth, nearest, by.
    NONE_SUITS_BY = "plan.none-suits-by";
    /// Remedy of both.
    NONE_SUITS_REMEDY = "plan.none-suits-remedy";
    /// The transfer a person chose is not on the shelf. Values: transfer, nearest.
    TRANSFER_UNKNOWN = "plan.transfer-unknown";
    /// Remedy of it.
    TRANSFER_UNKNOWN_REMEDY = "plan.transfer-unknown-remedy";
    /// The transfer a person chose does not suit. Values: transfer, reason.
    CHOSEN_UNSUITED = "plan.chosen-unsuited";
    /// Remedy of it.
    CHOSEN_UNSUITED_REMEDY = "plan.chosen-unsuited-remedy";
    /// Taken under a condition. Values: transfer, reason.
    CONDITION = "plan.condition";
    /// Remedy of it.
    CONDITION_REMEDY = "plan.condition-remedy";
    /// Art wider than every stock item. Values: art, width, height, widest.
    TOO_WIDE = "plan.too-wide";
    /// Remedy of it.
    TOO_WIDE_REMEDY = "plan.too-wide-remedy";
    /// Pieces found no place. Values: transfer, count.
    UNPLACED = "plan.unplaced";
    /// Remedy of it.
    UNPLACED_REMEDY = "plan.unplaced-remedy";

    // Pieces that a person laid on a sheet and that cannot stay there. Values: art, transfer, sheet.
    /// The print is not made in that transfer or film any more.
    LOCK_GONE = "plan.lock-gone";
    /// Its film is not to be had, or lies under another sheet. Values: also stock.
    LOCK_FILM = "plan.lock-film";
    /// More copies are locked than made. Values: also count.
    LOCK_MORE = "plan.lock-more";
    /// It leaves the usable film. Values: also over.
    LOCK_OUTSIDE = "plan.lock-outside";
    /// It lies too near another locked piece. Values: also spacing, limit.
    LOCK_NEAR = "plan.lock-near";
    /// It is turned as the film or the packing does not allow. Values: also turn.
    LOCK_TURNED = "plan.lock-turned";
    /// Nothing could be laid out round the locked pieces.
    LOCK_NOTHING = "plan.lock-nothing";
    /// Remedy of all of them.
    LOCK_REMEDY = "plan.lock-remedy";
    /// The packing engine refused. Values: transfer, reason.
    LAYOUT_REFUSED = "plan.layout-refused";
    /// Remedy of it.
    LAYOUT_REFUSED_REMEDY = "plan.layout-refused-remedy";
    /// The schedule engine refused. Values: reason.
    SCHEDULE_REFUSED = "plan.schedule-refused";
    /// Remedy of it.
    SCHEDULE_REFUSED_REMEDY = "plan.schedule-refused-remedy";
    /// Finished after the due date. Values: order, finish, due.
    LATE = "plan.late";
    /// Remedy of it.
    LATE_REMEDY = "plan.late-remedy";
    /// Not all pieces find time. Values: order.
    NO_TIME = "plan.no-time";
    /// Remedy of it.
    NO_TIME_REMEDY = "plan.no-time-remedy";
    /// Remedy of what blocks a print: the nearest that a press reaches, moved. Values: to-right, to-up, to-platen.
    NEAREST_MOVED = "plan.nearest-moved";
    /// The same, smaller. Values: to-width, to-right, to-up, to-platen.
    NEAREST_SMALLER = "plan.nearest-smaller";
    /// The same, at another position. Values: to-position, to-platen.
    NEAREST_ELSEWHERE = "plan.nearest-elsewhere";
    /// The last moment to order has passed. Values: supplier, order-by.
    ORDER_TOO_LATE = "plan.order-too-late";
    /// Remedy of it.
    ORDER_TOO_LATE_REMEDY = "plan.order-too-late-remedy";
    /// A piece spoiled at the press could not be replaced in time. Values: by, press.
    NO_REPLACEMENT = "plan.no-replacement";
    /// Remedy of it.
    NO_REPLACEMENT_REMEDY = "plan.no-replacement-remedy";
    /// The same, where the supplier's rush would be in time. Values: supplier, arrives, price, share.
    ORDER_TOO_LATE_RUSH_REMEDY = "plan.order-too-late-rush-remedy";
    /// Too late even with the supplier's rush. Values: supplier, order-by, arrives, needed, price.
    ORDER_TOO_LATE_EVEN_RUSH = "plan.order-too-late-even-rush";
    /// The supplier's rush is taken. Values: supplier, arrives, usually, needed, price.
    RUSH_TAKEN = "plan.rush-taken";
    /// Remedy of it.
    RUSH_TAKEN_REMEDY = "plan.rush-taken-remedy";
    /// Buying more of it costs less. Values: item, now, more, saves.
    MORE_CHEAPER = "plan.more-cheaper";
    /// More sheets of one layout cost less. Values: item, key, now, more, saves.
    MORE_ALIKE = "plan.more-alike";
    /// More goods cost less, whatever they are. Values: supplier, more, from, saves.
    MORE_GOODS = "plan.more-goods";
    /// More goods cost nothing. Values: supplier, more, from.
    MORE_GOODS_FREE = "plan.more-goods-free";
    /// Remedy of them.
    MORE_REMEDY = "plan.more-remedy";
    /// Blanks come in two deliveries. Values: garment, colour, later, pieces, now, arrives, freight.
    SPLIT_DELIVERY = "plan.split-delivery";
    /// Remedy of it.
    SPLIT_DELIVERY_REMEDY = "plan.split-delivery-remedy";
    /// Some blanks lie in the shop and can be pressed before the others. Values: garment, colour, now, pieces, arrives.
    SHELF_FIRST = "plan.shelf-first";
    /// Remedy of it.
    SHELF_FIRST_REMEDY = "plan.shelf-first-remedy";
    /// The supplier must wait for some blanks; all come together, in time. Values: garment, colour, later, arrives.
    COMES_TOGETHER = "plan.comes-together";
    /// Remedy of it.
    COMES_TOGETHER_REMEDY = "plan.comes-together-remedy";
    /// The supplier has too few blanks, and nobody entered when more come. Values: garment, colour, short, pieces.
    SHORT_NO_DATE = "plan.short-no-date";
    /// Remedy of it.
    SHORT_NO_DATE_REMEDY = "plan.short-no-date-remedy";
    /// Another style could stand in. Values: garment, substitute, arrives, own-arrives, difference, each.
    SUBSTITUTE = "plan.substitute";
    /// The same, at a lower price. Values as before.
    SUBSTITUTE_LESS = "plan.substitute-less";
    /// Remedy of both. Values: substitute, id.
    SUBSTITUTE_REMEDY = "plan.substitute-remedy";
    /// A day that nobody knows, within a sentence.
    NO_DATE = "plan.no-date";
    /// A larger quantity costs less in total. Values: garment, pieces, total, more, more-total.
    TOTAL_FALLS = "plan.total-falls";
    /// Remedy of it.
    TOTAL_FALLS_REMEDY = "plan.total-falls-remedy";
    /// A garment the customer brought: who carries the risk. Values: garment, value.
    BROUGHT_RISK = "plan.brought-risk";
    /// Remedy of it.
    BROUGHT_RISK_REMEDY = "plan.brought-risk-remedy";
    /// A brought garment cannot be replaced in time. Values: garment.
    DYE_HOLD = "plan.dye-hold";
    /// Remedy of it.
    DYE_HOLD_REMEDY = "plan.dye-hold-remedy";
    /// The shop's least charge is more than the sum. Values: least, sum.
    LEAST_CHARGE = "plan.least-charge";
    /// A discount and what it leaves. Values: share, amount, before, after, cost, net.
    DISCOUNT = "plan.discount";
    /// Remedy of it.
    DISCOUNT_REMEDY = "plan.discount-remedy";
    /// A discount takes more than there is to give. Values as before.
    DISCOUNT_LOSS = "plan.discount-loss";
    /// Remedy of it.
    DISCOUNT_LOSS_REMEDY = "plan.discount-loss-remedy";
    /// Remedy of it.
    LEAST_CHARGE_REMEDY = "plan.least-charge-remedy";
    /// Sums that cannot be counted. Values: none.
    SUM_TOO_LARGE = "plan.sum-too-large";
    /// Remedy of it.
    SUM_TOO_LARGE_REMEDY = "plan.sum-too-large-remedy";
    /// An earlier print gets heat from a later platen. Values: earlier, later, peak, bears.
    LATER_HEAT = "plan.later-heat";
    /// Remedy of it.
    LATER_HEAT_REMEDY = "plan.later-heat-remedy";
    /// A tighter limit for one print on the same stock: spacing of the widest is used. Values: transfer.
    STOCK_READING_DIFFERS = "plan.stock-reading-differs";
    /// Remedy of it.
    STOCK_READING_DIFFERS_REMEDY = "plan.stock-reading-differs-remedy";

    // Reasons for and against a transfer.
    /// Fits the fibre. Inputs: fibre.
    FIBRE_GOOD = "plan.fibre-good";
    /// Made to be kept off the fibre. Inputs: fibre.
    FIBRE_AVOID = "plan.fibre-avoid";
    /// The fibre is not among those the maker names. Inputs: fibre.
    FIBRE_UNNAMED = "plan.fibre-unnamed";
    /// Not made for this face. Inputs: surface.
    SURFACE_BAD = "plan.surface-bad";
    /// Made for this face. Inputs: surface.
    SURFACE_GOOD = "plan.surface-good";
    /// Pile or brushed face: test. Inputs: surface.
    SURFACE_PILE = "plan.surface-pile";
    /// The cloth cannot be pressed at all. Inputs: fibre, ceiling.
    CLOTH_REFUSED = "plan.cloth-refused";
    /// No recipe on the shelf. Inputs: none.
    NO_RECIPE = "plan.no-recipe";
    /// No recipe of the maker holds for this cloth. Inputs: fibre, surface.
    NO_RECIPE_FOR_CLOTH = "plan.no-recipe-for-cloth";
    /// The maker's lowest temperature is over the cloth's ceiling. Inputs: low, ceiling, by.
    TOO_HOT = "plan.too-hot";
    /// Set lower within the maker's range. Inputs: set, ceiling.
    SET_LOWER = "plan.set-lower";
    /// The window on this cloth. Inputs: bond, peak, limit, margin.
    HEAT_FITS = "plan.heat-fits";
    /// The cloth gets hotter than its limit. Inputs: peak, limit, by.
    HEAT_OVER = "plan.heat-over";
    /// The cloth comes near its limit. Inputs: peak, limit.
    HEAT_NEAR = "plan.heat-near";
    /// The bond asks for longer than the maker allows. Inputs: longer.
    HEAT_SHORT = "plan.heat-short";
    /// Stretches enough. Inputs: stretch, needed.
    STRETCH_GOOD = "plan.stretch-good";
    /// Stretches less than the cloth. Inputs: stretch, needed.
    STRETCH_SHORT = "plan.stretch-short";
    /// Shows one colour; the art has several. Inputs: colours.
    TOO_MANY_COLOURS = "plan.too-many-colours";
    /// A gradient or photograph needs full colour. Inputs: none.
    NEEDS_FULL_COLOUR = "plan.needs-full-colour";
    /// Film colour close enough. Inputs: film, difference.
    FILM_CLOSE = "plan.film-close";
    /// Film colour needs consent. Inputs: film, difference.
    FILM_CONSENT = "plan.film-consent";
    /// Nearest film is another colour. Inputs: film, difference.
    FILM_FAR = "plan.film-far";
    /// The customer states what a colour of the file truly is. Inputs: colour.
    COLOUR_STATED = "plan.colour-stated";
    /// The film the customer stated. Inputs: film.
    FILM_STATED = "plan.film-stated";
    /// The stated film is not stocked. Inputs: film.
    FILM_NOT_STOCKED = "plan.film-not-stocked";
    /// Cut from several films. Inputs: films (the lowest first), overlap, thickest.
    FILMS_STACKED = "plan.films-stacked";
    /// Colours of the art come out in one film. Inputs: film.
    COLOURS_SHARE_FILM = "plan.colours-share-film";
    /// A colour is left to the cloth. Inputs: colour.
    CLOTH_SHOWS = "plan.cloth-shows";
    /// Every colour is left to the cloth. Inputs: none.
    NOTHING_CUT = "plan.nothing-cut";
    /// Of this kind one piece is used alone. Inputs: none.
    FILMS_SINGLE = "plan.films-single";
    /// Its maker says that no film holds on its face. Inputs: none.
    FILM_ON_FILM_REFUSED = "plan.film-on-film-refused";
    /// Nobody says whether film holds on its face. Inputs: none.
    FILM_ON_FILM_UNSAID = "plan.film-on-film-unsaid";
    /// The maker wants it bare, films beneath need a cover sheet. Inputs: none.
    FILMS_NO_COVER = "plan.films-no-cover";
    /// Films beneath do not bear the last press. Inputs: platen, bears.
    FILMS_BEAR = "plan.films-bear";
    /// The lowest film would be pressed too long in all. Inputs: dwell, most.
    FILMS_DWELL = "plan.films-dwell";
    /// Time of a tack that no sheet gives. Inputs: dwell.
    FILM_TACK = "plan.film-tack";
    /// Shows the art's colours. Inputs: colours.
    COLOURS_GOOD = "plan.colours-good";
    /// No white below on a cloth that is not white. Inputs: none.
    NO_WHITE = "plan.no-white";
    /// The art cannot be made this way. Inputs: code of the finding as term.
    ART_UNFIT = "plan.art-unfit";
    /// The art is at risk. Inputs: code of the finding as term.
    ART_RISKY = "plan.art-risky";
    /// Larger than the maker's largest piece or every stock. Inputs: width, height.
    TOO_LARGE = "plan.too-large";
    /// Has the look asked for. Inputs: finish.
    FINISH_GOOD = "plan.finish-good";
    /// Has another look than asked for. Inputs: finish, asked.
    FINISH_OTHER = "plan.finish-other";
    /// Dye may wander into it. Inputs: ceiling.
    DYE_RISK = "plan.dye-risk";
    /// Weeding takes long. Inputs: minutes.
    WEEDING = "plan.weeding";
    /// Costs so much a print. Inputs: cost.
    COSTS = "plan.costs";
    /// Chosen: least cost of the order among those that fit. Inputs: cost, next, next-cost.
    CHOSEN_CHEAPEST = "plan.chosen-cheapest";
    /// Chosen: lasts longest. Inputs: lasting.
    CHOSEN_LASTING = "plan.chosen-lasting";
    /// Chosen by a person. Inputs: transfer.
    CHOSEN_BY_PERSON = "plan.chosen-by-person";
    /// What would change it: price of the sheet.
    CHANGE_PRICE = "plan.change-price";
    /// What would change it: another cloth.
    CHANGE_CLOTH = "plan.change-cloth";
    /// What would change it: the quantity.
    CHANGE_QUANTITY = "plan.change-quantity";
    /// What would change it: another art or size.
    CHANGE_ART = "plan.change-art";

    // Reasons of figures.
    /// Dwell as the maker says. Inputs: dwell, source.
    DWELL_MAKER = "plan.dwell-maker";
    /// Dwell longer than the maker's, by the heat model. Inputs: dwell, longer, cause.
    DWELL_LONGER = "plan.dwell-longer";
    /// Platen temperature. Inputs: set, low, high.
    PLATEN_SET = "plan.platen-set";
    /// The maker's temperatures go on, but this cloth's ceiling does not; a phrase.
    WINDOW_CEILING = "plan.window-ceiling";
    /// Where the adhesive begins to flow. Inputs: activation.
    ACTIVATION = "plan.activation";
    /// The work as reckoned, each part with where it comes from. Inputs: cloth-pressed, film, carrier, pad.
    HEAT_STACK = "plan.heat-stack";
    /// Set by the press's measured offset. Inputs: set, wanted, offset.
    PLATEN_OFFSET = "plan.platen-offset";
    /// Preheat as the maker says.
    PREHEAT_MAKER = "plan.preheat-maker";
    /// Wait until peel. Inputs: to, room.
    COOL_WAIT = "plan.cool-wait";
    /// Bond line by the model. Inputs: reference, cloth.
    BOND_MODEL = "plan.bond-model";
    /// Layout cost. Inputs: cost, bound, sheets.
    LAYOUT_COST = "plan.layout-cost";
    /// Order of pressing.
    PRESS_ORDER = "plan.press-order";
    /// Only one print.
    PRESS_ORDER_ONE = "plan.press-order-one";
    /// Unit price. Inputs: cost, pieces, margin, step.
    UNIT_PRICE = "plan.unit-price";
    /// A unit price without the test piece, which the shop bears. Inputs: as before, borne.
    UNIT_PRICE_BORNE = "plan.unit-price-borne";
    /// The fewest pieces that pay. Inputs: once, left, unit.
    NOT_BELOW = "plan.not-below";
    /// A spoiled piece. Inputs: again, declared-value.
    SPOILED_PIECE = "plan.spoiled-piece";
    /// Net price. Inputs: lines, least.
    NET_PRICE = "plan.net-price";
    /// Net price with rush or a discount. Inputs: lines, least, rush, discount.
    NET_PRICE_TERMS = "plan.net-price-terms";
    /// Latest order. Inputs: supplier, needed, production, transit, cut-off.
    ORDER_BY = "plan.order-by";
    /// Latest sign-off: before the first money is spent. Inputs: first.
    SIGN_OFF = "plan.sign-off";
    /// Finish as scheduled. Inputs: due, hold.
    FINISH = "plan.finish";

    // Cost items, as terms.
    /// Garments.
    COST_GARMENTS = "plan.cost-garments";
    /// Sheets and film, by area used.
    COST_TRANSFERS = "plan.cost-transfers";
    /// Cutting sheets apart by hand.
    COST_TRIMMING = "plan.cost-trimming";
    /// Carriage, handling and minimums.
    COST_CARRIAGE = "plan.cost-carriage";
    /// Art work.
    COST_ART = "plan.cost-art";
    /// Weeding.
    COST_WEEDING = "plan.cost-weeding";
    /// At the press.
    COST_PRESS = "plan.cost-press";
    /// Test pieces and set-ups.
    COST_SET_UP = "plan.cost-set-up";
    /// The garment that the test piece is made on.
    COST_TEST_GARMENT = "plan.cost-test-garment";
    /// Counting in and packing.
    COST_HANDLING = "plan.cost-handling";
    /// Office.
    COST_OFFICE = "plan.cost-office";
    /// Expected loss of garments.
    COST_LOSS = "plan.cost-loss";
    /// Work at the shop's rates. Inputs: work, labour, overhead.
    COST_WORK = "plan.cost-work";
    /// Goods at the supplier's prices. Inputs: pieces, price.
    COST_GOODS = "plan.cost-goods";
    /// Share by grown area. Inputs: share, cost.
    COST_SHARE = "plan.cost-share";

    // Extras of the ways, as terms.
    /// A wash test before the order.
    EXTRA_WASH_TEST = "plan.extra-wash-test";
    /// Folded and packed singly.
    EXTRA_SINGLE_PACK = "plan.extra-single-pack";
    /// A finer garment.
    EXTRA_FINER_GARMENT = "plan.extra-finer-garment";
    /// The longest-lasting transfer.
    EXTRA_LASTING = "plan.extra-lasting";

    // What the shop itself has seen.
    /// Pressed here before, and it held. Values: times, pieces, washes, returned, tests.
    EVIDENCE_GOOD = "plan.evidence-good";
    /// Pressed here before, and it did not hold. Values: as above, failed, tests-failed.
    EVIDENCE_BAD = "plan.evidence-bad";
    /// Seen here, too little to say. Values: as above.
    EVIDENCE_OPEN = "plan.evidence-open";

    // Stages, as terms.
    /// Looking at the art.
    STAGE_ART = "plan.stage-art";
    /// Choosing transfers.
    STAGE_CHOOSE = "plan.stage-choose";
    /// Laying out.
    STAGE_LAYOUT = "plan.stage-layout";
    /// Scheduling.
    STAGE_SCHEDULE = "plan.stage-schedule";
    /// Pricing.
    STAGE_PRICE = "plan.stage-price";

    // Lines as people type them.
    /// A style was taken where others fit as well. Values: garment, others.
    TYPED_STYLE = "plan.typed-style";
    /// A colour was taken. Values: garment, colour, known.
    TYPED_COLOUR = "plan.typed-colour";
    /// A size was taken for a quantity without one. Values: size, count.
    TYPED_SIZE = "plan.typed-size";
    /// A place was taken. Values: position.
    TYPED_PLACE = "plan.typed-place";
    /// The usual width was taken. Values: position, width.
    TYPED_WIDTH = "plan.typed-width";
    /// Art was taken in the order given. Values: art.
    TYPED_ART = "plan.typed-art";
    /// Remedy of the six: change it.
    TYPED_CHANGE = "plan.typed-change";
    /// There is no art yet; a stand-in takes its place.
    TYPED_ART_TO_COME = "plan.typed-art-to-come";
    /// Remedy of it.
    TYPED_ART_TO_COME_REMEDY = "plan.typed-art-to-come-remedy";
    /// Nothing was typed.
    TYPED_NOTHING = "plan.typed-nothing";
    /// Remedy of it.
    TYPED_NOTHING_REMEDY = "plan.typed-nothing-remedy";
    /// No garment of the shelf is meant. Values: row, text, known.
    TYPED_NO_GARMENT = "plan.typed-no-garment";
    /// Remedy of it.
    TYPED_NO_GARMENT_REMEDY = "plan.typed-no-garment-remedy";
    /// No quantity. Values: row, text, garment, sizes.
    TYPED_NO_SIZES = "plan.typed-no-sizes";
    /// Remedy of it.
    TYPED_NO_SIZES_REMEDY = "plan.typed-no-sizes-remedy";
    /// A word that means nothing here. Values: row, text, word, garment, colours, sizes.
    TYPED_WORD = "plan.typed-word";
    /// Remedy of it.
    TYPED_WORD_REMEDY = "plan.typed-word-remedy";
    /// A table without a column of garments.
    TYPED_NO_COLUMN = "plan.typed-no-column";
    /// Remedy of it.
    TYPED_NO_COLUMN_REMEDY = "plan.typed-no-column-remedy";
    /// Too long a line, or too many. Values: row, most.
    TYPED_TOO_MUCH = "plan.typed-too-much";
    /// Remedy of it.
    TYPED_TOO_MUCH_REMEDY = "plan.typed-too-much-remedy";

    // What changed between two plans.
    /// Price. Inputs: before, after.
    CHANGED_PRICE = "plan.changed-price";
    /// Sheets. Inputs: before, after.
    CHANGED_SHEETS = "plan.changed-sheets";
    /// Finish. Inputs: before, after.
    CHANGED_FINISH = "plan.changed-finish";
    /// Transfer of a print. Inputs: print, before, after.
    CHANGED_TRANSFER = "plan.changed-transfer";
    /// State of a line. Inputs: garment.
    CHANGED_STATE = "plan.changed-state";
    /// Planned through.
    STATE_PLANNED = "plan.state-planned";
    /// Waits for an answer.
    STATE_WAITING = "plan.state-waiting";
    /// Cannot be made as ordered.
    STATE_STOPPED = "plan.state-stopped";
}

/// The term of a line's state.
pub fn line_state(state: crate::LineState) -> Code {
    match state {
        crate::LineState::Planned => STATE_PLANNED,
        crate::LineState::Waiting => STATE_WAITING,
        crate::LineState::Stopped => STATE_STOPPED,
    }
}
