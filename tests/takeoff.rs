//! The take-off: small layouts counted by hand, laws of counting over jobs that a program thinks up, published figures, and
//! a finished bid changed by hand.

mod support;

#[path = "takeoff/counted.rs"]
mod counted;
#[path = "takeoff/findings.rs"]
mod findings;
#[path = "takeoff/layouts.rs"]
mod layouts;
#[path = "takeoff/live.rs"]
mod live;
#[path = "takeoff/published.rs"]
mod published;
#[path = "takeoff/rings.rs"]
mod rings;
#[path = "takeoff/tees.rs"]
mod tees;
