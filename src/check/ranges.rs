//! Every number of the job against the range that its column or setting declares: what cannot be meant stops, what hardly
//! anybody means is asked about. And halves of what has none.

use super::Facts;
use crate::check::findings::values::{NotWhole, OutOfRange, UnlikelyValue};
use crate::finding::Sink;
use crate::model::{Fit, Range, Scale, SettingValue};
use crate::place::Place;
use rust_decimal::Decimal;

/// The numbers of every row.
pub(super) fn rows(facts: &Facts, sink: &mut Sink) {
    for row in facts.job.rows() {
        for (column, cell) in row.sheet().columns.iter().zip(row.cells()) {
            if let (Some((number, range, scale)), Some(place)) = (cell.ranged(column), cell.place()) {
                judge(column.name, scale, &range, (number, place), sink);
                if column.is_whole && !number.fract().is_zero() {
                    sink.at(place, NotWhole { column: column.name, found: number.normalize().to_string() });
                }
            }
        }
    }
}

/// The numbers of the Job sheet.
pub(super) fn settings(facts: &Facts, sink: &mut Sink) {
    for (setting, field) in &facts.job.settings {
        let spec = setting.spec();
        let (Some(SettingValue::Number(number) | SettingValue::Date(number)), Some(range)) =
            (field.value.as_ref(), &spec.range)
        else {
            continue;
        };
        if let Some(place) = &field.cell {
            judge(spec.name, spec.scale(), range, (*number, place), sink);
        }
    }
}

fn judge(column: &'static str, scale: Scale, range: &Range, (number, place): (Decimal, &Place), sink: &mut Sink) {
    let fit = range.fit(number);
    if fit == Fit::Usual {
        return;
    }
    let (found, usual) = (scale.shown(number), range.usual(scale));
    match fit {
        Fit::Impossible => sink.at(place, OutOfRange { column, found, possible: range.possible(scale), usual }),
        Fit::Unlikely | Fit::Usual => sink.at(place, UnlikelyValue { column, found, usual }),
    }
}
