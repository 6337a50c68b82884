//! Labels of inputs whose name alone would not say enough.

/// Name and label; names not listed are shown with spaces for hyphens.
pub(crate) const LABELS: &[(&str, &str)] = &[
    ("activation", "Adhesive begins to flow at"),
    ("bears", "Bears a later press of up to"),
    ("bond-end", "Bond line at the end of the press"),
    ("cloth-limit", "Limit of the cloth"),
    ("cloth-peak", "Hottest cloth"),
    ("count", "Number"),
    ("cut-off", "Cut-off"),
    ("dwell", "Time closed"),
    ("dwell-high", "Longest the maker allows"),
    ("dwell-low", "Shortest the maker allows"),
    ("labour", "Labour an hour"),
    ("overhead", "Overhead an hour"),
    ("plate", "Press setting"),
    ("production-days", "Working days to make"),
    ("share", "Share"),
    ("spacing", "Distance between pieces"),
    ("stretch", "Stretch"),
    ("temperature", "Press temperature"),
    ("transit-days", "Working days under way"),
];
