//! Pressure over trees that a program thinks up: length never helps, size never hurts, nothing is gained on the level.

use crate::support::job::{Lines, Sized, job};
use proptest::prelude::*;
use tallybore::model::Size;
use tallybore::rules::Rules;

/// PEX by the rules; copper and steel have no 3/8.
const SIZES: [&str; 6] = ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2"];
const MATERIALS: [&str; 5] = ["PEX", "copper L", "CPVC", "galvanized", "galvanized old"];

const DEVICES: [&str; 4] = [
    "softener | Rated gpm 10 | Loss psi 6",
    "backflow preventer | Size 3/4",
    "tankless heater",
    "regulator | Set psi 45 | Rated gpm 10 | Loss psi 3",
];

#[derive(Debug, Clone)]
struct Pipe {
    fed_by: Option<usize>,
    material: &'static str,
    size: usize,
    length_tenths: u32,
    rise_tenths: i32,
    bends: u32,
    draws_tenths: u32,
}

#[derive(Debug, Clone)]
struct Tree {
    method: &'static str,
    fittings: &'static str,
    temperature: u32,
    /// Of its PEX; the rest is in sticks.
    form: &'static str,
    pipes: Vec<Pipe>,
    /// A device at the start of a run: its kind and what it needs said.
    device: Option<(usize, &'static str)>,
}

fn tree(level: bool) -> impl Strategy<Value = Tree> {
    let pipe = (
        prop::sample::select(&MATERIALS[..]),
        0..SIZES.len(),
        1..600u32,
        if level { (0..1i32).boxed() } else { (-40..80i32).boxed() },
        0..5u32,
        // Half of the ends draw nothing: still water must do no harm.
        prop_oneof![Just(0u32), 1..60u32],
    );
    (1..10usize).prop_flat_map(move |count| {
        let fed_by: Vec<BoxedStrategy<Option<usize>>> =
            (0..count).map(|run| if run == 0 { Just(None).boxed() } else { (0..run).prop_map(Some).boxed() }).collect();
        let pipes = (fed_by, prop::collection::vec(pipe.clone(), count)).prop_map(|(fed_by, pipes)| {
            let join = |(fed_by, (material, size, length_tenths, rise_tenths, bends, draws_tenths))| Pipe {
                fed_by,
                material,
                size,
                length_tenths,
                rise_tenths,
                bends,
                draws_tenths,
            };
            fed_by.into_iter().zip(pipes).map(join).collect()
        });
        (
            prop::sample::select(&["Darcy-Weisbach", "Hazen-Williams"][..]),
            prop::sample::select(&["by fitting", "none", "50%"][..]),
            33..181u32,
            prop::sample::select(&["stick", "coil"][..]),
            pipes,
            prop::option::of((0..count, prop::sample::select(&DEVICES[..]))),
        )
            .prop_map(|(method, fittings, temperature, form, pipes, device)| Tree {
                method,
                fittings,
                temperature,
                form,
                pipes,
                device,
            })
    })
}

impl Tree {
    fn sized(&self) -> Sized {
        let mut lines = Lines::default();
        lines.add(format!("Job: Loss method | {}", self.method));
        lines.add(format!("Job: Fittings loss | {}", self.fittings));
        lines.add(format!("Job: Cold water temperature | {}", self.temperature));
        lines.add("Job: Supply pressure | 60");
        for (run, pipe) in self.pipes.iter().enumerate() {
            let from = pipe.fed_by.map_or("SUPPLY".to_owned(), |from| format!("R{from}"));
            let (length, rise) = (f64::from(pipe.length_tenths) / 10.0, f64::from(pipe.rise_tenths) / 10.0);
            let form = if pipe.material == "PEX" { format!(" | Form {}", self.form) } else { String::new() };
            lines.add(format!(
                "Runs: R{run} | {from} | {length} | Material {} | Size {} | Rise ft {rise} | Bends {}{form}",
                pipe.material, SIZES[pipe.size], pipe.bends
            ));
            let gpm = f64::from(pipe.draws_tenths) / 10.0;
            lines.add(format!("Fixtures: F{run} | other | Cold run R{run} | Need psi 0 | Gpm {gpm}"));
        }
        if let Some((run, device)) = self.device {
            lines.add(format!("Devices: D | R{run} | {device}"));
        }
        job(&lines.0).sized()
    }

    fn feeds(&self, above: usize, run: usize) -> bool {
        std::iter::successors(Some(run), |at| self.pipes[*at].fed_by).any(|at| at == above)
    }

