//! What the heat room says.

/// One sentence a code.
pub const SENTENCES: &[(&str, &str)] = &[
    // What closes a window; phrases within a sentence.
    ("heat.closed-unset", "the adhesive gets less time or flow than the recipe gives it"),
    ("heat.closed-face", "the cloth under the transfer gets too hot"),
    ("heat.closed-bare", "the bare cloth beside the transfer gets too hot"),
    ("heat.closed-sheet", "the maker's sheet goes no further"),
    ("heat.closed-dwell", "it would take longer than the maker's sheet and a few seconds more"),
    ("heat.closed-never-longer", "this kind of transfer must not be pressed longer than its sheet says"),
    ("heat.closed-reference", "the recipe itself does not bring its own cloth to the activation temperature"),
    ("heat.closed-range", "the settings looked at end here"),
    // What to measure when it matters most.
    ("heat.measure-platen", "measure the platen's true temperature with a contact probe or strips"),
    (
        "heat.measure-upper",
        "lay a temperature strip at the bond line: how well platen, cover and carrier touch decides most",
    ),
    ("heat.measure-carrier", "measure the carrier's thickness with a gauge"),
    ("heat.measure-contact", "look at how well the adhesive lies on the cloth: pile, ribs and pressure decide it"),
    ("heat.measure-cloth", "measure the cloth's mass and its thickness under load"),
    ("heat.measure-water", "preheat, so that the water in the cloth no longer matters"),
    ("heat.measure-pad", "find out what the pad is made of, or fit it from strips at two dwells"),
    ("heat.measure-pad-warmth", "warm the pad by a few closed cycles before the first piece"),
    ("heat.measure-adhesive", "ask the maker at what temperature the adhesive flows"),
    // Where work cools; phrases within a sentence.
    ("heat.cool-pad", "left on the pad"),
    ("heat.cool-table", "on a wooden table"),
    ("heat.cool-insulated", "on felt or foam"),
    ("heat.cool-plate", "on a metal plate"),
    ("heat.cool-hung", "hung up or on an open rack"),
    ("heat.cool-fan", "hung before a fan"),
    ("heat.cool-pile", "in a pile, the slowest piece"),
    // Cautions.
    (
        "heat.caution-sheet",
        "Follow the maker's sheet; where this differs, the sheet wins. Try it first on a scrap or a hidden place, and judge after a day and a wash.",
    ),
    (
        "heat.caution-burn",
        "Platen, fresh carrier, zips, snaps and pad stay hot. Keep others away and never leave a heated press alone.",
    ),
    (
        "heat.caution-hot-peel",
        "A hot peel means touching a hot carrier: wear gloves, or keep a free corner off the plate. Bare hands only once it is hand-warm, and later still for metal parts.",
    ),
    ("heat.caution-steam", "A damp garment can blow hot steam as the press opens: preheat it, then stand clear."),
    ("heat.caution-fumes", "Air the room: films, adhesives and dyes give off vapour. See their safety data sheets."),
    (
        "heat.caution-pvc",
        "PVC gives off plasticiser and, overheated, an acid gas: stay at or below its maker's temperature, never press again to mend, and stop at a sharp smell.",
    ),
    ("heat.caution-ptfe", "Keep the cover sheet far below 260 °C."),
    (
        "heat.caution-ask",
        "Rubber, coated, membrane, heat-sensitive or flame-retardant garments and children's nightwear: ask the maker first.",
    ),
    (
        "heat.caution-rules",
        "Local rules on electrical safety, air, heat at work and labelling hold. These figures are advice, not a promise.",
    ),
];
