//! What a subject says on the pages about the whole job: At a glance, the scope of the bid, Changes, Checks.

use crate::figure::Term;
use crate::model::Status;
use crate::sheets::Page;
use crate::unit::Unit;

/// All that the subjects enter, in their order.
#[derive(Debug, Default)]
pub struct Entries {
    /// How it stands, at a glance.
    pub standing: Vec<Line>,
    /// Lists of their own, at a glance.
    pub lists: Vec<(&'static str, Vec<Line>)>,
    /// What the bid's scope counts for the customer.
    pub scope: Vec<Scope>,
    /// What a revision sets beside the same of the bid before.
    pub compared: Vec<Compared>,
    /// Counts that are 0 until somebody types over a choice of theirs what cannot be taken: then the bid says `price again`.
    pub watched: Vec<(&'static str, Term)>,
}

/// A line of At a glance.
#[derive(Debug)]
pub enum Line {
    /// A question, its live answer (`OK`, or what is wrong), and the page that says more.
    Question { words: &'static str, answer: Term, page: Page },
    /// A figure and a remark beside it.
    Figure { label: String, value: Term, unit: Unit, remark: Option<Remark> },
}

/// What stands beside a figure.
#[derive(Debug)]
pub enum Remark {
    Words(&'static str),
    Live(Term),
}

/// A row of the job that the customer reads of.
#[derive(Debug)]
pub struct Scope {
    /// The name of the row.
    pub name: Term,
    pub status: Status,
    /// Rows of one kind and status are summed under the words of the first.
    pub kind: String,
    pub words: Term,
    pub quantity: Term,
    pub unit: Unit,
}

/// Figures by name, each of which a revision compares.
#[derive(Debug)]
pub struct Compared {
    pub title: &'static str,
    /// The heading over the names.
    pub heading: &'static str,
    pub unit: Unit,
    pub rows: Vec<(String, Term)>,
}
