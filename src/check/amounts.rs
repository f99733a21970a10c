//! Amounts that contradict each other or cannot be counted: more rise than length, runs of no length.

use super::Facts;
use crate::check::findings::job::{RiseOverLength, ZeroLength};
use crate::finding::{Sink, excerpt};
use crate::model::Status;
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
    }
}

fn plain(number: Decimal) -> String {
    number.normalize().to_string()
}
