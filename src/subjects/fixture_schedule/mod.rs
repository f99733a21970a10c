//! The fixture schedule: each fixture with its maker, model and finish, who furnishes it and who sets it, where its rough-in
//! goes, what it connects to, and its price or allowance against what was chosen.

mod findings;
mod rules;
mod schedule;

use crate::entries::{Entries, TermLine, TermsKind};
use crate::figure::{Book, Term};
use crate::finding::{Declaration, Finding, Sink};
use crate::model::{Fixture, Phase};
use crate::parts::{Allowance, Cost, Costs, From, Parts, When, Work};
use crate::rules::{MoreRows, Spec};
use crate::sheets::{Page, pages};
use crate::subjects::{NoDocument, Results, Subject};
use crate::view::{Check, Facts, View};
use findings::MoneyOfOthers;
pub(crate) use schedule::Scheduled;
use std::sync::Arc;

/// The subject.
#[derive(Debug)]
pub(crate) struct FixtureSchedule;

pages! {
    Results {
        FixtureSchedule "Fixture schedule" landscape Nothing "each fixture: maker, model, who furnishes and sets it, rough-in, connection, price or allowance";
    }
}

impl Subject for FixtureSchedule {
    type Out = Vec<Scheduled>;
    type Document = NoDocument;

    const TABLES: &'static [&'static Spec] = rules::TABLES;
    const MORE_ROWS: &'static [MoreRows] =
        &[MoreRows { table: "labor", file: "fixture_schedule/labor.csv", text: include_str!("labor.csv") }];
    const PAGES: &'static [Page] = PAGES;
    const FINDINGS: &'static [&'static [Declaration]] = &[findings::LIST];
    const CHECKS: &'static [Check] = &[money_of_others];

    fn compute(book: &mut Book, view: &View<Results>, _: &mut Vec<Finding>) -> Vec<Scheduled> {
        schedule::put(book, view)
    }

    fn parts(_: &mut Book, _: &View<&Vec<Scheduled>>, _: &mut Parts, _: &mut Vec<Finding>) {}

    /// What others bring is checked in by whoever sets it.
    fn tasks(book: &mut Book, view: &View<&Vec<Scheduled>>, _: &Parts, work: &mut Vec<Work>) {
        let brought = |fixture: &&Fixture| {
            fixture.status.get().unwrap_or_default().is_of_this_job()
                && fixture.is_set_by_us()
                && fixture.others_furnish().is_some()
        };
        let fixtures: Vec<&Fixture> = view.job.fixtures.iter().filter(brought).collect();
        if !fixtures.is_empty() {
            let counts: Vec<Term> = fixtures.iter().map(|fixture| fixture.count.figure(book)).collect();
            let tags: Vec<Arc<str>> = fixtures.iter().map(|fixture| fixture.tag.value.clone()).collect();
            let count = Term::total(&counts.iter().collect::<Vec<_>>());
            work.push(Work::of("check in fixture", count, When::Task, From::from_names(&tags)));
        }
    }

    fn costs(_: &mut Book, view: &View<&Vec<Scheduled>>, costs: &mut Costs) {
        for fixture in view.results {
            match (&fixture.allowed, &fixture.price) {
                (Some(allowed), _) => costs.allowances.push(Allowance {
                    what: fixture.what.clone(),
                    allowed: allowed.clone(),
                    chosen: fixture.chosen.clone(),
                }),
                (None, Some(price)) => costs.fixtures.push(Cost {
                    what: fixture.what.clone(),
                    phase: Some(Phase::Trim),
                    quantity: fixture.count.clone(),
                    price: price.clone(),
                    tax_rate: Some(view.settings.get(crate::model::Setting::TaxRate)),
                }),
                (None, None) => {}
            }
        }
    }

    fn pages(_: &mut Book, view: &View<&Vec<Scheduled>>, _: &Parts, entries: &mut Entries) {
        let is_open = |fixture: &Fixture| {
            fixture.status.get().unwrap_or_default().is_of_this_job()
                && fixture.is_set_by_us()
                && schedule::furnisher(view, fixture).is_none()
        };
        if view.job.fixtures.iter().any(is_open) {
            let words = Term::text("Fixtures that this price does not include are set only where furnished.");
            entries.terms.push(TermLine { kind: TermsKind::Assumption, words });
        }
    }
}

/// Money of a fixture that somebody else buys.
fn money_of_others(facts: &Facts, sink: &mut Sink) {
    for fixture in &facts.job.fixtures {
        let Some(who) = fixture.others_furnish() else { continue };
        let money = [
            ("Price", fixture.price.value.and(fixture.price.cell.as_ref())),
            ("Allowance", fixture.allowance.value.and(fixture.allowance.cell.as_ref())),
        ];
        for (what, cell) in money {
            if let Some(cell) = cell {
                let fixture = format!("Fixture {}", crate::finding::excerpt(&fixture.tag.value));
                sink.at(cell, MoneyOfOthers { fixture, who: who.to_owned(), what });
            }
        }
    }
}
