//! What must not be signed over: lines under the price that show themselves only while something is wrong with it.

use super::Context;
use super::as_priced::Checks;
use crate::figure::{Book, Look, Term};
use crate::sheets::Page;

pub(super) fn put(book: &mut Book, context: &Context, checks: &Checks) {
    let sheet = context.page(Page::Bid);
    let nothing = Term::text("");
    let zero = Term::number(0);
    let numbers = context.bid.build_up.total.is_number().and(&context.labor.total.is_number());
    let broken = "The total or the hours are no number: a cell that they need holds what cannot be read. See Checks.";
    book.line(sheet, Look::Flag, numbers.pick(&nothing, &Term::text(broken)));
    let unpriced = &context.bid.build_up.unpriced;
    let words = ["Items without a price yet: ", ". The total is not complete; see Cost build-up."].map(Term::text);
    let words = Term::join(&[&words[0], unpriced, &words[1]]);
    book.line(sheet, Look::Flag, unpriced.above(&zero).pick(&words, &nothing));
    if let (Some((_, run)), Some(short)) = (&context.sizes.least_spare, &context.sizes.short_by) {
        let words = ["Short of pressure by ", " psi at the end of run ", "; see Sizing."].map(Term::text);
        let words = Term::join(&[&words[0], &short.show(1), &words[1], run, &words[2]]);
        book.line(sheet, Look::Flag, short.above(&zero).pick(&words, &nothing));
    }
    let again = Term::text("The job has changed since this bid was priced: price it again before it is signed.");
    book.line(sheet, Look::Flag, checks.price_again.above(&zero).pick(&again, &nothing));
}
