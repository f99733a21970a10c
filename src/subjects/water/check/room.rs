//! The room that devices of this job take.

use crate::finding::Sink;
use crate::subjects::water::findings::counted::DeviceTakesRoom;
use crate::view::Facts;

pub(super) fn told(facts: &Facts, sink: &mut Sink) {
    let set = || facts.job.devices.iter().filter(|device| device.status.get().unwrap_or_default().is_of_this_job());
    for row in facts.rules.device_room() {
        let of_kind: Vec<_> = set().filter(|device| *device.kind.value == *row.device).collect();
        let Some(first) = of_kind.first() else { continue };
        let devices = of_kind.iter().map(|device| device.name.value.to_string()).collect();
        let (kind, room, source) = (row.device.to_string(), row.room.to_string(), row.origin.words().to_string());
        sink.at(&first.kind.place, DeviceTakesRoom { kind, devices, room, source });
    }
}
