//! Devices in the line: what each loses at its rated flow, from the user's own numbers or the table's.

use super::Context;
use super::device_loss;
use super::device_loss::SLACK_PSI;
use super::picked::Picked;
use super::rule_tables::RuleTables;
use crate::figure::{Book, Term, Value};
use crate::finding::Finding;
use crate::model::Device;
use crate::model::network::same_name;
use crate::model::vocabulary::REGULATOR;
use crate::subjects::water::findings::loads::{
    DeviceHalfRated, DeviceWithoutLoss, LossOfOtherSize, MeterOverSafeFlow, RegulatorWithoutSetting,
};
use crate::subjects::water::rules::{DeviceLoss, MeterFlow};
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, dec};
use std::cmp::Reverse;

/// What is no flow, gpm: nothing is divided by less.
const LEAST_GPM: Decimal = dec!(0.000001);

/// A device in a run, with the figures of its law.
#[derive(Debug, Clone)]
pub struct InLine {
    /// Index into `job.devices`.
    pub device: usize,
    /// Position of its run.
    pub position: usize,
    /// The flow its loss was measured at, gpm.
    pub rated_gpm: Term,
    /// Loss at the rated flow, psi; for a regulator, fully open.
    pub loss_psi: Term,
    /// Share of the loss that does not depend on flow.
    pub flat: Term,
    /// Of a regulator.
    pub regulator: Option<Regulator>,
}

/// What a regulator holds.
#[derive(Debug, Clone)]
pub struct Regulator {
    /// What it is set to, psi.
    pub set_psi: Term,
    /// How far it falls below its setting at `falloff_gpm`.
    pub falloff_psi: Term,
    /// The flow of that fall, gpm.
    pub falloff_gpm: Term,
}

/// The order in which devices of one run stand in it, as they are fitted: nothing before the meter, and the regulator before
/// what it protects. Common practice. Kinds that are not listed come last.
const ORDER: &[&str] = &[
    "meter",
    "shutoff valve",
    "check valve",
    "double check valve",
    "backflow preventer",
    "regulator",
    "filter",
    "softener",
    // In the cold line, before what heats.
    "expansion tank",
    "tank heater",
    "tankless heater",
];

/// Devices that water flows through, in the order in which water comes to them in their run. The order of the rows says
/// nothing.
///
/// A loss without the flow it was measured at is counted in full at the peak flow of its run (`demand_gpm`, by position):
/// never less than the device takes when it is rated at that flow or below it.
pub fn devices(
    book: &mut Book,
    context: &Context,
    tables: &RuleTables,
    demand_gpm: &[Term],
    findings: &mut Vec<Finding>,
) -> Vec<InLine> {
    let mut found = Vec::new();
    for (index, device) in context.job.devices.iter().enumerate() {
        let Some(position) = context.network.find(&device.on_run.value) else { continue };
        if !device.status.get().unwrap_or_default().carries_water() {
            continue;
        }
        let kind = &*device.kind.value;
        let by_table = tables.device_row(device);
        let regulates = kind == REGULATOR;
        let own = device.rated_gpm.value.is_some_and(|gpm| gpm > Decimal::ZERO) && device.loss_psi.value.is_some();
        let (rated_gpm, loss_psi) = match &by_table {
            _ if own => (device.rated_gpm.figure(book), device.loss_psi.figure(book)),
            _ if device.loss_psi.value.is_some() && device.rated_gpm.is_blank() => {
                let peak = &demand_gpm[position];
                let loss = device.loss_psi.figure(book);
                if !loss.value().is_zero() {
                    half_rated(device, true, &loss, peak, findings);
                }
                let peak = peak.max(&Term::number(LEAST_GPM));
                let rated = match device.rated_gpm.as_typed(book) {
                    Some(typed) => typed.is_blank().pick(&peak, &typed),
                    None => peak,
                };
                (rated, loss)
            }
            Some(row) => {
                if device.rated_gpm.value.is_some() && !row.psi.value().is_zero() {
                    half_rated(device, false, &row.psi, &row.gpm, findings);
                }
                (row.gpm.clone(), row.psi.clone())
            }
            None => {
                findings.push(Finding::at(
                    &device.kind.place,
                    DeviceWithoutLoss { device: device.name.value.to_string(), kind: kind.to_owned() },
                ));
                (Term::number(1), Term::number(0))
            }
        };
        let flat = by_table.filter(|_| !regulates).map_or_else(|| Term::number(0), |row| row.flat);
        let regulator = regulates.then(|| regulator(book, device, (&rated_gpm, &loss_psi), findings)).flatten();
        found.push(InLine { device: index, position, rated_gpm, loss_psi, flat, regulator });
    }
    found.sort_by_cached_key(|in_line| {
        let device = &context.job.devices[in_line.device];
        let kind = ORDER.iter().position(|kind| **kind == *device.kind.value).unwrap_or(ORDER.len());
        // Of two regulators the one that holds more stands first.
        (in_line.position, kind, Reverse(device.set_psi.value), same_name(&device.name.value))
    });
    found
}

