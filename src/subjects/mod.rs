//! The subjects of the trade, a folder each. A subject holds all that is its own, from its rule tables to its findings, and
//! shows the rest of the program its public result.

pub mod water;
