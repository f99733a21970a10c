//! Numbers that cannot be: more rise than length, half a fixture, packs of nothing.

use super::Facts;
use crate::finding::{Code, Sink, excerpt};
use crate::model::{Field, Setting, Status};
use rust_decimal::Decimal;

/// The coldest and hottest water that friction can be figured for, F: water is neither ice nor steam.
const COLDEST_F: Decimal = Decimal::from_parts(33, 0, 0, false, 0);
const HOTTEST_F: Decimal = Decimal::from_parts(180, 0, 0, false, 0);

pub(super) fn rows(facts: &Facts, sink: &mut Sink) {
    for run in &facts.job.runs {
        let status = run.status.get().unwrap_or_default();
        if let (Some(rise), Some(length)) = (run.rise_ft.value, run.length_ft.value)
            && rise.abs() > length
            && status != Status::Remove
            && let Some(place) = &run.rise_ft.cell
        {
            sink.at(place, Code::RiseOverLength { rise: plain(rise), length: plain(length) });
        } else if let (Some(length), Some(place)) = (run.length_ft.value, &run.length_ft.cell)
            && length.is_zero()
            && status.is_of_this_job()
        {
            sink.at(place, Code::ZeroLength { run: excerpt(&run.name.value) });
        }
        whole("Bends", &run.bends, sink);
    }
    for fixture in &facts.job.fixtures {
        whole("Count", &fixture.count, sink);
    }
    for device in &facts.job.devices {
        above_zero("Rated gpm", &device.rated_gpm, sink);
        whole("Ports", &device.ports, sink);
    }
    for price in &facts.job.prices {
        above_zero("Pack", &price.pack, sink);
        above_zero("From units", &price.from_units, sink);
        above_zero("Minimum units", &price.minimum_units, sink);
    }
}

pub(super) fn settings(facts: &Facts, sink: &mut Sink) {
    let job = facts.job;
    for (setting, field) in &job.settings {
        let (Some(place), Some(number)) = (&field.cell, job.number(*setting)) else { continue };
        if field.value.is_none() {
            continue;
        }
        let (column, found) = (setting.name(), plain(number));
        match setting {
            Setting::ColdWaterTemperature | Setting::HotWaterTemperature
                if number < COLDEST_F || number > HOTTEST_F =>
            {
                let (low, high) = (plain(COLDEST_F), format!("{} F", plain(HOTTEST_F)));
                sink.at(place, Code::OutOfRange { column, found, low, high });
            }
            Setting::Crew
            | Setting::OwnerHoursPerWeek
            | Setting::HiredHoursPerWeek
            | Setting::LaborFactor
            | Setting::StudSpacing
                if number <= Decimal::ZERO =>
            {
                sink.at(place, Code::ZeroValue { column });
            }
            _ => (),
        }
    }
}

fn whole(column: &'static str, field: &Field<Decimal>, sink: &mut Sink) {
    if let (Some(number), Some(place)) = (field.value, &field.cell)
        && !number.fract().is_zero()
    {
        sink.at(place, Code::NotWhole { column, found: plain(number) });
    }
}

/// What is divided by cannot be zero.
fn above_zero(column: &'static str, field: &Field<Decimal>, sink: &mut Sink) {
    if let (Some(number), Some(place)) = (field.value, &field.cell)
        && number.is_zero()
    {
        sink.at(place, Code::ZeroValue { column });
    }
}

fn plain(number: Decimal) -> String {
    number.normalize().to_string()
}
