//! What `--json` says of the water: each run, and where pressure is tightest.

use super::size::Sizes;
use crate::figure::Term;
use crate::figure::exported::number;
use crate::model::Job;
use crate::model::network::Network;
use serde::Serialize;

#[derive(Debug, Default, Serialize)]
pub(crate) struct Document {
    least_pressure: Option<Pressure>,
    runs: Vec<Run>,
}

/// Where least pressure is left over what the outlet needs.
#[derive(Debug, Serialize)]
struct Pressure {
    to_spare_psi: Option<f64>,
    run: String,
}

#[derive(Debug, Serialize)]
struct Run {
    run: String,
    material: String,
    size: Option<String>,
    /// Fixture units.
    units: Option<f64>,
    gpm: Option<f64>,
    velocity_ft_s: Option<f64>,
    /// Lost from the run's start to its end, height left out.
    loss_psi: Option<f64>,
    end_psi: Option<f64>,
}

impl Document {
    pub(super) fn of(job: &Job, network: &Network, sizes: &Sizes) -> Self {
        let figure = |terms: &[Term], position: usize| terms.get(position).and_then(number);
        let run = |(position, index): (usize, &usize)| Run {
            run: job.runs[*index].name.value.to_string(),
            material: sizes.materials[position].to_string(),
            size: sizes.sizes[position].map(|size| size.to_string()),
            units: figure(&sizes.fixture_units, position),
            gpm: figure(&sizes.demand_gpm, position),
            velocity_ft_s: figure(&sizes.velocity_ft_s, position),
            loss_psi: figure(&sizes.loss_psi, position),
            end_psi: figure(&sizes.end_psi, position),
        };
        let least = sizes.least_spare.as_ref();
        Self {
            least_pressure: least
                .map(|(psi, run)| Pressure { to_spare_psi: number(psi), run: run.value().to_string() }),
            runs: network.order.iter().enumerate().map(run).collect(),
        }
    }
}
