//! Whole networks against a hydraulic solver and against the sum of losses in closed form: flow, velocity and pressure
//! at the end of every run.

use crate::support::job::{Lines, Sized, job};
use crate::support::published::{Largest, Row, published};

/// The network as a job: every pipe a run that bears the name of the node at its end, with its own size, bore and C.
fn network(name: &str, psi_per_ft: f64, temperature_f: &str, method: &str, pipes: &[&Row]) -> Sized {
    let source = published("networks").into_iter().find(|row| row.text("network") == name).unwrap();
    let source_psi = (source.number("source_head_ft") - source.number("source_elevation_ft")) * psi_per_ft;
    let mut lines = Lines::default();
    lines.add(format!("Job: Supply pressure | {source_psi:.9}"));
    lines.add(format!("Job: Cold water temperature | {temperature_f}"));
    lines.add(format!("Job: Loss method | {method}"));
    lines.add("Job: Fittings loss | none");
    lines.add("Limits: Limit | Value");
    lines.add(format!("Limits: psi per foot | {psi_per_ft}"));
    lines.add("Pipe: Material | Size | Inside diameter in | C");
    let mut sizes: Vec<(&str, &str, &str)> = Vec::new();
    for pipe in pipes {
        let row = (pipe.text("size"), pipe.text("bore_in"), pipe.text("c"));
        match sizes.iter().find(|known| known.0 == row.0) {
            Some(known) => assert_eq!(*known, row, "{name} has two bores of one size"),
            None => {
                sizes.push(row);
                lines.add(format!("Pipe: PEX | {} | {} | {}", row.0, row.1, row.2));
            }
        }
        let (run, from, length) = (pipe.text("to"), pipe.text("from"), pipe.text("length_ft"));
        let (size, rise) = (pipe.text("size"), pipe.text("rise_ft"));
        lines.add(format!("Runs: {run} | {from} | {length} | Size {size} | Rise ft {rise}"));
        lines.add(format!("Fixtures: at {run} | other | Cold run {run} | Need psi 0 | Gpm {}", pipe.text("draw_gpm")));
    }
    job(&lines.0).sized()
}

fn networks() -> Vec<(Row, Vec<Row>)> {
    let pipes = published("network_pipes");
    let of = |name: &str| pipes.iter().filter(|pipe| pipe.text("network") == name).cloned().collect::<Vec<_>>();
    let all: Vec<_> = published("networks").into_iter().map(|row| (row.clone(), of(row.text("network")))).collect();
    assert_eq!((all.len(), all.iter().map(|(_, pipes)| pipes.len()).sum::<usize>()), (12, pipes.len()));
    all
}

fn at(name: &Row, pipe: &Row) -> String {
    format!("{} {}", name.text("network"), pipe.text("pipe"))
}

#[test]
fn flows_and_velocities_are_those_of_the_networks() {
    let (mut flow, mut velocity) = (Largest::default(), Largest::default());
    for (row, pipes) in networks() {
        let sized = network(row.text("network"), 0.4335, "60", "Hazen-Williams", &pipes.iter().collect::<Vec<_>>());
        for pipe in &pipes {
            let run = pipe.text("to");
            flow.see((sized.gpm(run) - pipe.number("flow_gpm")).abs(), || at(&row, pipe));
            let expected = pipe.number("velocity_ft_s");
            velocity.see((sized.velocity(run) - expected).abs() / expected.max(1.0), || at(&row, pipe));
        }
    }
    flow.within(1e-6, "flow, gpm");
    velocity.within(1e-6, "velocity, relative");
}

#[test]
fn hazen_williams_pressures_are_those_of_the_solver_and_of_the_closed_form() {
    let (mut solver, mut closed) = (Largest::default(), Largest::default());
    for (row, pipes) in networks() {
        let sized = network(row.text("network"), 0.4335, "60", "Hazen-Williams", &pipes.iter().collect::<Vec<_>>());
        for pipe in &pipes {
            let end = sized.end_psi(pipe.text("to"));
            solver.see((end - pipe.number("hw_solver_end_psi")).abs(), || at(&row, pipe));
            closed.see((end - pipe.number("hw_closed_end_psi")).abs(), || at(&row, pipe));
        }
    }
    solver.within(0.0015, "Hazen-Williams, pressure at end against the solver, psi");
    closed.within(1e-6, "Hazen-Williams, pressure at end against the closed form, psi");
}

#[test]
fn darcy_weisbach_losses_of_turbulent_pipes_are_those_of_the_solver() {
    let (mut loss, mut reynolds) = (Largest::default(), Largest::default());
    for (row, pipes) in networks() {
        let name = row.text("network");
        let psi_per_ft = row.number("dw_psi_per_ft");
        let pipes: Vec<&Row> = pipes.iter().collect();
        let sized = network(name, psi_per_ft, row.text("temperature_f"), "Darcy-Weisbach", &pipes);
        let water = &sized.rules.water_properties();
        let water = water.iter().find(|water| water.temperature_f.to_string() == row.text("temperature_f")).unwrap();
        let viscosity_ft2_s: f64 = water.kinematic_viscosity_ft2_s.to_string().parse().unwrap();
        for pipe in &pipes {
            let run = pipe.text("to");
            let ours = sized.velocity(run) * pipe.number("bore_in") / 12.0 / viscosity_ft2_s;
            let expected = pipe.number("reynolds");
            reynolds.see((ours - expected).abs() / expected.max(1.0), || at(&row, pipe));
            // Below 4000 the solver bridges to laminar flow by a curve of its own.
            if expected > 4000.0 {
                let expected = pipe.number("dw_solver_loss_psi");
                loss.see((sized.loss_psi(run) - expected).abs() / expected, || at(&row, pipe));
            }
        }
    }
    reynolds.within(1e-4, "Reynolds number, relative");
    loss.within(0.002, "Darcy-Weisbach, loss of a turbulent pipe against the solver, relative");
}
