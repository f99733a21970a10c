//! Work as the subjects ask for it: so much of a task, when, and where.

use super::{location, shortened};
use crate::figure::Term;
use crate::model::{Phase, Whereabouts};
use std::sync::Arc;

/// So much of a task.
#[derive(Debug, Clone)]
pub(crate) struct Work {
    pub task: String,
    pub quantity: Quantity,
    pub when: When,
    /// Where the pipe lies that is worked on; of what stands by itself `None`.
    pub place: Option<Whereabouts>,
    /// Of pipe that is run: stick or coil; empty where that is not told.
    pub form: &'static str,
    /// Of pipe that is run or joined.
    pub material: Arc<str>,
    pub from: From,
}

/// How much there is to do.
#[derive(Debug, Clone)]
pub(crate) enum Quantity {
    Term(Term),
    /// What the Counts sheet has of an item, in the phase and lying as the row says.
    Item(String),
    /// The same of a kind of item.
    Kind(&'static str),
}

/// What decides the phase.
#[derive(Debug, Clone, Copy)]
pub(crate) enum When {
    /// Where the pipe lies, whatever the task says.
    Place(Phase),
    /// This, unless Labor has a phase for the task.
    Unless(Phase),
    /// The task.
    Task,
}

/// What the quantity is counted from.
#[derive(Debug, Clone)]
pub(crate) enum From {
    /// Names on the Counts sheet; another size may have others.
    Counted(Vec<Arc<str>>),
    Words(String),
}

impl From {
    pub(crate) fn from_names(names: &[Arc<str>]) -> Self {
        Self::Words(shortened(&names.iter().map(|name| &**name).collect::<Vec<_>>()))
    }
}

impl Work {
    pub(crate) fn of(task: &str, quantity: Term, when: When, from: From) -> Self {
        let (task, quantity) = (task.to_owned(), Quantity::Term(quantity));
        Self { task, quantity, when, place: None, form: "", material: "".into(), from }
    }

    pub(crate) fn location(&self) -> String {
        self.place.map(|place| location(place, self.form)).unwrap_or_default()
    }
}
