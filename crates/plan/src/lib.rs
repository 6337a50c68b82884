//! From orders to a plan: which transfer, where, how pressed, laid out on what,
//! bought when, made when, for how much – and why.
//!
//! In: a checked [`trade::Shop`], [`Order`]s, their art as read, [`Settings`]
//! with today's date and a seed. Out: a [`Plan`] whose every figure carries its
//! reasons, and findings. Pure: no file, clock or chance but what is passed in.
//!
//! Reading order: `order` (what is asked), `sized` (art that grows with the
//! garments), `result` (what comes out), then
//! `planning`, which joins the stages `draft`, `offer`, `choose`, `layout`,
//! `steps`, `blanks`, `buy`, `dates`, `shortage`, `timeline`, `charge` in that order.

mod arts;
mod blanks;
mod bulk;
mod buy;
mod calendar;
mod charge;
mod choose;
pub mod codes;
mod crew;
mod dates;
mod difference;
mod draft;
mod films;
pub mod form;
mod layout;
mod locks;
mod offer;
mod order;
mod planning;
mod press_heat;
mod pressing;
mod price;
mod result;
mod shapes;
mod shelf;
mod shortage;
mod sized;
mod steps;
mod timeline;
pub mod typed;

pub use arts::Arts;
pub use difference::difference;
pub use locks::lying_fault;
pub use offer::kind_limits;
pub use order::{Decision, Line, Locked, Order, Print, SizeCount, StatedColour, Way};
pub use planning::{Settings, plan};
pub use press_heat::press_question;
pub use result::{
    BatchOf, BreakEven, BreakEvenPoint, Candidate, CardStep, Choice, Cooldown, CostItem, Dates, FilmChoice, FilmStack,
    Fit, Goods, HeatCard, HeatWindow, HeatedAgain, Landed, LandedPoint, Leeway, LinePlan, LinePrice, LineState,
    OrderPlan, OrderPrice, Placement, Plan, Pool, PoolDesign, PoolStock, PoolUse, PressCard, PrintPlan, Purchase,
    PurchaseItem, Rung, RushOffer, SecondDelivery, SelectionCost, SetPoint, Stacked, StackedFilm, Stuck, Timeline,
    UnderLater, WayLine, WayOffer,
};
pub use shelf::ShelfTake;
pub use sized::sized;
