//! Plane shapes in millimetres, x to the right, y up.
//!
//! In: points. Out: rings, outlines with holes, regions, and poses that move
//! them. Outer rings run counter-clockwise, holes clockwise. Simplifying and
//! offsetting always name their safe side.

mod pose;
mod shape;

pub use pose::Pose;
pub use shape::{Bounds, Outline, OutlineError, Point, Region, Ring};
