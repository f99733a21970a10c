//! Water: pipe from the supply to every tap. Its sizes and pressures, what it takes, and the work that is.

mod check;
pub(crate) mod counted;
mod document;
mod entries;
pub mod findings;
mod pages;
mod pipe_runs;
pub mod rules;
pub mod size;
mod tasks;

use super::{Results, Subject};
use crate::choice::Choice;
use crate::entries::Entries;
use crate::figure::Book;
use crate::finding::{Declaration, Finding};
use crate::model::Job;
use crate::model::network::Network;
use crate::parts::{Parts, Work};
use crate::rules::{PartKind, Spec};
use crate::sheets::Page;
use crate::view::Check;
use crate::view::View;

/// The subject.
#[derive(Debug)]
pub struct Water;

impl Subject for Water {
    type Out = size::Sizes;
    type Document = document::Document;

    const TABLES: &'static [&'static Spec] = rules::TABLES;
    const PARTS: &'static [PartKind] = counted::PARTS;
    const PAGES: &'static [Page] = pages::PAGES;
    const CHOICES: &'static [Choice] = pages::CHOICES;
    const FINDINGS: &'static [&'static [Declaration]] = findings::LISTS;
    const CHECKS: &'static [Check] = check::CHECKS;

    fn compute(book: &mut Book, view: &View<Results>, findings: &mut Vec<Finding>) -> size::Sizes {
        size::size(book, &view.with(()), findings)
    }

    fn parts(book: &mut Book, view: &View<&size::Sizes>, parts: &mut Parts, findings: &mut Vec<Finding>) {
        counted::parts(book, &view.with(counted::Inputs { sizes: view.results }), parts, findings);
        parts.runs.extend(pipe_runs::runs(view));
    }

    fn tasks(book: &mut Book, view: &View<&size::Sizes>, parts: &Parts, work: &mut Vec<Work>) {
        tasks::work(book, &view.with(tasks::Inputs { parts }), work);
    }

    fn pages(book: &mut Book, view: &View<&size::Sizes>, parts: &Parts, entries: &mut Entries) {
        entries::enter(book, view, parts, entries);
    }

    fn document(job: &Job, network: &Network, sizes: &size::Sizes) -> document::Document {
        document::Document::of(job, network, sizes)
    }
}
