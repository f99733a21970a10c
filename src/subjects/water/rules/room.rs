//! The room that a device takes.

use crate::rules::{page, rule};
use std::sync::Arc;

rule! {
    /// The room that a device takes: floor, height, what is kept clear; the maker's sheet goes before it.
    DeviceRoom "device_room" overridden by "Device room" {
        key device: Arc<str> = Device also ["kind"];
        value room: Arc<str> = Text;
    }
}

page! {
    DeviceRoomCells of DeviceRoom {
        device: "Device";
        room: "Clear space (maker's instructions govern)";
    }
}
