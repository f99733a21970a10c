//! Pipe that the codes list for the water service and not for water distribution, where it is not the service.

use super::Context;
use crate::finding::Finding;
use crate::model::Whereabouts;
use crate::subjects::water::findings::counted::ServicePipeInside;

/// Tells each such run at its material.
pub(super) fn find(context: &Context, findings: &mut Vec<Finding>) {
    for position in 0..context.network.len() {
        let (run, material) = (context.run_at(position), &context.sizes.materials[position]);
        let Some(listed) = context.rules.material(material).filter(|of| !of.service_only_by.is_empty()) else {
            continue;
        };
        let hot = context.sizes.waters[position].hot;
        if hot || (is_inside(context, position) && !is_entry(context, position)) {
            let facts = ServicePipeInside {
                run: run.name.value.to_string(),
                material: material.to_string(),
                hot,
                to_mend: hot || context.is_new(position),
                source: listed.service_only_by.to_string(),
            };
            findings.push(Finding::near(run.material.cell.as_ref().or(Some(&run.name.place)), facts));
        }
    }
}

fn is_inside(context: &Context, position: usize) -> bool {
    !matches!(context.place_of_run(position), Whereabouts::Buried | Whereabouts::InSlab)
}

/// Whether it brings the service in: of the main, ahead of the valve or meter inside where the service ends (IPC 605.3).
fn is_entry(context: &Context, position: usize) -> bool {
    let ends_service = |kind: &str, on: &str| {
        let on = context.network.find(on).filter(|on| is_inside(context, *on));
        ["shutoff valve", "meter"].contains(&kind) && on.is_some_and(|on| context.network.feeds(on, position))
    };
    context.sizes.structure.main_runs.contains(&position)
        && !context.job.devices.iter().any(|device| ends_service(&device.kind.value, &device.on_run.value))
}
