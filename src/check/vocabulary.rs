//! Words that the rule tables must know: fixtures, pipe materials, and whether the code speaks of them at all.

use crate::finding::{Code, Finding, nearest};
use crate::model::{Job, Setting, fold};
use crate::rules::{CodeBasis, Occupancy, Rules};

/// Unknown fixtures and materials; fixtures that the code gives no units; a code that is not for this kind of building.
pub fn words(job: &Job, rules: &Rules) -> Vec<Finding> {
    let code = CodeBasis::named(&job.text(Setting::CodeBasis)).unwrap_or(CodeBasis::Irc);
    let occupancy = Occupancy::named(&job.text(Setting::Occupancy)).unwrap_or(Occupancy::Private);
    let mut findings = Vec::new();
    let setting_cell = |setting: Setting| job.settings.get(&setting).and_then(|field| field.cell.as_ref());
    // The IRC has no units at all for public use; that is told once, of the setting.
    let beyond_its_code = code == CodeBasis::Irc && occupancy == Occupancy::Public;
    if beyond_its_code {
        findings.push(Finding::near(setting_cell(Setting::Occupancy), Code::CodeForDwellingsOnly));
    }
    for fixture in job.fixtures.iter().filter(|f| f.status.get().unwrap_or_default().carries_water()) {
        let Some(kind) = rules.canonical_fixture(&fixture.fixture.value) else {
            let known = rules.names().fixtures();
            let remedy = "Write a fixture of the code's table, or other with its flow under Gpm.".to_owned();
            findings
                .push(Finding::at(&fixture.fixture.place, unknown("fixture", &fixture.fixture.value, known, remedy)));
            continue;
        };
        let counted = rules.fixture_units(code, occupancy, kind).is_some();
        // What `other` draws is the user's to say; the checks of coverage ask for it.
        if !counted && fixture.gpm.is_blank() && kind != "other" && !beyond_its_code {
            let (code, occupancy) = (code.name().to_owned(), occupancy.name().to_owned());
            let code = Code::FixtureWithoutUnits { fixture: kind.to_owned(), code, occupancy };
            findings.push(Finding::at(&fixture.fixture.place, code));
        }
    }
    let known = rules.names().materials();
    let listed = || format!("Write one of: {}.", known.iter().map(|m| &**m).collect::<Vec<_>>().join(", "));
    for run in job.runs.iter().filter(|run| run.status.get().unwrap_or_default().carries_water()) {
        let unlisted = run.material.value.as_ref().filter(|m| rules.canonical_material(m).is_none());
        let Some(written) = unlisted else { continue };
        let code = match hazard(written) {
            Some(material) => Code::HazardousPipe { run: run.name.value.to_string(), material },
            None => unknown("pipe material", written, known, listed()),
        };
        findings.push(Finding::near(run.material.cell.as_ref(), code));
    }
    let main = job.text(Setting::MainMaterial);
    let leans_on_main = job.runs.iter().any(|run| run.material.value.is_none());
    if leans_on_main && rules.canonical_material(&main).is_none() {
        let code = unknown("pipe material", &main, known, listed());
        findings.push(Finding::near(setting_cell(Setting::MainMaterial), code));
    }
    findings
}

/// Old materials that no water for people may run through, or that do not hold.
fn hazard(written: &str) -> Option<&'static str> {
    match fold(written).as_str() {
        "lead" | "leadpipe" | "leadservice" => Some("lead"),
        "polybutylene" | "polybutylenepipe" | "pb" | "polyb" => Some("polybutylene"),
        _ => None,
    }
}

fn unknown(what: &'static str, found: &str, known: &[std::sync::Arc<str>], remedy: String) -> Code {
    let nearest = nearest(found, known.iter().map(|name| &**name)).map(str::to_owned);
    Code::UnknownName { what, found: found.to_owned(), nearest, remedy }
}
