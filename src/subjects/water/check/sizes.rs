//! Sizes that are given and that their material does not come in: told with all else that is wrong with what is read.

use crate::finding::Sink;
use crate::model::{Run, Setting, Status};
use crate::subjects::water::findings::sizes::SizeNotInTable;
use crate::subjects::water::size::fork::main_runs;
use crate::view::Facts;

/// The Size of each run, and Main size for those of the main that have none.
pub(super) fn in_table(facts: &Facts, sink: &mut Sink) {
    let job = facts.job;
    let main = main_runs(facts.network);
    let is_main = |run: &Run| facts.network.find(&run.name.value).is_some_and(|position| main.contains(&position));
    let is_new = |run: &Run| run.status.get().unwrap_or_default() == Status::New;
    let main_size = job.settings.get(&Setting::MainSize).and_then(|field| field.cell.as_ref());
    let main_material = job.text(Setting::MainMaterial);
    for run in job.runs.iter().filter(|run| run.status.get().unwrap_or_default().carries_water()) {
        let by_main = || job.size(Setting::MainSize).filter(|_| is_main(run) && is_new(run));
        let (size, place, word) = match run.size.get() {
            Some(size) => (Some(size), run.size.cell.as_ref(), ""),
            None => (by_main(), main_size, " by Main size"),
        };
        let written = run.material.value.as_deref().unwrap_or(&main_material);
        let (Some(size), Some(material)) = (size, facts.rules.canonical_material(written)) else { continue };
        if facts.rules.pipe(material, size).is_none() {
            let told = SizeNotInTable {
                run: run.name.value.to_string(),
                size: size.to_string(),
                material: format!("{material}{word}"),
                outside_of: facts.rules.nominal_of_outside(material, size).map(|nominal| nominal.to_string()),
            };
            sink.at(place.unwrap_or(&run.name.place), told);
        }
    }
}