    /// What the bends of a run are made with: nothing, an elbow, a support that holds a sweep.
    fn bends(&self, run: usize) -> &'static str {
        let pipe = &self.pipes[run];
        let form = if pipe.material == "PEX" { self.form } else { "stick" };
        let size = Size::parse(SIZES[pipe.size]).unwrap();
        if pipe.bends == 0 { "" } else { Rules::embedded().bend_part(pipe.material, form, size) }
    }

    /// Runs and the pressures at their ends, here and in another version of the tree.
    fn ends<'a>(&'a self, before: &'a Sized, after: &'a Sized) -> impl Iterator<Item = (usize, f64, f64)> + 'a {
        (0..self.pipes.len()).map(|run| {
            let name = format!("R{run}");
            (run, before.end_psi(&name), after.end_psi(&name))
        })
    }
}

/// Rounding of a double, no more.
const SLACK_PSI: f64 = 1e-9;

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_longer_run_never_gains_pressure(tree in tree(false), pick in any::<prop::sample::Index>(), more in 1..500u32) {
        let longer = pick.index(tree.pipes.len());
        let mut other = tree.clone();
        other.pipes[longer].length_tenths += more;
        let (before, after) = (tree.sized(), other.sized());
        for (run, end, longer_end) in tree.ends(&before, &after) {
            if tree.feeds(longer, run) {
                prop_assert!(longer_end <= end + SLACK_PSI, "R{run}: {end}, {longer_end} with R{longer} longer");
            } else {
                prop_assert_eq!(longer_end, end, "R{} is not fed through R{}", run, longer);
            }
        }
        if before.gpm(&format!("R{longer}")) > 0.0 && tree.device.is_none_or(|(_, kind)| !kind.starts_with("regulator")) {
            let name = format!("R{longer}");
            prop_assert!(after.end_psi(&name) < before.end_psi(&name), "{name} is longer, flows and loses nothing");
        }
    }

    #[test]
    fn a_larger_size_never_loses_more(tree in tree(false), pick in any::<prop::sample::Index>()) {
        let larger = pick.index(tree.pipes.len());
        let mut other = tree.clone();
        prop_assume!(other.pipes[larger].size + 1 < SIZES.len());
        other.pipes[larger].size += 1;
        // A coil too stiff to be swept takes elbows, which lose more than the smaller one's sweeps.
        prop_assume!(other.bends(larger) == tree.bends(larger));
        let (before, after) = (tree.sized(), other.sized());
        let name = format!("R{larger}");
        prop_assert!(after.velocity(&name) <= before.velocity(&name));
        for (run, end, larger_end) in tree.ends(&before, &after) {
            if tree.feeds(larger, run) {
                prop_assert!(larger_end >= end - SLACK_PSI, "R{run}: {end}, {larger_end} with R{larger} larger");
            } else {
                prop_assert_eq!(larger_end, end, "R{} is not fed through R{}", run, larger);
            }
        }
    }

    #[test]
    fn pressure_falls_along_a_level_path(tree in tree(true)) {
        let sized = tree.sized();
        for (run, pipe) in tree.pipes.iter().enumerate() {
            let start = pipe.fed_by.map_or(60.0, |from| sized.end_psi(&format!("R{from}")));
            let end = sized.end_psi(&format!("R{run}"));
            prop_assert!(end <= start + SLACK_PSI, "R{run}: from {start} to {end}");
            if sized.gpm(&format!("R{run}")) > 0.0 {
                prop_assert!(end < start, "R{run} flows and loses nothing");
            } else if tree.device.is_none_or(|(at, _)| at != run) {
                prop_assert!((end - start).abs() <= SLACK_PSI, "R{run} stands still and loses {}", start - end);
            }
        }
    }

    /// What feeds a run carries all that the run carries, and what it draws at its own end.
    #[test]
    fn steady_flows_add_up(tree in tree(false)) {
        let sized = tree.sized();
        for (run, pipe) in tree.pipes.iter().enumerate() {
            let on = (0..tree.pipes.len()).filter(|other| tree.pipes[*other].fed_by == Some(run));
            let on: f64 = on.map(|other| sized.gpm(&format!("R{other}"))).sum();
            let drawn = f64::from(pipe.draws_tenths) / 10.0;
            let carried = sized.gpm(&format!("R{run}"));
            prop_assert!((carried - on - drawn).abs() < 1e-9, "R{run} carries {carried}, feeds {on}, draws {drawn}");
        }
    }
}
