//! Fixtures that the code gives no units; and tables of another edition than the job names.

use crate::finding::{Finding, Sink};
use crate::model::{Setting, split_code_basis};
use crate::place::Place;
use crate::rules::{CodeBasis, Occupancy};
use crate::subjects::water::findings::loads::{FixtureWithoutUnits, OtherEdition, UnitsLent};
use crate::view::Facts;

/// Units that no table has, or that another code lends.
pub(super) fn known(facts: &Facts, sink: &mut Sink) {
    let (code, occupancy) = (CodeBasis::of(facts.job), Occupancy::of(facts.job));
    // The IRC has no units at all for public use; that is told once, of the setting.
    if code == CodeBasis::Irc && occupancy == Occupancy::Public {
        return;
    }
    let mut lent: Vec<((CodeBasis, Occupancy), &Place, Vec<String>)> = Vec::new();
    for fixture in facts.job.fixtures.iter().filter(|f| f.status.get().unwrap_or_default().carries_water()) {
        // What `other` draws is the user's to say; the checks of coverage ask for it.
        let kind = facts.rules.canonical_fixture(&fixture.fixture.value).filter(|kind| *kind != "other");
        let Some(kind) = kind.filter(|_| fixture.gpm.is_blank()) else { continue };
        let place = &fixture.fixture.place;
        let Some(row) = facts.rules.units_or_lent(code, occupancy, kind) else {
            let (code, occupancy) = (code.name().to_owned(), occupancy.word().to_owned());
            sink.at(place, FixtureWithoutUnits { fixture: kind.to_owned(), code, occupancy });
            continue;
        };
        let from = (row.code, row.occupancy);
        match lent.iter_mut().find(|(lender, ..)| *lender == from) {
            _ if from == (code, occupancy) => {}
            Some((_, _, kinds)) if kinds.iter().any(|known| known == kind) => {}
            Some((_, _, kinds)) => kinds.push(kind.to_owned()),
            None => lent.push((from, place, vec![kind.to_owned()])),
        }
    }
    for ((lender, use_of), place, fixtures) in lent {
        let (code, lender) = (words_of(code, occupancy), words_of(lender, use_of));
        // Units for private use are too few where the public draws.
        let too_few = occupancy == Occupancy::Public && use_of == Occupancy::Private;
        sink.at(place, UnitsLent { code, lender, fixtures, too_few });
    }
}

/// `IPC, public use`
fn words_of(code: CodeBasis, occupancy: Occupancy) -> String {
    format!("{}, {} use", code.name(), occupancy.word())
}

/// Told where Code basis names an edition and the tables are of another.
pub(super) fn edition(facts: &Facts, sink: &mut Sink) {
    let (asked, code) = (facts.job.text(Setting::CodeBasis), CodeBasis::of(facts.job));
    let Some(edition) = split_code_basis(&asked).and_then(|(_, edition)| edition) else { return };
    let tables = facts.rules.editions(code);
    if tables.is_empty() || tables.contains(&edition) {
        return;
    }
    let years: Vec<String> = tables.iter().map(u16::to_string).collect();
    let told = OtherEdition { asked: asked.to_string(), tables: format!("{} {}", code.name(), years.join(" and ")) };
    let cell = facts.job.settings.get(&Setting::CodeBasis).and_then(|field| field.cell.as_ref());
    sink.push(Finding::near(cell, told));
}
