//! What `trade` says.

/// Code and sentence.
pub const SENTENCES: &[(&str, &str)] = &[
    (
        "trade.unusual-temperature",
        "{transfer}: the sheet “{sheet}” sets {temperature}; usual for this family is {low} to {high}.",
    ),
    (
        "trade.unusual-dwell",
        "{transfer}: the sheet “{sheet}” presses {dwell}; usual for this family is {low} to {high}.",
    ),
    ("trade.unusual-peel", "{transfer}: the sheet “{sheet}” asks for a {peel}; usual for this family is {usual}."),
    ("trade.unusual-pressure", "{transfer}: the sheet “{sheet}” asks for {pressure}, unusual for this family."),
    (
        "trade.unusual-presses",
        "{transfer}: the sheet “{sheet}” presses {presses time|times}; this family bears {usual}, more may flatten or blur it.",
    ),
    (
        "trade.unusual-no-cover",
        "{transfer}: the sheet “{sheet}” presses without a cover sheet; bare plates harm this family.",
    ),
    ("trade.look-at-sheet", "Look at the maker's sheet again; what is typed stands until you change it."),
    ("trade.no-recipe", "{transfer} has no recipe, so there are no press settings for it."),
    ("trade.type-recipe", "Ask the maker for the sheet and type its steps, or choose another transfer."),
    ("trade.stock-not-had", "{stock} has no supplier and none is on hand."),
    ("trade.name-supplier", "Name who sells it, or count what lies on the shelf."),
    ("trade.stock-unused", "No transfer uses {stock}."),
    ("trade.use-or-strike", "Name it under a transfer, or strike it from the stock file."),
    ("trade.no-cover-sheet", "{transfer} is pressed under a cover sheet, and the shop lists none."),
    ("trade.add-cover-sheet", "Add the cover sheet to the presses file."),
    ("trade.ceiling-fibre", "{fibre} bears a platen set to {limit}."),
    ("trade.ceiling-blend", "Cotton, polyester and viscose together bear a platen set to {limit}."),
    (
        "trade.ceiling-elastane",
        "With this much elastane the cloth bears a platen set to {limit}; above it loses its spring.",
    ),
    (
        "trade.ceiling-migration",
        "A print lighter than its polyester cloth ({dye}): above a platen set to {limit} the dye wanders into it, often days later.",
    ),
    (
        "trade.ceiling-migration-sublimated",
        "Polyester dyed by sublimation gives up its dye above a platen set to {limit}, and a lighter print shows it.",
    ),
    (
        "trade.caution-migration-blend",
        "A light print on a blend with polyester ({dye}): above a platen set to {limit} some dye may show. Hold a pressed sample for two or three days.",
    ),
    (
        "trade.caution-dye-unknown",
        "It is not known how this polyester is dyed; a lighter print is kept at a platen set to {limit}. Ask the garment's maker, or press and hold a sample.",
    ),
    (
        "trade.ceiling-repellent",
        "A water-repellent finish bears a platen set to {limit}; few adhesives hold on it. Try a drop of water first.",
    ),
    (
        "trade.ceiling-laminate",
        "A laminated or coated cloth bears a platen set to {limit}; never press over a taped seam.",
    ),
    ("trade.ceiling-pile", "A brushed or pile face is crushed above a platen set to {limit}."),
    (
        "trade.refuse-polypropylene",
        "Polypropylene flattens from about {limit} and melts soon after; it is not pressed.",
    ),
    ("trade.refuse-vinyl", "A vinyl coating blisters from about {limit}; it is not pressed."),
    ("trade.refuse-foam", "Foam blisters from about {limit}; it is not pressed."),
    (
        "trade.refuse-treated",
        "A flame-retardant or antimicrobial finish may be undone by a print; it is not pressed without its maker's word.",
    ),
    ("trade.caution-nylon-test", "Nylon shrinks and glazes; above {limit} try it first on a hidden place."),
    ("trade.caution-wool", "{fibre} felts and shines; above {limit} use a pad and the shortest time the maker allows."),
    ("trade.caution-acetate", "Acetate softens early; above {limit} expect shine. Best choose another cloth."),
    (
        "trade.refuse-sublimation-cloth",
        "Sublimation needs white or light cloth with at least 65 % polyester; this one is not.",
    ),
];
