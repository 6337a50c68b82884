//! How far things stand above the cloth, mm. Common practice, no source; a
//! seam's height is about the layers folded into it: a tee of 0.5 mm cloth has
//! three more layers (1.5 mm) in its seam, fleece of 1.8 mm pressed to 1.2 three
//! times that.

use trade::GarmentClass;

/// Step of a plain seam of the class.
pub(crate) fn seam(class: GarmentClass) -> f64 {
    match class {
        GarmentClass::Hoodie | GarmentClass::Sweatshirt => 3.6,
        GarmentClass::Softshell => 2.4,
        GarmentClass::DressShirt => 0.9,
        GarmentClass::ShellJacket | GarmentClass::RainShell => 0.8,
        GarmentClass::PerformanceTee => 1.2,
        _ => 1.5,
    }
}

/// A pocket's edge: one more layer, its hem and its stitching.
pub(crate) fn pocket(class: GarmentClass) -> f64 {
    match class {
        GarmentClass::Hoodie | GarmentClass::Sweatshirt => 3.0,
        GarmentClass::Softshell => 2.5,
        GarmentClass::DressShirt => 0.9,
        GarmentClass::ShellJacket | GarmentClass::RainShell => 1.5,
        _ => 1.5,
    }
}

/// A turned hem, one or two more layers.
pub(crate) fn hem(class: GarmentClass) -> f64 {
    match class {
        GarmentClass::Hoodie | GarmentClass::Sweatshirt | GarmentClass::Softshell => 2.4,
        GarmentClass::ShellJacket | GarmentClass::RainShell => 0.6,
        // An apron's hem is turned once and pressed flat.
        GarmentClass::Apron => 0.5,
        GarmentClass::Tote => 1.2,
        GarmentClass::DressShirt => 0.6,
        // A knit hem is turned once and cover-stitched: one more layer.
        _ => 0.7,
    }
}

/// Knit collar or neck seam with its rib.
pub(crate) fn collar(class: GarmentClass) -> f64 {
    match class {
        GarmentClass::Hoodie | GarmentClass::Sweatshirt | GarmentClass::Softshell => 4.8,
        _ => 2.0,
    }
}

/// Coil zip with tape and slider track.
pub(crate) const ZIP: f64 = 2.5;
/// Shirt button on its placket.
pub(crate) const BUTTON: f64 = 3.5;
/// Snap or press stud.
pub(crate) const SNAP: f64 = 5.0;
/// Rivet.
pub(crate) const RIVET: f64 = 3.0;
/// Cord, flat or round, with its end.
pub(crate) const CORD: f64 = 5.0;
/// Placket: three layers and interlining.
pub(crate) const PLACKET: f64 = 1.6;
/// Rib folded double.
pub(crate) const RIB: f64 = 2.0;
/// Gathered elastic.
pub(crate) const ELASTIC: f64 = 3.0;
/// Handle webbing on the bag, with its stitched box.
pub(crate) const HANDLE: f64 = 3.0;
/// Woven label.
pub(crate) const LABEL: f64 = 0.6;
/// Seam tape.
pub(crate) const TAPE: f64 = 0.2;
/// A line of quilting below the wadding beside it.
pub(crate) const QUILT: f64 = 3.0;
/// Storm flap.
pub(crate) const FLAP: f64 = 1.8;
/// Binding round an edge.
pub(crate) const BINDING: f64 = 1.5;
/// Straps, sewn with a box.
pub(crate) const STRAP: f64 = 2.5;
/// Hook-and-loop tape.
pub(crate) const HOOK_TAPE: f64 = 2.5;
/// Hood lying over the back, two layers.
pub(crate) const HOOD: f64 = 4.0;
