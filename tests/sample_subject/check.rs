//! What is wrong with its rows before anything is figured.

use super::findings::ZoneNamedAsRun;
use super::input::Zone;
use crate::finding::{Sink, excerpt};
use crate::view::Facts;

pub(super) fn zones(facts: &Facts, sink: &mut Sink) {
    for zone in facts.job.rows_of::<Zone>().filter(|zone| facts.run(&zone.name.value).is_some()) {
        sink.at(&zone.name.place, ZoneNamedAsRun { zone: excerpt(&zone.name.value) });
    }
}
