//! Joints between new pipe and old, and the hours that are kept for old pipe that breaks further back than it is cut.

use super::findings::StreetShutoffLeaks;
use super::hauling::material;
use super::settings::DOES_NOT_HOLD;
use crate::figure::{Book, Term};
use crate::finding::Finding;
use crate::model::{Run, Setting, Status};
use crate::rules::Listing;
use crate::sheets::Page;
use crate::subjects::Results;
use crate::table::{List, columns};
use crate::unit::Unit;
use crate::view::View;

/// A joint: the run whose row asks for it, and the old run that is cut.
pub(super) struct Tie<'a> {
    run: &'a Run,
    old: &'a Run,
}

/// The joints as figures.
#[derive(Debug)]
pub(super) struct TieIns {
    /// Dollars kept.
    pub kept: Term,
    /// Whether the water has to be held in the street.
    pub street_leaks: bool,
}

/// New pipe on old and old on new, and old pipe that stays where old pipe leaves it.
pub(super) fn ties<'a>(view: &View<'a, Results>) -> Vec<Tie<'a>> {
    let (job, network) = (view.job, view.network);
    let at = |position: usize| &job.runs[network.order[position]];
    let status = |run: &Run| run.status.get().unwrap_or_default();
    let mut ties = Vec::new();
    for position in 0..network.len() {
        let Some(parent) = network.parent[position].map(at) else { continue };
        let run = at(position);
        match (status(run), status(parent)) {
            (ours, Status::Existing) if ours.is_of_this_job() => ties.push(Tie { run, old: parent }),
            (Status::Existing, ours) if ours.is_of_this_job() => ties.push(Tie { run: parent, old: run }),
            _ => {}
        }
    }
    let removed = job.runs.iter().filter(|run| status(run) == Status::Remove);
    let left = removed.filter_map(|run| Some((run, at(network.find(&run.from.value)?))));
    ties.extend(left.filter(|(_, old)| status(old) == Status::Existing).map(|(run, old)| Tie { run, old }));
    ties
}

columns! {
    struct Columns on OldWork("Joints to old pipe") {
        run: "Run", words 16;
        old: "Old run", words 24;
        material: "It is of", words 14;
        hours: "Hours kept", Hours 10;
    }
}

pub(super) fn put(book: &mut Book, view: &View<Results>, ties: &[Tie], findings: &mut Vec<Finding>) -> Option<TieIns> {
    let from_supply = view.job.runs.iter().any(|run| run.status.get() == Some(Status::Remove));
    if ties.is_empty() && !from_supply {
        return None;
    }
    let mut hours = Term::number(0);
    if !ties.is_empty() {
        let columns = Columns::on_page(book, view);
        let mut rows = Listing::new(view, "Hours kept for one joint to old pipe, by its age");
        let age = view.settings.get(Setting::OldPipeAge);
        for tie in ties {
            let row = book.row(columns.table);
            let (name, old) = (tie.run.name.figure(book), tie.old.name.figure(book));
            book.put(row, columns.run, name);
            book.put(row, columns.old, old);
            let material = material(view, tie.old);
            book.label(row, columns.material, &material);
            // The last row whose years the age reaches.
            let mut kept: Option<Term> = None;
            for rule in view.rules.old_pipe().iter().filter(|rule| rule.material == material) {
                let cells = rows.row(book, rule);
                let before = kept.unwrap_or_else(|| Term::number(0));
                kept = Some(age.at_least(&cells.from_years).pick(&cells.hours, &before));
            }
            let kept = kept.unwrap_or_else(|| Term::number(0));
            book.put_or_state(row, columns.hours, super::or_nothing(&age, &kept), "the table has none");
        }
        hours = Term::sum(&book.whole(columns.hours));
    }
    let list = List::put(book, view.page(Page::OldWork), "", [34.0, 10.0], Unit::Money);
    let setting = |setting| view.settings.get(setting);
    let hours = match ties.is_empty() {
        true => hours,
        false => list.line_in(book, "Hours kept for all of them", hours, Unit::Hours),
    };
    let rate = setting(Setting::LaborRate) * (Term::number(1) + setting(Setting::LaborBurden));
    let typed = setting(Setting::OldPipeContingency);
    let kept = typed.is_blank().pick(&(hours * rate).cents(), &typed);
    let kept = list.line(book, "Kept for old pipe, at the hired rate, or as Job says", kept);
    Some(TieIns { kept, street_leaks: street_leaks(view, ties, findings) })
}

/// Whether the street shutoff is needed and does not hold, which is told.
fn street_leaks(view: &View<Results>, ties: &[Tie], findings: &mut Vec<Finding>) -> bool {
    let leaks = &*view.job.text(Setting::StreetShutoff) == DOES_NOT_HOLD && &*view.job.text(Setting::Supply) != "well";
    if leaks {
        let removed = view.job.runs.iter().filter(|run| run.status.get() == Some(Status::Remove));
        let cut = ties.iter().map(|tie| tie.old).chain(removed);
        let mut names: Vec<&str> = cut.map(|run| &*run.name.value).collect();
        names.dedup();
        let cell = view.job.settings.get(&Setting::StreetShutoff).and_then(|field| field.cell.as_ref());
        findings.push(Finding::near(cell, StreetShutoffLeaks { runs: names.join(", ") }));
    }
    leaks
}

#[cfg(test)]
mod tests {
    use crate::rules::Rules;
    use rust_decimal::Decimal;

    #[test]
    fn every_material_has_hours_from_its_first_year_that_rise_with_age() {
        let rules = Rules::embedded();
        for material in rules.materials() {
            let rows: Vec<_> = rules.old_pipe().iter().filter(|row| row.material == material.material).collect();
            assert_eq!(rows.first().map(|row| row.from_years), Some(Decimal::ZERO), "{}", material.material);
            assert!(
                rows.is_sorted_by(|a, b| a.from_years < b.from_years && a.hours < b.hours),
                "{}",
                material.material
            );
        }
    }

    #[test]
    fn every_kind_of_fixture_and_pipe_has_a_weight() {
        let rules = Rules::embedded();
        let known = |thing: &str| rules.weights().iter().any(|row| *row.thing == *thing);
        let fixtures = rules.fixtures().iter().map(|kind| kind.fixture.to_string());
        let pipe = rules.materials().iter().map(|material| format!("{} pipe", material.material));
        let without: Vec<String> = fixtures.chain(pipe).filter(|thing| !known(thing)).collect();
        assert_eq!(without, Vec::<String>::new());
    }
}
