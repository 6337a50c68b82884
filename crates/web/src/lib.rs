//! The page a shop works in, served from the program itself.
//!
//! In: a kept shop ([`desk::kept`]), requests. Out: pages in words and pictures.
//! What is decided is decided in the rooms above; a handler here reads what was
//! asked, calls one deed and shows the answer. Every request passes the same
//! door ([`guard`]) before a handler sees it.
//!
//! Reading order: `serve` (listening), `app` (what all requests share),
//! `routes` (every address with who may use it), `guard` (the door), `ask` and
//! `answer` (a request and a response as handlers see them), `pages`.

mod answer;
mod app;
mod ask;
mod assets;
mod form;
pub mod guard;
mod pages;
mod parts;
mod plans;
mod routes;
mod serve;
mod tongue;

pub use app::{App, AppError, Clock};
pub use routes::{Need, Route, Verb, router, routes};
pub use serve::{Listening, ServeError, Serving, serve};
