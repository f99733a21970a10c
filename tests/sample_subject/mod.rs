//! Garden watering: a subject that is no part of the program. It exists in its unit tests alone, to show that a subject is one
//! folder and one line in the list of subjects, and to be copied from. Its figures are invented.
//!
//! A zone of emitters hangs on one valve, and a valve passes so much water: what is over that takes a second valve.

mod check;
mod findings;
mod input;
mod page;
mod rules;
mod tests;
mod zones;

pub(super) use zones::WateredZone;

use crate::entries::Entries;
use crate::figure::Book;
use crate::finding::{Declaration, Finding};
use crate::input::Sheet;
use crate::model::network::Network;
use crate::model::{Job, Setting};
use crate::parts::{Parts, Work};
use crate::rules::{MoreRows, PartKind, Spec};
use crate::sheets::Page;
use crate::subjects::{Results, Subject};
use crate::view::{Check, View};

/// The subject.
#[derive(Debug)]
pub(crate) struct Garden;

impl Subject for Garden {
    type Out = Vec<zones::WateredZone>;
    type Document = page::Document;

    const SHEETS: &'static [Sheet] = &[input::Zone::SHEET];
    const SETTINGS: &'static [Setting] = input::SETTINGS;
    const TABLES: &'static [&'static Spec] = rules::TABLES;
    const MORE_ROWS: &'static [MoreRows] =
        &[MoreRows { table: "labor", file: "sample_subject/labor.csv", text: include_str!("labor.csv") }];
    const PARTS: &'static [PartKind] = &[PartKind::new(zones::VALVE), PartKind::new(zones::HOSE).in_feet()];
    const PAGES: &'static [Page] = page::PAGES;
    const FINDINGS: &'static [&'static [Declaration]] = &[findings::LIST];
    const CHECKS: &'static [Check] = &[check::zones];

    fn compute(book: &mut Book, view: &View<Results>, findings: &mut Vec<Finding>) -> Self::Out {
        zones::water(book, view, findings)
    }

    fn parts(_: &mut Book, view: &View<&Self::Out>, parts: &mut Parts, _: &mut Vec<Finding>) {
        parts.counts.extend(view.results.iter().flat_map(zones::parts));
    }

    fn tasks(_: &mut Book, view: &View<&Self::Out>, _: &Parts, work: &mut Vec<Work>) {
        work.extend(zones::work(view.results));
    }

    fn pages(_: &mut Book, view: &View<&Self::Out>, _: &Parts, entries: &mut Entries) {
        page::enter(view, entries);
    }

    fn document(_: &Job, _: &Network, zones: &Self::Out) -> page::Document {
        page::Document::of(zones)
    }
}
