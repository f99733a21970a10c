//! What takes the pressure on the way to the outlet that is shortest of it: the root of a shortage, told before the runs that
//! end short.

use super::{Context, Sizes};
use crate::figure::Term;
use crate::finding::Finding;
use crate::model::Setting;
use crate::subjects::water::findings::sizes::{HEIGHT, PressureLost};

/// How many are named; the others are summed up.
const NAMED: usize = 6;

/// Says it where any outlet is short.
pub(super) fn find(context: &Context, sizes: &Sizes, findings: &mut Vec<Finding>) {
    let Some((least, run)) = &sizes.least_spare else { return };
    let kept = context.settings.get(Setting::PressureToSpare);
    let short = kept.value().as_f64() - least.value().as_f64();
    let name = run.value().to_string();
    let Some(position) = context.network.find(&name).filter(|_| (short * 1e6).round() > 0.0) else { return };
    let mut takes = takes(context, sizes, position);
    takes.sort_by(|(a, x), (b, y)| y.total_cmp(x).then_with(|| a.cmp(b)));
    // What shows as nothing is no cause.
    takes.retain(|(_, psi)| *psi >= 0.05);
    let rest = takes.split_off(takes.len().min(NAMED));
    let rest_psi: f64 = rest.iter().map(|(_, psi)| psi).sum();
    let supply = context.settings.get(Setting::SupplyPressure);
    findings.push(Finding::everywhere(PressureLost {
        run: name,
        by_psi: tenth(short),
        supply: tenth(supply.value().as_f64()),
        takes: takes.into_iter().map(|(what, psi)| (what, tenth(psi))).collect(),
        more: (!rest.is_empty()).then(|| (rest.len(), tenth(rest_psi))),
    }));
}

/// Each device and each run on the way from the supply, and the height, with what it takes, psi.
fn takes(context: &Context, sizes: &Sizes, position: usize) -> Vec<(String, f64)> {
    let psi = |term: &Term| term.value().as_f64();
    let mut takes = Vec::new();
    let mut height = 0.0;
    for at in context.network.path_up(position) {
        let mut in_devices = 0.0;
        for (device, _, loss) in sizes.device_losses.iter().filter(|(_, run, _)| *run == at) {
            let device = &context.job.devices[*device];
            in_devices += psi(loss);
            takes.push((format!("{} ({})", device.name.value, device.kind.value), psi(loss)));
        }
        let run = &context.run_at(at).name.value;
        let size = sizes.sizes[at].map(|size| format!(" ({size})")).unwrap_or_default();
        takes.push((format!("run {run}{size}"), psi(&sizes.loss_psi[at]) - in_devices));
        height += psi(&sizes.height_psi[at]);
    }
    takes.push((HEIGHT.to_owned(), height));
    takes
}

fn tenth(psi: f64) -> String {
    format!("{psi:.1}")
}
