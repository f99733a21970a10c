//! Money that a subject asks for beside its pieces and its work: fixtures priced one by one, other costs, allowances.

use crate::figure::Term;
use crate::model::Phase;

/// All of a job.
#[derive(Debug, Default)]
pub(crate) struct Costs {
    /// Fixtures at a price of their own, which no line of the take-off bears.
    pub(crate) fixtures: Vec<Cost>,
    /// Beside the rows of Other costs.
    pub(crate) other: Vec<Cost>,
    pub(crate) allowances: Vec<Allowance>,
}

/// So many of something, at a price.
#[derive(Debug, Clone)]
pub(crate) struct Cost {
    /// What it is, in words.
    pub(crate) what: Term,
    /// `None` of what belongs to no phase.
    pub(crate) phase: Option<Phase>,
    pub(crate) quantity: Term,
    /// Dollars for one.
    pub(crate) price: Term,
    /// Rate of sales tax; `None` of what is not taxed.
    pub(crate) tax_rate: Option<Term>,
}

/// Money that stands in the price for something that is not chosen yet, or was chosen since.
#[derive(Debug, Clone)]
pub(crate) struct Allowance {
    /// What it is for, in words.
    pub(crate) what: Term,
    /// Dollars that were allowed.
    pub(crate) allowed: Term,
    /// Dollars that the choice costs, sales tax included; `None` while nothing is chosen.
    pub(crate) chosen: Option<Term>,
}

impl Allowance {
    /// What the choice costs beyond the allowance; below 0 where it costs less.
    pub(crate) fn over(&self) -> Option<Term> {
        self.chosen.as_ref().map(|chosen| chosen - &self.allowed)
    }
}
