//! What a subject says on the pages about the whole job: At a glance, the scope of the bid, what is wrong with it and what it
//! warns of, Changes, Checks.

use crate::figure::Term;
use crate::folding::worded;
use crate::model::Status;
use crate::sheets::Page;
use crate::unit::Unit;

/// All that the subjects enter, in their order.
#[derive(Debug, Default)]
pub(crate) struct Entries {
    /// How it stands, at a glance.
    pub(crate) standing: Vec<Line>,
    /// Lists of their own, at a glance.
    pub(crate) lists: Vec<(&'static str, Vec<Line>)>,
    /// What the bid's scope counts for the customer.
    pub(crate) scope: Vec<Scope>,
    /// What the bid says in words beside the user's own.
    pub(crate) terms: Vec<TermLine>,
    /// What must not be signed over.
    pub(crate) flags: Vec<Flag>,
    /// What the bid warns of; said once, whoever says it.
    pub(crate) cautions: Vec<Caution>,
    /// Findings by their slug: where there is one nothing else to fix matters more, and what fixes it is told with it.
    pub(crate) to_fix_first: Vec<&'static str>,
    /// Where pressure is tightest; `None` where nothing is under any.
    pub(crate) least_spare: Option<LeastSpare>,
    /// What a revision sets beside the same of the bid before.
    pub(crate) compared: Vec<Compared>,
    /// Counts that are 0 until somebody types over a choice of theirs what cannot be taken: then the bid says `price again`.
    pub(crate) watched: Vec<(&'static str, Term)>,
    /// What else the job was priced on, beside the rows of its sheets: what it is about, and what it says now.
    pub(crate) recorded: Vec<(&'static str, Term)>,
}

/// The outlet with the least pressure to spare over what it needs.
#[derive(Debug, Clone)]
pub(crate) struct LeastSpare {
    pub(crate) psi: Term,
    /// The name of the run that ends there.
    pub(crate) run: Term,
}

/// A paragraph of the cautions.
#[derive(Debug, Clone)]
pub(crate) enum Caution {
    Words(&'static str),
    /// With figures in it.
    Live(Term),
}

/// Of every job that has a trench.
pub(crate) const TRENCHES: Caution = Caution::Words(
    "Trenches: call 811 and have buried lines marked before digging. Nobody enters a trench 5 ft deep or more, or one that \
     could cave in, until it is sloped, shored or shielded and a competent person has looked at it; a ladder within 25 ft in \
     trenches 4 ft and deeper; spoil and machines stay 2 ft back from its edge (29 CFR 1926.651 and 652).",
);

/// A line of At a glance.
#[derive(Debug)]
pub(crate) enum Line {
    /// A question, its live answer (`OK`, or what is wrong), and the page that says more.
    Question { words: &'static str, answer: Term, page: Page },
    /// A figure and a remark beside it.
    Figure { label: String, value: Term, unit: Unit, remark: Option<Remark> },
}

/// What stands beside a figure.
#[derive(Debug)]
pub(crate) enum Remark {
    Words(&'static str),
    Live(Term),
}

/// Words in red under the price, while something is wrong.
#[derive(Debug)]
pub(crate) struct Flag {
    /// Whether it is, live.
    pub(crate) wrong: Term,
    pub(crate) on_bid: Term,
    /// The same where a change is signed.
    pub(crate) on_change_order: Term,
    /// Of a job that is not to be built so, in a few words: it is neither the cheapest that passes nor offered as an alternate.
    pub(crate) fails: Option<&'static str>,
}

impl Flag {
    /// The words while it is wrong, else none.
    pub(crate) fn shown(&self, words: &Term) -> Term {
        self.wrong.pick(words, &Term::text(""))
    }
}

/// Words of the bid.
#[derive(Debug)]
pub(crate) struct TermLine {
    pub(crate) kind: TermsKind,
    pub(crate) words: Term,
}

worded! {
    /// Under which heading words of the bid stand.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub(crate) enum TermsKind {
        Included = "included",
        Excluded = "excluded",
        Assumption = "assumption",
    }
}

/// A row of the job that the customer reads of.
#[derive(Debug)]
pub(crate) struct Scope {
    /// The name of the row.
    pub(crate) name: Term,
    pub(crate) status: Status,
    /// Rows of one kind and status are summed under the words of the first. What ends in `pipe` (`PVC DWV pipe`) is held
    /// against the feet of pipe in the take-off.
    pub(crate) kind: String,
    pub(crate) words: Term,
    pub(crate) quantity: Term,
    pub(crate) unit: Unit,
}

/// Figures by name, each of which a revision compares.
#[derive(Debug)]
pub(crate) struct Compared {
    pub(crate) title: &'static str,
    /// The heading over the names.
    pub(crate) heading: &'static str,
    pub(crate) unit: Unit,
    pub(crate) rows: Vec<(String, Term)>,
}
