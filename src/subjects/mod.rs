//! The subjects of the trade, a folder each. A subject holds all that is its own, from its rule tables to its findings, and
//! shows the rest of the program its public result.
//!
//! A new subject is a folder, and a line in the list below.

pub mod water;

use crate::check::Check;
use crate::figure::Book;
use crate::finding::Finding;
use crate::parts::{Parts, Work};
use crate::view::View;

/// What a subject does, in the order in which it is asked to.
pub(crate) trait Subject {
    /// Its public result.
    type Out;

    /// What is wrong with its rows; nothing is figured for it.
    const CHECKS: &'static [Check];

    /// Its figures, its choices, and its pages. It sees the results of the subjects before it.
    fn compute(book: &mut Book, view: &View<Results>, findings: &mut Vec<Finding>) -> Self::Out;

    /// The pieces it takes: where, and in which phase.
    fn parts(book: &mut Book, view: &View<&Self::Out>, parts: &mut Parts, findings: &mut Vec<Finding>);

    /// The work it is, beside running and joining the pipe among its parts.
    fn tasks(book: &mut Book, view: &View<&Self::Out>, parts: &Parts, work: &mut Vec<Work>);
}

/// Lists the subjects: `name: Subject`, each after those whose results it looks at.
macro_rules! subjects {
    ($($name:ident: $subject:ty),* $(,)?) => {
        /// The results of all subjects.
        pub(crate) struct Computed { $(pub $name: <$subject as Subject>::Out,)* }

        /// The results so far: `None` for a subject that has not been asked yet.
        #[derive(Clone, Copy, Default)]
        pub(crate) struct Results<'a> { $(pub $name: Option<&'a <$subject as Subject>::Out>,)* }

        /// The checks of each subject.
        pub const CHECKS: &[&[Check]] = &[$(<$subject as Subject>::CHECKS,)*];

        /// Figures every subject in turn.
        pub(crate) fn compute(book: &mut Book, view: &View, findings: &mut Vec<Finding>) -> Computed {
            let mut results = Results::default();
            $(
                let $name = <$subject as Subject>::compute(book, &view.with(results), findings);
                results.$name = Some(&$name);
            )*
            let _ = results;
            Computed { $($name,)* }
        }

        /// All parts, and the work that goes with them.
        pub(crate) fn parts(
            book: &mut Book,
            view: &View,
            computed: &Computed,
            findings: &mut Vec<Finding>,
        ) -> (Parts, Vec<Work>) {
            let (mut parts, mut work) = (Parts::default(), Vec::new());
            $(<$subject as Subject>::parts(book, &view.with(&computed.$name), &mut parts, findings);)*
            $(<$subject as Subject>::tasks(book, &view.with(&computed.$name), &parts, &mut work);)*
            (parts, work)
        }
    };
}

subjects! {
    water: water::Water,
}
