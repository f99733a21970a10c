//! What makes work slower or quicker: the rows of the rule table that hold for the job, and the factor of each task.

use super::{Context, Work};
use crate::figure::{Book, Term};
use crate::model::Setting;
use crate::rules::{LaborCondition, Listing};

/// The table on the Rules sheet, filled as rows are asked for.
pub(super) struct Conditions(Listing<LaborCondition>);

impl Conditions {
    pub(crate) fn put(book: &mut Book, context: &Context) -> Self {
        let title = "What makes work slower or quicker; factors of all rows that fit are multiplied";
        Self(Listing::new(context, title).open(book))
    }

    /// The factor of some work: every row that fits, and the job's own.
    pub(crate) fn factor(&mut self, book: &mut Book, context: &Context, work: &Work) -> Term {
        let place = work.place.map_or("", |place| place.word());
        let rows = context.rules.conditions_of(place, work.form, &work.material);
        let factors = rows.map(|row| self.0.row(book, row).factor);
        let factor = factors.reduce(|product, factor| product * factor);
        let own = context.settings.get(Setting::LaborFactor);
        match factor {
            Some(factor) => factor * own,
            None => own,
        }
    }
}
