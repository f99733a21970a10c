//! Amounts that contradict each other or cannot be counted: more rise than length, half a fixture, runs of no length.

use super::Facts;
use crate::check::findings::job::{RiseOverLength, ZeroLength};
use crate::check::findings::values::NotWhole;
use crate::finding::{Sink, excerpt};
use crate::model::{Field, Status};
use rust_decimal::Decimal;

pub(super) fn rows(facts: &Facts, sink: &mut Sink) {
    for run in &facts.job.runs {
        let status = run.status.get().unwrap_or_default();
        if let (Some(rise), Some(length)) = (run.rise_ft.value, run.length_ft.value)
            && rise.abs() > length
            && status != Status::Remove
            && let Some(place) = &run.rise_ft.cell
        {
            sink.at(place, RiseOverLength { rise: plain(rise), length: plain(length) });
        } else if let (Some(length), Some(place)) = (run.length_ft.value, &run.length_ft.cell)
            && length.is_zero()
            && status.is_of_this_job()
        {
            sink.at(place, ZeroLength { run: excerpt(&run.name.value) });
        }
        whole("Bends", &run.bends, sink);
    }
    for fixture in &facts.job.fixtures {
        whole("Count", &fixture.count, sink);
    }
    for device in &facts.job.devices {
        whole("Ports", &device.ports, sink);
    }
}

fn whole(column: &'static str, field: &Field<Decimal>, sink: &mut Sink) {
    if let (Some(number), Some(place)) = (field.value, &field.cell)
        && !number.fract().is_zero()
    {
        sink.at(place, NotWhole { column, found: plain(number) });
    }
}

fn plain(number: Decimal) -> String {
    number.normalize().to_string()
}
