//! What water each run carries: hot when a heater is upstream, soft when a softener is. Nobody types it.

use super::Context;

/// What has been done to the water by the time it is in a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Water {
    pub hot: bool,
    pub soft: bool,
}

impl Water {
    /// `hot, soft`, `cold, hard` and so on.
    pub fn words(self) -> &'static str {
        match (self.hot, self.soft) {
            (true, true) => "hot, soft",
            (true, false) => "hot, hard",
            (false, true) => "cold, soft",
            (false, false) => "cold, hard",
        }
    }
}

/// The kinds of device that heat water.
pub(crate) const HEATERS: &[&str] = &["tank heater", "tankless heater"];

/// The water in every run, by position. A device stands at the start of its run, so the run itself carries what the
/// device makes.
pub(crate) fn waters(context: &Context) -> Vec<Water> {
    let network = context.network;
    let mut own = vec![Water::default(); network.len()];
    for device in context.job.devices.iter().filter(|d| d.status.get().unwrap_or_default().carries_water()) {
        if let Some(position) = network.find(&device.on_run.value) {
            own[position].hot |= HEATERS.contains(&&*device.kind.value);
            own[position].soft |= &*device.kind.value == "softener";
        }
    }
    // Parents stand before their children, so one pass hands everything down.
    for position in 0..network.len() {
        if let Some(parent) = network.parent[position] {
            let above = own[parent];
            own[position].hot |= above.hot;
            own[position].soft |= above.soft;
        }
    }
    own
}
