//! Laws of the trade over jobs that a program thinks up.

mod support;

#[path = "properties/loads.rs"]
mod loads;
#[path = "properties/pressure.rs"]
mod pressure;
