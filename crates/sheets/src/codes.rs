//! Every code this room says; `words` holds a sentence for each.

use crate::sheet::Reading;
use report::Code;

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $code:literal;)*) => {
        $($(#[$doc])* pub const $name: Code = Code($code);)*
        /// All of them, in reading order.
        pub const ALL: &[Code] = &[$($name),*];
    };
}

codes! {
    // Terms.
    /// The file reads as the customer sees it.
    READING_RIGHT = "sheets.reading-right";
    /// The file is left–right reversed.
    READING_REVERSED = "sheets.reading-reversed";
    /// Stage: writing a PNG.
    STAGE_PNG = "sheets.stage-png";
    /// Stage: writing a white layer.
    STAGE_WHITE = "sheets.stage-white";
    /// Stage: ordering cuts.
    STAGE_CUT = "sheets.stage-cut";

    // Refusals.
    /// The sheet cannot have this size. Values: width, length, margin.
    SIZE = "sheets.size";
    /// Resolution out of range. Values: dpi.
    RESOLUTION = "sheets.resolution";
    /// A piece over the edge. Values: piece.
    PIECE_OUTSIDE = "sheets.piece-outside";
    /// A piece the other way round than the file. Values: piece, reading.
    READING_DISAGREES = "sheets.reading-disagrees";
    /// A piece longer than a page. Values: piece, limit.
    PIECE_LONG = "sheets.piece-long";
    /// A piece that cannot be drawn. Values: piece.
    DRAWING = "sheets.drawing";
    /// A piece without a contour. Values: piece.
    CONTOUR = "sheets.contour";
    /// A setting out of range. Values: name, value, least, most.
    SETTING = "sheets.setting";
    /// The PDF could not be put together.
    DOCUMENT = "sheets.document";
    /// Stopped on request.
    STOPPED = "sheets.stopped";
    /// Writing failed. Values: cause.
    WRITE = "sheets.write";

    // Worth knowing.
    /// No room for labels beside some pieces. Values: count, height.
    LABEL_NO_ROOM = "sheets.label-no-room";
    /// No room for the check bar. Values: length.
    BAR_NO_ROOM = "sheets.bar-no-room";
    /// No room for corner marks in the margin. Values: margin, limit.
    MARKS_NO_ROOM = "sheets.marks-no-room";
    /// The PDF was divided into pages. Values: count, limit.
    PAGES_SPLIT = "sheets.pages-split";
    /// Vector art was turned into pixels for the PDF. Values: count.
    VECTOR_AS_PIXELS = "sheets.vector-as-pixels";
    /// Dots of the screen are finer than they hold. Values: dot, limit.
    DOTS_FINE = "sheets.dots-fine";
    /// Contours too small to be cut were left out. Values: count, limit.
    CONTOURS_DROPPED = "sheets.contours-dropped";

    /// A cut outline nearer to the ink than asked for. Values: wanted, outline.
    OUTLINE_NARROWED = "sheets.outline-narrowed";
    /// A print file larger than the printer takes. Values: size, limit in millions of bytes.
    FILE_LARGE = "sheets.file-large";

    // What to do.
    /// Choose another sheet size or margin.
    FIX_SIZE = "sheets.fix-size";
    /// Choose 50 to 1200 dpi.
    FIX_RESOLUTION = "sheets.fix-resolution";
    /// Lay the sheet out again.
    FIX_LAY_OUT = "sheets.fix-lay-out";
    /// Use the PNG.
    FIX_USE_PNG = "sheets.fix-use-png";
    /// Simplify the art.
    FIX_SIMPLIFY = "sheets.fix-simplify";
    /// Set it within its range.
    FIX_SETTING = "sheets.fix-setting";
    /// Run again.
    FIX_RUN_AGAIN = "sheets.fix-run-again";
    /// Free some space or choose another folder.
    FIX_WRITE = "sheets.fix-write";
    /// Sort by the sheet map.
    FIX_USE_MAP = "sheets.fix-use-map";
    /// Widen the margin.
    FIX_MARGIN = "sheets.fix-margin";
    /// Space the pieces wider or widen the margin.
    FIX_SPACING = "sheets.fix-spacing";
    /// Send the PDF alone or ask for fewer dots.
    FIX_FILE_SIZE = "sheets.fix-file-size";
    /// Nothing to do.
    FIX_NOTHING = "sheets.fix-nothing";
    /// Choose a coarser screen.
    FIX_COARSER = "sheets.fix-coarser";
}

/// The term for a reading.
pub fn reading(reading: Reading) -> Code {
    match reading {
        Reading::Right => READING_RIGHT,
        Reading::Reversed => READING_REVERSED,
    }
}
