//! The room that devices of this job take.

use super::Context;
use crate::finding::Finding;
use crate::subjects::water::findings::counted::DeviceTakesRoom;

pub(super) fn find(context: &Context, findings: &mut Vec<Finding>) {
    let set = || context.job.devices.iter().filter(|device| device.status.get().unwrap_or_default().is_of_this_job());
    for row in context.rules.device_room() {
        let of_kind: Vec<_> = set().filter(|device| *device.kind.value == *row.device).collect();
        let Some(first) = of_kind.first() else { continue };
        let devices = of_kind.iter().map(|device| device.name.value.to_string()).collect();
        let (kind, room, source) = (row.device.to_string(), row.room.to_string(), row.origin.words().to_string());
        findings.push(Finding::at(&first.kind.place, DeviceTakesRoom { kind, devices, room, source }));
    }
}
