//! Amounts that contradict each other or cannot be counted: more rise than length, runs of no length, or of more than a house has.

use super::Facts;
use crate::check::findings::job::{LongRun, RiseOverLength, ZeroLength};
use crate::finding::{Sink, excerpt};
use crate::input::Place as Whereabouts;
use crate::model::{Run, Status};
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
        } else if status.is_of_this_job() {
            long(run, sink);
        }
    }
}

/// A run in a house is hardly longer, ft; lines in the ground may be. Common practice.
const LONG_IN_HOUSE: u32 = 100;

/// A run longer than a house has them. Whoever leaves out the marks of 12'6" writes 126.
fn long(run: &Run, sink: &mut Sink) {
    let in_ground = matches!(run.place.get(), Some(Whereabouts::Buried | Whereabouts::InSlab));
    let (Some(length), Some(place)) = (run.length_ft.value, &run.length_ft.cell) else { return };
    if in_ground || length <= Decimal::from(LONG_IN_HOUSE) {
        return;
    }
    let found = plain(length);
    let cut = |digits: usize| {
        let (feet, inches) = found.split_at_checked(found.len().checked_sub(digits)?)?;
        let is_it = inches.parse::<u8>().is_ok_and(|inches| (1..12).contains(&inches)) && !inches.starts_with('0');
        (is_it && !feet.is_empty()).then(|| format!("{feet}'{inches}\""))
    };
    let perhaps = cut(2).filter(|_| found.len() > 3).or_else(|| cut(1));
    sink.at(place, LongRun { run: excerpt(&run.name.value), length: found.clone(), most: LONG_IN_HOUSE, perhaps });
}

fn plain(number: Decimal) -> String {
    number.normalize().to_string()
}
