//! Systems that a heater's hot water cannot go back out of: what closes them, and whether anything takes up what it expands.

use crate::model::{Device, Setting, Size, fold};
use crate::view::View;

/// Devices that water cannot go back through.
const CLOSING: &[&str] = &["check valve", "double check valve", "backflow preventer", "regulator"];
/// What takes it up.
pub(crate) const TANK: &str = "expansion tank";

/// The tank that the job's settings put in, where Devices lists none.
pub(crate) fn tank_size() -> Option<Size> {
    Size::from_sixteenths(12)
}

/// A tank heater behind something that closes its way back, and nothing on its side takes up what it expands.
pub(crate) struct Closed<'a> {
    pub heater: &'a Device,
    /// Of its run.
    pub position: usize,
    /// What closes the way, by its name.
    pub by: &'a Device,
    /// False for a meter, which may have a check in it.
    pub sure: bool,
    /// The job's settings put a tank in.
    pub tank: bool,
}

/// Every one of them.
pub(crate) fn closed<'a, R>(view: &View<'a, R>) -> Vec<Closed<'a>> {
    let (job, network) = (view.job, view.network);
    let asked = fold(&job.text(Setting::ExpansionControl)) != "aslisted";
    let heaters = job.devices.iter().filter(|device| &*device.kind.value == "tank heater");
    let of = |heater: &'a Device| {
        let position = network.find(&heater.on_run.value)?;
        if !heater.status.get().unwrap_or_default().carries_water() {
            return None;
        }
        // Above it, or before it in its own run.
        let upstream: Vec<(usize, &Device)> = network
            .path_up(position)
            .flat_map(|run| {
                let before = devices_on(view, run).take_while(move |device| device.row != heater.row);
                before.map(move |device| (run, device))
            })
            .collect();
        let closing = upstream.iter().find(|(_, device)| CLOSING.contains(&&*device.kind.value));
        let meter = upstream.iter().find(|(_, device)| &*device.kind.value == "meter");
        let (at, by) = *closing.or(meter)?;
        let controlled = (at..network.end[at]).any(|run| has_device(view, run, &[TANK]));
        let sure = closing.is_some();
        (!controlled).then_some(Closed { heater, position, by, sure, tank: asked && sure })
    };
    heaters.filter_map(of).collect()
}

/// Whether a device of one of these kinds is on the run once the job is done.
pub(crate) fn has_device<R>(view: &View<'_, R>, run: usize, kinds: &[&str]) -> bool {
    devices_on(view, run).any(|device| kinds.contains(&&*device.kind.value))
}

fn devices_on<'a, R>(view: &View<'a, R>, run: usize) -> impl Iterator<Item = &'a Device> + use<'a, R> {
    let (job, network) = (view.job, view.network);
    job.devices.iter().filter(move |device| {
        device.status.get().unwrap_or_default().carries_water() && network.find(&device.on_run.value) == Some(run)
    })
}
