//! The supply as a whole: is the pressure lawful, and can a well's pump deliver what is asked of it.

use super::rule_tables::RuleTables;
use super::{Context, Sizes};
use crate::figure::Term;
use crate::finding::Finding;
use crate::input::Device;
use crate::model::Setting;
use crate::model::vocabulary::REGULATOR;
use crate::subjects::water::findings::loads::{PressureTooHigh, PumpTooSmall};

fn is_regulated(context: &Context) -> bool {
    let carries = |device: &Device| device.status.get().unwrap_or_default().carries_water();
    context.job.devices.iter().any(|device| &*device.kind.value == REGULATOR && carries(device))
}

/// The most that the supply stands at and what the code allows, psi, live; `None` where a regulator lowers it.
pub(crate) fn unregulated(context: &Context, tables: &RuleTables) -> Option<[Term; 2]> {
    let allowed = tables.limit("highest static pressure").filter(|_| !is_regulated(context))?;
    let setting = |setting: Setting| context.settings.get(setting);
    Some([setting(Setting::HighestPressure).max(&setting(Setting::SupplyPressure)), allowed.clone()])
}

/// A supply over the code's highest pressure without a regulator; a demand over the pump's flow.
pub(crate) fn find(context: &Context, tables: &RuleTables, sizes: &Sizes, findings: &mut Vec<Finding>) {
    let place = |setting: Setting| context.job.settings.get(&setting).and_then(|field| field.cell.clone());
    let highest_allowed = tables.limit("highest static pressure");
    let pressures = [Setting::HighestPressure, Setting::SupplyPressure];
    let highest = pressures.iter().filter_map(|setting| context.job.as_f64(*setting)).max_by(f64::total_cmp);
    if let (Some(highest), Some(allowed)) = (highest, highest_allowed)
        && highest > allowed.value().as_f64()
        && !is_regulated(context)
    {
        let setting =
            if place(Setting::HighestPressure).is_some() { Setting::HighestPressure } else { Setting::SupplyPressure };
        findings.push(Finding::near(
            place(setting).as_ref(),
            PressureTooHigh { psi: highest.to_string(), allowed: allowed.value().to_string() },
        ));
    }
    let on_well = &*context.job.text(Setting::Supply) == "well";
    if let (true, Some(pump)) = (on_well, context.job.as_f64(Setting::PumpGpm)) {
        let roots = (0..context.network.len()).filter(|p| context.network.parent[*p].is_none());
        let asked: f64 = roots.map(|p| sizes.demand_gpm[p].value().as_f64()).sum();
        if asked > pump {
            let facts = PumpTooSmall { asked: format!("{asked:.1}"), pump: format!("{pump:.1}") };
            findings.push(Finding::near(place(Setting::PumpGpm).as_ref(), facts));
        }
    }
}
