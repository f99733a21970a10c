//! The commands, one file each: options in, files and a report out. Nothing here knows how options were typed.

pub mod start;
