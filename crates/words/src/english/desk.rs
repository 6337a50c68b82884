//! What `desk` says.

/// Code and sentence.
pub const SENTENCES: &[(&str, &str)] = &[
    ("desk.art-outside", "{file} leads out of the order's folder."),
    ("desk.art-outside-remedy", "Copy the file itself into the order's folder."),
    ("desk.art-unreadable", "{file} cannot be read from the disk: {cause}."),
    ("desk.art-unreadable-remedy", "Check the file and your rights to it."),
    ("desk.reader-died", "The reader gave up on {file}."),
    ("desk.reader-died-remedy", "Save it anew from the program it was made with, or send it as PNG."),
    ("desk.stage-read", "reading art"),
    ("desk.stage-write", "writing files"),
    ("desk.stage-papers", "setting papers"),
    ("desk.wearers-left", "wearer's left"),
    ("desk.out-of-reach", "where it was put no press reaches it"),
    ("desk.nearest", "the nearest that works"),
    ("desk.place-window", "art"),
    ("desk.place-scale", "100 mm: measure before use; print at full size, not fitted to the page"),
    ("desk.timeline", "Work on the presses"),
    ("desk.due", "due"),
    ("desk.late", "late"),
    ("desk.set-up", "set-up"),
    ("desk.cooling", "cooling"),
    ("desk.finishing", "peeling and packing"),
];
