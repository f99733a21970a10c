//! The subjects of the trade, a folder each. A subject holds all that is its own, from its rule tables to its findings, and
//! shows the rest of the program its public result.
//!
//! A new subject is a folder, and a line in the list below.

mod declared;
mod fixture_schedule;
#[cfg(test)]
#[path = "../../tests/sample_subject/mod.rs"]
mod garden;
mod old_work;
mod setting_rows;
pub mod water;

pub use declared::{choices, pages, parts, settings, sheets, tables};
pub(crate) use declared::{findings, names_of_column, part_kinds, rule_sheet_named, rule_sheets};

use crate::choice::Choice;
use crate::entries::Entries;
use crate::figure::Book;
use crate::finding::{Declaration, Finding};
use crate::input::Sheet;
use crate::model::network::Network;
use crate::model::{Job, Setting};
use crate::parts::{Costs, Parts, Work};
use crate::rules::{MoreRows, PartKind, Spec};
use crate::sheets::Page;
use crate::view::{Check, View};
use serde::Serialize;
use std::fmt::Debug;

/// Of a subject that says nothing to programs.
#[derive(Debug, Default, Serialize)]
pub(crate) struct NoDocument {}

/// What a subject declares, and what it does, in the order in which it is asked to.
pub(crate) trait Subject {
    /// Its public result.
    type Out;

    /// What it adds to the document of `price --json`: the fields of its own, each `null` or empty by default.
    type Document: Debug + Default + Serialize;

    /// Its sheets of the job workbook.
    const SHEETS: &'static [Sheet] = &[];

    /// Its settings on the Job sheet.
    const SETTINGS: &'static [Setting] = &[];

    /// Its rule tables.
    const TABLES: &'static [&'static Spec] = &[];

    /// What it adds to rule tables about the whole job: the hours of its tasks, say.
    const MORE_ROWS: &'static [MoreRows] = &[];

    /// The kinds of parts that it alone counts.
    const PARTS: &'static [PartKind] = &[];

    /// Its pages of the bid.
    const PAGES: &'static [Page] = &[];

    /// The kinds of choices it makes, which its pages keep.
    const CHOICES: &'static [Choice] = &[];

    /// What it can find.
    const FINDINGS: &'static [&'static [Declaration]] = &[];

    /// What is wrong with its rows; nothing is figured for it.
    const CHECKS: &'static [Check] = &[];

    /// Its figures, its choices, and its pages. It sees the results of the subjects before it.
    fn compute(book: &mut Book, view: &View<Results>, findings: &mut Vec<Finding>) -> Self::Out;

    /// The pieces it takes: where, and in which phase.
    fn parts(book: &mut Book, view: &View<&Self::Out>, parts: &mut Parts, findings: &mut Vec<Finding>);

    /// The work it is, beside running and joining the pipe among its parts.
    fn tasks(book: &mut Book, view: &View<&Self::Out>, parts: &Parts, work: &mut Vec<Work>);

    /// What it costs beside its parts and its work.
    fn costs(_book: &mut Book, _view: &View<&Self::Out>, _costs: &mut Costs) {}

    /// What it says on the pages about the whole job.
    fn pages(_book: &mut Book, _view: &View<&Self::Out>, _parts: &Parts, _entries: &mut Entries) {}

    /// What it says to programs.
    fn document(_job: &Job, _network: &Network, _out: &Self::Out) -> Self::Document {
        Self::Document::default()
    }
}

/// What all subjects make of a job.
pub(crate) struct Made {
    pub results: Computed,
    pub parts: Parts,
    pub work: Vec<Work>,
    pub costs: Costs,
    pub entries: Entries,
}

/// Lists the subjects: `name: Subject => its result`, each after those whose results it looks at.
macro_rules! subjects {
    ($($(#[$when:meta])* $name:ident: $subject:ty => $out:ty),* $(,)?) => {
        /// The results of all subjects.
        #[derive(Debug)]
        pub struct Computed {
            $($(#[$when])* #[doc = concat!("Of the subject `", stringify!($name), "`.")] pub $name: $out,)*
        }

        /// What all subjects add to the document of `price --json`.
        #[derive(Debug, Default, Serialize)]
        pub(crate) struct Documents { $($(#[$when])* #[serde(flatten)] $name: <$subject as Subject>::Document,)* }

        impl Computed {
            pub(crate) fn documents(&self, job: &Job, network: &Network) -> Documents {
                Documents { $($(#[$when])* $name: <$subject as Subject>::document(job, network, &self.$name),)* }
            }
        }

        /// The results so far: `None` for a subject that has not been asked yet.
        #[derive(Clone, Copy, Default)]
        pub(crate) struct Results<'a> { $($(#[$when])* pub $name: Option<&'a <$subject as Subject>::Out>,)* }

        /// The checks of each subject.
        pub(crate) const CHECKS: &[&[Check]] = &[$($(#[$when])* <$subject as Subject>::CHECKS,)*];
        const OWN_SHEETS: &[&[Sheet]] = &[$($(#[$when])* <$subject as Subject>::SHEETS,)*];
        const OWN_SETTINGS: &[&[Setting]] = &[$($(#[$when])* <$subject as Subject>::SETTINGS,)*];
        const OWN_TABLES: &[&[&Spec]] = &[$($(#[$when])* <$subject as Subject>::TABLES,)*];
        const MORE_ROWS: &[&[MoreRows]] = &[$($(#[$when])* <$subject as Subject>::MORE_ROWS,)*];
        const OWN_PARTS: &[&[PartKind]] = &[$($(#[$when])* <$subject as Subject>::PARTS,)*];
        const OWN_PAGES: &[&[Page]] = &[$($(#[$when])* <$subject as Subject>::PAGES,)*];
        const OWN_CHOICES: &[&[Choice]] = &[$($(#[$when])* <$subject as Subject>::CHOICES,)*];
        const OWN_FINDINGS: &[&[&[Declaration]]] = &[$($(#[$when])* <$subject as Subject>::FINDINGS,)*];

        /// Asks every subject in turn: first all for their figures, then for parts, work, and what they say of themselves.
        pub(crate) fn make(book: &mut Book, view: &View, findings: &mut Vec<Finding>) -> Made {
            let mut results = Results::default();
            $(
                $(#[$when])*
                let $name = <$subject as Subject>::compute(book, &view.with(results), findings);
                $(#[$when])*
                { results.$name = Some(&$name); }
            )*
            let _ = results;
            let (mut parts, mut work) = (Parts::default(), Vec::new());
            let (mut costs, mut entries) = (Costs::default(), Entries::default());
            $($(#[$when])* <$subject as Subject>::parts(book, &view.with(&$name), &mut parts, findings);)*
            $($(#[$when])* <$subject as Subject>::tasks(book, &view.with(&$name), &parts, &mut work);)*
            $($(#[$when])* <$subject as Subject>::costs(book, &view.with(&$name), &mut costs);)*
            $($(#[$when])* <$subject as Subject>::pages(book, &view.with(&$name), &parts, &mut entries);)*
            Made { results: Computed { $($(#[$when])* $name,)* }, parts, work, costs, entries }
        }
    };
}

subjects! {
    water: water::Water => water::size::Sizes,
    fixture_schedule: fixture_schedule::FixtureSchedule => Vec<fixture_schedule::Scheduled>,
    old_work: old_work::OldWork => old_work::OldWorkFigures,
    #[cfg(test)]
    garden: garden::Garden => Vec<garden::WateredZone>,
}