/// What a regulator loses wide open at its rated flow is also how far it falls below its setting there. `None` where it is not
/// set.
fn regulator(
    book: &mut Book,
    device: &Device,
    (rated_gpm, loss_psi): (&Term, &Term),
    findings: &mut Vec<Finding>,
) -> Option<Regulator> {
    if device.set_psi.value.is_none() {
        findings.push(Finding::near(
            device.set_psi.cell.as_ref().or(Some(&device.kind.place)),
            RegulatorWithoutSetting { device: device.name.value.to_string() },
        ));
        return None;
    }
    let set_psi = device.set_psi.figure(book);
    Some(Regulator { set_psi, falloff_psi: loss_psi.clone(), falloff_gpm: rated_gpm.clone() })
}

/// Devices that lose what the table has for another size. One without a size is of its run's, so that is only known when
/// the sizes of all runs (`sizes`, by position) are.
pub(super) fn other_sizes(
    context: &Context,
    tables: &RuleTables,
    devices: &[InLine],
    sizes: &[Picked],
    findings: &mut Vec<Finding>,
) {
    for in_line in devices {
        let device = &context.job.devices[in_line.device];
        // Half of the data sheet is told by itself.
        if !device.rated_gpm.is_blank() || !device.loss_psi.is_blank() {
            continue;
        }
        let Some(row) = tables.device_row(device).filter(|row| !row.psi.value().is_zero()) else { continue };
        if device.size.get().or(sizes[in_line.position].size) != Some(row.size) {
            let facts = LossOfOtherSize {
                device: device.name.value.to_string(),
                kind: device.kind.value.to_string(),
                size: row.size.to_string(),
                sized: device.size.get().is_some(),
            };
            findings.push(Finding::at(&device.kind.place, facts));
        }
    }
}

/// Meters that the job can draw more through than they may carry; `sizes` and `demand_gpm` by position.
pub(super) fn meters(
    context: &Context,
    devices: &[InLine],
    sizes: &[Picked],
    demand_gpm: &[Term],
    findings: &mut Vec<Finding>,
) {
    for in_line in devices {
        let device = &context.job.devices[in_line.device];
        let size = device.size.get().or(sizes[in_line.position].size).filter(|_| &*device.kind.value == "meter");
        let gpm = demand_gpm[in_line.position].value().as_f64();
        let over = |row: &MeterFlow| gpm > row.gpm.to_f64().unwrap_or(f64::MAX) + 1e-6;
        let Some(row) = size.and_then(|size| context.rules.meter_flow(size)).filter(|row| over(row)) else { continue };
        let enough = context.rules.meter_flows().iter().filter(|row| !over(row));
        let facts = MeterOverSafeFlow {
            meter: device.name.value.to_string(),
            size: row.size.to_string(),
            gpm,
            most: row.gpm.normalize(),
            larger: enough.min_by_key(|row| row.size).map(|row| row.size.to_string()),
            source: row.origin.source.to_string(),
        };
        findings.push(Finding::near(device.size.cell.as_ref().or(Some(&device.kind.place)), facts));
    }
}

/// Told of a device with only one of Rated gpm and Loss psi.
fn half_rated(device: &Device, without_flow: bool, psi: &Term, gpm: &Term, findings: &mut Vec<Finding>) {
    let tenth = |term: &Term| format!("{:.1}", term.value().as_f64());
    let place = if without_flow { &device.rated_gpm.cell } else { &device.loss_psi.cell };
    let facts = DeviceHalfRated {
        device: device.name.value.to_string(),
        kind: device.kind.value.to_string(),
        without_flow,
        psi: tenth(psi),
        gpm: tenth(gpm),
    };
    findings.push(Finding::near(place.as_ref().or(Some(&device.kind.place)), facts));
}

impl InLine {
    /// The same device by another row of the table of losses.
    pub(super) fn rated(&self, row: &DeviceLoss) -> Self {
        let psi = |number: Decimal| Term::constant(Value::Exact(number));
        let (gpm, lost, regulator) = (psi(row.gpm), psi(row.psi), self.regulator.as_ref());
        let flat = if regulator.is_some() { Term::number(0) } else { psi(row.flat) };
        let regulator = regulator.map(|regulator| Regulator {
            falloff_psi: lost.clone(),
            falloff_gpm: gpm.clone(),
            ..regulator.clone()
        });
        Self { rated_gpm: gpm, loss_psi: lost, flat, regulator, ..self.clone() }
    }

    /// Pressure behind the device for the size search, psi.
    pub fn outlet_psi(&self, inlet_psi: f64, gpm: f64, share: f64) -> f64 {
        let number = |term: &Term| term.value().as_f64();
        let loss = device_loss::loss(&gpm, &number(&self.rated_gpm), &number(&self.loss_psi), &number(&self.flat));
        match &self.regulator {
            None => inlet_psi - loss,
            Some(regulator) => {
                let falloff = number(&regulator.falloff_psi) * gpm / number(&regulator.falloff_gpm);
                device_loss::regulated(&inlet_psi, &loss, &number(&regulator.set_psi), &share, &falloff)
            }
        }
    }

    /// The inlet pressure that leaves this much behind the device, psi; `None` when a regulator never lets so much
    /// through.
    pub fn inlet_needed(&self, outlet_psi: f64, gpm: f64, share: f64) -> Option<f64> {
        // With an endless inlet a regulator shows the most it lets through.
        if self.regulator.is_some() && outlet_psi > self.outlet_psi(f64::INFINITY, gpm, share) + SLACK_PSI {
            return None;
        }
        let number = |term: &Term| term.value().as_f64();
        Some(
            outlet_psi
                + device_loss::loss(&gpm, &number(&self.rated_gpm), &number(&self.loss_psi), &number(&self.flat)),
        )
    }
}
