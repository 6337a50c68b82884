//! What this room finds, by name; `words` holds the sentences.

use report::Code;

/// A design has no place on any stock item in any allowed rotation.
pub const TOO_LARGE: Code = Code("nest.too-large");
/// Remedy for a design too large.
pub const CHOOSE_LARGER: Code = Code("nest.choose-larger");
/// Some pieces found no place.
pub const UNPLACED: Code = Code("nest.unplaced");
/// Remedy for pieces without a place.
pub const ADD_STOCK: Code = Code("nest.add-stock");
/// A design's quantity is zero.
pub const NO_QUANTITY: Code = Code("nest.no-quantity");
/// Remedy for a quantity of zero.
pub const SET_QUANTITY: Code = Code("nest.set-quantity");
/// More pieces in all than are planned at once.
pub const TOO_MANY: Code = Code("nest.too-many");
/// Remedy for too many pieces.
pub const SPLIT_ORDER: Code = Code("nest.split-order");
/// An outline crosses itself.
pub const CROSSING: Code = Code("nest.crossing");
/// An outline's hole lies outside it.
pub const HOLE_OUTSIDE: Code = Code("nest.hole-outside");
/// An outline folds over itself so often that it was not examined further.
pub const TANGLED: Code = Code("nest.tangled");
/// Remedy for an outline that cannot be used.
pub const REDRAW: Code = Code("nest.redraw");
/// An outline crossed itself and was mended by its filled area.
pub const MENDED: Code = Code("nest.mended");
/// Remedy for a mended outline.
pub const LOOK_AT_OUTLINE: Code = Code("nest.look-at-outline");
/// A number of the instance is outside its range.
pub const OUT_OF_RANGE: Code = Code("nest.out-of-range");
/// Remedy for a number outside its range.
pub const SET_IN_RANGE: Code = Code("nest.set-in-range");
/// Nothing to lay out.
pub const NOTHING: Code = Code("nest.nothing");
/// Remedy for nothing to lay out.
pub const ADD_DESIGN: Code = Code("nest.add-design");
/// No stock to lay out on.
pub const NO_STOCK: Code = Code("nest.no-stock");
/// A stock item has no usable area left.
pub const NO_AREA: Code = Code("nest.no-area");
/// Remedy for no usable area.
pub const CHECK_MARGIN: Code = Code("nest.check-margin");
/// The spacing is wider than a stock item.
pub const WIDE_SPACING: Code = Code("nest.wide-spacing");
/// Remedy for a wide spacing.
pub const CHECK_SPACING: Code = Code("nest.check-spacing");
/// A locked piece is not where it may be.
pub const LOCK_FAULT: Code = Code("nest.lock-fault");
/// Remedy for a locked piece.
pub const MOVE_LOCK: Code = Code("nest.move-lock");
/// A layout that did not pass the check was set aside; this is our own fault.
pub const SET_ASIDE: Code = Code("nest.set-aside");
/// Remedy for a layout set aside.
pub const TELL_US: Code = Code("nest.tell-us");

/// A piece is short of the spacing to another.
pub const SPACING_SHORT: Code = Code("nest.spacing-short");
/// Two pieces overlap.
pub const OVERLAP: Code = Code("nest.overlap");
/// A piece leaves the usable area.
pub const OUTSIDE: Code = Code("nest.outside");
/// A piece lies on a forbidden zone.
pub const FORBIDDEN: Code = Code("nest.forbidden");
/// A piece is turned by an angle that is not allowed.
pub const TURNED: Code = Code("nest.turned");
/// A piece is mirrored where it should not be, or the other way about.
pub const MIRRORED: Code = Code("nest.mirrored");
/// The number of pieces of a design is not the number ordered.
pub const MISCOUNTED: Code = Code("nest.miscounted");
/// A copy of a design appears twice.
pub const DOUBLED: Code = Code("nest.doubled");
/// A design or stock item that does not exist is named.
pub const UNKNOWN: Code = Code("nest.unknown");
/// More sheets of a stock item are used than there are.
pub const OVERDRAWN: Code = Code("nest.overdrawn");
/// A length or price of the answer does not follow from its pieces.
pub const MISPRICED: Code = Code("nest.mispriced");
/// Designs to be kept together lie apart, or the other way about.
pub const GROUPED: Code = Code("nest.grouped");
/// A locked piece was moved.
pub const UNLOCKED: Code = Code("nest.unlocked");
/// Remedy for every fault of a layout.
pub const LAY_OUT_AGAIN: Code = Code("nest.lay-out-again");

/// Stage: outlines are prepared.
pub const STAGE_PREPARE: Code = Code("nest.stage-prepare");
/// Stage: a first full answer.
pub const STAGE_FILL: Code = Code("nest.stage-fill");
/// Stage: cheaper answers are sought.
pub const STAGE_SEARCH: Code = Code("nest.stage-search");
/// Stage: spares are added.
pub const STAGE_SPARES: Code = Code("nest.stage-spares");

/// Every code of this room.
pub const ALL: &[Code] = &[
    TOO_LARGE,
    CHOOSE_LARGER,
    UNPLACED,
    ADD_STOCK,
    NO_QUANTITY,
    SET_QUANTITY,
    TOO_MANY,
    SPLIT_ORDER,
    CROSSING,
    HOLE_OUTSIDE,
    TANGLED,
    REDRAW,
    MENDED,
    LOOK_AT_OUTLINE,
    OUT_OF_RANGE,
    SET_IN_RANGE,
    NOTHING,
    ADD_DESIGN,
    NO_STOCK,
    NO_AREA,
    CHECK_MARGIN,
    WIDE_SPACING,
    CHECK_SPACING,
    LOCK_FAULT,
    MOVE_LOCK,
    SET_ASIDE,
    TELL_US,
    SPACING_SHORT,
    OVERLAP,
    OUTSIDE,
    FORBIDDEN,
    TURNED,
    MIRRORED,
    MISCOUNTED,
    DOUBLED,
    UNKNOWN,
    OVERDRAWN,
    MISPRICED,
    GROUPED,
    UNLOCKED,
    LAY_OUT_AGAIN,
    STAGE_PREPARE,
    STAGE_FILL,
    STAGE_SEARCH,
    STAGE_SPARES,
];
