//! Laws of the trade over jobs that a program thinks up.

mod loads;
mod pressure;
