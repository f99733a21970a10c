//! Every number of the job against the range that its column or setting declares: what cannot be meant stops, what hardly
//! anybody means is asked about.

use super::Facts;
use crate::check::findings::values::{OutOfRange, UnlikelyValue};
use crate::finding::Sink;
use crate::model::columns::{
    DEVICES, DRAINS, FIXTURES, LABOR, ON_HAND, OTHER_COSTS, PAYMENT, PRICES, RECEIVED, RUNS, SUPPLIERS, Sheet, TERMS,
    TEST_LOG,
};
use crate::model::{Field, Fit, Range, Scale, SettingValue, Taxed};
use crate::place::Place;
use rust_decimal::Decimal;

/// The numbers of every row, by their columns. Nothing is left out: a test puts a number into each column that can hold
/// one.
pub(super) fn rows(facts: &Facts, sink: &mut Sink) {
    let job = facts.job;
    for row in &job.fixtures {
        let fields = [("Count", &row.count), ("Gpm", &row.gpm), ("Need psi", &row.need_psi)];
        each(&FIXTURES, &fields, sink);
    }
    for row in &job.runs {
        let (length, rise) = (("Length ft", &row.length_ft), ("Rise ft", &row.rise_ft));
        each(&RUNS, &[length, rise, ("Bends", &row.bends), ("Insulation in", &row.insulation_in)], sink);
    }
    for row in &job.devices {
        let (flow, loss) = (("Rated gpm", &row.rated_gpm), ("Loss psi", &row.loss_psi));
        each(&DEVICES, &[flow, loss, ("Set psi", &row.set_psi), ("Ports", &row.ports)], sink);
    }
    for row in &job.drains {
        each(&DRAINS, &[("Length ft", &row.length_ft), ("Slope in/ft", &row.slope_in_per_ft)], sink);
    }
    for row in &job.prices {
        let (pack, price, quoted) = (("Pack", &row.pack), ("Price", &row.price), ("Quoted", &row.quoted));
        let (from, least) = (("From units", &row.from_units), ("Minimum units", &row.minimum_units));
        each(&PRICES, &[pack, price, quoted, from, least, ("Bought", &row.bought), ("Tax", &rate(&row.tax))], sink);
    }
    for row in &job.suppliers {
        each(&SUPPLIERS, &[("Trip cost", &row.trip_cost), ("Minimum order", &row.minimum_order)], sink);
    }
    for row in &job.labor {
        each(&LABOR, &[("Hours", &row.hours)], sink);
    }
    for row in &job.other_costs {
        let (quantity, price) = (("Quantity", &row.quantity), ("Price", &row.price));
        each(&OTHER_COSTS, &[quantity, price, ("Tax", &rate(&row.tax))], sink);
    }
    for row in &job.on_hand {
        each(&ON_HAND, &[("Quantity", &row.quantity)], sink);
    }
    for row in &job.received {
        let fields = [("Received", &row.received), ("Used", &row.used), ("Returned", &row.returned)];
        each(&RECEIVED, &fields, sink);
    }
    for row in &job.terms {
        match &*row.kind.value {
            "payment" => judge("Amount", Scale::Share, &PAYMENT, &row.amount, sink),
            _ => each(&TERMS, &[("Amount", &row.amount)], sink),
        }
    }
    for row in &job.test_log {
        each(&TEST_LOG, &[("Gauge psi", &row.gauge_psi), ("Temperature F", &row.temperature_f)], sink);
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
            judge_at(spec.name, spec.scale(), range, (*number, place), sink);
        }
    }
}

/// The share of a Tax cell that says one.
fn rate(tax: &Field<Taxed>) -> Field<Decimal> {
    let share = match tax.value {
        Some(Taxed::At(share)) => Some(share),
        Some(Taxed::ByJob) | None => None,
    };
    Field { value: share, cell: tax.cell.clone(), raw: tax.raw.clone() }
}

fn each(sheet: &'static Sheet, fields: &[(&str, &Field<Decimal>)], sink: &mut Sink) {
    for (name, field) in fields {
        let column = sheet.columns.iter().find(|column| column.name == *name);
        if let Some((column, range)) = column.and_then(|column| Some((column, column.range.as_ref()?))) {
            judge(column.name, column.scale(), range, field, sink);
        }
    }
}

fn judge(column: &'static str, scale: Scale, range: &Range, field: &Field<Decimal>, sink: &mut Sink) {
    if let (Some(number), Some(place)) = (field.value, &field.cell) {
        judge_at(column, scale, range, (number, place), sink);
    }
}

fn judge_at(column: &'static str, scale: Scale, range: &Range, (number, place): (Decimal, &Place), sink: &mut Sink) {
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
