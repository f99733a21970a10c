//! Buying: what to order so that the take-off can be built, and how to cut it.
//!
//! In: needs, offers, what is on hand. Out: packs, sticks and coils, cut plans. Never: files, findings' words.

pub mod cutting;
pub mod purchase;
