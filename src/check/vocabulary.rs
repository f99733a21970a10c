//! Words that the rule tables must know: fixtures, pipe materials, and whether the code speaks of them at all.

use crate::check::findings::job::{CodeForDwellingsOnly, FixtureWithoutUnits, HazardousPipe, OtherEdition, UnitsLent};
use crate::finding::{Finding, UnknownName};
use crate::model::columns::DEVICE_KINDS;
use crate::model::{Fixture, Job, Setting, fold, meaning, split_code_basis, vocabulary};
use crate::place::Place;
use crate::rules::{CodeBasis, Occupancy, Rules};

/// Unknown fixtures and materials; fixtures that the code gives no units; a code that is not for this kind of building.
pub(crate) fn words(job: &Job, rules: &Rules) -> Vec<Finding> {
    let (code, occupancy) = (CodeBasis::of(job), Occupancy::of(job));
    let mut findings = Vec::new();
    // The IRC has no units at all for public use; that is told once, of the setting.
    let beyond_its_code = code == CodeBasis::Irc && occupancy == Occupancy::Public;
    if beyond_its_code {
        findings.push(Finding::near(setting_cell(job, Setting::Occupancy), CodeForDwellingsOnly {}));
    }
    fixtures(job, rules, beyond_its_code, &mut findings);
    if let Some(facts) = other_edition(job, rules, code) {
        findings.push(Finding::near(setting_cell(job, Setting::CodeBasis), facts));
    }
    materials(job, rules, &mut findings);
    findings
}

fn setting_cell(job: &Job, setting: Setting) -> Option<&Place> {
    job.settings.get(&setting).and_then(|field| field.cell.as_ref())
}

fn fixtures(job: &Job, rules: &Rules, beyond_its_code: bool, findings: &mut Vec<Finding>) {
    let (code, occupancy) = (CodeBasis::of(job), Occupancy::of(job));
    let mut lent: Vec<((CodeBasis, Occupancy), &Place, Vec<String>)> = Vec::new();
    for fixture in job.fixtures.iter().filter(|f| f.status.get().unwrap_or_default().carries_water()) {
        let Some(kind) = rules.canonical_fixture(&fixture.fixture.value) else {
            findings.push(unknown_fixture(rules, fixture));
            continue;
        };
        // What `other` draws is the user's to say; the checks of coverage ask for it.
        if !fixture.gpm.is_blank() || kind == "other" || beyond_its_code {
            continue;
        }
        let row = rules.units_or_lent(code, occupancy, kind);
        if let Some(row) = row.filter(|row| (row.code, row.occupancy) != (code, occupancy)) {
            let from = (row.code, row.occupancy);
            match lent.iter_mut().find(|(lender, ..)| *lender == from) {
                Some((_, _, kinds)) if kinds.iter().any(|known| known == kind) => {}
                Some((_, _, kinds)) => kinds.push(kind.to_owned()),
                None => lent.push((from, &fixture.fixture.place, vec![kind.to_owned()])),
            }
        }
        if row.is_none() {
            let (code, occupancy) = (code.name().to_owned(), occupancy.name().to_owned());
            let facts = FixtureWithoutUnits { fixture: kind.to_owned(), code, occupancy };
            findings.push(Finding::at(&fixture.fixture.place, facts));
        }
    }
    for ((lender, use_of), place, fixtures) in lent {
        let (code, lender) = (words_of(code, occupancy), words_of(lender, use_of));
        // Units for private use are too few where the public draws.
        let too_few = occupancy == Occupancy::Public && use_of == Occupancy::Private;
        findings.push(Finding::at(place, UnitsLent { code, lender, fixtures, too_few }));
    }
}

fn unknown_fixture(rules: &Rules, fixture: &Fixture) -> Finding {
    let written = &*fixture.fixture.value;
    let is_device =
        vocabulary::device_kind(written).is_some() || !meaning::perhaps("Kind", DEVICE_KINDS, written).is_empty();
    let remedy = match is_device {
        true => "List it in Devices, on the run it stands in.",
        false => "Write a fixture of the code's table, or other with its flow under Gpm.",
    };
    let near = rules.names().nearest_fixture(written).filter(|_| !is_device);
    let facts = unknown("fixture", written, near, remedy.to_owned());
    Finding::at(&fixture.fixture.place, facts)
}

fn materials(job: &Job, rules: &Rules, findings: &mut Vec<Finding>) {
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
    let main = job.text(Setting::MainMaterial);
    let leans_on_main = job.runs.iter().any(|run| run.material.value.is_none());
    if leans_on_main && rules.canonical_material(&main).is_none() {
        let facts = unknown("pipe material", &main, rules.names().nearest_material(&main), listed());
        findings.push(Finding::near(setting_cell(job, Setting::MainMaterial), facts));
    }
}

/// `IPC, public use`
fn words_of(code: CodeBasis, occupancy: Occupancy) -> String {
    format!("{}, {} use", code.name(), occupancy.name())
}

/// Told where Code basis names an edition and the tables are of another.
fn other_edition(job: &Job, rules: &Rules, code: CodeBasis) -> Option<OtherEdition> {
    let asked = job.text(Setting::CodeBasis);
    let (_, edition) = split_code_basis(&asked)?;
    let tables = rules.editions(code);
    if tables.is_empty() || tables.contains(&edition?) {
        return None;
    }
    let years: Vec<String> = tables.iter().map(u16::to_string).collect();
    Some(OtherEdition { asked: asked.to_string(), tables: format!("{} {}", code.name(), years.join(" and ")) })
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
