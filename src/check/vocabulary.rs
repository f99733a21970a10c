//! Words that the rule tables must know: fixtures, pipe materials; and whether the code speaks of the building at all.

use crate::check::findings::job::{CodeForDwellingsOnly, HazardousPipe, MaterialReadAs};
use crate::finding::{Finding, UnknownName};
use crate::model::columns::DEVICE_KINDS;
use crate::model::{Job, Price, Run, Setting, fold, meaning, vocabulary};
use crate::rules::{CodeBasis, MaterialAlias, Occupancy, Rules};

/// Unknown fixtures and materials; a code that is not for this kind of building.
pub(crate) fn words(job: &Job, rules: &Rules) -> Vec<Finding> {
    let mut findings = Vec::new();
    let setting_cell = |setting: Setting| job.settings.get(&setting).and_then(|field| field.cell.as_ref());
    if CodeBasis::of(job) == CodeBasis::Irc && Occupancy::of(job) == Occupancy::Public {
        findings.push(Finding::near(setting_cell(Setting::Occupancy), CodeForDwellingsOnly {}));
    }
    for fixture in job.fixtures.iter().filter(|f| f.status.get().unwrap_or_default().carries_water()) {
        let written = &*fixture.fixture.value;
        if rules.canonical_fixture(written).is_some() {
            continue;
        }
        let is_device =
            vocabulary::device_kind(written).is_some() || !meaning::perhaps("Kind", DEVICE_KINDS, written).is_empty();
        let remedy = match is_device {
            true => "List it in Devices, on the run it stands in.",
            false => "Write a fixture of the code's table, or other with its flow under Gpm.",
        };
        let near = rules.names().nearest_fixture(written).filter(|_| !is_device);
        let facts = unknown("fixture", written, near, remedy.to_owned());
        findings.push(Finding::at(&fixture.fixture.place, facts));
    }
    let known = rules.names().materials();
    let listed = || format!("Write one of: {}.", known.iter().map(|m| &**m).collect::<Vec<_>>().join(", "));
    for run in job.runs.iter().filter(|run| run.status.get().unwrap_or_default().carries_water()) {
        let unlisted = run.material.value.as_ref().filter(|m| rules.canonical_material(m).is_none());
        let Some(written) = unlisted else { continue };
        let place = run.material.cell.as_ref();
        findings.push(match hazard(written) {
            Some(material) => Finding::near(place, HazardousPipe { run: run.name.value.to_string(), material }),
            None => {
                let near = rules.names().nearest_material(written);
                Finding::near(place, unknown("pipe material", written, near, listed()))
            }
        });
    }
    findings.extend(read_as(job, rules));
    let main = job.text(Setting::MainMaterial);
    let leans_on_main = job.runs.iter().any(|run| run.material.value.is_none());
    if leans_on_main && rules.canonical_material(&main).is_none() {
        let facts = unknown("pipe material", &main, rules.names().nearest_material(&main), listed());
        findings.push(Finding::near(setting_cell(Setting::MainMaterial), facts));
    }
    findings
}

/// Everyday names of pipe that may mean another material, each where it first stands.
fn read_as(job: &Job, rules: &Rules) -> Vec<Finding> {
    let doubtful = rules.material_aliases().iter().filter(|alias| !alias.also_means.is_empty());
    let found = |alias: &MaterialAlias| {
        let is_it = |written: &str| fold(written) == fold(&alias.alias);
        let carries = |run: &&Run| run.status.get().unwrap_or_default().carries_water();
        let runs: Vec<&Run> = job.runs.iter().filter(carries).filter(|run| is_it(run.material.text())).collect();
        let main = job.settings.get(&Setting::MainMaterial).filter(|_| is_it(&job.text(Setting::MainMaterial)));
        let prices: Vec<&Price> = job.prices.iter().filter(|price| is_it(price.material.text())).collect();
        let cell = runs.first().map(|run| &run.material.cell).or(main.map(|field| &field.cell));
        let cell = cell.or(prices.first().map(|price| &price.material.cell))?;
        let facts = MaterialReadAs {
            written: alias.alias.to_string(),
            material: alias.material.to_string(),
            also: alias.also_means.to_string(),
            main: main.is_some(),
            runs: runs.iter().map(|run| run.name.value.to_string()).collect(),
            rows: prices.iter().map(|price| u64::from(price.row) + 1).collect(),
            in_place: runs.iter().any(|run| !run.status.get().unwrap_or_default().is_of_this_job()),
        };
        Some(Finding::near(cell.as_ref(), facts))
    };
    doubtful.filter_map(found).collect()
}

/// Old materials that no water for people may run through, or that do not hold.
fn hazard(written: &str) -> Option<&'static str> {
    match fold(written).as_str() {
        "lead" | "leadpipe" | "leadservice" => Some("lead"),
        "polybutylene" | "polybutylenepipe" | "pb" | "polyb" => Some("polybutylene"),
        _ => None,
    }
}

fn unknown(what: &'static str, found: &str, near: Option<&str>, remedy: String) -> UnknownName {
    UnknownName { what, found: found.to_owned(), nearest: near.map(str::to_owned), remedy }
}
