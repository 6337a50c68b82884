//! Plane shapes in millimetres, x to the right, y up.
//!
//! In: points. Out: rings, outlines with holes, regions, and poses that move
//! them. Outer rings run counter-clockwise, holes clockwise. Simplifying and
//! offsetting always name their safe side.

mod boolean;
mod distance;
mod offset;
mod pose;
mod shape;

pub use boolean::{even_odd, intersect, subtract, union};
pub use distance::{Fault, outline_distance as distance, outline_fault};
pub use offset::{grow, grow_coarse, shrink, simplify_outward};
pub use pose::Pose;
pub use shape::{Bounds, Outline, OutlineError, Point, Region, Ring};

#[cfg(test)]
use distance::outline_distance;
