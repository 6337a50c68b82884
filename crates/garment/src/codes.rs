//! Codes of this room; each has its sentence or phrase in `words`.

use report::Code;

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $text:literal;)*) => {
        $( $(#[$doc])* pub const $name: Code = Code($text); )*
        /// Every code of this room.
        pub const ALL: &[Code] = &[$($name),*];
    };
}

codes! {
    /// A measure that shapes the answer is not known; asked for.
    MEASURE_MISSING = "garment.measure-missing";
    /// How to take the missing measure; the sentence shows `how`.
    MEASURE_TAKE = "garment.measure-take";
    /// Measures that only shape the drawing were taken from proportion.
    MEASURE_ASSUMED = "garment.measure-assumed";
    /// Measure them before the first piece.
    MEASURE_ASSUMED_REMEDY = "garment.measure-assumed-remedy";
    /// Measures contradict one another.
    MEASURES_CLASH = "garment.measures-clash";
    /// Measure again.
    MEASURES_CLASH_REMEDY = "garment.measures-clash-remedy";
    /// A position word that is not known.
    POSITION_UNKNOWN = "garment.position-unknown";
    /// The nearest known position.
    POSITION_NEAREST = "garment.position-nearest";
    /// A position without its side.
    POSITION_WHICH_SIDE = "garment.position-which-side";
    /// Say which of the wearer's sides.
    POSITION_SAY_SIDE = "garment.position-say-side";
    /// The garment does not have this position.
    POSITION_NOT_OFFERED = "garment.position-not-offered";
    /// Choose another.
    POSITION_CHOOSE = "garment.position-choose";
    /// The art is wider or narrower than usual here.
    WIDTH_UNUSUAL = "garment.width-unusual";
    /// The art is taller than usual here.
    HEIGHT_UNUSUAL = "garment.height-unusual";
    /// Look again at the size.
    SIZE_LOOK = "garment.size-look";
    /// The usual width does not exist for this band.
    BAND_NOT_USUAL = "garment.band-not-usual";
    /// Ask whether it is meant.
    BAND_LOOK = "garment.band-look";
    /// The art is a small or large share of the chest.
    CHEST_SHARE = "garment.chest-share";
    /// The art does not fit on the panel.
    OFF_PANEL = "garment.off-panel";
    /// The largest that fits.
    OFF_PANEL_REMEDY = "garment.off-panel-remedy";
    /// Art along an arm or leg has a reading direction.
    READING_DIRECTION = "garment.reading-direction";
    /// Say which way it reads.
    READING_SAY = "garment.reading-say";
    /// A shirt's print would lie nearer the placket or zip than usual.
    NEAR_OPENING = "garment.near-opening";
    /// Move it outward.
    NEAR_OPENING_REMEDY = "garment.near-opening-remedy";

    /// A print lies over another. Values: other, over, limit.
    PRINTS_OVERLAP = "garment.prints-overlap";
    /// A print lies too near another. Values: other, gap, limit.
    PRINTS_NEAR = "garment.prints-near";
    /// Move one of them away.
    PRINTS_APART_REMEDY = "garment.prints-apart-remedy";

    /// No platen of the shop holds the art with its margin.
    NO_PLATEN = "garment.no-platen";
    /// Largest art the shop's platens hold.
    NO_PLATEN_REMEDY = "garment.no-platen-remedy";
    /// Something sewn on lies on or too near the art.
    ART_ON_OBSTACLE = "garment.art-on-obstacle";
    /// Move the art away from it.
    ART_MOVE = "garment.art-move";
    /// Something raised lies on every platen that holds the art.
    PLATEN_ON_OBSTACLE = "garment.platen-on-obstacle";
    /// A smaller platen or a pillow of the size named would do.
    PLATEN_PILLOW = "garment.platen-pillow";
    /// How one gets between shell and lining is not known.
    LINING_ASK = "garment.lining-ask";
    /// Look inside for a pocket, hem or factory opening.
    LINING_LOOK = "garment.lining-look";
    /// Shell, wadding and lining are quilted together.
    QUILTED_THROUGH = "garment.quilted-through";
    /// Another garment, or a badge sewn on.
    QUILTED_REMEDY = "garment.quilted-remedy";
    /// No press holds the platen that is needed.
    NO_PRESS = "garment.no-press";
    /// Mount the platen on a press.
    NO_PRESS_REMEDY = "garment.no-press-remedy";
    /// The garment's shape is not known for this position.
    NO_SHAPE = "garment.no-shape";

    /// Why: the usual platen of this class clears everything.
    WHY_PLATEN = "garment.why-platen";
    /// Why: garment slipped over, one layer pressed.
    WHY_SLIP = "garment.why-slip";
    /// Why: pillow between the seams.
    WHY_PILLOW = "garment.why-pillow";
    /// Why: front opened, one panel laid.
    WHY_OPEN = "garment.why-open";
    /// Why: between shell and lining.
    WHY_BETWEEN = "garment.why-between";
    /// Why: lining unpicked.
    WHY_UNPICK = "garment.why-unpick";
    /// Why: on its own form.
    WHY_FORM = "garment.why-form";
    /// Why: the platen was moved so that things hang over its edge.
    WHY_SHIFTED = "garment.why-shifted";
    /// Why: the garment lies across the platen.
    WHY_TURNED = "garment.why-turned";
    /// Why: loose things are held out of the heat.
    WHY_PULLED = "garment.why-pulled";
    /// Why: an earlier print lies under the platen.
    WHY_EARLIER = "garment.why-earlier";
    /// Refused: platen alone.
    NOT_PLATEN = "garment.not-platen";
    /// Refused: slipping over.
    NOT_SLIP = "garment.not-slip";
    /// Refused: pillow.
    NOT_PILLOW = "garment.not-pillow";
    /// Refused: opening the front.
    NOT_OPEN = "garment.not-open";
    /// Refused: between the layers.
    NOT_BETWEEN = "garment.not-between";
    /// Would change: another platen or pillow in the shop.
    CHANGED_BY_PLATEN = "garment.changed-by-platen";
    /// Would change: moving the art.
    CHANGED_BY_MOVE = "garment.changed-by-move";

    /// Isolation: platen alone.
    ISOLATION_PLATEN = "garment.isolation-platen";
    /// Isolation: slipped over.
    ISOLATION_SLIP = "garment.isolation-slip";
    /// Isolation: pillow.
    ISOLATION_PILLOW = "garment.isolation-pillow";
    /// Isolation: front opened.
    ISOLATION_OPEN = "garment.isolation-open";
    /// Isolation: between shell and lining.
    ISOLATION_BETWEEN = "garment.isolation-between";
    /// Isolation: lining unpicked.
    ISOLATION_UNPICK = "garment.isolation-unpick";
    /// Loading: laid flat.
    LOAD_FLAT = "garment.load-flat";
    /// Loading: slipped over.
    LOAD_SLIP = "garment.load-slip";
    /// Loading: opened, one panel laid.
    LOAD_OPEN = "garment.load-open";
    /// Loading: platen between shell and lining.
    LOAD_BETWEEN = "garment.load-between";
    /// Loading: on the cap platen or sock form.
    LOAD_FORM = "garment.load-form";

    /// Children's sleepwear.
    HALT_SLEEPWEAR = "garment.halt-sleepwear";
    /// Cord in a child's hood or neck.
    HALT_HOOD_CORD = "garment.halt-hood-cord";
    /// Cord at a child's waist or hem.
    HALT_WAIST_CORD = "garment.halt-waist-cord";
    /// Any product for a child.
    HALT_CHILD = "garment.halt-child";
    /// Bib.
    HALT_BIB = "garment.halt-bib";
    /// Plastisol on bibs and infants' sleepwear.
    HALT_PHTHALATES = "garment.halt-phthalates";
    /// High-visibility wear.
    HALT_HIGH_VISIBILITY = "garment.halt-high-visibility";
    /// Flame-resistant wear.
    HALT_FLAME_RESISTANT = "garment.halt-flame-resistant";
    /// Other protective wear.
    HALT_PROTECTIVE = "garment.halt-protective";
    /// Flame-retardant or antimicrobial finish.
    HALT_TREATED = "garment.halt-treated";
    /// Face cover for a child under three.
    HALT_FACE_COVER = "garment.halt-face-cover";
    /// What to do: a written answer with a name.
    HALT_ANSWER = "garment.halt-answer";
    /// What to do: the maker's written consent.
    HALT_CONSENT = "garment.halt-consent";
    /// What to do: test report of blank and transfer.
    HALT_REPORT = "garment.halt-report";
    /// What to do: refuse, or another garment.
    HALT_REFUSE = "garment.halt-refuse";
    /// Light or raised cloth may burn faster.
    NOTE_FLAMMABILITY = "garment.note-flammability";
    /// Ask the mill for its class.
    NOTE_FLAMMABILITY_REMEDY = "garment.note-flammability-remedy";
    /// Loose decoration near an infant.
    NOTE_SMALL_PARTS = "garment.note-small-parts";
    /// Choose a smooth transfer.
    NOTE_SMALL_PARTS_REMEDY = "garment.note-small-parts-remedy";
    /// A face cover is no protection.
    NOTE_FACE_COVER = "garment.note-face-cover";
    /// Make no claim.
    NOTE_FACE_COVER_REMEDY = "garment.note-face-cover-remedy";
    /// A print at the nape must not cover the label.
    NOTE_LABEL = "garment.note-label";
    /// Keep the care label readable.
    NOTE_LABEL_REMEDY = "garment.note-label-remedy";
    /// Clothing for consumers: ask for a declaration.
    NOTE_DECLARATION = "garment.note-declaration";
    /// Ask the supplier for it.
    NOTE_DECLARATION_REMEDY = "garment.note-declaration-remedy";

    /// Order of pressing: sublimation first.
    ORDER_SUBLIMATION = "garment.order-sublimation";
    /// Order of pressing: hotter before cooler.
    ORDER_HOTTER = "garment.order-hotter";
    /// Order of pressing: flock and puff last.
    ORDER_RAISED_LAST = "garment.order-raised-last";
    /// A later press is hotter than an earlier print bears.
    ORDER_TOO_HOT = "garment.order-too-hot";
    /// Keep it off the platen or choose another.
    ORDER_TOO_HOT_REMEDY = "garment.order-too-hot-remedy";
    /// A puff print would be pressed twice.
    ORDER_PUFF_TWICE = "garment.order-puff-twice";
    /// Keep it off the later platen.
    ORDER_PUFF_TWICE_REMEDY = "garment.order-puff-twice-remedy";

    /// Landmark: highest shoulder point.
    AT_HPS = "garment.at-hps";
    /// Landmark: centre line.
    AT_CENTRE_LINE = "garment.at-centre-line";
    /// Landmark: collar seam.
    AT_COLLAR_SEAM = "garment.at-collar-seam";
    /// Landmark: hem.
    AT_HEM = "garment.at-hem";
    /// Landmark: side seam.
    AT_SIDE_SEAM = "garment.at-side-seam";
    /// Landmark: yoke seam.
    AT_YOKE = "garment.at-yoke";
    /// Landmark: fall of the hood.
    AT_HOOD_FALL = "garment.at-hood-fall";
    /// Landmark: top of the pocket.
    AT_POCKET_TOP = "garment.at-pocket-top";
    /// Landmark: side edge of the pocket.
    AT_POCKET_SIDE = "garment.at-pocket-side";
    /// Landmark: edge of the placket.
    AT_PLACKET = "garment.at-placket";
    /// Landmark: edge of the zip tape.
    AT_ZIP = "garment.at-zip";
    /// Landmark: edge of the storm flap.
    AT_FLAP = "garment.at-flap";
    /// Landmark: shoulder seam.
    AT_SHOULDER_SEAM = "garment.at-shoulder-seam";
    /// Landmark: hem of the sleeve.
    AT_SLEEVE_HEM = "garment.at-sleeve-hem";
    /// Landmark: fold of the sleeve.
    AT_FOLD = "garment.at-fold";
    /// Landmark: seam of the cuff.
    AT_CUFF = "garment.at-cuff";
    /// Landmark: waistband seam.
    AT_WAISTBAND = "garment.at-waistband";
    /// Landmark: seam of the hood's edge.
    AT_HOOD_EDGE = "garment.at-hood-edge";
    /// Landmark: neck seam of the hood.
    AT_NECK_SEAM = "garment.at-neck-seam";
    /// Landmark: visor seam.
    AT_VISOR = "garment.at-visor";
    /// Landmark: top edge.
    AT_TOP_EDGE = "garment.at-top-edge";
    /// Landmark: side edge.
    AT_SIDE_EDGE = "garment.at-side-edge";
    /// The top of the art.
    ART_TOP = "garment.art-top";
    /// The bottom of the art.
    ART_BOTTOM = "garment.art-bottom";
    /// The middle of the art.
    ART_CENTRE = "garment.art-centre";
    /// The art's edge nearest the landmark.
    ART_SIDE = "garment.art-side";
    /// The drawing's reminder of sides.
    WEARERS_LEFT = "garment.wearers-left";

    /// Measure: chest width.
    MEASURE_CHEST_WIDTH = "garment.measure-chest-width";
    /// How to take the chest width with a tape.
    TAKE_CHEST_WIDTH = "garment.take-chest-width";
    /// Measure: body length.
    MEASURE_BODY_LENGTH = "garment.measure-body-length";
    /// How to take the body length with a tape.
    TAKE_BODY_LENGTH = "garment.take-body-length";
    /// Measure: hem width.
    MEASURE_HEM_WIDTH = "garment.measure-hem-width";
    /// How to take the hem width with a tape.
    TAKE_HEM_WIDTH = "garment.take-hem-width";
    /// Measure: shoulder width.
    MEASURE_SHOULDER_WIDTH = "garment.measure-shoulder-width";
    /// How to take the shoulder width with a tape.
    TAKE_SHOULDER_WIDTH = "garment.take-shoulder-width";
    /// Measure: neck width.
    MEASURE_NECK_WIDTH = "garment.measure-neck-width";
    /// How to take the neck width with a tape.
    TAKE_NECK_WIDTH = "garment.take-neck-width";
    /// Measure: neck depth.
    MEASURE_NECK_DEPTH = "garment.measure-neck-depth";
    /// How to take the neck depth with a tape.
    TAKE_NECK_DEPTH = "garment.take-neck-depth";
    /// Measure: sleeve length.
    MEASURE_SLEEVE_LENGTH = "garment.measure-sleeve-length";
    /// How to take the sleeve length with a tape.
    TAKE_SLEEVE_LENGTH = "garment.take-sleeve-length";
    /// Measure: sleeve width.
    MEASURE_SLEEVE_WIDTH = "garment.measure-sleeve-width";
    /// How to take the sleeve width with a tape.
    TAKE_SLEEVE_WIDTH = "garment.take-sleeve-width";
    /// Measure: pocket width.
    MEASURE_POCKET_WIDTH = "garment.measure-pocket-width";
    /// How to take the pocket width with a tape.
    TAKE_POCKET_WIDTH = "garment.take-pocket-width";
    /// Measure: pocket height.
    MEASURE_POCKET_HEIGHT = "garment.measure-pocket-height";
    /// How to take the pocket height with a tape.
    TAKE_POCKET_HEIGHT = "garment.take-pocket-height";
    /// Measure: pocket drop.
    MEASURE_POCKET_DROP = "garment.measure-pocket-drop";
    /// How to take the pocket drop with a tape.
    TAKE_POCKET_DROP = "garment.take-pocket-drop";
    /// Measure: bib width.
    MEASURE_BIB_WIDTH = "garment.measure-bib-width";
    /// How to take the bib width with a tape.
    TAKE_BIB_WIDTH = "garment.take-bib-width";
    /// Measure: bib height.
    MEASURE_BIB_HEIGHT = "garment.measure-bib-height";
    /// How to take the bib height with a tape.
    TAKE_BIB_HEIGHT = "garment.take-bib-height";
    /// Measure: rib height.
    MEASURE_RIB_HEIGHT = "garment.measure-rib-height";
    /// How to take the rib height with a tape.
    TAKE_RIB_HEIGHT = "garment.take-rib-height";
    /// Measure: hood height.
    MEASURE_HOOD_HEIGHT = "garment.measure-hood-height";
    /// How to take the hood height with a tape.
    TAKE_HOOD_HEIGHT = "garment.take-hood-height";
    /// Measure: hood width.
    MEASURE_HOOD_WIDTH = "garment.measure-hood-width";
    /// How to take the hood width with a tape.
    TAKE_HOOD_WIDTH = "garment.take-hood-width";
    /// Measure: placket length.
    MEASURE_PLACKET_LENGTH = "garment.measure-placket-length";
    /// How to take the placket length with a tape.
    TAKE_PLACKET_LENGTH = "garment.take-placket-length";
    /// Measure: gusset depth.
    MEASURE_GUSSET_DEPTH = "garment.measure-gusset-depth";
    /// How to take the gusset depth with a tape.
    TAKE_GUSSET_DEPTH = "garment.take-gusset-depth";
    /// Measure: handle drop.
    MEASURE_HANDLE_DROP = "garment.measure-handle-drop";
    /// How to take the handle drop with a tape.
    TAKE_HANDLE_DROP = "garment.take-handle-drop";
    /// Measure: handle spacing.
    MEASURE_HANDLE_SPACING = "garment.measure-handle-spacing";
    /// How to take the handle spacing with a tape.
    TAKE_HANDLE_SPACING = "garment.take-handle-spacing";
    /// Measure: leg length.
    MEASURE_LEG_LENGTH = "garment.measure-leg-length";
    /// How to take the leg length with a tape.
    TAKE_LEG_LENGTH = "garment.take-leg-length";
    /// Measure: leg width.
    MEASURE_LEG_WIDTH = "garment.measure-leg-width";
    /// How to take the leg width with a tape.
    TAKE_LEG_WIDTH = "garment.take-leg-width";
    /// Measure: crown height.
    MEASURE_CROWN_HEIGHT = "garment.measure-crown-height";
    /// How to take the crown height with a tape.
    TAKE_CROWN_HEIGHT = "garment.take-crown-height";
    /// Measure: crown width.
    MEASURE_CROWN_WIDTH = "garment.measure-crown-width";
    /// How to take the crown width with a tape.
    TAKE_CROWN_WIDTH = "garment.take-crown-width";
    /// Obstacle: seam.
    OBSTACLE_SEAM = "garment.obstacle-seam";
    /// Obstacle: collar.
    OBSTACLE_COLLAR = "garment.obstacle-collar";
    /// Obstacle: placket.
    OBSTACLE_PLACKET = "garment.obstacle-placket";
    /// Obstacle: button.
    OBSTACLE_BUTTON = "garment.obstacle-button";
    /// Obstacle: snap.
    OBSTACLE_SNAP = "garment.obstacle-snap";
    /// Obstacle: zip.
    OBSTACLE_ZIP = "garment.obstacle-zip";
    /// Obstacle: flap.
    OBSTACLE_FLAP = "garment.obstacle-flap";
    /// Obstacle: pocket.
    OBSTACLE_POCKET = "garment.obstacle-pocket";
    /// Obstacle: cord.
    OBSTACLE_CORD = "garment.obstacle-cord";
    /// Obstacle: rib.
    OBSTACLE_RIB = "garment.obstacle-rib";
    /// Obstacle: elastic.
    OBSTACLE_ELASTIC = "garment.obstacle-elastic";
    /// Obstacle: mesh panel.
    OBSTACLE_MESH_PANEL = "garment.obstacle-mesh-panel";
    /// Obstacle: quilting.
    OBSTACLE_QUILTING = "garment.obstacle-quilting";
    /// Obstacle: seam tape.
    OBSTACLE_SEAM_TAPE = "garment.obstacle-seam-tape";
    /// Obstacle: handle.
    OBSTACLE_HANDLE = "garment.obstacle-handle";
    /// Obstacle: gusset.
    OBSTACLE_GUSSET = "garment.obstacle-gusset";
    /// Obstacle: rivet.
    OBSTACLE_RIVET = "garment.obstacle-rivet";
    /// Obstacle: label.
    OBSTACLE_LABEL = "garment.obstacle-label";
    /// Obstacle: hem edge.
    OBSTACLE_HEM_EDGE = "garment.obstacle-hem-edge";
    /// Obstacle: strap.
    OBSTACLE_STRAP = "garment.obstacle-strap";
    /// Obstacle: binding.
    OBSTACLE_BINDING = "garment.obstacle-binding";
    /// Obstacle: hood.
    OBSTACLE_HOOD = "garment.obstacle-hood";
    /// Obstacle: hook tape.
    OBSTACLE_HOOK_TAPE = "garment.obstacle-hook-tape";
    /// Obstacle: breathing zone.
    OBSTACLE_BREATHING_ZONE = "garment.obstacle-breathing-zone";
    /// Obstacle: an earlier print.
    OBSTACLE_PRINT = "garment.obstacle-print";
    /// Obstacle: the lining.
    OBSTACLE_LINING = "garment.obstacle-lining";
    /// Obstacle: the edge of the panel.
    OBSTACLE_EDGE = "garment.obstacle-edge";
    /// Position: left chest.
    POSITION_LEFT_CHEST = "garment.position-left-chest";
    /// Position: right chest.
    POSITION_RIGHT_CHEST = "garment.position-right-chest";
    /// Position: centre chest.
    POSITION_CENTRE_CHEST = "garment.position-centre-chest";
    /// Position: full front.
    POSITION_FULL_FRONT = "garment.position-full-front";
    /// Position: oversize front.
    POSITION_OVERSIZE_FRONT = "garment.position-oversize-front";
    /// Position: nape.
    POSITION_NAPE = "garment.position-nape";
    /// Position: upper back.
    POSITION_UPPER_BACK = "garment.position-upper-back";
    /// Position: full back.
    POSITION_FULL_BACK = "garment.position-full-back";
    /// Position: short sleeve left.
    POSITION_SHORT_SLEEVE_LEFT = "garment.position-short-sleeve-left";
    /// Position: short sleeve right.
    POSITION_SHORT_SLEEVE_RIGHT = "garment.position-short-sleeve-right";
    /// Position: long sleeve left.
    POSITION_LONG_SLEEVE_LEFT = "garment.position-long-sleeve-left";
    /// Position: long sleeve right.
    POSITION_LONG_SLEEVE_RIGHT = "garment.position-long-sleeve-right";
    /// Position: cuff left.
    POSITION_CUFF_LEFT = "garment.position-cuff-left";
    /// Position: cuff right.
    POSITION_CUFF_RIGHT = "garment.position-cuff-right";
    /// Position: hood left.
    POSITION_HOOD_LEFT = "garment.position-hood-left";
    /// Position: hood right.
    POSITION_HOOD_RIGHT = "garment.position-hood-right";
    /// Position: on pocket.
    POSITION_ON_POCKET = "garment.position-on-pocket";
    /// Position: above pocket.
    POSITION_ABOVE_POCKET = "garment.position-above-pocket";
    /// Position: hem left.
    POSITION_HEM_LEFT = "garment.position-hem-left";
    /// Position: hem right.
    POSITION_HEM_RIGHT = "garment.position-hem-right";
    /// Position: leg left.
    POSITION_LEG_LEFT = "garment.position-leg-left";
    /// Position: leg right.
    POSITION_LEG_RIGHT = "garment.position-leg-right";
    /// Position: leg cuff left.
    POSITION_LEG_CUFF_LEFT = "garment.position-leg-cuff-left";
    /// Position: leg cuff right.
    POSITION_LEG_CUFF_RIGHT = "garment.position-leg-cuff-right";
    /// Position: shirt left chest.
    POSITION_SHIRT_LEFT_CHEST = "garment.position-shirt-left-chest";
    /// Position: zip front left.
    POSITION_ZIP_FRONT_LEFT = "garment.position-zip-front-left";
    /// Position: zip front right.
    POSITION_ZIP_FRONT_RIGHT = "garment.position-zip-front-right";
    /// Position: cap front.
    POSITION_CAP_FRONT = "garment.position-cap-front";
    /// Position: tote.
    POSITION_TOTE = "garment.position-tote";
    /// Position: apron bib.
    POSITION_APRON_BIB = "garment.position-apron-bib";
    /// Position: infant bib.
    POSITION_INFANT_BIB = "garment.position-infant-bib";
    /// Position: face cover left.
    POSITION_FACE_COVER_LEFT = "garment.position-face-cover-left";
    /// Position: face cover right.
    POSITION_FACE_COVER_RIGHT = "garment.position-face-cover-right";
    /// Position: sock.
    POSITION_SOCK = "garment.position-sock";

    /// One art for all sizes.
    SIZING_ONE = "garment.sizing-one";
    /// One art for all adult sizes.
    SIZING_ADULTS = "garment.sizing-adults";
    /// Art by size band.
    SIZING_BANDS = "garment.sizing-bands";
    /// The table of usual widths.
    SIZING_TABLE = "garment.sizing-table";
}
