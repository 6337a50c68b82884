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
    // Reading.
    /// The file holds no bytes.
    FILE_EMPTY = "art.file-empty";
    /// The file is larger than the reader takes. Values: file, size, limit.
    FILE_LARGE = "art.file-large";
    /// No known picture form. Values: file.
    FILE_UNKNOWN = "art.file-unknown";
    /// The file is cut short or damaged. Values: file, form.
    FILE_BROKEN = "art.file-broken";
    /// A reader gave up unexpectedly. Values: file, form.
    READER_FAILED = "art.reader-failed";
    /// The picture claims more pixels than the reader takes. Values: file, width-px, height-px, limit-mpx.
    PICTURE_HUGE = "art.picture-huge";
    /// Nothing in the picture is inked. Values: file.
    PICTURE_BLANK = "art.picture-blank";
    /// The colour profile cannot be used. Values: file.
    PROFILE_UNREADABLE = "art.profile-unreadable";
    /// Colours were brought to sRGB from the file's own profile. Values: file.
    PROFILE_USED = "art.profile-used";
    /// Several pictures in the file; the first was taken. Values: file.
    STILL_TAKEN = "art.still-taken";
    /// The drawing refers to something outside the file. Values: file, reference.
    REFERENCE_OUTSIDE = "art.reference-outside";
    /// An embedded picture that cannot be used. Values: file, form.
    EMBEDDED_UNUSABLE = "art.embedded-unusable";
    /// Scripts in the drawing are ignored. Values: file, count.
    SCRIPT_IGNORED = "art.script-ignored";
    /// Moving parts are taken as they stand at the start. Values: file, count.
    MOTION_IGNORED = "art.motion-ignored";
    /// A part from another language (HTML in SVG) cannot be drawn. Values: file, count.
    FOREIGN_PART = "art.foreign-part";
    /// Live text whose font is not in the file. Values: file, font, text.
    FONT_MISSING = "art.font-missing";
    /// Live text set from a font embedded in the file. Values: file, font.
    FONT_LIVE = "art.font-live";
    /// Drawing would take more work than allowed. Values: file, what.
    DRAWING_HEAVY = "art.drawing-heavy";
    /// A filter effect beyond what is drawn faithfully. Values: file, effect.
    FILTER_HEAVY = "art.filter-heavy";
    /// The outline was taken from a rendering instead of the paths. Values: file, what, tolerance-share.
    OUTLINE_FROM_RENDERING = "art.outline-from-rendering";
    /// The outline has more corners than is workable. Values: file, limit.
    OUTLINE_RAGGED = "art.outline-ragged";
    /// The page asked for is not in the document. Values: file, page, pages.
    PAGE_MISSING = "art.page-missing";
    /// Several pages; one was taken. Values: file, page, pages.
    PAGE_TAKEN = "art.page-taken";
    /// The document is locked. Values: file.
    DOCUMENT_LOCKED = "art.document-locked";
    /// A page's text wants fonts that the file does not hold. Values: file, page, font.
    PAGE_FONT_MISSING = "art.page-font-missing";
    /// A part of the page could not be honoured. Values: file, what.
    PAGE_PART_LOST = "art.page-part-lost";
    /// Empty margin was left off. Values: file, share.
    MARGIN_TRIMMED = "art.margin-trimmed";
    /// Part of the drawing lies outside its page and was left off. Values: file, share.
    PART_OUTSIDE_PAGE = "art.part-outside-page";

    // Size.
    /// No size in the file and none asked for.
    SIZE_UNKNOWN = "art.size-unknown";
    /// The size asked for cannot be made. Values: width, height, least, most.
    SIZE_OUT_OF_RANGE = "art.size-out-of-range";

    // At final size.
    /// Too few pixels for this size. Values: dpi, limit-dpi, width.
    RESOLUTION_LOW = "art.resolution-low";
    /// Half-transparent rim or fade. Values: share, limit.
    EDGE_SOFT = "art.edge-soft";
    /// Lines thinner than the transfer holds. Values: width, limit, count, scale-width.
    LINE_THIN = "art.line-thin";
    /// Lines so thin that nothing of them would remain. Values: width, limit, count, scale-width.
    LINE_HAIR = "art.line-hair";
    /// Gaps that close up. Values: width, limit, count, scale-width.
    GAP_NARROW = "art.gap-narrow";
    /// Parts too small to hold. Values: width, limit, count.
    ISLAND_SMALL = "art.island-small";
    /// Dust-like parts. Values: count, limit.
    SPECKS = "art.specks";
    /// Points that taper off. Values: count, limit.
    POINT_SHARP = "art.point-sharp";
    /// Sharp inside corners where film tears on weeding. Values: count, angle.
    CORNER_INSIDE_SHARP = "art.corner-inside-sharp";
    /// Weeding takes long. Values: pieces, minutes.
    WEEDING_LONG = "art.weeding-long";
    /// A uniform box behind the mark. Values: colour, share.
    BACKGROUND_BOX = "art.background-box";
    /// The box was removed as the order asked. Values: colour, share.
    BACKGROUND_REMOVED = "art.background-removed";
    /// Removal was asked for but there is no uniform box.
    BACKGROUND_NONE = "art.background-none";
    /// Fades or a photograph on a film of one colour.
    FADES_ON_FILM = "art.fades-on-film";
    /// More colours than the transfer takes. Values: count, limit.
    COLOURS_MANY = "art.colours-many";
    /// Live text too small for the transfer. Values: height, limit, scale-width.
    TYPE_SMALL = "art.type-small";
    /// The mark is likely registered; a person decides. Values: file.
    EMBLEM_REGISTERED = "art.emblem-registered";
    /// A large solid area on stretch cloth. Values: area, limit.
    SOLID_LARGE = "art.solid-large";

    // Colours and films.
    /// The film is as good as the colour. Values: colour, film, difference.
    FILM_SAME = "art.film-same";
    /// A close match, offered with a swatch. Values: colour, film, difference.
    FILM_CLOSE = "art.film-close";
    /// Only the nearest stocked. Values: colour, film, difference.
    FILM_NEAREST = "art.film-nearest";
    /// No film of that family on the shelf. Values: colour, family.
    FILM_NONE = "art.film-none";

    // Films on films.
    /// More films than may lie on one another. Values: count, limit.
    LAYERS_MANY = "art.layers-many";
    /// A colour for which no film was named. Values: colour.
    LAYER_FILM_MISSING = "art.layer-film-missing";
    /// Two films touch and neither may lie under the other.
    LAYER_EDGE_TO_EDGE = "art.layer-edge-to-edge";
    /// Lower films were left out under upper ones. Values: count, limit, overlap.
    LAYER_KNOCKED_OUT = "art.layer-knocked-out";
    /// Where a finding lies on the art as pressed. Values: left, right, low, high.
    PLACE = "art.place";

    /// Even film.
    FAMILY_PLAIN = "art.family-plain";
    /// Mirror or brushed metal.
    FAMILY_METALLIC = "art.family-metallic";
    /// Glitter.
    FAMILY_GLITTER = "art.family-glitter";
    /// Throws light back.
    FAMILY_REFLECTIVE = "art.family-reflective";
    /// Velvet pile.
    FAMILY_FLOCK = "art.family-flock";
    /// Brighter than print.
    FAMILY_FLUORESCENT = "art.family-fluorescent";

    // What a drawing contains that its paths alone do not say.
    /// A filter effect.
    WHAT_FILTER = "art.what-filter";
    /// A mask.
    WHAT_MASK = "art.what-mask";
    /// Colours that mix with what lies beneath.
    WHAT_BLEND = "art.what-blend";
    /// A picture.
    WHAT_IMAGE = "art.what-image";
    /// A fade to nothing.
    WHAT_FADE = "art.what-fade";
    /// A pattern.
    WHAT_PATTERN = "art.what-pattern";
    /// Very many points.
    WHAT_POINTS = "art.what-points";

    // What to do.
    /// Send the file again, complete.
    FIX_SEND_AGAIN = "art.fix-send-again";
    /// Save as SVG, PDF, PNG, JPEG or WebP.
    FIX_SAVE_AS = "art.fix-save-as";
    /// Save with fewer pixels.
    FIX_SAVE_SMALLER = "art.fix-save-smaller";
    /// Draw or export something visible.
    FIX_DRAW_INK = "art.fix-draw-ink";
    /// Embed the picture in the file.
    FIX_EMBED = "art.fix-embed";
    /// Turn text into outlines.
    FIX_OUTLINE_TEXT = "art.fix-outline-text";
    /// Simplify the drawing.
    FIX_SIMPLIFY = "art.fix-simplify";
    /// Flatten the effect.
    FIX_FLATTEN = "art.fix-flatten";
    /// Choose a page that exists.
    FIX_CHOOSE_PAGE = "art.fix-choose-page";
    /// Save without the lock.
    FIX_UNLOCK = "art.fix-unlock";
    /// Nothing to do; check on the proof.
    FIX_LOOK = "art.fix-look";
    /// Give a width or a height.
    FIX_GIVE_SIZE = "art.fix-give-size";
    /// Ask for the original, vector or larger; or print smaller.
    FIX_LARGER_FILE = "art.fix-larger-file";
    /// Make soft edges hard.
    FIX_HARD_EDGE = "art.fix-hard-edge";
    /// Thicken, enlarge or choose another transfer.
    FIX_THICKEN = "art.fix-thicken";
    /// Open the gap, close it, enlarge or choose another transfer.
    FIX_OPEN_GAP = "art.fix-open-gap";
    /// Drop, join or enlarge the parts.
    FIX_ISLANDS = "art.fix-islands";
    /// Remove the specks.
    FIX_SPECKS = "art.fix-specks";
    /// Round the points.
    FIX_ROUND = "art.fix-round";
    /// Choose a printed transfer or allow the time.
    FIX_WEEDING = "art.fix-weeding";
    /// Say whether the box goes.
    FIX_BACKGROUND = "art.fix-background";
    /// Choose a printed transfer or redraw in flat colours.
    FIX_FLAT_COLOURS = "art.fix-flat-colours";
    /// Join colours or choose a printed transfer.
    FIX_FEWER_COLOURS = "art.fix-fewer-colours";
    /// Break the area up.
    FIX_BREAK_UP = "art.fix-break-up";
    /// Show a swatch.
    FIX_SWATCH = "art.fix-swatch";
    /// Set the type larger.
    FIX_LARGER_TYPE = "art.fix-larger-type";
    /// Ask for the owner's permission.
    FIX_PERMISSION = "art.fix-permission";
    /// Name a film for the colour.
    FIX_NAME_FILM = "art.fix-name-film";
    /// Choose a smooth film for one of the two.
    FIX_OTHER_FILM = "art.fix-other-film";

    // Repairs, off until asked for.
    /// Remove the uniform box.
    REPAIR_BACKGROUND = "art.repair-background";
    /// Make half-transparent pixels whole or nothing.
    REPAIR_THRESHOLD = "art.repair-threshold";
    /// Remove dust.
    REPAIR_SPECKS = "art.repair-specks";
    /// Thicken strokes to the least.
    REPAIR_THICKEN = "art.repair-thicken";
    /// Close gaps below the least.
    REPAIR_GAPS = "art.repair-gaps";
    /// Trace pixels to smooth curves.
    REPAIR_TRACE = "art.repair-trace";
    /// Half ink as dots.
    REPAIR_HALFTONE = "art.repair-halftone";
    /// Live text to outlines.
    REPAIR_TEXT = "art.repair-text";
    /// How true traced curves are. Values: worst, mean, share.
    TRACED = "art.traced";
    /// A repair that does not suit the art. Values: repair.
    REPAIR_UNSUITED = "art.repair-unsuited";
}
